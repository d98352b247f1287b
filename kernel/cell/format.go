package cell

import (
	"fmt"
	"io"
	"reflect"
	"runtime"
	"strings"
)

// Format implements fmt.Formatter: a box prints as its value would in a compiled program, with the names and methods of its type.
func (b Box) Format(f fmt.State, verb rune) {
	p := printer{f, verb}
	p.value(b.t, reflect.ValueOf(&b.V).Elem(), 0, true)
}

// printer prints one operand of a call of fmt.
type printer struct {
	fmt.State
	verb rune
}

func (p printer) sharpV() bool { return p.verb == 'v' && p.Flag('#') }

func (p printer) write(s string) { io.WriteString(p, s) }

// leaf prints something that fmt knows as well as we do.
func (p printer) leaf(x any) { fmt.Fprintf(p, fmt.FormatString(p, p.verb), x) }

// value prints v of type s. As in fmt, methods are used only where the value could be reached through exported fields.
func (p printer) value(s *shape, v reflect.Value, depth int, reachable bool) {
	if v.Kind() == reflect.Interface && s.Kind != "interface" && s.Kind != "compiled interface" { // a box's value, or one of a cut type
		v = v.Elem()
	}
	if reachable && p.methods(s, v) {
		return
	}
	switch s.Kind {
	case "struct":
		p.structValue(s, v, depth, reachable)
	case "slice", "array":
		p.list(s, v, depth, reachable)
	case "map":
		p.mapValue(s, v, depth, reachable)
	case "pointer":
		p.pointer(s, v, depth, reachable)
	case "interface", "compiled interface":
		p.dynamic(s, v, depth, reachable)
	case "compiled":
		p.compiled(v, depth, reachable)
	case "func", "chan":
		p.address(s, v)
	default:
		p.basic(s, v)
	}
}

// basic prints a value of a basic type. Where the verb is wrong for it, fmt names the type.
func (p printer) basic(s *shape, v reflect.Value) {
	text := fmt.Sprintf(fmt.FormatString(p, p.verb), v.Interface())
	if bad := fmt.Sprintf("%%!%c(%s=", p.verb, v.Type()); strings.HasPrefix(text, bad) {
		text = fmt.Sprintf("%%!%c(%s=", p.verb, s.Name) + text[len(bad):]
	}
	p.write(text)
}

// methods prints a value by its own methods, if it has any that fmt would use.
func (p printer) methods(s *shape, v reflect.Value) (handled bool) {
	name := ""
	switch {
	case s.keys["Format(fmt.State, int32)"]:
		name = "Format"
	case p.sharpV():
		if s.keys["GoString() string"] {
			name = "GoString"
		}
	case !strings.ContainsRune("vsxXqw", p.verb):
	case s.keys["Error() string"]:
		name = "Error"
	case s.keys["String() string"]:
		name = "String"
	}
	if name == "" {
		return false
	}
	defer func() {
		if r := recover(); r != nil {
			p.panicked(name, v, r)
			handled = true
		}
	}()
	b := Box{s, nil}
	if v.IsValid() {
		b.V = v.Interface()
	}
	switch name {
	case "Format":
		s.methods[name].Call([]reflect.Value{reflect.ValueOf(&b.V).Elem(), reflect.ValueOf(p.State), reflect.ValueOf(p.verb)})
	case "GoString":
		p.write(b.call(name).(string))
	default:
		p.leaf(b.call(name))
	}
	return true
}

// panicked tells that a method has panicked, in the words of fmt.
func (p printer) panicked(method string, v reflect.Value, r any) {
	if _, ok := r.(unwinding); ok {
		runtime.Goexit() // fmt would recover from a panic
	}
	if !v.IsValid() || v.Kind() == reflect.Pointer && v.IsNil() {
		p.write("<nil>")
		return
	}
	fmt.Fprintf(p, "%%!%c(PANIC=%s method: %v)", p.verb, method, r)
}

func (p printer) structValue(s *shape, v reflect.Value, depth int, reachable bool) {
	if p.sharpV() {
		p.write(s.Name)
	}
	p.write("{")
	for i, f := range s.Fields {
		if i > 0 {
			p.separate()
		}
		if p.sharpV() || p.verb == 'v' && p.Flag('+') {
			p.write(f.Name + ":")
		}
		p.value(s.table.list[f.Type], v.Field(i), depth+1, reachable && f.Exported)
	}
	p.write("}")
}

func (p printer) separate() {
	if p.sharpV() {
		p.write(", ")
	} else {
		p.write(" ")
	}
}

