package kernel

import (
	"encoding/json"
	"slices"
	"sync"

	"foreplane/kernel/wire"
)

// JournalTarget is the name under which a front end opens a comm to get what it has missed: what was published for cells while it was not connected. It
// is answered when it opens the comm and for each message of its own, also while a cell runs. Its data may name a "request", the msg_id of an
// execute_request; without one it is given all cells that are kept. The data of the answer is
//
//	{"cells": [{"request": id, "execution_count": 3, "ended": true, "messages": [{"msg_type": "stream", "content": {…}}, …], "dropped": 2, "dropped_bytes": 65536}],
//	 "forgotten": 1}
//
// in the order in which cells were begun and messages published. Of a cell the newest messages are kept, and of cells the newest; "dropped" counts what is
// missing in front of the messages, "forgotten" the cells in front of the first.
const JournalTarget = "foreplane.journal"

// Bounds of the journal.
const (
	journalCells    = 64
	journalMessages = 500     // of a cell
	journalBytes    = 2 << 20 // of contents of a cell
	journalTotal    = 8 << 20 // of contents of all cells
)

// journal keeps what was published for the last cells.
type journal struct {
	mu        sync.Mutex
	cells     []*journalCell
	bytes     int // of all contents
	forgotten int
}

type journalCell struct {
	Request      string           `json:"request"`
	Count        int              `json:"execution_count"`
	Ended        bool             `json:"ended"`
	Messages     []journalMessage `json:"messages"`
	Dropped      int              `json:"dropped"`
	DroppedBytes int              `json:"dropped_bytes"`
	bytes        int
}

type journalMessage struct {
	Type    string          `json:"msg_type"`
	Content json.RawMessage `json:"content"`
}

// outputs are the types of messages that the journal keeps.
var outputs = map[string]bool{"stream": true, "display_data": true, "update_display_data": true, "execute_result": true, "error": true, "clear_output": true}

// note enters a message that is published.
func (j *journal) note(cause *wire.Message, m *wire.Message) {
	if cause == nil || cause.Header.Type != "execute_request" {
		return
	}
	j.mu.Lock()
	defer j.mu.Unlock()
	switch kind := m.Header.Type; {
	case kind == "execute_input":
		j.begin(cause.Header.ID, m.Content)
	case kind == "status":
		if c := j.find(cause.Header.ID); c != nil {
			c.Ended = c.Ended || isIdle(m.Content)
		}
	case outputs[kind]:
		j.add(j.find(cause.Header.ID), journalMessage{kind, m.Content})
	}
}

func isIdle(content json.RawMessage) bool {
	var state struct {
		Is string `json:"execution_state"`
	}
	return json.Unmarshal(content, &state) == nil && state.Is == "idle"
}

func (j *journal) begin(request string, input json.RawMessage) {
	c := &journalCell{Request: request, Messages: []journalMessage{}}
	json.Unmarshal(input, c)
	j.cells = append(j.cells, c)
	for len(j.cells) > journalCells {
		j.forget()
	}
}

func (j *journal) find(request string) *journalCell {
	for _, c := range slices.Backward(j.cells) {
		if c.Request == request {
			return c
		}
	}
	return nil
}

// add enters output of a cell, which is nil if the cell has been forgotten.
func (j *journal) add(c *journalCell, m journalMessage) {
	if c == nil {
		return
	}
	c.Messages = append(c.Messages, m)
	c.bytes += len(m.Content)
	j.bytes += len(m.Content)
	for len(c.Messages) > journalMessages || c.bytes > journalBytes {
		j.drop(c)
	}
	for j.bytes > journalTotal {
		j.forget()
	}
}

// drop takes the oldest message out of a cell.
func (j *journal) drop(c *journalCell) {
	size := len(c.Messages[0].Content)
	c.Messages[0] = journalMessage{}
	c.Messages = c.Messages[1:]
	c.Dropped++
	c.DroppedBytes += size
	c.bytes -= size
	j.bytes -= size
}

// forget takes out the oldest cell.
func (j *journal) forget() {
	j.bytes -= j.cells[0].bytes
	j.cells[0] = nil
	j.cells = j.cells[1:]
	j.forgotten++
}

// report answers a front end.
func (j *journal) report(question CommData) CommData {
	var q struct{ Request string }
	json.Unmarshal(question.Data, &q) // what makes no sense asks for everything
	j.mu.Lock()
	defer j.mu.Unlock()
	cells := []*journalCell{}
	for _, c := range j.cells {
		if q.Request == "" || c.Request == q.Request {
			cells = append(cells, c)
		}
	}
	data, _ := json.Marshal(fields{"cells": cells, "forgotten": j.forgotten}) // nothing in it fails to encode
	return CommData{Data: data}
}

// open implements [Target].
func (j *journal) open(c *Comm, opening CommData) error {
	c.Received = func(d CommData) { c.Reply(d, j.report(d)) }
	c.Reply(opening, j.report(opening))
	return nil
}
