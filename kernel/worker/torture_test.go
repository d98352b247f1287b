package worker_test

import (
	"context"
	"strings"
	"testing"

	"foreplane/kernel"
	"foreplane/kernel/kerneltest"
)

// fault is a cell that goes wrong, and what becomes of it.
type fault struct {
	name, code string
	want       string // the beginning of its error; empty if it ends well
	says       string // and a part of it
	lost       bool   // the values of the session go with it
}

// interrupted are faults of cells that print "begun" and do not end by themselves.
var interrupted = []fault{
	{name: "loop", code: "fmt.Println(\"begun\")\nfor {\n}", want: "Interrupted: cell 2, line 2"},
	{name: "empty select", code: "fmt.Println(\"begun\")\nselect {}", want: "Interrupted: cell 2, line 2"},
	{name: "receive", code: "c := make(chan int)\nfmt.Println(\"begun\")\n<-c", want: "Interrupted: cell 2, line 3"},
	{name: "send", code: "c := make(chan int)\nfmt.Println(\"begun\")\nc <- 1", want: "Interrupted: cell 2, line 3"},
	{name: "sleep", code: "fmt.Println(\"begun\")\ntime.Sleep(time.Hour)", want: "Interrupted: cell 2, line 2"},
	{name: "wait group", code: "import \"sync\"\nvar wg sync.WaitGroup\nwg.Add(1)\nfmt.Println(\"begun\")\nwg.Wait()", want: "Interrupted: cell 2, line 5"},
	{name: "mutex", code: "import \"sync\"\nvar mu sync.Mutex\nmu.Lock()\nfmt.Println(\"begun\")\nmu.Lock()", want: "Interrupted: cell 2, line 5"},
	{name: "flood", code: "fmt.Println(\"begun\")\nfor {\n\tfmt.Println(\"and on\")\n}", want: "Interrupted: cell 2, line"},
	{name: "recursion", code: "func fib(n int) int { if n < 2 { return n }; return fib(n-1) + fib(n-2) }\nfmt.Println(\"begun\")\nfib(90)", want: "Interrupted: cell 2, line"},
}

