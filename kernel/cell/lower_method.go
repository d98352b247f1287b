package cell

import (
	"fmt"
	"go/ast"
	"go/types"
	"slices"
	"strings"
)

// method returns the callee of x.M for a selection on x of type t.
func (l *lowerer) method(x string, t types.Type, s *types.Selection) *callee {
	path, o := l.path(s)
	return l.methodAt(x, t, path, o.(*types.Func), false)
}

// selected is method for a selection whose receiver is x itself.
func (l *lowerer) selected(x string, s *types.Selection) boundCall {
	c := l.methodAt(x, s.Recv(), s.Index(), s.Obj().(*types.Func), false)
	return boundCall{c}
}

// boundCall is a callee whose receiver need not be evaluated before the arguments.
type boundCall struct{ *callee }

func (b boundCall) build(args []string) string { return b.callee.build(b.receiver, args) }

// methodAt returns the callee of method m, found along a path from x of type t.
func (l *lowerer) methodAt(x string, t types.Type, path []int, m *types.Func, asValue bool) *callee {
	x, t = l.fields(x, t, path[:len(path)-1])
	t = l.subst(t)
	switch {
	case types.IsInterface(t) && l.isOpen(t):
		d := l.dispatcher(m)
		f := l.formalsOf(anyType, l.subst(m.Type()).(*types.Signature))
		return &callee{receiver: x, recvType: emptyInterface, build: func(x string, args []string) string {
			return l.callByName(d, f, append([]string{x}, args...))
		}}
	case !fromCell(m) || types.IsInterface(t):
		return l.compiledMethod(x, t, m)
	}
	name := l.methodName(m, t, asValue)
	x, recv := l.asReceiver(x, t, m)
	f := l.formalsOf(recv, l.subst(m.Type()).(*types.Signature))
	return &callee{receiver: x, recvType: l.typ(recv), build: func(x string, args []string) string {
		return l.callByName(name, f, append([]string{x}, args...))
	}}
}

// compiledMethod is the callee of a method that the interpreter calls itself.
func (l *lowerer) compiledMethod(x string, t types.Type, m *types.Func) *callee {
	typ := l.typ(t)
	_, have := t.Underlying().(*types.Pointer)
	_, want := m.Signature().Recv().Type().Underlying().(*types.Pointer)
	if want && !have {
		x, typ = "("+addressOf(x)+")", "*"+typ
	}
	if helper := waiting[m.FullName()]; helper != "" {
		return &callee{receiver: x, recvType: typ, build: func(x string, args []string) string {
			return runtimeName + "." + callText(helper, append([]string{x}, args...))
		}}
	}
	return &callee{receiver: x, recvType: typ, build: func(x string, args []string) string {
		return operand(x) + "." + m.Name() + "(" + strings.Join(args, ", ") + ")"
	}}
}

// asReceiver brings x of type t to the receiver of a cell's method, and returns the type of that.
func (l *lowerer) asReceiver(x string, t types.Type, m *types.Func) (string, types.Type) {
	_, want := m.Signature().Recv().Type().(*types.Pointer)
	p, have := t.Underlying().(*types.Pointer)
	switch {
	case want && !have:
		pointer := types.NewPointer(t)
		return l.hide(addressOf(x), pointer), pointer
	case !want && have:
		return "*" + l.openText(x, t), p.Elem()
	}
	return x, t
}

// methodName returns the interpreter's name of the function that a method has become.
func (l *lowerer) methodName(m *types.Func, t types.Type, asValue bool) string {
	if m.Origin() == m && !isGeneric(m) {
		if asValue {
			return l.instance(m, nil, true).unit.name
		}
		return l.name(m)
	}
	if p, ok := t.Underlying().(*types.Pointer); ok {
		t = p.Elem()
	}
	return l.instance(m.Origin(), slices.Collect(types.Unalias(t).(*types.Named).TypeArgs().Types()), asValue).unit.name
}

// methodValue lowers x.M and T.M as values.
func (l *lowerer) methodValue(e *ast.SelectorExpr, s *types.Selection) string {
	sig := l.typeOf(e).Underlying().(*types.Signature)
	if f := s.Obj().(*types.Func); !fromCell(f) && f.Pkg() != nil {
		l.refuseLooker(e, f, "used as a value")
	}
	params, args := l.namedParams(sig)
	if s.Kind() == types.MethodExpr {
		return l.methodExpr(s, sig, params, args)
	}
	path, o := l.path(s)
	c := l.methodAt(l.expr(e.X), l.typeOf(e.X), path, o.(*types.Func), true)
	r := l.fresh("receiver")
	head := fmt.Sprintf("func(%s)%s", strings.Join(params, ", "), l.results(sig))
	c.receiver = l.checkedReceiver(e, c)
	return fmt.Sprintf("func(%s %s) func%s { return %s { %s; %s%s } }(%s)", r, c.recvType, l.signature(sig), head, l.halting(), returnIf(sig), c.build(r, args), c.receiver)
}

// methodExpr lowers T.M to a function whose first parameter is the receiver.
func (l *lowerer) methodExpr(s *types.Selection, sig *types.Signature, params, args []string) string {
	path, o := l.path(s)
	c := l.methodAt("a0", l.subst(s.Recv()), path, o.(*types.Func), true)
	return fmt.Sprintf("func(%s)%s { %s; %s%s }", strings.Join(params, ", "), l.results(sig), l.halting(), returnIf(sig), c.build(c.receiver, args[1:]))
}
