package cell

import (
	"fmt"
	"go/types"
	"slices"
	"strconv"
	"strings"
)

// typeName words a type as reflection does in a compiled program, and with it %T, %#v and the texts of failed type assertions.
func typeName(t types.Type) string {
	var w nameWriter
	w.write(t)
	return w.String()
}

// nameWriter writes the name of a type.
type nameWriter struct {
	strings.Builder
	argument bool // inside of a list of type arguments, where all that is not exported is qualified
}

func (w *nameWriter) write(t types.Type) {
	switch t := types.Unalias(t).(type) {
	case *types.Basic:
		w.WriteString(types.TypeString(types.Typ[t.Kind()], mainFor)) // byte and rune are other names of uint8 and int32
	case *types.Named:
		w.named(t)
	case *types.Pointer:
		w.prefixed("*", t.Elem())
	case *types.Slice:
		w.prefixed("[]", t.Elem())
	case *types.Array:
		w.prefixed(fmt.Sprintf("[%d]", t.Len()), t.Elem())
	case *types.Map:
		w.prefixed("map[", t.Key())
		w.prefixed("]", t.Elem())
	case *types.Chan:
		w.channel(t)
	case *types.Signature:
		w.WriteString("func")
		w.signature(t)
	case *types.Struct:
		w.structType(t)
	case *types.Interface:
		w.interfaceType(t)
	default:
		w.WriteString(types.TypeString(t, mainFor))
	}
}

func (w *nameWriter) prefixed(prefix string, t types.Type) {
	w.WriteString(prefix)
	w.write(t)
}

func (w *nameWriter) named(t *types.Named) {
	o := t.Obj()
	switch {
	case o.Pkg() == nil:
	case w.argument && !fromCell(o):
		w.WriteString(o.Pkg().Path() + ".")
	default:
		w.WriteString(mainFor(o.Pkg()) + ".")
	}
	w.WriteString(o.Name())
	if w.argument && o.Parent() != nil && o.Pkg() != nil && o.Parent() != o.Pkg().Scope() {
		w.WriteString("·1") // declared in a function
	}
	if t.TypeArgs().Len() == 0 {
		return
	}
	outer := w.argument
	w.argument = true
	for i, a := range slices.Collect(t.TypeArgs().Types()) {
		w.prefixed(listMark(i, "[", ","), a)
	}
	w.WriteString("]")
	w.argument = outer
}

// listMark is what stands before element i of a list.
func listMark(i int, first, next string) string {
	if i == 0 {
		return first
	}
	return next
}

func (w *nameWriter) channel(t *types.Chan) {
	w.WriteString([]string{"chan ", "chan<- ", "<-chan "}[t.Dir()])
	if e, ok := types.Unalias(t.Elem()).(*types.Chan); ok && e.Dir() == types.RecvOnly && t.Dir() != types.SendOnly {
		w.prefixed("(", e)
		w.WriteString(")")
		return
	}
	w.write(t.Elem())
}

func (w *nameWriter) signature(t *types.Signature) {
	w.WriteString("(")
	for i, p := range tupleTypes(t.Params()) {
		w.WriteString(listMark(i, "", ", "))
		if t.Variadic() && i == t.Params().Len()-1 {
			w.prefixed("...", elem(p))
			continue
		}
		w.write(p)
	}
	w.WriteString(")")
	results := tupleTypes(t.Results())
	if len(results) == 1 {
		w.prefixed(" ", results[0])
		return
	}
	for i, r := range results {
		w.prefixed(listMark(i, " (", ", "), r)
	}
	if len(results) > 1 {
		w.WriteString(")")
	}
}

func (w *nameWriter) structType(t *types.Struct) {
	w.WriteString("struct {")
	for i := range t.NumFields() {
		f := t.Field(i)
		w.WriteString(listMark(i, " ", "; "))
		if !f.Embedded() {
			w.member(f)
			w.WriteString(" ")
		}
		w.write(f.Type())
		if t.Tag(i) != "" {
			w.WriteString(" " + strconv.Quote(t.Tag(i)))
		}
	}
	if t.NumFields() > 0 {
		w.WriteString(" ")
	}
	w.WriteString("}")
}

// member writes the name of a field.
func (w *nameWriter) member(o types.Object) {
	if w.argument && !o.Exported() && o.Pkg() != nil {
		w.WriteString(mainFor(o.Pkg()) + ".")
	}
	w.WriteString(o.Name())
}

func (w *nameWriter) interfaceType(t *types.Interface) {
	w.WriteString("interface {")
	for i := range t.NumMethods() {
		m := t.Method(i)
		w.WriteString(listMark(i, " ", "; "))
		if !m.Exported() && m.Pkg() != nil {
			w.WriteString(mainFor(m.Pkg()) + ".")
		}
		w.WriteString(m.Name())
		w.signature(m.Signature())
	}
	if t.NumMethods() > 0 {
		w.WriteString(" ")
	}
	w.WriteString("}")
}

// mainFor qualifies types of cells as a program would print them.
func mainFor(p *types.Package) string {
	if p.Path() == "main" {
		return "main"
	}
	return p.Name()
}
