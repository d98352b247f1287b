package cell

import (
	"go/ast"
	"go/token"
	"go/types"

	"foreplane/kernel/cell/internal/ledger"
)

// effects tells which of the names that live between cells a checked cell declares, reads and sets.
func (f *Front) effects(c *checked) ledger.Effects {
	r := &reader{info: c.info, names: map[types.Object]string{}}
	for name, o := range f.session.names {
		r.names[o] = name
	}
	e := ledger.Effects{Declares: map[string]bool{}, Functions: map[string]ledger.Access{}, Calls: c.calls()}
	for _, s := range c.stmts {
		r.read(&e.Access, s)
	}
	if c.last != nil {
		r.read(&e.Access, c.last)
	}
	for _, d := range c.source.decls.Decls {
		if d, ok := d.(*ast.GenDecl); ok && d.Tok != token.IMPORT {
			r.read(&e.Access, d)
		}
	}
	for name, o := range c.names {
		if _, imported := o.(*types.PkgName); !imported {
			r.names[o] = name
			e.Declares[name] = true
		}
	}
	for _, d := range c.functions {
		if d.object == nil {
			continue
		}
		var a ledger.Access
		r.read(&a, d.decl.Type)
		r.read(&a, d.decl.Body)
		name := functionName(d.object)
		e.Functions[name] = a
		e.Declares[name] = true
	}
	return e
}

// calls lists the functions and methods of the cell itself that its statements mention.
func (c *checked) calls() map[string]bool {
	names := map[string]bool{}
	mentions := func(n ast.Node) bool {
		if id, ok := n.(*ast.Ident); ok {
			if f, ok := c.info.Uses[id].(*types.Func); ok && f.Pkg() != nil && f.Pkg().Path() == "main" {
				names[functionName(f.Origin())] = true
			}
		}
		return true
	}
	for _, s := range c.stmts {
		ast.Inspect(s, mentions)
	}
	if c.last != nil {
		ast.Inspect(c.last, mentions)
	}
	return names
}

// reader collects the names that pieces of a cell read and set.
type reader struct {
	info  *types.Info
	names map[types.Object]string // of what lives between cells
}

func (r *reader) read(a *ledger.Access, n ast.Node) {
	targets := map[*ast.Ident]bool{} // of plain assignments, which do not read them
	set := func(target ast.Expr, plain bool) {
		if id := root(target); id != nil && r.names[r.info.Uses[id]] != "" {
			a.Add(id.Name, true)
			targets[id] = plain && ast.Unparen(target) == id
		}
	}
	ast.Inspect(n, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.AssignStmt:
			for _, target := range n.Lhs {
				if n.Tok != token.DEFINE {
					set(target, n.Tok == token.ASSIGN)
				}
			}
		case *ast.IncDecStmt:
			set(n.X, false)
		case *ast.RangeStmt:
			if n.Tok == token.ASSIGN {
				set(n.Key, true)
				set(n.Value, true)
			}
		case *ast.Ident:
			if !targets[n] {
				r.mention(a, n)
			}
		}
		return true
	})
}

// mention notes a name that is read: of an earlier cell, or a method of one of its types.
func (r *reader) mention(a *ledger.Access, id *ast.Ident) {
	o := r.info.Uses[id]
	if name := r.names[o]; name != "" {
		a.Add(name, false)
	}
	if f, ok := o.(*types.Func); ok && f.Signature().Recv() != nil && f.Pkg() != nil && f.Pkg().Path() == "main" {
		a.Add(functionName(f.Origin()), false)
	}
}

// root returns the variable that an assignment changes: x for x.f, x[i] and their like, nil behind a * or a call.
func root(e ast.Expr) *ast.Ident {
	switch e := e.(type) {
	case *ast.Ident:
		return e
	case *ast.ParenExpr:
		return root(e.X)
	case *ast.SelectorExpr:
		return root(e.X)
	case *ast.IndexExpr:
		return root(e.X)
	}
	return nil
}

// functionName is the name of a function, or Type.Method.
func functionName(f *types.Func) string {
	recv := f.Signature().Recv()
	if recv == nil {
		return f.Name()
	}
	if named, ok := types.Unalias(deref(recv.Type())).(*types.Named); ok {
		return named.Obj().Name() + "." + f.Name()
	}
	return f.Name()
}
