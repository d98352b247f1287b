package cell

import (
	"fmt"
	"go/ast"
	"go/token"
	"go/types"
	"slices"
	"strings"
)

// lowerer rewrites a checked cell as source for the interpreter. Of that source the interpreter has to know little: every name is unique, every implicit
// conversion is written out, every constant is a literal, and types are reduced to their structure.
//
// A line of lowered source ends in a comment with the index of the place it comes from, for errors that the interpreter may still find.
type lowerer struct {
	front    *Front
	cell     *checked
	info     *types.Info
	lines    []string
	names    map[types.Object]string
	imports  map[string]string // interpreter's names by path
	structs  map[string]TypeDecl
	visiting map[types.Type]bool // named types that are being lowered
	fn       *lowering
	program  *Program
	at       int // index of the current place
	found    problems
}

// lowering is the function that is being lowered.
type lowering struct {
	lowered string
	mark    string       // the variable that holds the current place
	marked  bool         // whether mark is used
	results *types.Tuple // of the innermost function or literal
}

// The interpreter's names for what every lowered cell may use. User's names are lowered with a number behind them, so they never collide.
const (
	runtimeName  = "rt"       // compiled helpers
	stopName     = "stopped"  // tested by loops
	progressName = "progress" // how many binds are completed
)

// lower turns a checked cell into a program.
func (f *Front) lower(c *checked) (*Prepared, problems) {
	l := &lowerer{
		front: f, cell: c, info: c.info, names: map[types.Object]string{}, imports: map[string]string{}, structs: map[string]TypeDecl{},
		visiting: map[types.Type]bool{},
		program:  &Program{Cell: c.number},
	}
	p := &Prepared{Program: l.program}
	l.declare(c, p)
	for _, d := range c.functions {
		l.function(d)
	}
	l.statements(c, p)
	if len(l.found) > 0 {
		return nil, l.found
	}
	l.program.Source = strings.Join(l.lines, "\n") + "\n"
	l.finish()
	return p, nil
}

// finish lists imports and types in a stable order.
func (l *lowerer) finish() {
	for path, name := range l.imports {
		l.program.Imports = append(l.program.Imports, Import{name, path})
	}
	slices.SortFunc(l.program.Imports, func(a, b Import) int { return strings.Compare(a.Path, b.Path) })
	for _, t := range l.structs {
		l.program.Types = append(l.program.Types, t)
	}
	slices.SortFunc(l.program.Types, func(a, b TypeDecl) int { return strings.Compare(a.Name, b.Name) })
}

// declare gives names to what the cell declares and emits its global variables.
func (l *lowerer) declare(c *checked, p *Prepared) {
	for _, d := range c.functions {
		if o := l.info.Defs[d.Name]; o != nil {
			l.names[o] = l.fresh(o.Name())
		}
	}
	for _, name := range sortedNames(c.names) {
		o := c.names[name]
		switch o := o.(type) {
		case *types.Var:
			l.global(o)
		default:
			l.bind(p, name, o)
		}
	}
}

// global gives a top-level variable its slot: that of the session's variable of the same name and type, or a new one.
func (l *lowerer) global(v *types.Var) {
	if old, ok := l.front.session.names[v.Name()].(*types.Var); ok && types.Identical(old.Type(), v.Type()) {
		l.names[v] = l.front.session.slots[old]
		return
	}
	l.names[v] = l.fresh(v.Name())
	l.at = l.place(v.Pos())
	l.emit("var %s %s", l.names[v], l.typ(v.Type()))
}

// bind notes that the next step of progress gives name its new meaning.
func (l *lowerer) bind(p *Prepared, name string, o types.Object) {
	slot := l.names[o]
	l.program.Binds = append(l.program.Binds, Bind{name, slot})
	p.commits = append(p.commits, commit{name, o, slot})
}

// statements emits the function that runs the cell.
func (l *lowerer) statements(c *checked, p *Prepared) {
	if len(c.stmts) == 0 && c.last == nil {
		return
	}
	l.program.Entry = l.fresh("cell")
	l.begin(l.program.Entry, "", &types.Signature{})
	head := len(l.lines)
	l.emit("func %s() {", l.program.Entry)
	l.emit("%s = %d", progressName, len(l.program.Binds))
	for _, s := range c.stmts {
		l.stmt(s)
		l.bindAll(declaredBy([]ast.Stmt{s}), p)
	}
	if c.last != nil {
		l.show(c.last)
	}
	l.emit("}")
	l.end(head)
}

// bindAll notes progress when the variables of a statement are there.
func (l *lowerer) bindAll(names []*ast.Ident, p *Prepared) {
	before := len(l.program.Binds)
	for _, id := range names {
		if o := l.info.Defs[id]; o != nil && id.Name != "_" {
			l.bind(p, id.Name, o)
		}
	}
	if n := len(l.program.Binds); n > before {
		l.emit("%s = %d", progressName, n)
	}
}

// begin starts a function of the lowered source.
func (l *lowerer) begin(lowered, name string, sig *types.Signature) {
	l.fn = &lowering{lowered: lowered, mark: "at_" + lowered, results: sig.Results()}
	l.program.Functions = append(l.program.Functions, Function{Lowered: lowered, Name: name})
}

// end finishes it; if it leaves marks, their variable is declared before it.
func (l *lowerer) end(head int) {
	if l.fn.marked {
		l.program.Functions[len(l.program.Functions)-1].Mark = l.fn.mark
		l.lines = slices.Insert(l.lines, head, fmt.Sprintf("var %s int", l.fn.mark))
	}
	l.fn = nil
}

// emit writes a line.
func (l *lowerer) emit(format string, args ...any) {
	l.lines = append(l.lines, fmt.Sprintf(format, args...)+fmt.Sprintf(" //%d", l.at))
}

// capture returns the lines that f emits, as text for the inside of an expression.
func (l *lowerer) capture(f func()) string {
	outer := l.lines
	l.lines = nil
	f()
	inner := strings.Join(l.lines, "\n")
	l.lines = outer
	return inner
}

// place returns the index of a position.
func (l *lowerer) place(pos token.Pos) int {
	p := l.front.files.place(pos)
	if i := slices.Index(l.program.Places, p); i >= 0 {
		return i
	}
	l.program.Places = append(l.program.Places, p)
	return len(l.program.Places) - 1
}

// fresh returns a name that the interpreter has not seen.
func (l *lowerer) fresh(name string) string {
	l.front.session.serial++
	return fmt.Sprintf("%s_%d", name, l.front.session.serial)
}

// local gives a variable of a function its name.
func (l *lowerer) local(o types.Object) string {
	if o == nil || o.Name() == "_" {
		return "_"
	}
	if l.names[o] == "" {
		l.names[o] = l.fresh(o.Name())
	}
	return l.names[o]
}

// name returns the interpreter's name for an object.
func (l *lowerer) name(o types.Object) string {
	if n := l.names[o]; n != "" {
		return n
	}
	if n := l.front.session.slots[o]; n != "" {
		return n
	}
	return l.local(o)
}

// refuse records that a construct cannot be run, and what to write instead.
func (l *lowerer) refuse(n ast.Node, format string, args ...any) string {
	l.found = append(l.found, problem{l.front.files.place(n.Pos()), fmt.Sprintf(format, args...)})
	return "nil"
}

func sortedNames(m map[string]types.Object) []string {
	var out []string
	for name := range m {
		out = append(out, name)
	}
	slices.Sort(out)
	return out
}
