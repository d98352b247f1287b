package cell

import (
	"fmt"
	"go/types"
	"strings"
)

// TypeDecl declares a struct type of the lowered source. The interpreter is told each once, whichever program brings it.
type TypeDecl struct {
	Name   string `json:"name"`
	Source string `json:"source"`
}

// fromCell reports whether an object was declared by a cell.
func fromCell(o types.Object) bool {
	return o.Pkg() != nil && o.Pkg().Path() == "main"
}

// typ returns the interpreter's type: cells' named types are reduced to their structure, interfaces with methods of cells to the empty interface.
func (l *lowerer) typ(t types.Type) string {
	switch t := types.Unalias(t).(type) {
	case *types.Basic:
		return basicName(t)
	case *types.Named:
		return l.named(t)
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
		return "interface{}"
	}
	return l.problem("values of type %s cannot be run here", t)
}

func basicName(t *types.Basic) string {
	switch t.Kind() {
	case types.UntypedNil, types.Invalid:
		return "interface{}"
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
		if l.visiting[t] {
			return l.problem("the recursive type %s cannot be run here", o.Name())
		}
		l.visiting[t] = true
		defer delete(l.visiting, t)
		return l.typ(t.Underlying())
	case t.TypeArgs().Len() > 0 || !l.front.lib.Has(o.Pkg().Path(), o.Name()):
		return l.problem("the type %s.%s cannot be run here", o.Pkg().Name(), o.Name())
	}
	return l.importName(o.Pkg()) + "." + o.Name()
}

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
		return "..." + l.typ(t.(*types.Slice).Elem())
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
	source := "struct{" + strings.Join(fields, "; ") + "}"
	name, ok := l.front.session.structs[source]
	if !ok {
		name = fmt.Sprintf("S%d", len(l.front.session.structs))
		l.front.session.structs[source] = name
	}
	l.structs[name] = TypeDecl{name, source}
	return name
}

// fieldName returns the interpreter's name of a field. Embedded fields become plain ones, and all names exported.
func fieldName(t *types.Struct, i int) string {
	f := t.Field(i)
	switch {
	case f.Name() == "_":
		return fmt.Sprintf("X_%d", i)
	case f.Exported():
		return f.Name()
	}
	return "X_" + f.Name()
}

// problem refuses the current statement because of a type.
func (l *lowerer) problem(format string, args ...any) string {
	l.found = append(l.found, problem{l.program.Places[l.at], fmt.Sprintf(format, args...)})
	return "interface{}"
}
