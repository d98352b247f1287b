package kerneltest

import (
	"context"
	"strings"
	"testing"
	"time"

	"foreplane/kernel"
	"foreplane/kernel/display"
)

// patience is how long the suite waits for something that has to happen.
const patience = 10 * time.Second

// Engine tests an engine for Go cells. Each test asks for a new one; the suite closes it.
func Engine(t *testing.T, open func(t *testing.T) kernel.Engine) {
	for _, c := range cellCases {
		t.Run(c.name, func(t *testing.T) { newSession(t, open).play(c.steps) })
	}
	for _, f := range []struct {
		name string
		test func(s *session)
	}{
		{"interrupt of a loop", func(s *session) { s.interrupt("fmt.Println(\"begun\")\nfor {\n}") }},
		{"interrupt of a sleep", func(s *session) { s.interrupt("import \"time\"\nfmt.Println(\"begun\")\ntime.Sleep(time.Hour)") }},
		{"interrupt of a wait for nothing", func(s *session) { s.interrupt("fmt.Println(\"begun\")\nselect {}") }},
		{"interrupt passes recover", func(s *session) {
			s.interrupt("func() {\n\tdefer func() { recover() }()\n\tfmt.Println(\"begun\")\n\tfor {\n\t}\n}()\nfor {\n}")
		}},
		{"late output", (*session).lateOutput},
		{"input", (*session).input},
		{"input refused", (*session).inputRefused},
		{"input interrupted", (*session).inputInterrupted},
		{"completeness", (*session).completeness},
		{"complete", (*session).complete},
		{"complete while a cell runs", (*session).completeWhileBusy},
		{"inspect", (*session).inspect},
	} {
		t.Run(f.name, func(t *testing.T) { f.test(newSession(t, open)) })
	}
}

// step is a cell and what is to become of it. Empty fields are demands too, except message, which is looked for in the error's message and traceback.
type step struct {
	code       string
	expression bool
	value      string // text/plain
	stdout     string
	stderr     string
	err        string // name of the error
	message    string
}

var cellCases = []struct {
	name  string
	steps []step
}{
	{"value of an expression", []step{{code: "6*7", value: "42"}}},
	{"nothing to show", []step{{code: "x := 5"}, {code: "x = 6"}, {code: ""}, {code: "// a remark"}}},
	{"print", []step{{code: `fmt.Println("x")`, stdout: "x\n"}}},
	{"print with an import", []step{{code: "import \"fmt\"\nfmt.Print(\"héllo 世界 🚀\")", stdout: "héllo 世界 🚀"}}},
	{"print to stderr", []step{{code: "import \"os\"\nfmt.Fprintln(os.Stderr, \"oops\")", stderr: "oops\n"}}},
	{"state", []step{{code: "x := 4711"}, {code: "x + 1", value: "4712"}, {code: "x++"}, {code: "x", value: "4712"}}},
	{"declared again with another type", []step{{code: "x := 1"}, {code: `x := "one"`}, {code: "x", value: "one"}}},
	{"function over cells", []step{{code: "func twice(n int) int { return 2 * n }"}, {code: "twice(21)", value: "42"}}},
	{"redefined function is used by its callers", []step{
		{code: "func inner() int { return 1 }\nfunc outer() int { return inner() }"},
		{code: "func inner() int { return 2 }"},
		{code: "outer()", value: "2"},
	}},
	{"syntax error", []step{{code: "a := := 5", err: "Syntax", message: "line 1"}}},
	{"syntax error on a line", []step{{code: "a := 1\nb := 2\nc := := 3\n", err: "Syntax", message: "line 3"}}},
	{"compile error", []step{{code: "var s string = 5", err: "Check", message: "line 1"}}},
	{"compile error on a line", []step{{code: "a := 1\nb := 2\nvar c string = a + b\n", err: "Check", message: "line 3"}}},
	{"compile error runs nothing", []step{{code: "fmt.Println(\"ran\")\nvar s string = 5", err: "Check"}}},
	{"panic", []step{{code: "a := []int{1, 2, 3}\ni := 7\n_ = a[i]", err: "Panic", message: "line 3"}}},
	{"panic of the cell's own", []step{{code: `panic("enough")`, err: "Panic", message: "enough"}}},
	{"output before a panic", []step{{code: "fmt.Println(\"before\")\npanic(1)", stdout: "before\n", err: "Panic"}}},
	{"error value", []step{{code: "import \"errors\"\nerrors.New(\"no such aircraft\")", err: "Error", message: "no such aircraft"}}},
	{"error as the last value", []step{{code: "import \"strconv\"\nstrconv.Atoi(\"x\")", err: "Error", message: "invalid syntax"}}},
	{"no error as the last value", []step{{code: "import \"strconv\"\nstrconv.Atoi(\"42\")", value: "42"}}},
	{"state after errors", []step{
		{code: "x := 4711"},
		{code: "x = 1\npanic(2)", err: "Panic"},
		{code: "x := := 3", err: "Syntax"},
		{code: "var x string = 5", err: "Check"},
		{code: "x", value: "1"},
	}},
	{"user expression", []step{
		{code: "x := 6"},
		{code: "x * 7", expression: true, value: "42"},
		{code: "noSuchName", expression: true, err: "Check", message: "noSuchName"},
		{code: "x", value: "6"},
	}},
	{"user expression declares nothing", []step{{code: "y := 1", expression: true, err: "Syntax"}, {code: "y", err: "Check", message: "y"}}},
}

