package cell

import (
	"fmt"
	"go/ast"
	"go/types"
	"slices"
	"strings"
)

// callee is what a call calls: evaluated operands of it, and how a call with given arguments is written.
type callee struct {
	sig      *types.Signature
	receiver string // text that is evaluated before the arguments; empty if there is nothing to evaluate
	recvType string
	build    func(receiver string, args []string) string
}

func (l *lowerer) call(e *ast.CallExpr) string {
	fun := l.info.Types[e.Fun]
	switch {
	case fun.IsType():
		return l.conversion(e, l.typeOf(e.Fun))
	case fun.IsBuiltin() && l.spread(e) != nil:
		return l.spreadBuiltin(e)
	case fun.IsBuiltin():
		return l.builtin(e, builtinName(e.Fun))
	}
	if name := l.ownName(e.Fun); name != "" {
		return l.own(e, name)
	}
	f := l.compiledFunc(e)
	if f != nil {
		if text, ok := l.special(e, f); ok {
			return text
		}
	}
	c := l.callee(e)
	if l.recovers(e) { // which does not stop a panic for a caller that was deferred
		l.emit("%s.Pending()", runtimeName)
	}
	if tuple := l.spread(e); tuple != nil {
		return l.spreadCall(e, c, tuple)
	}
	return c.build(c.receiver, l.arguments(e, c.sig, f))
}

func builtinName(e ast.Expr) string {
	switch e := ast.Unparen(e).(type) {
	case *ast.Ident:
		return e.Name
	case *ast.SelectorExpr: // of unsafe
		return e.Sel.Name
	}
	return ""
}

// callee finds out what a call calls.
func (l *lowerer) callee(e *ast.CallExpr) *callee {
	sig := l.typeOf(e.Fun).Underlying().(*types.Signature)
	fun := ast.Unparen(e.Fun)
	if sel, ok := fun.(*ast.SelectorExpr); ok {
		if s := l.info.Selections[sel]; s != nil && s.Kind() == types.MethodVal {
			c := l.written(sel)
			if c == nil {
				c = l.method(l.expr(sel.X), l.typeOf(sel.X), s)
			}
			c.sig = sig
			return c
		}
	}
	if lit, ok := fun.(*ast.FuncLit); ok {
		return &callee{sig: sig, receiver: l.literal(lit), recvType: l.concrete(sig), build: callText} // the interpreter cannot call a literal in a condition
	}
	if name := l.directName(fun, false); name != "" {
		f := l.formalsOf(nil, sig)
		return &callee{sig: sig, build: func(_ string, args []string) string { return l.callByNameIf(name, f, args) }}
	}
	if star, ok := fun.(*ast.StarExpr); ok { // the interpreter never comes back from a call of what a nil pointer points to
		return &callee{sig: sig, receiver: l.openText(l.pointed(star), l.typeOf(fun)), recvType: l.concrete(l.typeOf(fun)), build: callText}
	}
	return &callee{sig: sig, receiver: operand(l.open(e.Fun)), recvType: l.concrete(l.typeOf(e.Fun)), build: callText}
}

// callByNameIf is callByName for a function of a cell; a compiled one is called as it is.
func (l *lowerer) callByNameIf(name string, f formals, args []string) string {
	if strings.Contains(name, ".") {
		return callText(name, args)
	}
	return l.callByName(name, f, args)
}

// callText writes a call.
func callText(f string, args []string) string { return f + "(" + strings.Join(args, ", ") + ")" }

// directName returns the interpreter's name of the function that an expression names, or nothing.
func (l *lowerer) directName(fun ast.Expr, asValue bool) string {
	switch f := fun.(type) {
	case *ast.IndexExpr:
		return l.directName(ast.Unparen(f.X), asValue)
	case *ast.IndexListExpr:
		return l.directName(ast.Unparen(f.X), asValue)
	case *ast.Ident:
		if o, ok := l.info.Uses[f].(*types.Func); ok {
			return l.functionName(f, o, asValue)
		}
	case *ast.SelectorExpr:
		if o, ok := l.info.Uses[f.Sel].(*types.Func); ok && l.info.Selections[f] == nil {
			return l.functionName(f.Sel, o, asValue)
		}
	}
	return ""
}

