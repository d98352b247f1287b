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
		shown := *o
		shown.Text = w.inUnits(o.Text)
		return stream(&shown), nil
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
	for _, mime := range preferred {
		if text, ok := o.Data[mime].(string); ok {
			return renderers[mime](w, text, o, scope)
		}
	}
	if value, ok := o.Data[display.TypeJSON]; ok {
		text, err := json.MarshalIndent(value, "", "  ")
		return `<div class="value">` + pre(string(text)) + "</div>\n", err
	}
	text, _ := o.Data[display.TypePlain].(string)
	return `<div class="value">` + pre(strings.TrimSuffix(w.inUnits(terminal(text)), "\n")) + "</div>\n", nil
}

// preferred are the representations a page can show, best first.
var preferred = []string{display.TypeHTML, display.TypeLaTeX, display.TypeMarkdown, display.TypeSVG, display.TypePNG, "image/jpeg", "image/gif", "image/webp"}

// renderers draw each from the text that the notebook holds for the MIME type.
var renderers = map[string]func(w *writer, text string, o *notebook.Output, scope string) (string, error){
	display.TypeHTML:     (*writer).fragment,
	display.TypeLaTeX:    (*writer).latex,
	display.TypeMarkdown: (*writer).prose,
	display.TypeSVG:      (*writer).drawing,
	display.TypePNG:      bitmapOf(display.TypePNG),
	"image/jpeg":         bitmapOf("image/jpeg"),
	"image/gif":          bitmapOf("image/gif"),
	"image/webp":         bitmapOf("image/webp"),
}

func (w *writer) fragment(text string, o *notebook.Output, scope string) (string, error) {
	text = sanitize(w.inUnits(text), scope)
	if numbered(o) != "tab" {
		return `<div class="rich">` + text + "</div>\n", nil
	}
	label, number := w.next("tab", w.cellID)
	text = strings.Replace(text, "<caption>", "<caption><b>"+html.EscapeString(number)+".</b> ", 1)
	return `<div class="rich" id="` + html.EscapeString(label) + `">` + text + "</div>\n", nil
}

// figure is a picture with its number, and with the data it shows if they are there.
func (w *writer) figure(class, picture string, o *notebook.Output) string {
	label, number := w.next("fig", w.cellID)
	return `<figure id="` + html.EscapeString(label) + `"><div class="` + class + `">` + picture + "</div><figcaption><b>" + html.EscapeString(number) + "</b>" + w.data(o) +
		"</figcaption></figure>\n"
}

// data is the table of what a picture shows, folded.
func (w *writer) data(o *notebook.Output) string {
	source, err := json.Marshal(o.Data[display.TypeTable])
	var t struct {
		Header, Units []string
		Rows          [][]string
	}
	if err != nil || json.Unmarshal(source, &t) != nil || len(t.Rows) == 0 {
		return ""
	}
	table := display.Table{Header: t.Header, Units: t.Units}
	for _, r := range t.Rows {
		row := make([]any, len(r))
		for i, cell := range r {
			row[i] = cell
		}
		table.Rows = append(table.Rows, row)
	}
	return "<details><summary>Data</summary>" + sanitize(table.HTML(), "") + "</details>"
}

func (w *writer) prose(text string, _ *notebook.Output, scope string) (string, error) {
	s, err := w.text(text, scope, nil)
	return `<div class="rich">` + s + "</div>\n", err
}

func (w *writer) drawing(text string, o *notebook.Output, scope string) (string, error) {
	class := "drawing paper"
	if strings.Contains(text, "currentColor") {
		class = "drawing" // it takes the page's colours; others are drawn for white
	}
	return w.figure(class, sanitize(text, scope), o), nil
}

// latex renders formulas between text.
func (w *writer) latex(text string, _ *notebook.Output, _ string) (string, error) {
	var b strings.Builder
	rest := unmarked(w.inFormulaUnits(text))
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
		return "", formula{tex: trimmed, display: true}, ""
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
			first, before, f, after = start, text[:start], formula{tex: strings.TrimSpace(tex), display: d.display}, rest
		}
	}
	return before, f, after
}

func bitmapOf(mime string) func(*writer, string, *notebook.Output, string) (string, error) {
	return func(w *writer, text string, o *notebook.Output, _ string) (string, error) {
		data := strings.Join(strings.Fields(text), "")
		if _, err := base64.StdEncoding.DecodeString(data); err != nil {
			return `<div class="value">` + pre("("+mime+" that cannot be shown: "+err.Error()+")") + "</div>\n", nil
		}
		hints, _ := o.Metadata[mime].(notebook.Object)
		alt, _ := hints["alt"].(string)
		if alt == "" {
			alt, _ = o.Data[display.TypePlain].(string)
		}
		picture := `<img src="data:` + mime + ";base64," + data + `" alt="` + html.EscapeString(alt) + `"` + pixels(hints, "width") + pixels(hints, "height") + ">"
		return w.figure("paper", picture, o), nil
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
