package publish

import (
	"fmt"
	"html"
	"html/template"
	"strconv"
	"strings"

	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/parser"
	"github.com/yuin/goldmark/text"

	"foreplane/kernel/display"
	"foreplane/kernel/notebook"
)

// numbers counts figures, tables and equations, and knows what the labels of a notebook mean. A link with such an address, such as [](#fig:margin), gets the
// number for its text:
//
//	#fig:ID, #tab:ID    a figure or table that the code cell with the id ID shows; further ones of the cell are ID-2, ID-3
//	#eq:NAME            a formula with \label{eq:NAME} in it
//	#ref:KEY            an entry of the bibliography; the text of the link, such as "p. 12", goes behind the number
type numbers struct {
	labels  map[string]string // "fig:margin" is "Figure 3"
	shown   map[string]int    // how many of a kind a cell has shown so far
	cited   []string          // keys of the bibliography, in the order of their numbers
	unknown []string          // labels that mean nothing
}

var equationLabel = pattern(`\\label\{(eq:[^{}\s]+)\}`)

// number gives all that is numbered its number.
func (w *writer) number(doc *notebook.Document) {
	w.labels, w.shown = map[string]string{}, map[string]int{}
	count := map[string]int{}
	name := func(kind, word, label string) {
		count[kind]++
		w.labels[label] = fmt.Sprintf("%s %d", word, count[kind])
	}
	for i := range doc.Cells {
		c := &doc.Cells[i]
		if c.Kind == notebook.Markdown {
			for _, m := range equationLabel().FindAllStringSubmatch(c.Text(), -1) {
				name("eq", "Equation", m[1])
			}
			continue
		}
		if w.left(c) || hidden(c, "outputs_hidden") {
			continue
		}
		of := map[string]int{}
		for _, o := range c.Outputs {
			switch kind := numbered(&o); kind {
			case "fig":
				of[kind]++
				name(kind, "Figure", labelOf(kind, c.ID, of[kind]))
			case "tab":
				of[kind]++
				name(kind, "Table", labelOf(kind, c.ID, of[kind]))
			}
		}
	}
}

// labelOf is the label of the n-th figure or table of a cell.
func labelOf(kind, cell string, n int) string {
	if n > 1 {
		cell += "-" + strconv.Itoa(n)
	}
	return kind + ":" + cell
}

// numbered tells whether an output counts as a figure or a table.
func numbered(o *notebook.Output) string {
	if o.Type != notebook.Display && o.Type != notebook.Result {
		return ""
	}
	for _, mime := range preferred {
		text, ok := o.Data[mime].(string)
		switch {
		case !ok:
			continue
		case strings.HasPrefix(mime, "image/"):
			return "fig"
		case mime == display.TypeHTML && strings.Count(text, "<table") == 1 && strings.Contains(text, "<caption>"):
			return "tab"
		}
		return ""
	}
	return ""
}

// next returns the label of the next figure or table of a cell, with its number.
func (w *writer) next(kind, cell string) (label, number string) {
	w.shown[kind+cell]++
	label = labelOf(kind, cell, w.shown[kind+cell])
	return label, w.labels[label]
}

// references gives links to labels their text.
type references struct{ *writer }

// Transform implements parser.ASTTransformer.
func (r references) Transform(doc *ast.Document, reader text.Reader, _ parser.Context) {
	ast.Walk(doc, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if link, ok := n.(*ast.Link); ok && entering {
			r.name(link, reader.Source())
		}
		return ast.WalkContinue, nil
	})
}

func (r references) name(link *ast.Link, source []byte) {
	label, local := strings.CutPrefix(string(link.Destination), "#")
	kind, key, labelled := strings.Cut(label, ":")
	switch {
	case !local || !labelled:
	case kind == "ref":
		r.cite(link, key, plain(link, source))
	case kind == "fig" || kind == "tab" || kind == "eq":
		text, known := r.labels[label]
		if !known {
			r.unknown = append(r.unknown, "#"+label)
			text = "(?)"
		}
		if link.FirstChild() == nil {
			link.AppendChild(link, ast.NewString([]byte(text)))
		}
	}
}

// cite makes a link to the list of references.
func (r references) cite(link *ast.Link, key, place string) {
	n := 0
	for i, cited := range r.cited {
		if cited == key {
			n = i + 1
		}
	}
	if _, known := r.options.Bibliography[key]; !known {
		r.unknown = append(r.unknown, "#ref:"+key)
	} else if n == 0 {
		r.cited = append(r.cited, key)
		n = len(r.cited)
	}
	text := "[" + strconv.Itoa(n)
	if place != "" {
		text += ", " + place
	}
	link.RemoveChildren(link)
	link.AppendChild(link, ast.NewString([]byte(html.EscapeString(text+"]"))))
}

// citations are the entries for the list of references.
func (w *writer) citations() []citation {
	var out []citation
	for _, key := range w.cited {
		out = append(out, citation{"ref:" + key, template.HTML(w.options.Bibliography[key].HTML())})
	}
	return out
}

type citation struct {
	ID   string
	Text template.HTML
}
