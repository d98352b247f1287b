package cell

import (
	"bufio"
	"fmt"
	"go/token"
	"io"
	"log"
	"os"
	"reflect"
)

// Stream is the standard output or the standard error of cells. What is written goes to the output of the cell whose goroutine writes.
type Stream struct {
	m    *Machine
	name string
}

func (s *Stream) Write(p []byte) (int, error) { return s.WriteString(string(p)) }

// WriteString implements io.StringWriter.
func (s *Stream) WriteString(text string) (int, error) {
	s.m.current().out.Stream(s.name, text)
	return len(text), nil
}

// overrides are the names of compiled packages that mean something of the machine's own: its streams, its end, its sleep.
func (m *Machine) overrides(path string) map[string]any {
	switch path {
	case "fmt":
		return m.printing()
	case "os":
		return map[string]any{"Exit": func(code int) { m.unwind(exited{code}) }}
	case "log":
		return m.logging()
	case "time":
		return map[string]any{"Sleep": m.sleep, "AfterFunc": m.afterFunc}
	}
	return nil
}

// printing is the part of fmt that writes to the standard output, and what boxes need help with: %T and %p, and the spaces of Print.
func (m *Machine) printing() map[string]any {
	out, in := m.stdout, m.stdin
	formatted := func(w io.Writer, format string, args []any) (int, error) {
		format, args = boxVerbs(format, args)
		return fmt.Fprintf(w, format, args...)
	}
	return map[string]any{
		"Print":   func(args ...any) (int, error) { return fmt.Fprint(out, spaced(args)...) },
		"Printf":  func(format string, args ...any) (int, error) { return formatted(out, format, args) },
		"Println": func(args ...any) (int, error) { return fmt.Fprintln(out, args...) },
		"Fprint":  func(w io.Writer, args ...any) (int, error) { return fmt.Fprint(w, spaced(args)...) },
		"Fprintf": func(w io.Writer, format string, args ...any) (int, error) { return formatted(w, format, args) },
		"Sprint":  func(args ...any) string { return fmt.Sprint(spaced(args)...) },
		"Sprintf": func(format string, args ...any) string {
			format, args = boxVerbs(format, args)
			return fmt.Sprintf(format, args...)
		},
		"Errorf": func(format string, args ...any) error {
			format, args = boxVerbs(format, args)
			return fmt.Errorf(format, args...)
		},
		"Append": func(b []byte, args ...any) []byte { return fmt.Append(b, spaced(args)...) },
		"Appendf": func(b []byte, format string, args ...any) []byte {
			format, args = boxVerbs(format, args)
			return fmt.Appendf(b, format, args...)
		},
		"Scan":   func(args ...any) (int, error) { return fmt.Fscan(in, args...) },
		"Scanf":  func(format string, args ...any) (int, error) { return fmt.Fscanf(in, format, args...) },
		"Scanln": func(args ...any) (int, error) { return fmt.Fscanln(in, args...) },
	}
}

// logging is the standard logger on the machine's standard error; the fatal functions end the cell, not the machine.
func (m *Machine) logging() map[string]any {
	l := log.New(m.stderr, "", log.LstdFlags)
	fatal := func(print func(...any)) func(...any) {
		return func(args ...any) {
			print(args...)
			m.unwind(exited{1})
		}
	}
	return map[string]any{
		"Print": l.Print, "Printf": l.Printf, "Println": l.Println, "Panic": l.Panic, "Panicf": l.Panicf, "Panicln": l.Panicln,
		"Fatal": fatal(l.Print), "Fatalln": fatal(l.Println), "Fatalf": func(format string, args ...any) { fatal(l.Print)(fmt.Sprintf(format, args...)) },
		"Flags": l.Flags, "SetFlags": l.SetFlags, "Prefix": l.Prefix, "SetPrefix": l.SetPrefix, "Writer": l.Writer, "SetOutput": l.SetOutput, "Output": l.Output,
		"Default": func() *log.Logger { return l },
	}
}

// symbols returns the interpreter's table for a package, with the machine's own names put in.
func (m *Machine) symbols(path string) map[string]reflect.Value {
	table := m.lib.Values(path)
	out := make(map[string]reflect.Value, len(table))
	for name, v := range table {
		out[name] = v
		if t := v.Type(); v.CanAddr() && t.PkgPath() != "" && !token.IsExported(t.Name()) {
			out[typeOfPrefix+name] = reflect.Zero(reflect.PointerTo(t))
		}
	}
	for name, f := range m.overrides(path) {
		if _, ok := out[name]; ok {
			out[name] = reflect.ValueOf(f)
		}
	}
	if path == "os" && m.options.Stdout != os.Stdout {
		out["Stdout"], out["Stderr"] = reflect.ValueOf(&m.options.Stdout).Elem(), reflect.ValueOf(&m.options.Stderr).Elem()
	}
	return out
}

// questions is the standard input of cells: each line is asked of the user.
type questions struct {
	m    *Machine
	rest []byte
}

func newStdin(m *Machine) *bufio.Reader { return bufio.NewReader(&questions{m: m}) }

func (q *questions) Read(p []byte) (int, error) {
	if len(q.rest) == 0 {
		line, err := q.m.input("")
		if err != nil {
			return 0, fmt.Errorf("reading the standard input: %w", err)
		}
		q.rest = []byte(line + "\n")
	}
	n := copy(p, q.rest)
	q.rest = q.rest[n:]
	return n, nil
}

var _ io.Reader = (*questions)(nil)

// input asks the user a question, unless the program is interrupted first.
func (m *Machine) input(prompt string) (string, error) {
	r := m.current()
	answer, err := r.out.Input(r.ctx, prompt, false)
	if err != nil && r.isStopping() || r.ctx.Err() != nil && !r.isOver() {
		m.unwind(halted{})
	}
	return answer, err
}
