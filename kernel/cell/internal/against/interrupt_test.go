package against

import (
	"fmt"
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
	{"callback that calls nothing", "import \"math/rand\"\nrand.Shuffle(math.MaxInt, func(i, j int) {})"},
	{"function as a callback", "import \"math/rand\"\nfunc swap(i, j int) {}\nrand.Shuffle(math.MaxInt, swap)"},
	{"method of an interface of compiled code", "import \"io\"\ntype R struct{}\nfunc (R) Read(p []byte) (int, error) { return len(p), nil }\nio.Copy(io.Discard, R{})"},
	{"generic function", "func loop[T any](x T) T { for { _ = x } }\nloop(1)"},
	{"range over an integer", "for i := range 1 << 62 {\n\t_ = i\n}"},
	{"end of a context", "import \"context\"\nctx, cancel := context.WithCancel(context.Background())\ndefer cancel()\n<-ctx.Done()"},
	{"wait group", "import \"sync\"\nvar wg sync.WaitGroup\nwg.Add(1)\nwg.Wait()"},
	{"wait group of goroutines", "import \"sync\"\nvar wg sync.WaitGroup\nfor range 3 {\n\twg.Go(func() { select {} })\n}\nwg.Wait()"},
	{"mutex", "import \"sync\"\nvar mu sync.Mutex\nmu.Lock()\nmu.Lock()"},
	{"embedded read-write mutex", "import \"sync\"\ntype box struct{ sync.RWMutex }\nb := new(box)\nb.RLock()\nb.Lock()"},
	{"condition", "import \"sync\"\nc2 := sync.NewCond(new(sync.Mutex))\nc2.L.Lock()\ndefer c2.L.Unlock()\nfor {\n\tc2.Wait()\n}"},
	{"ticker", "for range time.Tick(time.Millisecond) {\n}"},
	{"goroutines in a ring", "d, e := make(chan int), make(chan int)\ngo func() { for x := range d { e <- x } }()\nfor {\n\td <- 1\n\t<-e\n}"},
	{"reading input", "import \"bufio\"\nbufio.NewReader(os.Stdin).ReadString('\\n')"},
	{"scanning input", "var n int\nfmt.Scan(&n)"},
	{"question", "ask(\"well?\")"},
	{"method that prints", "type P struct{}\nfunc (P) String() string { for {} }\nfmt.Println(P{})"},
	{"function value", "var f func(int) int\nf = func(n int) int { if n < 2 { return n }; return f(n-1) + f(n-2) }\nf(60)"},
	{"methods that call each other", "type Q struct{}\nfunc (q Q) A(n int) int { if n < 2 { return n }; return q.B(n-1) + q.B(n-2) }\nfunc (q Q) B(n int) int { return q.A(n) }\nQ{}.A(80)"},
	{"loop over a function", "for i := range func(yield func(int) bool) { for yield(1) {} } {\n\t_ = i\n}"},
	{"retry after a panic", "func try(n int) {\n\tdefer func() {\n\t\tif recover() != nil {\n\t\t\ttry(n)\n\t\t}\n\t}()\n\tpanic(n)\n}\nfor {\n\ttry(1)\n}"},
}

// prompt is how soon a cell has to end, with room for a machine that is busy.
const prompt = time.Second

// state words a verdict for the table.
var state = map[string]string{pass: "all of before works", refused: "refused", wrong: "not as before"}

// TestInterrupt stops each stuck cell and then uses what an earlier cell has made.
func TestInterrupt(t *testing.T) {
	verdicts, times := make([]verdict, len(stuck)), make([]time.Duration, len(stuck))
	each(len(stuck), func(h *host, i int) { verdicts[i], times[i] = interrupt(h, stuck[i].code) })
	table, byName := "| cell | time to stop | afterwards |\n| --- | --- | --- |\n", map[string]verdict{}
	for i, c := range stuck {
		byName[c.name] = verdicts[i]
		table += fmt.Sprintf("| %s | %.1f ms | %s |\n", c.name, float64(times[i].Microseconds())/1000, state[verdicts[i].kind])
	}
	t.Log("\n" + table)
	holdAgainstKnown(t, "interrupt.txt", byName)
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
