package worker_test

import (
	"strings"
	"testing"

	"foreplane/kernel"
	"foreplane/kernel/cell"
	"foreplane/kernel/kerneltest"
	"foreplane/kernel/symbols"
	"foreplane/kernel/worker"
)

// limitedEngine runs Go cells in a worker with limits of its own.
func limitedEngine(t *testing.T, limits worker.Options) *cell.Engine {
	o := options("machine")
	o.Memory, o.Stack, o.Files = limits.Memory, limits.Stack, limits.Files
	return cell.NewEngine(cell.NewFront(symbols.Library), start(t, o))
}

// TestMemoryWarning holds that a cell that comes close to the limit of memory is warned, once, and goes on; and anew after there was room.
func TestMemoryWarning(t *testing.T) {
	e := limitedEngine(t, worker.Options{Memory: 512 << 20})
	const (
		prepare = "import \"runtime\"\nvar all []byte\nset := func(n int) {\n\tall = nil\n\truntime.GC()\n\tall = make([]byte, n)\n\truntime.GC()\n\ttime.Sleep(300 * time.Millisecond)\n}\nlen(all)"
		close   = "set(420 << 20)\nlen(all)"
		stay    = "runtime.GC()\ntime.Sleep(300 * time.Millisecond)\nlen(all)"
		far     = "set(1 << 20)\nlen(all)"
		warning = "MiB of memory; beyond 512 MiB, the limit that is set by --memory, they are lost\n"
	)
	for i, step := range []struct {
		code     string
		warnings int
	}{{prepare, 0}, {far, 0}, {close, 1}, {stay, 0}, {far, 0}, {close, 1}} {
		out := new(kerneltest.Recorder)
		r := e.Run(limited(t), kernel.Cell{Code: step.code, Number: i + 1}, out)
		if n := strings.Count(out.Text("stderr"), warning); r.Err != nil || n != step.warnings {
			t.Errorf("cell %d: %v, %d warnings, want %d; stderr %q", i+1, r.Err, n, step.warnings, out.Text("stderr"))
		}
	}
}

// TestLimitsBySetting holds that what is set is what a cell runs into, and is told.
func TestLimitsBySetting(t *testing.T) {
	for _, test := range []struct {
		name, code, says string
		limits           worker.Options
	}{
		{"files", "var files []*os.File\nfor {\n\tfiles = append(files, must(os.Open(\"/dev/null\")))\n}",
			"Error: cell 1, line 3, column 2: open /dev/null: too many open files: the limit is 100, set by --files", worker.Options{Files: 100}},
		{"more files than the system allows", "1", "50000000 open files, the limit that is set by --files: the system allows", worker.Options{Files: 50_000_000}},
		{"stack", "func down(n int) int { return down(n+1) + 1 }\ndown(0)", "they fill 16 MiB of stack, which is the limit", worker.Options{Stack: 32 << 20}},
	} {
		t.Run(test.name, func(t *testing.T) {
			r := limitedEngine(t, test.limits).Run(limited(t), kernel.Cell{Code: test.code, Number: 1}, new(kerneltest.Recorder))
			if r.Err == nil || !strings.Contains(r.Err.Error(), test.says) {
				t.Errorf("got %v, want %q", r.Err, test.says)
			}
		})
	}
}
