package cell

import (
	"fmt"
	"go/ast"
	"go/token"
	"go/types"
	"regexp"
	"strings"
)

// expr lowers an expression to one of the interpreter's type for its own type.
func (l *lowerer) expr(e ast.Expr) string {
	tv := l.info.Types[e]
	if tv.Value != nil {
		return l.constant(tv.Value, l.typeOf(e))
	}
	if name := l.early[e]; name != "" {
		return name
	}
	switch e := e.(type) {
	case *ast.ParenExpr:
		return l.expr(e.X)
	case *ast.Ident:
		return l.ident(e)
	case *ast.BinaryExpr:
		return l.binary(e)
	case *ast.UnaryExpr:
		return l.unary(e)
	case *ast.StarExpr:
		if b, ok := l.typeOf(e).Underlying().(*types.Basic); ok && b.Info()&types.IsString != 0 { // the interpreter takes a text for that of a nil pointer
			return l.pointed(e)
		}
		return l.lvalue(e)
	case *ast.SelectorExpr:
		return l.selector(e)
	case *ast.IndexExpr:
		return l.index(e)
	case *ast.IndexListExpr:
		return l.functionValue(e)
	case *ast.SliceExpr:
		return l.hide(l.slice(e), l.typeOf(e))
	case *ast.CallExpr:
		return l.call(e)
	case *ast.CompositeLit:
		return l.composite(e)
	case *ast.FuncLit:
		return l.hide(l.literal(e), l.typeOf(e))
	case *ast.TypeAssertExpr:
		return l.assertion(e)
	}
	return l.refuse(e, "this expression cannot be used in a cell")
}

// pointed lowers *p to a call of a function that fails if p is nil.
func (l *lowerer) pointed(e *ast.StarExpr) string {
	typ := l.concrete(l.typeOf(e.X))
	return l.helper("pointed", "(p "+typ+") "+l.typ(l.typeOf(e))+" {\nif p == nil { "+runtimeName+".NotNil(nil) }\nreturn *p\n}") + "(" + l.open(e.X) + ")"
}

// hide puts what is made of a recursive type behind the empty interface, where that is its lowered type. A nil becomes a nil interface.
func (l *lowerer) hide(s string, t types.Type) string {
	switch {
	case !l.isCut(t):
		return s
	case neverNil.MatchString(s):
		return emptyInterface + "(" + s + ")"
	}
	return l.helper("hide", "(x "+l.concrete(t)+") "+emptyInterface+" {\nif x == nil { return nil }\nreturn x\n}") + "(" + s + ")"
}

// neverNil matches expressions that make something.
var neverNil = regexp.MustCompile(`^(&|make\(|new\(|func\(|helper_(made|new)_|\[\]\S+\{|map\[)`)

// operand puts brackets around what is followed by a selector, an index or a call.
func operand(s string) string {
	if strings.HasPrefix(s, "*") || strings.HasPrefix(s, "&") {
		return "(" + s + ")"
	}
	return s
}

// open lowers an expression to one of its concrete lowered type, which for a recursive type may be hidden.
func (l *lowerer) open(e ast.Expr) string { return l.openText(l.expr(e), l.typeOf(e)) }

func (l *lowerer) openText(s string, t types.Type) string {
	if !l.isCut(t) {
		return s
	}
	concrete := l.concrete(t)
	s = operand(s)
	switch t.Underlying().(type) {
	case *types.Pointer, *types.Signature: // a nil fails here just as well
		return s + ".(" + concrete + ")"
	}
	return l.helper("open", "(x "+emptyInterface+") "+concrete+" {\nif x == nil { return nil }\nreturn x.("+concrete+")\n}") + "(" + s + ")"
}

func (l *lowerer) ident(e *ast.Ident) string {
	switch o := l.info.ObjectOf(e).(type) {
	case *types.Nil:
		return "nil"
	case *types.Var:
		if !fromCell(o) {
			return l.compiled(e, o)
		}
		return l.variable(o)
	case *types.Func:
		return l.functionValue(e)
	}
	return l.refuse(e, "%s cannot be used as a value", e.Name)
}

// compiled returns the name of a compiled function or variable.
func (l *lowerer) compiled(at ast.Node, o types.Object) string {
	if o.Pkg() == nil || !l.front.lib.Has(o.Pkg().Path(), o.Name()) {
		return l.refuse(at, "%s cannot be used in a cell: there is no compiled code for it", o.Name())
	}
	return l.importName(o.Pkg()) + "." + o.Name()
}

