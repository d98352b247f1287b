package derive

import (
	"go/ast"
	"go/token"
	"go/types"
)

// choice adds an if or a switch: as cases, if each branch does nothing but give the same variable a value.
func (b *Builder) choice(s ast.Stmt, out *Step) {
	if !assigns(s) {
		return
	}
	c := cases{formula: formula{builder: b, careful: true, opaque: b.opaque(s)}}
	if c.opaque || !c.add(s) || c.target == nil || !isNumber(b.typeOf(c.target)) {
		b.code(s, out)
		return
	}
	if len(c.node.Args)%2 == 0 { // nothing holds otherwise: the variable stays as it is
		old, ok := c.operand(c.target)
		if !ok {
			b.code(s, out)
			return
		}
		c.node.Args = append(c.node.Args, old)
	}
	e := c.equation(c.target)
	c.node.Op = Cases
	e.Formula = &c.node
	b.append(e, c.operands, c.target, nil, out)
}

// assigns reports whether a statement sets a variable.
func assigns(s ast.Stmt) bool {
	found := false
	ast.Inspect(s, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.AssignStmt:
			found = found || n.Tok != token.DEFINE
		case *ast.IncDecStmt:
			found = true
		}
		return true
	})
	return found
}

// cases collects the branches of a choice.
type cases struct {
	formula
	node   Node
	target ast.Expr
}

func (c *cases) add(s ast.Stmt) bool {
	switch s := s.(type) {
	case *ast.IfStmt:
		return c.addIf(s)
	case *ast.SwitchStmt:
		return c.addSwitch(s)
	case *ast.BlockStmt:
		return c.branch(s.List, nil)
	}
	return false
}

func (c *cases) addIf(s *ast.IfStmt) bool {
	if s.Init != nil || !c.branch(s.Body.List, s.Cond) {
		return false
	}
	return s.Else == nil || c.add(s.Else)
}

func (c *cases) addSwitch(s *ast.SwitchStmt) bool {
	if s.Init != nil || s.Tag != nil {
		return false
	}
	for i, clause := range s.Body.List {
		clause := clause.(*ast.CaseClause)
		switch {
		case len(clause.List) == 1:
			if !c.branch(clause.Body, clause.List[0]) {
				return false
			}
		case len(clause.List) > 1 || i < len(s.Body.List)-1:
			return false
		default:
			return c.branch(clause.Body, nil)
		}
	}
	return true
}

// branch adds a value with the condition that it has.
func (c *cases) branch(body []ast.Stmt, condition ast.Expr) bool {
	if len(body) != 1 {
		return false
	}
	a, ok := body[0].(*ast.AssignStmt)
	if !ok || a.Tok != token.ASSIGN || len(a.Lhs) != 1 || len(a.Rhs) != 1 || !c.builder.safe(a.Lhs[0]) {
		return false
	}
	if c.target != nil && c.builder.Text(c.target) != c.builder.Text(a.Lhs[0]) {
		return false
	}
	c.target = a.Lhs[0]
	parts := []ast.Expr{a.Rhs[0]}
	if condition != nil {
		parts = append(parts, condition)
	}
	nodes, ok := c.all(parts...)
	c.node.Args = append(c.node.Args, nodes...)
	return ok
}

// loop adds a for: as a sum, if all it does is to add to a variable.
func (b *Builder) loop(s ast.Stmt, out *Step) {
	if !assigns(s) {
		return
	}
	f := formula{builder: b, careful: true, opaque: b.opaque(s), elements: map[types.Object]Symbol{}}
	body, sum, ok := f.bounds(s)
	if !ok || !f.adds(body, &sum) {
		b.code(s, out)
		return
	}
	target := body[0].(*ast.AssignStmt).Lhs[0]
	before, ok := f.operand(target)
	if !ok {
		b.code(s, out)
		return
	}
	e := f.equation(target)
	e.Formula = &Node{Op: Add, Args: []Node{before, sum}}
	b.append(e, f.operands, target, nil, out)
}

// adds reports whether the body of a loop is x += formula, and completes the sum with it.
func (f *formula) adds(body []ast.Stmt, sum *Node) bool {
	if len(body) != 1 {
		return false
	}
	a, ok := body[0].(*ast.AssignStmt)
	if !ok || a.Tok != token.ADD_ASSIGN || !f.builder.safe(a.Lhs[0]) || !isNumber(f.builder.typeOf(a.Lhs[0])) {
		return false
	}
	term, ok := f.expr(a.Rhs[0])
	target := f.builder.Text(a.Lhs[0])
	for _, name := range f.names {
		ok = ok && name != target
	}
	sum.Op, sum.Args = Sum, append([]Node{term}, sum.Args...)
	return ok
}

