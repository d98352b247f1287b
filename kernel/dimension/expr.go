package dimension

import (
	"go/ast"
	"go/constant"
	"go/token"
	"go/types"
	"math"
)

// expr returns the shape of an expression and remembers it.
func (p *pass) expr(e ast.Expr) shape { return p.exprWith(e, nil) }

// exprWith is expr for a place whose shape is known: a function literal takes the dimensions of its parameters from there.
func (p *pass) exprWith(e ast.Expr, want shape) shape {
	tv := p.src.Info.Types[e]
	if tv.IsType() {
		return nil
	}
	s := p.infer(e, want)
	if b, ok := underBasic(tv.Type); ok && b.Info()&(types.IsFloat|types.IsComplex|types.IsUntyped) == 0 {
		s = nil
	}
	p.shapes[e] = s
	return s
}

func underBasic(t types.Type) (*types.Basic, bool) {
	if t == nil {
		return nil, false
	}
	b, ok := t.Underlying().(*types.Basic)
	return b, ok
}

func (p *pass) infer(e ast.Expr, want shape) shape {
	switch e := e.(type) {
	case *ast.BasicLit:
		return p.literal(e)
	case *ast.Ident:
		return p.use(p.src.Info.ObjectOf(e))
	case *ast.ParenExpr:
		return p.exprWith(e.X, want)
	case *ast.SelectorExpr:
		return p.selector(e)
	case *ast.CallExpr:
		return p.call(e)
	case *ast.BinaryExpr:
		return p.binary(e)
	case *ast.UnaryExpr:
		return p.unary(e, want)
	case *ast.StarExpr:
		return p.expr(e.X)
	case *ast.IndexExpr:
		return p.element(e)
	case *ast.IndexListExpr:
		return p.instantiated(e.X, e.Indices)
	case *ast.SliceExpr:
		for _, i := range []ast.Expr{e.Low, e.High, e.Max} {
			if i != nil {
				p.expr(i)
			}
		}
		return p.expr(e.X)
	case *ast.CompositeLit:
		return p.composite(e, want)
	case *ast.FuncLit:
		return p.funcLit(e, want)
	case *ast.TypeAssertExpr:
		p.expr(e.X)
		if e.Type != nil {
			return p.written(e.Type)
		}
	}
	return nil
}

func (p *pass) literal(e *ast.BasicLit) shape {
	switch e.Kind {
	case token.INT, token.FLOAT, token.IMAG, token.CHAR:
		v := constant.MakeFromLiteral(e.Value, e.Kind, 0)
		return &scalar{bare: true, zero: constant.Sign(v) == 0}
	}
	return nil
}

// use returns the shape of an object for one use of it.
func (p *pass) use(o types.Object) shape {
	if o == nil {
		return nil
	}
	s := settled(p.object(o))
	if f, ok := s.(*function); ok {
		return p.instance(f)
	}
	return s
}

func (p *pass) unary(e *ast.UnaryExpr, want shape) shape {
	s := p.exprWith(e.X, want)
	n, ok := settled(s).(*scalar)
	switch e.Op {
	case token.ADD, token.SUB:
		if ok {
			out := *n
			out.unit, out.plain = "", false
			return &out
		}
	case token.AND:
		return s
	case token.ARROW:
		if l, ok := settled(s).(*list); ok {
			return l.elem
		}
	}
	return nil
}

func (p *pass) binary(e *ast.BinaryExpr) shape {
	x, y := p.expr(e.X), p.expr(e.Y)
	switch e.Op {
	case token.ADD, token.SUB:
		return p.same(e.X, e.Y, x, y, e.Op, e)
	case token.EQL, token.NEQ, token.LSS, token.LEQ, token.GTR, token.GEQ:
		p.same(e.X, e.Y, x, y, e.Op, e)
		return nil
	case token.MUL, token.QUO:
		a, okA := settled(x).(*scalar)
		b, okB := settled(y).(*scalar)
		if okA && okB && p.lives(a) && p.lives(b) {
			return p.product(e, a, b)
		}
	}
	return nil
}

// lives reports whether something may still be known of a number; in a quotient the variable that tells may cancel.
func (p *pass) lives(s *scalar) bool {
	_, _, ok := p.solver.resolve(s.term)
	return ok
}

// product returns what comes out of * and /.
func (p *pass) product(e *ast.BinaryExpr, a, b *scalar) shape {
	exp := one
	if e.Op == token.QUO {
		exp = Frac(-1, 1)
	}
	out := &scalar{term: a.term.times(b.term, exp)}
	switch {
	case a.bare && b.bare:
		out.bare, out.zero = true, a.zero
		out.count, out.pi, out.per = a.count || b.count, a.pi || b.pi, a.per
		if b.pi {
			out.per = ""
		}
	case b.bare:
		p.carry(out, a, b, p.value(e.Y), e.Op)
	case a.bare && e.Op == token.MUL:
		p.carry(out, b, a, p.value(e.X), e.Op)
	case e.Op == token.QUO && b.unit != "" && p.sameDimension(a, b):
		out.per = b.unit
	case e.Op == token.MUL && a.per != "" && a.per == b.unit || e.Op == token.MUL && b.unit != "" && p.isAngle(b):
		out.kind, out.loose = b.kind, true
	}
	return out
}

func (p *pass) isAngle(s *scalar) bool {
	k := p.table.byName[s.kind]
	return k.Angle == 1 && k.Dimension == (Dimension{})
}

