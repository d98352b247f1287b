package cell

import (
	"go/ast"
	"go/token"
	"go/types"
	"slices"
)

// The interpreter's panic of an index or a bound that is out of range does not say what it was. Outside of loops an access is checked before it is made. In a
// loop that would cost more than the access, so there it is found out afterwards: a function with loops defers a witness, which repeats the checks of the
// statement that a panic has left, and the first that fails is what the panic should have said. That works if what is checked depends on variables only, of
// which none has changed since; the variables are declared where the function starts, for the witness to see them. Everything else is checked in loops, too.

// witness is what is lowered for the witness of a function.
type witness struct {
	l        *lowerer
	body     *ast.BlockStmt
	variable string // holds the number of the scene that the function is in, or 0
	scenes   map[ast.Stmt]*scene
	endings  map[ast.Expr]*scene // of assignments of what calls have returned, by what they assign to
	order    []*scene
	accesses map[ast.Expr]bool // those that are left unchecked
	watched  map[types.Object]bool
	declared []string // the declarations of the watched variables
}

// scene is a statement whose accesses the witness checks.
type scene struct {
	number, place int      // place is known once the statement has been lowered
	accesses      []access // in the order of evaluation
	calls         bool     // it also calls functions of cells, after all accesses
}

// access is x[i], x[i:j] or x[i:j:k], and what is to hold for it to be evaluated.
type access struct {
	expr ast.Expr
	when []condition
}

type condition struct {
	expr ast.Expr
	not  bool
}

// findScenes finds the statements in loops of a function whose accesses a witness can check.
func (l *lowerer) findScenes(body *ast.BlockStmt) {
	w := &witness{l: l, body: body, scenes: map[ast.Stmt]*scene{}, endings: map[ast.Expr]*scene{}, accesses: map[ast.Expr]bool{}, watched: map[types.Object]bool{}}
	l.fn.witness = w
	w.walk(body, len(gotoLabels(body)) > 0)
	if len(w.order) > 0 {
		w.variable = l.fresh("scene")
	}
}

// walk looks at the statements in n; looped tells whether a loop is around it.
func (w *witness) walk(n ast.Node, looped bool) {
	ast.Inspect(n, func(n ast.Node) bool {
		switch s := n.(type) {
		case *ast.FuncLit:
			return false
		case *ast.ForStmt:
			if s.Init != nil {
				w.walk(s.Init, looped)
			}
			w.scene(s, nil, s.Cond)
			if s.Post != nil {
				w.walk(s.Post, true)
			}
			w.walk(s.Body, true)
			return false
		case *ast.RangeStmt:
			if !isFunc(w.l.typeOf(s.X)) {
				w.statement(s, looped)
				w.walk(s.Body, true)
			}
			return false
		case *ast.CommClause:
			w.walk(&ast.BlockStmt{List: s.Body}, looped)
			return false
		case *ast.TypeSwitchStmt:
			if s.Init != nil {
				w.walk(s.Init, looped)
			}
			w.walk(s.Body, looped)
			return false
		case ast.Stmt:
			w.statement(s, looped)
		}
		return true
	})
}

// statement makes a scene of a statement, if it is in a loop. What a statement reads is evaluated before what it writes to.
func (w *witness) statement(s ast.Stmt, looped bool) {
	if !looped {
		return
	}
	switch s := s.(type) {
	case *ast.AssignStmt:
		w.assignment(s)
	case *ast.IncDecStmt:
		w.scene(s, nil, s.X)
	case *ast.ExprStmt:
		w.scene(s, nil, s.X)
	case *ast.SendStmt:
		w.scene(s, nil, s.Chan, s.Value)
	case *ast.IfStmt:
		w.scene(s, nil, s.Cond)
	case *ast.RangeStmt:
		w.scene(s, nil, s.X)
	case *ast.SwitchStmt:
		w.scene(s, nil, switchOperands(s)...)
	case *ast.DeclStmt:
		if d := s.Decl.(*ast.GenDecl); d.Tok == token.VAR && len(d.Specs) == 1 {
			w.scene(s, nil, d.Specs[0].(*ast.ValueSpec).Values...)
		}
	}
}

// switchOperands are the tag of a switch or, if it has none, the condition of its first case.
func switchOperands(s *ast.SwitchStmt) []ast.Expr {
	if s.Tag != nil {
		return []ast.Expr{s.Tag}
	}
	for _, c := range s.Body.List {
		if list := c.(*ast.CaseClause).List; len(list) > 0 {
			return list[:1]
		}
	}
	return nil
}

// assignment makes a scene of an assignment. What it assigns to is left unchecked if no part of the assignment changes what that depends on.
func (w *witness) assignment(s *ast.AssignStmt) {
	for _, e := range s.Lhs {
		if i, isIndex := ast.Unparen(e).(*ast.IndexExpr); s.Tok == token.DEFINE || len(s.Lhs) > 1 && (!isIndex || indexed(i.X) || indexed(i.Index)) {
			w.scene(s, nil, s.Rhs...)
			return
		}
	}
	w.scene(s, s.Lhs, s.Rhs...)
}

