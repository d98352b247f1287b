package worker_test

import (
	"context"
	"errors"
	"fmt"
	"os"
	"strings"
	"sync"
	"testing"
	"time"

	"foreplane/kernel"
	"foreplane/kernel/cell"
	"foreplane/kernel/display"
	"foreplane/kernel/worker"
)

// roleVariable makes the test binary another program.
const roleVariable = "FOREPLANE_TEST_ROLE"

var roles = map[string]func() int{
	"":       nil,
	"script": func() int { return worker.Main(func() (cell.Runner, error) { return &script{}, nil }) },
	"other":  func() int { return 5 },
	"broken": func() int {
		return worker.Main(func() (cell.Runner, error) { return nil, errors.New("the machine is broken") })
	},
}

func TestMain(m *testing.M) {
	role, ok := roles[os.Getenv(roleVariable)]
	if !ok {
		panic("unknown role")
	}
	if role == nil {
		role = m.Run
	}
	os.Exit(role())
}

// options are those of a worker with the given role.
func options(role string) worker.Options {
	return worker.Options{
		Argv: []string{os.Args[0]},
		Env:  []string{roleVariable + "=" + role, "GORACE=atexit_sleep_ms=0"},
	}
}

func start(t testing.TB, o worker.Options) *worker.Supervisor {
	t.Helper()
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

// limited is the time in which something that must happen soon must have happened.
func limited(t testing.TB) context.Context {
	ctx, cancel := context.WithTimeout(t.Context(), 20*time.Second)
	t.Cleanup(cancel)
	return ctx
}

// mustRun runs a step that must end well, and returns its value.
func mustRun(t testing.TB, s *worker.Supervisor, number int, step string, out kernel.Output) string {
	t.Helper()
	outcome, err := s.Run(limited(t), program(number, step), out)
	if err != nil {
		t.Fatalf("%s: %v", step, err)
	}
	if outcome.Err != nil {
		t.Fatalf("%s: %v", step, outcome.Err)
	}
	return outcome.Value.Data["text/plain"].(string)
}

// mustLose runs a step that must cost the worker.
func mustLose(t testing.TB, s *worker.Supervisor, number int, step string) *cell.LostError {
	t.Helper()
	outcome, err := s.Run(limited(t), program(number, step), newRecorder())
	return lost(t, outcome, err)
}

func lost(t testing.TB, outcome cell.Outcome, err error) *cell.LostError {
	t.Helper()
	var lost *cell.LostError
	if !errors.As(err, &lost) {
		t.Fatalf("outcome %+v, error %v, want a LostError", outcome, err)
	}
	return lost
}

// recorder is an Output that notes everything in order.
type recorder struct {
	answer func(ctx context.Context, prompt string, password bool) (string, error)

	mu     sync.Mutex
	noted  sync.Cond
	events []*event
}

type event struct {
	kind string
	text strings.Builder
}

func newRecorder() *recorder {
	r := new(recorder)
	r.noted.L = &r.mu
	return r
}

var _ kernel.Output = (*recorder)(nil)

// note appends an event; text of one stream in a row becomes one event.
func (r *recorder) note(kind, text string) {
	r.mu.Lock()
	defer r.mu.Unlock()
	last := len(r.events) - 1
	if last < 0 || r.events[last].kind != kind || kind != "stdout" && kind != "stderr" {
		r.events = append(r.events, &event{kind: kind})
		last++
	}
	r.events[last].text.WriteString(text)
	r.noted.Broadcast()
}

func (r *recorder) Stream(name, text string) { r.note(name, text) }
func (r *recorder) Show(b display.Bundle, id string) {
	r.note("show"+id, fmt.Sprint(b.Data["text/plain"]))
}
func (r *recorder) Update(b display.Bundle, id string) {
	r.note("update"+id, fmt.Sprint(b.Data["text/plain"]))
}
func (r *recorder) Clear(wait bool)       { r.note("clear", fmt.Sprint(wait)) }
func (r *recorder) Page(b display.Bundle) { r.note("page", fmt.Sprint(b.Data["text/plain"])) }

func (r *recorder) Input(ctx context.Context, prompt string, password bool) (string, error) {
	r.note("input", prompt)
	return r.answer(ctx, prompt, password)
}

// String lists the events as kind:text|kind:text.
func (r *recorder) String() string {
	r.mu.Lock()
	defer r.mu.Unlock()
	return r.list()
}

func (r *recorder) list() string {
	list := make([]string, len(r.events))
	for i, e := range r.events {
		list[i] = e.kind + ":" + e.text.String()
	}
	return strings.Join(list, "|")
}

// until waits until the events contain what is wanted.
func (r *recorder) until(t testing.TB, want string) {
	t.Helper()
	ctx := limited(t)
	defer context.AfterFunc(ctx, r.noted.Broadcast)()
	r.mu.Lock()
	defer r.mu.Unlock()
	for !strings.Contains(r.list(), want) {
		if ctx.Err() != nil {
			t.Fatalf("got %.200q, want it to contain %q", r.list(), want)
		}
		r.noted.Wait()
	}
}

// discard is an Output for what is not looked at.
type discard struct{}

func (discard) Stream(string, string)         {}
func (discard) Show(display.Bundle, string)   {}
func (discard) Update(display.Bundle, string) {}
func (discard) Clear(bool)                    {}
func (discard) Page(display.Bundle)           {}
func (discard) Input(context.Context, string, bool) (string, error) {
	return "", errors.New("nobody to ask")
}
