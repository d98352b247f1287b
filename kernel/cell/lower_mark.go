package cell

import (
	"go/ast"
	"go/token"
	"go/types"
)

// mark leaves the place of a statement that can panic, for the report of a panic, or the number of its scene, whose witness knows the place.
func (l *lowerer) mark(s ast.Stmt) {
	here := l.fn.witness.scenes[s]
	if here == nil && !l.risky(s) {
		return
	}
	if !l.quiet {
		l.fn.marked = true
		l.noteCalls(s)
		if here == nil || here.calls {
			l.emit("%s = %d", l.fn.mark, l.at)
		}
	}
	if here == nil {
		l.leaveScene()
		return
	}
	l.enterScene(here)
}

// markAgain is mark where other statements have been lowered since the statement was begun.
func (l *lowerer) markAgain(s ast.Stmt) {
	l.at = l.place(s.Pos())
	l.mark(s)
}

// risky reports whether a statement itself, without the statements inside it, can panic.
func (l *lowerer) risky(s ast.Stmt) bool {
	return itself(s, func(n ast.Node) bool {
		switch n := n.(type) {
		case ast.Expr:
			return l.riskyExpr(n)
		case *ast.AssignStmt:
			return l.riskyAssign(n)
		case *ast.SendStmt, *ast.SelectStmt, *ast.GoStmt, *ast.DeferStmt:
			return true
		}
		return false
	})
}

// itself reports whether is holds for a part of a statement, without the statements inside it.
func itself(s ast.Stmt, is func(ast.Node) bool) bool {
	found := false
	ast.Inspect(s, func(n ast.Node) bool {
		switch n := n.(type) {
		case nil:
			return false
		case *ast.BlockStmt:
			return n == ast.Node(s)
		case *ast.FuncLit, *ast.CaseClause, *ast.CommClause:
			return false
		}
		found = found || is(n)
		return !found
	})
	return found
}

func (l *lowerer) riskyAssign(s *ast.AssignStmt) bool {
	switch s.Tok {
	case token.QUO_ASSIGN, token.REM_ASSIGN, token.SHL_ASSIGN, token.SHR_ASSIGN:
		return l.riskyOperation(s.Tok, s.Rhs[0])
	}
	for _, e := range s.Lhs {
		if i, ok := e.(*ast.IndexExpr); ok && isMap(l.typeOf(i.X)) {
			return true
		}
	}
	return false
}

func isMap(t types.Type) bool {
	_, ok := t.Underlying().(*types.Map)
	return ok
}

// riskyOperation reports whether an operation with y on the right can panic.
func (l *lowerer) riskyOperation(op token.Token, y ast.Expr) bool {
	b, ok := types.Default(l.typeOf(y)).Underlying().(*types.Basic)
	if l.info.Types[y].Value != nil || !ok || b.Info()&types.IsInteger == 0 {
		return false
	}
	switch op {
	case token.SHL, token.SHR, token.SHL_ASSIGN, token.SHR_ASSIGN:
		return b.Info()&types.IsUnsigned == 0
	}
	return op == token.QUO || op == token.REM || op == token.QUO_ASSIGN || op == token.REM_ASSIGN
}

func (l *lowerer) riskyExpr(e ast.Expr) bool {
	tv := l.info.Types[e]
	if tv.Value != nil || tv.IsType() {
		return false
	}
	switch e := e.(type) {
	case *ast.CallExpr:
		return l.riskyCall(e)
	case *ast.IndexExpr:
		return !isMap(l.typeOf(e.X)) || types.IsInterface(l.typeOf(e.X).Underlying().(*types.Map).Key())
	case *ast.SliceExpr, *ast.StarExpr, *ast.TypeAssertExpr:
		return true
	case *ast.UnaryExpr:
		return e.Op == token.ARROW
	case *ast.SelectorExpr:
		s := l.info.Selections[e]
		return s != nil && (s.Indirect() || isPointer(l.typeOf(e.X)))
	case *ast.BinaryExpr:
		return l.riskyOperation(e.Op, e.Y) || types.IsInterface(l.typeOf(e.X)) && (e.Op == token.EQL || e.Op == token.NEQ)
	}
	return false
}

// riskyCall reports whether a call can panic: all can, except conversions and some predeclared functions.
func (l *lowerer) riskyCall(e *ast.CallExpr) bool {
	fun := l.info.Types[e.Fun]
	if fun.IsType() {
		_, slice := l.typeOf(e.Args[0]).Underlying().(*types.Slice)
		return slice
	}
	if !fun.IsBuiltin() {
		return true
	}
	switch builtinName(e.Fun) {
	case "len", "cap", "append", "copy", "min", "max", "complex", "real", "imag", "new", "recover", "print", "println", "delete", "clear":
		return false
	}
	return true
}
