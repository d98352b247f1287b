//go:build !race

// The interpreter itself has races when a cell is compiled beside a goroutine of an earlier one.

package cell_test

import (
	"context"
	"runtime/debug"
	"strings"
	"testing"
	"time"

	"foreplane/kernel"
)

// interrupted runs a cell that must be interrupted once it has printed "begun".
func (c *cells) interrupted(code string) {
	c.Helper()
	c.number++
	ctx, cancel := context.WithCancel(c.Context())
	go func() {
		c.out.Await(ctx, "stdout", "begun")
		cancel()
	}()
	if err := c.engine.Run(ctx, kernel.Cell{Code: code, Number: c.number}, &c.out).Err; err == nil || err.Name != "Interrupted" {
		c.Errorf("%s: %v", code, err)
	}
}

// TestInterruptedCleanup holds that deferred calls run when a cell is interrupted, in functions and goroutines.
func TestInterruptedCleanup(t *testing.T) {
	c := newCells(t)
	c.wants("import \"sync\"\nvar mu sync.Mutex\nclosed := make(chan string, 3)", "")
	c.interrupted(`func work() {
	mu.Lock()
	defer mu.Unlock()
	defer func() {
		for i := range 3 {
			_ = i
		}
		closed <- fmt.Sprint("func")
	}()
	fmt.Println("begun")
	for {
	}
}
ready := make(chan bool)
go func() {
	defer func() { closed <- "goroutine" }()
	ready <- true
	select {}
}()
<-ready
defer func() { closed <- "cell" }()
work()`)
	c.wants("mu.TryLock()", "true")
	c.wants("len(closed)", "3")
}

// TestInterruptedOnly holds that an interrupt ends the cell that runs and its goroutines, and none of earlier cells.
func TestInterruptedOnly(t *testing.T) {
	c := newCells(t)
	c.wants("ask2, answers := make(chan int), make(chan int)\ngo func() { for x := range ask2 { answers <- 2 * x } }()", "")
	c.interrupted("other := make(chan int)\ngo func() { for range other {} }()\nfmt.Println(\"begun\")\nfor {\n}")
	c.wants("ask2 <- 21\n<-answers", "42")
}

// TestGoroutineFails holds that a goroutine that panics fails the cell that runs and started it, and is told by its output if that has ended.
func TestGoroutineFails(t *testing.T) {
	c := newCells(t)
	err := c.run("go func() {\n\tpanic(\"no fuel\")\n}()\nselect {}").Err
	if err == nil || err.Error() != "Panic: cell 1, line 2, column 2: no fuel" {
		t.Errorf("got %v", err)
	}
	err = c.run("go func() { must(strconv.Atoi(\"x\")) }()\nselect {}").Err
	if err == nil || err.Name != "Error" || !strings.Contains(err.Message, "invalid syntax") {
		t.Errorf("got %v", err)
	}
	c.wants("start := make(chan bool)\ngo func() { <-start; panic(\"no oil\") }()", "")
	c.wants("start <- true", "")
	ctx, cancel := context.WithTimeout(t.Context(), 5*time.Second)
	defer cancel()
	if !c.out.Await(ctx, "stderr", "a goroutine ended early: cell 3, line 2, column 22: no oil\n\tcell 3, line 2, column 22, in a function\n") {
		t.Errorf("stderr is %q", c.out.Text("stderr"))
	}
}

// TestWaits holds that waits in compiled code come to the end that they would have without an interrupt.
func TestWaits(t *testing.T) {
	c := newCells(t)
	c.wants("import \"sync\"", "")
	c.wants("var mu sync.RWMutex\nvar wg sync.WaitGroup\nn := 0\nwg.Go(func() {\nfor range 400 {\n\tmu.Lock()\n\tn++\n\tmu.Unlock()\n\tmu.RLock()\n\tmu.RUnlock()\n}\n})\nfor range 400 {\n\tmu.Lock()\n\tn++\n\tmu.Unlock()\n\tmu.RLock()\n\tmu.RUnlock()\n}\nwg.Wait()\nn", "800")
	c.wants("ready := false\nc := sync.NewCond(&sync.Mutex{})\ngo func() { c.L.Lock(); ready = true; c.L.Unlock(); c.Broadcast() }()\nc.L.Lock()\nfor !ready {\n\tc.Wait()\n}\nc.L.Unlock()\nready", "true")
	c.wants("done := make(chan string)\ntime.AfterFunc(time.Millisecond, func() { done <- \"late\" })\n<-done", "late")
	if err := c.run("var w sync.WaitGroup\nw.Done()").Err; err == nil || !strings.HasSuffix(err.Message, "sync: negative WaitGroup counter") {
		t.Errorf("got %v", err)
	}
}

// TestRunawayGoroutine holds that the recursion of a goroutine ends its cell, and that of a late one nothing.
func TestRunawayGoroutine(t *testing.T) {
	defer debug.SetMaxStack(debug.SetMaxStack(smallStack))
	c := newCells(t)
	c.wants("func f(n int) int { return f(n+1) + 1 }\nstart, kept := make(chan bool), 7", "")
	if err := c.run("go f(0)\nselect {}").Err; err == nil || !strings.Contains(err.Message, "call depth: f") {
		t.Errorf("got %v", err)
	}
	c.wants("go func() { <-start; f(0) }()", "")
	c.wants("start <- true\nkept", "7")
	if !c.out.Await(t.Context(), "stderr", "a goroutine ended early: cell 1, line 1, column 6: call depth: f") {
		t.Errorf("stderr is %q", c.out.Text("stderr"))
	}
	c.wants("kept", "7")
}
