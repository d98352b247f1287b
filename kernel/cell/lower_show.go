package cell

import (
	"go/ast"
	"go/types"
	"strings"
)

// show lowers the last expression of a cell: its values go to the machine, which shows them when the cell has ended.
func (l *lowerer) show(e ast.Expr) {
	l.at = l.place(e.Pos())
	l.mark(&ast.ExprStmt{X: e})
	defer l.inOrder([]part{{e, anyType}})()
	t := l.typeOf(e)
	tuple, ok := t.(*types.Tuple)
	switch {
	case ok && (tuple.Len() == 0 || l.prints(e)):
		l.emit("%s", l.expr(e))
	case ok:
		names, kinds := l.tuple(e, nil)
		for i, t := range kinds {
			names[i] = l.measured(l.known(e, i), "", l.convert(names[i], t, anyType))
			l.program.Show = append(l.program.Show, shown(t))
		}
		l.emit("%s.Result(%s)", runtimeName, strings.Join(names, ", "))
	default:
		l.program.Show = []Shown{shown(types.Default(t))}
		l.emit("%s.Result(%s)", runtimeName, l.measured(l.known(e, 0), nameOf(e), l.value(e, anyType)))
	}
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

// shown describes a value that is shown.
func shown(t types.Type) Shown {
	i, ok := t.Underlying().(*types.Interface)
	return Shown{Type: types.TypeString(t, localName), Error: ok && types.Implements(i, errorType.Underlying().(*types.Interface))}
}

// ownName returns the name of the function of every cell's own (builtin.go) that an expression names.
func (l *lowerer) ownName(fun ast.Expr) string {
	if i, ok := ast.Unparen(fun).(*ast.IndexExpr); ok {
		fun = i.X
	}
	id, ok := ast.Unparen(fun).(*ast.Ident)
	if !ok {
		return ""
	}
	if o := l.info.Uses[id]; o != nil && o.Pkg() != nil && o.Pkg().Path() == builtinPath {
		return id.Name
	}
	return ""
}

// own lowers a call of one of them.
func (l *lowerer) own(e *ast.CallExpr, name string) string {
	if name == "prose" {
		return l.prose(e)
	}
	c := &callee{sig: l.typeOf(e.Fun).(*types.Signature)}
	f := runtimeName + "." + strings.ToUpper(name[:1]) + name[1:]
	if name == "must" {
		f = l.mustFunction(c.sig.Results().At(0).Type())
	}
	c.build = func(_ string, args []string) string { return f + "(" + strings.Join(args, ", ") + ")" }
	if tuple := l.spread(e); tuple != nil {
		return l.spreadCall(e, c, tuple)
	}
	if (name == "show" || name == "showAs" || name == "pitfall" || name == "page") && !e.Ellipsis.IsValid() {
		return c.build("", l.measuredArguments(e, c.sig))
	}
	return c.build("", l.arguments(e, c.sig, nil))
}

// mustFunction returns the name of the function that unwraps a value of type t.
func (l *lowerer) mustFunction(t types.Type) string {
	typ := l.typ(t)
	text := "(value " + typ + ", err error) " + typ + " {\nif err != nil { " + runtimeName + ".Fail(err) }\nreturn value\n}"
	if l.passing(l.subst(t)) == plainly {
		return l.helper("must", text)
	}
	name := l.fresh("must") // a function value takes any argument as it is
	l.emit("%s := func%s", name, text)
	return name
}
