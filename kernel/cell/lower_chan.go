package cell

import (
	"fmt"
	"go/ast"
	"go/types"
	"strings"
)

// Channel operations go through the machine, so that an interrupt can end one that waits.

// receive lowers <-c.
func (l *lowerer) receive(e *ast.UnaryExpr) string {
	t := elem(l.typeOf(e.X))
	return l.received(runtimeName+".Receive("+l.open(e.X)+")", t)
}

// received turns what the machine has received into a value of type t.
func (l *lowerer) received(x string, t types.Type) string {
	if types.IsInterface(t) {
		if types.Identical(t, errorType) {
			return runtimeName + ".Error(" + x + ")"
		}
		return l.fromOpen(x, t)
	}
	return l.unboxed(x, t)
}

func (l *lowerer) tupleReceive(e *ast.UnaryExpr) ([]string, []types.Type) {
	t := elem(l.typeOf(e.X))
	raw, v, ok := l.fresh("value"), l.fresh("value"), l.fresh("ok")
	l.emit("%s, %s := %s.ReceiveOK(%s)", raw, ok, runtimeName, l.open(e.X))
	l.emit("var %s %s = %s", v, l.typ(t), l.received(raw, t))
	return []string{v, ok}, []types.Type{t, types.Typ[types.Bool]}
}

// selectStmt lowers select to a switch over the number of the case that the machine has chosen.
func (l *lowerer) selectStmt(s *ast.SelectStmt, label string) {
	var cases []string
	hasDefault := false
	for _, c := range s.Body.List {
		switch comm := c.(*ast.CommClause).Comm.(type) {
		case nil:
			hasDefault = true
		case *ast.SendStmt:
			cases = append(cases, fmt.Sprintf("%s.Sending(%s, %s)", runtimeName, l.open(comm.Chan), l.value(comm.Value, elem(l.typeOf(comm.Chan)))))
		default:
			cases = append(cases, fmt.Sprintf("%s.Receiving(%s)", runtimeName, l.open(receiveOf(comm).X)))
		}
	}
	l.emit("{")
	k, v, ok := l.fresh("case"), l.fresh("value"), l.fresh("ok")
	l.emit("%s, %s, %s := %s.Select(%s)", k, v, ok, runtimeName, strings.Join(append([]string{fmt.Sprint(hasDefault)}, cases...), ", "))
	l.emitLabel(label)
	l.emit("switch {")
	n := 0
	for _, c := range s.Body.List {
		c := c.(*ast.CommClause)
		l.at = l.place(c.Pos())
		if c.Comm == nil {
			l.emit("case %s < 0:", k)
		} else {
			l.emit("case %s == %d:", k, n)
			n++
			l.assignReceived(c.Comm, v, ok)
		}
		l.block(c.Body)
	}
	l.emit("}")
	l.emit("}")
}

// receiveOf returns the receive operation of a case of a select.
func receiveOf(s ast.Stmt) *ast.UnaryExpr {
	switch s := s.(type) {
	case *ast.ExprStmt:
		return ast.Unparen(s.X).(*ast.UnaryExpr)
	case *ast.AssignStmt:
		return ast.Unparen(s.Rhs[0]).(*ast.UnaryExpr)
	}
	return nil
}

// assignReceived assigns what a case of a select has received.
func (l *lowerer) assignReceived(comm ast.Stmt, v, ok string) {
	s, isAssign := comm.(*ast.AssignStmt)
	if !isAssign {
		return
	}
	t := elem(l.typeOf(receiveOf(s).X))
	if !isBlank(s.Lhs[0]) {
		l.target(s.Lhs[0])(l.convert(l.received(v, t), t, l.targetType(s.Lhs[0])))
	}
	if len(s.Lhs) > 1 && !isBlank(s.Lhs[1]) {
		l.target(s.Lhs[1])(ok)
	}
}