// session is one engine under test.
type session struct {
	*testing.T
	engine kernel.Engine
	cells  int
}

func newSession(t *testing.T, open func(t *testing.T) kernel.Engine) *session {
	t.Helper()
	engine := open(t)
	t.Cleanup(func() {
		if err := engine.Close(); err != nil {
			t.Errorf("Close: %v", err)
		}
	})
	return &session{T: t, engine: engine}
}

func (s *session) run(ctx context.Context, code string, out kernel.Output) kernel.Result {
	s.cells++
	return s.engine.Run(ctx, kernel.Cell{Code: code, Number: s.cells}, out)
}

func (s *session) play(steps []step) {
	for _, want := range steps {
		var out Recorder
		s.cells++
		got := s.engine.Run(s.Context(), kernel.Cell{Code: want.code, Number: s.cells, Expression: want.expression}, &out)
		s.check(want, got, &out)
	}
}

func (s *session) check(want step, got kernel.Result, out *Recorder) {
	s.Helper()
	s.checkError(want, got.Err)
	if v := text(got.Value); v != want.value {
		s.Errorf("%q: value %q, want %q", want.code, v, want.value)
	}
	for stream, text := range map[string]string{"stdout": want.stdout, "stderr": want.stderr} {
		if out.Text(stream) != text {
			s.Errorf("%q: %s %q, want %q", want.code, stream, out.Text(stream), text)
		}
	}
}

func (s *session) checkError(want step, err *kernel.CellError) {
	s.Helper()
	if err == nil {
		err = &kernel.CellError{}
	}
	if err.Name != want.err {
		s.Errorf("%q: error %q (%s), want %q", want.code, err.Name, err.Message, want.err)
		return
	}
	if all := err.Message + "\n" + strings.Join(err.Traceback, "\n"); !strings.Contains(all, want.message) {
		s.Errorf("%q: error says %q, nothing of %q", want.code, all, want.message)
	}
}

func text(b *display.Bundle) string {
	if b == nil {
		return ""
	}
	return b.Text()
}

// interrupt runs a cell that prints "begun" and never ends, interrupts it, and looks whether the session is as it was.
func (s *session) interrupt(code string) {
	s.play([]step{{code: "kept := 4711"}})
	ctx, cancel := context.WithTimeout(s.Context(), patience)
	defer cancel()
	var out Recorder
	go func() {
		out.Await(ctx, "stdout", "begun")
		cancel()
	}()
	s.checkError(step{code: code, err: "Interrupted"}, s.run(ctx, code, &out).Err)
	if out.Text("stdout") != "begun\n" {
		s.Errorf("%q: printed %q, want \"begun\\n\"", code, out.Text("stdout"))
	}
	s.play([]step{{code: "kept", value: "4711"}})
}

func (s *session) await(out *Recorder, text string) {
	s.Helper()
	ctx, cancel := context.WithTimeout(s.Context(), patience)
	defer cancel()
	if !out.Await(ctx, "stdout", text) {
		s.Errorf("printed %q, and never %q", out.Text("stdout"), text)
	}
}

