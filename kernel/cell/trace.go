package cell

import (
	"bytes"
	"fmt"
	"regexp"
	"strings"
	"sync"

	"foreplane/kernel"
	"foreplane/kernel/display"
)

// tracer collects the names of the functions that a panic unwinds, which the interpreter writes to its standard error, innermost first.
type tracer struct {
	mu    sync.Mutex
	names []string
}

const maxFrames = 20

var traceLine = regexp.MustCompile(`panic: main\.([\pL_][\pL\pN_]*)`)

func (t *tracer) Write(p []byte) (int, error) {
	t.mu.Lock()
	defer t.mu.Unlock()
	for line := range bytes.Lines(p) {
		if m := traceLine.FindSubmatch(line); m != nil && len(t.names) < maxFrames {
			t.names = append(t.names, string(m[1]))
		}
	}
	return len(p), nil
}

func (t *tracer) reset() {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.names = nil
}

// compileError words the interpreter's refusal of lowered source: a gap in the lowering.
func (m *Machine) compileError(p *Program, err error) *kernel.CellError {
	text := fmt.Sprintf("cell %d: the interpreter cannot run this: %v", p.Cell, err)
	return &kernel.CellError{Name: "Refused", Message: text, Traceback: []string{text}}
}

// outcome turns the end of a run into an outcome.
func (m *Machine) outcome(thrown any) Outcome {
	o := Outcome{Bound: *m.progress}
	switch thrown := thrown.(type) {
	case nil:
		m.result(&o)
	case halted:
		o.Err = m.failure("Interrupted", "interrupted")
	default:
		o.Err = m.failure("Panic", message(thrown))
	}
	return o
}

// result shows the values of the last expression, or fails the cell if the last of them is an error.
func (m *Machine) result(o *Outcome) {
	values, shapes := m.run.values, m.run.program.Show
	if n := len(values); n > 0 && shapes[n-1].Error {
		if err, _ := values[n-1].(error); err != nil {
			o.Err = m.failure("Error", err.Error())
			return
		}
		values = values[:n-1]
	}
	if len(values) > 0 {
		b := display.Row(values...)
		o.Value = &b
	}
}

// message words what a panic was given.
func message(thrown any) string {
	text := fmt.Sprint(thrown)
	switch {
	case strings.HasPrefix(text, "reflect: slice index out of range"), strings.HasPrefix(text, "reflect: array index out of range"),
		strings.HasPrefix(text, "reflect: string index out of range"):
		return "index out of range"
	case strings.HasPrefix(text, "reflect: call of reflect.Value."), strings.Contains(text, "nil pointer"):
		return "nil pointer dereference"
	}
	return strings.TrimPrefix(text, "runtime error: ")
}

// failure is the error of a cell that ended early, with the places of the functions that it was in.
func (m *Machine) failure(name, message string) *kernel.CellError {
	e := &kernel.CellError{Name: name, Message: message}
	functions := map[string]Function{}
	for _, f := range m.run.program.Functions {
		functions[f.Lowered] = f
	}
	for _, lowered := range m.trace.names {
		f, ok := functions[lowered]
		if !ok || f.Mark == "" {
			continue
		}
		place := m.placeOf(f)
		if len(e.Traceback) == 0 {
			e.Message = place.String() + ": " + message
		}
		line := place.String()
		if f.Name != "" {
			line += ", in " + f.Name
		}
		e.Traceback = append(e.Traceback, line)
	}
	e.Traceback = append([]string{name + ": " + message}, e.Traceback...)
	return e
}

// placeOf reads the mark that a function has left.
func (m *Machine) placeOf(f Function) Place {
	mark, err := global[int](m, f.Mark)
	if err != nil {
		return Place{}
	}
	return m.run.program.Places[*mark]
}
