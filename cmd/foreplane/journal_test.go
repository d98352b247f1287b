package main

import (
	"encoding/json"
	"os"
	"testing"

	"foreplane/kernel"
	"foreplane/kernel/wire"
)

// TestJournalOverSockets lets a front end leave while its cell prints, and come back when the cell has gone on without it: it is told all the cell has put out.
func TestJournalOverSockets(t *testing.T) {
	k := startKernel(t)
	other := k.dial(t, "other")
	leaving := k.dial(t, "notebook")
	mark := t.TempDir() + "/go-on"
	id := leaving.send(wire.Shell, "execute_request", map[string]any{"code": "fmt.Println(\"before\")\n" +
		"for {\n\tif _, err := os.Stat(`" + mark + "`); err == nil {\n\t\tbreak\n\t}\n\ttime.Sleep(time.Millisecond)\n}\nfmt.Println(\"after\")\n6 * 7"})
	for leaving.next(wire.IOPub).Header.Type != "stream" {
	}
	leaving.close()
	if err := os.WriteFile(mark, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	for m := other.next(wire.IOPub); parentOf(m) != id || content(m).State != "idle"; m = other.next(wire.IOPub) {
	}

	back := k.dial(t, "notebook")
	back.send(wire.Shell, "comm_open", map[string]any{"comm_id": "j", "target_name": kernel.JournalTarget, "data": map[string]string{"request": id}})
	m := back.next(wire.IOPub)
	for m.Header.Type != "comm_msg" {
		m = back.next(wire.IOPub)
	}
	var told struct {
		Data struct {
			Cells []struct {
				Request  string
				Ended    bool
				Messages []struct {
					Type    string `json:"msg_type"`
					Content fields
				}
			}
		}
	}
	if err := json.Unmarshal(m.Content, &told); err != nil || len(told.Data.Cells) != 1 {
		t.Fatalf("%v: %s", err, m.Content)
	}
	text, value := "", any(nil)
	for _, m := range told.Data.Cells[0].Messages {
		text += m.Content.Text
		if m.Type == "execute_result" {
			value = m.Content.Data["text/plain"]
		}
	}
	if c := told.Data.Cells[0]; c.Request != id || !c.Ended || text != "before\nafter\n" || value != "42" {
		t.Errorf("told %s", m.Content)
	}
}
