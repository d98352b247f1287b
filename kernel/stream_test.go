package kernel_test

import (
	"context"
	"encoding/json"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"foreplane/kernel"
	"foreplane/kernel/kerneltest"
	"foreplane/kernel/wire"
)

// streamed is what a cell's output came to.
type streamed struct {
	messages int
	largest  int // bytes
	text     map[string]string
}

// stream runs a cell in a kernel of its own and collects its stream messages until two batch times after it has ended.
func stream(t *testing.T, code string, until func(*tape)) (s streamed) {
	t.Helper()
	s.text = map[string]string{}
	synctest.Test(t, func(t *testing.T) {
		var sent tape
		k, err := kernel.New(kernel.Options{Engine: kerneltest.NewScript(), Sender: &sent})
		if err != nil {
			t.Fatal(err)
		}
		content, err := json.Marshal(map[string]any{"code": code})
		if err != nil {
			t.Fatal(err)
		}
		k.Handle(wire.Shell, &wire.Message{Header: wire.Header{ID: "a", Type: "execute_request"}, Content: content})
		if until != nil {
			until(&sent)
		}
		synctest.Wait()
		for _, m := range sent.sent {
			var c struct{ Name, Text string }
			if m.message.Header.Type != "stream" {
				continue
			}
			if err := json.Unmarshal(m.message.Content, &c); err != nil {
				t.Fatal(err)
			}
			s.messages++
			s.largest = max(s.largest, len(c.Text))
			s.text[c.Name] += c.Text
		}
		if err := k.Close(); err != nil {
			t.Error(err)
		}
	})
	return s
}

// TestStreamBatches prints a hundred thousand lines as fast as it can.
func TestStreamBatches(t *testing.T) {
	s := stream(t, "repeat 100000 line", nil)
	if n := strings.Count(s.text["stdout"], "\n"); n != 100000 || !strings.HasSuffix(s.text["stdout"], "line 99999\n") {
		t.Errorf("%d lines arrived", n)
	}
	if s.messages != 5 { // 64, 128, 256 and 512 KiB, and the rest of 1063 KiB
		t.Errorf("%d messages of up to %d bytes", s.messages, s.largest)
	}
}

// TestStreamTime looks at what a reader sees while a cell is still at work.
func TestStreamTime(t *testing.T) {
	for _, test := range []struct {
		pass time.Duration
		want string
	}{{19 * time.Millisecond, ""}, {20 * time.Millisecond, "one\ntwo\n"}} {
		var seen string
		stream(t, "print one\nprint two\nforever", func(sent *tape) {
			time.Sleep(test.pass)
			synctest.Wait()
			for _, m := range sent.sent {
				var c struct{ Text string }
				if json.Unmarshal(m.message.Content, &c) == nil {
					seen += c.Text
				}
			}
		})
		if seen != test.want {
			t.Errorf("after %v a reader saw %q, want %q", test.pass, seen, test.want)
		}
	}
}

// TestStreamKeepsCharactersWhole cuts a character where a batch ends: engines read pipes, which cut anywhere.
func TestStreamKeepsCharactersWhole(t *testing.T) {
	fill := strings.Repeat("x", 64<<10-1)
	for _, test := range []struct{ name, code, want string }{
		{"by size", "write stdout \"" + fill + `\xf0\x9f"` + "\n" + `write stdout "\xa6\xab"`, fill + "🦫"},
		{"never completed", `write stdout "ab\xf0\x9f"`, "ab\ufffd\ufffd"},
		{"no text at all", `write stdout "\xa6\xab"`, "\ufffd\ufffd"},
	} {
		t.Run(test.name, func(t *testing.T) {
			if got := stream(t, test.code, nil).text["stdout"]; got != test.want {
				t.Errorf("got ...%q, want ...%q", got[max(0, len(got)-12):], test.want[max(0, len(test.want)-12):])
			}
		})
	}
}

// TestStreamCutByTime lets a batch end in the middle of a character that is completed later, and of one that never is.
func TestStreamCutByTime(t *testing.T) {
	got := stream(t, `write stdout "ab\xf0\x9f`+"\"\nforever", func(*tape) { time.Sleep(30 * time.Millisecond) })
	if got.text["stdout"] != "ab" || got.messages != 1 {
		t.Errorf("after one batch time: %+v", got)
	}
	got = stream(t, `write stdout "ab\xf0\x9f`+"\"\nforever", func(*tape) { time.Sleep(50 * time.Millisecond) })
	if got.text["stdout"] != "ab\ufffd\ufffd" || got.messages != 2 {
		t.Errorf("after two: %+v", got)
	}
}

// chatter is an engine whose cells write short lines for two seconds, to one stream or to both in turn.
type chatter struct{ *kerneltest.Script }

func (chatter) Run(_ context.Context, c kernel.Cell, out kernel.Output) kernel.Result {
	streams := strings.Fields(c.Code)
	for i, began := 0, time.Now(); time.Since(began) < 2*time.Second; i++ {
		out.Stream(streams[i%len(streams)], "a line\n")
		time.Sleep(100 * time.Microsecond)
	}
	return kernel.Result{}
}

// TestStreamRate holds that steady output stays below 1000 messages and 1 MB a second, also when it goes to two streams in turn.
func TestStreamRate(t *testing.T) {
	for _, code := range []string{"stdout", "stdout stderr"} {
		synctest.Test(t, func(t *testing.T) {
			var sent tape
			k, err := kernel.New(kernel.Options{Engine: chatter{kerneltest.NewScript()}, Sender: &sent})
			if err != nil {
				t.Fatal(err)
			}
			k.Handle(wire.Shell, &wire.Message{Header: wire.Header{ID: "a", Type: "execute_request"}, Content: json.RawMessage(`{"code":"` + code + `"}`)})
			began := time.Now()
			time.Sleep(3 * time.Second)
			synctest.Wait()
			messages, bytes := 0, 0
			for _, m := range sent.sent {
				if m.message.Header.Type == "stream" {
					messages++
					bytes += len(m.message.Content)
				}
			}
			if seconds := time.Since(began).Seconds() - 1; messages == 0 || float64(messages) > 1000*seconds || float64(bytes) > 1e6*seconds {
				t.Errorf("%s: %d messages of %d bytes in %v s", code, messages, bytes, seconds)
			}
			if err := k.Close(); err != nil {
				t.Error(err)
			}
		})
	}
}
