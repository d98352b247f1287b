package publish

import (
	_ "embed"
	"errors"
	"fmt"
	"html"
	"strings"
	"sync"

	"github.com/dop251/goja"
)

//go:embed katex/katex.min.js
var katexSource string

// katexProgram is compiled once a process, which takes longer than typesetting a page.
var katexProgram = sync.OnceValues(func() (*goja.Program, error) { return goja.Compile("katex.min.js", katexSource, true) })

// formula is a piece of TeX, without its delimiters.
type formula struct {
	tex     string
	display bool // on a line of its own
}

// typesetter turns formulas into HTML for the eye and MathML for assistive technology. Its engine starts with the first formula; macros that one formula
// defines by \gdef hold for those after it. The zero value is ready.
type typesetter struct {
	runtime *goja.Runtime
	render  goja.Callable
	options *goja.Object
	html    strings.Builder // all that was typeset: what fonts and rules it needs is read from it
}

// set typesets a formula. One that KaTeX refuses is shown as it is written, with the reason; the error is about the engine itself.
func (t *typesetter) set(f formula) (string, error) {
	if t.runtime == nil {
		if err := t.start(); err != nil {
			return "", fmt.Errorf("the typesetter of formulas does not start: %w", err)
		}
	}
	if err := t.options.Set("displayMode", f.display); err != nil {
		return "", err
	}
	value, err := t.render(goja.Undefined(), t.runtime.ToValue(f.tex), t.options)
	if err != nil {
		return refused(f, err), nil
	}
	typeset := value.String()
	t.html.WriteString(typeset)
	return typeset, nil
}

func (t *typesetter) start() error {
	program, err := katexProgram()
	if err != nil {
		return err
	}
	t.runtime = goja.New()
	if _, err := t.runtime.RunProgram(program); err != nil {
		return err
	}
	katex := t.runtime.Get("katex").ToObject(t.runtime)
	render, ok := goja.AssertFunction(katex.Get("renderToString"))
	if !ok {
		return errors.New("katex.renderToString is not a function")
	}
	t.render, t.options = render, t.runtime.NewObject()
	return errors.Join(
		t.options.Set("output", "htmlAndMathml"),
		t.options.Set("strict", "ignore"),
		t.options.Set("trust", false),   // no links, images, classes or styles from TeX
		t.options.Set("maxSize", 40),    // in em: a formula cannot cover the page
		t.options.Set("maxExpand", 1e4), // macros that expand for ever are refused
		t.options.Set("macros", t.runtime.NewObject()),
		t.options.Set("globalGroup", true),
	)
}

// refused shows a formula that cannot be typeset.
func refused(f formula, err error) string {
	reason := strings.ReplaceAll(err.Error(), "\u0332", "") // KaTeX underlines the spot with combining characters
	if exception := (*goja.Exception)(nil); errors.As(err, &exception) {
		reason = strings.ReplaceAll(exception.Value().String(), "\u0332", "")
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