// faults end by themselves.
var faults = []fault{
	{name: "panic", code: "panic(\"stall\")", want: "Panic: cell 2, line 1", says: "stall"},
	{name: "panic with an error", code: "panic(errors.New(\"no lift\"))", want: "Panic: cell 2, line 1", says: "no lift"},
	{name: "panic with nil", code: "panic(nil)", want: "Panic: cell 2, line 1", says: "nil"},
	{name: "nil pointer", code: "type T struct{ x int }\nvar p *T\np.x", want: "Panic: cell 2, line 3", says: "nil pointer"},
	{name: "index", code: "a := []int{1}\ni := 4\na[i]", want: "Panic: cell 2, line 3", says: "index out of range [4] with length 1"},
	{name: "slice", code: "a := []int{1}\ni := 4\na[i:]", want: "Panic: cell 2, line 3", says: "slice bounds out of range [4:1]"},
	{name: "divide", code: "n := 0\n7 / n", want: "Panic: cell 2, line 2", says: "divide by zero"},
	{name: "nil map", code: "var m map[string]int\nm[\"a\"] = 1", want: "Panic: cell 2, line 2", says: "nil map"},
	{name: "type assertion", code: "var x any = 3\nx.(string)", want: "Panic: cell 2, line 2", says: "interface conversion"},
	{name: "closed twice", code: "c := make(chan int)\nclose(c)\nclose(c)", want: "Panic: cell 2, line 3", says: "close of closed channel"},
	{name: "sent to closed", code: "c := make(chan int, 1)\nclose(c)\nc <- 1", want: "Panic: cell 2, line 3", says: "send on closed channel"},
	{name: "negative length", code: "n := -1\nmake([]int, n)", want: "Panic: cell 2, line 2", says: "len out of range"},
	{name: "goroutine", code: "go func() {\n\tpanic(\"stall\")\n}()\ntime.Sleep(50 * time.Millisecond)", want: "Panic: cell 2, line 2", says: "stall"},
	{name: "deferred", code: "defer func() {\n\tpanic(\"late\")\n}()\nkept", want: "Panic: cell 2, line 2", says: "late"},
	{name: "counter", code: "import \"sync\"\nvar wg sync.WaitGroup\nwg.Done()", want: "Panic: cell 2, line 3", says: "negative WaitGroup counter"},
	{name: "must", code: "must(os.Open(\"/no/such/file\"))", want: "Error: cell 2, line 1", says: "no such file"},
	{name: "exit", code: "os.Exit(3)", want: "Exit: cell 2, line 1", says: "code 3"},
	{name: "exit well", code: "os.Exit(0)"},
	{name: "fatal log", code: "import \"log\"\nlog.Fatal(\"no fuel\")", want: "Exit: cell 2, line 2", says: "code 1"},
	{name: "end of goroutine", code: "import \"runtime\"\nruntime.Goexit()"},
	{name: "recursion", code: "func down(n int) int { return down(n+1) + 1 }\ndown(0)", want: "Panic: cell 2, line 1", says: "call depth: down"},
	{name: "deferring recursion", code: "func down(n int) int {\n\tdefer func() { n++ }()\n\treturn down(n+1) + 1\n}\ndown(0)", want: "Panic: cell 2, line", says: "call depth: down"},
	{name: "standard input", code: "var s string\nfmt.Scanln(&s)", want: "Error: ", says: "standard input"},
	{name: "interrupt signal", code: "p, _ := os.FindProcess(os.Getpid())\np.Signal(os.Interrupt)\ntime.Sleep(20 * time.Millisecond)"},
	{name: "closed output", code: "os.Stdout.Close()"},
	{name: "flooding child", code: "import \"os/exec\"\nexec.Command(\"sh\", \"-c\", \"yes | head -c 3000000\").Run()"},
	{name: "noise on descriptors", code: "for fd := uintptr(3); fd < 20; fd++ {\n\tos.NewFile(fd, \"\").Write([]byte(\"noise\"))\n}"},
	{name: "descriptors", code: "var files []*os.File\nfor {\n\tfiles = append(files, must(os.Open(\"/dev/null\")))\n}", want: "Error: cell 2, line 3", says: "too many open files: the limit is 4096, set by --files"},
	{name: "kill", code: suicide, want: "WorkerLost: cell 2", says: "line ", lost: true},
	{name: "unlocked mutex", code: "import \"sync\"\nvar mu sync.Mutex\nmu.Unlock()", want: "WorkerLost: cell 2", says: "unlock of unlocked mutex; the last that is known of it is line 3", lost: true},
	{name: "map in two goroutines", code: "m := map[int]int{}\nfor range 4 {\n\tgo func() {\n\t\tfor {\n\t\t\tm[1]++\n\t\t}\n\t}()\n}\nselect {}",
		want: "WorkerLost: cell 2", says: "sync.Mutex; the last that is known of it is line 9", lost: true},
	{name: "memory by and by", code: "var all [][]byte\nfor {\n\tall = append(all, make([]byte, 1<<20))\n}", want: "WorkerLost: cell 2", says: "out of memory", lost: true},
	{name: "memory at once", code: "b := make([]byte, 10<<30)\nfor i := range b {\n\tb[i] = 1\n}", want: "WorkerLost: cell 2", says: "the limit is 1.0 GiB", lost: true},
	{name: "long text", code: "s := strings.Repeat(\"x\", 1900<<20)\nlen(s)", want: "WorkerLost: cell 2", says: "the limit is 1.0 GiB", lost: true},
	{name: "goroutines", code: "for {\n\tgo func() { select {} }()\n}", want: "WorkerLost: cell 2", says: "out of memory", lost: true},
}

// TestTorture holds that each fault of a cell gets an error that says what happened and where, that it is said what is lost, and that the next cell runs,
// with all values of the session unless they were lost.
func TestTorture(t *testing.T) {
	for _, f := range interrupted {
		t.Run("interrupted "+f.name, func(t *testing.T) { f.try(t, true) })
	}
	for _, f := range faults {
		t.Run(f.name, func(t *testing.T) { f.try(t, false) })
	}
}

func (f fault) try(t *testing.T, interrupt bool) {
	e := goEngine(t)
	mustEvaluate(t, e, 1, "kept := 6 * 7\nkept", "42")
	ctx, cancel := context.WithCancel(limited(t))
	defer cancel()
	out := new(kerneltest.Recorder)
	if interrupt {
		go func() {
			out.Await(ctx, "stdout", "begun")
			cancel()
		}()
	}
	got := ""
	if r := e.Run(ctx, kernel.Cell{Code: f.code, Number: 2}, out); r.Err != nil {
		got = r.Err.Error()
	}
	if !strings.HasPrefix(got, f.want) || f.want == "" && got != "" || !strings.Contains(got, f.says) {
		t.Errorf("got  %q\nwant %q, with %q", got, f.want, f.says)
	}
	if lost := strings.Contains(got, "lost with it: kept"); lost != f.lost {
		t.Errorf("%q names what is lost: %v, want %v", got, lost, f.lost)
	}
	if f.lost {
		mustEvaluate(t, e, 3, "rebuild()", "1 cell was run again; the session has: kept")
	}
	printed := new(kerneltest.Recorder)
	if r := e.Run(limited(t), kernel.Cell{Code: "fmt.Println(\"still here\")\nkept", Number: 4}, printed); r.Err != nil || r.Value.Text() != "42" {
		t.Errorf("the next cell: %v", r.Err)
	}
	if text := printed.Text("stdout"); text != "still here\n" {
		t.Errorf("the next cell printed %q", text)
	}
}
