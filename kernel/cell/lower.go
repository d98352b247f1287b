package cell

import (
	"fmt"
	"go/ast"
	"go/token"
	"go/types"
	"maps"
	"slices"
	"strings"
)

// lowerer rewrites a checked cell as source for the interpreter. Of that source the interpreter has to know little: every name is unique, every implicit
// conversion is written out, every constant is a literal, types are reduced to their structure, and whatever a type from a cell is when it is held in an
// interface is left to compiled helpers.
//
// A line of lowered source ends in a comment with the index of the place it comes from, for what the interpreter may still refuse.
type lowerer struct {
	front     *Front
	cell      *checked
	info      *types.Info
	lines     []string
	names     map[types.Object]string // the interpreter's names of what this program declares
	heap      map[types.Object]bool   // variables that are lowered to pointers to structs of one field
	shared    map[types.Object]bool   // local variables that function literals use, or whose address is taken
	early     map[ast.Expr]string     // what has been evaluated ahead of the current statement
	hoisted   map[types.Object]string // the names of variables that are declared in front of their block
	imports   map[string]string       // interpreter's names by path
	structs   map[string]TypeDecl
	shapes    map[int]types.Type // types that the program's helpers need to know
	boxed     map[int]bool       // of these, those that become interface values
	helpers   map[string]string  // source of helper functions by name
	fn        *function          // the function that is being lowered
	typeArgs  *substitution      // of the instance that is being lowered
	instances []*instance
	deferred  []deferredRefusal
	quiet     bool                   // a panic in the current function is told of its caller
	frozen    []*frozen              // function literals that may have to say that they cannot be called
	moves     map[int][]string       // what replaces functions at each step of progress
	spent     map[int][]string       // names that no program mentions any more from that step on
	dispatch  map[string]*dispatcher // functions that call methods of interface values
	program   *Program
	trusting  bool // what is lowered has been checked already
	at        int  // index of the current place
	found     problems
}

// function is a function or function literal that is being lowered.
type function struct {
	index      int    // in Program.Functions
	depth      int    // how many function literals of the lowered source are around it
	lowered    string // the name of the outermost function
	mark       string // the variable that holds the current place
	marked     bool   // whether mark is used
	results    []result
	named      bool            // whether the results have names in the lowered source
	guard      string          // the variable that runs deferred calls, if there are any
	pending    string          // the variable that tells whether it was called by a defer, if it calls recover
	deferredBy string          // for a function literal in a defer statement, the guard
	gotos      map[string]bool // labels that a goto jumps to
	landings   map[string]landing
	around     []breakable // the statements around the current one that have got labels
	literal    bool        // whether it is a function literal
	witness    *witness    // of accesses in its loops
	tested     bool        // whether it may call itself and so can be ended at its start
	inGuard    bool        // whether the current statement is inside the function that the guard runs
	body       *rangeBody  // the innermost loop over a function around the current statement
}

// result is a result of a function.
type result struct {
	name string
	t    types.Type
}

// The interpreter's names for what every lowered cell may use. User's names are lowered with a number behind them, so they never collide.
const (
	runtimeName  = "rt"       // compiled helpers
	stopName     = "stopped"  // tested by loops and by functions that may call themselves
	progressName = "progress" // how many binds are completed

	entryMarkName    = "at" // the current place of the statements of a cell: those of one at a time run
	negativeZeroName = "negativezero"
)

// lower turns a checked cell into a program.
func (f *Front) lower(c *checked) (*Prepared, problems) {
	l := &lowerer{
		front: f, cell: c, info: c.info, names: map[types.Object]string{}, heap: map[types.Object]bool{}, shared: map[types.Object]bool{}, hoisted: map[types.Object]string{}, imports: map[string]string{},
		moves: map[int][]string{}, spent: map[int][]string{}, structs: map[string]TypeDecl{}, shapes: map[int]types.Type{}, boxed: map[int]bool{}, helpers: map[string]string{}, program: &Program{Cell: c.number},
	}
	p := &Prepared{Program: l.program}
	l.place(token.NoPos)
	l.declare(c)
	l.nameFunctions(c)
	l.rebind(c, p)
	l.lowerFunctions(c)
	l.statements(c, p)
	p.registered = l.finish()
	l.remember(p)
	if len(l.found) > 0 {
		return nil, l.found
	}
	return p, nil
}

