package cell

import (
	"bytes"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
)

// maxFrames is how many functions of a panic are told. If there are more, it is the first and the last of them.
const maxFrames = 20

// frame is a function of lowered source that a panic has unwound: the outermost one around it, how deep in function literals it is, and a line of it near
// its start.
type frame struct {
	lowered     string
	depth, line int
}

// trace is what is kept of the functions that a panic has unwound, innermost first. A call may have left two frames.
type trace struct {
	first, last []frame
	between     int // frames that are not kept
}

const keptFrames = 2 * maxFrames

func (t *trace) add(f frame) {
	switch {
	case len(t.first) < keptFrames:
		t.first = append(t.first, f)
	case len(t.last) < keptFrames:
		t.last = append(t.last, f)
	default:
		t.last = append(t.last[1:], f)
		t.between++
	}
}

// tracer collects what the interpreter writes to its standard error about each function that a panic unwinds.
type tracer struct {
	mu    sync.Mutex
	trace trace
	muted map[uint64]bool // the goroutines of which nothing is noted
}

// mute keeps what the current goroutine panics with from being noted, until the function that it returns is called.
func (t *tracer) mute() (unmute func()) {
	t.mu.Lock()
	defer t.mu.Unlock()
	if t.muted == nil {
		t.muted = map[uint64]bool{}
	}
	id := goroutine()
	t.muted[id] = true
	return func() {
		t.mu.Lock()
		defer t.mu.Unlock()
		delete(t.muted, id)
	}
}

var traceLine = regexp.MustCompile(`(\d+):\d+: panic: main\.([\pL_][\pL\pN_]*)((?:\.func)*)\(`)

// Write notes a function. The interpreter holds the lock of a frame meanwhile.
func (t *tracer) Write(p []byte) (int, error) {
	t.mu.Lock()
	defer t.mu.Unlock()
	if len(t.muted) > 0 && t.muted[goroutine()] {
		return len(p), nil
	}
	for line := range bytes.Lines(p) {
		if m := traceLine.FindSubmatch(line); m != nil {
			n, _ := strconv.Atoi(string(m[1]))
			t.trace.add(frame{string(m[2]), len(m[3]) / len(".func"), n - 1}) // less the package clause
		}
	}
	return len(p), nil
}

// take returns the trace and begins a new one.
func (t *tracer) take() trace {
	t.mu.Lock()
	defer t.mu.Unlock()
	taken := t.trace
	t.trace = trace{}
	return taken
}

func (t *tracer) reset() { t.take() }

var functionTag = regexp.MustCompile(`//f(\d+)\.(\d+)(?:@(\d+))?`)

// tagged is a line of lowered source on which a function starts; place is that of a function that is only there to make a call later, else 0.
type tagged struct{ line, function, depth, place int }

// code tells about the functions of a program.
type code struct {
	functions []Function
	places    []Place
	marks     []*int              // the interpreter's variables that hold the current places, by function; nil for those that have none
	starts    map[string][]tagged // where the functions of each function of the lowered source are
}

// loweredFunc is a function of lowered source with the functions inside of it.
type loweredFunc struct {
	*code
	starts []tagged
}

// newCode finds out where the functions of a program are.
func newCode(p *Program) *code {
	c := &code{functions: p.Functions, places: p.Places, marks: make([]*int, len(p.Functions)), starts: map[string][]tagged{}}
	line := 0
	for text := range strings.Lines(p.Source) {
		line++
		if t := functionTag.FindStringSubmatch(strings.TrimSpace(text)); t != nil {
			index, _ := strconv.Atoi(t[1])
			depth, _ := strconv.Atoi(t[2])
			name := p.Functions[index].Lowered
			place, _ := strconv.Atoi(t[3])
			c.starts[name] = append(c.starts[name], tagged{line, index, depth, place})
		}
	}
	return c
}

// locate notes where the functions of a program are, for traces, until forget is called.
func (m *Machine) locate(c *code) (forget func()) {
	for name, list := range c.starts {
		m.code.Store(name, &loweredFunc{c, list})
	}
	return func() {
		for name := range c.starts {
			m.code.Delete(name)
		}
	}
}

// mark notes the variable in which the next function of the program that is being compiled leaves its current place.
func (m *Machine) mark(at *int) {
	c := m.loaded.code
	for i, f := range c.functions {
		if f.Mark != "" && c.marks[i] == nil {
			c.marks[i] = at
			return
		}
	}
}