// binary lowers an operation on two operands. Both sides of a comparison are brought to the type that it is made in.
func (l *lowerer) binary(e *ast.BinaryExpr) string {
	if e.Op == token.SHL || e.Op == token.SHR {
		return l.shift(e.X, e.Op, e.Y, l.typeOf(e))
	}
	if e.Op == token.LAND || e.Op == token.LOR {
		return fmt.Sprintf("(%s %s %s)", firstCondition(l.expr(e.X)), e.Op, l.condition(func() string { return l.expr(e.Y) }))
	}
	t := l.operandType(e)
	if left := l.info.Types[e.X].IsNil(); left || l.info.Types[e.Y].IsNil() {
		return l.compareNil(e, left)
	}
	if types.IsInterface(t) {
		return l.compare(l.value(e.X, t), e.Op, l.value(e.Y, t))
	}
	x, y := l.sided(l.value(e.X, t), l.typeOf(e.X), l.typeOf(e.Y)), l.sided(l.value(e.Y, t), l.typeOf(e.Y), l.typeOf(e.X))
	return fmt.Sprintf("(%s %s %s)", l.noType(x, t), e.Op, l.noType(y, t))
}

// noType rewrites an operand *p of type t: to find out the type of an operation, the interpreter takes that for the type of pointers to p.
func (l *lowerer) noType(text string, t types.Type) string {
	if b, ok := t.Underlying().(*types.Basic); ok && strings.HasPrefix(text, "*") {
		return basicName(b) + "(" + text + ")"
	}
	return operand(text)
}

// compare compares two interface values.
func (l *lowerer) compare(x string, op token.Token, y string) string {
	not := ""
	if op == token.NEQ {
		not = "!"
	}
	return fmt.Sprintf("(%s%s.Equal(%s, %s))", not, runtimeName, x, y)
}

// sided gives a channel the direction of the one that it is compared with.
func (l *lowerer) sided(text string, t, other types.Type) string {
	c, ok := t.Underlying().(*types.Chan)
	o, ok2 := other.Underlying().(*types.Chan)
	if ok && ok2 && c.Dir() == types.SendRecv && o.Dir() != types.SendRecv {
		return l.convertText(text, l.concrete(t), l.concrete(other))
	}
	return text
}

// condition lowers an expression that is not evaluated where its statement starts, but later, again, or never: what it needs in front of it goes into a
// function literal with it.
func (l *lowerer) condition(lower func() string) string {
	text := ""
	l.fn.depth++
	lines := l.capture(func() { text = lower() })
	l.fn.depth--
	if lines == "" {
		return text
	}
	return l.made(fmt.Sprintf("func() bool { //f%d.%d\n%s\nreturn %s\n}", l.fn.index, l.fn.depth+1, lines, text), "func() bool") + "()"
}

// firstCondition lowers the left operand of && and ||. The interpreter takes the node that is evaluated first for a condition, which goes wrong if it is
// an element of a literal; so something else is evaluated first.
func firstCondition(text string) string {
	if strings.Contains(text, "{") {
		return "((" + progressName + " >= 0) && " + text + ")"
	}
	return text
}

// operandType is the type in which an operation is made: of the interface, if the other operand is not one, and else of the operand that has a type.
func (l *lowerer) operandType(e *ast.BinaryExpr) types.Type {
	x, y := l.typeOf(e.X), l.typeOf(e.Y)
	switch {
	case types.IsInterface(x) != types.IsInterface(y):
		if types.IsInterface(x) {
			return l.comparable(x)
		}
		return l.comparable(y)
	case types.IsInterface(x):
		return anyType
	case isUntyped(x) && !isUntyped(y):
		return y
	case isUntyped(x):
		return types.Default(l.typeOf(e))
	}
	return x
}

// comparable is the type in which interface values are compared: boxes in a compiled interface have lost what they were.
func (l *lowerer) comparable(t types.Type) types.Type {
	if types.Identical(t, errorType) {
		return t
	}
	return anyType
}

func (l *lowerer) compareNil(e *ast.BinaryExpr, left bool) string {
	x := e.X
	if left {
		x = e.Y
	}
	return fmt.Sprintf("(%s %s nil)", l.expr(x), e.Op)
}

// shift lowers a shift; the interpreter does not know that a negative count panics.
func (l *lowerer) shift(x ast.Expr, op token.Token, y ast.Expr, t types.Type) string {
	left := l.value(x, t)
	return fmt.Sprintf("(%s %s %s)", left, op, l.shiftCount(y))
}