// lateOutput lets a goroutine print after its cell has ended: the text belongs to the output of that cell.
func (s *session) lateOutput() {
	var first, second Recorder
	ended := make(chan struct{})
	s.run(s.Context(), "release := make(chan bool)\ngo func() { <-release; fmt.Println(\"late\") }()", &first)
	go func() {
		defer close(ended)
		s.run(s.Context(), "release <- true", &second)
	}()
	s.await(&first, "late\n")
	<-ended
	if second.Text("stdout") != "" {
		s.Errorf("the next cell printed %q, want nothing", second.Text("stdout"))
	}
}

// reading reads a line of input.
const reading = "import (\"bufio\"; \"os\")\nline, err := bufio.NewReader(os.Stdin).ReadString('\\n')\nfmt.Print(\"got \", line)\nerr"

func (s *session) input() {
	out := Recorder{Answers: []string{"Ada Ω"}}
	got := s.run(s.Context(), reading, &out)
	s.check(step{code: reading, stdout: "got Ada Ω\n"}, got, &out)
}

func (s *session) inputRefused() {
	var out Recorder
	s.checkError(step{code: reading, err: "Error"}, s.run(s.Context(), reading, &out).Err)
}

// silence is an output whose questions nobody answers.
type silence struct {
	Recorder
	asked chan struct{}
}

func (w *silence) Input(ctx context.Context, _ string, _ bool) (string, error) {
	close(w.asked)
	<-ctx.Done()
	return "", ctx.Err()
}

func (s *session) inputInterrupted() {
	ctx, cancel := context.WithCancel(s.Context())
	defer cancel()
	out := &silence{asked: make(chan struct{})}
	go func() {
		<-out.asked
		cancel()
	}()
	s.checkError(step{code: reading, err: "Interrupted"}, s.run(ctx, reading, out).Err)
	s.play([]step{{code: "6*7", value: "42"}})
}

func (s *session) completeness() {
	for code, want := range map[string]string{
		"a := 5":                     "complete",
		"6*7":                        "complete",
		"for i := 0; i < 5; i++ {":   "incomplete",
		"func f() int {\n\treturn 1": "incomplete",
		"a := := 5":                  "invalid",
	} {
		if got := s.engine.Completeness(code); got.Status != want {
			s.Errorf("%q is %s, want %s", code, got.Status, want)
		}
	}
}

func (s *session) complete() {
	s.play([]step{{code: "probeState := 1"}})
	s.wantCompletion("import \"strings\"\nstrings.HasPre", "HasPrefix", "function")
	s.wantCompletion("_ = \"🦫🦫\"; probeSta", "probeState", "variable")
}

// wantCompletion completes at the end of code; accepted, the candidate must stand where the unfinished word stood.
func (s *session) wantCompletion(code, want, kind string) {
	s.Helper()
	c := s.engine.Complete(code, len(code))
	for _, item := range c.Items {
		done := code[:c.Start] + item.Text + code[c.End:]
		if item.Text == want && item.Kind == kind && strings.HasSuffix(done, want) && strings.HasPrefix(done, code) {
			return
		}
	}
	s.Errorf("%q: %+v, want %s %s", code, c, kind, want)
}

func (s *session) completeWhileBusy() {
	s.play([]step{{code: "probeState := 1"}})
	ctx, cancel := context.WithCancel(s.Context())
	defer cancel()
	var out Recorder
	ended := make(chan kernel.Result)
	go func() { ended <- s.run(ctx, "fmt.Println(\"begun\")\nfor {\n}", &out) }()
	s.await(&out, "begun")
	s.wantCompletion("probeSta", "probeState", "variable")
	cancel()
	s.checkError(step{err: "Interrupted"}, (<-ended).Err)
}

func (s *session) inspect() {
	code := "import \"fmt\"\nfmt.Println"
	for detail := range 2 {
		doc, found := s.engine.Inspect(code, len(code), detail)
		if !found || !strings.Contains(doc.Text(), "Println") {
			s.Errorf("detail %d: found %v, %q", detail, found, doc.Text())
		}
	}
	if doc, found := s.engine.Inspect("no_such_zz", 4, 0); found {
		s.Errorf("an unknown name is documented as %q", doc.Text())
	}
}
