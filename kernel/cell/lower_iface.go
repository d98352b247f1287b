package cell

import (
	"fmt"
	"go/ast"
	"go/types"
	"slices"
	"strings"
)

// Interface values. The interpreter's own are not to be trusted with methods and with types of cells. So a value of a type that only the cell knows is put
// in a box, which carries the number of its type, when it becomes an interface value; interfaces that cells declare are lowered to the empty interface;
// and what depends on the dynamic type (method calls, assertions, type switches) is left to the machine. Interfaces of compiled packages stay what they
// are: there a box appears as a value that has the methods.

// anyType is the type of the empty interface.
var anyType = types.Universe.Lookup("any").Type().Underlying()

// value lowers an expression that is assigned to something of type target, with the conversion that this implies.
func (l *lowerer) value(e ast.Expr, target types.Type) string {
	target = l.subst(target)
	if s := l.streamAs(e, target); s != "" {
		return s
	}
	tv := l.info.Types[e]
	switch {
	case tv.IsNil() && types.IsInterface(target) && !l.isOpen(target) && !types.Identical(target, errorType): // as an argument nil confuses the interpreter
		return l.typedNil(l.typ(target))
	case tv.IsNil():
		return l.zero(target)
	case tv.Value != nil && !types.IsInterface(target):
		return l.constant(tv.Value, target)
	case tv.Value != nil:
		t := types.Default(l.typeOf(e))
		return l.convert(l.constant(tv.Value, t), t, target)
	}
	from := l.typeOf(e)
	if isUntyped(from) { // the result of a comparison, or of a shift
		from = types.Default(from)
	}
	return l.convert(l.expr(e), from, target)
}

func isUntyped(t types.Type) bool {
	b, ok := t.(*types.Basic)
	return ok && b.Info()&types.IsUntyped != 0
}

// converts reports whether a value of one type may be assigned to another as it is in the lowered source.
func (l *lowerer) converts(from, to types.Type) bool { return l.convert("x", from, to) == "x" }

// convert lowers the implicit conversion of s.
func (l *lowerer) convert(s string, from, to types.Type) string {
	from, to = l.subst(from), l.subst(to)
	switch {
	case !types.IsInterface(to):
		switch {
		case l.isCut(from) && !l.isCut(to):
			return l.openText(s, from)
		case !l.isCut(from) && l.isCut(to):
			return l.hide(s, to)
		}
		return s
	case types.IsInterface(from):
		return l.convertInterface(s, from, to)
	}
	if l.celled(from) && closedInterface(to) {
		l.found = append(l.found, problem{place: l.program.Places[l.at],
			message: "a " + l.typeString(from) + " cannot become a " + l.typeString(to) + " in a cell: only that package can implement its methods that are not exported"})
	}
	if l.celled(from) {
		return l.fromOpen(fmt.Sprintf("%s.Box(%d, %s)", runtimeName, l.box(from), s), to)
	}
	if l.isOpen(to) { // the interpreter gets it wrong where the conversion is implicit
		return emptyInterface + "(" + s + ")"
	}
	return l.fromOpen(s, to)
}

// isOpen reports whether an interface type is lowered to the empty interface.
func (l *lowerer) isOpen(t types.Type) bool { return l.typ(t) == emptyInterface }

func (l *lowerer) convertInterface(s string, from, to types.Type) string {
	if l.typ(from) == l.typ(to) {
		return s
	}
	return l.fromOpen(l.toOpen(s, from), to)
}

// toOpen turns an interface value into one of the empty interface.
func (l *lowerer) toOpen(s string, from types.Type) string {
	if l.isOpen(from) || types.Identical(from, errorType) {
		return s
	}
	return runtimeName + ".Open(" + s + ")"
}

// fromOpen turns a value of the empty interface, which is known to have the methods, into one of interface type to.
func (l *lowerer) fromOpen(s string, to types.Type) string {
	switch {
	case l.isOpen(to):
		return s
	case types.Identical(to, errorType):
		return runtimeName + ".Error(" + s + ")"
	}
	return fmt.Sprintf("%s.To%d(%s)", runtimeName, l.shape(to), s)
}

