package publish

import (
	"fmt"
	"io/fs"
	"net/url"
	"path"
	"regexp"
	"strings"

	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/parser"
	"github.com/yuin/goldmark/text"

	"foreplane/kernel/display"
	"foreplane/kernel/notebook"
)

// Lint lists what a reader of a notebook's page would miss: links that lead nowhere, pictures that are not there, and pictures without a text in their place.
// Links to other sites are not followed. files is the folder of the notebook.
func Lint(doc *notebook.Document, files fs.FS) []notebook.Difference {
	l := &linter{files: files, doc: doc, writer: writer{options: Options{Files: files}, ids: map[string]bool{}}}
	l.writer.number(doc)
	for i := range doc.Cells {
		if doc.Cells[i].Kind == notebook.Markdown {
			l.parse(&doc.Cells[i])
		}
	}
	for i := range doc.Cells {
		l.cell = i
		switch c := &doc.Cells[i]; c.Kind {
		case notebook.Markdown:
			l.text(c)
		case notebook.Code:
			l.outputs(c)
		}
	}
	return l.found
}

type linter struct {
	files  fs.FS
	doc    *notebook.Document
	writer writer // collects the ids of headings
	cell   int
	found  []notebook.Difference
}

func (l *linter) report(format string, args ...any) {
	l.found = append(l.found, notebook.Difference{Cell: l.cell + 1, ID: l.doc.Cells[l.cell].ID, Reason: fmt.Sprintf(format, args...)})
}

// parse parses a text and notes the ids of its headings.
func (l *linter) parse(c *notebook.Cell) (ast.Node, []byte) {
	source := []byte(c.Text())
	md := goldmark.New(goldmark.WithParserOptions(parser.WithAutoHeadingID()))
	return md.Parser().Parse(text.NewReader(source), parser.WithContext(parser.NewContext(parser.WithIDs(&l.writer)))), source
}

func (l *linter) text(c *notebook.Cell) {
	md := goldmark.New()
	source := []byte(c.Text())
	ast.Walk(md.Parser().Parse(text.NewReader(source)), func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		switch n := n.(type) {
		case *ast.Link:
			if entering {
				l.link(string(n.Destination))
			}
		case *ast.Image:
			if entering {
				l.image(c, string(n.Destination), plain(n, source))
			}
		}
		return ast.WalkContinue, nil
	})
}

// link checks a link inside of the notebook or to a file beside it.
func (l *linter) link(to string) {
	u, err := url.Parse(to)
	switch {
	case err != nil:
		l.report("the link to %q cannot be read", to)
	case u.Scheme != "" || u.Host != "" || strings.HasPrefix(to, "//"):
	case u.Path == "" && strings.HasPrefix(u.Fragment, "ref:"): // the bibliography is not part of the notebook
	case u.Path == "":
		if !l.writer.ids[u.Fragment] && l.writer.labels[u.Fragment] == "" {
			l.report("the link to #%s leads nowhere: no heading, figure, table or equation is called so", u.Fragment)
		}
	case !l.has(u.Path):
		l.report("the link to %s leads nowhere: there is no such file", u.Path)
	}
}

func (l *linter) has(name string) bool {
	name = path.Clean(name)
	if l.files == nil || !fs.ValidPath(name) {
		return false
	}
	_, err := fs.Stat(l.files, name)
	return err == nil
}

// image checks a picture of a text.
func (l *linter) image(c *notebook.Cell, from, alt string) {
	if _, ok := (images{l.files, c.Attachments}).embed(from); !ok {
		l.report("the picture %s is not there", from)
	}
	if strings.TrimSpace(alt) == "" {
		l.report("the picture %s has no text in its place: ![what it shows](%s)", from, from)
	}
}

var (
	titled    = regexp.MustCompile(`(?s)<svg[^>]*>.*?<title[^>]*>\s*[^\s<]|<svg[^>]*aria-label="\s*[^"\s]`)
	imageTag  = regexp.MustCompile(`(?i)<img\b[^>]*>`)
	withAlt   = regexp.MustCompile(`(?i)\balt\s*=\s*("\s*[^"\s]|'\s*[^'\s]|[^"'\s>])`)
	unspoken  = regexp.MustCompile(`^<[\w./]+( Size)?.*>$`) // what stands for a value that has no text
	imageKind = regexp.MustCompile(`^image/`)
)

// outputs checks the pictures that a cell shows.
func (l *linter) outputs(c *notebook.Cell) {
	for i, o := range c.Outputs {
		html, _ := o.Data[display.TypeHTML].(string)
		for _, tag := range imageTag.FindAllString(html, -1) {
			if !withAlt.MatchString(tag) {
				l.report("output %d: a picture in HTML has no alt text", i+1)
			}
		}
		l.picture(i, o)
	}
}

func (l *linter) picture(i int, o notebook.Output) {
	said, _ := o.Data[display.TypePlain].(string)
	said = strings.TrimSpace(said)
	for mime, data := range o.Data {
		source, _ := data.(string)
		switch {
		case !imageKind.MatchString(mime):
		case mime == display.TypeSVG && titled.MatchString(source):
		case mime == display.TypeSVG || said == "" || unspoken.MatchString(said):
			l.report("output %d: the picture (%s) has no text in its place", i+1, mime)
		}
	}
}
