package dimension

import (
	"cmp"
	"fmt"
	"go/ast"
	"go/token"
	"go/types"
	"maps"
	"slices"
)

// Severity says whether a finding stops a cell.
type Severity string

const (
	Error Severity = "error"
	Note  Severity = "note"
)

// Finding is something that does not fit.
type Finding struct {
	Pos, End  token.Pos
	Severity  Severity
	Message   string
	Got, Want Quantity // what is there and what was expected, where it is about two quantities
}

// Quantity is the dimension of a value, of the elements of a slice, or of the values of a map.
type Quantity struct {
	Dimension Dimension
	Kind      string // what source calls it, such as "TrueAirspeed", or the table's name for the dimension; may be empty
	Symbol    string // of its SI unit
	Derived   bool   // the source does not call it so: Kind is the table's name
	Bare      bool   // a number made of literals
}

// Named reports whether the value is surely what Kind says: a computed pressure may be a dynamic one, and a difference of temperatures is no temperature.
func (c *Checker) Named(q Quantity) bool {
	return q.Kind != "" && !(q.Derived && c.table.byName[q.Kind].Exact)
}

// Fits reports whether a value of a kind, such as that of a unit, may stand where a quantity is expected.
func (c *Checker) Fits(want Quantity, kind string) bool {
	k, ok := c.table.byName[kind]
	if !ok || k.Dimension != want.Dimension {
		return false
	}
	return want.Kind == "" || c.table.root(want.Kind) == c.table.root(kind)
}

// Of returns the quantity of an expression, if its dimension is known.
func (r *Result) Of(e ast.Expr) (Quantity, bool) { return r.checker.quantity(r.shapes[e]) }

// Value is what is known of a value.
type Value struct {
	Quantity Quantity   // of a number, of the elements of a list, or of the values of a map; without a symbol if it is not known
	Fields   []Quantity // of a struct, or of the structs in a list
}

// Values returns what is known of the values of an expression, of which a call may have several.
func (r *Result) Values(e ast.Expr) []Value {
	if t, ok := r.shapes[e].(tuple); ok {
		out := make([]Value, len(t))
		for i, s := range t {
			out[i] = r.checker.value(s)
		}
		return out
	}
	return []Value{r.checker.value(r.shapes[e])}
}

func (c *Checker) value(s shape) Value {
	var v Value
	v.Quantity, _ = c.quantity(s)
	s = settled(s)
	if l, ok := s.(*list); ok {
		s = settled(l.elem)
	}
	if r, ok := s.(*record); ok {
		r = r.find()
		for i := range r.typ.NumFields() {
			q, _ := c.quantity(c.field(r, i))
			v.Fields = append(v.Fields, q)
		}
	}
	return v
}

// Object returns the quantity of an object of the session or of an imported package, if its dimension is known.
func (c *Checker) Object(o types.Object) (Quantity, bool) {
	if s, ok := c.objects[o]; ok {
		return c.quantity(s)
	}
	if o.Pkg() == nil || o.Parent() != o.Pkg().Scope() { // a local variable: its type may bear the alias of an operand
		return Quantity{}, false
	}
	return c.quantity((&pass{Checker: c}).imported(o))
}

// Forget leaves of an object only what its declaration tells: what a function was found to do no longer holds.
func (c *Checker) Forget(o types.Object) {
	level := c.solver.level
	c.solver.level = general
	c.objects[o] = c.shapeOf(o.Type(), newScope())
	c.solver.level = level
}

// Drop forgets the objects that are gone.
func (c *Checker) Drop(gone func(types.Object) bool) {
	maps.DeleteFunc(c.objects, func(o types.Object, _ shape) bool { return gone(o) })
}

// Declared returns the quantity that a parameter, a field or a result is declared with.
func (c *Checker) Declared(v *types.Var) (Quantity, bool) {
	return c.quantity(c.shapeOf(v.Type(), newScope()))
}

func (c *Checker) quantity(s shape) (Quantity, bool) {
	switch s := settled(s).(type) {
	case *scalar:
		t, _, ok := c.solver.resolve(s.term)
		if !ok || len(t.vars) > 0 || s.zero && !s.bare {
			return Quantity{}, false
		}
		q := Quantity{Dimension: t.dim, Kind: s.kind, Symbol: c.table.symbol(s.kind, t.dim), Bare: s.bare}
		if q.Kind == "" {
			q.Kind, q.Derived = c.table.byDim[t.dim].Name, true
		}
		return q, true
	case *list:
		return c.quantity(s.elem)
	case *mapping:
		return c.quantity(s.elem)
	}
	return Quantity{}, false
}

func (c *Checker) isKnown(s shape) bool {
	_, ok := c.quantity(s)
	return ok
}

// Share counts floating-point expressions other than literals.
type Share struct {
	All      int
	Known    int // dimension known
	ByCaller int // in functions that are general: known for each call
}

// Share counts the expressions that are floating-point numbers, and those whose dimension is known.
func (r *Result) Share() Share {
	s, _ := r.census()
	return s
}

