package publish

import (
	"regexp"
	"slices"
	"strings"
	"sync"

	"github.com/microcosm-cc/bluemonday"
	"golang.org/x/net/html"
	"golang.org/x/net/html/atom"
)

// sanitize returns a fragment of HTML or an SVG document reduced to what a page may hold, well formed, so that it cannot end what it stands in. scope is
// unique to the fragment: the ids inside SVG are made unique by it, since drawings tend to use the same ones.
func sanitize(fragment, scope string) string {
	clean := policy().Sanitize(fragment)
	context := &html.Node{Type: html.ElementNode, Data: "div", DataAtom: atom.Div}
	nodes, err := html.ParseFragment(strings.NewReader(clean), context)
	if err != nil {
		return html.EscapeString(fragment) // the reader of a string does not fail
	}
	root := &html.Node{Type: html.ElementNode, Data: "div", DataAtom: atom.Div}
	for _, n := range nodes {
		root.AppendChild(n)
	}
	arrange(root, scope)
	var b strings.Builder
	for n := range root.ChildNodes() {
		html.Render(&b, n) // a Builder does not fail
	}
	return b.String()
}

// arrange prepares the tree for the page: drawings get ids of their own, and wide tables a box that scrolls.
func arrange(root *html.Node, scope string) {
	for n := range root.Descendants() {
		if n.Namespace == "svg" {
			n.Attr = scoped(n.Attr, scope)
		}
	}
	var tables []*html.Node
	for n := range root.Descendants() {
		if n.DataAtom == atom.Table && n.Namespace == "" {
			tables = append(tables, n)
		}
	}
	for _, table := range tables {
		box := &html.Node{Type: html.ElementNode, Data: "div", DataAtom: atom.Div, Attr: []html.Attribute{{Key: "class", Val: "wide"}, {Key: "tabindex", Val: "0"}}}
		table.Parent.InsertBefore(box, table)
		table.Parent.RemoveChild(table)
		box.AppendChild(table)
	}
}

var localURL = pattern(`url\((["']?)#`)

// scoped puts scope in front of the ids that attributes define or refer to.
func scoped(attributes []html.Attribute, scope string) []html.Attribute {
	attributes = slices.Clone(attributes)
	for i := range attributes {
		a := &attributes[i]
		switch {
		case a.Key == "id":
			a.Val = scope + "-" + a.Val
		case a.Key == "href" && strings.HasPrefix(a.Val, "#"):
			a.Val = "#" + scope + "-" + a.Val[1:]
		case a.Key == "aria-labelledby" || a.Key == "aria-describedby":
			ids := strings.Fields(a.Val)
			for j := range ids {
				ids[j] = scope + "-" + ids[j]
			}
			a.Val = strings.Join(ids, " ")
		default:
			a.Val = localURL().ReplaceAllString(a.Val, "url(${1}#"+scope+"-")
		}
	}
	return attributes
}

// The allowlists of the policy. What is not named here does not reach a page.
var (
	textElements = []string{
		"p", "br", "hr", "h1", "h2", "h3", "h4", "h5", "h6", "blockquote", "pre", "code", "em", "strong", "b", "i", "u", "s", "del", "ins", "sub", "sup", "mark",
		"small", "kbd", "samp", "var", "abbr", "cite", "q", "dfn", "dl", "dt", "dd", "ol", "ul", "li", "details", "summary", "figure", "figcaption", "div", "span",
		"table", "caption", "thead", "tbody", "tfoot", "tr", "th", "td", "colgroup", "col", "a", "img",
	}
	drawingElements = []string{
		"svg", "g", "defs", "symbol", "use", "path", "rect", "circle", "ellipse", "line", "polyline", "polygon", "text", "tspan", "textpath", "title", "desc",
		"clippath", "mask", "pattern", "marker", "lineargradient", "radialgradient", "stop", "image",
	}
	drawingAttributes = []string{
		"viewbox", "width", "height", "x", "y", "x1", "y1", "x2", "y2", "cx", "cy", "r", "rx", "ry", "fx", "fy", "dx", "dy", "d", "points", "transform", "rotate",
		"offset", "preserveaspectratio", "pathlength", "textlength", "lengthadjust", "startoffset", "gradientunits", "gradienttransform", "spreadmethod",
		"patternunits", "patterncontentunits", "patterntransform", "maskunits", "maskcontentunits", "clippathunits", "refx", "refy", "markerwidth",
		"markerheight", "markerunits", "orient", "version",
	}
	drawingStyles = []string{
		"fill", "fill-opacity", "fill-rule", "stroke", "stroke-width", "stroke-opacity", "stroke-dasharray", "stroke-dashoffset", "stroke-linecap",
		"stroke-linejoin", "stroke-miterlimit", "stop-color", "stop-opacity", "opacity", "color", "clip-path", "clip-rule", "mask", "marker-start",
		"marker-mid", "marker-end", "font-family", "font-size", "font-style", "font-weight", "font-variant", "letter-spacing", "word-spacing", "text-anchor",
		"dominant-baseline", "alignment-baseline", "baseline-shift", "text-decoration", "vector-effect", "paint-order", "shape-rendering", "visibility",
	}
	// value is a number, name, colour or list of them, or a reference inside the page; it can hold no address, no string of markup and no escape.
	value   = pattern(`^(?:[-+#%.,\w\s]|\((?:[-+#%.,\w\s]|\([-+#%.,\w\s]*\))*\))*$`)
	family  = pattern(`^[-\w\s,'"]*$`)
	name    = pattern(`^[^\s<>"'&]{1,200}$`)
	ids     = pattern(`^[^<>"'&]{1,400}$`)
	local   = pattern(`^#[^\s<>"'&]+$`)
	bitmap  = pattern(`^data:image/(?:png|jpeg|gif|webp);base64,[A-Za-z0-9+/=\s]*$`)
	prose   = pattern(`(?s)^.*$`)
	integer = pattern(`^\d{1,4}$`)
	size    = pattern(`^\d{1,4}(?:\.\d+)?(?:px|em|rem|ch|ex|%)?$`)
	classes = pattern(`^(?:[kscnfb]|footnotes|footnote-ref|footnote-backref)$`)
)

