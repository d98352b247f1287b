package cell

import (
	"go/ast"
	"go/token"
	"go/types"
)

// stop lets an interrupt end a loop.
func (l *lowerer) stop() {
	l.emit("if %s { %s.Halt() }", stopName, runtimeName)
}

func (l *lowerer) forStmt(s *ast.ForStmt) {
	l.emit("{")
	if s.Init != nil {
		l.stmt(s.Init)
	}
	cond := ""
	if s.Cond != nil {
		cond = l.expr(s.Cond)
	}
	post := ""
	if s.Post != nil {
		post = l.capture(func() { l.stmt(s.Post) })
	}
	if post == "" {
		l.emit("for %s {", cond)
	} else {
		l.refuse(s, "loops with a post statement cannot be run here yet")
	}
	l.stop()
	l.block(s.Body.List)
	l.emit("}")
	l.emit("}")
}

func (l *lowerer) rangeStmt(s *ast.RangeStmt) {
	if _, ok := l.info.Types[s.X].Type.Underlying().(*types.Slice); !ok || s.Tok != token.DEFINE {
		l.refuse(s, "this loop cannot be run here yet")
		return
	}
	key, value := "_", "_"
	if s.Key != nil {
		key = l.local(l.info.Defs[s.Key.(*ast.Ident)])
	}
	if s.Value != nil {
		value = l.local(l.info.Defs[s.Value.(*ast.Ident)])
	}
	l.emit("for %s, %s := range %s {", key, value, l.expr(s.X))
	l.stop()
	l.block(s.Body.List)
	l.emit("}")
}
