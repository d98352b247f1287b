package cell

import (
	"fmt"
	"go/ast"
	"go/constant"
	"go/token"
	"go/types"
	"slices"
)

// What an earlier function uses by name may be declared again. Then the function is checked and lowered again in the scope that has come about, and what
// no longer checks says so when it is called. Imports and what is preloaded belong to the cell that a function stands in: these names keep their meaning.

// declaredFunc is a function or method of a cell. Its body is checked as that of a function without a name, whose first parameter is the receiver.
type declaredFunc struct {
	source *source // the cell that it stands in
	decl   *ast.FuncDecl
	object *types.Func // nil for func _
	body   *types.Func // the function without a name
	info   *types.Info
	scope  map[string]types.Object // what the names in it mean that it does not declare itself
	uses   map[string]types.Object // of these, what cells have declared
	calls  map[*types.Func]bool    // the methods of cells that it uses
	unit   *unit                   // what it is lowered to; nil if it is generic
	broken string                  // why it no longer checks; empty if it does

	callees *callees // once they were asked for
}

// checked notes what has become known of a function whose body was checked in pkg.
func (d *declaredFunc) checked(c *check, blank *ast.FuncDecl, pkg *types.Package) {
	d.info = c.info
	d.body, _ = c.info.Defs[blank.Name].(*types.Func)
	d.scope, d.uses, d.calls = map[string]types.Object{}, map[string]types.Object{}, map[*types.Func]bool{}
	ast.Inspect(blank, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.SelectorExpr:
			if s := c.info.Selections[n]; s != nil {
				if m, ok := s.Obj().(*types.Func); ok && fromCell(m) {
					d.calls[m.Origin()] = true
				}
			}
		case *ast.Ident:
			o := pkg.Scope().Lookup(n.Name)
			if o == nil {
				break
			}
			d.scope[n.Name] = o
			if c.info.Uses[n] == o && isDeclared(o) {
				d.uses[n.Name] = o
			}
		}
		return true
	})
}

// isDeclared reports whether an object was declared by a cell; importing declares nothing.
func isDeclared(o types.Object) bool {
	_, isImport := o.(*types.PkgName)
	return o != nil && !isImport && o.Pkg() != nil && o.Pkg().Path() == "main"
}

// receiver returns the type that a method belongs to, or nil for a function.
func (d *declaredFunc) receiver() *types.TypeName {
	if d.object == nil || d.object.Signature().Recv() == nil {
		return nil
	}
	n, ok := types.Unalias(deref(d.object.Signature().Recv().Type())).(*types.Named)
	if !ok {
		return nil
	}
	return n.Obj()
}

// recheck is a function of an earlier cell that is checked again.
type recheck struct {
	old, new *declaredFunc
	blank    *ast.FuncDecl
	given    bool // it keeps its old type: the new one does not check, or cannot be given to the type that a method belongs to
}

// rechecked finds a function by its name.
func (c *check) rechecked(name string) *recheck {
	for _, r := range c.again {
		if r.old.object.Name() == name && r.old.receiver() == nil {
			return r
		}
	}
	return nil
}

// sameDeclaration reports whether a new declaration leaves those who use the old one as they are.
func sameDeclaration(old, o types.Object) bool {
	switch o := o.(type) {
	case *types.Var:
		was, ok := old.(*types.Var)
		return ok && types.Identical(was.Type(), o.Type())
	case *types.Const:
		was, ok := old.(*types.Const)
		return ok && types.Identical(was.Type(), o.Type()) && constant.Compare(was.Val(), token.EQL, o.Val())
	case *types.TypeName:
		was, ok := old.(*types.TypeName)
		return ok && was.IsAlias() && o.IsAlias() && types.Identical(was.Type(), o.Type())
	}
	return false
}

// replaced returns what the cell declares otherwise than earlier cells did: by name, what they had declared.
func (c *check) replaced() map[string]types.Object {
	out := map[string]types.Object{}
	for name, o := range c.names {
		old := c.front.session.declared[name]
		if old != nil && isDeclared(o) && (!sameDeclaration(old, o) || c.other[name]) {
			out[name] = old
		}
	}
	return out
}

// addDependents looks for functions of earlier cells that depend on what the cell declares otherwise, and reports whether there are more than before.
func (c *check) addDependents(functions []*declaredFunc) bool {
	names, methods := map[string]bool{}, map[*types.Func]bool{}
	for name := range c.replaced() {
		names[name] = true
	}
	for _, d := range c.late {
		methods[d.object] = true
	}
	for _, r := range c.again {
		r.spread(names, methods)
	}
	before := len(c.again)
	live := c.live(functions)
	for more := true; more; {
		more = false
		for i, d := range live {
			if d != nil && (d.affected(names, methods) || c.outdated(d) || d.broken != "" && len(c.late) > 0) {
				live[i], more = nil, true
				r := c.newRecheck(d)
				r.spread(names, methods)
				c.again = append(c.again, r)
			}
		}
	}
	return len(c.again) > before
}

