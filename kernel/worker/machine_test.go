package worker_test

import (
	"context"
	"strconv"
	"strings"
	"testing"
	"time"

	"foreplane/kernel"
	"foreplane/kernel/cell"
	"foreplane/kernel/kerneltest"
	"foreplane/kernel/symbols"
	"foreplane/kernel/worker"
)

func init() {
	roles["machine"] = func() int {
		return worker.Main(func() (cell.Runner, error) { return cell.NewMachine(symbols.Library, cell.MachineOptions{}) })
	}
}

// engine runs Go cells in a worker.
func engine(t *testing.T) kernel.Engine { return goEngine(t) }

func goEngine(t *testing.T) *cell.Engine {
	t.Helper()
	o := options("machine")
	o.Memory = 1 << 30
	o.Grace = 200 * time.Millisecond
	return cell.NewEngine(cell.NewFront(symbols.Library), start(t, o))
}

const suicide = "p, _ := os.FindProcess(os.Getpid())\np.Kill()\nselect {}"

// TestRebuild loses a session and rebuilds it: on request, with a cell that fails the second time, and by itself.
func TestRebuild(t *testing.T) {
	evaluate := func(e kernel.Engine, number int, code string) string {
		out := new(kerneltest.Recorder)
		r := e.Run(limited(t), kernel.Cell{Code: code, Number: number}, out)
		said := out.Text("stdout")
		switch {
		case r.Err != nil:
			return said + r.Err.Error()
		case r.Value != nil:
			return said + r.Value.Text()
		}
		return said
	}
	mark := strconv.Quote(t.TempDir() + "/mark")
	e := goEngine(t)
	for i, step := range []struct{ code, want string }{
		{"n := 1", ""},
		{"n = n * 3\nfmt.Println(n)", "3\n"},
		{"n / 0", "Check: cell 3"},
		{"must(os.Create(" + mark + ")).Close()", ""},
		{"must(os.Stat(" + mark + ")).Size()", "0"},
		{"f := func() int { return 2 * n }\nf()", "6"},
		{suicide, "lost with it: f, n (rebuild() alone"},
		{"rebuild()", "5 cells were run again; the session has: f, n"},
		{"f() + n", "9"},
		{"rebuild()", "Nothing was lost."},
		{"os.Remove(" + mark + ")\n" + suicide, "lost with it: f, n (rebuild() alone"},
		{"m := 7", ""},
		{"rebuild()", "6 cells were run again; the session has: f, m, n"},
		{"m = must(fmt.Println(must(os.ReadFile(" + mark + "))))", "[]\n"},
		{"os.Remove(" + mark + ")\n" + suicide, "lost with it: f, m, n"},
	} {
		if got := evaluate(e, i+1, step.code); !strings.Contains(got, step.want) || step.want == "" && got != "" {
			t.Fatalf("cell %d: %s\ngot  %q\nwant %q", i+1, step.code, got, step.want)
		}
	}
}

// TestRebuildStops holds that a rebuild ends at a cell that fails this time, and can be taken up again.
func TestRebuildStops(t *testing.T) {
	e := goEngine(t)
	mark := strconv.Quote(t.TempDir() + "/mark")
	mustEvaluate(t, e, 1, "a := 1\na", "1")
	mustEvaluate(t, e, 2, "b := must(fmt.Sprint(os.Mkdir("+mark+", 0o755)), nil)\nmust(0, os.Mkdir("+mark+"+\"2\", 0o755))", "0")
	mustEvaluate(t, e, 3, "c := 3\nc", "3")
	e.Run(limited(t), kernel.Cell{Code: suicide, Number: 4}, new(kerneltest.Recorder))
	r := e.Run(limited(t), kernel.Cell{Code: "rebuild()", Number: 5}, new(kerneltest.Recorder))
	if r.Err == nil || !strings.Contains(r.Err.Message, "the session is rebuilt up to cell 2, which failed (1 of 3 cells were run)") {
		t.Fatalf("got %v", r.Err)
	}
	mustEvaluate(t, e, 6, "a", "1")
	mustEvaluate(t, e, 7, "must(0, os.Remove("+mark+"+\"2\"))", "0")
	mustEvaluate(t, e, 8, "rebuild()", "2 cells were run again; the session has: a, b, c")
}

// TestRebuildBySetting holds that a session can be rebuilt without being asked for.
func TestRebuildBySetting(t *testing.T) {
	e := goEngine(t)
	e.Rebuild = true
	mustEvaluate(t, e, 1, "a := 1\na", "1")
	r := e.Run(limited(t), kernel.Cell{Code: suicide, Number: 2}, new(kerneltest.Recorder))
	if r.Err == nil || !strings.HasSuffix(r.Err.Message, "lost with it: a; 1 cell was run again; the session has: a") {
		t.Errorf("got %v", r.Err)
	}
	mustEvaluate(t, e, 3, "a", "1")
}

func mustEvaluate(t *testing.T, e kernel.Engine, number int, code, want string) {
	t.Helper()
	r := e.Run(limited(t), kernel.Cell{Code: code, Number: number}, new(kerneltest.Recorder))
	if r.Err != nil {
		t.Fatal(r.Err)
	}
	if got := r.Value.Text(); got != want {
		t.Errorf("%q is %s, want %s", code, got, want)
	}
}

// TestEndlessCall interrupts a cell that waits in compiled code, where no stop reaches it.
func TestEndlessCall(t *testing.T) {
	e := engine(t)
	ctx, cancel := context.WithCancel(limited(t))
	var out kerneltest.Recorder
	go func() {
		out.Await(ctx, "stdout", "begun")
		cancel()
	}()
	code := "import \"io\"\nr, _ := io.Pipe()\nfmt.Println(\"begun\")\nr.Read(make([]byte, 1))"
	r := e.Run(ctx, kernel.Cell{Code: code, Number: 1}, &out)
	if r.Err == nil || !strings.Contains(r.Err.Message, "cell 1 was interrupted and did not stop within 200ms") {
		t.Errorf("got %v", r.Err)
	}
	mustEvaluate(t, e, 2, "6 * 7", "42")
}

// TestEngine holds the Go engine to what every engine of cells has to do.
func TestEngine(t *testing.T) {
	kerneltest.Engine(t, engine)
}
