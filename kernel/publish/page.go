package publish

import (
	"cmp"
	"crypto/sha256"
	"embed"
	"encoding/base64"
	"fmt"
	"html"
	"html/template"
	"io"
	"io/fs"
	"strconv"
	"strings"
	"sync"

	"foreplane/kernel/notebook"
)

// Options are what a page is made with. The zero value serves.
type Options struct {
	Title   string // default: the title in the notebook's metadata, its first heading, or "Notebook"
	Lang    string // language of the text, default "en"
	Caution bool   // put the caution on results that someone could be hurt by into the footer
	Files   fs.FS  // where images that the text names by relative paths are; nil leaves them out

	Bibliography Bibliography      // what [](#ref:KEY) cites
	FoldCode     bool              // code is folded away until a reader opens it
	Solutions    Solutions         // what becomes of cells that are solutions
	Units        Units             // which of two units stands where a value has been printed with both
	IsUnit       func(string) bool // tells the symbols of units from other words
	Strict       bool              // a label or a key that means nothing is an error
	Site         *Site             // the site that the page is one of; nil if it stands alone
}

// Solutions says what a page does with the cells of solutions: those tagged "solution", and those that answer a question.
type Solutions string

// The ways with solutions.
const (
	ShowSolutions Solutions = ""
	FoldSolutions Solutions = "fold"
	OmitSolutions Solutions = "omit"
)

// UnknownLabels are references of a notebook that lead nowhere.
type UnknownLabels struct{ Labels []string }

func (e *UnknownLabels) Error() string {
	return fmt.Sprintf("nothing is called %s: #fig:ID and #tab:ID are what the cell with that id shows, #eq:NAME is a formula with \\label{eq:NAME}, #ref:KEY an entry of the bibliography",
		strings.Join(e.Labels, ", "))
}

// Page writes the notebook as one HTML page.
func Page(out io.Writer, doc *notebook.Document, options Options) error {
	w := &writer{options: options, ids: map[string]bool{}}
	w.number(doc)
	var cells []template.HTML
	for i := range doc.Cells {
		cell, err := w.cell(&doc.Cells[i], fmt.Sprintf("c%d", i+1))
		if err != nil {
			return fmt.Errorf("cell %d: %w", i+1, err)
		}
		cells = append(cells, template.HTML(cell))
	}
	for i, cell := range cells {
		typeset, err := w.unmark(string(cell))
		if err != nil {
			return err
		}
		cells[i] = template.HTML(typeset)
	}
	if options.Solutions == FoldSolutions {
		fold(cells, doc.Cells)
	}
	if options.Strict && len(w.unknown) > 0 {
		return &UnknownLabels{w.unknown}
	}
	formulas, err := w.formulas.style()
	if err != nil {
		return err
	}
	sheet := "\n" + formulas + styleSheet // ours last: it has the last word
	return templates().ExecuteTemplate(out, "page.html", page{
		Lang: cmp.Or(options.Lang, "en"), Title: w.title(doc), HasTitle: w.hasTitle(), Policy: contentPolicy(sheet), Style: template.CSS(sheet),
		Contents: w.contents(), Cells: cells, Caution: options.Caution, References: w.citations(), Site: options.Site,
	})
}

//go:embed style.css
var styleSheet string

// templates are the page of a notebook and the index of a site, which begin alike.
//
//go:embed head.html page.html index.html
var templateFiles embed.FS

var templates = sync.OnceValue(func() *template.Template { return template.Must(template.ParseFS(templateFiles, "*.html")) })

// page is what the template is filled with.
type page struct {
	Lang, Title, Policy string
	HasTitle            bool // the first heading of the text is the title
	Style               template.CSS
	Contents            []heading
	Cells               []template.HTML
	Caution             bool
	References          []citation
	Site                *Site
}

// contentPolicy allows the page its own style sheet, known by its hash, the style attributes that formulas are made of, and images and fonts inside it.
func contentPolicy(style string) string {
	sum := sha256.Sum256([]byte(style))
	return "default-src 'none'; style-src 'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) +
		"'; style-src-attr 'unsafe-inline'; img-src data:; font-src data:; base-uri 'none'; form-action 'none'"
}

// writer collects a page.
type writer struct {
	numbers
	options  Options
	cellID   string // of the cell that is written
	formulas typesetter
	marked   []formula
	ids      map[string]bool // ids of headings
	headings []heading
}

// cell renders a cell, formulas as marks.
func (w *writer) cell(c *notebook.Cell, scope string) (string, error) {
	if w.left(c) {
		return "", nil
	}
	return w.shownCell(c, scope)
}

// fold puts cells of solutions that follow each other behind one summary.
func fold(cells []template.HTML, all []notebook.Cell) {
	solution := func(i int) bool { return i >= 0 && i < len(all) && isSolution(&all[i]) }
	for i := range cells {
		if solution(i) && !solution(i-1) {
			cells[i] = "<details class=\"solution\"><summary>Solution</summary>\n" + cells[i]
		}
		if solution(i) && !solution(i+1) {
			cells[i] += "</details>\n"
		}
	}
}

