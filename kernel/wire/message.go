package wire

import "encoding/json"

// Version is the version of the messaging protocol that messages made here announce.
const Version = "5.5"

// Channel names one of the protocol's message channels. The heartbeat carries no messages and has none.
type Channel uint8

const (
	Shell Channel = iota
	Control
	Stdin
	IOPub
)

func (c Channel) String() string {
	return [...]string{"shell", "control", "stdin", "iopub"}[c]
}

// Header identifies a message; see the protocol's section on message headers.
type Header struct {
	ID         string `json:"msg_id"`
	Session    string `json:"session"`
	Username   string `json:"username"`
	Date       string `json:"date"`
	Type       string `json:"msg_type"`
	Version    string `json:"version"`
	SubshellID string `json:"subshell_id,omitempty"`
}

// Message is one decoded message. Parent, Metadata and Content are JSON objects as they travel.
type Message struct {
	Identities [][]byte        // routing prefix; on IOPub the single topic frame
	Header     Header          // decoded header
	RawHeader  json.RawMessage // header as received, unknown keys included; empty on messages made here
	Parent     json.RawMessage // verbatim header of the request that caused this message, or {}
	Metadata   json.RawMessage
	Content    json.RawMessage
	Buffers    [][]byte
}

// rawHeader is the header as it travels: verbatim if it was received, encoded otherwise.
func (m *Message) rawHeader() json.RawMessage {
	if len(m.RawHeader) > 0 {
		return m.RawHeader
	}
	raw, err := json.Marshal(m.Header)
	if err != nil {
		panic("wire: a struct of strings did not encode: " + err.Error())
	}
	return raw
}
