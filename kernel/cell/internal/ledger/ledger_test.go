package ledger

import (
	"fmt"
	"strings"
	"testing"
)

// cell reads "a: V, rho -> q | f: V -> x": the cell's ID, what it reads, what it declares, and what a function reads and sets. A name with ! is set, not
// declared; one with () is that of a function of the cell itself.
func cell(t *testing.T, number int, text string) Cell {
	t.Helper()
	id, rest, _ := strings.Cut(text, ":")
	c := Cell{ID: id, Number: number, Code: text, Effects: Effects{Declares: map[string]bool{}, Functions: map[string]Access{}}}
	own, functions, _ := strings.Cut(rest, "|")
	reads, sets, _ := strings.Cut(own, "->")
	for _, name := range strings.Fields(reads) {
		if called, ok := strings.CutSuffix(name, "()"); ok {
			c.Effects.Calls = map[string]bool{called: true}
			continue
		}
		c.Effects.Add(name, false)
	}
	for _, name := range strings.Fields(sets) {
		if old, ok := strings.CutSuffix(name, "!"); ok {
			c.Effects.Add(old, true)
			continue
		}
		c.Effects.Declares[name] = true
	}
	if name, body, ok := strings.Cut(functions, ":"); ok {
		var a Access
		reads, sets, _ := strings.Cut(body, "->")
		for _, n := range strings.Fields(reads) {
			a.Add(n, false)
		}
		for _, n := range strings.Fields(sets) {
			a.Add(n, true)
		}
		c.Effects.Functions[strings.TrimSpace(name)] = a
		c.Effects.Declares[strings.TrimSpace(name)] = true
	}
	return c
}

func TestStale(t *testing.T) {
	for _, c := range []struct {
		name string
		runs []string
		want string // stale cells after the last run
	}{
		{"top to bottom", []string{"a: -> V", "b: V -> q", "c: q -> D"}, ""},
		{"a change, and what follows from it", []string{"a: -> V", "b: V -> q", "c: q -> D", "d: -> x", "a: -> V"}, "b(V) c(q)"},
		{"brought up to date", []string{"a: -> V", "b: V -> q", "a: -> V", "b: V -> q"}, ""},
		{"half brought up to date", []string{"a: -> V", "b: V -> q", "c: q -> D", "a: -> V", "b: V -> q"}, "c(q)"},
		{"a later cell of the same name", []string{"a: -> V", "b: V -> q", "c: -> V"}, ""},
		{"a cell that no longer sets it", []string{"a: -> V", "b: V -> q", "a: -> W"}, "b(V)"},
		{"through a function", []string{"a: -> V", "b: | f: V", "c: f -> y", "a: -> V"}, "c(V)"},
		{"through a function of its own", []string{"a: -> V", "b: f() -> y | f: V", "a: -> V"}, "b(V)"},
		{"a function of a new body", []string{"a: -> V", "b: | f: V", "c: f -> y", "b: | f: V"}, "c(f)"},
		{"a function that sets", []string{"a: -> n", "b: | count: n -> n", "c: count", "d: n -> y", "c: count"}, "d(n)"},
		{"recursion", []string{"a: -> V", "b: | f: f V", "c: f -> y", "a: -> V"}, "c(V)"},
		{"its own result", []string{"a: -> n", "b: n -> n!", "b: n -> n!"}, ""},
		{"a setting after its variable ran again", []string{"a: -> s", "b: s -> s!", "c: s -> y", "a: -> s"}, "b(s) c(s)"},
		{"a name made of the old one", []string{"a: -> V", "b: V -> V", "c: V -> y", "a: -> V"}, "b(V) c(V)"},
		{"its own variable in its own function", []string{"a: -> V", "b: f -> V | f: V", "a: -> V"}, ""},
		{"without ids, the same text", []string{": -> V", ": V -> q", ": -> V"}, "2(V)"},
		{"without ids, the same names", []string{": -> V", ": V -> q", ":  -> V"}, "2(V)"},
		{"without ids, other names", []string{": -> V", ": V -> q", ": -> W"}, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			var l Ledger
			for i, text := range c.runs {
				l.Ran(cell(t, i+1, text))
			}
			if got := words(l.Stale()); got != c.want {
				t.Errorf("stale: %q, want %q", got, c.want)
			}
		})
	}
}

func words(stale []Stale) string {
	var out []string
	for _, s := range stale {
		id := s.Cell.ID
		if id == "" {
			id = fmt.Sprint(s.Cell.Number)
		}
		out = append(out, fmt.Sprintf("%s(%s)", id, strings.Join(s.Names, " ")))
	}
	return strings.Join(out, " ")
}

func TestFailedCellsAreNotNamed(t *testing.T) {
	var l Ledger
	l.Ran(cell(t, 1, "a: -> V"))
	failed := cell(t, 2, "b: V -> q")
	failed.Failed = true
	l.Ran(failed)
	l.Ran(cell(t, 3, "c: q -> D"))
	l.Ran(cell(t, 4, "a: -> V"))
	if got := words(l.Stale()); got != "c(q)" {
		t.Errorf("stale: %q", got)
	}
}

func TestClashes(t *testing.T) {
	var l Ledger
	for i, text := range []string{"a: -> n m", "b: n -> n!", "c: n m -> y"} {
		l.Ran(cell(t, i+1, text))
	}
	var got []string
	for _, c := range l.Clashes() {
		got = append(got, c.Name+": "+ids(c.Setters)+" "+ids(c.Readers))
	}
	if want := "n: a,b b,c"; strings.Join(got, ";") != want {
		t.Errorf("clashes %q, want %q", got, want)
	}
}

func ids(cells []Cell) string {
	var out []string
	for _, c := range cells {
		out = append(out, c.ID)
	}
	return strings.Join(out, ",")
}
