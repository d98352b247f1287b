package cell

import (
	"fmt"
	"io"
	"maps"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"foreplane/kernel/display"
)

// helpers is what lowered source can call.
func (m *Machine) helpers() map[string]reflect.Value {
	functions := map[string]any{
		"Halt":          m.halt,
		"Function":      func(f func()) { m.loaded.functions = append(m.loaded.functions, f) },
		"Mark":          m.mark,
		"Variable":      func(slot string, at any) { m.loaded.variables[slot] = reflect.ValueOf(at) },
		"Stale":         func(why string) { m.unwind(stale{why}) },
		"Result":        func(values ...any) { m.current().values = values },
		"Show":          m.show,
		"ShowAs":        m.showAs,
		"Page":          func(values ...any) { m.current().out.Page(m.picture(values...)) },
		"ClearOutput":   func(wait bool) { m.current().out.Clear(wait) },
		"Ask":           m.ask,
		"Stdin":         func() io.Reader { return m.stdin },
		"Stdout":        func() *Stream { return m.stdout },
		"Stderr":        func() *Stream { return m.stderr },
		"Fail":          func(err error) { m.unwind(failed{err}) },
		"Panic":         m.raise,
		"Witness":       m.witness,
		"NegativeShift": func() { panic(runtimeError("negative shift amount")) },
		"BadIndex":      badIndex,
		"RangePanic":    rangePanic,
		"Bounds":        bounds,
		"Bounds3":       bounds3,
		"Print":         func(args ...any) { m.print("", args) },
		"Println":       func(args ...any) { m.print("\n", args) },
		"Words":         interfaceWords,
		"Address":       address,
		"Clear":         func(x any) { reflect.ValueOf(x).Clear() },
		"Measured":      measure,
		"Pitfall":       m.pitfall,
		"Prose":         m.prose,
		"Before":        m.before,
		"After":         m.after,
		"Uncertain":     func(value, _ float64) float64 { return value },
		"Close":         func(x any) { reflect.ValueOf(x).Close() },
		"Min":           func(x, y float64) float64 { return min(x, y) },
		"Max":           func(x, y float64) float64 { return max(x, y) },
		"Complex":       func(x, y float64) complex128 { return complex(x, y) },
		"NotNil":        notNil,
		"SortInt":       slices.Sort[[]int],
		"SortFloat64":   slices.Sort[[]float64],
		"SortString":    slices.Sort[[]string],
		"Rune":          runeAt,
		"Key":           hashable,
		"Equal":         equal,
		"ArrayPointer":  arrayPointer,
		"Plain":         func(text string) { panic(plainError(text)) },

		"NewGuard":        func() *Guard { return new(Guard) },
		"Run":             m.runGuard,
		"Defer":           func(g *Guard, f func()) { g.deferred = append(g.deferred, deferred{f, false}) },
		"DeferRecovering": func(g *Guard, f func()) { g.deferred = append(g.deferred, deferred{f, true}) },
		"Pending":         m.pending.take,
		"Recover":         m.recoverFrom,
		"Go":              m.start,

		"Lock":     m.lock,
		"RLock":    m.rlock,
		"Wait":     m.waitFor,
		"GoIn":     m.goIn,
		"WaitCond": m.waitCond,

		"Send":      m.send,
		"Receive":   func(c any) any { v, _ := m.receive(c); return v },
		"ReceiveOK": m.receive,
		"Sending":   func(c, v any) operation { return operation{reflect.ValueOf(c), true, v} },
		"Receiving": func(c any) operation { return operation{channel: reflect.ValueOf(c)} },
		"Select":    m.selectCases,

		"Box":      m.shapes.box,
		"Method":   m.shapes.setMethod,
		"Unbox":    dispatched,
		"Bound":    m.shapes.bound,
		"Open":     m.shapes.open,
		"Error":    asError,
		"As":       m.shapes.as,
		"AsOK":     m.shapes.asOK,
		"Case":     m.firstCase,
		"Value":    func(x any) any { b, _ := unbox(x); return b.V },
		"Foreign":  m.foreign,
		"ErrorsAs": m.shapes.errorsAs,
	}
	maps.Copy(functions, m.jsonHelpers())
	out := map[string]reflect.Value{"Guard": reflect.ValueOf((*Guard)(nil)), "Stream": reflect.ValueOf((*Stream)(nil))}
	for name, f := range functions {
		out[name] = reflect.ValueOf(f)
	}
	return out
}

// dispatched returns the number of the type that an interface value holds, 0 for a compiled one, and the value; a nil one has no methods.
func dispatched(x any) (int, any) {
	notNil(x)
	if b, ok := unbox(x); ok {
		return b.t.ID, b.V
	}
	return 0, x
}

// runeAt returns the character at a byte offset, and the offset behind it.
func runeAt(text string, at int) (rune, int) {
	r, size := utf8.DecodeRuneInString(text[at:])
	return r, at + size
}

// notNil panics as compiled Go does if a method is asked of a nil interface.
func notNil(x any) any {
	if x == nil {
		var p *int
		_ = *p
	}
	return x
}

// foreign passes on a value for a compiled function that looks inside it, unless only the cell knows its type.
func (m *Machine) foreign(x any, function string) any {
	if b, ok := unbox(x); ok {
		m.unwind(failed{fmt.Errorf("%s cannot be given a %s in a cell: it looks inside its argument, and would not see the type that the cell has declared",
			function, b.t.Name)})
	}
	return x
}

