package cell

import (
	"bufio"
	"context"
	"fmt"
	"math"
	"os"
	"reflect"
	"sync"
	"sync/atomic"
	"time"

	"github.com/traefik/yaegi/interp"

	"foreplane/kernel"
)

// Machine runs programs in the interpreter. It holds the values of a session; nothing that a program does outlives it except its goroutines.
// Programs run one at a time.
type Machine struct {
	lib       Library
	options   MachineOptions
	interp    *interp.Interpreter
	shapes    *shapes
	trace     *tracer
	pending   pending
	testimony testimony
	leaving   leaving
	displays  sync.Map         // names under which something was displayed
	doubts    map[string]doubt // of variables that cells have called uncertain
	stdin     *bufio.Reader
	stdout    *Stream
	stderr    *Stream
	known     map[string]bool // packages and types that the interpreter has been told
	code      sync.Map        // *loweredFunc by the names of the interpreter's functions
	inside    interior
	loaded    loaded // the program that was compiled last

	variables map[string]*variable

	flag     *bool       // read by loops and by functions that may call themselves: they are to call halt
	flagging sync.Mutex  // held by who sets it
	halting  atomic.Bool // a run is being stopped
	stacks   *stackWatch
	place    *int // the current place of the cell, if somebody wants to know it
	progress *int // how many binds of the running program are completed

	mu         sync.Mutex  // held by Run
	busy       atomic.Bool // a program runs
	goroutines goroutines
	guards     atomic.Int64 // functions that run with deferred calls
}

// MachineOptions adjust a machine. The zero value writes to the streams of the process.
type MachineOptions struct {
	Stdout, Stderr *os.File
	Present        func(any) any // returns what is shown in place of a value that has no rendering of its own; nil shows all as they are
}

// NewMachine returns a machine that knows the packages of lib.
func NewMachine(lib Library, options MachineOptions) (*Machine, error) {
	m := &Machine{doubts: map[string]doubt{}, lib: lib, options: options, known: map[string]bool{}, variables: map[string]*variable{}, shapes: newShapes(lib), stacks: newStackWatch()}
	m.shapes.halt, m.shapes.passOn = m.haltCallback, m.passOn
	m.options.defaults()
	m.stdin, m.stdout, m.stderr = newStdin(m), &Stream{m, "stdout"}, &Stream{m, "stderr"}
	m.trace = new(tracer)
	m.interp = interp.New(interp.Options{Stderr: m.trace})
	if err := m.interp.Use(interp.Exports{runtimeName + "/" + runtimeName: m.helpers()}); err != nil {
		return nil, err
	}
	_, err := m.interp.Eval(fmt.Sprintf("import %q\nvar %s bool\nvar %s int\nvar %s int\nvar %s float64\n", runtimeName, stopName, progressName, entryMarkName, negativeZeroName))
	if err != nil {
		return nil, err
	}
	m.inside = openInterior(m.interp)
	if m.flag, err = global[bool](m, stopName); err != nil {
		return nil, err
	}
	if m.progress, err = global[int](m, progressName); err != nil {
		return nil, err
	}
	zero, err := global[float64](m, negativeZeroName)
	if err == nil {
		*zero = math.Copysign(0, -1)
	}
	return m, err
}

// TellPlaces has the statements of cells leave the index of their current place, in [Program.Places], at an address that others can read.
func (m *Machine) TellPlaces(at *int) {
	m.inside.put(entryMarkName, reflect.ValueOf(at).Elem())
	m.place = at
}

// defaults fills in the streams of the process.
func (o *MachineOptions) defaults() {
	if o.Stdout == nil {
		o.Stdout = os.Stdout
	}
	if o.Stderr == nil {
		o.Stderr = os.Stderr
	}
}

// global returns the address of an interpreted variable.
func global[T any](m *Machine, name string) (*T, error) {
	v, err := m.interp.Eval("&" + name)
	if err != nil {
		return nil, err
	}
	p, ok := v.Interface().(*T)
	if !ok {
		return nil, fmt.Errorf("cell: the interpreter's %s is a %s", name, v.Type())
	}
	return p, nil
}

// Close ends the machine.
func (m *Machine) Close() error { return nil }

// Run implements [Runner]. It returns when the program has ended; whoever cannot wait for that has to end the process.
func (m *Machine) Run(ctx context.Context, p *Program, out kernel.Output) (Outcome, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if err := m.load(p); err != nil {
		return Outcome{Rejected: true, Err: m.compileError(p, err)}, nil
	}
	*m.progress = len(p.Binds)
	if p.Entry == "" && p.Setup == "" {
		m.remember(p.Binds)
		o := Outcome{Bound: len(p.Binds), Values: m.snapshots()}
		m.answered(&run{program: p}, &o)
		return o, nil
	}
	if p.Entry != "" {
		*m.progress = 0
	}
	m.trace.reset()
	if m.place != nil {
		*m.place = 0
	}
	o := m.outcome(m.execute(&run{program: p, loaded: m.loaded, out: out, ctx: ctx, stopping: make(chan struct{})}))
	m.remember(p.Binds[:o.Bound])
	o.Values = m.snapshots()
	return o, nil
}

// execute runs a program that is loaded.
func (m *Machine) execute(r *run) (*run, *ended) {
	m.busy.Store(true)
	defer m.busy.Store(false)
	m.goroutines.begin(r)
	m.watchStacks()
	done := make(chan *ended, 1)
	go m.callIn(r, func() {
		for _, f := range r.loaded.functions {
			f()
		}
	}, func(e *ended) { done <- e })
	select {
	case e := <-done:
		return r, e
	case <-r.ctx.Done():
		r.stop()
	case <-r.stopping:
	}
	m.halting.Store(true)
	m.signal()
	e := <-done
	r.await()
	m.halting.Store(false)
	m.signal()
	return r, e
}

// signal raises or lowers the flag that loops and functions test.
func (m *Machine) signal() {
	m.flagging.Lock()
	defer m.flagging.Unlock()
	setFlag(m.flag, m.halting.Load() || m.stacks.pressure.Load())
}

// halt is called by loops and functions that have found the flag up. It may be so for the sake of others.
func (m *Machine) halt(lowered string, index int) { m.haltAt(m.callOf(lowered, index)) }

// haltCallback lets an interrupt end compiled code that calls methods of cells.
func (m *Machine) haltCallback() {
	if m.halting.Load() {
		m.haltAt(nil)
	}
}

// cleanup is how long the deferred calls of a goroutine that is being ended may take.
const cleanup = 50 * time.Millisecond

// haltAt ends the current goroutine if it has to stop, or may be the one that fills its stack.
func (m *Machine) haltAt(innermost *call) {
	r := m.current()
	stopping := r.isStopping()
	switch {
	case m.leaving.leaves() && (!stopping || time.Since(r.stopped) < cleanup):
	case stopping:
		m.unwindFrom(halted{}, innermost)
	case m.stacks.pressure.Load():
		m.checkDepth(innermost)
	}
}