// left reports whether a page leaves a cell out.
func (w *writer) left(c *notebook.Cell) bool {
	return w.options.Solutions == OmitSolutions && isSolution(c)
}

var questionLine = pattern(`(?m)^[ \t]*//foreplane:question\b`)

// isSolution reports whether a cell tells a solution.
func isSolution(c *notebook.Cell) bool {
	return c.HasTag("solution") || c.Kind == notebook.Code && questionLine().MatchString(c.Source)
}

func (w *writer) shownCell(c *notebook.Cell, scope string) (string, error) {
	w.cellID = c.ID
	switch c.Kind {
	case notebook.Code:
		return w.code(c, scope)
	case notebook.Raw:
		if strings.TrimSpace(c.Source) == "" {
			return "", nil
		}
		return `<div class="raw">` + pre(c.Source) + "</div>\n", nil
	}
	s, err := w.text(c.Text(), scope, c.Attachments)
	return `<div class="text">` + s + "</div>\n", err
}

// text renders Markdown.
func (w *writer) text(source, scope string, attachments map[string]notebook.Object) (string, error) {
	raw, err := w.markdown(source, scope, attachments)
	return sanitize(raw, scope), err
}

func (w *writer) code(c *notebook.Cell, scope string) (string, error) {
	var b strings.Builder
	b.WriteString(`<div class="cell">`)
	if source := strings.TrimRight(c.Source, " \t\n"); source != "" {
		b.WriteString(number(c.Count))
		code := `<pre class="code" tabindex="0"><code>` + colour(unmarked(source)) + "</code></pre>"
		if w.options.FoldCode || hidden(c, "source_hidden") {
			code = "<details><summary>Code</summary>" + code + "</details>"
		}
		b.WriteString(code + "\n")
	}
	if len(c.Outputs) > 0 && !hidden(c, "outputs_hidden") {
		b.WriteString(`<div class="outputs">` + "\n")
		for i := range c.Outputs {
			s, err := w.output(&c.Outputs[i], fmt.Sprintf("%s-%d", scope, i+1))
			if err != nil {
				return "", err
			}
			b.WriteString(s)
		}
		b.WriteString("</div>\n")
	}
	return b.String() + "</div>\n", nil
}

// number is the small number beside a cell that was run.
func number(count int) string {
	if count == 0 {
		return ""
	}
	n := strconv.Itoa(count)
	return `<span class="number"><span class="unseen">Cell </span>` + n + "</span>"
}

// hidden reports a wish of the author that notebooks keep under "jupyter" in a cell's metadata.
func hidden(c *notebook.Cell, wish string) bool {
	wishes, _ := c.Metadata["jupyter"].(notebook.Object)
	yes, _ := wishes[wish].(bool)
	return yes
}

// A mark stands for a formula while the text around it is parsed and sanitized. The characters are for private use: unmarked takes them out of foreign text.
const markOpen, markClose = "\ue000", "\ue001"

var markPattern = pattern(markOpen + `(\d+)` + markClose)

func unmarked(text string) string {
	return strings.NewReplacer(markOpen, "\ufffd", markClose, "\ufffd").Replace(text)
}

func (w *writer) mark(f formula) string {
	if m := equationLabel().FindStringSubmatch(f.tex); m != nil && f.display {
		_, number, _ := strings.Cut(w.labels[m[1]], " ")
		f.label = m[1]
		f.tex = strings.Replace(f.tex, m[0], `\tag{`+number+`}`, 1)
	}
	w.marked = append(w.marked, f)
	return markOpen + strconv.Itoa(len(w.marked)-1) + markClose
}

// unmark sets the formulas at their places.
func (w *writer) unmark(text string) (string, error) {
	var failed error
	text = markPattern().ReplaceAllStringFunc(text, func(mark string) string {
		i, err := strconv.Atoi(strings.Trim(mark, markOpen+markClose))
		if err != nil || i >= len(w.marked) {
			return ""
		}
		typeset, err := w.formulas.set(w.marked[i])
		failed = cmp.Or(failed, err)
		if label := w.marked[i].label; label != "" {
			typeset = `<span id="` + html.EscapeString(label) + `">` + typeset + "</span>"
		}
		return typeset
	})
	return text, failed
}

// hasTitle reports whether the text has a heading of the first level.
func (w *writer) hasTitle() bool {
	for _, h := range w.headings {
		if h.Level == 1 {
			return true
		}
	}
	return false
}

func (w *writer) title(doc *notebook.Document) string {
	if w.options.Title != "" {
		return w.options.Title
	}
	if title, _ := doc.Metadata["title"].(string); title != "" {
		return title
	}
	if len(w.headings) > 0 {
		return w.headings[0].Text
	}
	return "Notebook"
}

// contents lists the headings below the title if there are enough to need a list.
func (w *writer) contents() []heading {
	var list []heading
	for _, h := range w.headings {
		if h.Level == 2 || h.Level == 3 {
			list = append(list, h)
		}
	}
	if len(list) < 4 {
		return nil
	}
	return list
}
