package cell

import (
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strings"
)

// Box is an interface value whose dynamic type only the cell knows. Two are equal if their types and values are.
type Box struct {
	t *shape
	V any
}

// ErrBox is a Box of a type that implements error.
type ErrBox struct{ Box }

// ErrsBox is an ErrBox of a type that wraps several errors.
type ErrsBox struct{ Box }

// box makes an interface value of a value of type id.
func (t *shapes) box(id int, v any) any {
	s := t.list[id]
	if s.keys["Error() string"] {
		if s.keys["Unwrap() []error"] {
			return ErrsBox{Box{s, v}}
		}
		return ErrBox{Box{s, v}}
	}
	return Box{s, v}
}

// unbox looks for a box in an interface value.
func unbox(x any) (Box, bool) {
	switch x := x.(type) {
	case Box:
		return x, true
	case ErrBox:
		return x.Box, true
	case ErrsBox:
		return x.Box, true
	}
	return Box{}, false
}

// call calls a method that the type is known to have.
func (b Box) call(name string, args ...any) any {
	defer b.t.table.passOn()
	in := []reflect.Value{reflect.ValueOf(&b.V).Elem()}
	for _, a := range args {
		in = append(in, reflect.ValueOf(a))
	}
	return b.t.methods[name].Call(in)[0].Interface()
}

// Error implements error.
func (b ErrBox) Error() string { return b.call("Error").(string) }

// Scan implements fmt.Scanner, by the value's own method.
func (b Box) Scan(state fmt.ScanState, verb rune) error {
	if !b.t.keys["Scan(fmt.ScanState, int32) error"] {
		return errors.New("can't scan type: " + b.t.Name)
	}
	err, _ := b.call("Scan", state, verb).(error)
	return err
}

// Error implements error.
func (b ErrsBox) Error() string { return ErrBox(b).Error() }

// Is asks the value whether it is like target, if it has a method for that.
func (b ErrsBox) Is(target error) bool { return ErrBox(b).Is(target) }

// Unwrap returns the errors that the value says it wraps.
func (b ErrsBox) Unwrap() []error { return b.call("Unwrap").([]error) }

// Unwrap returns the error that the value says it wraps.
func (b ErrBox) Unwrap() error {
	if !b.t.keys["Unwrap() error"] {
		return nil
	}
	err, _ := b.call("Unwrap").(error)
	return err
}

// Is asks the value whether it is like target, if it has a method for that.
func (b ErrBox) Is(target error) bool {
	return b.t.keys["Is(error) bool"] && b.call("Is", target).(bool)
}

// asError makes an error of an interface value that is known to be one.
func asError(x any) error {
	if x == nil {
		return nil
	}
	return x.(error)
}

// open turns a value of a compiled interface into one of the empty interface: a box comes out of its wrapper.
func (t *shapes) open(x any) any {
	if x == nil || !t.wrappers[reflect.TypeOf(x)] {
		return x
	}
	return reflect.ValueOf(x).Field(0).Interface()
}

// matches reports whether x holds a value of type id, or one that implements it.
func (t *shapes) matches(x any, id int) bool {
	if id == 0 || x == nil {
		return id == 0 && x == nil
	}
	s := t.list[id]
	b, boxed := unbox(x)
	switch {
	case s.Kind == "interface" || s.Kind == "compiled interface":
		if boxed {
			return b.t.has(s.Methods)
		}
		return implements(reflect.TypeOf(x), s)
	case s.Celled:
		return boxed && b.t == s
	}
	return !boxed && reflect.TypeOf(x) == s.rtype
}

// implements reports whether a compiled type has the methods of an interface.
func implements(r reflect.Type, s *shape) bool {
	if s.rtype != nil {
		return r.Implements(s.rtype)
	}
	for _, key := range s.Methods {
		name, rest, _ := strings.Cut(key, "(")
		m, ok := r.MethodByName(name)
		if !ok || signatureOf(m.Type) != "("+rest {
			return false
		}
	}
	return true
}

// signatureOf words the type of a method without its receiver, as a key does.
func signatureOf(m reflect.Type) string {
	var in []reflect.Type
	for i := 1; i < m.NumIn(); i++ {
		in = append(in, m.In(i))
	}
	var out []reflect.Type
	for i := range m.NumOut() {
		out = append(out, m.Out(i))
	}
	return strings.TrimPrefix(reflect.FuncOf(in, out, m.IsVariadic()).String(), "func")
}

// dynamic names the dynamic type of an interface value, as %T prints it.
func dynamic(x any) string {
	if b, ok := unbox(x); ok {
		return b.t.Name
	}
	return fmt.Sprintf("%T", x)
}

// as returns what x holds if that is of type id, and panics as compiled Go does if it is not.
func (t *shapes) as(x any, id int, static string) any {
	if t.matches(x, id) {
		return value(x, t.list[id])
	}
	panic(t.conversionError(x, t.list[id], static))
}

func (t *shapes) asOK(x any, id int) (any, bool) {
	if !t.matches(x, id) {
		return nil, false
	}
	return value(x, t.list[id]), true
}

