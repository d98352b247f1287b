package publish

import (
	"encoding/base64"
	"encoding/json"
	"fmt"
	"html"
	"strings"

	"foreplane/kernel/display"
	"foreplane/kernel/notebook"
)

// output renders one output of a cell.
func (w *writer) output(o *notebook.Output, scope string) (string, error) {
	switch o.Type {
	case notebook.Stream:
		return stream(o), nil
	case notebook.Failure:
		return failure(o), nil
	}
	return w.bundle(o, scope)
}

// stream renders text that a cell has printed.
func stream(o *notebook.Output) string {
	text := strings.TrimSuffix(terminal(o.Text), "\n")
	if o.Name == "stderr" {
		return `<div class="stderr"><span class="label">stderr</span>` + pre(text) + "</div>\n"
	}
	return `<div class="stdout">` + pre(text) + "</div>\n"
}

// failure renders an error: its message in full, and the way there.
func failure(o *notebook.Output) string {
	message := terminal(o.Message)
	s := `<div class="failure" role="group" aria-label="Error"><p><strong>` + html.EscapeString(o.ErrorName) + "</strong> " + html.EscapeString(message) + "</p>"
	trace := terminal(strings.Join(o.Traceback, "\n"))
	trace = strings.TrimPrefix(strings.TrimPrefix(trace, o.ErrorName+": "), message) // it mostly begins by saying the same
	if trace = strings.Trim(trace, "\n"); trace != "" {
		s += pre(trace)
	}
	return s + "</div>\n"
}

func pre(text string) string { return `<pre tabindex="0">` + html.EscapeString(text) + "</pre>" }

// escape is a terminal's control sequence: colours, cursor movements, titles.
var escape = pattern("\x1b(?:\\[[0-9;:?<=>]*[ -/]*[@-~]|\\][^\x07\x1b]*(?:\x07|\x1b\\\\)|[@-Z\\\\^_])")

// terminal returns what a terminal would end up showing: without control sequences, and with the rest of a line behind its last carriage return.
func terminal(text string) string {
	text = strings.ReplaceAll(escape().ReplaceAllString(text, ""), "\r\n", "\n")
	if !strings.Contains(text, "\r") {
		return text
	}
	lines := strings.Split(text, "\n")
	for i, line := range lines {
		line = strings.TrimRight(line, "\r")
		lines[i] = line[strings.LastIndexByte(line, '\r')+1:]
	}
	return strings.Join(lines, "\n")
}

// bundle renders the representation of a value that serves a page best.
func (w *writer) bundle(o *notebook.Output, scope string) (string, error) {
	for _, form := range forms {
		if text, ok := o.Data[form.mime].(string); ok {
			return form.render(w, text, o, scope)
		}
	}
	if value, ok := o.Data[display.TypeJSON]; ok {
		text, err := json.MarshalIndent(value, "", "  ")
		return `<div class="value">` + pre(string(text)) + "</div>\n", err
	}
	text, _ := o.Data[display.TypePlain].(string)
	return `<div class="value">` + pre(strings.TrimSuffix(terminal(text), "\n")) + "</div>\n", nil
}

// forms are the representations a page can show, best first. Each is drawn from the text that the notebook holds for the MIME type.
var forms = []struct {
	mime   string
	render func(w *writer, text string, o *notebook.Output, scope string) (string, error)
}{
	{display.TypeHTML, (*writer).fragment},
	{display.TypeLaTeX, (*writer).latex},
	{display.TypeMarkdown, (*writer).prose},
	{display.TypeSVG, (*writer).drawing},
	{display.TypePNG, bitmapOf(display.TypePNG)},
	{"image/jpeg", bitmapOf("image/jpeg")},
	{"image/gif", bitmapOf("image/gif")},
	{"image/webp", bitmapOf("image/webp")},
}

func (w *writer) fragment(text string, _ *notebook.Output, scope string) (string, error) {
	return `<div class="rich">` + sanitize(text, scope) + "</div>\n", nil
}

func (w *writer) prose(text string, _ *notebook.Output, scope string) (string, error) {
	s, err := w.text(text, scope, nil)
	return `<div class="rich">` + s + "</div>\n", err
}

func (w *writer) drawing(text string, _ *notebook.Output, scope string) (string, error) {
	class := "drawing paper"
	if strings.Contains(text, "currentColor") {
		class = "drawing" // it takes the page's colours; others are drawn for white
	}
	return `<figure class="` + class + `">` + sanitize(text, scope) + "</figure>\n", nil
}

// latex renders formulas between text.
func (w *writer) latex(text string, _ *notebook.Output, _ string) (string, error) {
	var b strings.Builder
	rest := unmarked(text)
	for rest != "" {
		before, f, after := cutFormula(rest)
		b.WriteString(html.EscapeString(before))
		if f.tex != "" {
			b.WriteString(w.mark(f))
		}
		rest = after
	}
	return `<div class="rich"><p>` + b.String() + "</p></div>\n", nil
}

// delimiters of formulas in LaTeX text; of two that begin at one place the longer comes first.
var delimiters = []struct {
	open, end string
	display   bool
}{{"$$", "$$", true}, {`\[`, `\]`, true}, {`\(`, `\)`, false}, {"$", "$", false}}

// cutFormula splits text around its first formula.
func cutFormula(text string) (before string, f formula, after string) {
	if trimmed := strings.TrimSpace(text); strings.HasPrefix(trimmed, `\begin{`) {
		return "", formula{trimmed, true}, ""
	}
	first := len(text)
	before = text
	for _, d := range delimiters {
		start := strings.Index(text, d.open)
		if start < 0 || start >= first {
			continue
		}
		tex, rest, closed := strings.Cut(text[start+len(d.open):], d.end)
		if closed && strings.TrimSpace(tex) != "" {
			first, before, f, after = start, text[:start], formula{strings.TrimSpace(tex), d.display}, rest
		}
	}
	return before, f, after
}

func bitmapOf(mime string) func(*writer, string, *notebook.Output, string) (string, error) {
	return func(_ *writer, text string, o *notebook.Output, _ string) (string, error) {
		data := strings.Join(strings.Fields(text), "")
		if _, err := base64.StdEncoding.DecodeString(data); err != nil {
			return `<div class="value">` + pre("("+mime+" that cannot be shown: "+err.Error()+")") + "</div>\n", nil
		}
		hints, _ := o.Metadata[mime].(notebook.Object)
		alt, _ := hints["alt"].(string)
		if alt == "" {
			alt, _ = o.Data[display.TypePlain].(string)
		}
		return `<figure class="paper"><img src="data:` + mime + ";base64," + data + `" alt="` + html.EscapeString(alt) + `"` +
			pixels(hints, "width") + pixels(hints, "height") + "></figure>\n", nil
	}
}

var whole = pattern(`^[1-9]\d{0,4}$`)

// pixels writes a size in CSS pixels as an attribute, if the notebook gives one.
func pixels(hints notebook.Object, key string) string {
	if n := fmt.Sprint(hints[key]); whole().MatchString(n) {
		return " " + key + `="` + n + `"`
	}
	return ""
}
