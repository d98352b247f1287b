package cell

import (
	"context"
	"strings"
	"testing"

	"foreplane/kernel"
	"foreplane/kernel/kerneltest"
)

// book runs the cells of a notebook by their ids.
type book struct {
	*testing.T
	engine *Engine
	number int
}

func (b *book) run(id, code string) (result string, shown []string) {
	b.Helper()
	b.number++
	out := new(kerneltest.Recorder)
	r := b.engine.Run(context.Background(), kernel.Cell{Code: code, Number: b.number, ID: id}, out)
	for _, s := range out.Shown() {
		shown = append(shown, s.Bundle.Text())
	}
	return text(r), shown
}

func TestStale(t *testing.T) {
	b := &book{T: t, engine: newTestEngine(t)}
	for _, step := range []struct{ id, code, result, shown string }{
		{"speed", "V := 50.0", "", ""},
		{"density", "rho := 1.25", "", ""},
		{"pressure", "func dynamic() float64 { return 0.5 * rho * V * V }", "", ""},
		{"lift", "lift := dynamic() * 0.5\nlift", "781.25", ""},
		{"half", "half := lift / 2\nhalf", "390.625", ""},
		{"speed", "V := 100.0", "", "Out of date: cell 4 (it reads V); cell 5 (it reads lift). rerunStale() alone in a cell runs them again."},
		{"other", "1 + 1", "2", ""},
		{"again", "rerunStale()", "", "Cell 4, run again:|3125|Cell 5, run again:|1562.5"},
		{"again", "// up to date?\nrerunStale()", "Nothing is out of date.", ""},
		{"half", "half", "1562.5", ""},
		{"mass", "type body struct{ mass float64 }\nfunc (b body) weight() float64 { return 10 * b.mass }\na := body{2}", "", ""},
		{"weight", "a.weight()", "20", ""},
		{"heavier", "a.mass = 3", "", ""},
		{"mass", "type body struct{ mass float64 }\nfunc (b body) weight() float64 { return 9 * b.mass }\na := body{2}", "",
			"Out of date: cell 12 (it reads a, body.weight); cell 13 (it reads a). rerunStale() alone in a cell runs them again."},
		{"again", "rerunStale()", "", "Cell 12, run again:|18|Cell 13, run again:"},
		{"own", "func half2() float64 { return lift / 2 }\nhalf2()", "1562.5", ""},
		{"lift", "lift := 8.0", "", "Out of date: cell 16 (it reads lift). rerunStale() alone in a cell runs them again."},
	} {
		result, shown := b.run(step.id, step.code)
		if result != step.result || strings.Join(shown, "|") != step.shown {
			t.Errorf("%s: %s\ngot  %q, shown %q\nwant %q, shown %q", step.id, step.code, result, shown, step.result, step.shown)
		}
	}
}

// TestRerunStops holds that running again ends at the first failure, and names its cell.
func TestRerunStops(t *testing.T) {
	b := &book{T: t, engine: newTestEngine(t)}
	b.run("a", "d := 2")
	b.run("b", "q := 10 / d")
	b.run("c", "q + 1")
	b.run("a", "d := 0")
	result, shown := b.run("", rerunName+"()")
	if !strings.HasPrefix(result, "Panic: cell 2, line 1") || !strings.HasSuffix(result, "integer divide by zero") || len(shown) != 1 {
		t.Errorf("got %q, shown %q", result, shown)
	}
}

func TestRerunAlone(t *testing.T) {
	b := &book{T: t, engine: newTestEngine(t)}
	want := "Check: cell 1, line 2, column 1: rerunStale() has to be alone in its cell"
	if got, _ := b.run("", "x := 1\n"+rerunName+"()"); got != want {
		t.Errorf("got %q, want %q", got, want)
	}
	b.run("", "func rerunStale() int { return 7 }")
	if got, _ := b.run("", rerunName+"()"); got != "7" {
		t.Errorf("a function of the same name: got %q", got)
	}
}
