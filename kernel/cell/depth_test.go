package cell_test

import (
	"context"
	"fmt"
	"regexp"
	"runtime/debug"
	"strings"
	"testing"

	"foreplane/kernel"
	"foreplane/kernel/cell"
	"foreplane/kernel/kerneltest"
	"foreplane/kernel/symbols"
)

// smallStack is a limit that recursions reach soon, but not before the watch has seen them on busy cores: 64 MiB of calls.
const smallStack = 128 << 20

// cells runs cells one after the other.
type cells struct {
	*testing.T
	engine *cell.Engine
	number int
	out    kerneltest.Recorder
}

func newCells(t *testing.T) *cells {
	t.Helper()
	m, err := cell.NewMachine(symbols.Library, cell.MachineOptions{})
	if err != nil {
		t.Fatal(err)
	}
	c := &cells{T: t, engine: cell.NewEngine(cell.NewFront(symbols.Library), m)}
	t.Cleanup(func() { c.engine.Close() })
	return c
}

func (c *cells) run(code string) kernel.Result {
	c.number++
	return c.engine.Run(context.Background(), kernel.Cell{Code: code, Number: c.number}, &c.out)
}

// wants runs a cell that must end well and show a value.
func (c *cells) wants(code, value string) {
	c.Helper()
	r := c.run(code)
	switch {
	case r.Err != nil:
		c.Errorf("%s: %v", code, r.Err)
	case r.Value == nil && value != "", r.Value != nil && r.Value.Text() != value:
		c.Errorf("%s: %v, want %s", code, r.Value, value)
	}
}

// runaways are recursions without end, of every kind that there is.
var runaways = map[string]struct{ code, name string }{
	"function":       {"func f(n int) int { return f(n+1) + 1 }\nf(0)", "f"},
	"two functions":  {"func f(n int) int { return g(n+1) + 1 }\nfunc g(n int) int { return f(n+1) + 1 }\nf(0)", ""},
	"method":         {"type T struct{}\nfunc (t T) M(n int) int { return t.M(n+1) + 1 }\nT{}.M(0)", "T.M"},
	"function value": {"var f func(int) int\nf = func(n int) int { return f(n+1) + 1 }\nf(0)", "a function"},
	"interface":      {"type I interface{ M(int) int }\ntype T struct{ i I }\nfunc (t *T) M(n int) int { return t.i.M(n+1) + 1 }\nt := &T{}\nt.i = t\nt.M(0)", "T.M"},
	"generic":        {"func f[T any](x T, n int) int { return f(x, n+1) + 1 }\nf(\"\", 0)", "f"},
	"with defer":     {"func f(n int) int {\n\tdefer func() { n++ }()\n\treturn f(n+1) + 1\n}\nf(0)", "f"},
	"with recover":   {"func f(n int) int {\n\tdefer func() { recover() }()\n\treturn f(n+1) + 1\n}\nf(0)", "f"},
	"by a callback":  {"func f(n int) {\n\tsort.Slice(make([]int, 2), func(i, j int) bool { f(n+1); return true })\n}\nf(0)", ""},
	"by fmt":         {"type T struct{ A int }\nfunc (t T) String() string { return fmt.Sprint(t) + \"x\" }\nfmt.Println(T{1})", "T.String"},
	"through a loop": {"func f(n int) int {\n\tfor i := range 3 {\n\t\tn += f(n + i)\n\t}\n\treturn n\n}\nf(0)", "f"},
}

// TestRunaway holds that a recursion without end costs its cell only, and that the error names the function, its line, the depth and the limit.
func TestRunaway(t *testing.T) {
	defer debug.SetMaxStack(debug.SetMaxStack(smallStack))
	for name, r := range runaways {
		t.Run(name, func(t *testing.T) {
			c := newCells(t)
			c.wants("kept := 6\nfunc twice(x int) int { return 2 * x }\ncount := func() int { kept++; return kept }", "")
			err := c.run(r.code).Err
			if err == nil || err.Name != "Panic" || !strings.HasPrefix(err.Message, "cell 2, line ") || !strings.Contains(err.Message, "call depth: "+r.name) ||
				!strings.Contains(err.Message, "they fill 64 MiB of stack, which is the limit") {
				t.Errorf("got %v", err)
			}
			if strings.Contains(fmt.Sprint(c.out.Text("stdout")), "PANIC") {
				t.Errorf("printed %.100q", c.out.Text("stdout"))
			}
			c.wants("count() + twice(7)", "21")
		})
	}
}

