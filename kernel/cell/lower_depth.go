package cell

import (
	"go/ast"
	"go/types"
	"slices"
)

// A function that may call itself, in whatever way, lets the machine end it: at the depth at which the stack is full, and when the cell is interrupted. Every
// cycle of calls has a function in it that is known here: either all its calls name the functions that they call, and then it is found by following
// these, or one of them calls what is only known when it runs, a function value, a method of an interface, or compiled code that calls back. Function
// literals are always tested, for the sake of loops in compiled code that call them, unless they are deferred.

// test lets the current function be ended at its start.
func (l *lowerer) test() {
	if l.fn.tested {
		l.stop()
	}
}

// callees is what is known of the calls in a function.
type callees struct {
	named   []*types.Func // of cells
	unknown bool          // it may call any other
}

// calleesIn finds the calls in a function, also those in function literals inside of it.
func calleesIn(body ast.Node, info *types.Info) callees {
	var c callees
	ast.Inspect(body, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.CallExpr:
			c.add(n, info)
		case *ast.RangeStmt:
			if t := info.TypeOf(n.X); t != nil {
				_, overFunction := t.Underlying().(*types.Signature)
				c.unknown = c.unknown || overFunction
			}
		}
		return true
	})
	return c
}

func (c *callees) add(e *ast.CallExpr, info *types.Info) {
	tv := info.Types[e.Fun]
	fun := ast.Unparen(e.Fun)
	if _, ok := fun.(*ast.FuncLit); ok || tv.IsType() || tv.IsBuiltin() {
		return
	}
	switch f := calledFunc(fun, info); {
	case f == nil || types.IsInterface(recvType(f)) || isTypeParam(recvType(f)):
		c.unknown = true
	case fromCell(f) || fromSource(f.Pkg()):
		c.named = append(c.named, f.Origin())
	case f.Pkg() != nil && f.Pkg().Path() != builtinPath:
		c.unknown = c.unknown || mayCallBack(f)
	}
}

// calledFunc returns the function or method that an expression names, or nil.
func calledFunc(fun ast.Expr, info *types.Info) *types.Func {
	switch f := fun.(type) {
	case *ast.IndexExpr:
		return calledFunc(ast.Unparen(f.X), info)
	case *ast.IndexListExpr:
		return calledFunc(ast.Unparen(f.X), info)
	case *ast.Ident:
		o, _ := info.Uses[f].(*types.Func)
		return o
	case *ast.SelectorExpr:
		if s := info.Selections[f]; s != nil && s.Kind() == types.MethodVal && (types.IsInterface(s.Recv()) || isTypeParam(s.Recv())) {
			return nil
		}
		o, _ := info.Uses[f.Sel].(*types.Func)
		return o
	}
	return nil
}

func isTypeParam(t types.Type) bool {
	_, ok := types.Unalias(t).(*types.TypeParam)
	return ok
}

// mayCallBack reports whether a compiled function may call functions of cells: it may unless all that it gets is plain data.
func mayCallBack(f *types.Func) bool {
	if f.Signature().Recv() != nil {
		return true
	}
	for v := range f.Signature().Params().Variables() {
		if !isPlain(v.Type()) {
			return true
		}
	}
	return false
}

func isPlain(t types.Type) bool {
	switch u := t.Underlying().(type) {
	case *types.Basic:
		return true
	case *types.Slice:
		return isPlain(u.Elem())
	case *types.Array:
		return isPlain(u.Elem())
	}
	return false
}

// mayRecur reports whether a function of a cell may come to call itself.
func (l *lowerer) mayRecur(d *declaredFunc) bool {
	c := l.calleesOf(d)
	return c.unknown || l.reaches(c.named, displayName(d.object), map[*types.Func]bool{})
}

// reaches reports whether one of the functions has a name, or leads to one that has by calls that name what they call. The name may be that of another
// version.
func (l *lowerer) reaches(from []*types.Func, name string, seen map[*types.Func]bool) bool {
	for _, f := range from {
		if displayName(f) == name {
			return true
		}
		if seen[f] {
			continue
		}
		seen[f] = true
		if next := l.source(f); next != nil && l.reaches(l.calleesOf(next).named, name, seen) {
			return true
		}
	}
	return false
}

func (l *lowerer) calleesOf(d *declaredFunc) callees {
	if d.callees == nil {
		c := calleesIn(d.decl.Body, d.info)
		d.callees = &c
	}
	return *d.callees
}

// noteCalls notes that a statement, without the statements inside it, calls functions of cells: that is where its function may be while these run.
func (l *lowerer) noteCalls(s ast.Stmt) {
	calls := itself(s, func(n ast.Node) bool {
		var c callees
		if call, ok := n.(*ast.CallExpr); ok {
			c.add(call, l.info)
		}
		return c.unknown || len(c.named) > 0
	})
	if calls {
		l.noteCall()
	}
}

// noteCall notes that the current statement calls functions of cells.
func (l *lowerer) noteCall() {
	if f := &l.program.Functions[l.fn.index]; !slices.Contains(f.Calls, l.at) {
		f.Calls = append(f.Calls, l.at)
	}
}
