package against

import (
	"fmt"
	"sync"
	"testing"
	"time"
)

// before makes what has to work after an interrupt, and after says whether it does.
const (
	before = "count := 1\nsquare := func(x int) int { count++; return x * x }\nfunc twice(x int) int { return 2 * x }\nc := make(chan int, 1)\ntype T struct{ A int }\nfunc (t T) Get() int { return t.A }"
	after  = "c <- twice(4)\nfmt.Println(square(3), count, <-c, T{5}.Get())"
	intact = "9 2 8 5\n"
)

// stuck are cells that do not end by themselves.
var stuck = []struct{ name, code string }{
	{"empty loop", "for {\n}"},
	{"loop with condition", "x := 1.0\nfor x > 0 {\n\tx *= 1.0000001\n\tif x > 10 {\n\t\tx = 1\n\t}\n}"},
	{"three clauses", "for i := 0; i >= 0; i += 0 {\n}"},
	{"nested loops", "for {\n\tfor j := range 1000 {\n\t\t_ = j\n\t}\n}"},
	{"goto", "again:\n\tgoto again"},
	{"in a function", "func spin() { for {} }\nspin()"},
	{"in a closure", "func() { for { square(1) ; count = 1 } }()"},
	{"in a method", "type L struct{}\nfunc (L) Run() { for {} }\nL{}.Run()"},
	{"deep recursion", "func fib(n int) int { if n < 2 { return n }; return fib(n-1) + fib(n-2) }\nfib(60)"},
	{"receive", "d := make(chan int)\n<-d"},
	{"send", "d := make(chan int)\nd <- 1"},
	{"nil channel", "var d chan int\n<-d"},
	{"empty select", "select {}"},
	{"select", "d, e := make(chan int), make(chan int)\nselect {\ncase <-d:\ncase e <- 1:\n}"},
	{"range over a channel", "d := make(chan int)\nfor range d {\n}"},
	{"busy select", "d := make(chan int)\nfor {\n\tselect {\n\tcase <-d:\n\tdefault:\n\t}\n}"},
	{"sleep", "time.Sleep(time.Hour)"},
	{"recovering loop", "for {\n\tfunc() {\n\t\tdefer func() { recover() }()\n\t\tpanic(1)\n\t}()\n}"},
	{"deferred loop", "func() {\n\tdefer func() { for {} }()\n}()"},
	{"goroutine and wait", "d := make(chan int)\ngo func() { for {} }()\n<-d"},
	{"callback of compiled code", "sort.Slice(make([]int, 100), func(i, j int) bool { for {} })"},
	{"generic function", "func loop[T any](x T) T { for { _ = x } }\nloop(1)"},
	{"range over an integer", "for i := range 1 << 62 {\n\t_ = i\n}"},
}

// prompt is how soon a cell has to end, with room for a machine that is busy.
const prompt = time.Second

// TestInterrupt stops each stuck cell and then uses what an earlier cell has made.
func TestInterrupt(t *testing.T) {
	verdicts := map[string]verdict{}
	var mu sync.Mutex
	each(len(stuck), func(h *host, i int) {
		v, took := interrupt(h, stuck[i].code)
		mu.Lock()
		defer mu.Unlock()
		verdicts[stuck[i].name] = v
		t.Logf("%-28s %6.1f ms %s", stuck[i].name, float64(took.Microseconds())/1000, v.kind)
	})
	holdAgainstKnown(t, "interrupt.txt", verdicts)
}

func interrupt(h *host, code string) (verdict, time.Duration) {
	if a, err := h.run(order{Fresh: true, Code: before, Number: 1}); err != nil || a.Err != nil {
		return verdict{wrong, fmt.Sprint("before: ", err, a.Err)}, 0
	}
	a, err := h.run(order{Code: code, Number: 2, Stop: 50 * time.Millisecond})
	switch {
	case err != nil:
		return verdict{wrong, err.Error()}, 0
	case a.Err == nil:
		return verdict{wrong, "it ended without an error"}, 0
	case a.Err.Name == "Refused":
		return verdict{refused, a.Err.Message}, 0
	case a.Err.Name != "Interrupted":
		return verdict{wrong, a.Err.Error()}, 0
	case a.Stopped > prompt:
		return verdict{wrong, "it took too long to end"}, a.Stopped
	}
	b, err := h.run(order{Code: after, Number: 3})
	if err != nil || b.Err != nil || b.Stdout != intact {
		return verdict{wrong, fmt.Sprintf("afterwards: %v %v %q", err, b.Err, b.Stdout)}, a.Stopped
	}
	return verdict{kind: pass}, a.Stopped
}
