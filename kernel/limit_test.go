package kernel_test

import (
	"encoding/json"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"foreplane/kernel"
	"foreplane/kernel/kerneltest"
	"foreplane/kernel/wire"
)

// TestTimeLimit holds that a cell that takes longer than allowed is interrupted then, says so, and takes what waits with it, and that others are left alone.
func TestTimeLimit(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		var sent tape
		k, err := kernel.New(kernel.Options{Engine: kerneltest.NewScript(), Sender: &sent, Time: time.Minute})
		if err != nil {
			t.Fatal(err)
		}
		run := func(code string) string {
			content, _ := json.Marshal(map[string]any{"code": code, "allow_stdin": true})
			k.Handle(wire.Shell, &wire.Message{Header: wire.Header{ID: code, Type: "execute_request"}, Content: content, Identities: [][]byte{[]byte("ann")}})
			for {
				got, ok := sent.next(func(m *wire.Message) bool { return m.Header.Type == "execute_reply" })
				if ok {
					return string(got.message.Content)
				}
				time.Sleep(time.Second)
			}
		}
		const want = `"ename":"TimeLimit","evalue":"the cell was interrupted: it took longer than 1m0s, the limit that is set by --time"`
		for _, code := range []string{"forever", "ask name?"} {
			began := time.Now()
			if got := run(code); !strings.Contains(got, want) || time.Since(began) != time.Minute {
				t.Errorf("%s: after %v %s", code, time.Since(began), got)
			}
		}
		time.Sleep(time.Hour)
		if got := run("print one"); !strings.Contains(got, `"status":"ok"`) {
			t.Errorf("after it: %s", got)
		}
		if err := k.Close(); err != nil {
			t.Error(err)
		}
	})
}
