package worker_test

import (
	"context"
	"fmt"
	"os"
	"strings"
	"sync"
	"testing"

	"foreplane/kernel"
	"foreplane/kernel/cell"
	"foreplane/kernel/display"
	"foreplane/kernel/worker"
)

// roleVariable makes the test binary a worker with the machine it names.
const roleVariable = "FOREPLANE_TEST_ROLE"

func TestMain(m *testing.M) {
	switch role := os.Getenv(roleVariable); role {
	case "":
		os.Exit(m.Run())
	case "script":
		os.Exit(worker.Main(func() (cell.Runner, error) { return &script{}, nil }))
	default:
		fmt.Fprintln(os.Stderr, "unknown role", role)
		os.Exit(2)
	}
}

// newRunner starts a worker with the machine of the given role.
func newRunner(t testing.TB, role string, o worker.Options) *worker.Supervisor {
	t.Helper()
	o.Argv = []string{os.Args[0]}
	o.Env = append(o.Env, roleVariable+"="+role, "GORACE=atexit_sleep_ms=0")
	s := worker.New(o)
	t.Cleanup(func() {
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	})
	return s
}

// program is one for the script machine, which takes the first name as its step.
func program(number int, step string) *cell.Program {
	return &cell.Program{Cell: number, Binds: []cell.Bind{{Name: step}}}
}

// recorder is an Output that notes everything in order.
type recorder struct {
	mu     sync.Mutex
	events []string
	answer func(ctx context.Context, prompt string, password bool) (string, error)
	wrote  chan struct{} // receives when there is something new
}

func newRecorder() *recorder { return &recorder{wrote: make(chan struct{}, 1)} }

var _ kernel.Output = (*recorder)(nil)

// note appends an event; text of one stream in a row becomes one event.
func (r *recorder) note(kind, text string) {
	r.mu.Lock()
	defer r.mu.Unlock()
	if last := len(r.events) - 1; last >= 0 && (kind == "stdout" || kind == "stderr") && strings.HasPrefix(r.events[last], kind+":") {
		r.events[last] += text
	} else {
		r.events = append(r.events, kind+":"+text)
	}
	select {
	case r.wrote <- struct{}{}:
	default:
	}
}

func (r *recorder) Stream(name, text string) { r.note(name, text) }
func (r *recorder) Show(b display.Bundle, id string) {
	r.note("show"+id, fmt.Sprint(b.Data["text/plain"]))
}
func (r *recorder) Update(b display.Bundle, id string) {
	r.note("update"+id, fmt.Sprint(b.Data["text/plain"]))
}
func (r *recorder) Clear(wait bool) { r.note("clear", fmt.Sprint(wait)) }

func (r *recorder) Input(ctx context.Context, prompt string, password bool) (string, error) {
	r.note("input", prompt)
	return r.answer(ctx, prompt, password)
}

func (r *recorder) String() string {
	r.mu.Lock()
	defer r.mu.Unlock()
	return strings.Join(r.events, "|")
}

// until waits until the recorded events satisfy ok.
func (r *recorder) until(ctx context.Context, ok func(events string) bool) error {
	for {
		if ok(r.String()) {
			return nil
		}
		select {
		case <-r.wrote:
		case <-ctx.Done():
			return fmt.Errorf("only saw %.200q: %w", r.String(), ctx.Err())
		}
	}
}
