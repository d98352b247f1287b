package display

import (
	"bytes"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"html"
	"image/png"
	"reflect"
	"strings"
)

// The interfaces by which a value offers a rendering of itself.
type (
	// Texter returns the value's text/plain; without it the text is fmt's %v, and so String or Error where there is one.
	Texter interface{ Text() string }
	// HTMLer returns an HTML fragment.
	HTMLer interface{ HTML() string }
	// LaTeXer returns a formula; one without delimiters of its own is set as a displayed formula.
	LaTeXer interface{ LaTeX() string }
	// Markdowner returns Markdown text.
	Markdowner interface{ Markdown() string }
	// SVGer returns an SVG document.
	SVGer interface{ SVG() ([]byte, error) }
	// PNGer returns a PNG drawn at two pixels per CSS pixel, so that it is sharp on a fine screen.
	PNGer interface{ PNG() ([]byte, error) }
	// AltTexter describes a figure to those who do not see it. The first line names the figure, further lines describe it.
	AltTexter interface{ AltText() string }
	// Tabler describes a value as a table of texts; units may be shorter than header. Text, HTML and Markdown are made of it where the value has none.
	Tabler interface {
		Table() (caption string, header, units []string, rows [][]string)
	}
)

// Of returns the bundle that shows v. Its text is always there; a rendering that fails or panics is left out, and the text says so.
func Of(v any) Bundle {
	b := Plain("")
	b.attempt("table", func() error {
		v = tabular(v)
		return nil
	})
	b.text(v)
	if isNil(v) {
		return b
	}
	for _, r := range renderings {
		b.attempt(r.name, func() error { return r.render(b, v) })
	}
	return b
}

// Broken returns why a picture cannot be drawn, where it knows by an Err method; nil for all other values.
func Broken(v any) error {
	if e, ok := v.(interface{ Err() error }); ok && isPicture(v) && !isNil(v) {
		return e.Err()
	}
	return nil
}

// Row returns the bundle that shows several values beside each other, as the results of one call. One value is shown as by [Of].
func Row(values ...any) Bundle {
	if len(values) == 1 {
		return Of(values[0])
	}
	b := Plain("")
	var texts, cells []string
	rich := false
	for _, v := range values {
		part := Of(v)
		texts = append(texts, part.Text())
		cell, isRich := fragment(part)
		cells = append(cells, cell)
		rich = rich || isRich
	}
	b.Data[TypePlain] = joinTexts(texts)
	if rich {
		b.Data[TypeHTML] = "<div>" + strings.Join(cells, "</div>\n<div>") + "</div>"
	}
	return b
}

// joinTexts sets short texts on one line and texts of several lines below each other.
func joinTexts(texts []string) string {
	sep := " "
	for _, t := range texts {
		if strings.Contains(t, "\n") {
			sep = "\n"
		}
	}
	return strings.Join(texts, sep)
}

// fragment returns the best piece of HTML for a bundle, and whether it is more than its text.
func fragment(b Bundle) (string, bool) {
	for _, mime := range []string{TypeHTML, TypeSVG} {
		if s, ok := b.Data[mime].(string); ok {
			return s, true
		}
	}
	if s, ok := b.Data[TypePNG].(string); ok {
		return `<img alt="` + html.EscapeString(b.Text()) + `" src="data:image/png;base64,` + s + `">`, true
	}
	if s, ok := b.Data[TypeLaTeX].(string); ok {
		return html.EscapeString(s), true
	}
	return "<pre>" + html.EscapeString(b.Text()) + "</pre>", false
}

// renderings are tried in this order; each adds to the bundle what v can do.
var renderings = []struct {
	name   string
	render func(Bundle, any) error
}{
	{"HTML", renderHTML},
	{"LaTeX", renderLaTeX},
	{"Markdown", renderMarkdown},
	{"SVG", renderSVG},
	{"PNG", renderPNG},
	{"JSON", renderJSON},
	{"data", renderData},
}

// attempt runs one rendering and turns its error or panic into a note.
func (b Bundle) attempt(name string, render func() error) {
	defer func() {
		if r := recover(); r != nil {
			b.note(fmt.Sprintf("(no %s: the rendering panicked: %v)", name, r))
		}
	}()
	if err := render(); err != nil {
		b.note(fmt.Sprintf("(no %s: %v)", name, err))
	}
}

