package worker_test

import (
	"testing"

	"foreplane/kernel"
)

// TestOrderOfCells holds that what a cell writes to its two streams, shows and pages arrives in the order in which it did so, whichever way it writes.
func TestOrderOfCells(t *testing.T) {
	const code = `import ("bufio"; "log"; "os")
fmt.Print("a")
fmt.Fprint(os.Stderr, "b")
os.Stdout.WriteString("c")
show("d")
log.New(os.Stderr, "", 0).Print("e")
w := bufio.NewWriter(os.Stdout)
w.WriteString("f")
w.Flush()
print("g")
page("h")
done := make(chan bool)
go func() {
	fmt.Print("i")
	done <- true
}()
<-done
fmt.Fprintln(os.Stderr, "j")`
	const want = "stdout:a|stderr:b|stdout:c|show:d|stderr:e\n|stdout:f|stderr:g|page:h|stdout:i|stderr:j\n"
	out := newRecorder()
	if r := engine(t).Run(limited(t), kernel.Cell{Code: code, Number: 1}, out); r.Err != nil {
		t.Fatal(r.Err)
	}
	if got := out.String(); got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
}

// TestLateGoroutines holds that goroutines write to the cells that started them, also while another cell writes.
func TestLateGoroutines(t *testing.T) {
	e, first, second := engine(t), newRecorder(), newRecorder()
	run := func(number int, code string, out *recorder) {
		t.Helper()
		if r := e.Run(limited(t), kernel.Cell{Code: code, Number: number}, out); r.Err != nil {
			t.Fatal(r.Err)
		}
	}
	run(1, "turn := make(chan int)\ngo func() { for i := range turn { fmt.Print(\"late \", i); show(i); turn <- i } }()", first)
	run(2, "for i := range 3 { fmt.Print(\"now \"); turn <- i; <-turn }", second)
	if want := "stdout:now now now "; second.String() != want {
		t.Errorf("the second cell: %s, want %s", second, want)
	}
	first.until(t, "stdout:late 0|show:0|stdout:late 1|show:1|stdout:late 2|show:2")
}