// functionName returns the interpreter's name of a function; of a generic one, that of the instance that is used at id. A value stays the function that it
// was made of when the name means another.
func (l *lowerer) functionName(id *ast.Ident, f *types.Func, asValue bool) string {
	if inst, ok := l.info.Instances[id]; ok {
		return l.instantiate(id, f, inst, asValue)
	}
	if !fromCell(f) {
		return l.compiled(id, f)
	}
	if asValue {
		return l.instance(f, nil, true).unit.name
	}
	return l.name(f)
}

// functionValue lowers a function that is named, perhaps with type arguments, as a value.
func (l *lowerer) functionValue(e ast.Expr) string {
	name := l.directName(ast.Unparen(e), true)
	if name == "" {
		return l.refuse(e, "this function cannot be used as a value")
	}
	l.refuseLooker(e, l.compiledFunc(&ast.CallExpr{Fun: e}), "used as a value")
	return l.hide(l.made(l.valueOf(name, l.typeOf(e).Underlying().(*types.Signature)), l.concrete(l.typeOf(e))), l.typeOf(e))
}

// valueOf turns the name of a function into one with the parameters of its type, which can be ended when compiled code calls it.
func (l *lowerer) valueOf(name string, sig *types.Signature) string {
	params, args := l.namedParams(sig)
	if strings.Contains(name, ".") { // it is compiled
		return name
	}
	call := l.callByName(name, l.formalsOf(nil, sig), args)
	return fmt.Sprintf("func(%s)%s { %s; %s%s }", strings.Join(params, ", "), l.results(sig), l.halting(), returnIf(sig), call)
}

// made passes a function through a function, which makes a value of it that compiled code can take: of a named function there is none before, and a literal
// shares its variables with the next that is made in the same place. It is for literals that the lowering has added; see apart for those of cells.
func (l *lowerer) made(f, typ string) string {
	return l.helper("made", "(f "+typ+") "+typ+" { return f }") + "(" + f + ")"
}

// spread returns the results of the call that is the only argument of e, if that call has several.
func (l *lowerer) spread(e *ast.CallExpr) *types.Tuple {
	if len(e.Args) != 1 {
		return nil
	}
	t, _ := l.typeOf(e.Args[0]).(*types.Tuple)
	return t
}

// spreadCall lowers f(g()) with a g of several results, by a function literal that takes them.
func (l *lowerer) spreadCall(e *ast.CallExpr, c *callee, tuple *types.Tuple) string {
	var params, args []string
	for i := range tuple.Len() {
		name := l.fresh("value")
		params = append(params, name+" "+l.typ(tuple.At(i).Type()))
		args = append(args, l.convert(name, tuple.At(i).Type(), parameter(c.sig, i, false)))
	}
	args = l.listArgument(e, c.sig, args)
	head := fmt.Sprintf("func(%s)%s", strings.Join(params, ", "), l.results(c.sig))
	if c.receiver == "" {
		return fmt.Sprintf("%s { %s%s }(%s)", head, returnIf(c.sig), c.build("", args), l.expr(e.Args[0]))
	}
	r := l.fresh("receiver")
	return fmt.Sprintf("func(%s %s) %s { return %s { %s%s } }(%s)(%s)", r, c.recvType, head, head, returnIf(c.sig), c.build(r, args), c.receiver, l.expr(e.Args[0]))
}

// spreadBuiltin lowers a call of a predeclared function whose arguments are the results of another.
func (l *lowerer) spreadBuiltin(e *ast.CallExpr) string {
	held := *e
	held.Args = nil
	values, kinds := l.tuple(e.Args[0], nil)
	for i, v := range values {
		held.Args = append(held.Args, l.standIn(v, kinds[i], e.Args[0]))
	}
	l.info.Types[&held] = l.info.Types[e]
	return l.builtin(&held, builtinName(e.Fun))
}

// standIn returns an expression that stands for a variable of the lowered source.
func (l *lowerer) standIn(name string, t types.Type, at ast.Expr) ast.Expr {
	o := types.NewVar(at.Pos(), types.NewPackage("main", "cell"), "held", t)
	id := &ast.Ident{Name: "held", NamePos: at.Pos()}
	l.names[o], l.info.Uses[id], l.info.Types[id] = name, o, types.TypeAndValue{Type: t}
	return id
}

