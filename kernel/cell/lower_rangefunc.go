package cell

import (
	"fmt"
	"go/ast"
	"go/token"
	"go/types"
	"strings"
)

// A loop over a function becomes a call of the function with the body as a function literal. A jump out of the body returns false, and is made behind the
// call; a return leaves its values in the results of the function around.

// rangeBody is the body of a loop over a function that is being lowered.
type rangeBody struct {
	loop    *ast.RangeStmt
	label   string
	outer   *rangeBody
	targets map[*ast.BranchStmt]ast.Stmt // of the jumps in the outermost of the loops: what they break, continue or go to
	next    string                       // the variable with the number of the jump to make behind the call
	state   string                       // the variable that tells whether the body may be called
	exits   []exit                       // the jumps out of the loop
	inGuard bool                         // whether the outermost of the loops is inside the function that a guard runs
}

// exit is a jump out of the body of a loop over a function.
type exit struct {
	tok    token.Token // BREAK, CONTINUE, GOTO or RETURN
	label  string
	target ast.Stmt // nil if it is outside of all loops over functions
	number int
}

// The states of a loop over a function, as in the runtime's panicrange.
const (
	bodyDone = iota // it has returned false
	bodyReady
	bodyRunning // or has panicked
	bodyExhausted
	bodyMissedPanic
)

// rangePanics are the panics of a function that calls the body when it must not, by the state of the loop.
var rangePanics = map[int]string{
	bodyDone:        "range function continued iteration after function for loop body returned false",
	bodyRunning:     "range function continued iteration after loop body panic",
	bodyExhausted:   "range function continued iteration after whole loop exit",
	bodyMissedPanic: "range function recovered a loop body panic and did not resume panicking",
}

func rangePanic(state int) { panic(runtimeError(rangePanics[state])) }

// rangeFunc lowers a loop over a function.
func (l *lowerer) rangeFunc(s *ast.RangeStmt, label string) {
	sig := l.typeOf(s.X).Underlying().(*types.Signature)
	yield := sig.Params().At(0).Type().Underlying().(*types.Signature)
	b := &rangeBody{loop: s, label: label, outer: l.fn.body, next: l.fresh("next"), state: l.fresh("state"), inGuard: l.fn.inGuard}
	if b.outer == nil {
		b.targets = jumpTargets(s, label)
	} else {
		b.targets, b.inGuard = b.outer.targets, b.outer.inGuard
	}
	l.emit("{")
	l.leaveScene()
	l.noteCall()
	f := l.hold(l.open(s.X), l.concrete(l.typeOf(s.X)))
	cell := l.cellOf("int")
	l.emit("%s, %s := &%s{V: 0}, &%s{V: %d}", b.next, b.state, cell, cell, bodyReady)
	body := l.hold(l.made(l.rangeLiteral(b, yield), l.concrete(yield)), l.concrete(yield))
	l.emit("%s(%s)", f, l.hide(body, sig.Params().At(0).Type()))
	l.emit("if %s.V == %d { %s.RangePanic(%d) }", b.state, bodyRunning, runtimeName, bodyMissedPanic)
	l.emit("%s.V = %d", b.state, bodyExhausted)
	for _, e := range b.exits {
		l.emit("if %s.V == %d {", b.next, e.number)
		l.jump(e)
		l.emit("}")
	}
	l.emit("}")
}

// rangeLiteral is the function literal that the body becomes.
func (l *lowerer) rangeLiteral(b *rangeBody, yield *types.Signature) string {
	at := l.at
	params, _ := l.namedParams(yield)
	names := []string{l.fresh("ranged"), l.fresh("ranged")}
	for i := range params {
		params[i] = names[i] + " " + l.paramType(yield, i)
	}
	l.fn.body, l.fn.inGuard = b, false
	l.fn.depth++
	text := fmt.Sprintf("func(%s) bool {%s\n", strings.Join(params, ", "), l.tag()) + l.capture(func() {
		l.stop()
		l.emit("if %s.V != %d { %s.RangePanic(%s.V) }", b.state, bodyReady, runtimeName, b.state)
		l.emit("%s.V = %d", b.state, bodyRunning)
		for i, e := range []ast.Expr{b.loop.Key, b.loop.Value} {
			if e != nil && !isBlank(e) {
				t := yield.Params().At(i).Type()
				l.target(e)(l.convert(names[i], t, l.targetType(e)))
			}
		}
		l.block(b.loop.Body.List)
		l.leaveBody(b, true)
	}) + "\n}"
	l.fn.depth--
	l.fn.body, l.fn.inGuard, l.at = b.outer, b.inGuard && b.outer == nil, at
	return text
}

// leaveBody ends a call of the body, to go on with the loop or not.
func (l *lowerer) leaveBody(b *rangeBody, goOn bool) {
	state := bodyDone
	if goOn {
		state = bodyReady
	}
	l.emit("%s.V = %d", b.state, state)
	l.emit("return %t", goOn)
}

