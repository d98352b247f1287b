package cell

import (
	"go/ast"
	"go/token"
	"go/types"

	"foreplane/kernel/dimension"
)

// expected returns the quantity that fits where a glance looks: as argument of a call, beside another operand, in a field, behind an = sign.
func (f *Front) expected(g *glance) (q dimension.Quantity, ok bool) {
	defer func() { _ = recover() }() // unfinished code may be stranger than the checker of dimensions expects: then nothing is
	e := expectation{f, g, f.quantitiesOf(g)}
	var child ast.Node = g.ident()
	for i := 1; ; i++ {
		parent := g.parent(i)
		q, ok, further := e.from(parent, child, i)
		if !further {
			return q, ok && q.Symbol != "1"
		}
		child = parent
	}
}

// quantitiesOf returns what is known of expressions in unfinished code.
func (f *Front) quantitiesOf(g *glance) func(ast.Expr) (dimension.Quantity, bool) {
	c := checked{source: g.source, stmts: g.source.body.Body.List}
	r := f.dims.Check(dimension.Source{Fset: g.front.files.set, Info: g.info, Nodes: c.nodes(), Plain: true})
	known := map[ast.Expr]dimension.Quantity{}
	for e := range g.info.Types {
		if q, ok := r.Of(e); ok && !q.Bare {
			known[e] = q
		}
	}
	r.Discard()
	return func(e ast.Expr) (dimension.Quantity, bool) { q, ok := known[e]; return q, ok }
}

// expectation climbs from a name that is being written to the place that says what it should be.
type expectation struct {
	front *Front
	*glance
	of func(ast.Expr) (dimension.Quantity, bool)
}

// from returns what a node says of its child, or that the node above has to be asked.
func (e expectation) from(parent, child ast.Node, level int) (q dimension.Quantity, ok, further bool) {
	switch p := parent.(type) {
	case *ast.ParenExpr, *ast.UnaryExpr:
		return q, false, true
	case *ast.BinaryExpr:
		return e.operand(p, child)
	case *ast.CallExpr:
		q, ok = e.argument(p, child)
	case *ast.KeyValueExpr:
		if lit, inside := e.parent(level + 1).(*ast.CompositeLit); inside && p.Value == child {
			q, ok = e.element(lit, p.Key)
		}
	case *ast.CompositeLit:
		q, ok = e.element(p, nil)
	case *ast.AssignStmt:
		if i := indexOf(p.Rhs, child); i >= 0 && i < len(p.Lhs) && p.Tok != token.DEFINE {
			q, ok = e.of(p.Lhs[i])
		}
	case *ast.ValueSpec:
		if p.Type != nil && p.Type != child {
			q, ok = e.declared(e.info.TypeOf(p.Type))
		}
	case *ast.ReturnStmt:
		q, ok = e.result(indexOf(p.Results, child))
	}
	return q, ok, false
}

// operand is about an operand: those of + and of comparisons are alike, a factor beside numbers is what the product should be, and a divisor turns the
// dividend into a number.
func (e expectation) operand(b *ast.BinaryExpr, child ast.Node) (q dimension.Quantity, ok, further bool) {
	other := b.X
	if b.X == child {
		other = b.Y
	}
	q, ok = e.of(other)
	switch b.Op {
	case token.MUL:
		return dimension.Quantity{}, false, !ok || q.Symbol == "1"
	case token.QUO:
		if b.X == child {
			return dimension.Quantity{}, false, !ok || q.Symbol == "1"
		}
	}
	return q, ok, false
}

func (e expectation) argument(call *ast.CallExpr, child ast.Node) (q dimension.Quantity, ok bool) {
	sig, isFunc := underlying(e.info.TypeOf(call.Fun)).(*types.Signature)
	i := indexOf(call.Args, child)
	if !isFunc || i < 0 || sig.Params().Len() == 0 {
		return q, false
	}
	if last := sig.Params().Len() - 1; i >= last && sig.Variadic() {
		return e.declared(elem(sig.Params().At(last).Type()))
	} else if i > last {
		return q, false
	}
	return e.front.dims.Declared(sig.Params().At(i))
}

// element is about an element of a literal: of a struct, with the key that names its field, or of a list or map.
func (e expectation) element(lit *ast.CompositeLit, key ast.Expr) (q dimension.Quantity, ok bool) {
	switch t := underlying(deref(e.info.TypeOf(lit))).(type) {
	case *types.Struct:
		for v := range t.Fields() {
			if id, named := key.(*ast.Ident); named && v.Name() == id.Name {
				return e.front.dims.Declared(v)
			}
		}
	case *types.Slice:
		return e.declared(t.Elem())
	case *types.Array:
		return e.declared(t.Elem())
	case *types.Map:
		return e.declared(t.Elem())
	}
	return q, false
}

// result is about a result of the innermost function around.
func (e expectation) result(i int) (q dimension.Quantity, ok bool) {
	for level := 2; i >= 0 && e.parent(level) != nil; level++ {
		var t *ast.FuncType
		switch f := e.parent(level).(type) {
		case *ast.FuncDecl:
			t = f.Type
		case *ast.FuncLit:
			t = f.Type
		default:
			continue
		}
		if sig, isFunc := e.info.TypeOf(t).(*types.Signature); isFunc && i < sig.Results().Len() {
			return e.front.dims.Declared(sig.Results().At(i))
		}
		if names := t.Results; names != nil && i < len(names.List) {
			return e.declared(e.info.TypeOf(names.List[i].Type))
		}
		break
	}
	return q, false
}

func (e expectation) declared(t types.Type) (q dimension.Quantity, ok bool) {
	if t == nil {
		return q, false
	}
	return e.front.dims.Declared(types.NewVar(token.NoPos, nil, "", t))
}

func indexOf(list []ast.Expr, child ast.Node) int {
	for i, e := range list {
		if e == child {
			return i
		}
	}
	return -1
}
