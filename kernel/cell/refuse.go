package cell

import (
	"fmt"
	"go/ast"
	"go/types"
	"regexp"
	"strconv"
	"strings"
)

// What a cell cannot do is refused before anything of it has run, at its place, with the way round. This is the list, and TestRefused has each:
//
//   - an argument of a type that a cell has declared, for a compiled function that looks inside of it by reflection (reflect, encoding/xml, text/template
//     and so on): give it the fields, or types of the language. Functions of encoding/json, fmt, errors, log and sort are no such, and reflect.DeepEqual;
//   - such a function as a value, or called by go or defer: call it in a function literal;
//   - an argument for it whose type is an interface, in a session that has types of its own: assert the type first;
//   - encoding/json with keys of maps that have methods for it, with embedded compiled types, with omitzero, and reading into a list or map that contains itself;
//   - a value of a cell's type as a compiled interface with methods that are not exported: only the package itself can have such;
//   - generic functions and types of the standard library beside those in internal/generic, slices, maps and cmp: unique, weak, database/sql.Null,
//     hash/maphash.Comparable, crypto/hkdf, crypto/pbkdf2, runtime.AddCleanup;
//   - what the interpreter turns out not to compile: a gap in the lowering, told with its place.

// deferredRefusal is a refusal that depends on which types the session puts into interface values.
type deferredRefusal struct {
	at      problem
	refuses func(types.Type) bool
}

// refuseIf refuses a construct if the session has made an interface value of a type that it cannot deal with.
func (l *lowerer) refuseIf(n ast.Node, refuses func(types.Type) bool, format string, args ...any) {
	place := l.front.files.place(n.Pos())
	l.deferred = append(l.deferred, deferredRefusal{problem{place: place, message: fmt.Sprintf(format, args...)}, refuses})
}

// decideRefusals makes the refusals that depend on the types in interface values.
func (l *lowerer) decideRefusals() {
	for _, d := range l.deferred {
		for _, id := range l.knownBoxes() {
			if t := l.boxType(id); d.refuses(t) {
				d.at.message += ", and this session has " + l.typeString(t)
				l.found = append(l.found, d.at)
				break
			}
		}
	}
}

// closedInterface reports whether only the package of a compiled interface can implement it.
func closedInterface(t types.Type) bool {
	n, ok := types.Unalias(t).(*types.Named)
	if !ok || fromCell(n.Obj()) {
		return false
	}
	i, ok := n.Underlying().(*types.Interface)
	if !ok {
		return false
	}
	for m := range i.Methods() {
		if !m.Exported() {
			return true
		}
	}
	return false
}

var interpreterPlace = regexp.MustCompile(`^(?:_\.go:)?(\d+):\d+: `)

// placeOf returns the place of what the interpreter complains about.
func (p *Program) placeOf(complaint string) Place {
	m := interpreterPlace.FindStringSubmatch(complaint)
	if m == nil {
		return Place{}
	}
	line, _ := strconv.Atoi(m[1])
	lines := strings.Split(p.Source, "\n")
	for i := min(line-2, len(lines)-1); i >= 0; i-- { // the interpreter counts the package clause
		_, after, ok := strings.Cut(lines[i], " //")
		if index, err := strconv.Atoi(after); ok && err == nil && index < len(p.Places) {
			return p.Places[index]
		}
	}
	return Place{}
}