// parameter is the type of argument i of a call.
func parameter(sig *types.Signature, i int, ellipsis bool) types.Type {
	last := sig.Params().Len() - 1
	t := sig.Params().At(min(i, last)).Type()
	if sig.Variadic() && i >= last && !ellipsis {
		return elem(t)
	}
	return t
}

// arguments lowers the arguments of a call; f is the function called if that is a compiled one, or nil.
func (l *lowerer) arguments(e *ast.CallExpr, sig *types.Signature, f *types.Func) []string {
	var parts []string
	for i, a := range e.Args {
		t := parameter(sig, i, e.Ellipsis.IsValid())
		if f != nil {
			parts = append(parts, l.borderArgument(f, a, i, t))
		} else {
			parts = append(parts, l.value(a, t))
		}
	}
	return l.listArgument(e, sig, parts)
}

// listArgument adapts the arguments of a variadic function. The interpreter does not know nil as a list, and where an element may be a list
// itself, it takes one for the other.
func (l *lowerer) listArgument(e *ast.CallExpr, sig *types.Signature, args []string) []string {
	if !sig.Variadic() {
		return args
	}
	last, list := len(args)-1, sig.Params().At(sig.Params().Len()-1).Type()
	switch {
	case e.Ellipsis.IsValid() && l.info.Types[e.Args[last]].IsNil():
		args[last] = l.typedNil(l.concrete(list)) + "..."
	case e.Ellipsis.IsValid():
		args[last] += "..."
	case len(args) >= sig.Params().Len() && l.typ(elem(list)) == emptyInterface && slices.ContainsFunc(e.Args, l.mayBeList):
		first := sig.Params().Len() - 1
		for i := first; i < len(args); i++ {
			args[i] = emptyInterface + "(" + args[i] + ")"
		}
		args = append(args[:first:first], "[]"+emptyInterface+"{"+strings.Join(args[first:], ", ")+"}...")
	}
	return args
}

// mayBeList reports whether an argument is, or may hold, a list.
func (l *lowerer) mayBeList(e ast.Expr) bool {
	switch u := l.typeOf(e).Underlying().(type) {
	case *types.Basic:
		return u.Kind() == types.UntypedNil
	case *types.Slice, *types.Interface, *types.Tuple:
		return true
	}
	return false
}

// conversion lowers T(x).
func (l *lowerer) conversion(e *ast.CallExpr, to types.Type) string {
	x := e.Args[0]
	from, tv := l.typeOf(x), l.info.Types[x]
	switch {
	case tv.IsNil():
		return l.hide(l.typedNil(l.concrete(to)), to)
	case types.IsInterface(to):
		return l.value(x, to)
	case tv.Value != nil && sameClass(from, to):
		return l.constant(tv.Value, to)
	}
	from = types.Default(from)
	text := l.value(x, from)
	if _, slice := from.Underlying().(*types.Slice); slice && arrayOf(to) != nil {
		return l.toArray(l.openText(text, from), to)
	}
	if l.concrete(from) == l.concrete(to) {
		return l.convert(text, from, to)
	}
	return l.hide(l.convertText(l.openText(text, from), l.concrete(from), l.concrete(to)), to)
}

// toArray converts a slice to an array or a pointer to one.
func (l *lowerer) toArray(slice string, to types.Type) string {
	pointer := to
	if !isPointer(to) {
		pointer = types.NewPointer(to)
	}
	typ := l.concrete(pointer)
	p := fmt.Sprintf("%s.ArrayPointer(%s, %s).(%s)", runtimeName, slice, l.typedNil(typ), typ)
	switch {
	case isPointer(to):
		return l.hide(p, to)
	case arrayOf(to).Len() == 0: // there may be no array to point to
		return l.helper("array", "(p "+typ+") "+l.concrete(to)+" { return "+l.zero(to)+" }") + "(" + p + ")"
	}
	return l.helper("array", "(p "+typ+") "+l.concrete(to)+" { return *p }") + "(" + p + ")"
}