// text adds the value's text in front of whatever notes are there already.
func (b Bundle) text(v any) {
	text := ""
	if !isNil(v) {
		b.attempt("text", func() error {
			switch t := v.(type) {
			case Texter:
				text = t.Text()
			case Tabler:
				if !isPicture(v) {
					text = tableOf(t).Text()
				}
			}
			return nil
		})
	}
	if text == "" {
		text = fmt.Sprint(v)
	}
	notes := b.Text()
	b.Data[TypePlain] = text
	if notes != "" {
		b.note(notes)
	}
}

func renderHTML(b Bundle, v any) error {
	switch h := v.(type) {
	case HTMLer:
		b.Data[TypeHTML] = h.HTML()
	case Tabler:
		if !isPicture(v) {
			b.Data[TypeHTML] = tableOf(h).HTML()
		}
	}
	return nil
}

// isPicture tells values whose picture comes before the table of their data: front ends prefer HTML to any picture.
func isPicture(v any) bool {
	switch v.(type) {
	case SVGer, PNGer:
		return true
	}
	return false
}

func renderLaTeX(b Bundle, v any) error {
	if l, ok := v.(LaTeXer); ok {
		b.Data[TypeLaTeX] = delimited(l.LaTeX())
	}
	return nil
}

// mostData is how many cells the table of a picture's data may have to go with it.
const mostData = 4000

// renderData adds the data that a picture shows, for pages and for comparisons; front ends do not know the type.
func renderData(b Bundle, v any) error {
	t, ok := v.(Tabler)
	if !ok || !isPicture(v) {
		return nil
	}
	caption, header, units, rows := t.Table()
	if len(rows) > 0 && len(rows)*len(header) <= mostData {
		b.Data[TypeTable] = map[string]any{"caption": caption, "header": header, "units": units, "rows": rows}
	}
	return nil
}

// delimited sets a bare formula between $$.
func delimited(formula string) string {
	trimmed := strings.TrimSpace(formula)
	for _, open := range []string{"$", `\(`, `\[`, `\begin{equation`, `\begin{align`} {
		if strings.HasPrefix(trimmed, open) {
			return formula
		}
	}
	return "$$" + trimmed + "$$"
}

func renderMarkdown(b Bundle, v any) error {
	switch m := v.(type) {
	case Markdowner:
		b.Data[TypeMarkdown] = m.Markdown()
	case Tabler:
		if !isPicture(v) {
			b.Data[TypeMarkdown] = tableOf(m).Markdown()
		}
	}
	return nil
}

func renderSVG(b Bundle, v any) error {
	s, ok := v.(SVGer)
	if !ok {
		return nil
	}
	data, err := s.SVG()
	if err != nil {
		return err
	}
	alt := altText(v)
	if alt != "" {
		if data, err = describe(data, alt); err != nil {
			return err
		}
		b.hint(TypeSVG, "alt", alt)
	}
	b.Data[TypeSVG] = string(data)
	return nil
}

func renderPNG(b Bundle, v any) error {
	p, ok := v.(PNGer)
	if !ok {
		return nil
	}
	data, err := p.PNG()
	if err != nil {
		return err
	}
	size, err := png.DecodeConfig(bytes.NewReader(data))
	if err != nil {
		return err
	}
	b.Data[TypePNG] = base64.StdEncoding.EncodeToString(data)
	b.hint(TypePNG, "width", (size.Width+1)/2)
	b.hint(TypePNG, "height", (size.Height+1)/2)
	if alt := altText(v); alt != "" {
		b.hint(TypePNG, "alt", alt)
	}
	return nil
}

func renderJSON(b Bundle, v any) error {
	j, ok := v.(JSON)
	if !ok {
		return nil
	}
	data, err := json.Marshal(j.Value)
	if err != nil {
		return err
	}
	var plain any // what a peer would decode: maps, lists, strings, numbers
	if err := json.Unmarshal(data, &plain); err != nil {
		return err
	}
	b.Data[TypeJSON] = plain
	return nil
}

func altText(v any) string {
	if a, ok := v.(AltTexter); ok {
		return strings.TrimSpace(a.AltText())
	}
	return ""
}

func isNil(v any) bool {
	if v == nil {
		return true
	}
	switch r := reflect.ValueOf(v); r.Kind() {
	case reflect.Pointer, reflect.Map, reflect.Slice, reflect.Func, reflect.Chan, reflect.Interface:
		return r.IsNil()
	}
	return false
}
