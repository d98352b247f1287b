package worker_test

import (
	"context"
	"errors"
	"strings"
	"testing"
	"time"

	"foreplane/kernel/cell"
	"foreplane/kernel/worker"
)

// limited is the time a test may wait for something that must happen soon.
func limited(t testing.TB) context.Context {
	ctx, cancel := context.WithTimeout(t.Context(), 20*time.Second)
	t.Cleanup(cancel)
	return ctx
}

// mustRun runs a step that must end well, and returns its value and output.
func mustRun(t testing.TB, s *worker.Supervisor, number int, step string) (value, output string) {
	t.Helper()
	out := newRecorder()
	outcome, err := s.Run(limited(t), program(number, step), out)
	if err != nil {
		t.Fatalf("%s: %v", step, err)
	}
	if outcome.Err != nil {
		t.Fatalf("%s: %v", step, outcome.Err)
	}
	return outcome.Value.Data["text/plain"].(string), out.String()
}

// mustLose runs a step that must cost the worker.
func mustLose(t testing.TB, s *worker.Supervisor, number int, step string) *cell.LostError {
	t.Helper()
	outcome, err := s.Run(limited(t), program(number, step), newRecorder())
	var lost *cell.LostError
	if !errors.As(err, &lost) {
		t.Fatalf("%s: outcome %+v, error %v, want a LostError", step, outcome, err)
	}
	return lost
}

func TestOutputOrder(t *testing.T) {
	s := newRunner(t, "script", worker.Options{})
	for step, want := range map[string]string{
		"order":  "stdout:a0|stderr:b0|show:c0|stdout:a1|stderr:b1|show:c1|stdout:a2|stderr:b2|show:c2|stderr:d|stdout:é|update7:e|clear:true",
		"direct": "stdout:1|show:2|stdout:3|show:4|stderr:5\n|show:6|stderr:7\n|show:8|stdout:9",
	} {
		for i := range 50 {
			if _, got := mustRun(t, s, i, step); got != want {
				t.Fatalf("%s\n got %s\nwant %s", step, got, want)
			}
		}
	}
}

// TestLosses checks that every way to lose a worker is explained, and that the next program has a new one.
func TestLosses(t *testing.T) {
	for _, c := range []struct {
		step string
		want string
	}{
		{"exit 3", "cell 1 ended the process that runs the cells: os.Exit(3) was called"},
		{"exit 0", "os.Exit(0) was called"},
		{"panic boom", "cell 1 ended the process that runs the cells: panic in a goroutine: boom"},
		{"maps", "concurrent map writes, two goroutines used a map at the same time: guard it with a sync.Mutex"},
		{"stack", "stack overflow, a function went on calling itself until the stack of 32 MiB was full"},
		{"hog", "out of memory, 2"},
		{"make 10737418240", "the limit is 256 MiB"},
		{"signal 9", "killed from outside, perhaps by the system because memory was short"},
		{"signal 15", "ended by a signal from outside: terminated"},
		{"unknown", `unknown step "unknown"`},
	} {
		t.Run(c.step, func(t *testing.T) {
			s := newRunner(t, "script", worker.Options{Memory: 256 << 20})
			mustRun(t, s, 0, "remember me")
			lost := mustLose(t, s, 1, c.step)
			t.Log(lost, lost.Cause.Traceback)
			if !strings.Contains(lost.Cause.Message, c.want) || lost.Cause.Name != "WorkerLost" || !lost.Began {
				t.Errorf("got %+v, want a message with %q", lost, c.want)
			}
			if got, _ := mustRun(t, s, 2, "recall"); got != "" {
				t.Errorf("the new worker remembers %q", got)
			}
		})
	}
}
