package cell

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strings"
)

// encoding/json looks inside values by reflection. For values of types that only the cell knows it is given a view: a value of a type made of the same
// fields, with their names and tags. A part that has methods for JSON is seen as one that calls them.

// viewer makes views of values, and takes values back from them.
type viewer struct {
	types   *shapes
	reading bool                      // into the values
	within  []*shape                  // what the view is being made of
	back    map[uintptr]reflect.Value // pointers of the cell by those of the view
	structs map[*shape]reflect.Type   // the interpreter's types of structs that are being read into
}

// written is the view of a part that writes itself.
type written struct {
	method string
	box    Box
}

func (w written) MarshalJSON() ([]byte, error) {
	result := w.box.t.methods[w.method].Call([]reflect.Value{reflect.ValueOf(&w.box.V).Elem()})
	err, _ := result[1].Interface().(error)
	text := result[0].Bytes()
	if err == nil && w.method == "MarshalText" {
		return json.Marshal(string(text))
	}
	return text, err
}

// kept is the view of a part that reads itself: the text is kept for it.
type kept []byte

func (k *kept) UnmarshalJSON(text []byte) error {
	*k = append((*k)[:0], text...)
	return nil
}

const (
	marshalJSON   = "MarshalJSON() ([]uint8, error)"
	marshalText   = "MarshalText() ([]uint8, error)"
	unmarshalJSON = "UnmarshalJSON([]uint8) error"
	unmarshalText = "UnmarshalText([]uint8) error"
)

// has returns the name of the first of the methods that a type has, or nothing.
func (w *viewer) method(s *shape, keys ...string) string {
	for _, k := range keys {
		if s.keys[k] {
			name, _, _ := strings.Cut(k, "(")
			return name
		}
	}
	return ""
}

// own returns the name of a method by which a value of type s writes itself, or reads itself.
func (w *viewer) own(s *shape) string {
	if w.reading {
		return w.method(s, unmarshalJSON, unmarshalText)
	}
	return w.method(s, marshalJSON, marshalText)
}

// pointerTo finds the type of pointers to s, if the table knows it.
func (w *viewer) pointerTo(s *shape) *shape {
	for _, p := range w.types.list {
		if p != nil && p.Kind == "pointer" && !p.Named && p.Elem == s.ID {
			return p
		}
	}
	return nil
}

var (
	writtenType    = reflect.TypeFor[written]()
	writtenPointer = reflect.TypeFor[*written]()
	keptType       = reflect.TypeFor[kept]()
)

// typeOf returns the type of views of values of type s; addressable says whether methods with pointer receivers count.
func (w *viewer) typeOf(s *shape, addressable bool) reflect.Type {
	if t := w.ownType(s, addressable); t != nil {
		return t
	}
	if slices.Contains(w.within, s) {
		return w.recursive(s)
	}
	w.within = append(w.within, s)
	defer func() { w.within = w.within[:len(w.within)-1] }()
	switch s.Kind {
	case "struct":
		return w.structType(s, addressable)
	case "pointer":
		elem := w.types.list[s.Elem]
		switch {
		case slices.Contains(w.within, elem) && w.reading:
			return reflect.PointerTo(keptType)
		case slices.Contains(w.within, elem):
			return anyReflected
		}
		return reflect.PointerTo(w.typeOf(elem, true))
	case "slice":
		return reflect.SliceOf(w.typeOf(w.types.list[s.Elem], true))
	case "array":
		return reflect.ArrayOf(s.Len, w.typeOf(w.types.list[s.Elem], addressable))
	case "map":
		return reflect.MapOf(w.types.reflectType(s.Key), w.typeOf(w.types.list[s.Elem], false))
	case "interface", "compiled interface":
		return anyReflected
	}
	if t := w.types.reflectType(s.ID); t != nil {
		return t
	}
	return anyReflected
}

// recursive is the type of views of a part of a type that contains itself: there is none, so it stands in an interface, or is read later.
func (w *viewer) recursive(s *shape) reflect.Type {
	switch {
	case w.reading && s.Kind == "pointer":
		return reflect.PointerTo(keptType)
	case w.reading:
		return keptType
	}
	return anyReflected
}

// ownType is the type of views of a part that writes or reads itself, or nil.
func (w *viewer) ownType(s *shape, addressable bool) reflect.Type {
	p := w.pointerTo(s)
	itself := w.own(s) != "" || (addressable || w.reading) && p != nil && w.own(p) != ""
	switch {
	case !itself || s.Kind == "interface" || !s.Celled:
		return nil
	case w.reading && s.Kind == "pointer":
		return reflect.PointerTo(keptType)
	case w.reading:
		return keptType
	case s.Kind == "struct":
		return writtenType
	}
	return writtenPointer // which is omitted if it is nil
}