func (p printer) list(s *shape, v reflect.Value, depth int, reachable bool) {
	elem := s.table.list[s.Elem]
	if strings.ContainsRune("sqxX", p.verb) && v.IsValid() && v.Type().Elem().Kind() == reflect.Uint8 {
		bytes := make([]byte, v.Len())
		reflect.Copy(reflect.ValueOf(bytes), v)
		p.leaf(bytes)
		return
	}
	if p.sharpV() {
		p.write(s.Name)
		if s.Kind == "slice" && (!v.IsValid() || v.IsNil()) {
			p.write("(nil)")
			return
		}
		p.write("{")
		defer p.write("}")
	} else {
		p.write("[")
		defer p.write("]")
	}
	for i := 0; v.IsValid() && i < v.Len(); i++ {
		if i > 0 {
			p.separate()
		}
		p.value(elem, v.Index(i), depth+1, reachable)
	}
}

func (p printer) mapValue(s *shape, v reflect.Value, depth int, reachable bool) {
	if p.sharpV() {
		p.write(s.Name)
		if !v.IsValid() || v.IsNil() {
			p.write("(nil)")
			return
		}
		p.write("{")
		defer p.write("}")
	} else {
		p.write("map[")
		defer p.write("]")
	}
	if !v.IsValid() {
		return
	}
	for i, k := range sortedMapKeys(v) {
		if i > 0 {
			p.separate()
		}
		p.value(s.table.list[s.Key], k, depth+1, reachable)
		p.write(":")
		p.value(s.table.list[s.Elem], v.MapIndex(k), depth+1, reachable)
	}
}

func (p printer) pointer(s *shape, v reflect.Value, depth int, reachable bool) {
	elem := s.table.list[s.Elem]
	if depth == 0 && v.IsValid() && !v.IsNil() {
		switch elem.Kind {
		case "struct", "slice", "array", "map":
			p.write("&")
			p.value(elem, v.Elem(), depth+1, reachable)
			return
		}
	}
	p.address(s, v)
}

// address prints where a pointer, function or channel is.
func (p printer) address(s *shape, v reflect.Value) {
	none := !v.IsValid() || v.IsNil()
	switch {
	case p.sharpV() && none:
		p.write("(" + s.Name + ")(nil)")
	case p.sharpV():
		fmt.Fprintf(p, "(%s)(%#x)", s.Name, v.Pointer())
	case none && p.verb == 'v':
		p.leaf(nil)
	case none:
		p.leaf(uintptr(0))
	case p.verb == 'v':
		fmt.Fprintf(p, "%#x", v.Pointer())
	default:
		p.leaf(v.Pointer())
	}
}

// dynamic prints what an interface holds.
func (p printer) dynamic(s *shape, v reflect.Value, depth int, reachable bool) {
	if v.IsNil() {
		if p.sharpV() {
			p.write(s.Name + "(nil)")
		} else {
			p.write("<nil>")
		}
		return
	}
	x := s.table.open(v.Interface())
	if b, ok := unbox(x); ok {
		p.value(b.t, reflect.ValueOf(&b.V).Elem(), depth, reachable)
		return
	}
	p.compiled(reflect.ValueOf(x), depth, reachable)
}

// compiled prints a value of a type that fmt knows.
func (p printer) compiled(v reflect.Value, depth int, reachable bool) {
	switch {
	case !reachable:
		p.unreachable(v)
	case v.Kind() == reflect.Pointer && depth > 0 && !v.IsNil() && !formatsItself(v.Interface()):
		fmt.Fprintf(p, "%#x", v.Pointer())
	default:
		p.leaf(v.Interface())
	}
}

func formatsItself(x any) bool {
	switch x.(type) {
	case fmt.Formatter, fmt.Stringer, error:
		return true
	}
	return false
}

// unreachable prints a value the way fmt prints the value of an unexported field: without its methods. It is moved into such a field for that.
func (p printer) unreachable(v reflect.Value) {
	open := reflect.New(reflect.StructOf([]reflect.StructField{{Name: "X", Type: v.Type()}}))
	open.Elem().Field(0).Set(v)
	hidden := reflect.StructOf([]reflect.StructField{{Name: "x", PkgPath: "main", Type: v.Type()}})
	text := fmt.Sprintf(strings.ReplaceAll(fmt.FormatString(p, p.verb), "+", ""), reflect.NewAt(hidden, open.UnsafePointer()).Elem().Interface())
	p.write(strings.TrimSuffix(strings.TrimPrefix(text, "{"), "}"))
}
