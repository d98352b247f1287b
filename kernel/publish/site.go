package publish

import (
	"html/template"
	"io"

	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/text"

	"foreplane/kernel/notebook"
)

// Site is what a page knows of the site that it belongs to.
type Site struct {
	Title          string
	Before, Behind *Entrance // the pages next to it; nil at the ends
}

// Entrance is a page as the index of a site lists it.
type Entrance struct {
	File, Title, Summary string
}

// Index writes the first page of a site, which lists the others.
func Index(out io.Writer, title, lang string, pages []Entrance) error {
	return templates().ExecuteTemplate(out, "index.html", map[string]any{
		"Title": title, "Lang": lang, "Pages": pages, "Style": template.CSS(styleSheet), "Policy": contentPolicy(styleSheet),
	})
}

// Summary returns the title of a notebook, and the first paragraph of its text.
func Summary(doc *notebook.Document) (title, summary string) {
	w := &writer{ids: map[string]bool{}}
	for i := range doc.Cells {
		if c := &doc.Cells[i]; c.Kind == notebook.Markdown {
			source := []byte(c.Text())
			tree := goldmark.New().Parser().Parse(text.NewReader(source))
			w.headings = append(w.headings, headingsIn(tree, source)...)
			for n := tree.FirstChild(); n != nil && summary == ""; n = n.NextSibling() {
				if n.Kind() == ast.KindParagraph {
					summary = plain(n, source)
				}
			}
		}
	}
	return w.title(doc), summary
}
