package kernel

import (
	"crypto/rand"
	"encoding/json"
	"fmt"
	"strings"
	"testing"
	"time"

	"foreplane/kernel/wire"
)

// kept is an answer of a journal.
type kept struct {
	Cells     []journalCell
	Forgotten int
}

// TestJournal holds what is kept of cells, for whom it is asked, and that it is said what is not.
func TestJournal(t *testing.T) {
	author, err := wire.NewAuthor("test", rand.Reader, time.Now)
	if err != nil {
		t.Fatal(err)
	}
	var j journal
	publish := func(cause *wire.Message, kind string, content fields) {
		t.Helper()
		m, err := author.Publish("", cause, kind, content)
		if err != nil {
			t.Fatal(err)
		}
		j.note(cause, m)
	}
	request := func() *wire.Message { m, _ := author.Request("execute_request", nil); return m }
	ask := func(question string) (k kept) {
		t.Helper()
		if err := json.Unmarshal(j.report(CommData{Data: json.RawMessage(question)}).Data, &k); err != nil {
			t.Fatal(err)
		}
		return k
	}
	run := func(cause *wire.Message, n int, texts ...string) {
		publish(cause, "status", fields{"execution_state": "busy"})
		publish(cause, "execute_input", fields{"code": "x", "execution_count": n})
		for _, text := range texts {
			publish(cause, "stream", fields{"name": "stdout", "text": text})
		}
		publish(cause, "status", fields{"execution_state": "idle"})
	}

	first, silent := request(), request()
	run(first, 1, "a", "b")
	publish(first, "stream", fields{"name": "stdout", "text": "late"})
	publish(silent, "stream", fields{"name": "stdout", "text": "of no cell"})
	publish(nil, "stream", fields{"name": "stdout", "text": "of nothing"})
	got := ask(`{"request": "` + first.Header.ID + `"}`)
	if len(got.Cells) != 1 || got.Cells[0].Count != 1 || !got.Cells[0].Ended || len(got.Cells[0].Messages) != 3 ||
		string(got.Cells[0].Messages[2].Content) != `{"name":"stdout","text":"late"}` || got.Cells[0].Messages[2].Type != "stream" {
		t.Errorf("got %+v", got)
	}
	if got := ask(`{"request": "unknown"}`); len(got.Cells) != 0 || got.Cells == nil {
		t.Errorf("of an unknown request: %+v", got)
	}

	run(request(), 2, strings.Fields(strings.Repeat("word ", journalMessages+3))...)
	run(request(), 3, strings.Repeat("x", journalBytes), "end")
	got = ask(`[]`)
	if c := got.Cells[1]; c.Dropped != 3 || len(c.Messages) != journalMessages || c.DroppedBytes != 3*len(c.Messages[0].Content) {
		t.Errorf("of many messages %d are kept, %d dropped", len(c.Messages), c.Dropped)
	}
	if c := got.Cells[2]; c.Dropped != 1 || len(c.Messages) != 1 || c.DroppedBytes < journalBytes {
		t.Errorf("of long ones %d are kept, %d dropped", len(c.Messages), c.Dropped)
	}

	for n := range journalCells {
		run(request(), n+4, strings.Repeat("x", journalTotal/10))
	}
	got = ask(`null`)
	if n := len(got.Cells); n != 9 || got.Forgotten != 3+journalCells-9 || got.Cells[8].Count != journalCells+3 {
		t.Errorf("%d cells are kept, %d forgotten", n, got.Forgotten)
	}
	if j.bytes > journalTotal || j.bytes != 9*len(got.Cells[0].Messages[0].Content) {
		t.Errorf("%d bytes are counted", j.bytes)
	}
	for n := range journalCells {
		run(request(), n, fmt.Sprint(n))
	}
	if n := len(ask(`null`).Cells); n != journalCells {
		t.Errorf("%d cells are kept", n)
	}
}
