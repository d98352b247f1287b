package cell

import (
	"fmt"
	"go/ast"
	"go/types"
	"maps"
	"slices"
	"strings"
)

// A call by name reaches the newest declaration. Functions are compiled to direct calls, which the interpreter makes in half the time of a call through a
// variable, and are compiled again when what they call changes. For the rest, which cannot be compiled again (closures that exist, functions that run),
// each function looks when it is called whether it has been replaced: a test of a flag, whose cost does not show.

// unit is a function of the lowered source that can be replaced.
type unit struct {
	name    string
	next    string // the variable that holds what takes its place; versions of the same type share it; empty if nothing ever does
	sig     *types.Signature
	params  string   // as they are declared
	pass    string   // as they are passed on
	results []string // types
}

// moved is the variable that says that a unit has been replaced.
func (u *unit) moved() string { return "moved_" + u.name }

// newUnit names a function of the given type, which takes the place of old if that has the same type. Old may be nil.
func (l *lowerer) newUnit(name string, sig *types.Signature, old *unit) *unit {
	u := &unit{name: l.fresh(name), sig: sig}
	if old != nil && types.Identical(old.sig, sig) {
		u.next = old.next
	} else {
		u.next = "next_" + u.name
	}
	return u
}

// emitUnit writes a function with a body that is lowered already.
func (l *lowerer) emitUnit(u *unit, f formals, names []string, body string) {
	u.params, _ = l.declareParams(f, names)
	u.pass = l.passedOn(f, names)
	for _, r := range l.fn.results {
		u.results = append(u.results, l.typ(r.t))
	}
	l.emit("func %s(%s)%s {%s", u.name, u.params, resultTypes(u.results), l.tag())
	if u.next != "" {
		l.emitMoved(u)
	}
	l.lines = append(l.lines, body)
	l.emit("}")
}

// emitMoved writes how a function gives way to what has taken its place.
func (l *lowerer) emitMoved(u *unit) {
	l.helpers[u.moved()] = "var " + u.moved() + " bool"
	if u.next == "next_"+u.name {
		l.helpers[u.next] = fmt.Sprintf("var %s func(%s)%s", u.next, u.params, resultTypes(u.results))
	}
	l.emit("if %s {", u.moved())
	if l.fn.marked {
		l.emit("%s = 0", l.fn.mark) // a panic did not come this way
	}
	if len(u.results) > 0 {
		l.emit("return %s(%s)", u.next, u.pass)
	} else {
		l.emit("%s(%s)", u.next, u.pass)
		l.emit("return")
	}
	l.emit("}")
}

func resultTypes(list []string) string {
	if len(list) == 0 {
		return ""
	}
	return " (" + strings.Join(list, ", ") + ")"
}

// passedOn returns the parameters of a function as arguments for one of the same type.
func (l *lowerer) passedOn(f formals, names []string) string {
	var out, signs []string
	for i, t := range f.types {
		if !f.isVariadic(i) && l.passing(t) == withSign {
			signs = append(signs, names[i]+"_n")
		}
		out = append(out, names[i])
	}
	if f.variadic {
		last := len(out) - 1
		return strings.Join(append(slices.Clone(out[:last]), append(signs, out[last]+"...")...), ", ")
	}
	return strings.Join(append(out, signs...), ", ")
}

// failing lowers a function to one that says why it cannot be called.
func (l *lowerer) failing(u *unit, why string) {
	outer := l.begin(u.name, "")
	f := l.formalsOf(nil, u.sig)
	var names []string
	for i := range f.types {
		names = append(names, fmt.Sprintf("a%d", i))
	}
	var results []string
	for v := range u.sig.Results().Variables() {
		l.fn.results = append(l.fn.results, result{t: l.subst(v.Type())})
		results = append(results, l.typ(v.Type()))
	}
	l.emitUnit(u, f, names, failure(results, why))
	l.end()
	l.fn = outer
}

