package cell

import (
	"fmt"
	"go/ast"
	"go/types"
	"strings"
)

// The border to compiled functions. A box is fit for those that keep a value, compare it, print it or call its methods. Functions that look inside by
// reflection would see the box: they get the bare value, or a helper of the machine takes their place, or the call is refused.

// keepers are packages whose functions do no more with values of any type than boxes can stand.
var keepers = map[string]bool{
	"fmt": true, "log": true, "errors": true, "sync": true, "sync/atomic": true, "context": true, "container/list": true, "container/heap": true,
	"container/ring": true, "testing": true, "iter": true,
}

// bare are functions whose first parameter gets the bare value.
var bare = map[string]bool{"sort.Slice": true, "sort.SliceStable": true, "sort.SliceIsSorted": true}

// compiledFunc returns the compiled function or method that a call calls, or nil.
func (l *lowerer) compiledFunc(e *ast.CallExpr) *types.Func {
	var o types.Object
	switch f := ast.Unparen(e.Fun).(type) {
	case *ast.Ident:
		o = l.info.Uses[f]
	case *ast.SelectorExpr:
		o = l.info.Uses[f.Sel]
	}
	f, ok := o.(*types.Func)
	if !ok || fromCell(f) || f.Pkg() == nil {
		return nil
	}
	return f
}

func fullName(f *types.Func) string { return f.Pkg().Path() + "." + f.Name() }

// borderArgument lowers an argument of a compiled function.
func (l *lowerer) borderArgument(f *types.Func, a ast.Expr, i int, t types.Type) string {
	tv, from := l.info.Types[a], types.Default(l.typeOf(a))
	switch {
	case tv.IsNil() || tv.Value != nil && !l.celled(from) || !types.IsInterface(t):
		return l.value(a, t)
	case i == 0 && jsonWriters[f.FullName()] && (types.IsInterface(from) || l.celled(from)):
		return l.jsonWritten(a)
	case i == 0 && bare[fullName(f)], l.scansInto(f, from):
		return l.open(a)
	case !types.IsInterface(from) && !l.celled(from) && l.streamAs(a, t) == "": // the interpreter does this well
		return l.expr(a)
	case keepers[f.Pkg().Path()] || fullName(f) == "reflect.DeepEqual" || strings.HasPrefix(f.Pkg().Path(), "foreplane/") || !l.isOpen(t):
		return l.value(a, t)
	case types.IsInterface(from):
		l.refuseIf(a, func(types.Type) bool { return true },
			"%s.%s looks inside its argument, and would not see a type that a cell has declared, which a value of type %s may be: assert its type first, x.(T)",
			f.Pkg().Name(), f.Name(), l.typeString(from))
		return fmt.Sprintf("%s.Foreign(%s, %q)", runtimeName, l.value(a, t), f.Pkg().Name()+"."+f.Name())
	}
	return l.refuse(a, "%s.%s cannot be given a %s in a cell: it looks inside its argument, and would not see the type that the cell has declared: give it the parts, or a type of the language",
		f.Pkg().Name(), f.Name(), l.typeString(from))
}

// insideLooker reports whether a compiled function may look inside of an argument that is of any type.
func insideLooker(f *types.Func) bool {
	if keepers[f.Pkg().Path()] || f.FullName() == "reflect.DeepEqual" || strings.HasPrefix(f.Pkg().Path(), "foreplane/") {
		return false
	}
	for p := range f.Signature().Params().Variables() {
		t := p.Type()
		if s, ok := t.(*types.Slice); ok {
			t = s.Elem()
		}
		if i, ok := t.Underlying().(*types.Interface); ok && i.NumMethods() == 0 {
			return true
		}
	}
	return false
}

// refuseLooker refuses a compiled function, which may be nil, where its arguments are not looked at.
func (l *lowerer) refuseLooker(at ast.Node, f *types.Func, how string) {
	if f != nil && insideLooker(f) {
		l.refuse(at, "%s.%s cannot be %s in a cell, since it looks inside its argument: call it in a function literal", f.Pkg().Name(), f.Name(), how)
	}
}

// scansInto reports whether f is a function of fmt that scans, and t a pointer to where it can put a number or text by itself.
func (l *lowerer) scansInto(f *types.Func, t types.Type) bool {
	p, ok := t.Underlying().(*types.Pointer)
	if !ok || f.Pkg().Path() != "fmt" || !strings.Contains(strings.ToLower(f.Name()), "scan") {
		return false
	}
	_, basic := p.Elem().Underlying().(*types.Basic)
	return basic && types.NewMethodSet(t).Lookup(nil, "Scan") == nil
}

// special lowers calls of compiled functions whose place the machine takes.
func (l *lowerer) special(e *ast.CallExpr, f *types.Func) (string, bool) {
	switch fullName(f) {
	case "errors.As":
		return l.errorsAs(e)
	}
	switch f.FullName() {
	case "encoding/json.Unmarshal", "(*encoding/json.Decoder).Decode":
		return l.jsonRead(e, f)
	}
	return "", false
}

// errorsAs lowers errors.As for a target of a type that only the cell knows.
func (l *lowerer) errorsAs(e *ast.CallExpr) (string, bool) {
	if len(e.Args) != 2 {
		return "", false
	}
	p, ok := l.typeOf(e.Args[1]).Underlying().(*types.Pointer)
	if !ok || !l.celled(p.Elem()) {
		return "", false
	}
	t := p.Elem()
	target := l.keep(l.open(e.Args[1]), l.concrete(l.typeOf(e.Args[1])))
	set := l.fresh("set")
	l.emit("%s := func(x %s) { *%s = %s }", set, emptyInterface, target, l.asserted("x", t))
	return fmt.Sprintf("%s.ErrorsAs(%s, %d, %s)", runtimeName, l.value(e.Args[0], errorType), l.shape(t), set), true
}
