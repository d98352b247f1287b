package cell

import (
	"fmt"
	"go/types"
	"strings"

	"golang.org/x/tools/go/types/typeutil"
)

// TypeDecl declares a struct type of the lowered source. The interpreter is told each once, whichever program brings it.
type TypeDecl struct {
	Name   string `json:"name"`
	Source string `json:"source"`
}

// emptyInterface is the lowered type of all interfaces that cells declare, and of the pointers that make a type recursive: the interpreter cannot be
// trusted with those.
const emptyInterface = "interface{}"

// fromCell reports whether an object was declared by a cell, or by a package that is lowered as cells are.
func fromCell(o types.Object) bool {
	return o.Pkg() != nil && (o.Pkg().Path() == "main" || fromSource(o.Pkg()))
}

// fromSource reports whether a package is lowered as cells are.
func fromSource(p *types.Package) bool {
	return p.Path() == iterPath || strings.HasPrefix(p.Path(), sourcePath) || isLocal(p)
}

// typ returns the interpreter's type for t: named types of cells are reduced to their structure.
func (l *lowerer) typ(t types.Type) string {
	if l.isCut(t) {
		return emptyInterface
	}
	return l.concrete(t)
}

// concrete returns the interpreter's type of the values of t, also where typ hides it behind the empty interface.
func (l *lowerer) concrete(t types.Type) string {
	switch t := types.Unalias(t).(type) {
	case *types.Basic:
		return basicName(t)
	case *types.Named:
		return l.named(t)
	case *types.TypeParam:
		if arg := l.subst(t); arg != types.Type(t) {
			return l.concrete(arg)
		}
	case *types.Pointer:
		return "*" + l.typ(t.Elem())
	case *types.Slice:
		return "[]" + l.typ(t.Elem())
	case *types.Array:
		return fmt.Sprintf("[%d]%s", t.Len(), l.typ(t.Elem()))
	case *types.Map:
		return "map[" + l.typ(t.Key()) + "]" + l.typ(t.Elem())
	case *types.Chan:
		return []string{"chan ", "chan<- ", "<-chan "}[t.Dir()] + "(" + l.typ(t.Elem()) + ")"
	case *types.Signature:
		return "func" + l.signature(t)
	case *types.Struct:
		return l.structType(t)
	case *types.Interface:
		return emptyInterface
	}
	return l.unsupported("values of type %s", t)
}

func basicName(t *types.Basic) string {
	switch t.Kind() {
	case types.UntypedNil, types.Invalid:
		return emptyInterface
	case types.UnsafePointer:
		return "uintptr"
	}
	return types.Default(t).(*types.Basic).Name()
}

// named returns a named type: of a compiled package as it is, of a cell by its structure.
func (l *lowerer) named(t *types.Named) string {
	o := t.Obj()
	switch {
	case o.Pkg() == nil:
		return o.Name() // error
	case fromCell(o):
		return l.concrete(t.Underlying())
	}
	name := l.symbolOf(o)
	if name == "" || t.TypeArgs().Len() > 0 {
		return l.unsupported("values of type %s", t)
	}
	return l.importName(o.Pkg()) + "." + name
}

// symbolOf returns the name by which the interpreter knows a compiled type, or nothing if it does not. One that is not exported is known if an exported
// variable is of it, such as encoding/binary's BigEndian.
func (l *lowerer) symbolOf(o *types.TypeName) string {
	if o.Exported() {
		if l.front.lib.Has(o.Pkg().Path(), o.Name()) {
			return o.Name()
		}
		return ""
	}
	for _, name := range o.Pkg().Scope().Names() {
		if v, ok := o.Pkg().Scope().Lookup(name).(*types.Var); ok && v.Exported() && types.Identical(v.Type(), o.Type()) {
			return typeOfPrefix + name
		}
	}
	return ""
}

// typeOfPrefix is in front of the name of a variable in the name of its type.
const typeOfPrefix = "TypeOf_"

// importName returns the interpreter's name for a compiled package.
func (l *lowerer) importName(p *types.Package) string {
	if l.imports[p.Path()] == "" {
		l.imports[p.Path()] = "p_" + strings.Map(func(r rune) rune {
			if strings.ContainsRune("/.-", r) {
				return '_'
			}
			return r
		}, p.Path())
	}
	return l.imports[p.Path()]
}

// signature returns the parameters and results of a function type, without names.
func (l *lowerer) signature(s *types.Signature) string {
	var params []string
	for i := range s.Params().Len() {
		params = append(params, l.paramType(s, i))
	}
	return "(" + strings.Join(params, ", ") + ")" + l.results(s)
}

func (l *lowerer) paramType(s *types.Signature, i int) string {
	t := s.Params().At(i).Type()
	if s.Variadic() && i == s.Params().Len()-1 {
		return "..." + l.typ(elem(t))
	}
	return l.typ(t)
}