func (w *viewer) structType(s *shape, addressable bool) reflect.Type {
	var fields []reflect.StructField
	for _, i := range w.visible(s) {
		f := s.Fields[i]
		name := f.Name
		if !f.Exported {
			name = "X" + name
		}
		fields = append(fields, reflect.StructField{Name: name, Type: w.typeOf(w.types.list[f.Type], addressable), Tag: reflect.StructTag(f.Tag), Anonymous: f.Embedded})
	}
	return reflect.StructOf(fields)
}

// visible lists the fields that encoding/json looks at: exported ones, and structs that are embedded.
func (w *viewer) visible(s *shape) []int {
	var out []int
	for i, f := range s.Fields {
		t := w.types.list[f.Type]
		if t.Kind == "pointer" {
			t = w.types.list[t.Elem]
		}
		if f.Exported || f.Embedded && t.Kind == "struct" {
			out = append(out, i)
		}
	}
	return out
}

// value returns the view of v, a value of type s, as a value of type t.
func (w *viewer) value(s *shape, v reflect.Value, t reflect.Type, addressable bool) reflect.Value {
	out := reflect.New(t).Elem()
	v = unpacked(s, v)
	switch {
	case !v.IsValid():
		return out
	case t == anyReflected && s.Kind != "interface" && s.Kind != "compiled interface":
		if s.Kind != "pointer" || !v.IsNil() {
			out.Set(w.value(s, v, w.typeOf(s, addressable), addressable))
		}
		return out
	case t == writtenType, t == writtenPointer:
		return w.writtenView(s, v, t)
	case t == keptType:
		return out
	}
	switch s.Kind {
	case "struct":
		for k, i := range w.visible(s) {
			f, field := s.Fields[i], t.Field(k).Type
			if field != writtenPointer || !omits(f.Tag, v.Field(i)) {
				out.Field(k).Set(w.value(w.types.list[f.Type], v.Field(i), field, addressable))
			}
		}
	case "pointer":
		return w.pointerView(s, v, t)
	case "slice":
		if !v.IsNil() {
			out.Set(reflect.MakeSlice(t, v.Len(), v.Len()))
			w.elements(s, v, out)
		}
	case "array":
		w.elements(s, v, out)
	case "map":
		w.mapView(s, v, out)
	case "interface", "compiled interface":
		if x := w.dynamic(v.Interface()); x != nil {
			out.Set(reflect.ValueOf(x))
		}
	default:
		if v.Type().AssignableTo(t) {
			out.Set(v)
		}
	}
	return out
}

// unpacked takes a value of a recursive type out of the empty interface that the interpreter holds it in.
func unpacked(s *shape, v reflect.Value) reflect.Value {
	if v.IsValid() && v.Kind() == reflect.Interface && s.Kind != "interface" && s.Kind != "compiled interface" {
		return v.Elem()
	}
	return v
}

// writtenView is the view of a part that writes itself.
func (w *viewer) writtenView(s *shape, v reflect.Value, t reflect.Type) reflect.Value {
	box := Box{s, v.Interface()}
	method := w.own(s)
	if method == "" {
		p := reflect.New(v.Type())
		p.Elem().Set(v)
		box = Box{w.pointerTo(s), p.Interface()}
		method = w.own(box.t)
	}
	x := &written{method, box}
	switch {
	case t == writtenType:
		return reflect.ValueOf(*x)
	case s.Kind == "pointer" && v.IsNil():
		return reflect.Zero(t)
	}
	return reflect.ValueOf(x)
}

// omits reports whether a field with a tag is left out if its value is v.
func omits(tag string, v reflect.Value) bool {
	_, options, _ := strings.Cut(reflect.StructTag(tag).Get("json"), ",")
	if !slices.Contains(strings.Split(options, ","), "omitempty") || !v.IsValid() {
		return false
	}
	switch v.Kind() {
	case reflect.Array, reflect.Map, reflect.Slice, reflect.String:
		return v.Len() == 0
	case reflect.Struct:
		return false
	}
	return v.IsZero()
}

func (w *viewer) pointerView(s *shape, v reflect.Value, t reflect.Type) reflect.Value {
	if v.IsNil() {
		return reflect.Zero(t)
	}
	elem := w.types.list[s.Elem]
	p := reflect.New(t.Elem())
	p.Elem().Set(w.value(elem, v.Elem(), t.Elem(), true))
	w.back[p.Pointer()] = v
	return p
}

func (w *viewer) elements(s *shape, v, out reflect.Value) {
	for i := range v.Len() {
		out.Index(i).Set(w.value(w.types.list[s.Elem], v.Index(i), out.Type().Elem(), true))
	}
}

