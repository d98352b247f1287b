package cell

import (
	"go/ast"
	"go/types"
	"slices"
	"strings"
)

// composite lowers a composite literal; in a list, the & of an element and its type may be left out.
func (l *lowerer) composite(e *ast.CompositeLit) string {
	t := l.typeOf(e)
	if p, ok := t.Underlying().(*types.Pointer); ok {
		return l.hide(l.addressOfLiteral(e, p.Elem()), t)
	}
	return l.hide(l.compositeOf(e, t), t)
}

// compositeOf lowers a composite literal of type t.
func (l *lowerer) compositeOf(e *ast.CompositeLit, t types.Type) string {
	var parts []string
	switch u := t.Underlying().(type) {
	case *types.Struct:
		parts = l.fieldValues(e, t, u)
	case *types.Map:
		parts = l.entries(e, u)
	case *types.Slice, *types.Array:
		parts = l.elements(e, elem(u))
	}
	return l.concrete(t) + "{" + strings.Join(parts, ", ") + "}"
}

// entries lowers the elements of a map. Type arguments may have made two keys equal; the last one counts.
func (l *lowerer) entries(e *ast.CompositeLit, m *types.Map) []string {
	var keys, parts []string
	for _, elt := range staticFirst(e.Elts, l.info) {
		kv := elt.(*ast.KeyValueExpr)
		key := l.plainElement(l.key(kv.Key, m), m.Key())
		if i := slices.Index(keys, key); i >= 0 && l.typeArgs != nil {
			keys, parts = slices.Delete(keys, i, i+1), slices.Delete(parts, i, i+1)
		}
		keys, parts = append(keys, key), append(parts, key+": "+l.element(kv.Value, m.Elem()))
	}
	return parts
}

func (l *lowerer) fieldValues(e *ast.CompositeLit, t types.Type, s *types.Struct) []string {
	var parts []string
	for i, elt := range e.Elts {
		if kv, ok := elt.(*ast.KeyValueExpr); ok {
			i, elt = fieldIndex(s, kv.Key.(*ast.Ident).Name), kv.Value
		}
		parts = append(parts, l.nameOfField(t, s, i)+": "+l.element(elt, s.Field(i).Type()))
	}
	return parts
}

func (l *lowerer) elements(e *ast.CompositeLit, t types.Type) []string {
	var parts []string
	for _, elt := range e.Elts {
		key := ""
		if kv, ok := elt.(*ast.KeyValueExpr); ok {
			key, elt = l.info.Types[kv.Key].Value.ExactString()+": ", kv.Value
		}
		parts = append(parts, key+l.element(elt, t))
	}
	return parts
}

// element lowers an element of a literal.
func (l *lowerer) element(e ast.Expr, t types.Type) string { return l.plainElement(l.value(e, t), t) }

// plainElement hides what a pointer points to from the interpreter, which finds out the types of elements by itself, and takes *p for a type.
func (l *lowerer) plainElement(text string, t types.Type) string {
	t = l.subst(t)
	switch b, ok := t.Underlying().(*types.Basic); {
	case !strings.Contains(text, "(*"):
		return text
	case ok && !l.isCut(t):
		return basicName(b) + "(" + text + ")"
	}
	return l.made(text, l.typ(t))
}

func fieldIndex(s *types.Struct, name string) int {
	for i := range s.NumFields() {
		if s.Field(i).Name() == name {
			return i
		}
	}
	return -1
}

// zero returns the zero value of a type.
func (l *lowerer) zero(t types.Type) string {
	t = l.subst(t)
	switch u := t.Underlying().(type) {
	case *types.Basic:
		switch {
		case u.Info()&types.IsBoolean != 0:
			return "false"
		case u.Info()&types.IsString != 0:
			return `""`
		}
		return l.typ(t) + "(0)"
	case *types.Struct, *types.Array:
		return l.typ(t) + "{}"
	}
	return "nil"
}
