package cell

import (
	"context"
	"fmt"
	"go/parser"
	"os"
	"reflect"
	"sync"

	"github.com/traefik/yaegi/interp"

	"foreplane/kernel"
)

// Machine runs programs in the interpreter. It holds the values of a session; nothing that a program does outlives it except its goroutines.
// Programs run one at a time.
type Machine struct {
	lib      Library
	interp   *interp.Interpreter
	trace    *tracer
	stopped  *bool           // read by every lowered loop
	progress *int            // how many binds of the running program are completed
	known    map[string]bool // packages and types that the interpreter has been told
	mu       sync.Mutex
	run      *run
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
}

// NewMachine returns a machine that knows the packages of lib.
func NewMachine(lib Library, options MachineOptions) (*Machine, error) {
	m := &Machine{lib: lib, trace: new(tracer), known: map[string]bool{}}
	m.interp = interp.New(interp.Options{Stderr: m.trace})
	if err := m.interp.Use(interp.Exports{runtimeName + "/" + runtimeName: m.helpers()}); err != nil {
		return nil, err
	}
	_, err := m.interp.Eval(fmt.Sprintf("import %q\nvar %s bool\nvar %s int\n", runtimeName, stopName, progressName))
	if err != nil {
		return nil, err
	}
	if m.stopped, err = global[bool](m, stopName); err != nil {
		return nil, err
	}
	m.progress, err = global[int](m, progressName)
	return m, err
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
		return Outcome{Err: m.compileError(p, err)}, nil
	}
	*m.progress = len(p.Binds)
	if p.Entry == "" {
		return Outcome{Bound: len(p.Binds)}, nil
	}
	m.run = &run{program: p, out: out, ctx: ctx}
	entry, err := m.interp.Eval(p.Entry)
	if err != nil {
		return Outcome{Err: m.compileError(p, err)}, nil
	}
	*m.progress = 0
	m.trace.reset()
	thrown := m.execute(ctx, entry.Interface().(func()))
	return m.outcome(thrown), nil
}

// execute calls entry and returns what it panicked with, or nil.
func (m *Machine) execute(ctx context.Context, entry func()) (thrown any) {
	done := make(chan any, 1)
	go func() {
		defer func() { done <- recover() }()
		entry()
	}()
	select {
	case thrown = <-done:
	case <-ctx.Done():
		setFlag(m.stopped, true)
		thrown = <-done
		setFlag(m.stopped, false)
	}
	return thrown
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
	if err := m.interp.Use(interp.Exports{i.Name + "/" + i.Name: m.lib.Values(i.Path)}); err != nil {
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

// helpers is what lowered source can call.
func (m *Machine) helpers() map[string]reflect.Value {
	return map[string]reflect.Value{
		"Halt":   reflect.ValueOf(func() { panic(halted{}) }),
		"Result": reflect.ValueOf(func(values ...any) { m.run.values = values }),
	}
}

// halted unwinds a program that has been interrupted.
type halted struct{}