func (w *viewer) mapView(s *shape, v, out reflect.Value) {
	if v.IsNil() {
		return
	}
	out.Set(reflect.MakeMap(out.Type()))
	for _, k := range v.MapKeys() {
		key := w.value(w.types.list[s.Key], k, out.Type().Key(), false)
		out.SetMapIndex(key, w.value(w.types.list[s.Elem], v.MapIndex(k), out.Type().Elem(), false))
	}
}

// dynamic returns the view of an interface value.
func (w *viewer) dynamic(x any) any {
	x = w.types.open(x)
	b, ok := unbox(x)
	if !ok {
		return x
	}
	return w.value(b.t, reflect.ValueOf(&b.V).Elem(), w.typeOf(b.t, false), false).Interface()
}

// MarshalJSON writes a box that stands in a value of a compiled type.
func (b Box) MarshalJSON() ([]byte, error) { return json.Marshal(b.t.table.jsonView(b)) }

// jsonView returns the view of an interface value for writing.
func (t *shapes) jsonView(x any) any {
	w := &viewer{types: t, back: map[uintptr]reflect.Value{}}
	return w.dynamic(x)
}

// readJSON has decode fill what x points to.
func (t *shapes) readJSON(x any, decode func(any) error) (err error) {
	b, ok := unbox(x)
	switch {
	case !ok:
		return decode(x)
	case b.t.Kind != "pointer":
		return fmt.Errorf("json: Unmarshal(non-pointer %s)", b.t.Name)
	case unpacked(b.t, reflect.ValueOf(&b.V).Elem()).IsNil():
		return fmt.Errorf("json: Unmarshal(nil %s)", b.t.Name)
	}
	w := &viewer{types: t, reading: true, back: map[uintptr]reflect.Value{}, structs: map[*shape]reflect.Type{}}
	if method := w.method(b.t, unmarshalJSON); method != "" {
		return decode(&readable{b, method})
	}
	v := reflect.ValueOf(&b.V).Elem().Elem()
	view := w.value(b.t, v, w.typeOf(b.t, false), false)
	err = decode(view.Interface())
	if inner := w.take(b.t, view, v); err == nil {
		err = inner
	}
	return w.named(b.t, err)
}

// readable is a value of a cell that reads itself.
type readable struct {
	box    Box
	method string
}

func (r *readable) UnmarshalJSON(text []byte) error {
	err, _ := r.box.call(r.method, text).(error)
	return err
}

// take puts what the view has into dst, a value of type s that can be set, except for pointers at the top.
func (w *viewer) take(s *shape, view, dst reflect.Value) error {
	switch {
	case view.Type() == keptType || view.Type() == reflect.PointerTo(keptType):
		return w.takeRaw(s, view, dst)
	case s.Kind == "struct":
		return w.takeFields(s, view, dst)
	case s.Kind == "pointer":
		return w.takePointer(s, view, dst)
	case s.Kind == "slice":
		return w.takeSlice(s, view, dst)
	case s.Kind == "array":
		return w.takeElements(s, view, dst)
	case s.Kind == "map":
		return w.takeMap(s, view, dst)
	case s.Kind == "interface":
		if !view.IsNil() || !dst.IsNil() {
			dst.Set(view)
		}
		return nil
	}
	if dst.CanSet() && view.Type().AssignableTo(dst.Type()) {
		dst.Set(view)
	}
	return nil
}

func (w *viewer) takeFields(s *shape, view, dst reflect.Value) error {
	w.structs[s] = dst.Type()
	for k, i := range w.visible(s) {
		if err := w.take(w.types.list[s.Fields[i].Type], view.Field(k), dst.Field(i)); err != nil {
			return err
		}
	}
	return nil
}

func (w *viewer) takePointer(s *shape, view, dst reflect.Value) error {
	if view.IsNil() {
		if dst.CanSet() {
			dst.SetZero()
		}
		return nil
	}
	if old, ok := w.back[view.Pointer()]; ok {
		return w.take(w.types.list[s.Elem], view.Elem(), old.Elem())
	}
	fresh := reflect.New(dst.Type().Elem())
	dst.Set(fresh)
	return w.take(w.types.list[s.Elem], view.Elem(), fresh.Elem())
}

func (w *viewer) takeSlice(s *shape, view, dst reflect.Value) error {
	if view.IsNil() {
		dst.SetZero()
		return nil
	}
	old := dst.Len()
	fresh := reflect.MakeSlice(dst.Type(), view.Len(), view.Len())
	reflect.Copy(fresh, dst.Slice(0, min(old, view.Len())))
	dst.Set(fresh)
	return w.takeElements(s, view, dst)
}

