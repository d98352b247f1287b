package cell

import (
	"go/ast"
	"go/types"
)

// Methods of types that earlier cells have declared. One that the type has already gets a new body; another is added to the type, and interfaces see it.

// takeLate takes the methods of types of earlier cells out of declarations: go/types knows methods only beside their type.
func (c *check) takeLate(decls []ast.Decl) []ast.Decl {
	var rest []ast.Decl
	for _, d := range decls {
		if f, ok := d.(*ast.FuncDecl); ok && c.earlierType(f) != nil {
			c.late = append(c.late, &declaredFunc{source: c.source, decl: f})
			continue
		}
		rest = append(rest, d)
	}
	return rest
}

// earlierType returns the type that a method belongs to, if that is not declared in this cell.
func (c *check) earlierType(d *ast.FuncDecl) *types.TypeName {
	if d.Recv == nil || len(d.Recv.List) != 1 {
		return nil
	}
	base, _ := receiverBase(d.Recv.List[0].Type)
	for range 10 { // an alias may stand for another
		if base == nil {
			return nil
		}
		spec := c.source.typeSpec(base.Name)
		if spec == nil {
			t, _ := c.lookup(base.Name).(*types.TypeName)
			return t
		}
		if !spec.Assign.IsValid() {
			return nil
		}
		base, _ = receiverBase(spec.Type)
	}
	return nil
}

// signLate finds out the types of methods of earlier types and adds the methods to them.
func (c *check) signLate() {
	var kept []*declaredFunc
	for _, d := range c.late {
		if c.signOne(d, c.earlierType(d.decl)) {
			kept = append(kept, d)
		}
	}
	c.late = kept
}

// signOne reports whether it has given the method d of a type its object.
func (c *check) signOne(d *declaredFunc, t *types.TypeName) bool {
	named, ok := types.Unalias(t.Type()).(*types.Named)
	pos := d.decl.Name.Pos()
	switch {
	case !ok || !fromCell(named.Obj()):
		c.problem(pos, "a method can only belong to a type that a cell has declared, not to "+t.Name())
		return false
	case named.TypeParams().Len() > 0:
		c.problem(pos, "methods of the generic type "+t.Name()+" belong in the cell that declares it: declare it again together with this one")
		return false
	}
	blank := c.blank(d.source, d.decl)
	pkg := c.newPackage(blank)
	found := c.separately(func() { c.checkHeads(pkg, []ast.Decl{blank}) })
	head, _ := c.info.Defs[blank.Name].(*types.Func)
	if len(found) > 0 || head == nil {
		c.found = append(c.found, found...)
		return false
	}
	return c.attach(d, named, head.Signature())
}

// attach gives a method its object: that of the type's method of the same name, or a new one. It stays a ghost until the cell has run.
func (c *check) attach(d *declaredFunc, t *types.Named, head *types.Signature) bool {
	name, pos := d.decl.Name.Name, d.decl.Name.Pos()
	recv := head.Params().At(0)
	params := make([]*types.Var, 0, head.Params().Len())
	for i := 1; i < head.Params().Len(); i++ {
		params = append(params, head.Params().At(i))
	}
	sig := types.NewSignatureType(types.NewParam(recv.Pos(), t.Obj().Pkg(), recv.Name(), recv.Type()), nil, nil, types.NewTuple(params...), head.Results(), head.Variadic())
	o, _, _ := types.LookupFieldOrMethod(types.NewPointer(t), false, t.Obj().Pkg(), name)
	old := ownMethod(t, name)
	switch v, isField := o.(*types.Var); {
	case name == "_":
		return true
	case isInvalidBase(t):
		c.problem(pos, "a pointer or an interface has no methods of its own, so "+t.Obj().Name()+" cannot get the method "+name)
	case isField && v.IsField() && isOwnField(t, v):
		c.problem(pos, "field and method with the same name "+name)
	case c.isLate(old):
		c.problem(pos, "method "+t.Obj().Name()+"."+name+" already declared in this cell")
	case old != nil && (!types.Identical(old.Type(), sig) || !types.Identical(old.Signature().Recv().Type(), recv.Type())):
		c.problem(pos, "method "+t.Obj().Name()+"."+name+" was declared with another type ("+c.front.typeString(old.Type())+"): declare the type "+t.Obj().Name()+
			" again together with its methods")
	case old != nil:
		d.object = old
		return true
	default:
		d.object = types.NewFunc(pos, t.Obj().Pkg(), name, sig)
		t.AddMethod(d.object)
		c.front.session.ghosts[d.object] = true
		return true
	}
	return false
}

func (c *check) isLate(m *types.Func) bool {
	for _, d := range c.late {
		if m != nil && d.object == m {
			return true
		}
	}
	return false
}

// ownMethod returns the method that a type itself has under a name, or nil.
func ownMethod(t *types.Named, name string) *types.Func {
	for m := range t.Methods() {
		if m.Name() == name {
			return m
		}
	}
	return nil
}

func isInvalidBase(t *types.Named) bool {
	_, isPointer := t.Underlying().(*types.Pointer)
	return isPointer || types.IsInterface(t)
}

func isOwnField(t *types.Named, v *types.Var) bool {
	s, ok := t.Underlying().(*types.Struct)
	for i := 0; ok && i < s.NumFields(); i++ {
		if s.Field(i) == v {
			return true
		}
	}
	return false
}

// reportGhosts complains about methods whose cell did not run: the type has them, for go/types forgets nothing.
func (c *check) reportGhosts() {
	ghosts := c.front.session.ghosts
	if len(ghosts) == 0 {
		return
	}
	for e, s := range c.info.Selections {
		if m, ok := s.Obj().(*types.Func); ok && ghosts[m] && !c.isLate(m) {
			c.problem(e.Sel.Pos(), "the cell that declares the method "+m.Name()+" did not run")
		}
	}
}
