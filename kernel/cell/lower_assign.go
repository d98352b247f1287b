package cell

import (
	"go/ast"
	"go/token"
	"go/types"
	"regexp"
	"strings"
)

// assign lowers = and := and the assignments with an operation.
func (l *lowerer) assign(s *ast.AssignStmt) {
	switch {
	case s.Tok != token.ASSIGN && s.Tok != token.DEFINE:
		l.update(s)
	case len(s.Rhs) != len(s.Lhs):
		l.assignTuple(s.Lhs, s.Rhs[0])
	case len(s.Lhs) > 1:
		l.assignAll(s.Lhs, s.Rhs)
	default:
		l.assignOne(s.Lhs[0], s.Rhs[0])
	}
}

// set assigns to a variable or to a part of one.
func (l *lowerer) set(left, right ast.Expr) {
	t := l.typeOf(left)
	if l.valueFirst(left, right) {
		value := l.returnedFor(left, l.value(right, t), l.typ(t))
		l.store(l.lvalue(left), value, l.typ(t))
		return
	}
	target := l.lvalue(left)
	l.store(target, l.value(right, t), l.typ(t))
}

// update lowers an assignment with an operation.
func (l *lowerer) update(s *ast.AssignStmt) {
	left, right := s.Lhs[0], s.Rhs[0]
	switch {
	case l.callsFirst(left, right):
		value := l.returnedFor(left, l.operand(s), l.operandTypeOf(s))
		l.emit("%s %s %s", l.lvalue(left), s.Tok, value)
	case repeatable(right):
		target := l.lvalue(left)
		l.emit("%s %s %s", target, s.Tok, l.operand(s))
	default:
		target := l.fixed(left)
		l.emit("%s %s %s", target, s.Tok, l.operand(s))
	}
}

// returnedFor evaluates what calls return and is assigned to left.
func (l *lowerer) returnedFor(left ast.Expr, value, typ string) string {
	value = l.hold(value, typ)
	if ending := l.fn.witness.endings[left]; ending != nil {
		l.enterScene(ending)
	}
	return value
}

// callsFirst reports whether what is assigned calls functions, which are called before what it is assigned to is looked for.
func (l *lowerer) callsFirst(left, right ast.Expr) bool {
	return len(l.fn.witness.calls([]ast.Expr{left})) == 0 && len(l.fn.witness.calls([]ast.Expr{right})) > 0 && l.risks(left, nil)
}

// valueFirst reports whether what is assigned is evaluated before what it is assigned to is looked for: it calls functions, or both can fail. Where elements
// are left to a witness, that asks in the right order.
func (l *lowerer) valueFirst(left, right ast.Expr) bool {
	return l.callsFirst(left, right) || len(l.fn.witness.calls([]ast.Expr{left})) == 0 && l.risks(left, nil) && l.risks(right, l.fn.witness.accesses)
}

// risks reports whether evaluating an expression can fail, except where a witness tells of it.
func (l *lowerer) risks(e ast.Expr, witnessed map[ast.Expr]bool) bool {
	return itself(&ast.ExprStmt{X: e}, func(n ast.Node) bool {
		e, ok := n.(ast.Expr)
		return ok && l.riskyExpr(e) && !witnessed[e]
	})
}

// operandTypeOf is the lowered type of the right side of an assignment with an operation.
func (l *lowerer) operandTypeOf(s *ast.AssignStmt) string {
	if s.Tok == token.SHL_ASSIGN || s.Tok == token.SHR_ASSIGN {
		return "uint64"
	}
	return l.typ(l.typeOf(s.Lhs[0]))
}

// operand lowers the right side of an assignment with an operation.
func (l *lowerer) operand(s *ast.AssignStmt) string {
	if s.Tok == token.SHL_ASSIGN || s.Tok == token.SHR_ASSIGN {
		return l.shiftCount(s.Rhs[0])
	}
	return l.value(s.Rhs[0], l.typeOf(s.Lhs[0]))
}

func identTargets(names []*ast.Ident) []ast.Expr {
	var out []ast.Expr
	for _, n := range names {
		out = append(out, n)
	}
	return out
}