// typedNil is a nil of a lowered type.
func (l *lowerer) typedNil(typ string) string {
	if strings.HasPrefix(typ, "p_") { // of a compiled function type the interpreter has no nil
		return l.helper("nil", "() "+typ+" {\nvar x "+typ+"\nreturn x\n}") + "()"
	}
	return l.helper("nil", "() "+typ+" { return nil }") + "()"
}

// convertText converts s. A type that would need brackets is left to a function: they confuse the interpreter.
func (l *lowerer) convertText(s, from, to string) string {
	if strings.HasPrefix(to, "[") || strings.HasPrefix(to, "map[") || !strings.ContainsAny(to, " *(<") {
		return to + "(" + s + ")"
	}
	return l.helper("convert", "(x "+from+") "+to+" { return x }") + "(" + s + ")"
}

// sameClass reports whether both types are numeric, or both strings, or both booleans, so that a constant of one is a constant of the other.
func sameClass(a, b types.Type) bool {
	x, ok := a.Underlying().(*types.Basic)
	y, ok2 := b.Underlying().(*types.Basic)
	if !ok || !ok2 {
		return false
	}
	both := func(class types.BasicInfo) bool { return x.Info()&class != 0 && y.Info()&class != 0 }
	return both(types.IsNumeric) || both(types.IsString) || both(types.IsBoolean)
}

// builtin lowers a call of a predeclared function.
func (l *lowerer) builtin(e *ast.CallExpr, name string) string {
	switch name {
	case "make":
		return l.makeCall(e)
	case "new":
		return l.newValue(e)
	case "append":
		return l.appendCall(e)
	case "len", "cap":
		return l.length(e, name)
	case "copy":
		return "copy(" + l.open(e.Args[0]) + ", " + l.open(e.Args[1]) + ")"
	case "delete":
		return "delete(" + l.open(e.Args[0]) + ", " + l.key(e.Args[1], l.typeOf(e.Args[0]).Underlying().(*types.Map)) + ")"
	case "clear":
		return runtimeName + ".Clear(" + l.open(e.Args[0]) + ")"
	case "close":
		return runtimeName + ".Close(" + l.open(e.Args[0]) + ")"
	case "panic":
		return fmt.Sprintf("%s.Panic(%s, %q, %d)", runtimeName, l.value(e.Args[0], anyType), l.fn.lowered, l.fn.index)
	case "recover":
		return l.recoverCall()
	case "print", "println":
		return runtimeName + "." + strings.ToUpper(name[:1]) + name[1:] + "(" + strings.Join(l.printed(e), ", ") + ")"
	case "min", "max":
		return l.extreme(e, name)
	case "complex", "real", "imag":
		return l.complexCall(e, name)
	}
	return l.refuse(e, "%s cannot be used in a cell", name)
}

// printed lowers the arguments of print and println, which know basic types and print addresses of all others.
func (l *lowerer) printed(e *ast.CallExpr) []string {
	var out []string
	for _, a := range e.Args {
		t := types.Default(l.typeOf(a))
		_, basic := t.Underlying().(*types.Basic)
		switch {
		case l.info.Types[a].IsNil():
			out = append(out, `"0x0"`)
		case basic:
			out = append(out, emptyInterface+"("+basicName(t.Underlying().(*types.Basic))+"("+l.value(a, t)+"))")
		case types.IsInterface(t):
			out = append(out, runtimeName+".Words("+l.openValue(a)+")")
		default:
			out = append(out, runtimeName+".Address("+l.open(a)+")")
		}
	}
	return out
}

func (l *lowerer) makeCall(e *ast.CallExpr) string {
	typ := l.concrete(l.typeOf(e))
	if c, ok := l.typeOf(e).Underlying().(*types.Chan); ok {
		typ = l.concrete(types.NewChan(types.SendRecv, c.Elem()))
	}
	return l.hide("make("+strings.Join(append([]string{typ}, l.sizes(e.Args[1:])...), ", ")+")", l.typeOf(e))
}

func (l *lowerer) sizes(args []ast.Expr) []string {
	var out []string
	for _, a := range args {
		out = append(out, l.intIndex(a))
	}
	return out
}

