package dimension

import (
	"go/ast"
	"go/token"
	"go/types"
)

// funcDecl looks at a function, once. While that lasts, its own uses in it are of one shape.
func (p *pass) funcDecl(d *ast.FuncDecl) {
	if p.doing[d] {
		return
	}
	p.doing[d] = true
	level, scope, results := p.solver.level, p.scope, p.results
	p.solver.level, p.scope = 1, newScope()
	f := p.funcType(d.Recv, d.Type, nil)
	p.set(p.src.Info.Defs[d.Name], f)
	if d.Body != nil {
		p.body(f, d.Body)
	}
	p.solver.level = 0
	p.generalise(f)
	p.solver.level, p.scope, p.results = level, scope, results
}

// body looks at the body of a function. What all its returns agree on is no longer soft.
func (p *pass) body(f *function, b *ast.BlockStmt) {
	p.results = f.results
	p.block(b.List)
	for i, s := range f.results {
		n, ok := s.(*scalar)
		if !ok || !n.plain || len(n.term.vars) != 1 {
			continue
		}
		if v := n.term.vars[0].v; v.bound != nil && !v.dead {
			sure := p.solver.fresh(false)
			sure.bound, sure.via = v.bound, v.via
			f.results[i] = &scalar{term: termOf(sure)}
		}
	}
}

// funcType notes the parameters and results of a function. What want knows goes into parameters that are plain.
func (p *pass) funcType(recv *ast.FieldList, t *ast.FuncType, want *function) *function {
	f := &function{method: recv != nil}
	if t.TypeParams != nil {
		for _, field := range t.TypeParams.List {
			for _, name := range field.Names {
				if o := p.src.Info.Defs[name]; o != nil {
					f.typeParams = append(f.typeParams, p.shapeOf(o.Type(), p.scope))
				}
			}
		}
	}
	f.params, f.names, _ = p.fields(recv, nil)
	params, names, variadic := p.fields(t.Params, want)
	f.params, f.names, f.variadic = append(f.params, params...), append(f.names, names...), variadic
	f.results, _, _ = p.fields(t.Results, nil)
	return f
}

func (p *pass) fields(list *ast.FieldList, want *function) (shapes []shape, names []string, variadic bool) {
	if list == nil {
		return nil, nil, false
	}
	for _, f := range list.List {
		for i := range max(1, len(f.Names)) {
			s, dots := p.fieldShape(f.Type)
			if n, ok := s.(*scalar); ok && n.plain && want != nil && len(shapes) < len(want.params) && p.isKnown(want.params[len(shapes)]) {
				s = want.params[len(shapes)]
			}
			variadic = variadic || dots
			name := "_"
			if i < len(f.Names) {
				name = f.Names[i].Name
				p.set(p.src.Info.Defs[f.Names[i]], s)
			}
			shapes, names = append(shapes, s), append(names, name)
		}
	}
	return shapes, names, variadic
}

func (p *pass) fieldShape(e ast.Expr) (s shape, variadic bool) {
	if dots, ok := e.(*ast.Ellipsis); ok {
		return &list{p.written(dots.Elt)}, true
	}
	return p.written(e), false
}

// written returns the shape of a type that stands in the source.
func (p *pass) written(e ast.Expr) shape {
	if t := p.src.Info.TypeOf(e); t != nil {
		return p.shapeOf(t, p.scope)
	}
	return nil
}

func (p *pass) block(list []ast.Stmt) {
	for _, s := range list {
		p.stmt(s)
	}
}

func (p *pass) stmt(s ast.Stmt) {
	switch s := s.(type) {
	case *ast.AssignStmt:
		p.assign(s)
	case *ast.DeclStmt:
		for _, spec := range s.Decl.(*ast.GenDecl).Specs {
			if v, ok := spec.(*ast.ValueSpec); ok {
				p.valueSpec(v)
			}
		}
	case *ast.ReturnStmt:
		p.returned(s)
	case *ast.ExprStmt:
		p.expr(s.X)
	case *ast.IncDecStmt:
		p.expr(s.X)
	case *ast.SendStmt:
		if l, ok := settled(p.expr(s.Chan)).(*list); ok {
			p.expect(l.elem, p.expr(s.Value), s.Value, place{what: "channel"})
		}
	case *ast.GoStmt:
		p.expr(s.Call)
	case *ast.DeferStmt:
		p.expr(s.Call)
	case *ast.LabeledStmt:
		p.stmt(s.Stmt)
	case *ast.BlockStmt:
		p.block(s.List)
	default:
		p.control(s)
	}
}

