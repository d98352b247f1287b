package wire

import (
	"bytes"
	"crypto/hmac"
	"crypto/md5"
	"crypto/sha256"
	"crypto/sha512"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"hash"
	"slices"
	"unicode/utf8"
)

// Delimiter is the frame between the routing prefix and the signature.
const Delimiter = "<IDS|MSG>"

// DefaultScheme is the signature scheme used when a connection file names none.
const DefaultScheme = "hmac-sha256"

// schemes are the signature schemes of JEP 106.
var schemes = map[string]func() hash.Hash{
	"hmac-md5":    md5.New,
	"hmac-sha256": sha256.New,
	"hmac-sha512": sha512.New,
}

// Reasons why [Codec.Decode] refuses frames, for errors.Is.
var (
	ErrFormat    = errors.New("malformed message")
	ErrSignature = errors.New("bad signature")
	ErrReplay    = errors.New("message seen before")
)

// Codec signs and frames messages, and checks and parses frames. It is safe for concurrent use.
type Codec struct {
	hash func() hash.Hash
	key  []byte // empty: nothing is signed or checked
	seen history
}

// NewCodec returns a codec for a signature scheme (hmac-md5, hmac-sha256, hmac-sha512; empty means [DefaultScheme]) and key. With an empty key
// messages are not signed, signatures are not looked at and replays are not noticed.
func NewCodec(scheme, key string) (*Codec, error) {
	if scheme == "" {
		scheme = DefaultScheme
	}
	h, ok := schemes[scheme]
	if !ok {
		return nil, fmt.Errorf("signature scheme %q is not one of hmac-md5, hmac-sha256, hmac-sha512", scheme)
	}
	return &Codec{hash: h, key: []byte(key)}, nil
}

// Sign returns the signature of parts, in hexadecimal; it is empty without a key.
func (c *Codec) Sign(parts ...[]byte) []byte {
	if len(c.key) == 0 {
		return []byte{}
	}
	return []byte(hex.EncodeToString(c.digest(parts)))
}

// Verify reports whether signature, in hexadecimal, is that of parts. It takes the same time wherever the two differ.
func (c *Codec) Verify(signature []byte, parts ...[]byte) bool {
	return len(c.key) == 0 || c.verified(signature, parts) != nil
}

// verified returns the digest that signature spells if it is that of parts, nil otherwise.
func (c *Codec) verified(signature []byte, parts [][]byte) []byte {
	got, err := hex.AppendDecode(nil, signature)
	if err != nil || !hmac.Equal(got, c.digest(parts)) {
		return nil
	}
	return got
}

func (c *Codec) digest(parts [][]byte) []byte {
	mac := hmac.New(c.hash, c.key)
	for _, p := range parts {
		mac.Write(p)
	}
	return mac.Sum(nil)
}

// Encode returns the frames of m. Empty objects are sent as {}.
func (c *Codec) Encode(m *Message) [][]byte {
	dicts := [][]byte{m.rawHeader(), orEmpty(m.Parent), orEmpty(m.Metadata), orEmpty(m.Content)}
	frames := slices.Concat(m.Identities, [][]byte{[]byte(Delimiter), c.Sign(dicts...)})
	return slices.Concat(frames, dicts, m.Buffers)
}

func orEmpty(object json.RawMessage) []byte {
	if len(object) == 0 {
		return []byte("{}")
	}
	return object
}

// Decode checks and parses the frames of one message. The error says which part is wrong and wraps [ErrFormat], [ErrSignature] or [ErrReplay].
// The message keeps the memory of frames.
func (c *Codec) Decode(frames [][]byte) (*Message, error) {
	at := slices.IndexFunc(frames, func(f []byte) bool { return string(f) == Delimiter })
	if at < 0 {
		return nil, fmt.Errorf("%w: no delimiter among %d frames", ErrFormat, len(frames))
	}
	rest := frames[at+1:]
	if len(rest) < 5 {
		return nil, fmt.Errorf("%w: %d frames after the delimiter, want a signature and 4 objects", ErrFormat, len(rest))
	}
	if err := c.authenticate(rest[0], rest[1:5]); err != nil {
		return nil, err
	}
	m := &Message{Identities: frames[:at:at], Buffers: rest[5:]}
	if err := m.parse(rest[1:5]); err != nil {
		return nil, fmt.Errorf("%w: %w", ErrFormat, err)
	}
	return m, nil
}

func (c *Codec) authenticate(signature []byte, dicts [][]byte) error {
	if len(c.key) == 0 {
		return nil
	}
	digest := c.verified(signature, dicts)
	if digest == nil {
		return ErrSignature
	}
	if !c.seen.add(mark(digest)) {
		return ErrReplay
	}
	return nil
}

func (m *Message) parse(dicts [][]byte) (err error) {
	fields := []struct {
		name string
		raw  *json.RawMessage
		into any
	}{
		{"header", &m.RawHeader, &m.Header},
		{"parent header", &m.Parent, &struct{}{}},
		{"metadata", &m.Metadata, &struct{}{}},
		{"content", &m.Content, &struct{}{}},
	}
	for i, f := range fields {
		if *f.raw, err = object(dicts[i], f.into); err != nil {
			return fmt.Errorf("%s: %w", f.name, err)
		}
	}
	if m.Header.ID == "" || m.Header.Type == "" {
		return fmt.Errorf("header: msg_id %q, msg_type %q: neither may be empty", m.Header.ID, m.Header.Type)
	}
	return nil
}

// object checks that frame holds one JSON object, decodes what into has fields for, and returns the text as clean UTF-8.
func object(frame []byte, into any) (json.RawMessage, error) {
	text := bytes.TrimPrefix(frame, []byte("\uFEFF"))
	if !utf8.Valid(text) {
		text = bytes.ToValidUTF8(text, []byte("\uFFFD"))
	}
	if !bytes.HasPrefix(bytes.TrimLeft(text, " \t\r\n"), []byte("{")) {
		return nil, fmt.Errorf("not a JSON object: %.20q", text)
	}
	if err := json.Unmarshal(text, into); err != nil {
		return nil, err
	}
	return text, nil
}
