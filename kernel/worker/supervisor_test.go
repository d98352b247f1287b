package worker_test

import (
	"context"
	"errors"
	"os"
	"os/exec"
	"runtime"
	"strings"
	"testing"
	"time"

	"foreplane/kernel/worker"
)

func TestOutput(t *testing.T) {
	s := start(t, options("script"))
	for step, want := range map[string]string{
		"order":  "stdout:a0|stderr:b0|show:c0|stdout:a1|stderr:b1|show:c1|stdout:a2|stderr:b2|show:c2|stderr:d|stdout:é|update7:e|clear:true",
		"direct": "stdout:1|show:2|stdout:3|show:4|stderr:5\n|show:6|stderr:7\n|show:8|stdout:9",
		"odd":    "stdout:<\uFFFDé\x00>\uFFFD",
		"close":  "stdout:before",
		"unfit":  "stderr:a display cannot be shown: json: unsupported type: func()\n|stdout:go on",
	} {
		for i := range 50 {
			out := newRecorder()
			mustRun(t, s, i, step, out)
			if got := out.String(); got != want {
				t.Fatalf("%s, run %d\n got %s\nwant %s", step, i, got, want)
			}
		}
	}
}

func TestBigOutput(t *testing.T) {
	s := start(t, options("script"))
	out := newRecorder()
	const bytes = 50e6
	mustRun(t, s, 1, "big 50000000", out)
	if got := len(strings.TrimPrefix(out.String(), "stdout:")); got != bytes {
		t.Errorf("got %d bytes, want %.0f", got, bytes)
	}
}

// TestLateOutput checks that what a goroutine writes goes to the program that started it, and does not take other text along.
func TestLateOutput(t *testing.T) {
	s := start(t, options("script"))
	first, second := newRecorder(), newRecorder()
	now := make(chan string)
	first.answer = func(context.Context, string, bool) (string, error) { return <-now, nil }
	second.answer = func(context.Context, string, bool) (string, error) {
		now <- "write"
		first.until(t, "show:late")
		return "", nil
	}
	mustRun(t, s, 1, "late late", first)
	mustRun(t, s, 2, "ask ?", second)
	mustRun(t, s, 3, "direct", second)
	if got, want := first.String(), "input:now?|stdout:late|show:late"; got != want {
		t.Errorf("first program: got %q, want %q", got, want)
	}
	if got := second.String(); !strings.HasPrefix(got, "input:?|stdout:1|") {
		t.Errorf("second program: got %q", got)
	}
}

func TestInterrupt(t *testing.T) {
	s := start(t, options("script"))
	pid := mustRun(t, s, 1, "pid", discard{})
	ctx, cancel := context.WithCancel(t.Context())
	out := newRecorder()
	go func() { out.until(t, "waiting"); cancel() }()
	outcome, err := s.Run(ctx, program(2, "wait"), out)
	if err != nil || outcome.Err == nil || outcome.Err.Name != "Interrupted" {
		t.Errorf("got %+v, %v, want an Interrupted outcome", outcome, err)
	}
	if got := mustRun(t, s, 3, "pid", discard{}); got != pid {
		t.Errorf("the worker was %s and is %s", pid, got)
	}
}

func TestInterruptNotObeyed(t *testing.T) {
	o := options("script")
	o.Grace = 50 * time.Millisecond
	s := start(t, o)
	ctx, cancel := context.WithCancel(t.Context())
	out := newRecorder()
	go func() { out.until(t, "stuck"); cancel() }()
	outcome, err := s.Run(ctx, program(2, "stuck"), out)
	cause := lost(t, outcome, err).Cause
	want := "cell 2 was interrupted and did not stop within 50ms, so the process that runs the cells was ended"
	if cause.Name != "Interrupted" || cause.Message != want {
		t.Errorf("got %+v, want %q", cause, want)
	}
	mustRun(t, s, 3, "recall", discard{})
}

func TestQuestions(t *testing.T) {
	s := start(t, options("script"))
	out := newRecorder()
	out.answer = func(_ context.Context, prompt string, password bool) (string, error) {
		if !password {
			return "", errors.New("not a password")
		}
		return "answer to " + prompt, nil
	}
	if got := mustRun(t, s, 1, "ask who?", out); got != "answer to who?" {
		t.Errorf("got %q", got)
	}
	out.answer = func(context.Context, string, bool) (string, error) { return "", errors.New("nobody there") }
	outcome, err := s.Run(limited(t), program(2, "ask who?"), out)
	if err != nil || outcome.Err == nil || outcome.Err.Message != "nobody there" {
		t.Errorf("got %+v, %v", outcome, err)
	}
}

// TestQuestionEnds checks that a question ends when its program is interrupted and when the worker is lost.
func TestQuestionEnds(t *testing.T) {
	for name, end := range map[string]func(s *worker.Supervisor, cancel func()){
		"interrupt": func(_ *worker.Supervisor, cancel func()) { cancel() },
		"loss":      func(s *worker.Supervisor, _ func()) { s.Close() },
	} {
		t.Run(name, func(t *testing.T) {
			s := start(t, options("script"))
			ctx, cancel := context.WithCancel(t.Context())
			defer cancel()
			ended := make(chan struct{})
			out := newRecorder()
			out.answer = func(ctx context.Context, _ string, _ bool) (string, error) {
				go end(s, cancel)
				<-ctx.Done()
				close(ended)
				return "", ctx.Err()
			}
			outcome, err := s.Run(ctx, program(1, "ask who?"), out)
			if err == nil && outcome.Err == nil {
				t.Errorf("got %+v", outcome)
			}
			<-ended
		})
	}
}

