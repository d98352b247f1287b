package wire

import (
	"bytes"
	"crypto/hmac"
	"crypto/md5"
	"crypto/sha256"
	"crypto/sha512"
	"encoding/binary"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"hash"
	"reflect"
	"strings"
	"testing"
	"time"
)

const testKey = "a0436f6c-1916-498b-8eb9-e81ab9368e84"

func newTestCodec(t testing.TB, scheme, key string) *Codec {
	t.Helper()
	c, err := NewCodec(scheme, key)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// signed returns the frames of a message with the given dicts, signed for testKey with an independent computation.
func signed(dicts ...string) [][]byte {
	mac := hmac.New(sha256.New, []byte(testKey))
	frames := [][]byte{[]byte("peer"), []byte("<IDS|MSG>"), nil}
	for _, d := range dicts {
		mac.Write([]byte(d))
		frames = append(frames, []byte(d))
	}
	frames[2] = []byte(hex.EncodeToString(mac.Sum(nil)))
	return frames
}

const goodHeader = `{"msg_id":"m1","msg_type":"execute_request","session":"s","username":"u","date":"2026-01-02T03:04:05Z","version":"5.4","extra":[1]}`

func TestSchemes(t *testing.T) {
	parts := [][]byte{[]byte("header"), []byte("{}"), []byte("{}"), []byte("content")}
	for scheme, h := range map[string]func() hash.Hash{"hmac-md5": md5.New, "hmac-sha256": sha256.New, "hmac-sha512": sha512.New, "": sha256.New} {
		mac := hmac.New(h, []byte(testKey))
		mac.Write(bytes.Join(parts, nil))
		want := hex.EncodeToString(mac.Sum(nil))
		c := newTestCodec(t, scheme, testKey)
		if got := string(c.Sign(parts...)); got != want {
			t.Errorf("%q: signature %s, want %s", scheme, got, want)
		}
		if !c.Verify([]byte(want), parts...) || c.Verify([]byte(want), parts[:3]...) || c.Verify([]byte(want[:10]), parts...) || c.Verify(nil, parts...) {
			t.Errorf("%q: Verify takes a wrong signature or refuses the right one", scheme)
		}
	}
	if _, err := NewCodec("hmac-sha1", testKey); err == nil || !strings.Contains(err.Error(), "hmac-sha1") {
		t.Errorf("NewCodec(hmac-sha1): %v", err)
	}
}

func TestNoKey(t *testing.T) {
	c := newTestCodec(t, "hmac-sha256", "")
	frames := c.Encode(&Message{Header: Header{ID: "m", Type: "t"}})
	if len(frames[1]) != 0 {
		t.Errorf("signature %q without a key", frames[1])
	}
	frames[1] = []byte("whatever")
	for range 2 { // no replay check either
		if _, err := c.Decode(frames); err != nil {
			t.Error(err)
		}
	}
}

func TestRoundTrip(t *testing.T) {
	sent := &Message{
		Identities: [][]byte{[]byte("peer"), {}},
		Header:     Header{ID: "m1", Session: "s", Username: "u", Date: "d", Type: "status", Version: Version, SubshellID: "sub"},
		Parent:     json.RawMessage(goodHeader),
		Metadata:   json.RawMessage(`{"a":1}`),
		Content:    json.RawMessage(`{"execution_state":"busy"}`),
		Buffers:    [][]byte{{0, 1, 2}, {}},
	}
	got, err := newTestCodec(t, "", testKey).Decode(newTestCodec(t, "", testKey).Encode(sent))
	if err != nil {
		t.Fatal(err)
	}
	want := *sent
	want.RawHeader = sent.rawHeader()
	if !reflect.DeepEqual(got, &want) {
		t.Errorf("got  %+v\nwant %+v", got, &want)
	}
}

// TestRawHeader holds that unknown keys and the spelling of a header survive into replies.
func TestRawHeader(t *testing.T) {
	c := newTestCodec(t, "", testKey)
	m, err := c.Decode(signed(goodHeader, "{}", "{}", "{}"))
	if err != nil {
		t.Fatal(err)
	}
	reply, err := newTestAuthor(t).Reply(m, "execute_reply", nil)
	if err != nil {
		t.Fatal(err)
	}
	if cap(m.Identities) != 1 {
		t.Error("appending to the routing prefix would write over frames")
	}
	if string(m.RawHeader) != goodHeader || string(reply.Parent) != goodHeader || m.Header.Session != "s" {
		t.Errorf("raw header %s, parent of the reply %s", m.RawHeader, reply.Parent)
	}
}

func TestDecodeRefuses(t *testing.T) {
	deep := `{"a":` + strings.Repeat("[", 100_000) + strings.Repeat("]", 100_000) + `}`
	for _, tt := range []struct {
		name   string
		frames [][]byte
		kind   error
		text   string
	}{
		{"nothing", nil, ErrFormat, "no delimiter among 0 frames"},
		{"no delimiter", [][]byte{[]byte("a"), []byte("b")}, ErrFormat, "no delimiter among 2 frames"},
		{"delimiter only", [][]byte{[]byte(Delimiter)}, ErrFormat, "0 frames after the delimiter"},
		{"three dicts", signed(goodHeader, "{}", "{}"), ErrFormat, "4 frames after the delimiter"},
		{"tampered", append(signed(goodHeader, "{}", "{}", "{}")[:6], []byte(`{"code":"x"}`)), ErrSignature, "bad signature"},
		{"not JSON", signed(goodHeader, "{", "{}", "{}"), ErrFormat, "parent header: unexpected end"},
		{"array", signed(goodHeader, "{}", "[]", "{}"), ErrFormat, `metadata: not a JSON object: "[]"`},
		{"null", signed("null", "{}", "{}", "{}"), ErrFormat, "header: not a JSON object"},
		{"empty frame", signed(goodHeader, "{}", "{}", ""), ErrFormat, "content: not a JSON object"},
		{"trailing text", signed(goodHeader, "{}", "{}", "{}{}"), ErrFormat, "content: invalid character '{'"},
		{"raw NUL", signed(goodHeader, "{}", "{}", "{\"code\":\"\x00\"}"), ErrFormat, `content: invalid character '\x00'`},
		{"wrong type", signed(`{"msg_id":5,"msg_type":"t"}`, "{}", "{}", "{}"), ErrFormat, "msg_id of type string"},
		{"no id", signed(`{"msg_type":"t"}`, "{}", "{}", "{}"), ErrFormat, `msg_id ""`},
		{"no type", signed(`{"msg_id":"m"}`, "{}", "{}", "{}"), ErrFormat, `msg_type ""`},
		{"deep nesting", signed(goodHeader, "{}", "{}", deep), ErrFormat, "content: "},
	} {
		start := time.Now()
		_, err := newTestCodec(t, "", testKey).Decode(tt.frames)
		if !errors.Is(err, tt.kind) || !strings.Contains(fmt.Sprint(err), tt.text) {
			t.Errorf("%s: error %v, want %v with %q", tt.name, err, tt.kind, tt.text)
		}
		if d := time.Since(start); d > 5*time.Second {
			t.Errorf("%s: took %v", tt.name, d)
		}
	}
}

// TestOddText holds what becomes of text that clients should not send, and do.
func TestOddText(t *testing.T) {
	for _, tt := range []struct{ name, sent, raw, code string }{
		{"invalid UTF-8", "{\"code\":\"a\xff\xfeb\"}", "{\"code\":\"a\uFFFDb\"}", "a\uFFFDb"},
		{"lone surrogate", `{"code":"\ud800"}`, `{"code":"\ud800"}`, "\uFFFD"},
		{"escaped NUL", `{"code":"\u0000"}`, `{"code":"\u0000"}`, "\x00"},
		{"byte order mark", "\uFEFF{\"code\":\"x\"}", `{"code":"x"}`, "x"},
		{"byte order mark inside", "{\"code\":\"\uFEFFx\"}", "{\"code\":\"\uFEFFx\"}", "\uFEFFx"},
		{"white space around", " \n{\"code\":\"x\"} ", " \n{\"code\":\"x\"} ", "x"},
	} {
		m, err := newTestCodec(t, "", testKey).Decode(signed(goodHeader, "{}", "{}", tt.sent))
		if err != nil {
			t.Errorf("%s: %v", tt.name, err)
			continue
		}
		var content struct{ Code string }
		if err := json.Unmarshal(m.Content, &content); err != nil || content.Code != tt.code || string(m.Content) != tt.raw {
			t.Errorf("%s: content %q, code %q, %v", tt.name, m.Content, content.Code, err)
		}
	}
}

func TestReplay(t *testing.T) {
	c := newTestCodec(t, "", testKey)
	frames := signed(goodHeader, "{}", "{}", "{}")
	if _, err := c.Decode(frames); err != nil {
		t.Fatal(err)
	}
	for _, again := range [][][]byte{frames, append(frames[:len(frames):len(frames)], []byte("a buffer"))} {
		if _, err := c.Decode(again); !errors.Is(err, ErrReplay) {
			t.Errorf("a second time: %v", err)
		}
	}
	upper := append([][]byte{frames[0], frames[1], bytes.ToUpper(frames[2])}, frames[3:]...)
	if _, err := c.Decode(upper); !errors.Is(err, ErrReplay) {
		t.Errorf("with the signature in capitals: %v", err)
	}
}

func TestHistoryIsBounded(t *testing.T) {
	var h history
	name := func(i int) (m mark) {
		binary.BigEndian.PutUint64(m[8:], uint64(i))
		return m
	}
	for i := range historySize + 10 {
		if !h.add(name(i)) {
			t.Fatalf("%d is new", i)
		}
	}
	if len(h.seen) != historySize || len(h.ring) != historySize {
		t.Errorf("%d remembered, %d in order", len(h.seen), len(h.ring))
	}
	if h.add(name(10)) || !h.add(name(9)) {
		t.Error("not the newest are remembered")
	}
}

func FuzzDecode(f *testing.F) {
	f.Fuzz(func(t *testing.T, joined []byte, sign bool) {
		frames := bytes.Split(joined, []byte("\x00\x01"))
		c := newTestCodec(t, "", "")
		if sign {
			c = newTestCodec(t, "", testKey)
			if len(frames) >= 7 {
				frames[2] = c.Sign(frames[3:7]...)
			}
		}
		m, err := c.Decode(frames)
		if err != nil {
			return
		}
		for _, raw := range [][]byte{m.RawHeader, m.Parent, m.Metadata, m.Content} {
			if !json.Valid(raw) {
				t.Fatalf("kept invalid JSON %q", raw)
			}
		}
		again, err := newTestCodec(t, "", testKey).Decode(newTestCodec(t, "", testKey).Encode(m))
		if err != nil || !reflect.DeepEqual(m, again) {
			t.Fatalf("%+v\nbecame %+v, %v", m, again, err)
		}
	})
}

func BenchmarkDecode(b *testing.B) {
	c := newTestCodec(b, "", testKey)
	frames := signed(goodHeader, "{}", "{}", `{"code":"1+1"}`)
	for b.Loop() {
		c.seen = history{}
		if _, err := c.Decode(frames); err != nil {
			b.Fatal(err)
		}
	}
}
