package wire

import (
	"encoding/json"
	"errors"
	"strings"
	"testing"
	"testing/iotest"
	"time"
)

func newTestAuthor(t testing.TB) *Author {
	t.Helper()
	at := time.Date(2026, 3, 1, 12, 30, 0, 5000, time.FixedZone("", 3600))
	a, err := NewAuthor("kernel", strings.NewReader("0123456789abcdef"), func() time.Time { return at })
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func TestAuthor(t *testing.T) {
	a := newTestAuthor(t)
	request := &Message{Identities: [][]byte{[]byte("peer")}, RawHeader: json.RawMessage(goodHeader)}
	reply, err := a.Reply(request, "execute_reply", map[string]any{"status": "ok"})
	if err != nil {
		t.Fatal(err)
	}
	want := Header{ID: a.Session() + "_1", Session: "30313233343536373839616263646566", Username: "kernel",
		Date: "2026-03-01T11:30:00.000005Z", Type: "execute_reply", Version: "5.5"}
	if reply.Header != want || string(reply.Identities[0]) != "peer" || string(reply.Content) != `{"status":"ok"}` {
		t.Errorf("reply %+v\nwant header %+v", reply, want)
	}
	published, err := a.Publish("stream.stdout", request, "stream", map[string]string{"text": "<b>&\n"})
	if err != nil {
		t.Fatal(err)
	}
	if string(published.Identities[0]) != "stream.stdout" || string(published.Parent) != goodHeader || published.Header.ID == reply.Header.ID ||
		string(published.Content) != `{"text":"<b>&\n"}` {
		t.Errorf("published %+v", published)
	}
}

func TestNoCause(t *testing.T) {
	a := newTestAuthor(t)
	published, err := a.Publish("status", nil, "status", nil)
	if err != nil || string(published.Parent) != "{}" || string(published.Content) != "{}" {
		t.Errorf("%+v, %v", published, err)
	}
	request, err := a.Request("kernel_info_request", nil)
	if err != nil || len(request.Identities) != 0 || string(request.Parent) != "{}" {
		t.Errorf("%+v, %v", request, err)
	}
	reply, err := a.Reply(request, "kernel_info_reply", nil) // of a message that was never encoded
	if err != nil || !strings.Contains(string(reply.Parent), request.Header.ID) {
		t.Errorf("%+v, %v", reply, err)
	}
}

func TestAuthorRefuses(t *testing.T) {
	a := newTestAuthor(t)
	for _, content := range []any{[]int{1}, "text", func() {}, json.RawMessage("null")} {
		if m, err := a.Request("stream", content); err == nil || !strings.Contains(err.Error(), "stream") {
			t.Errorf("content %T: %+v, %v", content, m, err)
		}
	}
	if _, err := NewAuthor("", iotest.ErrReader(errors.New("dry")), time.Now); err == nil {
		t.Error("a session without randomness")
	}
}

func TestSessionsDiffer(t *testing.T) {
	a := newTestAuthor(t)
	b, err := NewAuthor("", strings.NewReader("fedcba9876543210"), time.Now)
	if err != nil || a.Session() == b.Session() {
		t.Errorf("%q and %q, %v", a.Session(), b.Session(), err)
	}
}
