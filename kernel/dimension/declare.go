package dimension

import (
	"go/ast"
	"go/types"
	"slices"
)

// Unnamed finds exported constants and variables of a package that are floats without naming a quantity, and such fields of exported structs in which other
// fields name one. Users of the package learn dimensions from nothing else: the type that go/types derives for a variable from its value may bear the
// alias of an operand.
func (c *Checker) Unnamed(src Source) []Finding {
	var found []Finding
	for _, n := range src.Nodes {
		file, ok := n.(*ast.File)
		if !ok {
			continue
		}
		for _, d := range file.Decls {
			if d, ok := d.(*ast.GenDecl); ok {
				for _, s := range d.Specs {
					found = append(found, c.unnamedIn(src.Info, s)...)
				}
			}
		}
	}
	return found
}

func (c *Checker) unnamedIn(info *types.Info, s ast.Spec) []Finding {
	switch s := s.(type) {
	case *ast.ValueSpec:
		return c.unnamed(info, s.Names, s.Type)
	case *ast.TypeSpec:
		t, ok := s.Type.(*ast.StructType)
		if !ok || !s.Name.IsExported() || !slices.ContainsFunc(t.Fields.List, func(f *ast.Field) bool { return c.names(info, f.Type) }) {
			return nil
		}
		var found []Finding
		for _, f := range t.Fields.List {
			found = append(found, c.unnamed(info, f.Names, f.Type)...)
		}
		return found
	}
	return nil
}

// unnamed finds the exported floats among names that are declared with one type, or without.
func (c *Checker) unnamed(info *types.Info, names []*ast.Ident, typ ast.Expr) []Finding {
	var found []Finding
	for _, id := range names {
		o := info.Defs[id]
		if o == nil || !id.IsExported() || !isFloat(o.Type()) || c.names(info, typ) {
			continue
		}
		found = append(found, Finding{Pos: id.Pos(), End: id.End(), Severity: Error, Message: id.Name + " is exported and does not name its quantity"})
	}
	return found
}

// names reports whether a type expression names a quantity.
func (c *Checker) names(info *types.Info, e ast.Expr) bool {
	if e == nil {
		return false
	}
	for t := info.TypeOf(e); ; {
		a, ok := t.(*types.Alias)
		if !ok {
			return false
		}
		if _, ok := c.kindOf(a.Obj()); ok {
			return true
		}
		t = a.Rhs()
	}
}