// indexed reports whether there is an element in an expression.
func indexed(e ast.Expr) bool {
	found := false
	ast.Inspect(e, func(n ast.Node) bool {
		_, is := n.(*ast.IndexExpr)
		found = found || is
		return true
	})
	return found
}

// scene makes a scene of a statement that evaluates some expressions, and then assigns to others.
func (w *witness) scene(s ast.Stmt, written []ast.Expr, read ...ast.Expr) {
	if w.l.orderShows(w.parts(s, read)) {
		return
	}
	calls := w.calls(slices.Concat(read, written))
	var accesses []access
	for _, e := range read {
		if e != nil {
			accesses = append(accesses, w.find(e, calls)...)
		}
	}
	if len(calls) == 0 {
		for _, e := range written {
			accesses = append(accesses, w.find(e, nil)...)
		}
	}
	if len(accesses) > 0 {
		w.scenes[s] = w.newScene(accesses, len(calls) > 0)
	}
	if len(calls) == 0 || len(written) != 1 || len(w.calls(written)) > 0 {
		return
	}
	if accesses := w.find(written[0], nil); len(accesses) > 0 {
		w.endings[written[0]] = w.newScene(accesses, false)
	}
}

// parts lists what a statement evaluates where it starts, or has the given expressions if it holds other statements.
func (w *witness) parts(s ast.Stmt, read []ast.Expr) []part {
	list := w.l.operandsOf(s)
	if list == nil {
		for _, e := range read {
			if e != nil {
				list = append(list, part{expr: e})
			}
		}
	}
	return list
}

// newScene makes a scene with some accesses, which are left unchecked.
func (w *witness) newScene(accesses []access, calls bool) *scene {
	here := &scene{number: len(w.order) + 1, accesses: accesses, calls: calls}
	w.order = append(w.order, here)
	for _, a := range accesses {
		w.accesses[a.expr] = true
		w.watch(a.expr)
		for _, c := range a.when {
			w.watch(c.expr)
		}
	}
	return here
}

// calls lists what may run code of cells, or wait.
func (w *witness) calls(parts []ast.Expr) (calls []ast.Expr) {
	for _, e := range parts {
		if e == nil {
			continue
		}
		ast.Inspect(e, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.FuncLit:
				return false
			case *ast.CallExpr:
				if w.callsCell(n) {
					calls = append(calls, n)
				}
			case *ast.UnaryExpr:
				if n.Op == token.ARROW {
					calls = append(calls, n)
				}
			}
			return true
		})
	}
	return calls
}

func (w *witness) callsCell(e *ast.CallExpr) bool {
	var c callees
	c.add(e, w.l.info)
	_, literal := ast.Unparen(e.Fun).(*ast.FuncLit)
	return literal || c.unknown || len(c.named) > 0 || builtinName(e.Fun) == "panic" && w.l.info.Types[e.Fun].IsBuiltin()
}

// find lists the accesses in an expression that can be checked later, in the order of evaluation.
func (w *witness) find(e ast.Expr, calls []ast.Expr) []access {
	var found []access
	var around []ast.Node
	ast.Inspect(e, func(n ast.Node) bool {
		if n == nil {
			around = around[:len(around)-1]
			return true
		}
		if _, ok := n.(*ast.FuncLit); ok {
			return false
		}
		if x, ok := n.(ast.Expr); ok && w.isAccess(x) && !w.l.proven(x) {
			if a, ok := w.access(x, around, calls); ok {
				found = append(found, a)
			}
		}
		around = append(around, n)
		return true
	})
	slices.SortStableFunc(found, func(a, b access) int { return int(a.expr.End() - b.expr.End()) })
	return found
}

// isAccess reports whether an expression may be out of range.
func (w *witness) isAccess(e ast.Expr) bool {
	switch e := e.(type) {
	case *ast.IndexExpr:
		return !w.l.info.Types[e.Index].IsType() && !w.l.info.Types[e.X].IsType() && w.l.typeOf(e.X) != nil && !isMap(w.l.typeOf(e.X)) && !isFunc(w.l.typeOf(e.X))
	case *ast.SliceExpr:
		return true
	}
	return false
}

func isFunc(t types.Type) bool {
	_, ok := t.Underlying().(*types.Signature)
	return ok
}

// access is the access e inside of other expressions, if it can be checked later.
func (w *witness) access(e ast.Expr, around []ast.Node, calls []ast.Expr) (access, bool) {
	a := access{expr: e}
	if !w.pure(e) {
		return a, false
	}
	for _, c := range calls {
		if c.End() <= e.Pos() {
			return a, false
		}
	}
	for _, n := range around {
		b, ok := n.(*ast.BinaryExpr)
		if !ok || b.Op != token.LAND && b.Op != token.LOR || e.Pos() < b.Y.Pos() {
			continue
		}
		if !w.pure(b.X) {
			return a, false
		}
		a.when = append(a.when, condition{b.X, b.Op == token.LOR})
	}
	return a, true
}