// TestLosses checks that every way to lose a worker is explained, and that the next program has a new one.
func TestLosses(t *testing.T) {
	o := options("script")
	o.Memory = 256 << 20
	for step, want := range map[string]string{
		"exit 3":           "cell 1 ended the process that runs the cells: os.Exit(3) was called",
		"exit 0":           "os.Exit(0) was called",
		"panic boom":       "cell 1 ended the process that runs the cells: panic in a goroutine: boom",
		"maps":             "concurrent map writes, two goroutines used a map at the same time: guard it with a sync.Mutex",
		"stack":            "stack overflow, a function went on calling itself until the stack of 32 MiB was full",
		"hog":              "out of memory, ",
		"make 10737418240": "the limit is 256 MiB",
		"unknown":          `unknown step "unknown"`,
	} {
		t.Run(step, func(t *testing.T) {
			s := start(t, o)
			mustRun(t, s, 0, "remember me", discard{})
			lost := mustLose(t, s, 1, step)
			if !strings.Contains(lost.Cause.Message, want) || lost.Cause.Name != "WorkerLost" || !lost.Began {
				t.Errorf("got %+v, want a message with %q", lost, want)
			}
			began := time.Now()
			if got := mustRun(t, s, 2, "recall", discard{}); got != "" {
				t.Errorf("the new worker remembers %q", got)
			}
			if took := time.Since(began); took > time.Second {
				t.Errorf("the next program took %v", took)
			}
		})
	}
}

// TestLastWords checks that what compiled code wrote to descriptor 2 is shown, and the runtime's report is not.
func TestLastWords(t *testing.T) {
	s := start(t, options("script"))
	for _, step := range []string{"tell nothing", "tell exit", "tell panic"} {
		out := newRecorder()
		s.Run(limited(t), program(1, step), out)
		if got, want := out.String(), "stderr:"+strings.Repeat(told+"\n", 3000); got != want {
			t.Errorf("%s: got %d bytes, %.100q ... %q, want %d", step, len(got), got, got[max(0, len(got)-100):], len(want))
		}
	}
}

// TestLossBetweenPrograms checks that a program does not run on a session whose values are lost, and is told why.
func TestLossBetweenPrograms(t *testing.T) {
	s := start(t, options("script"))
	out := newRecorder()
	out.answer = func(context.Context, string, bool) (string, error) { return "exit", nil }
	mustRun(t, s, 4, "late", out)
	<-s.Gone()
	lost := mustLose(t, s, 5, "remember me")
	want := "after cell 4 the process that runs the cells ended: os.Exit(7) was called; this cell was not run"
	if lost.Began || lost.Cause.Message != want {
		t.Errorf("got %+v, want %q", lost, want)
	}
	mustRun(t, s, 6, "recall", discard{})
}

func TestNotStarted(t *testing.T) {
	missing := options("script")
	missing.Argv = []string{"/nowhere/worker"}
	for want, o := range map[string]worker.Options{
		"exit code 5":               options("other"),
		"no command line is set":    {},
		"no such file or directory": missing,
		"the machine is broken":     options("broken"),
	} {
		s := start(t, o)
		for range 2 {
			lost := mustLose(t, s, 1, "recall")
			if lost.Began || !strings.Contains(lost.Cause.Message, want) {
				t.Errorf("got %+v, want a message with %q", lost, want)
			}
		}
	}
}

func TestClose(t *testing.T) {
	before := runtime.NumGoroutine()
	s := worker.New(options("script"))
	out := newRecorder()
	go func() { out.until(t, "stuck"); s.Close() }()
	outcome, err := s.Run(t.Context(), program(1, "stuck"), out)
	if got := lost(t, outcome, err).Cause.Message; !strings.Contains(got, "cell 1 was given up: the kernel is closing") {
		t.Errorf("got %q", got)
	}
	s.Close()
	mustLose(t, s, 2, "recall")
	for ctx := limited(t); runtime.NumGoroutine() > before && ctx.Err() == nil; {
		runtime.Gosched()
	}
	if after := runtime.NumGoroutine(); after > before {
		t.Errorf("%d goroutines before, %d after", before, after)
	}
}

func TestMainByHand(t *testing.T) {
	c := exec.Command(os.Args[0])
	c.Env = append(os.Environ(), options("script").Env...)
	text, err := c.CombinedOutput()
	if want := "the worker is started by the kernel, not by hand\n"; err == nil || string(text) != want {
		t.Errorf("got %q, %v, want %q", text, err, want)
	}
}

func BenchmarkRoundTrip(b *testing.B) {
	s := start(b, options("script"))
	for b.Loop() {
		mustRun(b, s, 1, "recall", discard{})
	}
}

func BenchmarkStart(b *testing.B) {
	for b.Loop() {
		s := worker.New(options("script"))
		mustRun(b, s, 1, "recall", discard{})
		s.Close()
	}
}

func BenchmarkBigOutput(b *testing.B) {
	s := start(b, options("script"))
	b.SetBytes(10e6)
	for b.Loop() {
		mustRun(b, s, 1, "big 10000000", discard{})
	}
}

func BenchmarkAlternate(b *testing.B) {
	s := start(b, options("script"))
	for b.Loop() {
		mustRun(b, s, 1, "alternate 1000", discard{})
	}
}
