package kerneltest

import (
	"context"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"sync"

	"foreplane/kernel"
	"foreplane/kernel/display"
)

// Script is an engine whose cells are lists of commands, one a line:
//
//	print TEXT             a line on stdout
//	warn TEXT              a line on stderr
//	write STREAM "TEXT"    quoted text as it is, without a line end
//	repeat N TEXT          N lines on stdout, numbered from 0
//	show ID MIME TEXT      a display; ID - means none
//	update ID MIME TEXT    an update of the displays with this ID
//	page MIME TEXT         a bundle for the pager
//	clear, clear wait      clear the output
//	ask PROMPT             a question; the answer is printed
//	secret PROMPT          the same for a password
//	value TEXT             the value of the cell
//	set NAME TEXT          keep something in the session
//	get NAME               what was kept as the value; the cell fails if there is nothing
//	fail NAME MESSAGE      end with an error of this name
//	panic TEXT             a panic of the engine itself
//	gate NAME              wait for [Script.Open], or an interrupt
//	later NAME TEXT        start a goroutine that waits for [Script.Open] and prints
//	forever                wait for an interrupt
//
// Completion offers names that were set. Inspection documents them. A cell that ends in "..." is incomplete, one with "???" invalid.
type Script struct {
	mu     sync.Mutex
	values map[string]string
	gates  map[string]chan struct{}
	cells  []kernel.Cell
	late   sync.WaitGroup
	closed chan struct{}
}

var _ kernel.Engine = (*Script)(nil)

// NewScript returns an engine in which nothing is set and no gate is open.
func NewScript() *Script {
	return &Script{values: map[string]string{}, gates: map[string]chan struct{}{}, closed: make(chan struct{})}
}

// Open opens a gate, for good.
func (s *Script) Open(gate string) { close(s.gate(gate)) }

// Cells returns the cells that were run, in order.
func (s *Script) Cells() []kernel.Cell {
	s.mu.Lock()
	defer s.mu.Unlock()
	return slices.Clone(s.cells)
}

func (s *Script) gate(name string) chan struct{} {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.gates[name] == nil {
		s.gates[name] = make(chan struct{})
	}
	return s.gates[name]
}

// Run performs the commands of a cell.
func (s *Script) Run(ctx context.Context, cell kernel.Cell, out kernel.Output) kernel.Result {
	s.mu.Lock()
	s.cells = append(s.cells, cell)
	s.mu.Unlock()
	r := &run{Script: s, ctx: ctx, out: out}
	for i, line := range strings.Split(cell.Code, "\n") {
		if line == "" || r.result.Err != nil {
			continue
		}
		name, rest, _ := strings.Cut(line, " ")
		command, ok := commands[name]
		if !ok {
			r.fail("Syntax", fmt.Sprintf("cell %d, line %d: no command %q", cell.Number, i+1, name))
			continue
		}
		command(r, rest)
	}
	return r.result
}

// run is one cell being run.
type run struct {
	*Script
	ctx    context.Context
	out    kernel.Output
	result kernel.Result
}

func (r *run) fail(name, message string) {
	r.result = kernel.Result{Err: &kernel.CellError{Name: name, Message: message}}
}

func (r *run) interrupted() { r.fail("Interrupted", "the cell was interrupted") }

var commands = map[string]func(r *run, rest string){
	"print":   func(r *run, rest string) { r.out.Stream("stdout", rest+"\n") },
	"warn":    func(r *run, rest string) { r.out.Stream("stderr", rest+"\n") },
	"write":   (*run).write,
	"repeat":  (*run).repeat,
	"show":    func(r *run, rest string) { b, id := bundle(rest); r.out.Show(b, id) },
	"update":  func(r *run, rest string) { b, id := bundle(rest); r.out.Update(b, id) },
	"page":    func(r *run, rest string) { b, _ := bundle("- " + rest); r.out.Page(b) },
	"clear":   func(r *run, rest string) { r.out.Clear(rest == "wait") },
	"ask":     func(r *run, rest string) { r.ask(rest, false) },
	"secret":  func(r *run, rest string) { r.ask(rest, true) },
	"value":   func(r *run, rest string) { b := display.Plain(rest); r.result.Value = &b },
	"set":     (*run).set,
	"get":     (*run).get,
	"fail":    func(r *run, rest string) { name, message, _ := strings.Cut(rest, " "); r.fail(name, message) },
	"panic":   func(_ *run, rest string) { panic(rest) },
	"gate":    (*run).pass,
	"later":   (*run).later,
	"forever": func(r *run, _ string) { <-r.ctx.Done(); r.interrupted() },
}