// control looks at statements that contain others.
func (p *pass) control(s ast.Stmt) {
	switch s := s.(type) {
	case *ast.IfStmt:
		p.optional(s.Init)
		p.expr(s.Cond)
		p.block(s.Body.List)
		p.optional(s.Else)
	case *ast.ForStmt:
		p.optional(s.Init)
		p.counted(s.Init)
		if s.Cond != nil {
			p.expr(s.Cond)
		}
		p.block(s.Body.List)
		p.optional(s.Post)
	case *ast.RangeStmt:
		p.ranged(s)
	case *ast.SwitchStmt:
		p.optional(s.Init)
		p.cases(s)
	case *ast.TypeSwitchStmt:
		p.optional(s.Init)
		p.typeCases(s)
	case *ast.SelectStmt:
		for _, c := range s.Body.List {
			p.optional(c.(*ast.CommClause).Comm)
			p.block(c.(*ast.CommClause).Body)
		}
	}
}

func (p *pass) optional(s ast.Stmt) {
	if s != nil {
		p.stmt(s)
	}
}

// counted marks the variables of a loop as counters: 0.1 added to itself is no forgotten unit.
func (p *pass) counted(init ast.Stmt) {
	a, ok := init.(*ast.AssignStmt)
	if !ok || a.Tok != token.DEFINE {
		return
	}
	for _, e := range a.Lhs {
		if id, ok := e.(*ast.Ident); ok {
			if s, ok := p.objects[p.src.Info.Defs[id]].(*scalar); ok {
				s.count = true
			}
		}
	}
}

func (p *pass) cases(s *ast.SwitchStmt) {
	var tag shape
	if s.Tag != nil {
		tag = p.expr(s.Tag)
	}
	for _, c := range s.Body.List {
		for _, e := range c.(*ast.CaseClause).List {
			if x := p.expr(e); s.Tag != nil {
				p.same(s.Tag, e, tag, x, token.EQL, e)
			}
		}
		p.block(c.(*ast.CaseClause).Body)
	}
}

func (p *pass) typeCases(s *ast.TypeSwitchStmt) {
	ast.Inspect(s.Assign, func(n ast.Node) bool {
		if x, ok := n.(*ast.TypeAssertExpr); ok {
			p.expr(x.X)
			return false
		}
		return true
	})
	for _, c := range s.Body.List {
		c := c.(*ast.CaseClause)
		if o := p.src.Info.Implicits[c]; o != nil && len(c.List) == 1 {
			p.set(o, p.shapeOf(o.Type(), p.scope))
		}
		p.block(c.Body)
	}
}

func (p *pass) ranged(s *ast.RangeStmt) {
	var key, value shape
	switch x := settled(p.expr(s.X)).(type) {
	case *list:
		value = x.elem
		if _, ok := p.src.Info.TypeOf(s.X).Underlying().(*types.Chan); ok {
			key = x.elem
		}
	case *mapping:
		key, value = x.key, x.elem
	case *function:
		if len(x.params) == 1 {
			if yield, ok := settled(x.params[0]).(*function); ok && len(yield.params) > 0 {
				key, value = yield.params[0], yield.params[len(yield.params)-1]
			}
		}
	}
	for i, e := range []ast.Expr{s.Key, s.Value} {
		if e != nil {
			p.store(e, []shape{key, value}[i], e, s.Tok == token.DEFINE)
		}
	}
	p.block(s.Body.List)
}

func (p *pass) returned(s *ast.ReturnStmt) {
	results := p.results
	values := p.values(s.Results, results)
	for i, v := range values {
		if i < len(results) {
			p.expect(results[i], v, at(s.Results, i), place{what: "the result of the function"})
		}
	}
}

// values returns the shapes of several expressions, or of the several values of one call.
func (p *pass) values(list []ast.Expr, want []shape) []shape {
	if len(list) == 1 {
		s := p.exprWith(list[0], first(want))
		if t, ok := s.(tuple); ok {
			return t
		}
		return []shape{s}
	}
	out := make([]shape, len(list))
	for i, e := range list {
		var w shape
		if i < len(want) {
			w = want[i]
		}
		out[i] = p.exprWith(e, w)
	}
	return out
}

