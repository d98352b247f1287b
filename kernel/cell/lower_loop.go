package cell

import (
	"fmt"
	"go/ast"
	"go/constant"
	"go/token"
	"go/types"
	"strings"
)

// stop lets an interrupt end a loop, or a function that may call itself.
func (l *lowerer) stop() {
	l.emit("%s", l.halting())
}

// halting is the test that lets the machine end a program at the current place.
func (l *lowerer) halting() string {
	l.fn.marked = true
	return fmt.Sprintf("if %s { %s = %d; %s.Halt(%q, %d) }", stopName, l.fn.mark, l.at, runtimeName, l.fn.lowered, l.fn.index)
}

// forStmt lowers a loop with a condition. Loop variables that a function literal captures, or whose address is taken, are copied for each iteration.
func (l *lowerer) forStmt(s *ast.ForStmt, label string) {
	l.emit("{")
	if s.Init != nil {
		l.stmt(s.Init)
	}
	shared := l.sharedLoopVars(s)
	post, simple := "", true
	if s.Post != nil {
		post, simple = l.simpleStmt(s.Post)
	}
	cond, never := l.loopCondition(s.Cond)
	switch {
	case never:
	case simple && len(shared) == 0:
		l.emitLabel(label)
		if l.fn.witness.scenes[s] == nil {
			l.emit("for ; %s; %s {", cond, post)
		} else {
			l.emit("for ; ; %s {", post)
			l.endUnless(s, cond)
		}
		l.stop()
		l.block(s.Body.List)
		l.emit("}")
	default:
		l.generalLoop(s, label, cond, shared)
	}
	l.emit("}")
}

// loopCondition lowers the condition of a loop, and reports whether it is never met.
func (l *lowerer) loopCondition(e ast.Expr) (cond string, never bool) {
	if e == nil {
		return "", false
	}
	if v := l.info.Types[e].Value; v != nil {
		return "", !constant.BoolVal(v)
	}
	return l.condition(func() string {
		defer l.inOrder([]part{{expr: e}})()
		return l.expr(e)
	}), false
}

// simpleStmt lowers a statement to text that fits into the head of a loop, if it can be.
func (l *lowerer) simpleStmt(s ast.Stmt) (string, bool) {
	text := l.capture(func() { l.stmt(s) })
	if strings.Contains(text, "\n") || strings.HasPrefix(text, "var ") {
		return "", false
	}
	return text[:max(0, strings.LastIndex(text, " //"))], true
}

// sharedLoopVars lists the loop variables that need a copy for each iteration.
func (l *lowerer) sharedLoopVars(s *ast.ForStmt) []types.Object {
	var out []types.Object
	if s.Init != nil {
		for _, id := range declaredBy([]ast.Stmt{s.Init}) {
			if o := l.info.Defs[id]; o != nil && l.heap[o] {
				out = append(out, o)
			}
		}
	}
	return out
}

// generalLoop lowers a loop whose post statement does not fit into its head. As in Go, the copies are made before the post statement.
func (l *lowerer) generalLoop(s *ast.ForStmt, label, cond string, shared []types.Object) {
	first := l.fresh("first")
	current := map[types.Object]string{}
	for _, o := range shared {
		current[o] = l.names[o]
	}
	l.emit("%s := true", first)
	l.emitLabel(label)
	l.emit("for {")
	l.emit("if %s { %s = false } else {", first, first)
	for _, o := range shared {
		next := l.fresh("next")
		l.emit("%s := &%s{V: %s.V}", next, l.cellOf(l.typ(l.objectType(o))), current[o])
		l.emit("%s = %s", current[o], next)
	}
	if s.Post != nil {
		l.stmt(s.Post)
	}
	l.emit("}")
	if cond != "" {
		l.endUnless(s, cond)
	}
	l.stop()
	for _, o := range shared { // what the body captures is the copy of its own iteration
		l.names[o] = l.fresh(o.Name())
		l.emit("%s := %s", l.names[o], current[o])
	}
	l.block(s.Body.List)
	l.emit("}")
}

// endUnless ends a loop if its condition is not met.
func (l *lowerer) endUnless(s *ast.ForStmt, cond string) {
	if l.fn.witness.scenes[s] != nil {
		l.markAgain(s)
	}
	l.emit("if !%s { break }", cond)
}

