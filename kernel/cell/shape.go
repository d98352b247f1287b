package cell

import (
	"fmt"
	"reflect"
	"strings"
)

// shape is a type as the machine knows it.
type shape struct {
	Shape
	table   *shapes
	methods map[string]reflect.Value // functions that take the receiver as an interface value, by name
	keys    map[string]bool          // the methods with their types
	rtype   reflect.Type             // of types that the interpreter has not lost; nil for others
}

// shapes are the types of a session by number. It is read while cells run and changed only before they do.
type shapes struct {
	lib      Library
	halt     func() // called when compiled code calls a method
	passOn   func() // deferred there
	list     []*shape
	wrappers map[reflect.Type]bool // types of the library that make boxes fit for compiled interfaces
}

func newShapes(lib Library) *shapes { return &shapes{lib: lib, wrappers: map[reflect.Type]bool{}} }

// add makes descriptions known; one that is known already stays.
func (t *shapes) add(list []Shape) error {
	for _, s := range list {
		for len(t.list) <= s.ID {
			t.list = append(t.list, nil)
		}
		if t.list[s.ID] == nil {
			t.list[s.ID] = &shape{Shape: s, table: t, methods: map[string]reflect.Value{}, keys: map[string]bool{}}
		}
	}
	for _, s := range list {
		if known := t.list[s.ID]; known.rtype == nil && !s.Celled {
			known.rtype = t.reflectType(s.ID)
			if known.rtype == nil {
				return fmt.Errorf("the type %s is not known here", s.Name)
			}
		}
	}
	return nil
}

var basicTypes = map[string]reflect.Type{}

func init() {
	for _, v := range []any{false, "", 0, int8(0), int16(0), int32(0), int64(0), uint(0), uint8(0), uint16(0), uint32(0), uint64(0), uintptr(0), float32(0),
		0.0, complex64(0), complex128(0)} {
		basicTypes[reflect.TypeOf(v).String()] = reflect.TypeOf(v)
	}
	basicTypes["byte"], basicTypes["rune"] = basicTypes["uint8"], basicTypes["int32"]
}

var (
	anyReflected   = reflect.TypeFor[any]()
	errorReflected = reflect.TypeFor[error]()
)

// reflectType returns the type of the interpreter's values of a type, also of one that a cell has named, or nil if that is not known.
func (t *shapes) reflectType(id int) reflect.Type {
	s := t.list[id]
	if s.Cut {
		return anyReflected
	}
	switch s.Kind {
	case "pointer":
		return through(reflect.PointerTo, t.reflectType(s.Elem))
	case "slice":
		return through(reflect.SliceOf, t.reflectType(s.Elem))
	case "array":
		return through(func(e reflect.Type) reflect.Type { return reflect.ArrayOf(s.Len, e) }, t.reflectType(s.Elem))
	case "chan":
		dir := []reflect.ChanDir{reflect.BothDir, reflect.SendDir, reflect.RecvDir}[s.Len]
		return through(func(e reflect.Type) reflect.Type { return reflect.ChanOf(dir, e) }, t.reflectType(s.Elem))
	case "map":
		key := t.reflectType(s.Key)
		return through(func(e reflect.Type) reflect.Type {
			return through(func(k reflect.Type) reflect.Type { return reflect.MapOf(k, e) }, key)
		}, t.reflectType(s.Elem))
	case "func":
		return t.reflectFunc(s)
	case "interface":
		return anyReflected
	case "compiled", "compiled interface":
		return t.compiledType(s)
	}
	return basicTypes[s.Kind]
}

func through(make func(reflect.Type) reflect.Type, part reflect.Type) reflect.Type {
	if part == nil {
		return nil
	}
	return make(part)
}

func (t *shapes) reflectFunc(s *shape) reflect.Type {
	in, ok := t.reflectAll(s.In)
	out, ok2 := t.reflectAll(s.Out)
	if !ok || !ok2 {
		return nil
	}
	return reflect.FuncOf(in, out, s.Variadic)
}

func (t *shapes) reflectAll(ids []int) (out []reflect.Type, ok bool) {
	for _, id := range ids {
		r := t.reflectType(id)
		if r == nil {
			return nil, false
		}
		out = append(out, r)
	}
	return out, true
}

// compiledType finds a type of a compiled package.
func (t *shapes) compiledType(s *shape) reflect.Type {
	if s.Path == "" {
		return errorReflected
	}
	if variable, ok := strings.CutPrefix(s.Symbol, typeOfPrefix); ok {
		return t.lib.Values(s.Path)[variable].Type()
	}
	v := t.lib.Values(s.Path)[s.Symbol]
	if !v.IsValid() || v.Kind() != reflect.Pointer {
		return nil
	}
	return v.Type().Elem()
}

// wrapper returns the library's type that has the methods of a compiled interface: a struct of a value and functions.
func (t *shapes) wrapper(s *shape) (reflect.Type, error) {
	v := t.lib.Values(s.Path)["_"+s.Symbol]
	if !v.IsValid() {
		return nil, fmt.Errorf("a value of a cell's type cannot become a %s", s.Name)
	}
	w := v.Type().Elem()
	t.wrappers[w] = true
	return w, nil
}

// setMethod tells the table a method of a type.
func (t *shapes) setMethod(id int, key string, f any) {
	name, _, _ := strings.Cut(key, "(")
	t.list[id].methods[name] = reflect.ValueOf(f)
	t.list[id].keys[key] = true
}

// has reports whether the type has all the methods.
func (s *shape) has(keys []string) bool { return s.missing(keys) == "" }

// missing returns the name of a method that the type does not have, or nothing.
func (s *shape) missing(keys []string) string {
	for _, k := range keys {
		if !s.keys[k] {
			name, _, _ := strings.Cut(k, "(")
			return name
		}
	}
	return ""
}
