package wire

import (
	"bytes"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"
	"strconv"
	"sync/atomic"
	"time"
)

// Author makes messages in the name of one process: one session, ids that never repeat. It is safe for concurrent use.
type Author struct {
	session, username string
	now               func() time.Time
	made              atomic.Uint64
}

// NewAuthor returns an author whose session is drawn from random (crypto/rand.Reader) and whose dates come from now (time.Now).
func NewAuthor(username string, random io.Reader, now func() time.Time) (*Author, error) {
	var id [16]byte
	if _, err := io.ReadFull(random, id[:]); err != nil {
		return nil, fmt.Errorf("no randomness for a session id: %w", err)
	}
	return &Author{session: hex.EncodeToString(id[:]), username: username, now: now}, nil
}

// Session identifies the process in every header it writes; clients take a change of it for a restart.
func (a *Author) Session() string { return a.session }

// Request makes a message that nothing caused.
func (a *Author) Request(kind string, content any) (*Message, error) {
	return a.message(nil, nil, kind, content)
}

// Reply makes an answer to request, or a question to whoever sent it: same routing prefix, the request's header as parent.
func (a *Author) Reply(request *Message, kind string, content any) (*Message, error) {
	return a.message(request.Identities, request, kind, content)
}

// Publish makes a message for IOPub under topic. Its parent is cause's header, or {} if cause is nil.
func (a *Author) Publish(topic string, cause *Message, kind string, content any) (*Message, error) {
	return a.message([][]byte{[]byte(topic)}, cause, kind, content)
}

func (a *Author) message(to [][]byte, cause *Message, kind string, content any) (*Message, error) {
	body, err := encode(content)
	if err != nil {
		return nil, fmt.Errorf("content of %s: %w", kind, err)
	}
	parent := json.RawMessage("{}")
	if cause != nil {
		parent = cause.rawHeader()
	}
	return &Message{Identities: to, Header: a.header(kind), Parent: parent, Metadata: json.RawMessage("{}"), Content: body}, nil
}

func (a *Author) header(kind string) Header {
	return Header{
		ID:       a.session + "_" + strconv.FormatUint(a.made.Add(1), 10),
		Session:  a.session,
		Username: a.username,
		Date:     a.now().UTC().Format("2006-01-02T15:04:05.000000Z07:00"),
		Type:     kind,
		Version:  Version,
	}
}

// encode returns content as a JSON object; nil is an empty one. Markup is left readable: contents are mostly HTML and SVG.
func encode(content any) (json.RawMessage, error) {
	if content == nil {
		return json.RawMessage("{}"), nil
	}
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(content); err != nil {
		return nil, err
	}
	text := bytes.TrimSuffix(b.Bytes(), []byte("\n"))
	if text[0] != '{' {
		return nil, fmt.Errorf("%T encodes as %.20q, not as a JSON object", content, text)
	}
	return text, nil
}