// rangeStmt lowers a loop over something.
func (l *lowerer) rangeStmt(s *ast.RangeStmt, label string) {
	t := l.typeOf(s.X)
	if a := arrayOf(t); a != nil && (s.Value == nil || isBlank(s.Value)) && !calls(s.X) { // its length is constant, and it is not evaluated
		l.rangeTo(s, label, fmt.Sprint(a.Len()), types.Typ[types.Int])
		return
	}
	defer l.inOrder([]part{{expr: s.X}})()
	switch u := t.Underlying().(type) {
	case *types.Basic:
		if u.Info()&types.IsString == 0 {
			l.rangeInt(s, label)
		} else {
			l.rangeString(s, label)
		}
		return
	case *types.Chan:
		l.rangeChan(s, label)
		return
	case *types.Signature:
		l.rangeFunc(s, label)
		return
	case *types.Pointer:
		l.rangeArrayPointer(s, label, elem(u).Underlying().(*types.Array))
		return
	}
	if _, isChan := elem(t).Underlying().(*types.Chan); isChan && s.Value != nil && !isBlank(s.Value) {
		l.rangeOfChans(s, label, t)
		return
	}
	x := l.openText(l.value(s.X, types.Default(t)), t)
	key, value := l.rangeName(s.Key), l.rangeName(s.Value)
	l.emit("{")
	l.emitLabel(label)
	switch {
	case key == "_" && value == "_":
		l.emit("for range %s {", x)
	case value == "_":
		l.emit("for %s := range %s {", key, x)
	default:
		l.emit("for %s, %s := range %s {", key, value, x)
	}
	l.stop()
	assignKey, assignValue := l.rangeTarget(s.Key, key, rangeKey(t)), l.rangeTarget(s.Value, value, elem(t))
	assignKey()
	assignValue()
	l.block(s.Body.List)
	l.emit("}")
	l.emit("}")
}

// rangeName returns the name of the lowered loop's variable for a key or value: it is the cell's own where that is all there is to it.
func (l *lowerer) rangeName(e ast.Expr) string {
	if e == nil || isBlank(e) {
		return "_"
	}
	if o := l.defined(e); o != nil && !l.heap[o] && !l.fn.witness.watched[o] {
		return l.local(o)
	}
	return l.fresh("ranged")
}

// rangeTarget evaluates what the cell's key or value depends on, and returns how it gets what the loop's variable holds, if that is another one.
func (l *lowerer) rangeTarget(e ast.Expr, name string, t types.Type) (assign func()) {
	if e == nil || isBlank(e) {
		return func() {}
	}
	if o := l.defined(e); o != nil && !l.heap[o] && l.names[o] == name {
		return func() {}
	}
	target := l.target(e)
	return func() { target(l.convert(name, t, l.targetType(e))) }
}

func rangeKey(t types.Type) types.Type {
	if m, ok := t.Underlying().(*types.Map); ok {
		return m.Key()
	}
	return types.Typ[types.Int]
}

// rangeInt lowers a loop over an integer.
func (l *lowerer) rangeInt(s *ast.RangeStmt, label string) {
	t := types.Default(l.typeOf(s.X))
	if s.Key != nil && !isBlank(s.Key) && isUntyped(l.typeOf(s.X)) {
		t = l.targetType(s.Key)
	}
	l.rangeTo(s, label, l.value(s.X, t), t)
}

// rangeTo lowers a loop whose key runs from 0 to limit, which has type t. The body may change its variable without effect on the loop.
func (l *lowerer) rangeTo(s *ast.RangeStmt, label, limit string, t types.Type) {
	n, i, typ := l.fresh("count"), l.fresh("ranged"), l.typ(t)
	l.emit("{")
	l.emit("var %s %s = %s", n, typ, limit)
	l.emitLabel(label)
	l.emit("for %s := %s(0); %s < %s; %s++ {", i, typ, i, n, i)
	l.stop()
	l.rangeTarget(s.Key, i, t)()
	l.block(s.Body.List)
	l.emit("}")
	l.emit("}")
}