// failure is the body of a function that says why it cannot be called.
func failure(results []string, why string) string {
	text, names := fmt.Sprintf("%s.Stale(%q)\n", runtimeName, why), []string(nil)
	for i, t := range results {
		names = append(names, fmt.Sprintf("r%d", i))
		text += fmt.Sprintf("var r%d %s\n", i, t)
	}
	return text + "return " + strings.Join(names, ", ")
}

// replace has the next step of progress give u the place of old; if u is nil or of another type, old says why it cannot be called.
func (l *lowerer) replace(step int, old, u *unit, why string) {
	name := ""
	if u != nil && u.next == old.next {
		name = u.name
	} else {
		name = l.failingLiteral(old, why)
	}
	l.move(step, "%s = %s", old.next, name)
	l.move(step, "%s = true", old.moved())
	l.spent[step] = append(l.spent[step], old.name, old.moved())
}

// failingLiteral is a function of the type of u that says why u cannot be called.
func (l *lowerer) failingLiteral(u *unit, why string) string {
	return fmt.Sprintf("func(%s)%s {\n%s\n}", u.params, resultTypes(u.results), failure(u.results, why))
}

// move adds a line to what is done at a step.
func (l *lowerer) move(step int, format string, args ...any) {
	l.moves[step] = append(l.moves[step], fmt.Sprintf(format, args...))
}

// frozen is lowered code that no name reaches any more, or that is a value: it cannot be lowered again. It still calls functions by name. If a constant
// that it uses is declared otherwise, it says so when it is called, and so do functions and methods if a variable gets another type; function literals keep
// the variables that they were made with.
type frozen struct {
	unit *unit
	flag string // of a function literal: the variable that holds why it cannot be called
	what string
	uses map[string]types.Object
}

// freeze makes a function that is replaced, or a value of it, frozen code.
func freeze(d *declaredFunc, u *unit) *frozen {
	z := &frozen{unit: u, what: fmt.Sprintf("%s of cell %d", displayName(d.object), d.source.number), uses: map[string]types.Object{}}
	for name, o := range d.uses {
		switch o.(type) {
		case *types.Const, *types.Var:
			z.uses[name] = o
		}
	}
	return z
}

// refuseStale makes a function literal that uses constants of cells look whether it may still be called.
func (l *lowerer) refuseStale(e *ast.FuncLit) {
	uses := map[string]types.Object{}
	ast.Inspect(e, func(n ast.Node) bool {
		if id, ok := n.(*ast.Ident); ok {
			if k, ok := l.info.Uses[id].(*types.Const); ok && l.isTopLevel(k) {
				uses[id.Name] = k
			}
		}
		return true
	})
	if len(uses) == 0 {
		return
	}
	p := l.front.files.place(e.Pos())
	z := &frozen{flag: l.fresh("stale"), what: fmt.Sprintf("a function made in cell %d, line %d", p.Cell, p.Line), uses: uses}
	l.frozen = append(l.frozen, z)
	l.helpers[z.flag] = "var " + z.flag + " string"
	l.emit("if %s != \"\" { %s.Stale(%s) }", z.flag, runtimeName, z.flag)
}

// isTopLevel reports whether an object is one that a cell declares outside of functions.
func (l *lowerer) isTopLevel(o types.Object) bool {
	return l.cell.names[o.Name()] == o || l.front.session.declared[o.Name()] == o
}

// spoil has the next step of progress make frozen code fail that uses what the cell declares otherwise, and reports whether it does.
func (l *lowerer) spoil(z *frozen) (step int, spoilt bool) {
	for _, name := range slices.Sorted(maps.Keys(z.uses)) {
		now := l.cell.names[name]
		if now == nil || !isDeclared(now) || sameDeclaration(z.uses[name], now) {
			continue
		}
		step := l.cell.steps[now]
		why := fmt.Sprintf("%s was made with %s of cell %d, and cell %d has declared %s again", z.what, name, l.front.files.place(z.uses[name].Pos()).Cell, l.cell.number, name)
		if z.flag != "" {
			l.move(step, "%s = %q", z.flag, why)
		} else {
			l.replace(step, z.unit, nil, why)
		}
		return step, true
	}
	return 0, false
}
