package cell

import (
	"cmp"
	"fmt"
	"go/ast"
	"go/token"
	"go/types"
	"regexp"
	"slices"
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
//   - a constant made of a variable of the same cell, such as the length of an array: declare the variable in a cell before;
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

// ofVariables rewords problems that all come of constants that are made of variables of their own cell, which is a statement to the front. Go allows that
// for what does not depend on the variable's value.
func (c *checked) ofVariables(found problems) (reworded problems, all bool) {
	for _, p := range found {
		name, undefined := strings.CutPrefix(cmp.Or(p.goSays, p.message), "undefined: ")
		if _, variable := c.names[name].(*types.Var); !undefined || !variable || !c.inConstant(p.pos) {
			return nil, false
		}
		p.message, p.goSays = "a constant cannot be made of the variable "+name+" of the same cell: declare "+name+" in a cell before", ""
		reworded = append(reworded, p)
	}
	return reworded, len(found) > 0
}

// inConstant reports whether a place is in the declaration of a constant.
func (c *checked) inConstant(pos token.Pos) bool {
	return slices.ContainsFunc(c.source.decls.Decls, func(d ast.Decl) bool {
		g, ok := d.(*ast.GenDecl)
		return ok && g.Tok == token.CONST && g.Pos() <= pos && pos < g.End()
	})
}