// arrayOf returns the array that a loop over a value of type t is about, or nil.
func arrayOf(t types.Type) *types.Array {
	if p, ok := t.Underlying().(*types.Pointer); ok {
		t = p.Elem()
	}
	a, _ := t.Underlying().(*types.Array)
	return a
}

// calls reports whether an expression calls a function or receives from a channel, so that the length of its value is not constant.
func calls(e ast.Expr) bool {
	found := false
	ast.Inspect(e, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.FuncLit:
			return false
		case *ast.CallExpr:
			found = true
		case *ast.UnaryExpr:
			found = found || n.Op == token.ARROW
		}
		return !found
	})
	return found
}

// rangeString lowers a loop over a string: the interpreter's own loses count over bytes that are no UTF-8.
func (l *lowerer) rangeString(s *ast.RangeStmt, label string) {
	text, at, next, r := l.fresh("text"), l.fresh("at"), l.fresh("next"), l.fresh("rune")
	l.emit("{")
	l.emit("var %s string = %s", text, l.value(s.X, types.Default(l.typeOf(s.X))))
	l.emit("%s, %s := 0, 0", at, next)
	l.emitLabel(label)
	l.emit("for ; %s < len(%s); %s = %s {", at, text, at, next)
	l.stop()
	l.emit("%s := int32(%s[%s])", r, text, at)
	l.emit("%s = %s + 1", next, at)
	l.emit("if %s >= 128 { %s, %s = %s.Rune(%s, %s) }", r, r, next, runtimeName, text, at)
	assignKey, assignValue := l.rangeTarget(s.Key, at, types.Typ[types.Int]), l.rangeTarget(s.Value, r, types.Typ[types.Rune])
	assignKey()
	assignValue()
	l.block(s.Body.List)
	l.emit("}")
	l.emit("}")
}

// rangeArrayPointer lowers a loop over the array that a pointer points to, which is not copied.
func (l *lowerer) rangeArrayPointer(s *ast.RangeStmt, label string, a *types.Array) {
	p, i := l.fresh("array"), l.fresh("ranged")
	l.emit("{")
	l.emit("%s := %s", p, l.open(s.X))
	l.emitLabel(label)
	l.emit("for %s := 0; %s < %d; %s++ {", i, i, a.Len(), i)
	l.stop()
	assignKey := l.rangeTarget(s.Key, i, types.Typ[types.Int])
	assignValue := l.rangeTarget(s.Value, fmt.Sprintf("(*%s)[%s]", p, i), a.Elem())
	assignKey()
	assignValue()
	l.block(s.Body.List)
	l.emit("}")
	l.emit("}")
}

// rangeOfChans lowers a loop over a collection of channels: the interpreter would receive from the variable that is to hold one.
func (l *lowerer) rangeOfChans(s *ast.RangeStmt, label string, t types.Type) {
	l.emit("{")
	chans, key := l.hold(l.openText(l.value(s.X, t), t), l.typ(t)), l.fresh("ranged")
	l.emitLabel(label)
	l.emit("for %s := range %s {", key, chans)
	l.stop()
	assignKey := l.rangeTarget(s.Key, key, rangeKey(t))
	assignValue := l.rangeTarget(s.Value, fmt.Sprintf("%s[%s]", chans, key), elem(t))
	assignKey()
	assignValue()
	l.block(s.Body.List)
	l.emit("}")
	l.emit("}")
}

// rangeChan lowers a loop over what a channel delivers.
func (l *lowerer) rangeChan(s *ast.RangeStmt, label string) {
	c, raw, ok := l.fresh("channel"), l.fresh("value"), l.fresh("ok")
	t := elem(l.typeOf(s.X))
	l.emit("{")
	l.emit("%s := %s", c, l.open(s.X))
	l.emitLabel(label)
	l.emit("for {")
	l.stop()
	l.emit("%s, %s := %s.ReceiveOK(%s)", raw, ok, runtimeName, c)
	l.emit("if !%s { break }", ok)
	if s.Key != nil && !isBlank(s.Key) {
		l.target(s.Key)(l.convert(l.received(raw, t), t, l.targetType(s.Key)))
	} else {
		l.emit("_ = %s", raw)
	}
	l.block(s.Body.List)
	l.emit("}")
	l.emit("}")
}