// firstCase returns the number of the first type that x is of, or -1.
func (m *Machine) firstCase(x any, ids ...int) int {
	for i, id := range ids {
		if m.shapes.matches(x, id) {
			return i
		}
	}
	return -1
}

// show displays values at once.
func (m *Machine) show(values ...any) {
	m.current().out.Show(m.picture(values...), "")
}

// showAs displays a value under a name, or in place of what was displayed under it before.
func (m *Machine) showAs(name string, value any) {
	b := m.picture(value)
	if _, shown := m.displays.LoadOrStore(name, true); shown {
		m.current().out.Update(b, name)
		return
	}
	m.current().out.Show(b, name)
}

// present makes the bundle that shows values beside each other. A picture that could not be built is an error, not an empty output.
func (m *Machine) present(values ...any) (display.Bundle, error) {
	values = slices.Clone(values)
	for i, v := range values {
		if with, ok := v.(measured); ok {
			v = with.shown(m.lib)
			values[i] = v
		}
		if m.options.Present != nil {
			values[i] = m.options.Present(v)
		}
		if err := display.Broken(values[i]); err != nil {
			return display.Bundle{}, err
		}
	}
	return display.Row(values...), nil
}

// picture is present for what a cell shows on its way.
func (m *Machine) picture(values ...any) display.Bundle {
	b, err := m.present(values...)
	if err != nil {
		m.unwind(failed{err})
	}
	return b
}

// ask asks the user.
func (m *Machine) ask(prompt string) string {
	answer, err := m.input(prompt)
	if err != nil {
		m.unwind(failed{err})
	}
	return answer
}

// print implements print and println, which write to the standard error.
func (m *Machine) print(end string, args []any) {
	var parts []string
	for _, a := range args {
		parts = append(parts, printedText(a))
	}
	sep := ""
	if end != "" {
		sep = " "
	}
	m.stderr.WriteString(strings.Join(parts, sep) + end)
}

// printedText words a value as print does.
func printedText(x any) string {
	switch x := x.(type) {
	case float32:
		return strconv.FormatFloat(float64(x), 'g', -1, 32)
	case float64:
		return strconv.FormatFloat(x, 'g', -1, 64)
	case complex64:
		return strconv.FormatComplex(complex128(x), 'g', -1, 64)
	case complex128:
		return strconv.FormatComplex(x, 'g', -1, 128)
	}
	return fmt.Sprint(x)
}

// interfaceWords and address stand in for what print writes of interface values and of values that are not of a basic type.
func interfaceWords(x any) any {
	if x == nil {
		return "(0x0,0x0)"
	}
	return fmt.Sprintf("(%#x,%#x)", reflect.ValueOf(reflect.TypeOf(x)).Pointer(), reflect.ValueOf(&x).Pointer())
}

func address(x any) any {
	v := reflect.ValueOf(x)
	switch v.Kind() {
	case reflect.Slice:
		return fmt.Sprintf("[%d/%d]%#x", v.Len(), v.Cap(), v.Pointer())
	case reflect.Pointer, reflect.Map, reflect.Chan, reflect.Func:
		return fmt.Sprintf("%#x", v.Pointer())
	}
	return "0x0"
}

// runtimeError is an error that compiled Go would panic with.
type runtimeError string

func (e runtimeError) Error() string { return "runtime error: " + string(e) }
func (e runtimeError) RuntimeError() {}

// plainError is one whose text says it all.
type plainError string

func (e plainError) Error() string { return string(e) }
func (e plainError) RuntimeError() {}

// translate turns what the interpreter panics with into what compiled Go would have. It is for the goroutine that panics.
func (m *Machine) translate(v any) any {
	v = inWordsOfGo(v)
	if _, ok := v.(unseen); ok {
		if e := m.testimony.take(); e != nil {
			return e
		}
	}
	return v
}

func inWordsOfGo(v any) any {
	switch v.(type) {
	case string, error:
	default:
		return v
	}
	if _, boxed := unbox(v); boxed { // what it says is the cell's own
		return v
	}
	text := fmt.Sprint(v)
	switch {
	case strings.HasPrefix(text, "reflect: ") && strings.HasSuffix(text, "index out of range"):
		return unseen{"index out of range"}
	case strings.HasPrefix(text, "reflect") && strings.Contains(text, "slice index out of bounds"):
		return unseen{"slice bounds out of range"}
	case strings.HasPrefix(text, "reflect: call of"), strings.Contains(text, "is nil, not *struct"), strings.Contains(text, "call of nil function"),
		text == "reflect: Call using zero Value argument", // the value that a nil pointer points to
		strings.HasPrefix(text, "reflect: Method on nil"):
		return runtimeError("invalid memory address or nil pointer dereference")
	case strings.HasPrefix(text, "reflect.Append: slice overflow"), strings.HasPrefix(text, "reflect: slice overflow"), strings.HasPrefix(text, "reflect.Value.Grow"):
		return runtimeError("growslice: len out of range")
	case text == "reflect.MakeChan: negative buffer size":
		return plainError("makechan: size out of range")
	case strings.HasPrefix(text, "hash of unhashable type: "): // what reflect finds out
		return runtimeError(strings.Replace(text, ":", "", 1))
	case strings.HasPrefix(text, "reflect.MakeSlice: len > cap"):
		return runtimeError("makeslice: cap out of range")
	case strings.HasPrefix(text, "reflect.MakeSlice: negative"):
		return runtimeError("makeslice: " + strings.TrimPrefix(text, "reflect.MakeSlice: negative ") + " out of range")
	}
	return v
}
