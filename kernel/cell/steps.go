package cell

import (
	"go/ast"
	"go/types"
	"strconv"
)

// steps says of each object that a cell declares, or changes, after how many of its statements it is complete. A variable is when its statement has run;
// types, constants and functions are from the start, unless they need such a variable.
type steps map[types.Object]int

// timetable works out the steps of a cell that is checked.
func (c *checked) timetable(decls []ast.Decl) {
	c.steps = steps{}
	for i, s := range c.stmts {
		for _, id := range declaredBy([]ast.Stmt{s}) {
			if o := c.info.Defs[id]; o != nil && id.Name != "_" {
				c.steps[o] = i + 1
			}
		}
	}
	if len(c.steps) == 0 {
		return
	}
	needs := c.needs(decls)
	for changed := true; changed; {
		changed = false
		for o, list := range needs {
			for _, n := range list {
				if c.steps[n] > c.steps[o] {
					c.steps[o], changed = c.steps[n], true
				}
			}
		}
	}
}

// needs lists what the declarations of a cell, and the functions that are checked again with it, depend on. A type depends on its methods.
func (c *checked) needs(decls []ast.Decl) map[types.Object][]types.Object {
	needs := map[types.Object][]types.Object{}
	functions := c.functions
	for _, r := range c.again {
		functions = append(functions[:len(functions):len(functions)], r.new)
	}
	for _, d := range functions {
		if d.object == nil {
			continue
		}
		for _, o := range d.uses {
			needs[d.object] = append(needs[d.object], o)
		}
		for m := range d.calls {
			needs[d.object] = append(needs[d.object], m)
		}
		if t := d.receiver(); t != nil && c.names[t.Name()] == t {
			needs[t] = append(needs[t], d.object)
		}
	}
	for _, d := range decls {
		g, ok := d.(*ast.GenDecl)
		if !ok {
			continue
		}
		for _, spec := range g.Specs {
			c.needsOfSpec(spec, needs)
		}
	}
	return needs
}

// needsOfSpec adds what the declaration of a type or of constants mentions.
func (c *checked) needsOfSpec(spec ast.Spec, needs map[types.Object][]types.Object) {
	var declared, used []types.Object
	ast.Inspect(spec, func(n ast.Node) bool {
		if id, ok := n.(*ast.Ident); ok {
			if o := c.info.Defs[id]; o != nil && c.names[id.Name] == o {
				declared = append(declared, o)
			} else if o := c.info.Uses[id]; o != nil && c.names[id.Name] == o {
				used = append(used, o)
			}
		}
		return true
	})
	for _, o := range declared {
		needs[o] = append(needs[o], used...)
	}
}

// early finds functions of the cell that its statements use before the variables are there that the functions need.
func (c *check) early(k *checked) {
	for i, s := range k.stmts {
		ast.Inspect(s, func(n ast.Node) bool {
			if _, ok := n.(*ast.FuncLit); ok {
				return false // it may be called later
			}
			id, ok := n.(*ast.Ident)
			if !ok {
				return true
			}
			if f, ok := k.info.Uses[id].(*types.Func); ok && k.names[id.Name] == f && k.steps[f] > i {
				at := c.front.files.place(k.stmts[k.steps[f]-1].Pos())
				c.problem(id.Pos(), f.Name()+" needs a variable that is declared only on line "+strconv.Itoa(at.Line))
			}
			return true
		})
	}
}
