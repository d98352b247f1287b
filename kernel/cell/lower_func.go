package cell

import (
	"cmp"
	"go/ast"
	"go/types"
	"strings"
)

// isGeneric reports whether a function is lowered where it is used, for each list of type arguments.
func isGeneric(f *types.Func) bool {
	return f.Signature().TypeParams().Len() > 0 || f.Signature().RecvTypeParams().Len() > 0
}

// body lowers a function; a method's receiver is its first parameter.
func (l *lowerer) body(d *declaredFunc, u *unit) {
	l.at = l.place(d.decl.Name.Pos())
	l.analyse(d.decl)
	outer := l.begin(u.name, displayName(d.object))
	l.fn.tested = l.mayRecur(d)
	sig := d.body.Signature()
	l.enter(d.decl.Type, sig, d.decl.Body)
	names := l.paramNames(append(receiverName(d.decl), fieldNames(d.decl.Type.Params)...))
	f := l.formalsOf(nil, sig)
	_, first := l.declareParams(f, names)
	l.heapParams(d, sig)
	body := l.capture(func() {
		for _, line := range first {
			l.emit("%s", line)
		}
		l.guarded(func() { l.block(d.decl.Body.List) })
	})
	l.emitUnit(u, f, names, body)
	l.end()
	l.fn = outer
}

// heapParams notes the parameters that come inside of structs.
func (l *lowerer) heapParams(d *declaredFunc, sig *types.Signature) {
	for i, name := range append(receiverName(d.decl), fieldNames(d.decl.Type.Params)...) {
		if name != nil && l.info.Defs[name] != nil {
			l.heap[l.info.Defs[name]] = l.passing(l.subst(sig.Params().At(i).Type())) == inside
		}
	}
}

// receiverName is the name of a method's receiver, as a list that is empty for a function.
func receiverName(d *ast.FuncDecl) []*ast.Ident {
	return fieldNames(d.Recv)
}

// displayName is the name of a function as people write it.
func displayName(f *types.Func) string {
	recv := f.Signature().Recv()
	if recv == nil {
		return f.Name()
	}
	t := recv.Type()
	if p, ok := t.(*types.Pointer); ok {
		t = p.Elem()
	}
	name, _, _ := strings.Cut(types.TypeString(t, localName), "[")
	return name + "." + f.Name()
}

// enter notes what the current function is like.
func (l *lowerer) enter(t *ast.FuncType, sig *types.Signature, body *ast.BlockStmt) {
	deferring, recovering := defers(body)
	l.fn.gotos = gotoLabels(body)
	l.findScenes(body)
	l.fn.named = sig.Results().Len() > 0 && l.returnsFromRange(body)
	names := fieldNames(t.Results)
	for i := range sig.Results().Len() {
		r := result{t: l.objectType(sig.Results().At(i))}
		if i < len(names) && names[i] != nil {
			l.fn.named = true
			if names[i].Name != "_" {
				r.name = l.local(l.info.Defs[names[i]])
			}
		}
		l.fn.results = append(l.fn.results, r)
	}
	if deferring {
		l.fn.guard, l.fn.named = l.fresh("guard"), true
	}
	if recovering && l.fn.deferredBy == "" {
		l.fn.pending = l.fresh("pending")
	}
	if l.fn.named {
		for i := range l.fn.results {
			if l.fn.results[i].name == "" {
				l.fn.results[i].name = l.fresh("result")
			}
		}
	}
}

// defers reports whether a function itself has defer statements, and whether it calls recover.
func defers(body *ast.BlockStmt) (deferring, recovering bool) {
	ast.Inspect(body, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.FuncLit:
			return false
		case *ast.DeferStmt:
			deferring = true
			if _, ok := ast.Unparen(n.Call.Fun).(*ast.FuncLit); ok {
				for _, a := range n.Call.Args {
					_, inArgs := defers(&ast.BlockStmt{List: []ast.Stmt{&ast.ExprStmt{X: a}}})
					recovering = recovering || inArgs
				}
				return false
			}
		case *ast.CallExpr:
			if id, ok := ast.Unparen(n.Fun).(*ast.Ident); ok && id.Name == "recover" && len(n.Args) == 0 {
				recovering = true
			}
		}
		return true
	})
	return deferring, recovering
}

// params returns the parameter list of a function literal with the interpreter's names.
func (l *lowerer) params(names []*ast.Ident, sig *types.Signature) string {
	var out []string
	for i, name := range l.paramNames(names) {
		out = append(out, name+" "+l.paramType(sig, i))
	}
	return strings.Join(out, ", ")
}

// paramNames gives names to parameters, also to those that have none: the interpreter loses count of these.
func (l *lowerer) paramNames(names []*ast.Ident) []string {
	var out []string
	for _, name := range names {
		if name != nil && name.Name != "_" {
			out = append(out, l.local(l.info.Defs[name]))
		} else {
			out = append(out, l.fresh("unnamed"))
		}
	}
	return out
}

// resultList returns the results of the current function, without names: the interpreter would make these the caller's variables.
func (l *lowerer) resultList() string {
	var out []string
	for _, r := range l.fn.results {
		out = append(out, l.typ(r.t))
	}
	if len(out) == 0 {
		return ""
	}
	return " (" + strings.Join(out, ", ") + ")"
}