// Unknown lists the expressions of floating-point numbers whose dimension is not known, in the order of the source.
func (r *Result) Unknown() []ast.Expr {
	_, unknown := r.census()
	slices.SortFunc(unknown, func(a, b ast.Expr) int { return cmp.Compare(a.Pos(), b.Pos()) })
	return unknown
}

func (r *Result) census() (s Share, unknown []ast.Expr) {
	for e, tv := range r.info.Types {
		if _, literal := e.(*ast.BasicLit); literal || tv.IsType() || tv.IsVoid() || !isFloat(tv.Type) {
			continue
		}
		s.All++
		switch known, byCaller := r.isKnown(e); {
		case known:
			s.Known++
		case byCaller:
			s.ByCaller++
		default:
			unknown = append(unknown, e)
		}
	}
	return s, unknown
}

// isKnown reports whether the dimension of a number is known, or will be for each call of the function that it stands in.
func (r *Result) isKnown(e ast.Expr) (known, byCaller bool) {
	n, ok := settled(r.shapes[e]).(*scalar)
	if !ok {
		return false, false
	}
	t, _, ok := r.checker.solver.resolve(n.term)
	if !ok || slices.ContainsFunc(t.vars, func(f factor) bool { return f.v.level != general }) {
		return false, false
	}
	return len(t.vars) == 0, len(t.vars) > 0
}

// isFloat reports whether a type is an ordinary float. Those that a package defines, Go itself keeps apart.
func isFloat(t types.Type) bool {
	b, ok := types.Unalias(t).(*types.Basic)
	return ok && b.Info()&types.IsFloat != 0
}

func (p *pass) report(sev Severity, pos ast.Node, got, want *scalar, message string) {
	f := Finding{Pos: pos.Pos(), End: pos.End(), Severity: sev, Message: message}
	f.Got, _ = p.quantity(got)
	f.Want, _ = p.quantity(want)
	p.findings = append(p.findings, f)
}

// phrase names what a number is, with its article.
func (c *Checker) phrase(s *scalar) string {
	if s.per != "" {
		return "a number of " + plural(words(s.per))
	}
	if s.bare {
		return "a bare number"
	}
	t, _, _ := c.solver.resolve(s.term)
	return c.table.phrase(s.kind, t.dim)
}

func (c *Checker) symbol(s *scalar) string {
	t, _, _ := c.solver.resolve(s.term)
	return c.table.symbol(s.kind, t.dim)
}

// described is phrase with the unit.
func (c *Checker) described(s *scalar) string {
	if s.bare || s.per != "" || c.symbol(s) == "1" {
		return c.phrase(s)
	}
	return c.phrase(s) + " (" + c.symbol(s) + ")"
}

// place is where a value goes.
type place struct {
	what     string
	declares bool // the declaration says what a bare number is
	compared bool // general and special kinds may meet
}

// expect checks a value against where it goes.
func (p *pass) expect(want, got shape, e ast.Expr, to place) {
	w, okW := settled(want).(*scalar)
	g, okG := settled(got).(*scalar)
	if !okW || !okG {
		if x, y := p.unify(want, got); x != nil && !x.plain && !y.plain {
			p.report(Error, e, y, x, fmt.Sprintf("%s: %s is expected inside, not %s", to.what, p.described(x), p.described(y)))
		}
		return
	}
	if !p.fit(w, g) {
		p.mismatch(w, g, e, to)
		return
	}
	p.compareKinds(w, g, e, to)
}

// mismatch reports a value of another dimension than that expected.
func (p *pass) mismatch(w, g *scalar, e ast.Expr, to place) {
	switch {
	case w.plain:
	case g.bare && (to.declares || p.src.SI):
	case g.bare:
		p.report(Note, e, g, w, fmt.Sprintf("%s: %s is a bare number where %s is expected; it is taken in %s", to.what, types.ExprString(e), p.described(w), p.symbol(w)))
	case w.bare:
		p.report(Note, e, g, w, fmt.Sprintf("%s was a bare number and is now %s", to.what, p.described(g)))
	default:
		p.report(Error, e, g, w, fmt.Sprintf("%s: %s is expected, not %s%s", to.what, p.described(w), p.described(g), p.cure(w, g)))
	}
}

// cures tell what to do about a quantity in place of another.
var cures = []struct{ want, got, text string }{
	{"Force", "Mass", "; a weight is a mass times StandardGravity"},
	{"Mass", "Force", "; a mass is a weight over StandardGravity"},
	{"Power", "Force", "; a power is a force times a speed"},
	{"Force", "Power", "; a force is a power over a speed"},
	{"Moment", "Force", "; a moment is a force times an arm"},
	{"Area", "Length", "; an area is a length times a length"},
}

// cure returns advice, if there is some.
func (p *pass) cure(w, g *scalar) string {
	if g.per != "" {
		return "; multiply by " + g.per
	}
	t, _, _ := p.solver.resolve(w.term)
	u, _, _ := p.solver.resolve(g.term)
	for _, c := range cures {
		if p.table.byName[c.want].Dimension == t.dim && p.table.byName[c.got].Dimension == u.dim {
			return c.text
		}
	}
	return ""
}

