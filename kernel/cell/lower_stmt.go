package cell

import (
	"fmt"
	"go/ast"
	"go/constant"
	"go/token"
	"go/types"
	"slices"
	"strings"
)

func (l *lowerer) block(list []ast.Stmt) {
	if n := len(list); n > 0 {
		if b, ok := list[n-1].(*ast.BranchStmt); ok && b.Tok == token.FALLTHROUGH {
			l.sequence(list[:n-1], l.stmt)
			l.stmt(b)
			return
		}
	}
	l.sequence(list, l.stmt)
}

func (l *lowerer) stmt(s ast.Stmt) {
	l.at = l.place(s.Pos())
	l.mark(s)
	defer l.inOrder(l.operandsOf(s))()
	switch s := s.(type) {
	case *ast.EmptyStmt:
	case *ast.ExprStmt:
		l.emit("%s", l.expr(s.X))
	case *ast.AssignStmt:
		l.assign(s)
	case *ast.IncDecStmt:
		l.emit("%s%s", l.lvalue(s.X), s.Tok)
	case *ast.DeclStmt:
		l.declStmt(s.Decl.(*ast.GenDecl))
	case *ast.SendStmt:
		l.emit("%s.Send(%s, %s)", runtimeName, l.open(s.Chan), l.value(s.Value, elem(l.typeOf(s.Chan))))
	case *ast.GoStmt:
		l.emit("%s.Go(%s)", runtimeName, l.delayed(s.Call, ""))
	case *ast.DeferStmt:
		l.deferStmt(s)
	case *ast.ReturnStmt:
		l.returnStmt(s)
	default:
		l.control(s, "")
	}
}

// control lowers the statements that hold others; label is the label of the statement.
func (l *lowerer) control(s ast.Stmt, label string) {
	label, done := l.breakable(s, label)
	defer done()
	switch s := s.(type) {
	case *ast.LabeledStmt:
		l.labeled(s)
	case *ast.BranchStmt:
		l.branch(s)
	case *ast.BlockStmt:
		l.emit("{")
		l.block(s.List)
		l.emit("}")
	case *ast.IfStmt:
		l.ifStmt(s)
	case *ast.ForStmt:
		l.forStmt(s, label)
	case *ast.RangeStmt:
		l.rangeStmt(s, label)
	case *ast.SwitchStmt:
		l.switchStmt(s, label)
	case *ast.TypeSwitchStmt:
		l.typeSwitch(s, label)
	case *ast.SelectStmt:
		l.selectStmt(s, label)
	default:
		l.refuse(s, "this statement cannot be used in a cell")
	}
}

// labeled lowers a label at the loop or switch that the statement is lowered to, for break and continue.
func (l *lowerer) labeled(s *ast.LabeledStmt) {
	switch s.Stmt.(type) {
	case *ast.ForStmt, *ast.RangeStmt, *ast.SwitchStmt, *ast.TypeSwitchStmt, *ast.SelectStmt:
		l.at = l.place(s.Stmt.Pos())
		l.mark(s.Stmt)
		l.control(s.Stmt, s.Label.Name)
	default:
		l.stmt(s.Stmt)
	}
}

// emitLabel labels the loop or switch that follows.
func (l *lowerer) emitLabel(label string) {
	if label != "" {
		l.emit("%s_loop:", label)
	}
}

func (l *lowerer) branch(s *ast.BranchStmt) {
	switch {
	case l.leave(s):
	case s.Tok == token.GOTO:
		l.gotoLabel(s.Label.Name)
	case s.Label != nil:
		l.emit("%s %s_loop", s.Tok, s.Label.Name)
	case s.Tok != token.FALLTHROUGH && l.nearest(s.Tok) != "":
		l.emit("%s %s_loop", s.Tok, l.nearest(s.Tok))
	default:
		l.emit("%s", s.Tok)
	}
}

// ifStmt lowers if. A branch that a constant condition rules out is left out.
func (l *lowerer) ifStmt(s *ast.IfStmt) {
	l.emit("{")
	l.initStmt(s, s.Init)
	if v := l.info.Types[s.Cond].Value; v != nil {
		if constant.BoolVal(v) {
			l.stmt(s.Body)
		} else if s.Else != nil {
			l.stmt(s.Else)
		}
		l.emit("}")
		return
	}
	done := l.inOrder([]part{{expr: s.Cond}})
	l.emit("if %s {", l.expr(s.Cond))
	done()
	l.block(s.Body.List)
	if s.Else != nil {
		l.emit("} else {")
		l.stmt(s.Else)
	}
	l.emit("}")
	l.emit("}")
}

// initStmt lowers what an if or switch statement starts with.
func (l *lowerer) initStmt(s, init ast.Stmt) {
	if init != nil {
		l.stmt(init)
		l.markAgain(s)
	}
}

// switchStmt lowers switch to a switch without a tag.
func (l *lowerer) switchStmt(s *ast.SwitchStmt, label string) {
	l.emit("{")
	l.initStmt(s, s.Init)
	heads := l.caseHeads(s)
	if !endsInDefault(s.Body.List) {
		heads = l.numberedHeads(heads)
	}
	l.emitLabel(label)
	l.emit("switch {")
	for i, c := range s.Body.List {
		c := c.(*ast.CaseClause)
		l.at = l.place(c.Pos())
		l.emit("%s", heads[i])
		l.block(c.Body)
	}
	l.emit("}")
	l.emit("}")
}