// TestLegitimateDepth holds that 100 000 nested calls work with the stack that a worker has, and that a panic at that depth is told as any other.
func TestLegitimateDepth(t *testing.T) {
	defer debug.SetMaxStack(debug.SetMaxStack(512 << 20))
	c := newCells(t)
	c.wants("func sum(n int) int {\n\tif n == 0 {\n\t\treturn 0\n\t}\n\treturn n + sum(n-1)\n}\nsum(100_000)", "5000050000")
	err := c.run("func fall(n int) int {\n\tif n == 0 {\n\t\tpanic(\"down\")\n\t}\n\treturn fall(n-1) + 1\n}\nfall(100_000)").Err
	want := []string{"Panic: down", "cell 2, line 3, column 3, in fall", "… and 100000 more calls", "cell 2, line 7, column 1"}
	if err == nil || strings.Join(err.Traceback, "\n") != strings.Join(want, "\n") {
		t.Errorf("got %v %q, want %q", err, err.Traceback, want)
	}
}

// TestUncounted holds that functions which cannot call themselves are not burdened, and that all others are.
func TestUncounted(t *testing.T) {
	for code, want := range map[string]bool{
		"func f(x float64) float64 { return x * math.Sqrt(x) }":                            false,
		"func f(x int) int { return g(x) }\nfunc g(x int) int { return x }":                false,
		"func f(n int) int { return f(n - 1) }":                                            true,
		"func f(n int) int { return g(n) }\nfunc g(n int) int { return f(n) }":             true,
		"func f(g func()) { g() }":                                                         true,
		"type I interface{ M() }\nfunc f(i I) { i.M() }":                                   true,
		"func f(x int) string { return fmt.Sprint(x) }":                                    true,
		"func f[T any](x T) T { return x }\n_ = f(1)":                                      false,
		"type T struct{}\nfunc (t *T) F() { t.G() }\nfunc (t *T) G() { (*T).F(t) }":        true,
		"func f(s []float64, b string) int { return len(s) + strings.Index(b, \"x\") }":    false,
		"func f(n int) int { return func() int { return f(n) }() }":                        true,
		"func f(yes bool) {\n\tif yes {\n\t\tfor range 3 {\n\t\t\tf(false)\n\t\t}\n\t}\n}": true,
	} {
		p, err := cell.NewFront(symbols.Library).Prepare(kernel.Cell{Code: code, Number: 1})
		if err != nil {
			t.Errorf("%s: %v", code, err)
			continue
		}
		source, _, _ := strings.Cut(p.Program.Source, "func cell_")
		if got := strings.Contains(source, "if stopped"); got != want {
			t.Errorf("%s: tested %v, want %v\n%s", code, got, want, source)
		}
	}
}

// BenchmarkTested compares a recursive function with the same one without the test at its start.
func BenchmarkTested(b *testing.B) {
	for _, name := range []string{"tested", "untested"} {
		b.Run(name, func(b *testing.B) {
			m, err := cell.NewMachine(symbols.Library, cell.MachineOptions{})
			if err != nil {
				b.Fatal(err)
			}
			f := cell.NewFront(symbols.Library)
			run := func(number int, code string) {
				p, failed := f.Prepare(kernel.Cell{Code: code, Number: number})
				if failed != nil {
					b.Fatal(failed)
				}
				if name == "untested" {
					p.Program.Source = regexp.MustCompile(`(?m)^if stopped .*$`).ReplaceAllString(p.Program.Source, "")
				}
				o, err := m.Run(b.Context(), p.Program, new(kerneltest.Recorder))
				if err != nil || o.Err != nil {
					b.Fatal(err, o.Err)
				}
				f.Commit(p, o)
			}
			run(1, "func fib(n int) int {\n\tif n < 2 {\n\t\treturn n\n\t}\n\treturn fib(n-1) + fib(n-2)\n}")
			for b.Loop() {
				run(2, "fib(27)")
			}
		})
	}
}