// newValue lowers new(T) and new(x), which since Go 1.26 may be given a value.
func (l *lowerer) newValue(e *ast.CallExpr) string {
	t := l.typeOf(e)
	if l.info.Types[e.Args[0]].IsType() {
		return l.hide("new("+l.typ(elem(t))+")", t)
	}
	return l.hide(l.newOf(l.value(e.Args[0], elem(t)), l.typ(elem(t))), t)
}

// newOf makes a variable of a value and returns a pointer to it.
func (l *lowerer) newOf(value, typ string) string {
	return l.helper("new", "(x "+typ+") *"+typ+" {\np := new("+typ+")\n*p = x\nreturn p\n}") + "(" + value + ")"
}

func (l *lowerer) appendCall(e *ast.CallExpr) string {
	t := l.typeOf(e)
	parts := []string{l.openText(l.value(e.Args[0], t), t)}
	for _, a := range e.Args[1:] {
		if e.Ellipsis.IsValid() {
			parts = append(parts, l.appended(a, t))
			continue
		}
		parts = append(parts, l.value(a, elem(t)))
	}
	if len(parts) > 2 { // the interpreter would read elements only when it has overwritten others
		parts = []string{parts[0], "[]" + l.typ(elem(t)) + "{" + strings.Join(parts[1:], ", ") + "}..."}
	}
	return l.hide("append("+strings.Join(parts, ", ")+")", t)
}

// appended lowers the last argument of append(s, x...).
func (l *lowerer) appended(a ast.Expr, t types.Type) string {
	if l.info.Types[a].IsNil() {
		return l.typedNil(l.concrete(t)) + "..."
	}
	if b, ok := l.typeOf(a).Underlying().(*types.Basic); ok && b.Info()&types.IsString != 0 {
		return "[]uint8(" + l.value(a, types.Typ[types.String]) + ")..."
	}
	return l.open(a) + "..."
}

func (l *lowerer) length(e *ast.CallExpr, name string) string {
	x := l.open(e.Args[0])
	if p, ok := l.typeOf(e.Args[0]).Underlying().(*types.Pointer); ok {
		if a, ok := p.Elem().Underlying().(*types.Array); ok {
			return fmt.Sprintf("func() int { _ = %s; return %d }()", x, a.Len())
		}
	}
	return name + "(" + x + ")"
}

// extreme lowers min and max, which the interpreter does not have.
func (l *lowerer) extreme(e *ast.CallExpr, name string) string {
	t := types.Default(l.typeOf(e))
	typ, op := l.typ(t), map[string]string{"min": "<", "max": ">"}[name]
	combine := func(x, y string) string {
		return l.helper(name, "(x, y "+typ+") "+typ+" {\nif y "+op+" x { return y }\nreturn x\n}") + "(" + x + ", " + y + ")"
	}
	if t.Underlying().(*types.Basic).Info()&types.IsFloat != 0 { // for the sake of negative zeros and numbers that are none
		combine = func(x, y string) string {
			return fmt.Sprintf("%s(%s.%s(float64(%s), float64(%s)))", typ, runtimeName, map[string]string{"min": "Min", "max": "Max"}[name], x, y)
		}
	}
	out := l.value(e.Args[0], t)
	for _, a := range e.Args[1:] {
		out = combine(out, l.value(a, t))
	}
	return out
}

// complexOf makes a complex number of its parts; given to the interpreter's own function, constants would go wrong.
func (l *lowerer) complexOf(x, y, typ string) string {
	return fmt.Sprintf("%s(%s.Complex(float64(%s), float64(%s)))", typ, runtimeName, x, y)
}

func (l *lowerer) complexCall(e *ast.CallExpr, name string) string {
	t := l.typeOf(e)
	if isUntyped(t) {
		t = types.Default(t)
	}
	var parts []string
	for _, a := range e.Args {
		at := l.typeOf(a)
		if name == "complex" {
			at = types.Typ[types.Float64]
			if t.Underlying().(*types.Basic).Kind() == types.Complex64 {
				at = types.Typ[types.Float32]
			}
		}
		parts = append(parts, l.value(a, at))
	}
	if name == "complex" { // the interpreter would take it for a constant
		return l.complexOf(parts[0], parts[1], l.typ(t))
	}
	return name + "(" + strings.Join(parts, ", ") + ")"
}
