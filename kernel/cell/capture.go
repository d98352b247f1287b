package cell

import (
	"go/ast"
	"go/token"
	"go/types"
	"slices"
)

// analyse decides which variables of a function are lowered to pointers. Compiled Go makes a new variable each time a declaration is passed; the
// interpreter cannot be trusted with that where it shows: when a variable that is declared in a loop is captured by a function literal or has its address
// taken.
func (l *lowerer) analyse(body ast.Node) {
	a := &analysis{l: l, homes: map[types.Object]home{}}
	a.jumps = len(gotoLabels(body)) > 0
	a.walk(body, home{})
	for o := range a.shared {
		l.shared[o] = true
		if a.homes[o].looped && !l.isGlobal(o) {
			l.heap[o] = true
		}
	}
}

// home is where a variable is declared.
type home struct {
	literal ast.Node // the innermost function literal around it
	looped  bool     // whether a loop inside of that literal is around it
}

type analysis struct {
	l      *lowerer
	homes  map[types.Object]home
	shared map[types.Object]bool // captured or addressed
	jumps  bool
}

func (a *analysis) walk(n ast.Node, at home) {
	at.looped = at.looped || a.jumps
	ast.Inspect(n, func(m ast.Node) bool {
		if m == n || m == nil {
			return true
		}
		switch m := m.(type) {
		case *ast.FuncLit:
			a.walk(m, home{literal: m})
			return false
		case *ast.FuncType: // each call has its own
			for _, id := range slices.Concat(fieldNames(m.Params), fieldNames(m.Results)) {
				if id != nil && a.l.info.Defs[id] != nil {
					a.homes[a.l.info.Defs[id]] = home{literal: at.literal}
				}
			}
			return false
		case *ast.ForStmt:
			a.walk(m, home{at.literal, true})
			return false
		case *ast.RangeStmt:
			a.walkRange(m, at)
			return false
		case *ast.CaseClause:
			if o := a.l.info.Implicits[m]; o != nil {
				a.homes[o] = at
			}
		case *ast.Ident:
			a.ident(m, at)
		case *ast.UnaryExpr:
			if m.Op == token.AND {
				a.address(m.X)
			}
		case *ast.SliceExpr:
			if _, ok := a.l.typeOf(m.X).Underlying().(*types.Array); ok {
				a.address(m.X)
			}
		case *ast.SelectorExpr:
			a.selector(m)
		}
		return true
	})
}

// walkRange treats the body of a loop over a function as the function literal that it becomes.
func (a *analysis) walkRange(r *ast.RangeStmt, at home) {
	if _, ok := a.l.typeOf(r.X).Underlying().(*types.Signature); ok {
		a.walk(r, home{literal: r})
		return
	}
	a.walk(r, home{at.literal, true})
}

func (a *analysis) ident(id *ast.Ident, at home) {
	if o, ok := a.l.info.Defs[id].(*types.Var); ok {
		a.homes[o] = at
		return
	}
	if o, ok := a.l.info.Uses[id].(*types.Var); ok {
		if h, known := a.homes[o]; known && h.literal != at.literal {
			a.share(o)
		}
	}
}

// selector notes the variable whose address a method with a pointer receiver takes.
func (a *analysis) selector(e *ast.SelectorExpr) {
	s := a.l.info.Selections[e]
	if s == nil || s.Kind() != types.MethodVal {
		return
	}
	recv := s.Obj().(*types.Func).Signature().Recv()
	if _, ok := recv.Type().Underlying().(*types.Pointer); ok {
		a.address(e.X)
	}
}

// address notes the variable that e is a part of.
func (a *analysis) address(e ast.Expr) {
	switch e := ast.Unparen(e).(type) {
	case *ast.Ident:
		if o, ok := a.l.info.ObjectOf(e).(*types.Var); ok {
			a.share(o)
		}
	case *ast.SelectorExpr:
		a.address(e.X)
	case *ast.IndexExpr:
		if _, ok := a.l.typeOf(e.X).Underlying().(*types.Array); ok {
			a.address(e.X)
		}
	}
}

func (a *analysis) share(o types.Object) {
	if a.shared == nil {
		a.shared = map[types.Object]bool{}
	}
	a.shared[o] = true
}

// gotoLabels returns the labels that goto statements of a function jump to.
func gotoLabels(n ast.Node) map[string]bool {
	labels := map[string]bool{}
	ast.Inspect(n, func(n ast.Node) bool {
		if b, ok := n.(*ast.BranchStmt); ok && b.Tok == token.GOTO {
			labels[b.Label.Name] = true
		}
		return true
	})
	return labels
}
