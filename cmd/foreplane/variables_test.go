package main

import (
	"encoding/json"
	"strings"
	"testing"

	"foreplane/kernel"
	"foreplane/kernel/wire"
	"foreplane/kernel/worker"
)

// sent passes on what a kernel sends.
type sent chan *wire.Message

func (s sent) Send(_ wire.Channel, m *wire.Message) error {
	s <- m
	return nil
}

// await returns the first message of a type.
func (s sent) await(t *testing.T, kind string) *wire.Message {
	t.Helper()
	for {
		select {
		case m := <-s:
			if m.Header.Type == kind {
				return m
			}
		case <-t.Context().Done():
			t.Fatalf("no %s", kind)
		}
	}
}

// TestVariablesView opens a comm, and asks by it while a cell runs without end.
func TestVariablesView(t *testing.T) {
	engine, err := newEngine("", worker.Options{})
	if err != nil {
		t.Fatal(err)
	}
	view, messages := watch(engine), make(sent, 100)
	k, err := kernel.New(kernel.Options{Engine: view, Sender: messages})
	if err != nil {
		t.Fatal(err)
	}
	defer k.Close()
	k.RegisterPrompt(variablesTarget, view.open)
	request := func(kind string, content map[string]any) {
		text, _ := json.Marshal(content)
		header := wire.Header{ID: kind, Type: kind}
		k.Handle(wire.Shell, &wire.Message{Header: header, RawHeader: []byte(`{"msg_id":"` + kind + `"}`), Content: text})
	}
	shows := func(parts ...string) {
		t.Helper()
		text := string(messages.await(t, "comm_msg").Content)
		for _, part := range parts {
			if !strings.Contains(text, part) {
				t.Errorf("%s: nothing of %s", text, part)
			}
		}
	}
	request("comm_open", map[string]any{"comm_id": "v", "target_name": variablesTarget, "data": map[string]any{}})
	shows(`"variables":[]`)
	request("execute_request", map[string]any{"code": "V := 95 * Knot"})
	shows(`"name":"V"`, `"type":"float64"`, `"value":"48.87222222222223"`, `"unit":"m/s"`, `"cell":1`)
	messages.await(t, "execute_reply")
	request("execute_request", map[string]any{"code": "for { V++ }"})
	messages.await(t, "execute_input")
	request("comm_msg", map[string]any{"comm_id": "v", "data": map[string]any{}})
	shows(`"value":"48.87222222222223"`)
	k.Interrupt()
	messages.await(t, "execute_reply")
}
