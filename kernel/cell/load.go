package cell

import (
	"fmt"
	"go/parser"
	"reflect"
	"strings"

	"github.com/traefik/yaegi/interp"
)

// loaded is what a program has told of itself when it was compiled.
type loaded struct {
	code      *code
	functions []func()                 // to call, in order
	variables map[string]reflect.Value // addresses of the variables that it makes, by slot
}

// introduction is source by which a program that is compiled hands over what the machine needs of it: the interpreter runs it at once.
func (p *Program) introduction() string {
	var b strings.Builder
	call := func(helper, args string) { fmt.Fprintf(&b, "%s.%s(%s)\n", runtimeName, helper, args) }
	for _, name := range []string{p.Setup, p.Entry} {
		if name != "" {
			call("Function", name)
		}
	}
	for _, f := range p.Functions {
		if f.Mark != "" {
			call("Mark", "&"+f.Mark)
		}
	}
	for _, v := range p.Binds {
		if v.Variable {
			call("Variable", fmt.Sprintf("%q, &%s", v.Slot, v.Slot))
		}
	}
	if b.Len() == 0 {
		return ""
	}
	return "func init() {\n" + b.String() + "}\n"
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
	code := newCode(p)
	m.loaded = loaded{code: code, variables: map[string]reflect.Value{}}
	if err := m.compileThen(p.Source+p.introduction(), m.locate(code)); err != nil {
		return err
	}
	m.inside.forget(p.Private)
	m.inside.forget(p.Spent)
	return nil
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

// compile compiles declarations and makes room for their variables.
func (m *Machine) compile(source string) error { return m.compileThen(source, func() {}) }

// compileThen is compile; it calls then when nothing of what was compiled is left. The interpreter may panic over what it cannot compile.
func (m *Machine) compileThen(source string, then func()) (err error) {
	var program *interp.Program
	set := m.interp.FileSet()
	file, err := parser.ParseFile(set, interp.DefaultSourceName, "package main\n"+source, parser.SkipObjectResolution)
	lines := set.File(file.FileStart)
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("%v", r)
		}
		m.inside.cut(program, func() {
			set.RemoveFile(lines)
			then()
		})
	}()
	if err != nil {
		return err
	}
	if program, err = m.interp.CompileAST(file); err == nil {
		m.inside.grow()
		_, err = m.interp.Execute(program)
	}
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
				m.unwind(failed{err})
			}
			return []reflect.Value{v}
		})
	}
	return out
}
