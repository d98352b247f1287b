package cell

import (
	"go/constant"
	"go/types"
	"strconv"
)

// kindOf names what an object is, in the words of kernel.Candidate.
func kindOf(o types.Object) string {
	switch o := o.(type) {
	case *types.PkgName:
		return "package"
	case *types.TypeName:
		return "type"
	case *types.Const, *types.Nil:
		return "constant"
	case *types.Func:
		if o.Signature().Recv() != nil {
			return "method"
		}
		return "function"
	case *types.Builtin:
		return "function"
	case *types.Var:
		if o.IsField() {
			return "field"
		}
	}
	return "variable"
}

// signature says in a line what an object is made of: the type of a variable or function, the value of a constant, the kind of a type.
func (f *Front) signature(o types.Object) string {
	switch o := o.(type) {
	case *types.PkgName:
		return o.Imported().Path()
	case *types.Const:
		return shortened(f.constant(o))
	case *types.TypeName:
		return f.kindOfType(o.Type())
	case *types.Builtin:
		return "func" + predeclared[o.Name()].signature
	case *types.Nil:
		return ""
	case *types.Var:
		return f.typeString(typeOf(o)) + f.unitOf(o)
	}
	return f.typeString(typeOf(o))
}

// unitOf says in which unit a variable or field is held, if its dimension is known.
func (f *Front) unitOf(v *types.Var) string {
	q, ok := f.dims.Object(v)
	if v.IsField() {
		q, ok = f.dims.Declared(v)
	}
	if !ok || symbol(q) == "" {
		return ""
	}
	return " in " + q.Symbol
}

// shortened cuts a text that is too long for a list.
func shortened(s string) string { return clipped(s, 60) }

// typeOf is the type to show for an object. A local variable's type is often that of one operand of the expression it was set to, and then an alias such
// as unit.Speed may be wrong for it (V*V is no speed): it is not shown.
func typeOf(o types.Object) types.Type {
	if v, ok := o.(*types.Var); ok && v.Kind() == types.LocalVar {
		if b, ok := v.Type().Underlying().(*types.Basic); ok && types.Unalias(v.Type()) == b {
			return b
		}
	}
	return o.Type()
}

// typeString writes a type as a cell would.
func (f *Front) typeString(t types.Type) string { return types.TypeString(t, f.qualify) }

// qualify is a types.Qualifier: names of cells and those at hand without qualifier have none.
func (f *Front) qualify(p *types.Package) string {
	if p.Path() == "main" || p.Path() == builtinPath {
		return ""
	}
	for _, path := range f.prel.Dot {
		if p.Path() == path {
			return ""
		}
	}
	return p.Name()
}

// constant writes a constant's type, unless it has none, and value.
func (f *Front) constant(c *types.Const) string {
	value := c.Val().ExactString()
	if c.Val().Kind() == constant.Float {
		x, _ := constant.Float64Val(c.Val())
		value = strconv.FormatFloat(x, 'g', -1, 64)
	}
	if b, ok := c.Type().(*types.Basic); ok && b.Info()&types.IsUntyped != 0 {
		return "= " + value
	}
	return f.typeString(c.Type()) + " = " + value
}

// kindOfType says what a type is made of, in short.
func (f *Front) kindOfType(t types.Type) string {
	switch u := t.Underlying().(type) {
	case *types.Struct:
		return "struct"
	case *types.Interface:
		return "interface"
	default:
		return f.typeString(u)
	}
}

// predeclared documents Go's own functions, which go/types knows without types.
var predeclared = map[string]struct{ signature, doc string }{
	"append":  {"(slice []T, elems ...T) []T", "append appends elements to the end of a slice and returns the result."},
	"cap":     {"(v T) int", "cap returns the capacity of a slice, an array or a channel."},
	"clear":   {"(t T)", "clear deletes all entries of a map, or sets all elements of a slice to zero."},
	"close":   {"(c chan<- T)", "close closes a channel."},
	"complex": {"(r, i float64) complex128", "complex makes a complex number of its real and imaginary part."},
	"copy":    {"(dst, src []T) int", "copy copies elements of a slice into another and returns how many."},
	"delete":  {"(m map[K]V, key K)", "delete deletes the element with the key from a map."},
	"imag":    {"(c complex128) float64", "imag returns the imaginary part of a complex number."},
	"len":     {"(v T) int", "len returns the number of elements of an array, a slice or a map, or of bytes of a string."},
	"make":    {"(t T, size ...int) T", "make makes a slice, a map or a channel."},
	"max":     {"(x T, y ...T) T", "max returns the largest of its arguments; NaN if one of them is NaN."},
	"min":     {"(x T, y ...T) T", "min returns the smallest of its arguments; NaN if one of them is NaN."},
	"new":     {"(T) *T", "new makes a variable, zero or of the value given, and returns a pointer to it."},
	"panic":   {"(v any)", "panic stops the cell with a value, unless a deferred function recovers."},
	"print":   {"(args ...T)", "print writes its arguments to the standard error stream; fmt.Print is for output."},
	"println": {"(args ...T)", "println writes its arguments and a new line to the standard error stream; fmt.Println is for output."},
	"real":    {"(c complex128) float64", "real returns the real part of a complex number."},
	"recover": {"() any", "recover, called by a deferred function, ends a panic and returns its value."},
}
