package cell

import (
	"cmp"
	"fmt"
	"go/types"
	"maps"
	"slices"
	"strings"
)

// finish puts the program together: the instances, types, shapes and helpers that its functions have turned out to need. It returns the types whose
// methods the program tells the machine.
func (l *lowerer) finish() map[int]types.Type {
	registered := l.register()
	l.decideRefusals()
	for _, name := range slices.Sorted(maps.Keys(l.helpers)) {
		l.lines = append(l.lines, l.helpers[name])
	}
	l.program.Shapes = l.describeAll()
	for _, path := range slices.Sorted(maps.Keys(l.imports)) {
		l.program.Imports = append(l.program.Imports, Import{l.imports[path], path})
	}
	older := func(a, b string) int { return cmp.Or(len(a)-len(b), strings.Compare(a, b)) } // S9 before S10, which may contain it
	for _, name := range slices.SortedFunc(maps.Keys(l.structs), older) {
		l.program.Types = append(l.program.Types, l.structs[name])
	}
	l.program.Private, l.program.Spent = l.private(), l.front.session.spent
	l.program.Source = strings.Join(l.lines, "\n") + "\n"
	return registered
}

// private lists the names that only this program mentions: what starts it, where its functions are, and helpers.
func (l *lowerer) private() []string {
	names := []string{l.program.Setup, l.program.Entry}
	for _, f := range l.program.Functions {
		names = append(names, f.Mark)
	}
	for name, text := range l.helpers {
		if strings.HasPrefix(text, "func ") {
			names = append(names, name)
		}
	}
	return slices.DeleteFunc(names, func(name string) bool { return name == "" || name == entryMarkName })
}

// helper returns the name of a helper function with the given text behind its name; equal helpers of a program are one.
func (l *lowerer) helper(name, text string) string {
	for have, source := range l.helpers {
		if source == "func "+have+text {
			return have
		}
	}
	full := l.fresh("helper_" + name)
	l.helpers[full] = "func " + full + text
	return full
}

// outgrown reports whether the cell adds methods to a type that the machine has been told of.
func (l *lowerer) outgrown(id int) bool {
	return slices.ContainsFunc(l.cell.functions, func(d *declaredFunc) bool {
		return d.object != nil && l.front.session.ghosts[d.object] &&
			types.NewMethodSet(l.front.session.registered[id]).Lookup(d.object.Pkg(), d.object.Name()) != nil
	})
}

// register lowers instances and emits the function that tells the machine the methods of types that become interface values; each of these may bring up
// more of both.
func (l *lowerer) register() map[int]types.Type {
	registered := map[int]types.Type{}
	lines := l.moves[0]
	for id, t := range l.front.session.registered {
		if l.outgrown(id) {
			l.box(t)
		}
	}
	for again := true; again; {
		again = l.lowerInstances()
		for _, id := range slices.Sorted(maps.Keys(l.boxed)) {
			if registered[id] == nil && (l.front.session.registered[id] == nil || l.outgrown(id)) {
				registered[id], again = l.shapes[id], true
				lines = append(lines, l.registerMethods(id)...)
			}
		}
		again = l.dispatchers() || again
	}
	if len(lines) > 0 {
		l.program.Setup = l.fresh("setup")
		l.lines = append(l.lines, fmt.Sprintf("func %s() {\n%s\n}", l.program.Setup, strings.Join(lines, "\n")))
	}
	return registered
}