// bounds returns the body of a loop, and a sum with its index and bounds.
func (f *formula) bounds(s ast.Stmt) ([]ast.Stmt, Node, bool) {
	switch s := s.(type) {
	case *ast.RangeStmt:
		sum, ok := f.rangeBounds(s)
		return s.Body.List, sum, ok
	case *ast.ForStmt:
		sum, ok := f.forBounds(s)
		return s.Body.List, sum, ok
	}
	return nil, Node{}, false
}

// rangeBounds is a loop over a list, or from 0 to before n. Where only the elements have a name, they are counted from 1.
func (f *formula) rangeBounds(s *ast.RangeStmt) (Node, bool) {
	b := f.builder
	t := b.Info.TypeOf(s.X)
	_, list := elem(t)
	if s.Tok == token.ASSIGN || !(list || isInteger(t)) || !b.readable(s.X) && b.Info.Types[s.X].Value == nil {
		return Node{}, false
	}
	index, first := "i", number("1", 1)
	if id, ok := s.Key.(*ast.Ident); ok && id.Name != "_" {
		index, first = id.Name, number("0", 0)
		f.elements[b.Info.Defs[id]] = SymbolOf(id.Name)
	}
	if id, ok := s.Value.(*ast.Ident); ok && id.Name != "_" {
		f.elements[b.Info.Defs[id]] = b.symbol(s.X).element(Symbol{index, index})
	}
	last, ok := f.count(s.X, list)
	if ok && first.Value == 0 {
		last = lessOne(last)
	}
	return Node{Text: index, Args: []Node{first, last}}, ok
}

// lessOne is n − 1.
func lessOne(n Node) Node { return Node{Op: Sub, Args: []Node{n, number("1", 1)}} }

// count is how many turns a loop over a list or a number makes.
func (f *formula) count(e ast.Expr, list bool) (Node, bool) {
	if !list {
		return f.expr(e)
	}
	s := f.builder.symbol(e)
	return Node{Op: Operand, Symbol: Symbol{"n_{" + s.LaTeX + "}", "n_" + s.Plain}}, true
}

// forBounds is for i := a; i < b; i++, or with <=.
func (f *formula) forBounds(s *ast.ForStmt) (Node, bool) {
	b := f.builder
	init, ok := s.Init.(*ast.AssignStmt)
	cond, ok2 := s.Cond.(*ast.BinaryExpr)
	post, ok3 := s.Post.(*ast.IncDecStmt)
	if !ok || !ok2 || !ok3 || init.Tok != token.DEFINE || len(init.Lhs) != 1 || post.Tok != token.INC || cond.Op != token.LSS && cond.Op != token.LEQ {
		return Node{}, false
	}
	id := init.Lhs[0].(*ast.Ident)
	if b.Text(cond.X) != id.Name || b.Text(post.X) != id.Name || !isInteger(b.typeOf(id)) {
		return Node{}, false
	}
	f.elements[b.Info.Defs[id]] = SymbolOf(id.Name)
	ends, ok := f.all(init.Rhs[0], cond.Y)
	if ok && cond.Op == token.LSS {
		ends[1] = lessOne(ends[1])
	}
	return Node{Text: id.Name, Args: ends}, ok
}

// inLoop reports whether an expression mentions a variable of the loop.
func (f *formula) inLoop(e ast.Expr) bool {
	found := false
	ast.Inspect(e, func(n ast.Node) bool {
		if id, ok := n.(*ast.Ident); ok {
			_, is := f.elements[f.builder.Info.ObjectOf(id)]
			found = found || is
		}
		return true
	})
	return found
}

// element is an element of a list at a place that depends on the loop, or a field of such an element.
func (f *formula) element(e ast.Expr) (Node, bool) {
	s, ok := f.elementSymbol(e)
	return Node{Op: Operand, Symbol: s}, ok && isNumber(f.builder.Info.TypeOf(e))
}

func (f *formula) elementSymbol(e ast.Expr) (Symbol, bool) {
	b := f.builder
	switch e := ast.Unparen(e).(type) {
	case *ast.Ident:
		s, ok := f.elements[b.Info.ObjectOf(e)]
		return s, ok
	case *ast.SelectorExpr:
		owner, ok := f.elementSymbol(e.X)
		s, known := fieldSymbols[e.Sel.Name]
		if !known {
			s = SymbolOf(e.Sel.Name)
		}
		return s.element(owner), ok
	case *ast.IndexExpr:
		id, ok := ast.Unparen(e.Index).(*ast.Ident)
		if !ok || f.inLoop(e.X) || !b.readable(e.X) {
			return Symbol{}, false
		}
		s, ok := f.elements[b.Info.ObjectOf(id)]
		return b.symbol(e.X).element(s), ok
	}
	return Symbol{}, false
}