func (r *run) write(rest string) {
	stream, quoted, _ := strings.Cut(rest, " ")
	text, err := strconv.Unquote(quoted)
	if err != nil {
		r.fail("Syntax", "write wants quoted text")
		return
	}
	r.out.Stream(stream, text)
}

func (r *run) repeat(rest string) {
	number, text, _ := strings.Cut(rest, " ")
	n, err := strconv.Atoi(number)
	if err != nil {
		r.fail("Syntax", "repeat wants a number")
		return
	}
	for i := range n {
		r.out.Stream("stdout", fmt.Sprintf("%s %d\n", text, i))
	}
}

// bundle reads "ID MIME TEXT".
func bundle(rest string) (display.Bundle, string) {
	words := strings.SplitN(rest+"  ", " ", 3)
	b := display.Bundle{Data: map[string]any{words[1]: strings.TrimRight(words[2], " ")}}
	return b, strings.TrimPrefix(words[0], "-")
}

func (r *run) ask(prompt string, password bool) {
	text, err := r.out.Input(r.ctx, prompt, password)
	switch {
	case r.ctx.Err() != nil:
		r.interrupted()
	case err != nil:
		r.fail("Error", err.Error())
	default:
		r.out.Stream("stdout", text+"\n")
	}
}

func (r *run) set(rest string) {
	name, text, _ := strings.Cut(rest, " ")
	r.mu.Lock()
	defer r.mu.Unlock()
	r.values[name] = text
}

func (r *run) get(name string) {
	r.mu.Lock()
	defer r.mu.Unlock()
	text, ok := r.values[name]
	if !ok {
		r.fail("Check", "undefined: "+name)
		return
	}
	b := display.Plain(text)
	r.result.Value = &b
}

func (r *run) pass(gate string) {
	select {
	case <-r.gate(gate):
	case <-r.ctx.Done():
		r.interrupted()
	}
}

func (r *run) later(rest string) {
	gate, text, _ := strings.Cut(rest, " ")
	r.late.Go(func() {
		select {
		case <-r.gate(gate):
			r.out.Stream("stdout", text+"\n")
		case <-r.closed:
		}
	})
}

// Complete offers the names that were set and begin with what stands before the cursor.
func (s *Script) Complete(code string, cursor int) kernel.Completion {
	start := strings.LastIndexAny(code[:cursor], " \n") + 1
	c := kernel.Completion{Start: start, End: cursor}
	s.mu.Lock()
	defer s.mu.Unlock()
	for name, text := range s.values {
		if strings.HasPrefix(name, code[start:cursor]) {
			c.Items = append(c.Items, kernel.Candidate{Text: name, Kind: "variable", Signature: text})
		}
	}
	slices.SortFunc(c.Items, func(a, b kernel.Candidate) int { return strings.Compare(a.Text, b.Text) })
	return c
}

// Inspect documents the word at the cursor if it was set.
func (s *Script) Inspect(code string, cursor, detail int) (display.Bundle, bool) {
	start := strings.LastIndexAny(code[:cursor], " \n") + 1
	name, _, _ := strings.Cut(code[start:], " ")
	s.mu.Lock()
	defer s.mu.Unlock()
	text, ok := s.values[name]
	if detail > 0 {
		text += "\n(kept since a cell set it)"
	}
	return display.Plain(text), ok
}

// Completeness judges by the marks that the type's comment names.
func (s *Script) Completeness(code string) kernel.Completeness {
	switch {
	case strings.Contains(code, "???"):
		return kernel.Completeness{Status: "invalid"}
	case strings.HasSuffix(code, "..."):
		return kernel.Completeness{Status: "incomplete", Indent: "\t"}
	}
	return kernel.Completeness{Status: "complete"}
}

// Close ends the goroutines that cells started.
func (s *Script) Close() error {
	close(s.closed)
	s.late.Wait()
	return nil
}
