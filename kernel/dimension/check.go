package dimension

import (
	"cmp"
	"go/ast"
	"go/token"
	"go/types"
	"math"
	"slices"
	"strings"
)

// Checker knows the dimensions of the objects of a session. It is not safe for concurrent use.
type Checker struct {
	table   *known
	library library
	solver  solver
	objects map[types.Object]shape

	unifying map[[2]*record]bool // what is being unified
	common   *common             // while a package is looked at
}

// New returns a checker of a session without objects.
func New(t Table) *Checker {
	return &Checker{table: newKnown(t), library: newLibrary(), objects: map[types.Object]shape{}, unifying: map[[2]*record]bool{}}
}

// Source is a piece of code that go/types has checked.
type Source struct {
	Fset  *token.FileSet
	Info  *types.Info // with Types, Defs, Uses, Selections and Implicits
	Nodes []ast.Node  // files, declarations, statements and expressions, in the order they run
	Plain bool        // errors become notes
	SI    bool        // bare numbers are values in SI units, as in a library, and not worth a note
}

// Result is what [Checker.Check] has found out. Quantities are those at its end.
type Result struct {
	Findings []Finding // in order of position
	checker  *Checker
	info     *types.Info
	shapes   map[ast.Expr]shape
	defined  []types.Object
	trail    []undo
}

// Discard takes back what the checker has learned from a piece of code, before it checks another: it is not going to run.
func (r *Result) Discard() {
	r.checker.solver.rollback(r.trail)
	for _, o := range r.defined {
		delete(r.checker.objects, o)
	}
}

// Check infers the dimensions of a piece of code. If it finds errors, the session stays as it was.
func (c *Checker) Check(src Source) *Result {
	p := &pass{Checker: c, src: src, own: map[types.Object]bool{}, funcs: map[types.Object]*ast.FuncDecl{}, specs: map[types.Object]*ast.ValueSpec{},
		doing: map[ast.Node]bool{}, shapes: map[ast.Expr]shape{}, scope: newScope(), truncated: map[types.Object]ast.Expr{}}
	c.solver.level, c.solver.trail = 0, nil
	defer func() {
		if r := recover(); r != nil { // what is half learned is forgotten
			(&Result{checker: c, defined: p.defined, trail: c.solver.trail}).Discard()
			panic(r)
		}
	}()
	p.index()
	p.walk()
	p.findings = append(p.findings, Slips(src.Info, src.Nodes...)...)
	r := &Result{Findings: p.sorted(), checker: c, info: src.Info, shapes: p.shapes, defined: p.defined, trail: c.solver.trail}
	c.solver.trail = nil
	if c.common == nil && slices.ContainsFunc(r.Findings, func(f Finding) bool { return f.Severity == Error }) {
		r.Discard()
	}
	return r
}

// pass is the work on one source.
type pass struct {
	*Checker
	src       Source
	own       map[types.Object]bool // what the source declares
	funcs     map[types.Object]*ast.FuncDecl
	specs     map[types.Object]*ast.ValueSpec // of package variables and constants
	doing     map[ast.Node]bool               // what has been begun
	shapes    map[ast.Expr]shape
	defined   []types.Object
	findings  []Finding
	truncated map[types.Object]ast.Expr

	scope   *scope  // of the function that is being looked at
	results []shape // of that function
}

// index notes the functions, and the variables and constants of files, which may be used before they are declared.
func (p *pass) index() {
	for _, o := range p.src.Info.Defs {
		p.own[o] = true
	}
	for _, n := range p.src.Nodes {
		switch n := n.(type) {
		case *ast.File:
			for _, d := range n.Decls {
				p.indexDecl(d)
			}
		case ast.Decl:
			p.indexDecl(n)
		}
	}
}

func (p *pass) indexDecl(d ast.Decl) {
	switch d := d.(type) {
	case *ast.FuncDecl:
		if o := p.src.Info.Defs[d.Name]; o != nil {
			p.funcs[o] = d
		}
	case *ast.GenDecl:
		for _, s := range d.Specs {
			if s, ok := s.(*ast.ValueSpec); ok {
				for _, name := range s.Names {
					p.specs[p.src.Info.Defs[name]] = s
				}
			}
		}
	}
}

// walk looks at everything: what stands outside functions in order, and then the functions that were not needed for it.
func (p *pass) walk() {
	var bodies []*ast.FuncDecl
	var decl func(ast.Node)
	decl = func(n ast.Node) {
		switch n := n.(type) {
		case *ast.File:
			for _, d := range n.Decls {
				decl(d)
			}
		case *ast.FuncDecl:
			bodies = append(bodies, n)
		case *ast.GenDecl:
			for _, s := range n.Specs {
				if s, ok := s.(*ast.ValueSpec); ok {
					p.global(s)
				}
			}
		case ast.Stmt:
			p.stmt(n)
		case ast.Expr:
			p.expr(n)
		}
	}
	for _, n := range p.src.Nodes {
		decl(n)
	}
	for _, d := range bodies {
		p.funcDecl(d)
	}
}

