package wire

import "encoding/json"

// Channel names one of the protocol's message channels. The heartbeat carries no messages and has none.
type Channel uint8

const (
	Shell Channel = iota
	Control
	Stdin
	IOPub
)

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