func (w *viewer) takeElements(s *shape, view, dst reflect.Value) error {
	for i := range view.Len() {
		if err := w.take(w.types.list[s.Elem], view.Index(i), dst.Index(i)); err != nil {
			return err
		}
	}
	return nil
}

func (w *viewer) takeMap(s *shape, view, dst reflect.Value) error {
	if view.IsNil() {
		dst.SetZero()
		return nil
	}
	if dst.IsNil() {
		dst.Set(reflect.MakeMap(dst.Type()))
	}
	for _, k := range view.MapKeys() {
		key, elem := reflect.New(dst.Type().Key()).Elem(), reflect.New(dst.Type().Elem()).Elem()
		if err := w.take(w.types.list[s.Key], k, key); err != nil {
			return err
		}
		if err := w.take(w.types.list[s.Elem], view.MapIndex(k), elem); err != nil {
			return err
		}
		dst.SetMapIndex(key, elem)
	}
	return nil
}

// takeRaw has a part read itself, or a part of a type that contains itself be read, from what the view has kept for it.
func (w *viewer) takeRaw(s *shape, view, dst reflect.Value) error {
	if s.Kind != "pointer" {
		return w.readKept(s, w.pointerTo(s), dst.Addr(), view.Bytes())
	}
	if view.IsNil() {
		dst.SetZero()
		return nil
	}
	elem := w.types.list[s.Elem]
	if dst.IsNil() {
		if dst.Kind() == reflect.Interface { // of a recursive type
			dst.Set(reflect.New(w.structs[elem]))
		} else {
			dst.Set(reflect.New(dst.Type().Elem()))
		}
	}
	return w.readKept(elem, s, unpacked(s, dst), view.Elem().Bytes())
}

// readKept reads what p, of type pointer to s, points to.
func (w *viewer) readKept(s, pointer *shape, p reflect.Value, raw []byte) error {
	if raw == nil {
		return nil
	}
	if pointer != nil && w.own(pointer) != "" {
		return w.readItself(pointer, p, raw)
	}
	inner := &viewer{types: w.types, reading: true, back: map[uintptr]reflect.Value{}, structs: w.structs}
	view := reflect.New(inner.typeOf(s, true))
	view.Elem().Set(inner.value(s, p.Elem(), view.Type().Elem(), true))
	if err := json.Unmarshal(raw, view.Interface()); err != nil {
		return err
	}
	return inner.take(s, view.Elem(), p.Elem())
}

func (w *viewer) readItself(p *shape, dst reflect.Value, raw []byte) error {
	method := w.own(p)
	if method == "UnmarshalText" {
		var text string
		if bytes.Equal(raw, []byte("null")) {
			return nil
		}
		if err := json.Unmarshal(raw, &text); err != nil {
			return err
		}
		raw = []byte(text)
	}
	err, _ := Box{p, dst.Interface()}.call(method, raw).(error)
	return err
}

// named puts the name of the cell's struct into an error that tells a field by it.
func (w *viewer) named(s *shape, err error) error {
	var wrong *json.UnmarshalTypeError
	if !errors.As(err, &wrong) || wrong.Field == "" || wrong.Struct != "" {
		return err
	}
	s = w.innermost(s)
	owner := s // of the field; what is embedded in it is not
	path := strings.Split(wrong.Field, ".")
	for _, name := range path[:len(path)-1] {
		embedded := false
		if s, embedded = w.fieldType(s, name); !embedded {
			owner = s
		}
	}
	_, wrong.Struct, _ = strings.Cut(owner.Name, ".")
	return err
}

// innermost follows pointers and the elements of lists and maps.
func (w *viewer) innermost(s *shape) *shape {
	for s.Kind == "pointer" || s.Kind == "slice" || s.Kind == "array" || s.Kind == "map" {
		s = w.types.list[s.Elem]
	}
	return s
}

// fieldType finds the struct in the field of a name in JSON, and whether it is embedded.
func (w *viewer) fieldType(s *shape, name string) (*shape, bool) {
	for _, f := range s.Fields {
		tag, _, _ := strings.Cut(reflect.StructTag(f.Tag).Get("json"), ",")
		if tag == name || tag == "" && f.Name == name {
			return w.innermost(w.types.list[f.Type]), f.Embedded && tag == ""
		}
	}
	return s, false
}

// jsonHelpers are what lowered source calls in place of functions of encoding/json.
func (m *Machine) jsonHelpers() map[string]any {
	return map[string]any{
		"JSONView": m.shapes.jsonView,
		"JSONUnmarshal": func(text []byte, x any) error {
			return m.shapes.readJSON(x, func(v any) error { return json.Unmarshal(text, v) })
		},
		"JSONDecode": func(d *json.Decoder, x any) error { return m.shapes.readJSON(x, d.Decode) },
	}
}