// defined returns the variable that the left side of a := or var declares, or nil if it is an old one.
func (l *lowerer) defined(e ast.Expr) types.Object {
	if id, ok := e.(*ast.Ident); ok {
		return l.info.Defs[id]
	}
	return nil
}

func isBlank(e ast.Expr) bool {
	id, ok := ast.Unparen(e).(*ast.Ident)
	return ok && id.Name == "_"
}

func (l *lowerer) assignOne(left, right ast.Expr) {
	switch o := l.defined(left); {
	case isBlank(left):
		l.discard(right, o)
	case o != nil:
		l.declareLocal(o, l.value(right, o.Type()))
	default:
		l.set(left, right)
	}
}

var plainName = regexp.MustCompile(`^[\pL_][\pL\pN_]*$`)

var structLiteral = regexp.MustCompile(`^(S\d+|p_[\pL\pN_]+\.[\pL\pN_]+)\{`)

// store assigns a value to an lvalue. A struct literal takes a way round: the interpreter would make a new variable of it, and those who have the address of
// the old one would not see the value. So does what a pointer points to: that the pointer is nil would not be noticed.
func (l *lowerer) store(target, value, typ string) {
	if structLiteral.MatchString(value) || strings.HasPrefix(value, "*") && !plainName.MatchString(target) {
		value = l.hold(value, typ)
	}
	l.emit("%s = %s", target, value)
}

// assignAll lowers an assignment of several values: all are evaluated, and what the left sides depend on, before any is assigned.
func (l *lowerer) assignAll(left, right []ast.Expr) {
	targets := make([]func(string), len(left))
	values := make([]string, len(left))
	for i, e := range left {
		targets[i] = l.target(e)
	}
	for i, e := range right {
		t := l.targetType(left[i])
		if t == nil { // the blank name
			l.discard(e, nil)
			continue
		}
		values[i] = l.fresh("value")
		l.emit("var %s %s = %s", values[i], l.typ(t), l.value(e, t))
	}
	for i, assign := range targets {
		if values[i] != "" {
			assign(values[i])
		}
	}
}

// targetType is the type of a left side, or nil if it is the blank name.
func (l *lowerer) targetType(e ast.Expr) types.Type {
	if o := l.defined(e); o != nil && !isBlank(e) {
		return l.objectType(o)
	}
	if isBlank(e) {
		return nil
	}
	return l.typeOf(e)
}

// target evaluates what a left side depends on and returns how a value is assigned to it.
func (l *lowerer) target(e ast.Expr) func(value string) {
	if o := l.defined(e); o != nil && !isBlank(e) {
		return func(value string) { l.declareLocal(o, value) }
	}
	if isBlank(e) {
		return func(string) {}
	}
	fixed, typ := l.fixed(e), l.typ(l.typeOf(e))
	return func(value string) { l.store(fixed, value, typ) }
}

// fixed lowers an lvalue whose operands are evaluated now, into variables.
func (l *lowerer) fixed(e ast.Expr) string {
	switch e := ast.Unparen(e).(type) {
	case *ast.StarExpr:
		return "*" + l.hold(l.open(e.X), l.concrete(l.typeOf(e.X)))
	case *ast.IndexExpr:
		return l.fixedIndex(e)
	case *ast.SelectorExpr:
		if s := l.info.Selections[e]; s != nil {
			return l.fixedField(e, s)
		}
	}
	return l.lvalue(e)
}

func (l *lowerer) fixedIndex(e *ast.IndexExpr) string {
	switch u := l.typeOf(e.X).Underlying().(type) {
	case *types.Map:
		m := l.hold(l.open(e.X), l.concrete(l.typeOf(e.X)))
		return m + "[" + l.hold(l.key(e.Index, u), l.typ(u.Key())) + "]"
	case *types.Array:
		x := l.fixed(e.X)
		if strings.HasPrefix(x, "*") {
			x = "(" + x + ")"
		}
		return l.heldIndex(e, x)
	case *types.Pointer:
		return l.heldIndex(e, "(*"+l.hold(l.open(e.X), l.concrete(l.typeOf(e.X)))+")")
	}
	return l.heldIndex(e, l.hold(l.open(e.X), l.concrete(l.typeOf(e.X))))
}

