package kernel

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"strings"

	"foreplane/kernel/wire"
)

// fields is the content of a message made here.
type fields map[string]any

// request is one message on shell or control.
type request struct {
	*wire.Message
	channel  wire.Channel
	cause    *wire.Message // what answers and side effects need to keep of the message, and no more
	aborted  bool          // it waited while a cell before it failed
	replaces *wire.Message // the request of the same cell that it ended, because that was waiting for input
	after    func()        // done when all is answered
}

func newRequest(ch wire.Channel, m *wire.Message) *request {
	cause := &wire.Message{Header: m.Header, RawHeader: bytes.Clone(m.RawHeader), Identities: m.Identities}
	return &request{Message: m, channel: ch, cause: cause, after: func() {}}
}

// wantsReply reports whether the protocol knows an answer to messages of this type. Comm messages have none.
func (r *request) wantsReply() bool { return strings.HasSuffix(r.Header.Type, "_request") }

func (r *request) replyType() string { return strings.TrimSuffix(r.Header.Type, "_request") + "_reply" }

// decode reads the content into a struct.
func (r *request) decode(into any) error { return decode(r.Content, into) }

// decode reads a JSON object into a struct. The error names the field that does not fit.
func decode(content json.RawMessage, into any) error {
	err := json.Unmarshal(content, into)
	var mismatch *json.UnmarshalTypeError
	switch {
	case err == nil:
		return nil
	case !errors.As(err, &mismatch):
		return malformed("content is not JSON: %v", err)
	case mismatch.Field == "":
		return malformed("content is a JSON %s, want an object", mismatch.Value)
	}
	return malformed("content.%s is a JSON %s, want %s", mismatch.Field, mismatch.Value, jsonKind(mismatch.Type.Kind().String()))
}

// jsonKind is what JSON calls the values that a Go type of this kind takes.
func jsonKind(kind string) string {
	switch {
	case kind == "string":
		return "a string"
	case kind == "bool":
		return "true or false"
	case strings.HasPrefix(kind, "int"):
		return "an integer"
	case kind == "slice":
		return "a list"
	}
	return "an object"
}

// missing is the complaint about a required field that is absent or null.
func missing(field string) error { return malformed("content.%s is missing", field) }

func malformed(format string, args ...any) error {
	return &CellError{Name: "Malformed", Message: fmt.Sprintf(format, args...)}
}
