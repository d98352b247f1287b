package cell

import (
	"bytes"
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"sync"

	"foreplane/kernel"
)

// tracer collects the functions that a panic unwinds, which the interpreter writes to its standard error, innermost first.
type tracer struct {
	mu     sync.Mutex
	frames []frame
}

// frame is a function of lowered source: the outermost one around it, how deep in function literals it is, and a line of it near its start.
type frame struct {
	lowered     string
	depth, line int
}

// maxFrames is how many functions of a panic are told.
const maxFrames = 20

var traceLine = regexp.MustCompile(`(\d+):\d+: panic: main\.([\pL_][\pL\pN_]*)((?:\.func)*)\(`)

func (t *tracer) Write(p []byte) (int, error) {
	t.mu.Lock()
	defer t.mu.Unlock()
	for line := range bytes.Lines(p) {
		if m := traceLine.FindSubmatch(line); m != nil && len(t.frames) < 4*maxFrames {
			n, _ := strconv.Atoi(string(m[1]))
			t.frames = append(t.frames, frame{string(m[2]), len(m[3]) / len(".func"), n - 1}) // less the package clause
		}
	}
	return len(p), nil
}

// take returns the frames and forgets them.
func (t *tracer) take() []frame {
	t.mu.Lock()
	defer t.mu.Unlock()
	frames := t.frames
	t.frames = nil
	return frames
}

func (t *tracer) reset() { t.take() }

var functionTag = regexp.MustCompile(`//f(\d+)\.(\d+)`)

// functionAt finds the function that a frame is of, by the tags that the lowering leaves on the lines where functions start.
func (p *Program) functionAt(f frame) (Function, bool) {
	found, line := -1, 0
	for text := range strings.Lines(p.Source) {
		if line++; line > f.line {
			break
		}
		m := functionTag.FindStringSubmatch(strings.TrimSpace(text))
		if m == nil || m[2] != strconv.Itoa(f.depth) {
			continue
		}
		if index, _ := strconv.Atoi(m[1]); p.Functions[index].Lowered == f.lowered {
			found = index
		}
	}
	if found < 0 {
		return Function{}, false
	}
	return p.Functions[found], true
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
	case stale:
		o.Err = m.failure("Check", thrown.why)
	case failed:
		o.Err = m.failure("Error", thrown.err.Error())
	case exited:
		if thrown.code == 0 {
			break
		}
		o.Err = m.failure("Exit", fmt.Sprintf("the cell asked the process to end with code %d", thrown.code))
	case tooDeep:
		o.Err = m.failure("Panic", fmt.Sprintf("calls are nested more than %d deep", maxDepth))
	default:
		o.Err = m.failure("Panic", message(thrown))
	}
	return o
}

// result shows the values of the last expression, or fails the cell if the last of them is an error.
func (m *Machine) result(o *Outcome) {
	values, shown := m.run.values, m.run.program.Show
	if n := len(values); n > 0 && shown[n-1].Error {
		if err, _ := values[n-1].(error); err != nil {
			o.Err = m.failure("Error", err.Error())
			return
		}
		values = values[:n-1]
	}
	if len(values) == 0 {
		return
	}
	b, err := m.present(values...)
	if err != nil {
		o.Err = m.failure("Error", err.Error())
		return
	}
	o.Value = &b
}

// message words what a panic was given.
func message(thrown any) string {
	thrown = translate(thrown)
	if err, ok := thrown.(error); ok {
		return strings.TrimPrefix(err.Error(), "runtime error: ")
	}
	return fmt.Sprint(thrown)
}

// failure is the error of a cell that ended early, with the places of the functions that it was in.
func (m *Machine) failure(name, message string) *kernel.CellError {
	e := &kernel.CellError{Name: name, Message: message}
	last := ""
	for _, f := range m.trace.take() {
		line, place := m.describe(f)
		if line == "" || line == last || len(e.Traceback) == maxFrames {
			continue
		}
		if len(e.Traceback) == 0 {
			e.Message = place.String() + ": " + message
		}
		e.Traceback = append(e.Traceback, line)
		last = line
	}
	e.Traceback = append([]string{name + ": " + message}, e.Traceback...)
	return e
}

// describe words a frame with the place that its function has marked last, or returns nothing if it is not one of a cell.
func (m *Machine) describe(f frame) (string, Place) {
	p := m.programs[f.lowered]
	if p == nil {
		return "", Place{}
	}
	fn, ok := p.functionAt(f)
	if !ok || fn.Mark == "" {
		return "", Place{}
	}
	mark, err := global[int](m, fn.Mark)
	if err != nil || *mark == 0 {
		return "", Place{}
	}
	place := p.Places[*mark]
	line := place.String()
	if fn.Name != "" {
		line += ", in " + fn.Name
	}
	return line, place
}
