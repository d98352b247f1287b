package cell

import (
	"go/ast"
	"go/types"
	"strings"
)

func (l *lowerer) call(e *ast.CallExpr) string {
	fun := l.info.Types[e.Fun]
	switch {
	case fun.IsType():
		return l.conversion(e, fun.Type)
	case fun.IsBuiltin():
		return l.builtin(e, ast.Unparen(e.Fun).(*ast.Ident).Name)
	}
	sig := fun.Type.Underlying().(*types.Signature)
	if id, ok := ast.Unparen(e.Fun).(*ast.Ident); ok {
		if o := l.info.Uses[id]; o != nil && o.Pkg() != nil && o.Pkg().Path() == builtinPath {
			return l.own(e, id.Name)
		}
	}
	if sel, ok := ast.Unparen(e.Fun).(*ast.SelectorExpr); ok {
		if s := l.info.Selections[sel]; s != nil && s.Kind() == types.MethodVal {
			return l.methodCall(e, sel, s, sig)
		}
	}
	return l.expr(e.Fun) + "(" + l.arguments(e, sig) + ")"
}

// arguments lowers the arguments of a call.
func (l *lowerer) arguments(e *ast.CallExpr, sig *types.Signature) string {
	if len(e.Args) == 1 && sig.Params().Len() > 1 || len(e.Args) == 1 && isTuple(l.info.Types[e.Args[0]].Type) {
		if isTuple(l.info.Types[e.Args[0]].Type) {
			return l.expr(e.Args[0])
		}
	}
	var parts []string
	last := sig.Params().Len() - 1
	for i, a := range e.Args {
		t := sig.Params().At(min(i, last)).Type()
		if sig.Variadic() && i >= last && !e.Ellipsis.IsValid() {
			t = t.(*types.Slice).Elem()
		}
		parts = append(parts, l.value(a, t))
	}
	if e.Ellipsis.IsValid() {
		parts[len(parts)-1] += "..."
	}
	return strings.Join(parts, ", ")
}

func isTuple(t types.Type) bool {
	_, ok := t.(*types.Tuple)
	return ok
}

// methodCall lowers x.M(...): of a cell's type to a call of the function that the method has become.
func (l *lowerer) methodCall(e *ast.CallExpr, sel *ast.SelectorExpr, s *types.Selection, sig *types.Signature) string {
	x, t := l.expr(sel.X), s.Recv()
	path := s.Index()
	x, t = l.fields(x, t, path[:len(path)-1])
	if !fromCell(s.Obj()) {
		return x + "." + sel.Sel.Name + "(" + l.arguments(e, sig) + ")"
	}
	if types.IsInterface(t) {
		return l.refuse(e, "a method of an interface that a cell declares cannot be called here yet")
	}
	method := s.Obj().(*types.Func)
	_, wantPointer := method.Signature().Recv().Type().(*types.Pointer)
	_, havePointer := t.Underlying().(*types.Pointer)
	switch {
	case wantPointer && !havePointer:
		x = "&" + x
	case !wantPointer && havePointer:
		x = "*" + x
	}
	if args := l.arguments(e, sig); args != "" {
		x += ", " + args
	}
	return l.name(method) + "(" + x + ")"
}

func (l *lowerer) conversion(e *ast.CallExpr, to types.Type) string {
	from := l.info.Types[e.Args[0]].Type
	if types.IsInterface(to) {
		return l.value(e.Args[0], to)
	}
	x := l.expr(e.Args[0])
	if l.info.Types[e.Args[0]].IsNil() {
		return "(" + l.typ(to) + ")(nil)"
	}
	if l.typ(from) == l.typ(to) {
		return x
	}
	return "(" + l.typ(to) + ")(" + x + ")"
}

// own lowers a call of must, show or ask.
func (l *lowerer) own(e *ast.CallExpr, name string) string {
	return l.refuse(e, "%s cannot be run here yet", name)
}

func (l *lowerer) builtin(e *ast.CallExpr, name string) string {
	var args []string
	switch name {
	case "make", "new":
		args = append(args, l.typ(l.info.Types[e.Args[0]].Type))
		for _, a := range e.Args[1:] {
			args = append(args, l.expr(a))
		}
	case "append":
		return "append(" + l.arguments(e, l.info.Types[e.Fun].Type.(*types.Signature)) + ")"
	case "len", "cap", "copy", "delete", "close", "panic", "complex", "real", "imag":
		for _, a := range e.Args {
			args = append(args, l.expr(a))
		}
	default:
		return l.refuse(e, "%s cannot be run here yet", name)
	}
	return name + "(" + strings.Join(args, ", ") + ")"
}
