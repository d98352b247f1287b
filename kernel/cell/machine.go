package cell

import (
	"bufio"
	"context"
	"fmt"
	"go/parser"
	"math"
	"os"
	"reflect"
	"sync"
	"sync/atomic"

	"github.com/traefik/yaegi/interp"

	"foreplane/kernel"
)

// Machine runs programs in the interpreter. It holds the values of a session; nothing that a program does outlives it except its goroutines.
// Programs run one at a time.
type Machine struct {
	lib      Library
	options  MachineOptions
	interp   *interp.Interpreter
	shapes   *shapes
	trace    *tracer
	pending  pending
	live     sync.WaitGroup // goroutines that cells have started
	displays sync.Map       // names under which something was displayed
	stdin    *bufio.Reader
	known    map[string]bool     // packages and types that the interpreter has been told
	programs map[string]*Program // by the names of their functions

	variables map[string]*variable
	alive     atomic.Int64 // goroutines that cells have started

	stopped  *bool // read by every lowered loop
	depth    *int  // of calls of functions that may call themselves
	limit    *int  // of depth
	progress *int  // how many binds of the running program are completed
	stopMu   sync.Mutex
	stopping chan struct{} // closed to end operations on channels

	mu  sync.Mutex
	run *run
}

// run is one run of a program.
type run struct {
	program *Program
	out     kernel.Output
	ctx     context.Context
	values  []any
}

// MachineOptions adjust a machine. The zero value writes to the streams of the process.
type MachineOptions struct {
	Stdout, Stderr *os.File
	Present        func(any) any // returns what is shown in place of a value that has no rendering of its own; nil shows all as they are
}

// maxDepth is how deep functions that call themselves may be nested. The stack that the Go runtime allows has room for somewhat more.
const maxDepth = 100_000

// NewMachine returns a machine that knows the packages of lib.
func NewMachine(lib Library, options MachineOptions) (*Machine, error) {
	m := &Machine{lib: lib, options: options, trace: new(tracer), known: map[string]bool{}, shapes: newShapes(lib), programs: map[string]*Program{}, variables: map[string]*variable{},
		stopping: make(chan struct{})}
	m.options.defaults()
	m.stdin = newStdin(m)
	m.interp = interp.New(interp.Options{Stderr: m.trace})
	if err := m.interp.Use(interp.Exports{runtimeName + "/" + runtimeName: m.helpers()}); err != nil {
		return nil, err
	}
	_, err := m.interp.Eval(fmt.Sprintf("import %q\nvar %s bool\nvar %s, %s, %s int\nvar %s float64\n", runtimeName, stopName, depthName, limitName, progressName,
		negativeZeroName))
	if err != nil {
		return nil, err
	}
	if m.stopped, err = global[bool](m, stopName); err != nil {
		return nil, err
	}
	for name, p := range map[string]**int{depthName: &m.depth, limitName: &m.limit, progressName: &m.progress} {
		if *p, err = global[int](m, name); err != nil {
			return nil, err
		}
	}
	*m.limit = maxDepth
	zero, err := global[float64](m, negativeZeroName)
	if err == nil {
		*zero = math.Copysign(0, -1)
	}
	return m, err
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
		return Outcome{Bound: len(p.Binds), Values: m.snapshots()}, nil
	}
	m.run = &run{program: p, out: out, ctx: ctx}
	*m.depth = 0
	if p.Entry != "" {
		*m.progress = 0
	}
	m.trace.reset()
	thrown := m.execute(ctx, p)
	o := m.outcome(thrown)
	m.remember(p.Binds[:o.Bound])
	o.Values = m.snapshots()
	return o, nil
}

// execute runs a program that is loaded and returns what it panicked with, or nil.
func (m *Machine) execute(ctx context.Context, p *Program) any {
	done := make(chan any, 1)
	go func() {
		defer func() { done <- recover() }()
		for _, name := range []string{p.Setup, p.Entry} {
			if name != "" {
				m.function(name)()
			}
		}
	}()
	select {
	case thrown := <-done:
		return thrown
	case <-ctx.Done():
		m.stop(true)
		defer m.stop(false)
		thrown := <-done
		m.live.Wait()
		return thrown
	}
}

// function returns an interpreted function without parameters.
func (m *Machine) function(name string) func() {
	v, err := m.interp.Eval(name)
	if err != nil {
		panic(err)
	}
	return v.Interface().(func())
}

// stop raises or lowers the flag that ends loops, recursions and operations on channels.
func (m *Machine) stop(on bool) {
	m.stopMu.Lock()
	defer m.stopMu.Unlock()
	setFlag(m.stopped, on)
	if on {
		setLimit(m.limit, -1)
		close(m.stopping)
		return
	}
	setLimit(m.limit, maxDepth)
	m.stopping = make(chan struct{})
}

// stopChannel is closed when the program is to stop.
func (m *Machine) stopChannel() chan struct{} {
	m.stopMu.Lock()
	defer m.stopMu.Unlock()
	return m.stopping
}

// load tells the interpreter what the program needs and compiles it.
func (m *Machine) load(p *Program) error {
	for _, i := range p.Imports {
		if err := m.once(i.Name, func() error { return m.use(i) }); err != nil {
			return err
		}
	}
	for _, t := range p.Types {
		if err := m.once(t.Name, func() error { return m.compile("type " + t.Name + " " + t.Source) }); err != nil {
			return err
		}
	}
	if err := m.shapes.add(p.Shapes); err != nil {
		return err
	}
	if err := m.interp.Use(interp.Exports{runtimeName + "/" + runtimeName: m.conversions(p)}); err != nil {
		return err
	}
	for _, f := range p.Functions {
		m.programs[f.Lowered] = p
	}
	return m.compile(p.Source)
}

// once does something that the interpreter must not be told twice.
func (m *Machine) once(name string, do func() error) error {
	if m.known[name] {
		return nil
	}
	err := do()
	m.known[name] = err == nil
	return err
}

// use makes a package known to the interpreter.
func (m *Machine) use(i Import) error {
	if err := m.interp.Use(interp.Exports{i.Name + "/" + i.Name: m.symbols(i.Path)}); err != nil {
		return err
	}
	return m.compile(fmt.Sprintf("import %s %q", i.Name, i.Name))
}

// compile compiles declarations and makes room for their variables. The interpreter may panic over what it cannot compile.
func (m *Machine) compile(source string) (err error) {
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("%v", r)
		}
	}()
	file, err := parser.ParseFile(m.interp.FileSet(), interp.DefaultSourceName, "package main\n"+source, parser.SkipObjectResolution)
	if err != nil {
		return err
	}
	program, err := m.interp.CompileAST(file)
	if err != nil {
		return err
	}
	_, err = m.interp.Execute(program)
	return err
}

// conversions returns the functions that turn interface values into values of compiled interfaces, which a program may call by number.
func (m *Machine) conversions(p *Program) map[string]reflect.Value {
	out := map[string]reflect.Value{}
	for _, d := range p.Shapes {
		s := m.shapes.list[d.ID]
		if s.Kind != "compiled interface" {
			continue
		}
		t := reflect.FuncOf([]reflect.Type{anyReflected}, []reflect.Type{s.rtype}, false)
		out[fmt.Sprintf("To%d", s.ID)] = reflect.MakeFunc(t, func(args []reflect.Value) []reflect.Value {
			v, err := m.shapes.wrap(args[0].Interface(), s)
			if err != nil {
				panic(failed{err})
			}
			return []reflect.Value{v}
		})
	}
	return out
}
