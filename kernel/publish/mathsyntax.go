package publish

import (
	"bytes"
	"strings"

	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/parser"
	"github.com/yuin/goldmark/renderer"
	"github.com/yuin/goldmark/text"
	"github.com/yuin/goldmark/util"
)

// mathSyntax teaches goldmark the formulas of notebooks: $…$ in a line, $$…$$ on lines of its own or in a line, and LaTeX environments such as
// \begin{align}…\end{align}. A dollar that is followed by a blank, or closes behind one or in front of a digit, is a dollar. mark writes a formula's place.
type mathSyntax struct{ mark func(formula) string }

// Extend implements goldmark.Extender.
func (m mathSyntax) Extend(md goldmark.Markdown) {
	md.Parser().AddOptions(
		parser.WithInlineParsers(util.Prioritized(inlineMath{}, 150)), // behind code spans, in front of links and emphasis
		parser.WithBlockParsers(util.Prioritized(blockMath{}, 650)),   // in front of lists and quotes, which minus and > in formulas resemble
	)
	md.Renderer().AddOptions(renderer.WithNodeRenderers(util.Prioritized(m, 500)))
}

// RegisterFuncs implements renderer.NodeRenderer.
func (m mathSyntax) RegisterFuncs(r renderer.NodeRendererFuncRegisterer) {
	r.Register(kindInlineMath, m.renderInline)
	r.Register(kindBlockMath, m.renderBlock)
}

func (m mathSyntax) renderInline(w util.BufWriter, _ []byte, n ast.Node, entering bool) (ast.WalkStatus, error) {
	if entering {
		w.WriteString(m.mark(n.(*mathSpan).formula))
	}
	return ast.WalkSkipChildren, nil
}

func (m mathSyntax) renderBlock(w util.BufWriter, source []byte, n ast.Node, entering bool) (ast.WalkStatus, error) {
	if entering {
		tex := strings.TrimSpace(string(n.Lines().Value(source)))
		tex = strings.TrimSuffix(strings.TrimPrefix(tex, "$$"), "$$")
		w.WriteString("<p>" + m.mark(formula{tex: strings.TrimSpace(tex), display: true}) + "</p>\n")
	}
	return ast.WalkSkipChildren, nil
}

var (
	kindInlineMath = ast.NewNodeKind("Formula")
	kindBlockMath  = ast.NewNodeKind("DisplayedFormula")
)

type mathSpan struct {
	ast.BaseInline
	formula
}

func (*mathSpan) Kind() ast.NodeKind              { return kindInlineMath }
func (s *mathSpan) Dump(source []byte, level int) { ast.DumpHelper(s, source, level, nil, nil) }

// inlineMath parses $…$ and $$…$$ inside a paragraph.
type inlineMath struct{}

// Trigger implements parser.InlineParser.
func (inlineMath) Trigger() []byte { return []byte{'$'} }

// Parse implements parser.InlineParser.
func (inlineMath) Parse(_ ast.Node, block text.Reader, _ parser.Context) ast.Node {
	rest := remainder(block)
	delimiter := string(rest[:len(rest)-len(bytes.TrimLeft(rest, "$"))])
	end := closing(rest, delimiter)
	if end < 0 { // all these dollars are dollars
		_, segment := block.PeekLine()
		block.Advance(len(delimiter))
		return ast.NewTextSegment(segment.WithStop(segment.Start + len(delimiter)))
	}
	tex := strings.TrimSpace(string(rest[len(delimiter):end]))
	advance(block, end+len(delimiter))
	return &mathSpan{formula: formula{tex: tex, display: delimiter == "$$"}}
}

// remainder returns the text from the reader's place to the end of the paragraph.
func remainder(block text.Reader) []byte {
	line, place := block.Position()
	defer block.SetPosition(line, place)
	var rest []byte
	for {
		segment, _ := block.PeekLine()
		if segment == nil {
			return rest
		}
		rest = append(rest, segment...)
		block.AdvanceLine()
	}
}