func (p *pass) sameDimension(a, b *scalar) bool {
	x, _, okX := p.solver.resolve(a.term)
	y, _, okY := p.solver.resolve(b.term)
	return okX && okY && len(x.vars)+len(y.vars) == 0 && x.dim == y.dim
}

// value returns the value of a constant expression, and NaN for others.
func (p *pass) value(e ast.Expr) float64 {
	if v := p.src.Info.Types[e].Value; v != nil {
		f, _ := constant.Float64Val(constant.ToFloat(v))
		return f
	}
	return math.NaN()
}

// carry gives a product with a bare number what its other factor is called. π turns degrees into radians, back, and revolutions into radians.
func (p *pass) carry(out, s, number *scalar, value float64, op token.Token) {
	out.kind, out.loose, out.per, out.count = s.kind, s.loose, s.per, s.count
	if op == token.QUO {
		value = 1 / value
	}
	switch {
	case s.unit != "":
		out.scale = 1
	case s.scale == 0:
		out.scale = value
	default:
		out.scale = value * s.scale
	}
	switch {
	case !number.pi:
	case s.perAngle():
		out.per, out.kind, out.loose = "", "Angle", true
	case p.isAngle(s) && math.Abs(out.scale*math.Pi/180-1) < 1e-6:
		out.kind, out.per = "", "Degree"
	default:
		out.kind = ""
	}
}

func (p *pass) selector(e *ast.SelectorExpr) shape {
	sel := p.src.Info.Selections[e]
	if sel == nil {
		return p.use(p.src.Info.ObjectOf(e.Sel))
	}
	var x shape
	if sel.Kind() != types.MethodExpr {
		x = p.expr(e.X)
	}
	path := sel.Index()
	if sel.Kind() == types.FieldVal {
		return p.path(x, path)
	}
	f, ok := p.use(sel.Obj().(*types.Func).Origin()).(*function)
	if !ok {
		return nil
	}
	if sel.Kind() == types.MethodExpr || len(f.params) == 0 {
		return f
	}
	p.unify(f.params[0], p.path(x, path[:len(path)-1]))
	bound := *f
	bound.params, bound.names, bound.method = f.params[1:], f.names[1:], false
	return &bound
}

// path follows fields.
func (p *pass) path(s shape, path []int) shape {
	for _, i := range path {
		r, ok := settled(s).(*record)
		if !ok {
			return nil
		}
		s = p.field(r, i)
	}
	return s
}

func (p *pass) element(e *ast.IndexExpr) shape {
	if p.src.Info.Types[e.Index].IsType() {
		return p.instantiated(e.X, []ast.Expr{e.Index})
	}
	x, i := p.expr(e.X), p.expr(e.Index)
	switch x := settled(x).(type) {
	case *list:
		return x.elem
	case *mapping:
		p.expect(x.key, i, e.Index, place{what: "key"})
		return x.elem
	}
	return nil
}

// instantiated returns a function with explicit type arguments.
func (p *pass) instantiated(fn ast.Expr, args []ast.Expr) shape {
	f, ok := settled(p.expr(fn)).(*function)
	if !ok {
		return nil
	}
	for i, a := range args {
		if i < len(f.typeParams) {
			p.unify(f.typeParams[i], p.written(a))
		}
	}
	return f
}

func (p *pass) composite(e *ast.CompositeLit, want shape) shape {
	s := want
	switch t := e.Type.(type) {
	case nil:
		if s == nil {
			s = p.shapeOf(p.src.Info.TypeOf(e), p.scope)
		}
		if r, ok := settled(s).(*record); ok { // each literal has fields of its own
			s = p.shapeOf(r.typ, r.scope)
		}
	case *ast.ArrayType:
		s = &list{p.written(t.Elt)}
	default:
		s = p.written(e.Type)
	}
	for i, elt := range e.Elts {
		p.elementOf(settled(s), i, elt)
	}
	return s
}

// elementOf checks an element of a composite literal.
func (p *pass) elementOf(s shape, i int, elt ast.Expr) {
	kv, keyed := elt.(*ast.KeyValueExpr)
	value := elt
	if keyed {
		value = kv.Value
	}
	switch s := s.(type) {
	case *list:
		p.expect(s.elem, p.exprWith(value, s.elem), value, place{what: "element"})
	case *mapping:
		p.expect(s.key, p.exprWith(kv.Key, s.key), kv.Key, place{what: "key"})
		p.expect(s.elem, p.exprWith(value, s.elem), value, place{what: "element"})
	case *record:
		if keyed {
			i = fieldIndex(s.typ, kv.Key)
		}
		if i < 0 || i >= s.typ.NumFields() {
			return
		}
		f := p.field(s, i)
		p.expect(f, p.exprWith(value, f), value, place{what: "field " + s.typ.Field(i).Name()})
	default:
		p.expr(value)
	}
}

func fieldIndex(t *types.Struct, key ast.Expr) int {
	id, ok := key.(*ast.Ident)
	for i := range t.NumFields() {
		if ok && t.Field(i).Name() == id.Name {
			return i
		}
	}
	return -1
}

func (p *pass) funcLit(e *ast.FuncLit, want shape) shape {
	results := p.results
	p.solver.level++
	known, _ := settled(want).(*function)
	f := p.funcType(nil, e.Type, known)
	p.body(f, e.Body)
	p.results = results
	p.solver.level--
	return f
}