func (l *lowerer) shiftCount(y ast.Expr) string {
	if v := l.info.Types[y].Value; v != nil {
		return "uint64(" + v.ExactString() + ")"
	}
	b := l.typeOf(y).Underlying().(*types.Basic)
	if b.Info()&types.IsUnsigned != 0 {
		return "uint64(" + l.expr(y) + ")"
	}
	count := l.helper("count", "(n int64) uint64 {\nif n < 0 { "+runtimeName+".NegativeShift() }\nreturn uint64(n)\n}")
	return count + "(int64(" + l.expr(y) + "))"
}

func (l *lowerer) unary(e *ast.UnaryExpr) string {
	switch e.Op {
	case token.ARROW:
		return l.receive(e)
	case token.AND:
		return l.hide(l.address(e.X), l.typeOf(e))
	}
	return "(" + e.Op.String() + l.noType(l.value(e.X, l.typeOf(e)), l.typeOf(e)) + ")"
}

// address lowers &x.
func (l *lowerer) address(x ast.Expr) string {
	if lit, ok := ast.Unparen(x).(*ast.CompositeLit); ok {
		return l.addressOfLiteral(lit, l.typeOf(lit))
	}
	if star, ok := ast.Unparen(x).(*ast.StarExpr); ok {
		typ := l.concrete(l.typeOf(star.X))
		return l.helper("there", "(p "+typ+") "+typ+" {\nif p == nil { "+runtimeName+".NotNil(nil) }\nreturn p\n}") + "(" + l.open(star.X) + ")"
	}
	return addressOf(l.lvalue(x))
}

// addressOfLiteral lowers &T{}. The interpreter knows that of structs only, if it stands inside of another literal.
func (l *lowerer) addressOfLiteral(lit *ast.CompositeLit, t types.Type) string {
	if _, ok := t.Underlying().(*types.Struct); ok {
		return "&" + l.compositeOf(lit, t)
	}
	return l.newOf(l.compositeOf(lit, t), l.concrete(t))
}

// addressOf returns the address of what an lvalue stands for.
func addressOf(lvalue string) string {
	if p, ok := strings.CutPrefix(lvalue, "*"); ok {
		return p
	}
	return "&" + lvalue
}

// lvalue lowers an expression that stands for a variable.
func (l *lowerer) lvalue(e ast.Expr) string {
	switch e := ast.Unparen(e).(type) {
	case *ast.Ident:
		if e.Name == "_" {
			return "_"
		}
		if o := l.info.ObjectOf(e); fromCell(o) {
			return l.variable(o)
		}
	case *ast.StarExpr:
		return "*" + l.open(e.X)
	case *ast.IndexExpr:
		if !repeatable(e.X) {
			return l.fixedIndex(e)
		}
	}
	return l.expr(e)
}

// selector lowers x.f: a name of a package, a field, or a method as a value.
func (l *lowerer) selector(e *ast.SelectorExpr) string {
	s := l.info.Selections[e]
	if s == nil {
		if _, ok := l.info.Uses[e.Sel].(*types.Func); ok {
			return l.functionValue(e)
		}
		if o := l.info.Uses[e.Sel]; fromCell(o) {
			return l.variable(o)
		}
		return l.compiled(e, l.info.Uses[e.Sel])
	}
	if s.Kind() == types.FieldVal {
		path, _ := l.path(s)
		x, _ := l.fields(l.expr(e.X), l.typeOf(e.X), path)
		return x
	}
	return l.methodValue(e, s)
}

// path is the way from the receiver of a selection to the field or method; in an instance of a generic function it may be another for each.
func (l *lowerer) path(s *types.Selection) ([]int, types.Object) {
	if l.typeArgs == nil {
		return s.Index(), s.Obj()
	}
	o, path, _ := types.LookupFieldOrMethod(l.subst(s.Recv()), true, s.Obj().Pkg(), s.Obj().Name())
	return path, o
}

// fields follows a path of field indices from x of type t, and returns the last field with its type.
func (l *lowerer) fields(x string, t types.Type, path []int) (string, types.Type) {
	for _, i := range path {
		t = l.subst(t)
		if p, ok := t.Underlying().(*types.Pointer); ok {
			x, t = l.openText(x, t), p.Elem()
		} else {
			x = strings.TrimPrefix(x, "*") // the interpreter looks through the pointer by itself
		}
		s := t.Underlying().(*types.Struct)
		x, t = operand(x)+"."+l.nameOfField(t, s, i), l.subst(s.Field(i).Type())
	}
	return x, t
}

// nameOfField is the interpreter's name of a field of a struct type of a cell or of a compiled package.
func (l *lowerer) nameOfField(t types.Type, s *types.Struct, i int) string {
	if named, ok := types.Unalias(t).(*types.Named); ok && !fromCell(named.Obj()) {
		return s.Field(i).Name()
	}
	return fieldName(s, i)
}