// spread makes what depends on a function that is checked again depend on the cell.
func (r *recheck) spread(names map[string]bool, methods map[*types.Func]bool) {
	if r.old.receiver() != nil {
		methods[r.old.object] = true
		return
	}
	names[r.old.object.Name()] = true
}

func (d *declaredFunc) affected(names map[string]bool, methods map[*types.Func]bool) bool {
	for name := range d.uses {
		if names[name] && d.ownType() != name {
			return true
		}
	}
	for m := range d.calls {
		if methods[m] {
			return true
		}
	}
	return false
}

// outdated reports whether a function was checked with a package of the folder that has changed since.
func (c *check) outdated(d *declaredFunc) bool {
	for _, o := range d.scope {
		if p, ok := o.(*types.PkgName); ok && c.renewed(p) != p.Imported() {
			return true
		}
	}
	return false
}

// ownType is the name of the type that a method belongs to. Whatever else is declared under it, in the method it means that type.
func (d *declaredFunc) ownType() string {
	if t := d.receiver(); t != nil {
		return t.Name()
	}
	return ""
}

// live lists the functions of earlier cells that names still reach when the cell has run, and that are not checked again already.
func (c *check) live(functions []*declaredFunc) []*declaredFunc {
	s := c.front.session
	stays := func(o types.Object) bool { return s.declared[o.Name()] == o && !isDeclared(c.names[o.Name()]) }
	var out []*declaredFunc
	for o, d := range s.functions {
		reached := stays(o)
		if t := d.receiver(); t != nil {
			reached = stays(t) && !slices.ContainsFunc(functions, func(f *declaredFunc) bool { return f.object == o })
		}
		if reached && !slices.ContainsFunc(c.again, func(r *recheck) bool { return r.old == d }) {
			out = append(out, d)
		}
	}
	slices.SortFunc(out, func(a, b *declaredFunc) int { return int(a.decl.Pos() - b.decl.Pos()) })
	return out
}

// newRecheck finds out which type a function has now.
func (c *check) newRecheck(d *declaredFunc) *recheck {
	r := &recheck{old: d, new: &declaredFunc{source: d.source, decl: d.decl, object: d.object}, blank: c.blank(d.source, d.decl)}
	pkg := c.scopeOf(r)
	found := c.separately(func() { c.checkHeads(pkg, []ast.Decl{r.blank}) })
	head, _ := c.info.Defs[r.blank.Name].(*types.Func)
	switch {
	case len(found) > 0 || head == nil:
		r.given = true
	case types.Identical(head.Type(), d.body.Type()):
	case d.receiver() != nil:
		r.given = true
	default:
		pkg.SetName(cellPackage(d.source.number))
		r.new.object = types.NewFunc(d.object.Pos(), pkg, d.object.Name(), head.Signature())
	}
	return r
}

// separately returns the problems that f finds.
func (c *check) separately(f func()) problems {
	before := c.found
	c.found = nil
	f()
	found := c.found
	c.found = before
	return found
}

// scopeOf returns a package with the scope of a function that is checked again.
func (c *check) scopeOf(r *recheck) *types.Package {
	pkg := types.NewPackage("main", "cell")
	for name, o := range r.old.scope {
		insert(pkg, name, c.meaning(r.old, name, o))
	}
	return pkg
}

// meaning returns what a name now means in a function in which it has meant o.
func (c *check) meaning(d *declaredFunc, name string, o types.Object) types.Object {
	if p, ok := o.(*types.PkgName); ok {
		return types.NewPkgName(p.Pos(), nil, name, c.renewed(p))
	}
	if !isDeclared(o) || name == d.ownType() {
		return o
	}
	if now := c.names[name]; now != nil && isDeclared(now) {
		return now
	}
	if r := c.rechecked(name); r != nil {
		return r.new.object
	}
	if now := c.front.session.declared[name]; now != nil {
		return now
	}
	return o
}

// checkAgain checks the bodies of the functions of earlier cells that depend on the cell.
func (c *check) checkAgain() {
	for _, r := range c.again {
		pkg := c.scopeOf(r)
		found := c.separately(func() { c.checkFile(pkg, []ast.Decl{r.blank}) })
		pkg.SetName(cellPackage(c.source.number))
		if len(found) == 0 && !r.given {
			r.new.broken = ""
			r.new.checked(c, r.blank, pkg)
			continue
		}
		r.fail(c, found)
	}
}

// fail makes of the function one that says why it no longer checks.
func (r *recheck) fail(c *check, found problems) {
	n := r.new
	n.uses, n.scope, n.calls, n.body, n.info = r.old.uses, c.renewedScope(r.old.scope), r.old.calls, r.old.body, c.info
	if head, ok := c.info.Defs[r.blank.Name].(*types.Func); ok && !r.given {
		n.body = head
	}
	n.broken = n.reason(c.source.number, found)
}

// reason words why a function no longer checks, with what a cell has declared.
func (d *declaredFunc) reason(cell int, found problems) string {
	cause := "its type would be another, so the type that it belongs to has to be declared again"
	if len(found) > 0 {
		cause = found[0].String()
	}
	return fmt.Sprintf("%s of cell %d does not fit since cell %d ran: %s", displayName(d.object), d.source.number, cell, cause)
}
