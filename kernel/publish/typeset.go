package publish

import (
	_ "embed"
	"errors"
	"fmt"
	"html"
	"strings"
	"sync"
	"time"

	"github.com/dop251/goja"
)

//go:embed katex/katex.min.js
var katexSource string

// engine is KaTeX in an interpreter. Starting it takes longer than typesetting a page, so a process has one.
type engine struct {
	mu      sync.Mutex // the interpreter serves one at a time
	runtime *goja.Runtime
	render  goja.Callable
}

var startedEngine = sync.OnceValues(startEngine)

func startEngine() (*engine, error) {
	program, err := goja.Compile("katex.min.js", katexSource, true)
	if err != nil {
		return nil, err
	}
	runtime := goja.New()
	runtime.SetMaxCallStackSize(deepestFormula)
	if _, err := runtime.RunProgram(program); err != nil {
		return nil, err
	}
	katex := runtime.Get("katex").ToObject(runtime)
	render, ok := goja.AssertFunction(katex.Get("renderToString"))
	if !ok {
		return nil, errors.New("katex.renderToString is not a function")
	}
	return &engine{runtime: runtime, render: render}, nil
}

// A formula of a page that is to be read stays far below these; without them one of 40 kB takes a minute and ten gigabytes.
const (
	longestFormula = 12_000           // bytes: a long derivation is one formula
	deepestFormula = 600              // nested calls of KaTeX, of which a nested group takes several
	patience       = 10 * time.Second // for one formula
)

// formula is a piece of TeX, without its delimiters.
type formula struct {
	tex     string
	display bool   // on a line of its own
	label   string // what references call it
}

// typesetter turns the formulas of one page into HTML for the eye and MathML for assistive technology. Macros that one formula defines by \gdef hold for
// those after it. The zero value is ready; the engine starts with the first formula.
type typesetter struct {
	options *goja.Object
	html    strings.Builder // all that was typeset: what fonts and rules it needs is read from it
}

// set typesets a formula. One that KaTeX refuses is shown as it is written, with the reason; the error is about the engine itself.
func (t *typesetter) set(f formula) (string, error) {
	if len(f.tex) > longestFormula {
		return refused(formula{tex: strings.ToValidUTF8(f.tex[:100], "") + "…"}, fmt.Errorf("it has %d bytes; %d are the most", len(f.tex), longestFormula)), nil
	}
	e, err := startedEngine()
	if err != nil {
		return "", fmt.Errorf("the typesetter of formulas does not start: %w", err)
	}
	e.mu.Lock()
	defer e.mu.Unlock()
	if t.options == nil {
		if t.options, err = e.newOptions(); err != nil {
			return "", err
		}
	}
	if err := t.options.Set("displayMode", f.display); err != nil {
		return "", err
	}
	value, err := e.within(patience, f.tex, t.options)
	if err != nil {
		return refused(f, err), nil
	}
	typeset := strings.Replace(value.String(), `<span class="katex-display">`, `<span class="katex-display" tabindex="0">`, 1) // so that keys scroll a wide one
	t.html.WriteString(typeset)
	return typeset, nil
}

// within typesets in a given time, or fails.
func (e *engine) within(limit time.Duration, tex string, options *goja.Object) (goja.Value, error) {
	done := make(chan struct{})
	timer := time.AfterFunc(limit, func() {
		e.runtime.Interrupt("it takes too long")
		close(done)
	})
	value, err := e.render(goja.Undefined(), e.runtime.ToValue(tex), options)
	if !timer.Stop() {
		<-done
	}
	e.runtime.ClearInterrupt()
	return value, err
}

func (e *engine) newOptions() (*goja.Object, error) {
	options := e.runtime.NewObject()
	return options, errors.Join(
		options.Set("output", "htmlAndMathml"),
		options.Set("strict", "ignore"),
		options.Set("errorColor", "inherit"),
		options.Set("trust", false),   // no links, images, classes or styles from TeX
		options.Set("maxSize", 40),    // in em: a formula cannot cover the page
		options.Set("maxExpand", 1e4), // macros that expand for ever are refused
		options.Set("macros", e.runtime.NewObject()),
		options.Set("globalGroup", true),
	)
}

// refused shows a formula that cannot be typeset.
func refused(f formula, err error) string {
	reason := strings.ReplaceAll(err.Error(), "\u0332", "") // KaTeX underlines the spot with combining characters
	if exception := (*goja.Exception)(nil); errors.As(err, &exception) {
		reason = strings.ReplaceAll(exception.Value().String(), "\u0332", "")
	}
	if interrupted := (*goja.InterruptedError)(nil); errors.As(err, &interrupted) {
		reason = fmt.Sprint(interrupted.Value())
	}
	if overflow := (*goja.StackOverflowError)(nil); errors.As(err, &overflow) {
		reason = "its groups are nested too deep"
	}
	reason = strings.TrimPrefix(reason, "ParseError: KaTeX parse error: ")
	return `<span class="refused"><code>` + html.EscapeString(f.tex) + `</code> <span>This formula cannot be typeset: ` + html.EscapeString(reason) + `</span></span>`
}

// style returns the CSS that the formulas set so far need: their rules, and their fonts in full. It is empty without formulas.
func (t *typesetter) style() (string, error) {
	if t.html.Len() == 0 {
		return "", nil
	}
	return katexStyle(classesIn(t.html.String()))
}