func first(list []shape) shape {
	if len(list) == 0 {
		return nil
	}
	return list[0]
}

// at returns the expression that a value comes from.
func at(list []ast.Expr, i int) ast.Expr { return list[min(i, len(list)-1)] }

// valueSpec looks at a declaration of variables or constants.
func (p *pass) valueSpec(s *ast.ValueSpec) {
	values := p.values(s.Values, nil)
	for i, name := range s.Names {
		var value shape
		if i < len(values) {
			value = values[i]
		}
		o := p.src.Info.Defs[name]
		if s.Type == nil {
			p.define(name, value, valueAt(s.Values, i))
			continue
		}
		want := p.written(s.Type)
		if len(s.Values) > 0 {
			p.expect(want, value, at(s.Values, i), place{what: name.Name, declares: true})
		}
		if n, ok := want.(*scalar); ok {
			n.plain = false
			if k, ok := o.(*types.Const); ok {
				p.asUnit(n, k)
			}
		}
		p.set(o, want)
	}
}

func valueAt(list []ast.Expr, i int) ast.Expr {
	if len(list) == 0 {
		return nil
	}
	return at(list, i)
}

// define notes a name that is as its value is.
func (p *pass) define(id *ast.Ident, s shape, value ast.Expr) {
	o := p.src.Info.Defs[id]
	if n, ok := settled(s).(*scalar); ok {
		v := *n
		v.plain = false
		if _, constant := o.(*types.Const); !constant {
			v.unit = ""
			if v.zero {
				begun := p.solver.fresh(false)
				begun.begun = true
				v = scalar{term: termOf(begun)}
			}
		}
		s = &v
	}
	if _, ok := ast.Unparen(value).(*ast.FuncLit); ok {
		p.generalise(s)
	}
	p.set(o, s)
}

func (p *pass) assign(s *ast.AssignStmt) {
	switch s.Tok {
	case token.ASSIGN, token.DEFINE:
		var want []shape
		if s.Tok == token.ASSIGN {
			for _, e := range s.Lhs {
				want = append(want, p.target(e))
			}
		}
		values := p.values(s.Rhs, want)
		for i, e := range s.Lhs {
			if i < len(values) {
				p.store(e, values[i], at(s.Rhs, i), s.Tok == token.DEFINE)
			}
		}
	default:
		p.update(s)
	}
}

// target returns the shape of what is assigned to.
func (p *pass) target(e ast.Expr) shape {
	if id, ok := e.(*ast.Ident); ok && id.Name != "_" {
		s := p.object(p.src.Info.ObjectOf(id))
		p.shapes[e] = s
		return s
	}
	if id, ok := e.(*ast.Ident); ok && id.Name == "_" {
		return nil
	}
	return p.expr(e)
}

// store gives a value to a name or another place.
func (p *pass) store(e ast.Expr, s shape, value ast.Expr, define bool) {
	if id, ok := e.(*ast.Ident); ok {
		if id.Name == "_" {
			return
		}
		if define && p.src.Info.Defs[id] != nil {
			p.define(id, s, value)
			p.shapes[e] = p.objects[p.src.Info.Defs[id]]
			return
		}
	}
	p.expect(p.target(e), s, value, place{what: types.ExprString(e)})
}

// update looks at x += y and the like.
func (p *pass) update(s *ast.AssignStmt) {
	x, y := p.expr(s.Lhs[0]), p.expr(s.Rhs[0])
	switch s.Tok {
	case token.ADD_ASSIGN, token.SUB_ASSIGN:
		p.same(s.Lhs[0], s.Rhs[0], x, y, s.Tok, s.Lhs[0])
	case token.MUL_ASSIGN, token.QUO_ASSIGN:
		a, okX := settled(x).(*scalar)
		b, okY := settled(y).(*scalar)
		if okX && okY && !b.bare && !p.fit(&scalar{term: a.term.times(b.term, one)}, &scalar{term: a.term}) {
			p.report(Error, s.Lhs[0], a, b, types.ExprString(s.Lhs[0])+" "+s.Tok.String()+" "+types.ExprString(s.Rhs[0])+": "+
				types.ExprString(s.Lhs[0])+" is "+p.phrase(a)+" and would become something else: use a new name")
		}
	}
}