var errorType = types.Universe.Lookup("error").Type()

// openValue lowers an interface expression to a value of the empty interface.
func (l *lowerer) openValue(e ast.Expr) string { return l.toOpen(l.expr(e), l.typeOf(e)) }

// assertion lowers x.(T), which panics if x holds something else.
func (l *lowerer) assertion(e *ast.TypeAssertExpr) string {
	t := l.typeOf(e.Type)
	x := fmt.Sprintf("%s.As(%s, %d, %q)", runtimeName, l.openValue(e.X), l.shape(t), typeName(l.typeOf(e.X)))
	if types.IsInterface(t) {
		return l.fromOpen(x, t)
	}
	return l.unboxed(x, t)
}

// asserted turns a value of the empty interface that is known to hold a t into a t.
func (l *lowerer) asserted(x string, t types.Type) string {
	if types.IsInterface(t) {
		return l.fromOpen(x, t)
	}
	return l.unboxed(x, t)
}

// typeSwitch lowers a type switch: the machine tells which of all the cases' types is the first to match.
func (l *lowerer) typeSwitch(s *ast.TypeSwitchStmt, label string) {
	l.emit("{")
	if s.Init != nil {
		l.stmt(s.Init)
	}
	x, k := l.fresh("switched"), l.fresh("case")
	l.emit("var %s %s = %s", x, emptyInterface, l.openValue(switchedExpr(s)))
	shapes, first := l.caseShapes(s)
	l.emit("%s := %s.Case(%s)", k, runtimeName, strings.Join(append([]string{x}, shapes...), ", "))
	l.emitLabel(label)
	l.emit("switch {")
	for i, c := range s.Body.List {
		c := c.(*ast.CaseClause)
		l.at = l.place(c.Pos())
		if c.List == nil {
			l.emit("case %s < 0:", k)
		} else {
			l.emit("case (%s >= %d) && (%s < %d):", k, first[i], k, first[i]+len(c.List))
		}
		l.clauseVariable(c, x)
		l.block(c.Body)
	}
	l.emit("}")
	l.emit("}")
}

// caseShapes lists the numbers of the types of all cases, and the index of the first of each clause. A nil case has number 0.
func (l *lowerer) caseShapes(s *ast.TypeSwitchStmt) (shapes []string, first []int) {
	for _, c := range s.Body.List {
		first = append(first, len(shapes))
		for _, e := range c.(*ast.CaseClause).List {
			if l.info.Types[e].IsNil() {
				shapes = append(shapes, "0")
				continue
			}
			shapes = append(shapes, fmt.Sprint(l.shape(l.typeOf(e))))
		}
	}
	return shapes, first
}

func switchedExpr(s *ast.TypeSwitchStmt) ast.Expr {
	switch a := s.Assign.(type) {
	case *ast.AssignStmt:
		return a.Rhs[0].(*ast.TypeAssertExpr).X
	case *ast.ExprStmt:
		return a.X.(*ast.TypeAssertExpr).X
	}
	return nil
}

// clauseVariable declares the variable of a clause of a type switch.
func (l *lowerer) clauseVariable(c *ast.CaseClause, x string) {
	o := l.info.Implicits[c]
	if o == nil {
		return
	}
	t := l.objectType(o)
	if len(c.List) == 1 && !l.info.Types[c.List[0]].IsNil() {
		if !types.IsInterface(t) && l.celled(t) {
			x = runtimeName + ".Value(" + x + ")"
		}
		x = l.asserted(x, t)
	} else {
		x = l.fromOpen(x, t)
	}
	l.declareLocal(o, x)
}

// dispatcher returns the name of the function that calls a method of an interface that a cell declares: it tells the dynamic types apart that are known
// when the cell is lowered, and asks the machine about others.
func (l *lowerer) dispatcher(m *types.Func) string {
	sig := l.subst(m.Type()).(*types.Signature)
	key := m.Name() + l.signature(sig)
	if l.dispatch == nil {
		l.dispatch = map[string]*dispatcher{}
	}
	d := l.dispatch[key]
	if d == nil {
		d = &dispatcher{name: l.fresh("call_" + m.Name()), method: m.Name(), sig: sig}
		l.dispatch[key] = d
	}
	return d.name
}

