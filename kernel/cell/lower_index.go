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
	opened := l.open(e.X)
	x := operand(opened)
	if star, ok := ast.Unparen(e.X).(*ast.StarExpr); ok && arrayOf(l.typeOf(star)) == nil { // the interpreter would take (*p)[i] for an element of a type
		x = operand(l.openText(l.pointed(star), l.typeOf(star)))
	}
	switch u := l.typeOf(e.X).Underlying().(type) {
	case *types.Map:
		if l.info.Types[e.Index].IsNil() && !types.IsInterface(u.Key()) && !l.isCut(u.Key()) {
			return x + "[" + l.typedNil(l.typ(u.Key())) + "]"
		}
		return x + "[" + l.key(e.Index, u) + "]"
	case *types.Pointer:
		x = "(*" + x + ")"
	}
	if l.exact() && !repeatable(e.X) {
		return l.elementOf(e, opened)
	}
	return x + "[" + l.checkedIndex(e, x) + "]"
}

// elementOf lowers x[i] with a check, for an x that must be evaluated once.
func (l *lowerer) elementOf(e *ast.IndexExpr, x string) string {
	t := l.typeOf(e.X)
	list, typ, length, value := l.concrete(t), l.typ(elem(t)), "len(x)", "x[i]"
	if isPointer(t) {
		a := arrayOf(t)
		typ, length, value = l.typ(a.Elem()), fmt.Sprint(a.Len()), "(*x)[i]"
	}
	get := l.helper("element", fmt.Sprintf("(x %s, i int) %s {\nif i < 0 || i >= %s { %s.BadIndex(i, %s) }\nreturn %s\n}", list, typ, length, runtimeName, length, value))
	return get + "(" + x + ", " + l.intIndex(e.Index) + ")"
}

// key lowers the key of an entry of a map.
func (l *lowerer) key(e ast.Expr, m *types.Map) string {
	text := l.value(e, m.Key())
	if types.IsInterface(m.Key()) && l.isOpen(m.Key()) && l.info.Types[e].Value == nil {
		return runtimeName + ".Key(" + text + ")"
	}
	return text
}

// exact reports whether the panics of indices and bounds have to say which they are: where they may be recovered, and where that does not cost much. The
// interpreter's do not.
func (l *lowerer) exact() bool { return l.precise || l.fn.loops == 0 }

// checkedIndex lowers an index, with a check of its own if its panic is to be exact.
func (l *lowerer) checkedIndex(e *ast.IndexExpr, x string) string {
	i := l.intIndex(e.Index)
	if !l.exact() || !repeatable(e.X) || indices(e.X) > maxRepeated {
		return i
	}
	if _, ok := l.typeOf(e.X).Underlying().(*types.Array); ok && l.info.Types[e.Index].Value != nil {
		return i
	}
	return l.inRange(i, x)
}

// inRange is an index of x that is checked.
func (l *lowerer) inRange(i, x string) string {
	check := l.helper("index", "(i, n int) int {\nif i < 0 || i >= n { "+runtimeName+".BadIndex(i, n) }\nreturn i\n}")
	return fmt.Sprintf("%s(%s, len(%s))", check, i, x)
}

// maxRepeated is how many indices an expression may have that is written twice for the sake of a check: each doubles the text. What has more panics
// without numbers.
const maxRepeated = 3

// indices counts the indices in an expression.
func indices(e ast.Expr) int {
	n := 0
	ast.Inspect(e, func(node ast.Node) bool {
		switch node.(type) {
		case *ast.IndexExpr, *ast.SliceExpr:
			n++
		}
		return true
	})
	return n
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
	case ok && b.Info()&types.IsUnsigned != 0 && l.exact():
		return l.helper("unsigned", "(n uint64) int {\nif n > 9223372036854775807 { return 9223372036854775807 }\nreturn int(n)\n}") + "(uint64(" + l.expr(e) + "))"
	}
	return "int(" + l.expr(e) + ")"
}

// slice lowers x[i:j:k].
func (l *lowerer) slice(e *ast.SliceExpr) string {
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
	if l.exact() && (e.Low != nil || e.High != nil) {
		return l.checkedSlice(e, x, parts)
	}
	if !e.Slice3 {
		parts = parts[:2]
	}
	return x + "[" + strings.Join(parts, ":") + "]"
}

// checkedSlice slices by a helper that checks the bounds; -1 stands for a bound that is not written.
func (l *lowerer) checkedSlice(e *ast.SliceExpr, x string, parts []string) string {
	t := l.typeOf(e)
	typ, room := l.concrete(t), "cap"
	if b, ok := t.Underlying().(*types.Basic); ok && b.Info()&types.IsString != 0 {
		room = "len"
	} else if _, ok := l.typeOf(e.X).Underlying().(*types.Slice); !ok {
		x += "[:]"
	}
	for i := range parts {
		if parts[i] == "" {
			parts[i] = "-1 << 63"
		}
	}
	if room == "len" || !e.Slice3 {
		f := l.helper("slice", fmt.Sprintf("(x %s, i, j int) %s {\ni, j = %s.Bounds(i, j, len(x), %s(x), %q)\nreturn x[i:j]\n}", typ, typ, runtimeName, room, room))
		return fmt.Sprintf("%s(%s, %s, %s)", f, x, parts[0], parts[1])
	}
	f := l.helper("slice3", fmt.Sprintf("(x %s, i, j, k int) %s {\ni = %s.Bounds3(i, j, k, cap(x))\nreturn x[i:j:k]\n}", typ, typ, runtimeName))
	return fmt.Sprintf("%s(%s, %s, %s, %s)", f, x, parts[0], parts[1], parts[2])
}