// leave lowers a jump in the body of a loop over a function, and reports whether it was one that leaves the body.
func (l *lowerer) leave(s *ast.BranchStmt) bool {
	b := l.fn.body
	if b == nil || s.Tok == token.FALLTHROUGH {
		return false
	}
	target := b.targets[s]
	if target != nil && b.loop.Body.Pos() <= target.Pos() && target.Pos() < b.loop.Body.End() {
		return false
	}
	e := exit{tok: s.Tok, target: target}
	if s.Label != nil {
		e.label = s.Label.Name
	}
	l.jump(e)
	return true
}

// leaveFunction lowers the return from a function, whose results are set, out of loops over functions.
func (l *lowerer) leaveFunction() { l.jump(exit{tok: token.RETURN}) }

// jump makes a jump that leaves the loops over functions that the current place is in, or one of them, or none.
func (l *lowerer) jump(e exit) {
	b := l.fn.body
	switch {
	case b == nil && e.tok == token.RETURN:
		l.returnResults()
	case b == nil, e.target != nil && b.loop.Body.Pos() <= e.target.Pos() && e.target.Pos() < b.loop.Body.End():
		l.land(e)
	case e.target == ast.Stmt(b.loop) && e.tok != token.GOTO:
		l.leaveBody(b, e.tok == token.CONTINUE)
	default:
		l.emit("%s.V = %d", b.next, b.exit(e))
		l.leaveBody(b, false)
	}
}

// land makes a jump whose target is in the same function of the lowered source.
func (l *lowerer) land(e exit) {
	if e.tok == token.GOTO {
		l.gotoLabel(e.label)
		return
	}
	l.emit("%s %s_loop", e.tok, e.label)
}

// exit returns the number of a jump out of the loop.
func (b *rangeBody) exit(e exit) int {
	for _, known := range b.exits {
		if known.tok == e.tok && known.label == e.label && known.target == e.target {
			return known.number
		}
	}
	e.number = len(b.exits) + 1
	b.exits = append(b.exits, e)
	return e.number
}

// returnResults returns the results, which are set, from the current function.
func (l *lowerer) returnResults() {
	if l.fn.inGuard {
		l.bareReturn()
		return
	}
	if len(l.fn.results) == 0 {
		l.bareReturn()
		return
	}
	l.emit("return %s", l.resultNames())
}

// returnsFromRange reports whether a function returns from the body of a loop over a function.
func (l *lowerer) returnsFromRange(body ast.Node) bool {
	found := false
	ast.Inspect(body, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.FuncLit:
			return false
		case *ast.RangeStmt:
			if _, ok := l.typeOf(n.X).Underlying().(*types.Signature); ok {
				found = found || returns(n.Body)
			}
		}
		return !found
	})
	return found
}

func returns(body ast.Node) bool {
	found := false
	ast.Inspect(body, func(n ast.Node) bool {
		switch n.(type) {
		case *ast.FuncLit:
			return false
		case *ast.ReturnStmt:
			found = true
		}
		return !found
	})
	return found
}

// jumpTargets finds what the jumps inside of a loop break, continue or go to; those to the outside have none.
func jumpTargets(loop ast.Stmt, label string) map[*ast.BranchStmt]ast.Stmt {
	t := targets{labels: map[string]ast.Stmt{}, found: map[*ast.BranchStmt]ast.Stmt{}}
	ast.Inspect(loop, func(n ast.Node) bool {
		if s, ok := n.(*ast.LabeledStmt); ok {
			t.labels[s.Label.Name] = s.Stmt
		}
		return true
	})
	if label != "" {
		t.labels[label] = loop
	}
	t.walk(loop, nil, nil)
	return t.found
}

// targets is the work of jumpTargets.
type targets struct {
	labels map[string]ast.Stmt
	found  map[*ast.BranchStmt]ast.Stmt
}

// walk visits n, in which break and continue without a label have the given targets.
func (t targets) walk(n ast.Node, breaks, continues ast.Stmt) {
	ast.Inspect(n, func(m ast.Node) bool {
		switch m := m.(type) {
		case *ast.FuncLit:
			return false
		case *ast.BranchStmt:
			t.note(m, breaks, continues)
		case *ast.ForStmt:
			t.walk(m.Body, m, m)
			return false
		case *ast.RangeStmt:
			t.walk(m.Body, m, m)
			return false
		case *ast.SwitchStmt:
			t.walk(m.Body, m, continues)
			return false
		case *ast.TypeSwitchStmt:
			t.walk(m.Body, m, continues)
			return false
		case *ast.SelectStmt:
			t.walk(m.Body, m, continues)
			return false
		}
		return true
	})
}

func (t targets) note(s *ast.BranchStmt, breaks, continues ast.Stmt) {
	switch {
	case s.Label != nil:
		if target := t.labels[s.Label.Name]; target != nil {
			t.found[s] = target
		}
	case s.Tok == token.BREAK && breaks != nil:
		t.found[s] = breaks
	case s.Tok == token.CONTINUE && continues != nil:
		t.found[s] = continues
	}
}
