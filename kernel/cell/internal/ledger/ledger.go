// Package ledger keeps account of which cells of a notebook set which names and which read them, and tells whose results are out of date.
//
// A [Ledger] takes a [Cell] whenever one has run. The order of cells is that of their first runs, since front ends do not tell how they stand in the
// notebook. Each name that a cell reads was set by the last cell before it that sets the name; a cell is stale if that is another cell now, or has run
// again, or is stale itself.
//
//	l.Ran(ledger.Cell{ID: "a", Number: 3, Effects: e})
//	for _, s := range l.Stale() { … s.Cell.Number, s.Names … }
//
// What a function reads and sets counts where the function is mentioned. Changes through pointers, slices and maps that were passed on are not seen.
package ledger

import (
	"maps"
	"slices"
	"time"
)

// Access is what a piece of source reads and sets of the names that live between cells. The name of a method is written Type.Method.
type Access struct {
	Reads, Sets map[string]bool
}

// Add notes a name.
func (a *Access) Add(name string, sets bool) {
	kind := &a.Reads
	if sets {
		kind = &a.Sets
	}
	if *kind == nil {
		*kind = map[string]bool{}
	}
	(*kind)[name] = true
}

// Effects is what a cell does to names.
type Effects struct {
	Declares  map[string]bool   // new names, or old ones with a new meaning
	Access                      // of its statements, and of its types, constants and variables: what it reads from other cells
	Functions map[string]Access // of the bodies of the functions that it declares
	Calls     map[string]bool   // those of its own functions that its statements mention
}

// Cell is one run of a cell.
type Cell struct {
	ID      string // as the front end sent it; may be empty
	Code    string
	Number  int // execution count
	Time    time.Time
	Failed  bool
	Effects Effects
}

// Stale is a cell whose result is out of date, with the names that it read and that have changed.
type Stale struct {
	Cell  Cell
	Names []string
}

// Clash is a name that more than one cell sets. What its readers come to depends on the order in which the cells run.
type Clash struct {
	Name             string
	Setters, Readers []Cell // in the order of the ledger
}

// Ledger is the account of a session. The zero value is that of a new one. It is not safe for concurrent use.
type Ledger struct {
	entries   []*entry          // in the order of their first runs
	functions map[string]Access // by name, of the present bodies
	runs      int
}

// maxEntries is how many cells there are before those are dropped that a client did not name and that set nothing: consoles send a new cell for each line.
const maxEntries = 1000

// entry is a cell with its last run.
type entry struct {
	Cell
	run   int
	reads map[string]source // what it found when it ran
	sets  map[string]bool
}

// source tells where a name comes from: the run of an entry, or the zero value.
type source struct {
	entry *entry
	run   int
}

// Ran enters a run. A cell is known again by its ID; without one by its text, or else as the cell that declares the same names.
func (l *Ledger) Ran(c Cell) {
	if l.functions == nil {
		l.functions = map[string]Access{}
	}
	maps.Copy(l.functions, c.Effects.Functions)
	l.runs++
	e := l.find(c)
	e.Cell, e.run = c, l.runs
	total := l.follow(c.Effects)
	e.sets = total.Sets
	for name := range c.Effects.Declares {
		e.sets[name] = true
		if !c.Effects.Reads[name] { // only a function of its own reads it
			delete(total.Reads, name)
		}
	}
	e.reads = map[string]source{}
	for name := range total.Reads {
		e.reads[name] = l.source(e, name)
	}
}

// find returns the entry of a cell, a new one if it never ran.
func (l *Ledger) find(c Cell) *entry {
	same := func(e *entry) bool { return e.ID == c.ID && (c.ID != "" || e.Code == c.Code) }
	alike := func(e *entry) bool {
		return c.ID == "" && e.ID == "" && len(c.Effects.Declares) > 0 && maps.Equal(e.Effects.Declares, c.Effects.Declares)
	}
	for _, is := range []func(*entry) bool{same, alike} {
		if i := slices.IndexFunc(l.entries, is); i >= 0 {
			return l.entries[i]
		}
	}
	if len(l.entries) >= maxEntries {
		l.dropOldest()
	}
	e := &entry{}
	l.entries = append(l.entries, e)
	return e
}

// dropOldest takes the first cell without an ID out of the account that sets no name: nothing depends on it.
func (l *Ledger) dropOldest() {
	if i := slices.IndexFunc(l.entries, func(e *entry) bool { return e.ID == "" && len(e.sets) == 0 }); i >= 0 {
		l.entries = slices.Delete(l.entries, i, i+1)
	}
}

// follow returns what a cell reads and sets, itself and by the functions that it mentions.
func (l *Ledger) follow(e Effects) Access {
	total := Access{Reads: map[string]bool{}, Sets: map[string]bool{}}
	var visit func(Access)
	visit = func(a Access) {
		for name := range a.Sets {
			total.Sets[name] = true
		}
		for name := range a.Reads {
			if !total.Reads[name] {
				total.Reads[name] = true
				visit(l.functions[name])
			}
		}
	}
	visit(e.Access)
	for name := range e.Calls {
		visit(l.functions[name])
	}
	return total
}

// source returns where an entry finds a name: with the last entry before it that sets the name. What the entry itself makes of the name does not count.
func (l *Ledger) source(e *entry, name string) source {
	var s source
	for _, other := range l.entries {
		if other == e {
			break
		}
		if other.sets[name] {
			s = source{other, other.run}
		}
	}
	return s
}

// Stale lists the cells that would come to another result if they ran again, in the order in which to run them.
func (l *Ledger) Stale() []Stale {
	var stale []Stale
	dirty := map[*entry]bool{}
	last := map[string]source{}
	for _, e := range l.entries {
		var names []string
		for name, was := range e.reads {
			if now := last[name]; now != was || dirty[now.entry] {
				names = append(names, name)
			}
		}
		for name := range e.sets {
			last[name] = source{e, e.run}
		}
		if len(names) == 0 {
			continue
		}
		dirty[e] = true
		slices.Sort(names)
		if !e.Failed {
			stale = append(stale, Stale{e.Cell, names})
		}
	}
	return stale
}

// Clashes lists the names that more than one cell sets and some cell reads from another, sorted.
func (l *Ledger) Clashes() []Clash {
	readers := map[string][]Cell{}
	for _, e := range l.entries {
		for name, from := range e.reads {
			if from.entry != nil {
				readers[name] = append(readers[name], e.Cell)
			}
		}
	}
	var clashes []Clash
	for _, name := range slices.Sorted(maps.Keys(readers)) {
		if setters := l.setters(name); len(setters) > 1 {
			clashes = append(clashes, Clash{name, setters, readers[name]})
		}
	}
	return clashes
}

// Setter returns the cell that was the last to set a name.
func (l *Ledger) Setter(name string) (c Cell, ok bool) {
	run := 0
	for _, e := range l.entries {
		if e.sets[name] && e.run > run {
			c, run = e.Cell, e.run
		}
	}
	return c, run > 0
}

func (l *Ledger) setters(name string) []Cell {
	var cells []Cell
	for _, e := range l.entries {
		if e.sets[name] {
			cells = append(cells, e.Cell)
		}
	}
	return cells
}
