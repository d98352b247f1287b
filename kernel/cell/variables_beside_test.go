//go:build !race

// The interpreter itself has races when a cell is compiled beside a goroutine of an earlier one.

package cell

import (
	"runtime"
	"testing"
)

// TestVariablesBesides holds that variables of goroutines that still run are left alone.
func TestVariablesBesides(t *testing.T) {
	b := &book{T: t, engine: newTestEngine(t)}
	b.run("", "n := 1\nstop := make(chan bool)\nm := map[int]int{}\ngo func() { for i := 0; ; i++ { m[i%9] = i; select { case <-stop: stop <- true; return; default: } } }()")
	b.run("", "n = 2")
	if v := b.engine.Variables(); v[1].Name != "n" || v[1].Value != "" {
		t.Errorf("looked at beside a goroutine: %+v", v)
	}
	b.run("", "stop <- true\n<-stop")
	for b.engine.runner.(*Machine).goroutines.alive.Load() > 0 {
		runtime.Gosched()
	}
	b.run("", "n")
	if v := b.engine.Variables(); v[1].Value != "2" || v[0].Value == "" {
		t.Errorf("got %+v", v)
	}
}
