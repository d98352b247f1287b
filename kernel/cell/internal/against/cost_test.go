package against

import (
	"bytes"
	"flag"
	"fmt"
	"os/exec"
	"strings"
	"testing"
	"text/tabwriter"
	"time"

	"github.com/traefik/yaegi/interp"
	"github.com/traefik/yaegi/stdlib"
)

var costs = flag.Bool("costs", false, "measure what lowering costs at full size, and print the table")

// workload is one computation, in Go and in Python: the body of a function of n that returns a number.
type workload struct {
	name        string
	full, small int
	golang      string
	python      string
}

var workloads = []workload{
	{"loop", 10_000_000, 1000, `	x := 1.0
	for i := 0; i < n; i++ {
		x = x*1.0000001 + 0.5
	}
	return x`, `    x = 1.0
    for i in range(n):
        x = x*1.0000001 + 0.5
    return x`},
	{"fib", 27, 10, `	return float64(fibonacci(n))`, `    return float(fibonacci(n))`},
	{"matrix product", 300, 8, `	a, b, c := matrix(n), matrix(n), matrix(n)
	for i := 0; i < n; i++ {
		for j := 0; j < n; j++ {
			s := 0.0
			for k := 0; k < n; k++ {
				s += a[i][k] * b[k][j]
			}
			c[i][j] = s
		}
	}
	return c[n/2][n-1]`, `    a, b, c = matrix(n), matrix(n), matrix(n)
    for i in range(n):
        for j in range(n):
            s = 0.0
            for k in range(n):
                s += a[i][k] * b[k][j]
            c[i][j] = s
    return c[n//2][n-1]`},
}

const goHelpers = `func fibonacci(n int) int {
	if n < 2 {
		return n
	}
	return fibonacci(n-1) + fibonacci(n-2)
}

func matrix(n int) [][]float64 {
	m := make([][]float64, n)
	for i := range m {
		m[i] = make([]float64, n)
		for j := range m[i] {
			m[i][j] = float64(i*n+j) / 7
		}
	}
	return m
}
`

const pythonHelpers = `import time

def fibonacci(n):
    return n if n < 2 else fibonacci(n - 1) + fibonacci(n - 2)

def matrix(n):
    return [[(i*n + j) / 7 for j in range(n)] for i in range(n)]

`

// TestCosts runs the workloads as cells, with the interpreter alone, compiled, and with Python if there is one, and holds that all come to the same. With
// -costs they have their full size and the times are printed.
func TestCosts(t *testing.T) {
	runners := []struct {
		name string
		run  func(*testing.T, workload, int) (float64, time.Duration)
	}{{"compiled", costCompiled}, {"cells", costCells}, {"interpreter alone", costInterpreter}}
	if _, err := exec.LookPath("python3"); err == nil {
		runners = append(runners, runners[0])
		runners[3].name, runners[3].run = "Python", costPython
	}
	var table bytes.Buffer
	w := tabwriter.NewWriter(&table, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprint(w, "\t")
	for _, r := range runners {
		fmt.Fprintf(w, "%s\t", r.name)
	}
	fmt.Fprintln(w, "cells : interpreter\t")
	for _, work := range workloads {
		n := work.small
		if *costs {
			n = work.full
		}
		fmt.Fprintf(w, "%s %d\t", work.name, n)
		var want float64
		var took []time.Duration
		for i, r := range runners {
			got, d := r.run(t, work, n)
			if i == 0 {
				want = got
			}
			if got != want {
				t.Errorf("%s: %s gives %v, compiled %v", work.name, r.name, got, want)
			}
			took = append(took, d)
			fmt.Fprintf(w, "%.1f ms\t", float64(d.Microseconds())/1000)
		}
		fmt.Fprintf(w, "%.2f\t\n", float64(took[1])/float64(took[2]))
	}
	w.Flush()
	if *costs {
		t.Logf("\n%s", table.String())
	}
}

// timing is a program's report: a result and a time in nanoseconds.
func timing(t *testing.T, text string) (float64, time.Duration) {
	t.Helper()
	var value float64
	var took time.Duration
	if _, err := fmt.Sscan(strings.TrimSpace(text), &value, &took); err != nil {
		t.Fatalf("%v in %.500q", err, text)
	}
	return value, took
}

// goProgram is a workload with statements that report the best of three times.
func goProgram(w workload, n int) program {
	return program{
		name:    w.name,
		imports: "import (\n\t\"fmt\"\n\t\"time\"\n)\n\n",
		decls:   goHelpers + "\nfunc work(n int) float64 {\n" + w.golang + "\n}\n\n",
		body: fmt.Sprintf(`
	best, value := time.Hour, 0.0
	for k := 0; k < 3; k++ {
		start := time.Now()
		value = work(%d)
		if d := time.Since(start); d < best {
			best = d
		}
	}
	fmt.Println(value, int64(best))
`, n),
	}
}

func costCompiled(t *testing.T, w workload, n int) (float64, time.Duration) {
	e, err := build(t, []unit{goProgram(w, n).asUnit(0)}).run(w.name)
	if err != nil {
		t.Fatal(err)
	}
	return timing(t, e.stdout)
}

func costCells(t *testing.T, w workload, n int) (float64, time.Duration) {
	h := new(host)
	defer h.end()
	a, err := h.run(order{Fresh: true, Code: ways[0].cells(goProgram(w, n))[0], Number: 1, Stop: 10 * time.Minute})
	if err != nil || a.Err != nil {
		t.Fatal(err, a.Err)
	}
	return timing(t, a.Stdout)
}

func costInterpreter(t *testing.T, w workload, n int) (float64, time.Duration) {
	var out bytes.Buffer
	i := interp.New(interp.Options{Stdout: &out})
	if err := i.Use(stdlib.Symbols); err != nil {
		t.Fatal(err)
	}
	p := goProgram(w, n)
	if _, err := i.Eval("package main\n\n" + p.imports + p.decls + "func main() {" + p.body + "}\n"); err != nil {
		t.Fatal(err)
	}
	return timing(t, out.String())
}

func costPython(t *testing.T, w workload, n int) (float64, time.Duration) {
	source := pythonHelpers + "def work(n):\n" + w.python + fmt.Sprintf(`

best = None
for k in range(3):
    start = time.perf_counter_ns()
    value = work(%d)
    d = time.perf_counter_ns() - start
    best = d if best is None else min(best, d)
print(repr(value), best)
`, n)
	out, err := exec.Command("python3", "-c", source).CombinedOutput()
	if err != nil {
		t.Fatalf("python3: %v\n%s", err, out)
	}
	return timing(t, string(out))
}
