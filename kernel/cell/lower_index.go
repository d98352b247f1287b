package cell

import (
	"fmt"
	"go/ast"
	"go/types"
	"strings"
)

// index lowers x[i].
func (l *lowerer) index(e *ast.IndexExpr) string {
	if tv := l.info.Types[e.Index]; tv.IsType() {
		return l.functionValue(e)
	}
	if u, ok := l.typeOf(e.X).Underlying().(*types.Map); ok {
		if l.info.Types[e.Index].IsNil() && !types.IsInterface(u.Key()) && !l.isCut(u.Key()) {
			return l.indexed(e) + "[" + l.typedNil(l.typ(u.Key())) + "]"
		}
		return l.indexed(e) + "[" + l.key(e.Index, u) + "]"
	}
	switch {
	case l.unchecked(e):
		return l.indexed(e) + "[" + l.intIndex(e.Index) + "]"
	case !repeatable(e.X):
		return l.elementOf(e, l.open(e.X))
	}
	return l.indexed(e) + "[" + l.check(e) + "]"
}

// indexed lowers the x of x[i].
func (l *lowerer) indexed(e *ast.IndexExpr) string {
	if star, ok := ast.Unparen(e.X).(*ast.StarExpr); ok && arrayOf(l.typeOf(star)) == nil { // the interpreter would take (*p)[i] for an element of a type
		return operand(l.openText(l.pointed(star), l.typeOf(star)))
	}
	x := operand(l.open(e.X))
	if isPointer(l.typeOf(e.X)) {
		return "(*" + x + ")"
	}
	return x
}

// check lowers the check of x[i], which is followed by the access and has the index as its value, or of x[i:j], which has the slice as its value. What is
// inside of x has been checked already.
func (l *lowerer) check(e ast.Expr) string {
	switch e := e.(type) {
	case *ast.IndexExpr:
		outer := l.trusting
		l.trusting = true
		x := l.indexed(e)
		l.trusting = outer
		return l.inRange(e.Index, x)
	case *ast.SliceExpr:
		return l.sliceBy(e, l.checkedSlice)
	}
	return ""
}

// elementOf lowers x[i] with a check, for an x that must be evaluated once.
func (l *lowerer) elementOf(e *ast.IndexExpr, x string) string {
	t := l.typeOf(e.X)
	list, typ, length, value := l.concrete(t), l.typ(elem(t)), "len(x)", "x[i]"
	if isPointer(t) {
		a := arrayOf(t)
		typ, length, value = l.typ(a.Elem()), fmt.Sprint(a.Len()), "(*x)[i]"
	}
	i, kind := l.widest(e.Index)
	get := l.helper("element", fmt.Sprintf("(x %s, i %s) %s {\nif i < 0 || i >= %s(%s) { %s.BadIndex(i, %s) }\nreturn %s\n}", list, kind, typ, kind, length, runtimeName, length, value))
	return get + "(" + x + ", " + i + ")"
}

// key lowers the key of an entry of a map.
func (l *lowerer) key(e ast.Expr, m *types.Map) string {
	text := l.value(e, m.Key())
	if types.IsInterface(m.Key()) && l.isOpen(m.Key()) && l.info.Types[e].Value == nil {
		return runtimeName + ".Key(" + text + ")"
	}
	return text
}

// inRange is an index of x that is checked.
func (l *lowerer) inRange(index ast.Expr, x string) string {
	i, kind := l.widest(index)
	return l.heldInRange(i, kind, x)
}

// widest lowers an index to an int or, if it is unsigned, to a uint64, and returns which.
func (l *lowerer) widest(index ast.Expr) (text, kind string) {
	if l.info.Types[index].Value == nil && isUnsigned(l.typeOf(index)) {
		return "uint64(" + l.expr(index) + ")", "uint64"
	}
	return l.intIndex(index), "int"
}

// heldInRange is the same for an index that has been evaluated.
func (l *lowerer) heldInRange(i, kind, x string) string {
	if kind == "uint64" {
		check := l.helper("index", "(i uint64, n int) int {\nif i >= uint64(n) { "+runtimeName+".BadIndex(i, n) }\nreturn int(i)\n}")
		return fmt.Sprintf("%s(%s, len(%s))", check, i, x)
	}
	check := l.helper("index", "(i, n int) int {\nif i < 0 || i >= n { "+runtimeName+".BadIndex(i, n) }\nreturn i\n}")
	return fmt.Sprintf("%s(%s, len(%s))", check, i, x)
}

