package publish

import (
	"bytes"
	"encoding/base64"
	"html"
	"io/fs"
	"net/http"
	"path"
	"strconv"
	"strings"

	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/extension"
	"github.com/yuin/goldmark/parser"
	"github.com/yuin/goldmark/renderer"
	markup "github.com/yuin/goldmark/renderer/html"
	"github.com/yuin/goldmark/text"
	"github.com/yuin/goldmark/util"

	"foreplane/kernel/notebook"
)

// heading is an entry of the table of contents.
type heading struct {
	Level int
	ID    string
	Text  string
}

// markdown converts a Markdown text to HTML that has not been sanitized. Formulas are left as marks, see [writer.mark]. scope is unique to the text and keeps
// its footnotes apart from those of others; attachments are the images that it brings.
func (w *writer) markdown(source, scope string, attachments map[string]notebook.Object) (string, error) {
	md := goldmark.New(
		goldmark.WithExtensions(
			extension.NewTable(extension.WithTableCellAlignMethod(extension.TableCellAlignStyle)),
			extension.Strikethrough, extension.Linkify, extension.DefinitionList,
			extension.NewFootnote(extension.WithFootnoteIDPrefix(scope+"-"), extension.WithFootnoteBacklinkTitle("back to the text")),
			mathSyntax{w.mark},
		),
		goldmark.WithParserOptions(
			parser.WithAutoHeadingID(),
			parser.WithASTTransformers(util.Prioritized(images{w.options.Files, attachments}, 900), util.Prioritized(references{w}, 950)),
		),
		goldmark.WithRendererOptions(markup.WithUnsafe(), renderer.WithNodeRenderers(util.Prioritized(codeBlocks{}, 100))), // raw HTML is the sanitizer's business
	)
	src := []byte(unmarked(source))
	tree := md.Parser().Parse(text.NewReader(src), parser.WithContext(parser.NewContext(parser.WithIDs(w))))
	w.headings = append(w.headings, headingsIn(tree, src)...)
	var b bytes.Buffer
	err := md.Renderer().Render(&b, src, tree)
	return b.String(), err
}

// Generate implements parser.IDs: a heading's id is its text with hyphens for blanks, as notebook front ends link to it, with a number if it is not the first.
func (w *writer) Generate(value []byte, _ ast.NodeKind) []byte {
	id := strings.NewReplacer(" ", "-", "*", "", "`", "", `"`, "", "\t", "-").Replace(strings.TrimSpace(string(value)))
	if id == "" {
		id = "heading"
	}
	unique := id
	for n := 2; w.ids[unique]; n++ {
		unique = id + "-" + strconv.Itoa(n)
	}
	w.ids[unique] = true
	return []byte(unique)
}

// Put implements parser.IDs.
func (w *writer) Put(value []byte) { w.ids[string(value)] = true }

func headingsIn(tree ast.Node, source []byte) []heading {
	var found []heading
	for n := tree.FirstChild(); n != nil; n = n.NextSibling() {
		if h, ok := n.(*ast.Heading); ok {
			id, _ := h.AttributeString("id")
			bytes, _ := id.([]byte)
			found = append(found, heading{h.Level, string(bytes), plain(h, source)})
		}
	}
	return found
}

// plain returns the text below a node, formulas as their TeX.
func plain(n ast.Node, source []byte) string {
	var b strings.Builder
	ast.Walk(n, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		switch t := n.(type) {
		case *ast.Text:
			if entering {
				b.Write(t.Segment.Value(source))
			}
		case *ast.String:
			if entering {
				b.Write(t.Value)
			}
		case *mathSpan:
			if entering {
				b.WriteString(t.tex)
			}
		}
		return ast.WalkContinue, nil
	})
	return html.UnescapeString(b.String())
}

// codeBlocks renders fenced and indented code; what is marked as Go, and what is not marked at all in a notebook of Go, is coloured.
type codeBlocks struct{}

// RegisterFuncs implements renderer.NodeRenderer.
func (c codeBlocks) RegisterFuncs(r renderer.NodeRendererFuncRegisterer) {
	r.Register(ast.KindFencedCodeBlock, c.render)
	r.Register(ast.KindCodeBlock, c.render)
}

func (codeBlocks) render(w util.BufWriter, source []byte, n ast.Node, entering bool) (ast.WalkStatus, error) {
	if !entering {
		return ast.WalkContinue, nil
	}
	code := string(n.Lines().Value(source))
	fence, fenced := n.(*ast.FencedCodeBlock)
	if fenced && strings.EqualFold(string(fence.Language(source)), "go") {
		code = colour(code)
	} else {
		code = html.EscapeString(code)
	}
	w.WriteString(`<pre tabindex="0"><code>` + strings.TrimSuffix(code, "\n") + "</code></pre>\n")
	return ast.WalkSkipChildren, nil
}

// images brings the images of a text into the page: attachments, and files if there are any. An image it cannot bring becomes a link, since a page asks for
// nothing that is not in it.
type images struct {
	files       fs.FS
	attachments map[string]notebook.Object
}

// Transform implements parser.ASTTransformer.
func (i images) Transform(doc *ast.Document, _ text.Reader, _ parser.Context) {
	var absent []*ast.Image
	ast.Walk(doc, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if image, ok := n.(*ast.Image); ok && entering {
			if data, ok := i.embed(string(image.Destination)); ok {
				image.Destination = []byte(data)
			} else {
				absent = append(absent, image)
			}
		}
		return ast.WalkContinue, nil
	})
	for _, image := range absent {
		link := ast.NewLink()
		link.Destination, link.Title = image.Destination, image.Title
		for child := image.FirstChild(); child != nil; child = image.FirstChild() {
			link.AppendChild(link, child)
		}
		image.Parent().ReplaceChild(image.Parent(), image, link)
	}
}

// embed returns an image as a data URL.
func (i images) embed(destination string) (string, bool) {
	if strings.HasPrefix(destination, "data:") {
		return destination, true
	}
	if name, ok := strings.CutPrefix(destination, "attachment:"); ok {
		return attached(i.attachments[name])
	}
	name := path.Clean(destination)
	if i.files == nil || !fs.ValidPath(name) {
		return "", false
	}
	data, err := fs.ReadFile(i.files, name)
	if err != nil {
		return "", false
	}
	return "data:" + imageType(name, data) + ";base64," + base64.StdEncoding.EncodeToString(data), true
}

// attached returns the attachment that comes first in the order of image types.
func attached(bundle notebook.Object) (string, bool) {
	for _, mime := range imageTypes {
		if data, ok := bundle[mime].(string); ok {
			return "data:" + mime + ";base64," + strings.Join(strings.Fields(data), ""), true
		}
	}
	return "", false
}

var imageTypes = []string{"image/png", "image/jpeg", "image/gif", "image/webp", "image/svg+xml"}

func imageType(name string, data []byte) string {
	if strings.EqualFold(path.Ext(name), ".svg") {
		return "image/svg+xml"
	}
	return http.DetectContentType(data)
}