// value returns what becomes of x in a variable of type s.
func value(x any, s *shape) any {
	if b, ok := unbox(x); ok && s.Celled && s.Kind != "interface" {
		return b.V
	}
	return x
}

// conversionError is the panic of a type assertion that fails.
type conversionError string

func (e conversionError) Error() string { return "interface conversion: " + string(e) }
func (e conversionError) RuntimeError() {}

func (t *shapes) conversionError(x any, s *shape, static string) error {
	isInterface := strings.HasSuffix(s.Kind, "interface")
	switch {
	case x == nil && isInterface:
		return conversionError("interface is nil, not " + s.Name)
	case x == nil:
		return conversionError(static + " is nil, not " + s.Name)
	case !isInterface && dynamic(x) == s.Name:
		return conversionError(static + " is " + dynamic(x) + ", not " + s.Name + " (types from different scopes)")
	case !isInterface:
		return conversionError(static + " is " + dynamic(x) + ", not " + s.Name)
	}
	missing := ""
	if b, ok := unbox(x); ok {
		missing = b.t.missing(s.Methods)
	} else {
		missing = firstMissing(reflect.TypeOf(x), s)
	}
	return conversionError(dynamic(x) + " is not " + s.Name + ": missing method " + missing)
}

func firstMissing(r reflect.Type, s *shape) string {
	for _, key := range s.Methods {
		name, _, _ := strings.Cut(key, "(")
		if _, ok := r.MethodByName(name); !ok {
			return name
		}
	}
	return ""
}

// wrap makes a value of a compiled interface of an interface value that is known to have the methods.
func (t *shapes) wrap(x any, s *shape) (reflect.Value, error) {
	out := reflect.New(s.rtype).Elem()
	if x == nil {
		return out, nil
	}
	b, boxed := unbox(x)
	if !boxed {
		out.Set(reflect.ValueOf(x))
		return out, nil
	}
	wrapper, err := t.wrapper(s)
	if err != nil {
		return out, err
	}
	w := reflect.New(wrapper).Elem()
	w.Field(0).Set(reflect.ValueOf(x))
	for i := 1; i < w.NumField(); i++ {
		w.Field(i).Set(b.bind(wrapper.Field(i).Name[1:], wrapper.Field(i).Type))
	}
	out.Set(w)
	return out, nil
}

// bind returns a method with the receiver put in, as a function of type r.
func (b Box) bind(name string, r reflect.Type) reflect.Value {
	method := b.t.methods[name]
	return reflect.MakeFunc(r, func(args []reflect.Value) []reflect.Value {
		defer b.t.table.passOn()
		b.t.table.halt()
		in := append([]reflect.Value{reflect.ValueOf(&b.V).Elem()}, args...)
		if r.IsVariadic() {
			return method.CallSlice(in)
		}
		return method.Call(in)
	})
}

// bound returns a method of an interface value as a function that takes the receiver as an interface value: for the calls that lowered source cannot make
// itself.
func (t *shapes) bound(id int, x any, name string) any {
	if id != 0 {
		return t.list[id].methods[name].Interface()
	}
	m := reflect.ValueOf(x).MethodByName(name)
	in, out := []reflect.Type{anyReflected}, []reflect.Type(nil)
	for i := range m.Type().NumIn() {
		in = append(in, m.Type().In(i))
	}
	for i := range m.Type().NumOut() {
		out = append(out, m.Type().Out(i))
	}
	return reflect.MakeFunc(reflect.FuncOf(in, out, m.Type().IsVariadic()), func(args []reflect.Value) []reflect.Value {
		if m.Type().IsVariadic() {
			return m.CallSlice(args[1:])
		}
		return m.Call(args[1:])
	}).Interface()
}

// errorsAs finds the first error in err's tree that matches type id, and hands it to set.
func (t *shapes) errorsAs(err error, id int, set func(any)) bool {
	for err != nil {
		if x := t.open(err); t.matches(x, id) {
			set(value(x, t.list[id]))
			return true
		}
		if many, ok := err.(interface{ Unwrap() []error }); ok {
			for _, e := range many.Unwrap() {
				if t.errorsAs(e, id, set) {
					return true
				}
			}
			return false
		}
		err = errors.Unwrap(err)
	}
	return false
}

// comparable reports whether values of a type can be compared, as far as the type tells.
func (s *shape) comparable() bool {
	switch s.Kind {
	case "slice", "map", "func":
		return false
	case "array":
		return s.table.list[s.Elem].comparable()
	case "struct":
		return !slices.ContainsFunc(s.Fields, func(f Field) bool { return !s.table.list[f.Type].comparable() })
	}
	return true
}

// hashable returns a key of a map with an interface as key type, or panics as compiled Go does if it cannot be one.
func hashable(x any) any {
	if b, ok := unbox(x); ok && !b.t.comparable() {
		panic(runtimeError("hash of unhashable type " + b.t.Name))
	}
	return x
}

// equal compares interface values.
func equal(x, y any) bool {
	a, ok := unbox(x)
	b, ok2 := unbox(y)
	if ok && ok2 && a.t == b.t && !a.t.comparable() {
		panic(runtimeError("comparing uncomparable type " + a.t.Name))
	}
	return x == y
}
