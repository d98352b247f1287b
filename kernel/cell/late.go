package cell

import (
	"go/ast"
	"go/types"
	"slices"
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
	if !ok || !isDeclared(named.Obj()) {
		c.problem(d.decl.Name.Pos(), "a method can only belong to a type that a cell has declared, not to "+t.Name())
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
	return d.decl.Name.Name == "_" || c.attach(d, named, head.Signature())
}

// attach gives a method its object: that of the type's method of the same name, or a new one.
func (c *check) attach(d *declaredFunc, t *types.Named, head *types.Signature) bool {
	old := ownMethod(t, d.decl.Name.Name)
	if problem := c.misfit(d.decl.Name.Name, t, old, head); problem != "" {
		c.problem(d.decl.Name.Pos(), problem)
		return false
	}
	if d.object = old; old == nil {
		d.object = c.addMethod(d, t, head)
	}
	return true
}

// misfit says why a type cannot get a method, which may take the place of old; head is its type with the receiver as the first parameter.
func (c *check) misfit(name string, t *types.Named, old *types.Func, head *types.Signature) string {
	o, _, _ := types.LookupFieldOrMethod(types.NewPointer(t), false, t.Obj().Pkg(), name)
	field, _ := o.(*types.Var)
	full := t.Obj().Name() + "." + name
	switch {
	case isInvalidBase(t):
		return "a pointer or an interface has no methods of its own, so " + t.Obj().Name() + " cannot get the method " + name
	case field != nil && isOwnField(t, field):
		return "field and method with the same name " + name
	case c.isLate(old):
		return "method " + full + " already declared in this cell"
	case old == nil && name == "Error" && types.Identical(withReceiver(head, nil), errorMethod):
		return "the method Error makes an error of " + t.Obj().Name() + ", which its values cannot become: declare the type again together with it"
	case old == nil && t.TypeParams().Len() > 0:
		return "another method for the generic type " + t.Obj().Name() + " belongs in the cell that declares it: declare the type again with its methods"
	case old != nil && !c.sameMethod(old, head):
		return "method " + full + " was declared with another type (" + c.front.typeString(old.Type()) + "): declare the type " + t.Obj().Name() + " again with its methods"
	}
	return ""
}

// errorMethod is the type of the method of error.
var errorMethod = types.NewSignatureType(nil, nil, nil, nil, types.NewTuple(types.NewParam(0, nil, "", types.Typ[types.String])), false)

// sameMethod reports whether a method of a type has the given type, which has the receiver as its first parameter.
func (c *check) sameMethod(m *types.Func, head *types.Signature) bool {
	if d := c.front.session.functions[m]; d != nil {
		return types.Identical(d.body.Type(), head)
	}
	return types.Identical(m.Type(), withReceiver(head, m.Pkg())) && types.Identical(m.Signature().Recv().Type(), head.Params().At(0).Type())
}

// withReceiver makes the first parameter the receiver.
func withReceiver(head *types.Signature, pkg *types.Package) *types.Signature {
	recv := head.Params().At(0)
	params := slices.Collect(head.Params().Variables())[1:]
	return types.NewSignatureType(types.NewParam(recv.Pos(), pkg, recv.Name(), recv.Type()), nil, nil, types.NewTuple(params...), head.Results(), head.Variadic())
}

// addMethod adds a method to a type. It stays a ghost until the cell has run.
func (c *check) addMethod(d *declaredFunc, t *types.Named, head *types.Signature) *types.Func {
	m := types.NewFunc(d.decl.Name.Pos(), t.Obj().Pkg(), d.decl.Name.Name, withReceiver(head, t.Obj().Pkg()))
	t.AddMethod(m)
	c.front.session.ghosts[m] = true
	return m
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
