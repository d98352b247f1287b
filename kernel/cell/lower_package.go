package cell

import (
	"go/ast"
	"go/types"
)

// The start of packages of the notebook's folder: variables get their first values and the functions init run, as in a program, when a cell first imports
// the package, or its files have changed.

// startPackages lowers the start of the packages that the cell imports, and returns the names of the functions that do it.
func (l *lowerer) startPackages(c *checked, p *Prepared) []string {
	seen := map[*localPackage]bool{}
	var list []*localPackage
	var visit func(*localPackage)
	visit = func(q *localPackage) {
		if q == nil || seen[q] || l.front.session.started[q.pkg] {
			return
		}
		seen[q] = true
		for _, i := range q.imports {
			visit(i)
		}
		list = append(list, q)
	}
	for _, path := range c.localImports() {
		visit(l.front.importer.folder.packages[path])
	}
	var names []string
	for _, q := range list {
		names = append(names, l.startPackage(q))
		p.commit(l, func(s *session) { s.started[q.pkg] = true })
	}
	p.commits = append(p.commits, commit{0, func(s *session) {
		for o, name := range l.names {
			if o != nil && o.Pkg() != nil && isLocal(o.Pkg()) && o.Parent() == o.Pkg().Scope() {
				s.slots[o] = name
			}
		}
	}})
	return names
}

// localImports lists the paths of the packages of the folder that the cell imports.
func (c *checked) localImports() []string {
	var out []string
	for _, name := range sortedKeys(c.names) {
		if p, ok := c.names[name].(*types.PkgName); ok && isLocal(p.Imported()) {
			out = append(out, p.Imported().Path())
		}
	}
	return out
}

// startPackage lowers the start of a package to a function.
func (l *lowerer) startPackage(q *localPackage) string {
	name, outer, info := l.fresh("start_"+q.pkg.Name()), l.fn, l.info
	l.info = q.info
	l.begin(name, "package "+q.pkg.Name())
	l.enter(&ast.FuncType{}, new(types.Signature), &ast.BlockStmt{})
	body := l.capture(func() {
		for _, i := range q.order {
			l.initialise(i)
		}
		for _, f := range q.inits {
			l.at = l.place(f.Pos())
			l.emit("%s()", l.name(f))
		}
	})
	l.emit("func %s() {%s", name, l.tag())
	l.lines = append(l.lines, body)
	l.emit("}")
	l.end()
	l.fn, l.info = outer, info
	return name
}

// initialise gives package variables their first values.
func (l *lowerer) initialise(i *types.Initializer) {
	l.at = l.place(i.Rhs.Pos())
	l.analyse(i.Rhs)
	l.mark(&ast.ExprStmt{X: i.Rhs})
	var values []string
	var kinds []types.Type
	if len(i.Lhs) == 1 {
		values, kinds = []string{l.value(i.Rhs, i.Lhs[0].Type())}, []types.Type{i.Lhs[0].Type()}
	} else {
		left := make([]ast.Expr, len(i.Lhs))
		for k, v := range i.Lhs {
			left[k] = ast.NewIdent(v.Name())
		}
		values, kinds = l.tuple(i.Rhs, left)
	}
	for k, v := range i.Lhs {
		if v.Name() == "_" {
			l.emit("_ = %s", values[k])
			continue
		}
		l.store(l.name(v), l.convert(values[k], kinds[k], v.Type()), l.typ(v.Type()))
	}
}

// packageVariable gives a variable of a package its slot.
func (l *lowerer) packageVariable(o types.Object) string {
	name := l.fresh(o.Pkg().Name() + "_" + o.Name())
	l.names[o] = name
	l.helpers[name] = "var " + name + " " + l.typ(o.Type())
	return name
}
