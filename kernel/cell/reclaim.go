package cell

import (
	"reflect"
	"runtime"
	"unsafe"

	"github.com/traefik/yaegi/interp"
)

// The interpreter keeps all that it has ever compiled: the tree of each program hangs in its list of roots, from the children of its scopes, from the other
// declarations of the same program, and in the table of names. That is 10 to 50 kB for a cell, though nothing may refer to what the cell was any more. So
// once a program is compiled these references are cut; what a function value, a function that cells can still name or a goroutine needs it refers to
// itself, and the garbage collector takes the rest. yaegi has no interface for that: what is reached here are unexported fields of v0.16.1, which
// TestInterior holds.

// interior is what the interpreter keeps programs by.
type interior struct {
	roots    reflect.Value // the trees of all programs
	children reflect.Value // the scopes of their functions
	names    reflect.Value // the symbols by name

	types *[]reflect.Type  // of the places for global values that programs were given
	data  *[]reflect.Value // these values
}

// openInterior finds the interior of an interpreter that has compiled something.
func openInterior(i *interp.Interpreter) (in interior) {
	v := reflect.ValueOf(i).Elem()
	main := hidden(v, "scopes").MapIndex(reflect.ValueOf("main")).Elem()
	return interior{
		roots: hidden(v, "roots"), children: hidden(main, "child"), names: hidden(main, "sym"),
		types: hidden(hidden(v, "universe").Elem(), "types").Addr().Interface().(*[]reflect.Type),
		data:  hidden(hidden(v, "frame").Elem(), "data").Addr().Interface().(*[]reflect.Value),
	}
}

// hidden returns an unexported field of a struct in a form that can be set.
func hidden(v reflect.Value, name string) reflect.Value {
	f := v.FieldByName(name)
	return reflect.NewAt(f.Type(), unsafe.Pointer(f.UnsafeAddr())).Elem()
}

// cut makes the interpreter let go of what it was given to compile, and calls then when nothing of it is left. The program is nil if it was not compiled.
func (in *interior) cut(p *interp.Program, then func()) {
	in.roots.SetZero()
	in.children.SetZero()
	if p == nil {
		then()
		return
	}
	root := hidden(reflect.ValueOf(p).Elem(), "root")
	hidden(root.Elem(), "child").SetZero()
	runtime.AddCleanup((*byte)(root.UnsafePointer()), func(then func()) { then() }, then)
}

// grow makes the places for global values that a program was given. The interpreter would copy all of those before for each program.
func (in *interior) grow() {
	for _, t := range (*in.types)[len(*in.data):] {
		*in.data = append(*in.data, reflect.New(t).Elem())
	}
}

// put gives a global variable another place in memory. No program may have taken its address.
func (in *interior) put(name string, v reflect.Value) {
	symbol := in.names.MapIndex(reflect.ValueOf(name)).Elem()
	(*in.data)[symbol.FieldByName("index").Int()] = v
}

// forget takes names out of the interpreter's table that no program will mention.
func (in *interior) forget(names []string) {
	for _, name := range names {
		in.names.SetMapIndex(reflect.ValueOf(name), reflect.Value{})
	}
}