// caseHeads evaluates the tag of a switch and lowers the heads of its clauses.
func (l *lowerer) caseHeads(s *ast.SwitchStmt) []string {
	tag := l.switchTag(s)
	var heads []string
	for _, c := range s.Body.List {
		c := c.(*ast.CaseClause)
		var tests []string
		for _, e := range c.List {
			tests = append(tests, l.condition(func() string { return l.caseTest(tag, e) }))
		}
		switch {
		case c.List == nil:
			heads = append(heads, "default:")
		case len(tests) > 1:
			tests[0] = firstCondition(tests[0])
			fallthrough
		default:
			heads = append(heads, "case "+strings.Join(tests, " || ")+":")
		}
	}
	return heads
}

// endsInDefault reports whether no clause of a switch follows the default.
func endsInDefault(clauses []ast.Stmt) bool {
	i := slices.IndexFunc(clauses, func(s ast.Stmt) bool { return s.(*ast.CaseClause).List == nil })
	return i < 0 || i == len(clauses)-1
}

// numberedHeads finds out which clause of a switch is to be run, and returns heads that ask for its number: the interpreter runs a default when it comes to it.
func (l *lowerer) numberedHeads(heads []string) []string {
	k := l.fresh("case")
	l.emit("%s := -1", k)
	l.emit("switch {")
	numbered := make([]string, len(heads))
	for i, h := range heads {
		if h == "default:" {
			numbered[i] = "case " + k + " < 0:"
			continue
		}
		l.emit("%s", h)
		l.emit("%s = %d", k, i)
		numbered[i] = fmt.Sprintf("case %s == %d:", k, i)
	}
	l.emit("}")
	return numbered
}

// tag is the value that a switch compares with its cases.
type tag struct {
	name string
	t    types.Type
}

// switchTag evaluates the tag of a switch; without one, the cases are conditions.
func (l *lowerer) switchTag(s *ast.SwitchStmt) *tag {
	if s.Tag == nil {
		return nil
	}
	defer l.inOrder([]part{{expr: s.Tag}})()
	t := types.Default(l.typeOf(s.Tag))
	g := &tag{l.fresh("tag"), t}
	l.emit("var %s %s = %s", g.name, l.typ(t), l.value(s.Tag, t))
	return g
}

// caseTest lowers one expression of a case to a condition.
func (l *lowerer) caseTest(g *tag, e ast.Expr) string {
	defer l.inOrder([]part{{expr: e}})()
	switch {
	case g == nil:
		return l.expr(e)
	case l.info.Types[e].IsNil():
		return "(" + g.name + " == nil)"
	}
	t, x := g.t, l.typeOf(e)
	if types.IsInterface(t) || types.IsInterface(x) {
		return l.compare(l.convert(g.name, g.t, anyType), token.EQL, l.value(e, anyType))
	}
	return "(" + l.sided(l.convert(g.name, g.t, t), t, x) + " == " + l.sided(l.value(e, t), x, t) + ")"
}

// declStmt lowers a declaration inside a function. Constants and types leave nothing behind.
func (l *lowerer) declStmt(d *ast.GenDecl) {
	if d.Tok != token.VAR {
		return
	}
	for _, spec := range d.Specs {
		v := spec.(*ast.ValueSpec)
		l.at = l.place(v.Pos())
		done := l.inOrder(l.specOperands(v))
		l.varSpec(v)
		done()
	}
}

// varSpec lowers one line of a declaration of variables.
func (l *lowerer) varSpec(v *ast.ValueSpec) {
	switch {
	case len(v.Values) > 0 && len(v.Values) != len(v.Names):
		l.assignTuple(identTargets(v.Names), v.Values[0])
	case len(v.Values) > 1:
		l.assignAll(identTargets(v.Names), v.Values)
	default:
		for _, id := range v.Names {
			l.varDecl(id, v.Values)
		}
	}
}

// varDecl lowers the declaration of one variable.
func (l *lowerer) varDecl(id *ast.Ident, values []ast.Expr) {
	o := l.info.Defs[id]
	switch {
	case len(values) == 0 && id.Name != "_":
		l.declareLocal(o, l.zero(o.Type()))
	case len(values) > 0 && id.Name == "_":
		l.discard(values[0], o)
	case len(values) > 0:
		l.declareLocal(o, l.value(values[0], o.Type()))
	}
}

// discard evaluates what is assigned to the blank name.
func (l *lowerer) discard(e ast.Expr, o types.Object) {
	tv := l.info.Types[e]
	if tv.IsNil() || tv.Value != nil {
		return
	}
	t := types.Default(l.typeOf(e))
	if o != nil {
		t = l.objectType(o)
	}
	l.hold(l.value(e, t), l.typ(t)) // the interpreter does not evaluate what is assigned to its own blank name
}

// isGlobal reports whether a variable lives in the interpreter's global scope.
func (l *lowerer) isGlobal(o types.Object) bool {
	return l.cell.names[o.Name()] == o || l.front.session.slots[o] != ""
}

// declareLocal declares a variable with a value; a top-level one has been declared already.
func (l *lowerer) declareLocal(o types.Object, value string) {
	t := l.typ(l.objectType(o))
	switch {
	case o.Name() == "_":
		l.hold(value, t)
	case l.isGlobal(o):
		l.store(l.name(o), value, t)
	case l.hoisted[o] != "" && l.heap[o]:
		l.names[o] = l.fresh(o.Name())
		l.emit("%s := &%s{V: %s}", l.names[o], l.cellOf(t), value)
		l.emit("%s = %s", l.hoisted[o], l.names[o])
	case l.hoisted[o] != "":
		l.store(l.local(o), value, t)
	case l.fn.witness.watched[o]:
		l.declareWatched(o, value, t)
	case l.heap[o]:
		l.emit("%s := &%s{V: %s}", l.local(o), l.cellOf(t), value)
	default:
		l.emit("var %s %s = %s", l.local(o), t, value)
	}
}