// heldIndex is an element of x whose index is evaluated now. Whether it is in range is asked when the value is assigned.
func (l *lowerer) heldIndex(e *ast.IndexExpr, x string) string {
	if l.unchecked(e) {
		return x + "[" + l.hold(l.intIndex(e.Index), "int") + "]"
	}
	i, kind := l.widest(e.Index)
	return x + "[" + l.heldInRange(l.hold(i, kind), kind, x) + "]"
}

// fixedField fixes the pointer that the field is reached through, if there is one.
func (l *lowerer) fixedField(e *ast.SelectorExpr, s *types.Selection) string {
	path, _ := l.path(s)
	t := l.typeOf(e.X)
	x := ""
	if _, ok := t.Underlying().(*types.Pointer); ok {
		x = l.hold(l.expr(e.X), l.typ(t))
	} else if x = l.fixed(e.X); strings.HasPrefix(x, "*") {
		x = "(" + x + ")"
	}
	for len(path) > 1 {
		x, t = l.fields(x, t, path[:1])
		if path = path[1:]; isPointer(t) {
			x = l.hold(x, l.typ(t))
		}
	}
	x, _ = l.fields(x, t, path)
	return x
}

func isPointer(t types.Type) bool {
	_, ok := t.Underlying().(*types.Pointer)
	return ok
}

// hold evaluates s into a new variable, unless it is a literal.
func (l *lowerer) hold(s, typ string) string {
	if literalText.MatchString(s) {
		return s
	}
	name := l.fresh("held")
	l.emit("var %s %s = %s", name, typ, s)
	return name
}

// assignTuple lowers the assignment of an expression that yields several values.
func (l *lowerer) assignTuple(left []ast.Expr, right ast.Expr) {
	values, kinds := l.tuple(right, left)
	targets := make([]func(string), len(left))
	for i, e := range left {
		targets[i] = l.target(e)
	}
	for i, assign := range targets {
		if !isBlank(left[i]) {
			assign(l.convert(values[i], kinds[i], l.targetType(left[i])))
		}
	}
}

// tuple evaluates an expression that yields several values into variables, and returns these with their types.
func (l *lowerer) tuple(e ast.Expr, left []ast.Expr) ([]string, []types.Type) {
	switch x := ast.Unparen(e).(type) {
	case *ast.IndexExpr:
		if m, ok := l.typeOf(x.X).Underlying().(*types.Map); ok {
			v, ok := l.fresh("value"), l.fresh("ok")
			l.emit("%s, %s := %s[%s]", v, ok, operand(l.open(x.X)), l.key(x.Index, m))
			l.emit("if !%s { %s = %s }", ok, v, l.zero(m.Elem())) // in a loop, the interpreter leaves the value of the turn before
			return []string{v, ok}, []types.Type{m.Elem(), types.Typ[types.Bool]}
		}
	case *ast.TypeAssertExpr:
		return l.tupleAssertion(x, left)
	case *ast.UnaryExpr:
		return l.tupleReceive(x)
	}
	t := l.typeOf(e).(*types.Tuple)
	var names []string
	for range t.Len() {
		names = append(names, l.fresh("value"))
	}
	l.emit("%s := %s", strings.Join(names, ", "), l.expr(e))
	return names, tupleTypes(t)
}

func (l *lowerer) tupleAssertion(x *ast.TypeAssertExpr, left []ast.Expr) ([]string, []types.Type) {
	t := l.typeOf(x.Type)
	raw, v, ok := l.fresh("value"), l.fresh("value"), l.fresh("ok")
	l.emit("%s, %s := %s.AsOK(%s, %d)", raw, ok, runtimeName, l.openValue(x.X), l.shape(t))
	if isBlank(left[0]) {
		return []string{"nil", ok}, []types.Type{t, types.Typ[types.Bool]}
	}
	l.emit("var %s %s", v, l.typ(t))
	l.emit("if %s { %s = %s }", ok, v, l.asserted(raw, t))
	return []string{v, ok}, []types.Type{t, types.Typ[types.Bool]}
}
