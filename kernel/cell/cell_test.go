package cell

import (
	"context"
	"fmt"
	"testing"
	"time"

	"foreplane/kernel"
	"foreplane/kernel/display"
)

// noOutput refuses everything.
type noOutput struct{}

func (noOutput) Stream(name, text string)           {}
func (noOutput) Show(b display.Bundle, id string)   {}
func (noOutput) Update(b display.Bundle, id string) {}
func (noOutput) Clear(wait bool)                    {}
func (noOutput) Page(b display.Bundle)              {}
func (noOutput) Input(context.Context, string, bool) (string, error) {
	return "", fmt.Errorf("no input")
}

func newTestEngine(t testing.TB) *Engine {
	m, err := NewMachine(library(), MachineOptions{})
	if err != nil {
		t.Fatal(err)
	}
	return NewEngine(NewFront(library()), m)
}

func text(r kernel.Result) string {
	switch {
	case r.Err != nil:
		return r.Err.Error()
	case r.Value != nil:
		return r.Value.Text()
	}
	return ""
}

func TestThin(t *testing.T) {
	e := newTestEngine(t)
	for i, c := range []struct{ code, want string }{
		{"6*7", "42"},
		{"x := 5/2.0", ""},
		{"x", "2.5"},
		{"func f(a float64) float64 { return math.Sqrt(a)*x }\ny := f(4)\ny", "5"},
		{`x := "a"`, ""},
		{"x + \"b\"", "ab"},
		{"undefinedThing", "Check: cell 7, line 1, column 1: there is no undefinedThing here; if another cell sets it, run that one first (Go: undefined: undefinedThing)"},
		{"a := []int{1}\ni := 3\na[i]", "Panic: cell 8, line 3, column 1: index out of range [3] with length 1"},
		{"x = 3", "Check: cell 9, line 1, column 5: 3 is a whole number, and a string is wanted here (Go: cannot use 3 (untyped int constant) as string value in assignment)"},
	} {
		if got := text(e.Run(context.Background(), kernel.Cell{Code: c.code, Number: i + 1}, noOutput{})); got != c.want {
			t.Errorf("%s\ngot  %s\nwant %s", c.code, got, c.want)
		}
	}
}

func TestInterrupt(t *testing.T) {
	e := newTestEngine(t)
	ctx, cancel := context.WithCancel(context.Background())
	time.AfterFunc(50*time.Millisecond, cancel)
	const want = "Interrupted: cell 1, line 1, column 1: interrupted"
	if got := text(e.Run(ctx, kernel.Cell{Code: "for {}", Number: 1}, noOutput{})); got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}