// fieldNames lists the names of parameters or results, nil for those without.
func fieldNames(f *ast.FieldList) []*ast.Ident {
	if f == nil {
		return nil
	}
	var out []*ast.Ident
	for _, field := range f.List {
		if len(field.Names) == 0 {
			out = append(out, nil)
		}
		out = append(out, field.Names...)
	}
	return out
}

// literal lowers a function literal.
func (l *lowerer) literal(e *ast.FuncLit) string {
	t := l.concrete(l.typeOf(e))
	return l.apart("", t, func() string { return l.literalIn(e, "") })
}

// literalName is the name of a function literal inside of a function.
func literalName(around string) string {
	if around == "" || strings.HasPrefix(around, "a function") {
		return cmp.Or(around, "a function")
	}
	return "a function in " + around
}

// literalIn lowers a function literal that a defer statement gives to a guard.
func (l *lowerer) literalIn(e *ast.FuncLit, guard string) string {
	at := l.at
	sig := l.typeOf(e).(*types.Signature)
	outer := l.begin(l.fn.lowered, literalName(l.program.Functions[l.fn.index].Name))
	l.fn.deferredBy, l.fn.literal, l.fn.tested = guard, true, guard == ""
	l.enter(e.Type, sig, e.Body)
	body := l.capture(func() {
		if !outer.literal {
			l.refuseStale(e)
		}
		l.guarded(func() { l.block(e.Body.List) })
	})
	params := l.params(fieldNames(e.Type.Params), sig)
	text := "func(" + params + ")" + l.resultList() + " {" + l.tag() + "\n" + body + "\n}"
	l.end()
	l.fn, l.at = outer, at
	return text
}

// guarded emits the body of the current function. If it defers calls, the body runs inside of a guard, which runs them as compiled Go does: the
// interpreter's own defer and recover are not up to it.
func (l *lowerer) guarded(emit func()) {
	if l.fn.named {
		for _, r := range l.fn.results {
			l.emit("var %s %s = %s", r.name, l.typ(r.t), l.zero(r.t))
		}
	}
	if l.fn.pending != "" {
		l.emit("%s := %s.Pending()", l.fn.pending, runtimeName)
	}
	l.test()
	if l.fn.guard == "" {
		l.witnessed(emit)
		return
	}
	l.emit("%s := %s.NewGuard()", l.fn.guard, runtimeName)
	l.fn.depth++
	l.emit("%s.Run(%s, func() {%s", runtimeName, l.fn.guard, l.tag())
	l.fn.inGuard = true
	l.witnessed(emit)
	l.fn.inGuard = false
	l.fn.depth--
	l.emit("})")
	if len(l.fn.results) > 0 {
		l.emit("return %s", l.resultNames())
	}
}

func (l *lowerer) resultNames() string {
	var names []string
	for _, r := range l.fn.results {
		names = append(names, r.name)
	}
	return strings.Join(names, ", ")
}

// returnStmt lowers return.
func (l *lowerer) returnStmt(s *ast.ReturnStmt) {
	l.leaveScene()
	values := l.returned(s)
	switch {
	case l.fn.body != nil:
		if len(values) > 0 {
			l.setResults(values)
		}
		l.leaveFunction()
	case l.fn.inGuard:
		l.setResults(values)
		l.bareReturn()
	case l.fn.named:
		if len(values) > 0 {
			l.setResults(values)
		}
		l.emit("return %s", l.resultNames())
	default:
		if len(values) == 0 {
			l.bareReturn()
			return
		}
		l.emit("return %s", strings.Join(values, ", "))
	}
}

// bareReturn returns from a function without results. A statement of its own stands in front: where two ways lead to one such return, the interpreter
// overflows its stack.
func (l *lowerer) bareReturn() {
	l.fn.marked = true
	l.emit("%s = %d", l.fn.mark, l.at)
	l.emit("return")
}

// setResults assigns to the named results of a function.
func (l *lowerer) setResults(values []string) {
	switch {
	case len(values) == 1 && len(l.fn.results) == 1:
		l.store(l.fn.results[0].name, values[0], l.typ(l.fn.results[0].t))
	case len(values) == 1:
		l.emit("%s = %s", l.resultNames(), values[0])
	default:
		for i := range values {
			values[i] = l.hold(values[i], l.typ(l.fn.results[i].t))
		}
		for i := range values {
			l.emit("%s = %s", l.fn.results[i].name, values[i])
		}
	}
}

// returned lowers the values of a return statement.
func (l *lowerer) returned(s *ast.ReturnStmt) []string {
	if len(s.Results) == 1 && len(l.fn.results) > 1 {
		return l.tupleValues(s.Results[0])
	}
	var out []string
	for i, e := range s.Results {
		out = append(out, l.value(e, l.fn.results[i].t))
	}
	return out
}

// tupleValues lowers a call with several results that are returned, with the conversions that this implies.
func (l *lowerer) tupleValues(call ast.Expr) []string {
	tuple := l.typeOf(call).(*types.Tuple)
	same := true
	for i, r := range l.fn.results {
		same = same && l.converts(tuple.At(i).Type(), r.t)
	}
	if same {
		return []string{l.expr(call)}
	}
	var names, out []string
	for range l.fn.results {
		names = append(names, l.fresh("result"))
	}
	l.emit("%s := %s", strings.Join(names, ", "), l.expr(call))
	for i, r := range l.fn.results {
		out = append(out, l.convert(names[i], tuple.At(i).Type(), r.t))
	}
	return out
}