var policy = sync.OnceValue(func() *bluemonday.Policy {
	p := bluemonday.NewPolicy()
	p.AllowElements(textElements...)
	p.AllowNoAttrs().OnElements("a", "span", "img")
	p.AllowURLSchemes("http", "https", "mailto")
	p.AllowRelativeURLs(true)
	p.RequireParseableURLs(true)
	p.AllowAttrs("href").OnElements("a")
	p.AllowDataURIImages()
	p.AllowAttrs("src").Matching(regexp.MustCompile(`^data:image/`)).OnElements("img")
	p.AllowAttrs("alt", "title").Matching(prose()).OnElements("img", "a", "abbr", "dfn")
	p.AllowAttrs("width", "height").Matching(size()).OnElements("img")
	p.AllowAttrs("colspan", "rowspan", "span", "start").Matching(integer()).OnElements("td", "th", "col", "colgroup", "ol")
	p.AllowAttrs("scope").Matching(regexp.MustCompile(`^(?:row|col|rowgroup|colgroup)$`)).OnElements("th")
	p.AllowAttrs("open").Matching(regexp.MustCompile(`^(?:open)?$`)).OnElements("details")
	p.AllowAttrs("tabindex").Matching(regexp.MustCompile(`^0$`)).OnElements("pre")
	p.AllowAttrs("id").Matching(name()).Globally()
	p.AllowAttrs("class").Matching(classes()).Globally()
	p.AllowAttrs("lang").Matching(name()).Globally()
	p.AllowAttrs("role").Matching(regexp.MustCompile(`^(?:img|presentation|none|doc-noteref|doc-endnotes|doc-backlink)$`)).Globally()
	p.AllowAttrs("aria-label").Matching(prose()).Globally()
	p.AllowAttrs("aria-labelledby", "aria-describedby").Matching(ids()).Globally()
	p.AllowAttrs("aria-hidden").Matching(regexp.MustCompile(`^(?:true|false)$`)).Globally()
	p.AllowStyles("text-align").MatchingEnum("left", "right", "center", "start", "end", "justify").Globally()
	p.AllowStyles("vertical-align").MatchingEnum("top", "middle", "bottom", "baseline").Globally()
	p.AllowStyles("width", "max-width").Matching(size()).Globally()
	p.AllowStyles("height").MatchingEnum("auto").Globally()
	allowDrawings(p)
	return p
})

func allowDrawings(p *bluemonday.Policy) {
	p.AllowElements(drawingElements...)
	p.AllowNoAttrs().OnElements(drawingElements...)
	p.AllowAttrs(drawingAttributes...).Matching(value()).OnElements(drawingElements...)
	for _, property := range drawingStyles {
		allowed := value()
		if property == "font-family" {
			allowed = family()
		}
		p.AllowAttrs(property).Matching(allowed).OnElements(drawingElements...)
		p.AllowStyles(property).Matching(allowed).OnElements(drawingElements...)
	}
	p.AllowAttrs("href", "xlink:href").Matching(local()).OnElements("use", "textpath", "lineargradient", "radialgradient", "pattern")
	p.AllowAttrs("href", "xlink:href").Matching(bitmap()).OnElements("image")
	p.AllowAttrs("xml:space").Matching(regexp.MustCompile(`^(?:preserve|default)$`)).OnElements(drawingElements...)
}