// find finds the function that a frame is of.
func (c *loweredFunc) find(f frame) (found tagged, ok bool) {
	for _, s := range c.starts {
		if s.line <= f.line && s.depth == f.depth {
			found, ok = s, true
		}
	}
	return found, ok
}

// call is a function that was running when a panic came.
type call struct {
	code  *loweredFunc
	index int // of the function in the program
	depth int // of the frame: a body that a guard runs is one deeper than its function
	place int // its place, if that is always the same
}

// callOf is the call of a function that is known, or nil.
func (m *Machine) callOf(lowered string, index int) *call {
	if code, ok := m.code.Load(lowered); ok {
		return &call{code: code.(*loweredFunc), index: index}
	}
	return nil
}

// entryOf is the call of the function that has the statements of a cell, or nil.
func (m *Machine) entryOf(p *Program) *call {
	if code, ok := m.code.Load(p.Entry); ok {
		return &call{code: code.(*loweredFunc), index: code.(*loweredFunc).starts[0].function}
	}
	return nil
}

func (c *call) function() Function { return c.code.functions[c.index] }

// name is the name of the function, empty if that is not known.
func (c *call) name() string {
	if c == nil {
		return ""
	}
	return c.function().Name
}

// at is the index of the place that the function has left last, 0 if that is not known.
func (c *call) at() int {
	if c != nil && c.place > 0 {
		return c.place
	}
	if c == nil || c.code.marks[c.index] == nil {
		return 0
	}
	return *c.code.marks[c.index]
}

// where is the place of a call.
func (c *call) where() Place { return c.code.places[c.at()] }

// calls makes calls of frames.
func (m *Machine) calls(frames []frame) []*call {
	var out []*call
	for _, f := range frames {
		v, ok := m.code.Load(f.lowered)
		if !ok {
			continue
		}
		code := v.(*loweredFunc)
		start, ok := code.find(f)
		c := &call{code, start.function, f.depth, start.place}
		if !ok || c.at() == 0 {
			continue
		}
		if n := len(out); n > 0 && out[n-1].code == code && out[n-1].index == c.index && out[n-1].depth > c.depth {
			out[n-1] = c // the function around the body that its guard has run
			continue
		}
		out = append(out, c)
	}
	return out
}

// chain words the functions that a goroutine was in when it ended, innermost first, each with its place, and the place of the innermost.
func (m *Machine) chain(e *ended) (lines []string, place string) {
	first, last := m.calls(e.trace.first), m.calls(e.trace.last)
	if e.calls > 0 && e.innermost.at() > 0 {
		first = []*call{e.innermost}
	}
	if e.cut && e.entry.at() > 0 {
		last = append(last, e.entry)
	}
	if len(first) > 0 {
		place = first[0].where().String()
	}
	known := map[string]bool{}
	for _, c := range slices.Concat(first, last) {
		lines = append(lines, c.describe(known))
	}
	head := min(len(first), maxFrames/2)
	tail := max(head, len(lines)-maxFrames/2)
	switch {
	case e.calls > 0:
		return slices.Concat(lines[:len(first)], []string{more(e.calls - len(lines))}, lines[len(first):]), place
	case e.cut:
		return slices.Concat(lines[:head], []string{"… and the calls around these"}, lines[len(first):]), place
	case e.trace.between == 0 && len(lines) <= maxFrames:
		return lines, place
	}
	return slices.Concat(lines[:head], []string{more(e.trace.between + tail - head)}, lines[tail:]), place
}

func more(calls int) string { return "… and " + counted(calls, "more call", "more calls") }

// describe words a call. The place that a function has left is that of its innermost call. Of the calls around that, it can only be said where they may be;
// known has the functions that have been told already.
func (c *call) describe(known map[string]bool) string {
	f := c.function()
	places := []Place{c.where()}
	key := fmt.Sprint(f.Lowered, c.index)
	if known[key] && len(f.Calls) > 0 {
		places = nil
		for _, at := range f.Calls {
			places = append(places, c.code.places[at])
		}
	}
	known[key] = true
	if f.Name == "" {
		return worded(places)
	}
	return worded(places) + ", in " + f.Name
}

// worded words the place of a call that is one of some.
func worded(places []Place) string {
	if len(places) == 1 {
		return places[0].String()
	}
	var lines []string
	for _, p := range places {
		lines = append(lines, strconv.Itoa(p.Line))
	}
	file, line := fmt.Sprintf("cell %d", places[0].Cell), ", line "
	if places[0].File != "" {
		file, line = places[0].File, ":"
	}
	if lines = slices.Compact(lines); len(lines) > 3 {
		return file
	}
	return file + line + strings.Join(lines, " or ")
}
