package cell

import (
	"fmt"
	"go/ast"
	"go/types"
	"regexp"
	"strings"
)

// deferStmt lowers defer: the guard of the function keeps the call.
func (l *lowerer) deferStmt(s *ast.DeferStmt) {
	how := "Defer"
	if _, ok := ast.Unparen(s.Call.Fun).(*ast.FuncLit); !ok && l.mayRecover(s.Call) {
		how = "DeferRecovering"
	}
	l.emit("%s.%s(%s, %s)", runtimeName, how, l.fn.guard, l.delayed(s.Call, l.fn.guard))
}

// mayRecover reports whether what a call calls may itself call recover: a function of which that is not known to be otherwise.
func (l *lowerer) mayRecover(call *ast.CallExpr) bool {
	if l.info.Types[call.Fun].IsBuiltin() {
		return false
	}
	f := l.called(call)
	return f == nil || isDeclared(f) || l.source(f.Origin()) == nil && types.IsInterface(recvType(f)) || l.recovers(call)
}

// recovers reports whether a call is of a function of a cell, by its name, that calls recover.
func (l *lowerer) recovers(call *ast.CallExpr) bool {
	if lit, ok := ast.Unparen(call.Fun).(*ast.FuncLit); ok {
		_, recovers := defers(lit.Body)
		return recovers
	}
	f := l.called(call)
	if f == nil {
		return false
	}
	d := l.source(f.Origin())
	if d == nil {
		return false
	}
	_, recovers := defers(d.decl.Body)
	return recovers
}

// called returns the function or method that a call names, or nil.
func (l *lowerer) called(call *ast.CallExpr) *types.Func {
	var f *types.Func
	switch fun := ast.Unparen(call.Fun).(type) {
	case *ast.Ident:
		f, _ = l.info.Uses[fun].(*types.Func)
	case *ast.SelectorExpr:
		f, _ = l.info.Uses[fun.Sel].(*types.Func)
	}
	return f
}

func recvType(f *types.Func) types.Type {
	if r := f.Signature().Recv(); r != nil {
		return r.Type()
	}
	return types.Typ[types.Invalid]
}

// recoverCall lowers recover(). It stops the panic that the guard whose deferred call this is has to do with.
func (l *lowerer) recoverCall() string {
	if l.fn.deferredBy != "" {
		return fmt.Sprintf("%s.Recover(%s)", runtimeName, l.fn.deferredBy)
	}
	return fmt.Sprintf("%s.Recover(%s)", runtimeName, l.fn.pending)
}

// delayed lowers the call of a go statement, or of a defer statement of the given guard, to a variable that holds a function without parameters:
// everything but the call itself is evaluated now.
func (l *lowerer) delayed(call *ast.CallExpr, guard string) string {
	name := l.fresh("delayed")
	l.emit("%s := %s", name, l.apart(guard, "func()", func() string { return l.delayedText(call, guard) }))
	return name
}

// apart makes a literal in a function of its own: it would share its variables with the next that is made in the same place, and when it has run in another
// goroutine, the interpreter puts an older one in its place in the function around, which may be about to use a new one. One for a guard runs where it is made.
func (l *lowerer) apart(guard, typ string, literal func() string) string {
	if guard != "" {
		return literal()
	}
	l.fn.depth++
	defer func() { l.fn.depth-- }()
	return "func() " + typ + " { return " + literal() + " }()"
}

func (l *lowerer) delayedText(call *ast.CallExpr, guard string) string {
	if lit, ok := ast.Unparen(call.Fun).(*ast.FuncLit); ok {
		sig := l.typeOf(lit).(*types.Signature)
		if sig.Params().Len() == 0 && sig.Results().Len() == 0 {
			return l.literalIn(lit, guard)
		}
		f := l.keep(l.apart(guard, l.concrete(sig), func() string { return l.literalIn(lit, guard) }), l.concrete(sig))
		return l.thunked(f + "(" + strings.Join(l.heldArguments(call, sig), ", ") + ")")
	}
	if l.info.Types[call.Fun].IsBuiltin() || l.ownName(call.Fun) != "" {
		return l.delayedBuiltin(call)
	}
	if l.spread(call) != nil {
		return l.delayedSpread(call)
	}
	l.refuseLooker(call, l.compiledFunc(call), "called by go or defer")
	c := l.callee(call)
	receiver := c.receiver
	if receiver != "" {
		receiver = l.keep(l.checkedReceiver(call.Fun, c), c.recvType)
	}
	return l.thunked(c.build(receiver, l.heldArguments(call, c.sig)))
}