// compareKinds reports equal dimensions that mean different things.
func (p *pass) compareKinds(w, g *scalar, e ast.Expr, to place) {
	angle := p.table.byName[w.kind]
	switch {
	case angle.Angle == 1 && g.per != "" && p.table.byName[g.per].Name == "" && g.perAngle():
		p.report(Note, e, g, w, fmt.Sprintf("%s: %s is %s where radians belong; multiply by %s", to.what, types.ExprString(e), p.phrase(g), g.per))
	case angle.Angle == 1 && angle.Dimension == (Dimension{}) && g.bare && !g.zero && !g.pi && !g.count && !to.declares && !p.src.SI:
		p.report(Note, e, g, w, fmt.Sprintf("%s: %s is a bare number where an angle is expected; it is taken in radians, degrees are written %s*Degree",
			to.what, types.ExprString(e), types.ExprString(e)))
	case !p.compatible(w, g, to.compared):
		p.report(Note, e, g, w, fmt.Sprintf("%s: %s is expected, not %s", to.what, p.described(w), p.described(g)))
	}
}

func (s *scalar) perAngle() bool {
	return s.per == "Degree" || s.per == "ArcMinute" || s.per == "ArcSecond"
}

// compatible reports whether a value of one kind may stand where the other is written.
func (p *pass) compatible(w, g *scalar, compared bool) bool {
	if w.kind == "" || g.kind == "" || w.kind == g.kind || w.bare || g.bare {
		return true
	}
	if p.table.root(w.kind) != p.table.root(g.kind) {
		return p.isNumber(w) || p.isNumber(g)
	}
	if w.loose || g.loose || compared && (p.table.isA(w.kind, g.kind) || p.table.isA(g.kind, w.kind)) {
		return true
	}
	switch {
	case p.table.isA(g.kind, w.kind):
		return !p.table.byName[w.kind].Exact
	case p.table.isA(w.kind, g.kind):
		return !p.table.byName[g.kind].Exact
	}
	return false
}

// isNumber reports whether a kind says no more than that it has dimension 1: small angles are slopes.
func (p *pass) isNumber(s *scalar) bool {
	k := p.table.byName[s.kind]
	return k.Dimension == (Dimension{}) && k.Angle == 0 && k.Of == ""
}

// same checks the operands of + - and comparisons, and returns what comes out of + and -.
func (p *pass) same(left, right ast.Expr, x, y shape, op token.Token, whole ast.Node) shape {
	a, okA := settled(x).(*scalar)
	b, okB := settled(y).(*scalar)
	if !okA || !okB {
		return nil
	}
	if !p.fit(a, b) {
		if a.bare || b.bare {
			p.bareOperand(left, right, a, b)
		} else {
			p.report(Error, whole, a, b, fmt.Sprintf("%s %s %s: %s and %s cannot be %s%s", p.symbol(a), op, p.symbol(b), p.phrase(a), p.phrase(b), done(op), p.cure(a, b)))
		}
	} else if p.isAngle(a) && b.perAngle() || p.isAngle(b) && a.perAngle() {
		p.report(Note, whole, a, b, fmt.Sprintf("%s %s %s: one is in degrees, the other in radians", types.ExprString(left), op, types.ExprString(right)))
	} else if !p.compatible(a, b, true) {
		p.report(Note, whole, a, b, fmt.Sprintf("%s %s %s: %s and %s are not the same thing", types.ExprString(left), op, types.ExprString(right), p.phrase(a), p.phrase(b)))
	}
	return p.sum(a, b, op)
}

func (p *pass) bareOperand(left, right ast.Expr, a, b *scalar) {
	if p.src.SI {
		return
	}
	if a.bare {
		left, right, a, b = right, left, b, a
	}
	p.report(Note, right, b, a, fmt.Sprintf("%s is a bare number beside %s; it is taken in %s", types.ExprString(right), p.described(a), p.symbol(a)))
}

// sum returns what comes out of + and -.
func (p *pass) sum(a, b *scalar, op token.Token) shape {
	if a.zero || a.bare && !b.bare {
		a, b = b, a
	}
	out := *a
	out.unit, out.plain = "", false
	out.count, out.pi = a.count || b.count, a.pi || b.pi
	switch {
	case b.zero || b.bare:
	case a.kind == b.kind:
		out.loose = a.loose && b.loose
		if p.table.byName[a.kind].Exact && (op == token.SUB || op == token.SUB_ASSIGN) {
			out.kind = "" // a difference of temperatures is not a temperature
		}
	case p.table.isA(a.kind, b.kind):
		out.kind, out.loose = b.kind, b.loose
	case !p.table.isA(b.kind, a.kind):
		out.kind = ""
	}
	return &out
}

func done(op token.Token) string {
	switch op {
	case token.ADD, token.ADD_ASSIGN:
		return "added"
	case token.SUB, token.SUB_ASSIGN:
		return "subtracted"
	}
	return "compared"
}
