package cell

import (
	"fmt"
	"math"
	"reflect"
	"strconv"
	"strings"
)

// Snapshot is what a variable held when its cell had ended, as far as it can be said in short.
type Snapshot struct {
	Name   string `json:"name"`
	Value  string `json:"value"`            // long values are cut, and say so
	Number string `json:"number,omitempty"` // of a variable that is a finite number: all its digits
	Bytes  int    `json:"bytes"`            // what the variable itself takes, with the elements of slices and the text of strings
	More   bool   `json:"more,omitempty"`   // it refers to further memory, which Bytes does not count
}

// The lengths at which a snapshot is cut.
const (
	briefElements = 4
	briefText     = 60
	briefDepth    = 3
)

// variable is a variable of the session as the machine holds it.
type variable struct {
	slot string
	at   reflect.Value // its address
	last Snapshot
}

// remember keeps account of the variables that a program has bound.
func (m *Machine) remember(binds []Bind) {
	for _, b := range binds {
		if known := m.variables[b.Name]; known != nil && known.slot == b.Slot {
			continue
		}
		delete(m.variables, b.Name)
		if !b.Variable {
			continue
		}
		if at, ok := m.loaded.variables[b.Slot]; ok {
			m.variables[b.Name] = &variable{slot: b.Slot, at: at}
		}
	}
}

// snapshots returns what the variables hold, as far as it differs from what was returned before. While goroutines of cells run, nothing is looked at: they
// may be writing.
func (m *Machine) snapshots() []Snapshot {
	if m.goroutines.alive.Load() > 0 {
		return nil
	}
	var out []Snapshot
	for name, v := range m.variables {
		if s := snapshot(name, v.at.Elem()); s != v.last {
			v.last = s
			out = append(out, s)
		}
	}
	return out
}

func snapshot(name string, v reflect.Value) Snapshot {
	s := Snapshot{Name: name, Value: clipped(brief(v, 0), 2*briefText)}
	switch {
	case v.CanInt(), v.CanUint(), v.CanFloat() && !math.IsNaN(v.Float()) && !math.IsInf(v.Float(), 0):
		s.Number = s.Value
	}
	s.Bytes, s.More = extent(v)
	return s
}

// brief says what a value is, without calling any method of it.
func brief(v reflect.Value, depth int) string {
	switch v.Kind() {
	case reflect.Invalid:
		return "nil"
	case reflect.Float32, reflect.Float64:
		return strconv.FormatFloat(v.Float(), 'g', -1, v.Type().Bits())
	case reflect.String:
		return quoted(v.String())
	case reflect.Interface:
		return brief(v.Elem(), depth)
	case reflect.Func:
		return nilOr(v, "func")
	case reflect.Chan:
		return nilOr(v, fmt.Sprintf("channel, %d waiting", v.Len()))
	case reflect.Map:
		return nilOr(v, counted(v.Len(), "entry", "entries"))
	case reflect.Pointer:
		if v.IsNil() || depth >= briefDepth {
			return nilOr(v, "&…")
		}
		return "&" + brief(v.Elem(), depth+1)
	case reflect.Slice, reflect.Array:
		return briefList(v, depth)
	case reflect.Struct:
		return briefStruct(v, depth)
	}
	return fmt.Sprint(v)
}

// clipped shortens a text that is longer than a number of characters.
func clipped(text string, most int) string {
	if r := []rune(text); len(r) > most {
		return string(r[:most-1]) + "…"
	}
	return text
}

func quoted(s string) string {
	if r := []rune(s); len(r) > briefText {
		return strconv.Quote(string(r[:briefText])) + "… (" + counted(len(s), "byte", "bytes") + ")"
	}
	return strconv.Quote(s)
}

func nilOr(v reflect.Value, text string) string {
	if v.IsNil() {
		return "nil"
	}
	return text
}

func counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + many
}

func briefList(v reflect.Value, depth int) string {
	if v.Kind() == reflect.Slice && v.IsNil() {
		return "nil"
	}
	if depth >= briefDepth && v.Len() > 0 {
		return "[…]"
	}
	var parts []string
	for i := range min(v.Len(), briefElements) {
		parts = append(parts, brief(v.Index(i), depth+1))
	}
	list := strings.Join(parts, " ")
	if v.Len() > briefElements {
		return "[" + list + " …] (" + counted(v.Len(), "element", "elements") + ")"
	}
	return "[" + list + "]"
}

func briefStruct(v reflect.Value, depth int) string {
	if b, ok := asBox(v); ok {
		return b.t.Name + " " + brief(reflect.ValueOf(b.V), depth)
	}
	if depth >= briefDepth {
		return "{…}"
	}
	var parts []string
	for i := range min(v.NumField(), briefElements) {
		parts = append(parts, strings.TrimPrefix(v.Type().Field(i).Name, hiddenField)+": "+brief(v.Field(i), depth+1))
	}
	if v.NumField() > briefElements {
		parts = append(parts, "…")
	}
	return "{" + strings.Join(parts, ", ") + "}"
}

func asBox(v reflect.Value) (Box, bool) {
	if !v.CanInterface() {
		return Box{}, false
	}
	return unbox(v.Interface())
}

// extent returns how many bytes a value takes, and whether it refers to more that is not counted.
func extent(v reflect.Value) (bytes int, more bool) {
	if !v.IsValid() {
		return 0, false
	}
	bytes = int(v.Type().Size())
	switch v.Kind() {
	case reflect.String:
		return bytes + v.Len(), false
	case reflect.Slice:
		return bytes + v.Cap()*int(v.Type().Elem().Size()), refers(v.Type().Elem())
	}
	return bytes, refers(v.Type())
}

// refers reports whether values of a type hold references.
func refers(t reflect.Type) bool {
	switch t.Kind() {
	case reflect.Array:
		return refers(t.Elem())
	case reflect.Struct:
		for i := range t.NumField() {
			if refers(t.Field(i).Type) {
				return true
			}
		}
		return false
	}
	return t.Kind() >= reflect.Chan && t.Kind() != reflect.Struct
}