// declare emits the cell's global variables.
func (l *lowerer) declare(c *checked) {
	for _, name := range sortedKeys(c.names) {
		if v, ok := c.names[name].(*types.Var); ok && c.steps[v] > 0 {
			l.global(v)
		}
	}
}

// global gives a top-level variable its slot: that of the session's variable of the same name and type, or a new one.
func (l *lowerer) global(v *types.Var) {
	if old, ok := l.front.session.names[v.Name()].(*types.Var); ok && !l.cell.other[v.Name()] && types.Identical(old.Type(), v.Type()) && l.front.session.slots[old] != "" {
		l.names[v] = l.front.session.slots[old]
		return
	}
	l.names[v] = l.fresh(v.Name())
	l.at = l.place(v.Pos())
	l.emit("var %s %s", l.names[v], l.typ(v.Type()))
}

// statements emits the function that runs the cell.
func (l *lowerer) statements(c *checked, p *Prepared) {
	l.complete(0, nil, p)
	starts := l.startPackages(c, p)
	if len(c.stmts) == 0 && c.last == nil && len(starts) == 0 {
		return
	}
	l.program.Entry = l.fresh("cell")
	l.at = l.place(c.source.body.Body.Pos())
	l.begin(l.program.Entry, "")
	l.fn.mark = entryMarkName
	l.analyse(c.source.body.Body)
	l.enter(c.source.body.Type, new(types.Signature), c.source.body.Body)
	l.emit("func %s() {%s", l.program.Entry, l.tag())
	for _, start := range starts {
		l.emit("%s()", start)
	}
	l.emit("%s = %d", progressName, len(l.program.Binds))
	derivation := l.derivation(c)
	l.guarded(func() {
		done := 0
		l.sequence(c.stmts, func(s ast.Stmt) {
			derivation.around(s, l.stmt)
			done++
			l.complete(done, declaredBy([]ast.Stmt{s}), p)
		})
		if c.last != nil {
			derivation.last(c.last)
			l.show(c.last)
		}
	})
	l.emit("}")
	l.end()
}

// begin starts a function, or a function literal inside of one.
func (l *lowerer) begin(lowered, name string) *function {
	outer := l.fn
	l.fn = &function{index: len(l.program.Functions), lowered: lowered, mark: fmt.Sprintf("at_%d_%s", len(l.program.Functions), lowered)}
	l.program.Functions = append(l.program.Functions, Function{Lowered: lowered, Name: name})
	if outer != nil && outer.lowered == lowered {
		l.fn.depth = outer.depth + 1
	}
	return outer
}

// end finishes it.
func (l *lowerer) end() {
	if l.fn.marked {
		l.program.Functions[l.fn.index].Mark = l.fn.mark
		if l.fn.mark != entryMarkName {
			l.helpers[l.fn.mark] = "var " + l.fn.mark + " int"
		}
	}
}

// tag marks the line on which the current function starts, for the machine to find it by the line of a panic.
func (l *lowerer) tag() string { return fmt.Sprintf(" //f%d.%d", l.fn.index, l.fn.depth) }

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

// name returns the interpreter's name for a variable or function.
func (l *lowerer) name(o types.Object) string {
	if n := l.names[o]; n != "" {
		return n
	}
	if n := l.front.session.slots[o]; n != "" {
		return n
	}
	if f, ok := o.(*types.Func); ok && fromSource(f.Pkg()) {
		return l.instance(f, nil, false).unit.name
	}
	if o != nil && o.Pkg() != nil && isLocal(o.Pkg()) && o.Parent() == o.Pkg().Scope() {
		return l.packageVariable(o)
	}
	return l.local(o)
}

// variable returns the text that stands for a variable's value, and for the variable in an assignment.
func (l *lowerer) variable(o types.Object) string {
	if l.heap[o] {
		return l.name(o) + ".V"
	}
	return l.name(o)
}

// cell returns the lowered type of a struct with a field V of the given type. A variable that is lowered to a pointer points to one: the interpreter is
// better at fields than at dereferencing.
func (l *lowerer) cellOf(typ string) string { return l.namedStruct("struct{V " + typ + "}") }

// refuse records that a construct cannot be run, and what to write instead.
func (l *lowerer) refuse(n ast.Node, format string, args ...any) string {
	l.found = append(l.found, problem{place: l.front.files.place(n.Pos()), message: fmt.Sprintf(format, args...)})
	return "nil"
}

func sortedKeys[V any](m map[string]V) []string { return slices.Sorted(maps.Keys(m)) }