// pure reports whether an expression depends on variables only that the witness can see, and changes nothing.
func (w *witness) pure(e ast.Expr) bool {
	ok := true
	ast.Inspect(e, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.FuncLit, *ast.CompositeLit, *ast.TypeAssertExpr:
			ok = false
		case *ast.CallExpr:
			ok = ok && w.pureCall(n)
		case *ast.UnaryExpr:
			ok = ok && n.Op != token.ARROW && n.Op != token.AND
		case *ast.Ident:
			ok = ok && !w.hidden(n)
		case *ast.BinaryExpr:
			ok = ok && !types.IsInterface(w.l.typeOf(n.X)) && !types.IsInterface(w.l.typeOf(n.Y))
		case *ast.IndexExpr:
			ok = ok && !isFunc(w.l.typeOf(n.X))
		case *ast.SelectorExpr:
			s := w.l.info.Selections[n]
			ok = ok && (s == nil || s.Kind() == types.FieldVal)
		}
		return ok
	})
	return ok
}

// pureCall reports whether a call is a conversion of a number, or of a predeclared function that only computes.
func (w *witness) pureCall(e *ast.CallExpr) bool {
	tv := w.l.info.Types[e.Fun]
	if tv.IsType() {
		b, ok := w.l.typeOf(e).Underlying().(*types.Basic)
		return ok && b.Info()&types.IsNumeric != 0
	}
	return tv.IsBuiltin() && slices.Contains([]string{"len", "cap", "min", "max"}, builtinName(e.Fun))
}

// hidden reports whether an identifier is a variable that the witness cannot see: one of which each turn of a loop has its own.
func (w *witness) hidden(id *ast.Ident) bool {
	o, ok := w.l.info.ObjectOf(id).(*types.Var)
	return ok && w.l.heap[o] && w.declares(o)
}

// declares reports whether a variable is declared in the body of the function.
func (w *witness) declares(o types.Object) bool {
	return w.body.Pos() <= o.Pos() && o.Pos() < w.body.End() && !w.l.isGlobal(o)
}

// watch notes the variables in an expression.
func (w *witness) watch(e ast.Expr) {
	ast.Inspect(e, func(n ast.Node) bool {
		if id, ok := n.(*ast.Ident); ok {
			if o, ok := w.l.info.Uses[id].(*types.Var); ok && !o.IsField() && w.declares(o) {
				w.watched[o] = true
			}
		}
		return true
	})
}

// declareWatched declares a watched variable where the function starts, and gives it a value here.
func (l *lowerer) declareWatched(o types.Object, value, typ string) {
	w := l.fn.witness
	if line := "var " + l.local(o) + " " + typ; !slices.Contains(w.declared, line) {
		w.declared = append(w.declared, line)
	}
	l.store(l.local(o), value, typ)
}

// enterScene says that the function is in a scene.
func (l *lowerer) enterScene(here *scene) {
	here.place = l.at
	l.emit("%s = %d", l.fn.witness.variable, here.number)
}

// leaveScene says that the function is in no scene any more.
func (l *lowerer) leaveScene() {
	if w := l.fn.witness; w.variable != "" {
		l.emit("%s = 0", w.variable)
	}
}

// unchecked reports whether x[i], x[i:j] or x[i:j:k] is lowered as it stands.
func (l *lowerer) unchecked(e ast.Expr) bool {
	return l.trusting || l.fn.witness.accesses[e] || l.proven(e)
}

// witnessed emits the body of the current function, and its witness in front of it.
func (l *lowerer) witnessed(emit func()) {
	w := l.fn.witness
	if w.variable == "" {
		emit()
		return
	}
	outer, at := l.lines, l.at
	l.lines = nil
	emit()
	if l.at = at; len(l.fn.results) == 0 || l.fn.inGuard {
		l.leaveScene()
	}
	body := l.lines
	l.lines = outer
	l.emit("var %s int", w.variable)
	for _, line := range w.declared {
		l.emit("%s", line)
	}
	l.emit("defer func() {")
	l.emit("if %s != 0 {", w.variable)
	l.emit("%s.Witness(func() {", runtimeName)
	for _, s := range w.order {
		l.testify(s)
	}
	l.emit("})")
	l.emit("}")
	l.emit("}()")
	l.at = at
	l.lines = append(l.lines, body...)
}

// testify emits the checks of a scene. They fail as the statement has, or not at all if it was something else that failed.
func (l *lowerer) testify(s *scene) {
	l.at = s.place
	l.emit("if %s == %d {", l.fn.witness.variable, s.number)
	if !l.quiet && !s.calls {
		l.emit("%s = %d", l.fn.mark, s.place)
	}
	for _, a := range s.accesses {
		for _, c := range a.when {
			l.emit("if %s == %t {", l.expr(c.expr), !c.not)
		}
		l.emit("%s", l.check(a.expr))
		for range a.when {
			l.emit("}")
		}
	}
	l.emit("}")
}
