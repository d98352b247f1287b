package worker_test

import (
	"context"
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
func engine(t *testing.T) kernel.Engine {
	t.Helper()
	o := options("machine")
	o.Memory = 512 << 20
	o.Grace = 200 * time.Millisecond
	return cell.NewEngine(cell.NewFront(symbols.Library), start(t, o))
}

// TestFaultsOfCells checks that nothing a cell does costs more than its worker, that the user is told what happened, and that the next cell runs.
func TestFaultsOfCells(t *testing.T) {
	for name, c := range map[string]struct{ code, want string }{
		"kill":     {"p, _ := os.FindProcess(os.Getpid())\np.Kill()\nselect {}", "killed from outside"},
		"maps":     {"m := map[int]int{}\nfor range 4 {\n\tgo func() {\n\t\tfor {\n\t\t\tm[1]++\n\t\t}\n\t}()\n}\nselect {}", "concurrent map"},
		"stack":    {"func deep(n int) int {\n\tdefer func() { n++ }()\n\treturn deep(n+1) + 1\n}\ndeep(0)", "stack overflow"},
		"hog":      {"var all [][]byte\nfor {\n\tall = append(all, make([]byte, 1<<20))\n}", "out of memory"},
		"one make": {"b := make([]byte, 10<<30)\nfor i := range b {\n\tb[i] = 1\n}", "the limit is 512 MiB"},
	} {
		t.Run(name, func(t *testing.T) {
			e := engine(t)
			mustEvaluate(t, e, 1, "kept := 6 * 7\nkept", "42")
			r := e.Run(limited(t), kernel.Cell{Code: c.code, Number: 2}, new(kerneltest.Recorder))
			if r.Err != nil && !strings.HasSuffix(r.Err.Message, "; lost with it: kept") {
				t.Errorf("%q does not say what is lost", r.Err.Message)
			}
			if r.Err == nil || r.Err.Name != "WorkerLost" || !strings.Contains(r.Err.Message, "cell 2") || !strings.Contains(r.Err.Message, c.want) {
				t.Errorf("got %v, want WorkerLost with %q", r.Err, c.want)
			}
			if r := e.Run(limited(t), kernel.Cell{Code: "kept", Number: 3}, new(kerneltest.Recorder)); r.Err == nil || r.Err.Name != "Check" {
				t.Errorf("a lost name is %v, %v", r.Value, r.Err)
			}
			mustEvaluate(t, e, 4, "6 * 7", "42")
		})
	}
}

// TestExit holds that os.Exit in a cell ends the cell and costs no variable.
func TestExit(t *testing.T) {
	e := engine(t)
	mustEvaluate(t, e, 1, "kept := 6 * 7\nkept", "42")
	r := e.Run(limited(t), kernel.Cell{Code: "os.Exit(3)", Number: 2}, new(kerneltest.Recorder))
	if r.Err == nil || r.Err.Name != "Exit" || !strings.Contains(r.Err.Message, "code 3") {
		t.Errorf("got %v, want Exit with code 3", r.Err)
	}
	mustEvaluate(t, e, 3, "kept", "42")
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
	code := "import \"sync\"\nvar wg sync.WaitGroup\nwg.Add(1)\nfmt.Println(\"begun\")\nwg.Wait()"
	r := e.Run(ctx, kernel.Cell{Code: code, Number: 1}, &out)
	if r.Err == nil || !strings.Contains(r.Err.Message, "cell 1 was interrupted and did not stop within 200ms") {
		t.Errorf("got %v", r.Err)
	}
	mustEvaluate(t, e, 2, "6 * 7", "42")
}

// TestEngine holds the Go engine to what every engine of cells has to do.
func TestEngine(t *testing.T) {
	kerneltest.Engine(t, engine, "late output", "input interrupted")
}
