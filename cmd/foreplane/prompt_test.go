package main

import (
	"strings"
	"testing"
	"time"

	"foreplane/kernel/wire"
)

const asking = "name := ask(\"name?\")\nname"

// TestQuestionIsTakenBack holds that a cell that waits for input ends as interrupted when it is to run again, and when the client that was asked has gone:
// within the two seconds that it has to come back, and a little.
func TestQuestionIsTakenBack(t *testing.T) {
	k := startKernel(t)
	c := k.dial(t, "notebook")
	first := c.ask("cell-1")
	c.next(wire.Stdin)
	second := c.ask("cell-1")
	c.wantFailure(first, "it was waiting for input when it was to run again")
	c.answer("Sedge")
	if m := c.next(wire.Shell); parentOf(m) != second || content(m).Status != "ok" {
		t.Errorf("run again: %s", m.Content)
	}
	if r := c.execute("name", nil, nil); r.value != "Sedge" {
		t.Errorf("after it: %+v", r)
	}

	leaving := k.dial(t, "leaving")
	last := leaving.ask("cell-2")
	leaving.next(wire.Stdin)
	leaving.close()
	began := time.Now()
	for m := c.next(wire.IOPub); ; m = c.next(wire.IOPub) {
		if in := content(m); parentOf(m) == last && m.Header.Type == "error" {
			if in.EName != "Interrupted" || !strings.Contains(in.EValue, "the front end that was asked has gone") {
				t.Errorf("got %s", m.Content)
			}
			break
		}
	}
	if took := time.Since(began); took > 5*time.Second {
		t.Errorf("it took %v", took)
	}
	if r := c.execute("1 + 1", nil, nil); r.value != "2" {
		t.Errorf("the next cell: %+v", r)
	}
}

// ask runs a cell that asks, and returns its number.
func (c *client) ask(cell string) string {
	c.t.Helper()
	m, err := c.author.Request("execute_request", map[string]any{"code": asking, "allow_stdin": true})
	if err != nil {
		c.t.Fatal(err)
	}
	m.Metadata = []byte(`{"cellId":"` + cell + `"}`)
	c.sendMessage(wire.Shell, m)
	return m.Header.ID
}

// answer answers the question that comes.
func (c *client) answer(text string) {
	c.t.Helper()
	if m := c.next(wire.Stdin); m.Header.Type != "input_request" {
		c.t.Fatalf("on stdin came %s", m.Header.Type)
	}
	c.send(wire.Stdin, "input_reply", map[string]any{"value": text})
}

// wantFailure waits for the reply to a cell, which is to be interrupted and say why.
func (c *client) wantFailure(id, why string) {
	c.t.Helper()
	m := c.next(wire.Shell)
	if in := content(m); parentOf(m) != id || in.EName != "Interrupted" || !strings.Contains(in.EValue, why) {
		c.t.Errorf("got %s, want an interrupted cell: %s", m.Content, why)
	}
}