// global looks at a variable or constant of the package, once, as outside all functions.
func (p *pass) global(s *ast.ValueSpec) {
	if p.doing[s] {
		return
	}
	p.doing[s] = true
	level, scope, results := p.solver.level, p.scope, p.results
	p.solver.level, p.scope, p.results = 0, newScope(), nil
	p.valueSpec(s)
	p.solver.level, p.scope, p.results = level, scope, results
}

// object returns the shape of what a name means.
func (p *pass) object(o types.Object) shape {
	if s, ok := p.objects[o]; ok {
		return s
	}
	if d := p.funcs[o]; d != nil {
		p.funcDecl(d)
		return p.objects[o]
	}
	if s := p.specs[o]; s != nil {
		p.global(s)
		return p.objects[o]
	}
	f, method := o.(*types.Func)
	if o.Pkg() == nil || p.own[o] && !isAbstract(f) || !method && o.Parent() != o.Pkg().Scope() {
		return nil
	}
	s := p.imported(o)
	p.objects[o] = s
	return s
}

// isAbstract reports whether a function is a method of an interface: all that is known of it is how it is declared.
func isAbstract(f *types.Func) bool {
	return f != nil && f.Signature().Recv() != nil && types.IsInterface(f.Signature().Recv().Type())
}

// imported returns the shape that the declaration of an object of another package tells.
func (p *pass) imported(o types.Object) shape {
	level := p.solver.level
	defer func() { p.solver.level = level }()
	p.solver.level = 0
	switch o := o.(type) {
	case *types.Func:
		p.solver.level = general
		if f, ok := p.library.function(p.Checker, o.FullName()); ok {
			return f
		}
		return p.shapeOf(o.Type(), newScope())
	case *types.Const:
		return p.importedConst(o)
	case *types.Var:
		return p.shapeOf(o.Type(), newScope())
	}
	return nil
}

func (p *pass) importedConst(o *types.Const) shape {
	if s, ok := p.shapeOf(o.Type(), newScope()).(*scalar); ok && s.kind != "" {
		p.asUnit(s, o)
		return s
	}
	s := &scalar{bare: true, pi: o.Pkg().Path() == "math" && strings.Contains(o.Name(), "Pi")}
	s.zero = strings.HasPrefix(o.Name(), "MaxFloat") || strings.HasPrefix(o.Name(), "SmallestNonzero")
	return s
}

// asUnit marks the constants of the table's package, which are units.
func (p *pass) asUnit(s *scalar, o *types.Const) {
	if o.Pkg().Path() == p.table.Package && o.Exported() {
		s.unit, s.loose = o.Name(), true
	}
}

// general is the level of variables of functions that are done: each use has its own.
const general = math.MaxInt32

// generalise makes what a function leaves open general.
func (p *pass) generalise(s shape) {
	seen := map[*record]bool{}
	var visit func(shape)
	each := func(all []shape) {
		for _, s := range all {
			visit(s)
		}
	}
	visit = func(s shape) {
		switch s := settled(s).(type) {
		case *scalar:
			t, _, _ := p.solver.resolve(s.term)
			for _, f := range t.vars {
				if f.v.level > p.solver.level {
					f.v.level = general
				}
			}
		case *list:
			visit(s.elem)
		case *mapping:
			visit(s.key)
			visit(s.elem)
		case *function:
			each(s.params)
			each(s.results)
			each(s.typeParams)
		case *hole:
			if s.level > p.solver.level {
				s.level = general
			}
		case *record:
			if s = s.find(); seen[s] {
				return
			}
			seen[s] = true
			for _, f := range s.fields {
				visit(f)
			}
			for _, f := range s.scope.params {
				visit(f)
			}
		}
	}
	visit(s)
}

// set notes the shape of an object of this source.
func (p *pass) set(o types.Object, s shape) {
	if o != nil {
		p.objects[o] = s
		p.defined = append(p.defined, o)
	}
}

func (p *pass) sorted() []Finding {
	if p.src.Plain {
		for i := range p.findings {
			p.findings[i].Severity = Note
		}
	}
	slices.SortStableFunc(p.findings, func(a, b Finding) int { return cmp.Compare(a.Pos, b.Pos) })
	return slices.CompactFunc(p.findings, func(a, b Finding) bool { return a.Pos == b.Pos && a.Message == b.Message })
}

// IsPlain reports whether a cell starts with the comment //foreplane:plain.
func IsPlain(code string) bool {
	for line := range strings.Lines(code) {
		line = strings.TrimSpace(line)
		if line == "//foreplane:plain" {
			return true
		}
		if line != "" && !strings.HasPrefix(line, "//") {
			return false
		}
	}
	return false
}