func isUnsigned(t types.Type) bool {
	b, ok := t.Underlying().(*types.Basic)
	return ok && b.Info()&types.IsUnsigned != 0
}

// repeatable reports whether an expression can be evaluated twice: it calls nothing.
func repeatable(e ast.Expr) bool {
	ok := true
	ast.Inspect(e, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.CallExpr, *ast.FuncLit, *ast.CompositeLit:
			ok = false
		case *ast.UnaryExpr:
			ok = ok && n.Op.String() != "<-"
		}
		return ok
	})
	return ok
}

// intIndex lowers an index of a slice, array or string.
func (l *lowerer) intIndex(e ast.Expr) string {
	if v := l.info.Types[e].Value; v != nil {
		return l.constant(v, types.Typ[types.Int])
	}
	b, ok := l.typeOf(e).Underlying().(*types.Basic)
	switch {
	case ok && b.Kind() == types.Int:
		return l.expr(e)
	case ok && b.Info()&types.IsUnsigned != 0 && !l.trusting:
		return l.helper("unsigned", "(n uint64) int {\nif n > 9223372036854775807 { return 9223372036854775807 }\nreturn int(n)\n}") + "(uint64(" + l.expr(e) + "))"
	}
	return "int(" + l.expr(e) + ")"
}

// slice lowers x[i:j:k].
func (l *lowerer) slice(e *ast.SliceExpr) string {
	if l.unchecked(e) || e.Low == nil && e.High == nil {
		return l.sliceBy(e, plainSlice)
	}
	return l.sliceBy(e, l.checkedSlice)
}

// sliceBy lowers x[i:j:k] to what by makes of x and its bounds, of which those that are not written are empty.
func (l *lowerer) sliceBy(e *ast.SliceExpr, by func(e *ast.SliceExpr, x string, parts []string) string) string {
	x := operand(l.open(e.X))
	switch l.typeOf(e.X).Underlying().(type) {
	case *types.Pointer:
		x = "(*" + x + ")"
	case *types.Array:
		if x = l.lvalue(e.X); strings.HasPrefix(x, "*") {
			x = "(" + x + ")"
		}
	}
	parts := []string{"", "", ""}
	for i, index := range []ast.Expr{e.Low, e.High, e.Max} {
		if index != nil {
			parts[i] = l.intIndex(index)
		}
	}
	return by(e, x, parts)
}

func plainSlice(e *ast.SliceExpr, x string, parts []string) string {
	if !e.Slice3 {
		parts = parts[:2]
	}
	return x + "[" + strings.Join(parts, ":") + "]"
}

// proven reports whether an index cannot be out of range.
func (l *lowerer) proven(e ast.Expr) bool {
	i, ok := e.(*ast.IndexExpr)
	if !ok {
		return false
	}
	_, isArray := l.typeOf(i.X).Underlying().(*types.Array)
	return isArray && l.info.Types[i.Index].Value != nil
}

// checkedSlice slices by a helper that checks the bounds; -1 stands for a bound that is not written.
func (l *lowerer) checkedSlice(e *ast.SliceExpr, x string, parts []string) string {
	t := l.typeOf(e)
	typ, room := l.concrete(t), "cap"
	if b, ok := t.Underlying().(*types.Basic); ok && b.Info()&types.IsString != 0 {
		room = "len"
	} else if _, ok := l.typeOf(e.X).Underlying().(*types.Slice); !ok {
		x, room = x+"[:]", "len"
	}
	wide := 0
	for i, bound := range []ast.Expr{e.Low, e.High, e.Max} {
		switch {
		case bound == nil:
			parts[i] = "-1 << 63"
		case l.info.Types[bound].Value == nil && isUnsigned(l.typeOf(bound)):
			parts[i] = "int(" + l.expr(bound) + ")"
			wide |= 1 << i
		}
	}
	if !e.Slice3 {
		f := l.helper("slice", fmt.Sprintf("(x %s, i, j int) %s {\ni, j = %s.Bounds(i, j, len(x), %s(x), %q, %d)\nreturn x[i:j]\n}", typ, typ, runtimeName, room, room, wide))
		return fmt.Sprintf("%s(%s, %s, %s)", f, x, parts[0], parts[1])
	}
	f := l.helper("slice3", fmt.Sprintf("(x %s, i, j, k int) %s {\ni = %s.Bounds3(i, j, k, cap(x), %q, %d)\nreturn x[i:j:k]\n}", typ, typ, runtimeName, room, wide))
	return fmt.Sprintf("%s(%s, %s, %s, %s)", f, x, parts[0], parts[1], parts[2])
}