// dispatcher is a function that calls a method of interface values.
type dispatcher struct {
	name   string
	method string
	sig    *types.Signature
	done   bool
}

// dispatchers emits the dispatchers that are still missing and reports whether there were any. Each knows the types that are boxed by then.
func (l *lowerer) dispatchers() bool {
	any := false
	for _, key := range sortedKeys(l.dispatch) {
		if d := l.dispatch[key]; !d.done {
			d.done, any = true, true
			l.helpers[d.name] = "func " + d.name + l.dispatchText(d)
		}
	}
	return any
}

func (l *lowerer) dispatchText(d *dispatcher) string {
	params, args := l.namedParams(d.sig)
	f := l.formalsOf(anyType, d.sig)
	list, first := l.declareParams(f, append([]string{"x"}, bareNames(args)...))
	l.unpack(f, args)
	head := fmt.Sprintf("(%s)%s {\n%sid, v := %s.Unbox(x)\nswitch {\n", list, l.results(d.sig), strings.Join(append(first, ""), "\n"), runtimeName)
	var cases strings.Builder
	for _, id := range l.knownBoxes() {
		t := l.boxType(id)
		sel := types.NewMethodSet(t).Lookup(methodPackage(t), d.method)
		if sel == nil || l.signature(sel.Type().(*types.Signature)) != l.signature(d.sig) {
			continue
		}
		call := l.selected("("+l.unboxed("v", t)+")", sel).build(args)
		fmt.Fprintf(&cases, "case id == %d:\n%s%s%s\n", id, l.nilReceiver("v", t, sel), returnIf(d.sig), call)
		if returnIf(d.sig) == "" {
			cases.WriteString("return\n")
		}
	}
	types := strings.Join(append([]string{emptyInterface}, typesOnly(params)...), ", ")
	rest := fmt.Sprintf("}\n%s%s.Bound(id, v, %q).(func(%s)%s)(%s)\n}", returnIf(d.sig), runtimeName, d.method, types, l.results(d.sig),
		strings.Join(append([]string{"v"}, args...), ", "))
	return head + cases.String() + rest
}

// knownBoxes lists the types that are boxed by this program or were by earlier ones.
func (l *lowerer) knownBoxes() []int {
	var ids []int
	for id := range l.front.session.registered {
		ids = append(ids, id)
	}
	for id := range l.boxed {
		if l.front.session.registered[id] == nil {
			ids = append(ids, id)
		}
	}
	slices.Sort(ids)
	return ids
}

func (l *lowerer) boxType(id int) types.Type {
	if t := l.front.session.registered[id]; t != nil {
		return t
	}
	return l.shapes[id]
}

// methodPackage is the package whose unexported names a type's methods may have.
func methodPackage(t types.Type) *types.Package {
	if p, ok := types.Unalias(t).(*types.Pointer); ok {
		t = p.Elem()
	}
	if n, ok := types.Unalias(t).(*types.Named); ok {
		return n.Obj().Pkg()
	}
	return nil
}

// bareNames are arguments as parameters, without the dots of a list.
func bareNames(args []string) []string {
	var out []string
	for _, a := range args {
		out = append(out, strings.TrimSuffix(a, "..."))
	}
	return out
}

// unpack makes arguments of parameters that come inside of structs.
func (l *lowerer) unpack(f formals, args []string) {
	for i := range args {
		if t := f.types[i+1]; !f.isVariadic(i+1) && l.passing(t) == inside {
			args[i] += ".V"
		}
	}
}

// typesOnly strips the names from parameters.
func typesOnly(params []string) []string {
	var out []string
	for _, p := range params {
		_, t, _ := strings.Cut(p, " ")
		out = append(out, t)
	}
	return out
}
