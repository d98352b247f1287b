package cell

import (
	"go/ast"
	"go/types"
	"strings"
)

// show lowers the last expression of a cell: its values go to the runtime, which shows them when the cell has ended.
func (l *lowerer) show(e ast.Expr) {
	l.at = l.place(e.Pos())
	l.mark(&ast.ExprStmt{X: e})
	t := l.info.Types[e].Type
	tuple, ok := t.(*types.Tuple)
	switch {
	case !ok:
		l.program.Show = []Shape{l.shape(t)}
		l.emit("%s.Result(%s)", runtimeName, l.shown(e))
	case tuple.Len() == 0 || l.prints(e):
		l.emit("%s", l.expr(e))
	default:
		var names []string
		for v := range tuple.Variables() {
			l.program.Show = append(l.program.Show, l.shape(v.Type()))
			names = append(names, l.fresh("value"))
		}
		l.emit("%s := %s", strings.Join(names, ", "), l.expr(e))
		l.emit("%s.Result(%s)", runtimeName, strings.Join(names, ", "))
	}
}

// shown lowers the only value of the last expression.
func (l *lowerer) shown(e ast.Expr) string {
	tv := l.info.Types[e]
	switch {
	case tv.IsNil():
		return "nil"
	case tv.Value != nil:
		return l.constant(tv.Value, types.Default(tv.Type))
	}
	return l.expr(e)
}

// prints reports whether a call only prints: nobody wants to see the number of bytes.
func (l *lowerer) prints(e ast.Expr) bool {
	call, ok := ast.Unparen(e).(*ast.CallExpr)
	if !ok {
		return false
	}
	sel, ok := call.Fun.(*ast.SelectorExpr)
	if !ok {
		return false
	}
	f, ok := l.info.Uses[sel.Sel].(*types.Func)
	return ok && f.Pkg() != nil && f.Pkg().Path() == "fmt" && (strings.HasPrefix(f.Name(), "Print") || strings.HasPrefix(f.Name(), "Fprint"))
}

var errorType = types.Universe.Lookup("error").Type()

// shape describes a static type to the worker.
func (l *lowerer) shape(t types.Type) Shape {
	return Shape{Type: types.TypeString(types.Default(t), localName), Error: types.Identical(t, errorType)}
}