// checkedReceiver is the receiver of a method, which fails now and not in the call if it is a nil interface.
func (l *lowerer) checkedReceiver(fun ast.Expr, c *callee) string {
	sel, ok := ast.Unparen(fun).(*ast.SelectorExpr)
	if !ok || l.info.Selections[sel] == nil || !types.IsInterface(l.typeOf(sel.X)) {
		return c.receiver
	}
	if c.recvType == emptyInterface {
		return runtimeName + ".NotNil(" + c.receiver + ")"
	}
	return runtimeName + ".NotNil(" + c.receiver + ").(" + c.recvType + ")"
}

// thunked wraps a call in a function without parameters.
func (l *lowerer) thunked(call string) string {
	return fmt.Sprintf("func() { //f%d.%d@%d\n%s\n}", l.fn.index, l.fn.depth+1, l.at, call)
}

// keep evaluates s into a variable that a function literal can take with it: a new one each time, also in a loop.
func (l *lowerer) keep(s, typ string) string {
	if literalText.MatchString(s) {
		return s
	}
	name := l.fresh("kept")
	l.emit("%s := &%s{V: %s}", name, l.cellOf(typ), s)
	return name + ".V"
}

var literalText = regexp.MustCompile(`^(\d+|nil|true|false)$`)

// heldArguments evaluates the arguments of a call into variables.
func (l *lowerer) heldArguments(call *ast.CallExpr, sig *types.Signature) []string {
	var out []string
	for i, a := range call.Args {
		t := parameter(sig, i, call.Ellipsis.IsValid())
		if l.info.Types[a].IsNil() {
			out = append(out, l.zero(t))
			continue
		}
		out = append(out, l.keep(l.value(a, t), l.typ(t)))
	}
	return l.listArgument(call, sig, out)
}

// delayedSpread lowers go f(g()) and defer f(g()) where g has several results.
func (l *lowerer) delayedSpread(call *ast.CallExpr) string {
	c := l.callee(call)
	receiver := c.receiver
	if receiver != "" {
		receiver = l.keep(l.checkedReceiver(call.Fun, c), c.recvType)
	}
	values, kinds := l.tuple(call.Args[0], nil)
	for i := range values {
		t := parameter(c.sig, i, false)
		values[i] = l.keep(l.convert(values[i], kinds[i], t), l.typ(t))
	}
	return l.thunked(c.build(receiver, l.listArgument(call, c.sig, values)))
}

// delayedBuiltin lowers the call of a predeclared function in a go or defer statement: it becomes one of a function literal with the same arguments.
func (l *lowerer) delayedBuiltin(call *ast.CallExpr) string {
	held := *call
	held.Args = nil
	for _, a := range call.Args {
		tv := l.info.Types[a]
		if tv.IsType() || tv.IsNil() || tv.Value != nil {
			held.Args = append(held.Args, a)
			continue
		}
		t := types.Default(l.typeOf(a))
		held.Args = append(held.Args, l.standIn(l.keep(l.value(a, t), l.typ(t)), t, a))
	}
	l.info.Types[&held] = l.info.Types[call]
	if name := l.ownName(call.Fun); name != "" {
		return l.thunked(l.own(&held, name))
	}
	text := l.builtin(&held, builtinName(call.Fun))
	if name := builtinName(call.Fun); name == "recover" {
		text = runtimeName + ".Recover(" + l.fn.guard + ")"
	}
	return l.thunked(text)
}
