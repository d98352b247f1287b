package cell

import (
	"context"
	"fmt"
	"reflect"
	"runtime"
	"testing"

	"foreplane/kernel"
)

// TestInterior holds on to the unexported fields of yaegi v0.16.1 that the machine cuts programs off by.
func TestInterior(t *testing.T) {
	m, err := NewMachine(library(), MachineOptions{})
	if err != nil {
		t.Fatal(err)
	}
	for want, field := range map[string]reflect.Value{
		"[]*interp.node": m.inside.roots, "[]*interp.scope": m.inside.children, "map[string]*interp.symbol": m.inside.names,
	} {
		if got := field.Type().String(); got != want {
			t.Errorf("got a %s, want a %s: has the interpreter changed?", got, want)
		}
	}
	for i := range 3 {
		if err := m.compile(fmt.Sprintf("var v%d int\nfunc f%d() {}", i, i)); err != nil {
			t.Fatal(err)
		}
	}
	if m.inside.roots.Len() > 0 || m.inside.children.Len() > 0 {
		t.Errorf("%d programs and %d scopes are kept", m.inside.roots.Len(), m.inside.children.Len())
	}
	if !m.inside.names.MapIndex(reflect.ValueOf("f2")).IsValid() {
		t.Error("the names do not have f2")
	}
}

// heap returns how many bytes are in use.
func heap() int {
	var s runtime.MemStats
	runtime.GC()
	runtime.GC() // what the first has found is cleaned up by then
	runtime.ReadMemStats(&s)
	return int(s.HeapAlloc)
}

// TestGrowth holds what is kept of a cell that is run over and over with other numbers: little more than its text.
func TestGrowth(t *testing.T) {
	for _, c := range []struct {
		name, code string
		most       int // bytes for each cell, in both processes
	}{
		{"expression", "1+%d", 3000},
		{"statements", "for i := range 10 { x = x + %d*float64(i) }\nfmt.Sprint(x)\nx", 3000},
		{"variable", "y := %d.5\ny", 3000},
		{"function", "func g(x float64) float64 { return x + %d }\ng(2)", 3000},
		{"closure", "c := func() float64 { return x + %d }\nc()", 3500},
		{"panic", "[]int{1, 2}[int(x)+%d]", 3000},
	} {
		e, n := newTestEngine(t), 0
		run := func(code string) {
			n++
			e.Run(context.Background(), kernel.Cell{Code: code, Number: n}, noOutput{})
		}
		session := func(cells int) int {
			for i := range cells {
				run(fmt.Sprintf(c.code, i+1000))
			}
			return heap()
		}
		run("x := 100.0")
		const cells = 300
		before := session(100)
		after := session(cells)
		if kept := (after - before) / cells; kept > c.most {
			t.Errorf("%s: %d bytes are kept of each cell, more than %d", c.name, kept, c.most)
		}
		runtime.KeepAlive(e)
	}
}