// advance moves the reader on by n bytes, over line ends.
func advance(block text.Reader, n int) {
	for n > 0 {
		segment, _ := block.PeekLine()
		if segment == nil {
			return
		}
		if n < len(segment) {
			block.Advance(n)
			return
		}
		n -= len(segment)
		block.AdvanceLine()
	}
}

// closing returns where the delimiter that opens rest is closed, or -1 if rest does not open a formula.
func closing(rest []byte, delimiter string) int {
	n := len(delimiter)
	if n > 2 || len(rest) <= n || n == 1 && isBlank(rest[1]) {
		return -1
	}
	for i := n; i < len(rest); i++ {
		switch {
		case rest[i] == '\\':
			i++
		case !bytes.HasPrefix(rest[i:], []byte(delimiter)):
		case n == 2:
			if len(bytes.TrimSpace(rest[n:i])) == 0 {
				return -1
			}
			return i
		case !isBlank(rest[i-1]) && !(i+1 < len(rest) && isDigit(rest[i+1])):
			return i
		}
	}
	return -1
}

func isBlank(c byte) bool { return c == ' ' || c == '\t' || c == '\n' || c == '\r' }
func isDigit(c byte) bool { return '0' <= c && c <= '9' }

type mathBlock struct {
	ast.BaseBlock
	end  string // what closes it
	done bool
}

func (*mathBlock) Kind() ast.NodeKind              { return kindBlockMath }
func (*mathBlock) IsRaw() bool                     { return true }
func (b *mathBlock) Dump(source []byte, level int) { ast.DumpHelper(b, source, level, nil, nil) }

// blockMath parses a formula that has its lines for itself, so that nothing in them is taken for Markdown.
type blockMath struct{}

// environment is a LaTeX environment that is a formula of its own.
var environment = pattern(`^\\begin\{((?:equation|align|alignat|gather)\*?)\}`)

// Trigger implements parser.BlockParser.
func (blockMath) Trigger() []byte { return []byte{'$', '\\'} }

// Open implements parser.BlockParser.
func (blockMath) Open(_ ast.Node, reader text.Reader, _ parser.Context) (ast.Node, parser.State) {
	_, segment := reader.PeekLine()
	end := blockEnd(reader.Source()[segment.Start:])
	if end == "" {
		return nil, parser.NoChildren
	}
	node := &mathBlock{end: end}
	node.take(reader, 2)
	return node, parser.NoChildren
}

// Continue implements parser.BlockParser.
func (blockMath) Continue(node ast.Node, reader text.Reader, _ parser.Context) parser.State {
	block := node.(*mathBlock)
	if block.done {
		return parser.Close
	}
	block.take(reader, 0)
	return parser.Continue | parser.NoChildren
}

// Close implements parser.BlockParser.
func (blockMath) Close(ast.Node, text.Reader, parser.Context) {}

// CanInterruptParagraph implements parser.BlockParser.
func (blockMath) CanInterruptParagraph() bool { return true }

// CanAcceptIndentedLine implements parser.BlockParser.
func (blockMath) CanAcceptIndentedLine() bool { return false }

// take adds the reader's line to the block; the delimiter that opens the block has length opening.
func (b *mathBlock) take(reader text.Reader, opening int) {
	line, segment := reader.PeekLine()
	b.done = bytes.Contains(bytes.TrimLeft(line, " \t")[opening:], []byte(b.end))
	b.Lines().Append(segment)
	reader.AdvanceToEOL()
}

// blockEnd returns what closes the formula that begins source, or "" if none does, or if its lines hold other text too.
func blockEnd(source []byte) string {
	source = bytes.TrimLeft(source, " \t")
	end := "$$"
	if match := environment().FindSubmatch(source); match != nil {
		end = `\end{` + string(match[1]) + "}"
	} else if !bytes.HasPrefix(source, []byte(end)) {
		return ""
	}
	_, behind, found := bytes.Cut(source[2:], []byte(end))
	line, _, _ := bytes.Cut(behind, []byte("\n"))
	if !found || len(bytes.TrimSpace(line)) > 0 {
		return ""
	}
	return end
}
