package cell

import (
	"cmp"
	"fmt"
	"reflect"
	"strconv"
	"strings"

	"foreplane/kernel"
)

// compileError words the interpreter's refusal of lowered source: a gap in the lowering.
func (m *Machine) compileError(p *Program, err error) *kernel.CellError {
	where := fmt.Sprintf("cell %d", p.Cell)
	if place := p.placeOf(err.Error()); place != (Place{}) {
		where = place.String()
	}
	text := fmt.Sprintf("%s: this cannot be run in a cell, of which nothing has run: write it in another way (%v)", where, err)
	return &kernel.CellError{Name: "Refused", Message: text, Traceback: []string{text}}
}

// outcome turns the end of a run into an outcome.
func (m *Machine) outcome(r *run, e *ended) Outcome {
	o := m.plainOutcome(r, e)
	m.answered(r, &o)
	m.showDerivation(r)
	return o
}

// plainOutcome is outcome for any cell.
func (m *Machine) plainOutcome(r *run, e *ended) Outcome {
	o := Outcome{Bound: *m.progress}
	e.entry = m.entryOf(r.program)
	failure := r.finish()
	switch _, isHalted := e.thrown.(halted); {
	case failure != nil && (isHalted || e.thrown == nil):
		o.Err = failure
	case e.thrown == nil && m.derives(r, &o):
	case e.thrown == nil:
		m.result(r, &o)
	default:
		o.Err = m.failure(e)
	}
	return o
}

// result shows the values of the last expression, or fails the cell if the last of them is an error.
func (m *Machine) result(r *run, o *Outcome) {
	values, shown := r.values, r.program.Show
	if n := len(values); n > 0 && shown[n-1].Error {
		if err, _ := values[n-1].(error); err != nil {
			o.Err = m.failure(&ended{thrown: failed{err}})
			return
		}
		values = values[:n-1]
	}
	if len(values) == 0 {
		return
	}
	b, err := m.present(values...)
	if err != nil {
		o.Err = m.failure(&ended{thrown: failed{err}})
		return
	}
	o.Value = &b
}

// failure is the error of a program, or of a goroutine of it, that ended early; nil if it asked for that end.
func (m *Machine) failure(e *ended) *kernel.CellError {
	switch u := e.thrown.(type) {
	case halted:
		return m.told(e, "Interrupted", "interrupted", "")
	case stale:
		return m.told(e, "Check", u.why, "")
	case failed:
		return m.told(e, "Error", explainFiles(u.err), "")
	case exited:
		if u.code == 0 {
			return nil
		}
		return m.told(e, "Exit", fmt.Sprintf("the cell asked the process to end with code %d", u.code), "")
	case tooDeep:
		return m.told(e, "Panic", fmt.Sprintf("call depth: %s is nested %d calls deep; they fill %d MiB of stack, which is the limit",
			cmp.Or(e.innermost.name(), "the cell"), e.calls, m.stacks.largest>>21), "")
	}
	message, kind := panicText(e.thrown)
	return m.told(e, "Panic", message, kind)
}

// told is an error with the places of the functions that the program was in; kind says what a panic was given, if that is worth while.
func (m *Machine) told(e *ended, name, message, kind string) *kernel.CellError {
	chain, place := m.chain(e)
	err := &kernel.CellError{Name: name, Message: message, Traceback: append([]string{name + kind + ": " + message}, chain...)}
	if place != "" {
		err.Message = place + ": " + message
	}
	return err
}

// panicText words what a panic was given as compiled Go does, and names the type of an error that the cell has declared.
func panicText(x any) (text, kind string) {
	b, boxed := unbox(x)
	if boxed {
		kind = fmt.Sprintf(" (%s)", b.t.Name)
	}
	if err, ok := x.(error); ok {
		return strings.TrimPrefix(err.Error(), "runtime error: "), kind
	}
	if boxed && b.t.keys["String() string"] {
		return fmt.Sprint(x), kind
	}
	if boxed {
		return typedText(b.t.Name, b.V), ""
	}
	if s, ok := x.(fmt.Stringer); ok {
		return s.String(), ""
	}
	v := reflect.ValueOf(x)
	if v.Type().PkgPath() == "" && v.Type().Name() != "" {
		return printedText(x), ""
	}
	return typedText(v.Type().String(), x), ""
}

// typedText words a value that has no text of its own, with the name of its type.
func typedText(name string, x any) string {
	switch v := reflect.ValueOf(x); {
	case v.Kind() == reflect.String:
		return name + "(" + strconv.Quote(v.String()) + ")"
	case v.CanInt(), v.CanUint(), v.CanFloat(), v.Kind() == reflect.Bool, v.CanComplex():
		return name + "(" + printedText(x) + ")"
	}
	return fmt.Sprintf("(%s) %+v", name, x)
}