func (l *lowerer) results(s *types.Signature) string {
	var out []string
	for v := range s.Results().Variables() {
		out = append(out, l.typ(v.Type()))
	}
	if len(out) == 0 {
		return ""
	}
	return " (" + strings.Join(out, ", ") + ")"
}

// structType returns the name of a struct type; equal structures have one name.
func (l *lowerer) structType(t *types.Struct) string {
	var fields []string
	for i := range t.NumFields() {
		fields = append(fields, fieldName(t, i)+" "+l.typ(t.Field(i).Type()))
	}
	return l.namedStruct("struct{" + strings.Join(fields, "; ") + "}")
}

// namedStruct returns the name of a lowered struct type.
func (l *lowerer) namedStruct(source string) string {
	name, ok := l.front.session.structs[source]
	if !ok {
		name = fmt.Sprintf("S%d", len(l.front.session.structs))
		l.front.session.structs[source] = name
	}
	l.structs[name] = TypeDecl{name, source}
	return name
}

// hiddenField stands before the names of fields that the interpreter could not export as they are.
const hiddenField = "X_"

// fieldName returns the interpreter's name of a field of a cell's struct. Embedded fields become plain ones, and all names exported.
func fieldName(t *types.Struct, i int) string {
	f := t.Field(i)
	switch {
	case f.Name() == "_":
		return fmt.Sprintf(hiddenField+"%d", i)
	case f.Exported() && f.Name() != "IValue": // which to the interpreter means a wrapper of a value
		return f.Name()
	}
	return hiddenField + f.Name()
}

// elem returns the element type of a pointer, slice, array, map or channel.
func elem(t types.Type) types.Type {
	if e, ok := t.Underlying().(interface{ Elem() types.Type }); ok {
		return e.Elem()
	}
	return types.Typ[types.Uint8] // of a string passed to append or copy
}

// isCut reports whether values of t are held in an empty interface, so that no lowered type is recursive: pointers on a cycle of types, and slices,
// maps, channels and functions on a cycle without such a pointer.
func (l *lowerer) isCut(t types.Type) bool {
	t = l.subst(t)
	if cut, ok := l.front.session.cuts.At(t).(bool); ok {
		return cut
	}
	cut := false
	switch t.Underlying().(type) {
	case *types.Pointer:
		cut = reaches(t, t, false, new(typeutil.Map))
	case *types.Slice, *types.Map, *types.Chan, *types.Signature:
		cut = reaches(t, t, true, new(typeutil.Map))
	}
	l.front.session.cuts.Set(t, cut)
	return cut
}

// reaches reports whether the parts of t include target; with skip, pointers that are on a cycle of their own are not followed.
func reaches(t, target types.Type, skip bool, seen *typeutil.Map) bool {
	for _, part := range parts(t) {
		if types.Identical(part, target) {
			return true
		}
		if seen.Set(part, true) != nil {
			continue
		}
		if _, ok := part.Underlying().(*types.Pointer); ok && skip && reaches(part, part, false, new(typeutil.Map)) {
			continue
		}
		if reaches(part, target, skip, seen) {
			return true
		}
	}
	return false
}

// parts lists the types that the structure of t is made of.
func parts(t types.Type) []types.Type {
	if n, ok := types.Unalias(t).(*types.Named); ok && !fromCell(n.Obj()) {
		return nil
	}
	switch u := t.Underlying().(type) {
	case *types.Map:
		return []types.Type{u.Key(), u.Elem()}
	case *types.Signature:
		return append(tupleTypes(u.Params()), tupleTypes(u.Results())...)
	case *types.Struct:
		var out []types.Type
		for f := range u.Fields() {
			out = append(out, f.Type())
		}
		return out
	case *types.Pointer, *types.Slice, *types.Array, *types.Chan:
		return []types.Type{elem(u)}
	}
	return nil
}

func tupleTypes(t *types.Tuple) []types.Type {
	var out []types.Type
	for v := range t.Variables() {
		out = append(out, v.Type())
	}
	return out
}

// unsupported refuses the current statement because of a type.
func (l *lowerer) unsupported(format string, t types.Type) string {
	message := fmt.Sprintf(format, l.typeString(t)) + " cannot be used in a cell"
	l.found = append(l.found, problem{place: l.program.Places[l.at], message: message})
	return emptyInterface
}

// typeString words a type as a cell would write it.
func (l *lowerer) typeString(t types.Type) string { return types.TypeString(l.subst(t), localName) }

// localName qualifies types of compiled packages and leaves those of cells as they are.
func localName(p *types.Package) string {
	if p.Path() == "main" {
		return ""
	}
	return p.Name()
}
