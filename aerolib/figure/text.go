package figure

import (
	"image/color"
	"math"
	"strings"

	stdfont "golang.org/x/image/font"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/font/liberation"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// Sizes and shifts of scripts in parts of the size of the text.
const (
	scriptSize = 0.72
	subShift   = -0.20
	superShift = 0.36
)

// fonts measures and draws text. The faces come with the library, so that no figure depends on the fonts of a machine; their widths are
// those of the first families that an SVG asks for.
var fonts = font.NewCache(liberation.Collection())

// sans is the face of all text in a figure.
var sans = font.Font{Typeface: "Liberation", Variant: "Sans"}

// A markup is the text handler of figures: it understands the markup of labels.
type markup struct {
	unit bool // upright throughout
}

var _ text.Handler = markup{}

func (m markup) runs(s string) []run {
	if m.unit {
		return parseUnit(s)
	}
	return parseMarkup(s)
}

// Cache returns the fonts.
func (markup) Cache() *font.Cache { return fonts }

// Extents returns the extents of the upright face.
func (markup) Extents(f font.Font) font.Extents {
	face := fonts.Lookup(f, f.Size)
	return face.Extents()
}

// Lines splits text at line ends.
func (markup) Lines(s string) []string { return strings.Split(strings.TrimRight(s, "\n"), "\n") }

// Box returns width, ascent and descent of one line. Scripts hang a little out of it.
func (m markup) Box(s string, f font.Font) (width, height, depth vg.Length) {
	e := m.Extents(f)
	return m.width(s, f), e.Ascent, e.Descent
}

func (m markup) width(s string, f font.Font) vg.Length {
	w := vg.Length(0)
	for _, r := range m.runs(s) {
		w += r.width(f)
	}
	return w
}

// face returns the face of a run in text of font f.
func (r run) face(f font.Font) font.Face {
	if r.italic {
		f.Style = stdfont.StyleItalic
	}
	if r.script != onLine {
		f.Size *= scriptSize
	}
	return fonts.Lookup(f, f.Size)
}

func (r run) width(f font.Font) vg.Length {
	face := r.face(f)
	return face.Width(r.text)
}

// shift returns how far the baseline of the run lies above that of text of the given size.
func (r run) shift(size vg.Length) vg.Length {
	switch r.script {
	case subscript:
		return subShift * size
	case superscript:
		return superShift * size
	}
	return 0
}

// Draw draws text so that the point is on the baseline of its last line if aligned at the bottom, as gonum's own handlers do.
func (m markup) Draw(c vg.Canvas, s string, sty text.Style, at vg.Point) {
	lines := m.Lines(s)
	height, step := sty.Height(s), sty.Height("x")
	sin, cos := math.Sincos(sty.Rotation)
	for i, line := range lines {
		up := vg.Length(sty.YAlign)*height + vg.Length(len(lines)-1-i)*step
		m.drawLine(c, m.runs(line), sty, vg.Point{X: at.X - up*vg.Length(sin), Y: at.Y + up*vg.Length(cos)})
	}
}

func (m markup) drawLine(c vg.Canvas, runs []run, sty text.Style, at vg.Point) {
	if rich, ok := innermost(c).(*svgCanvas); ok {
		rich.text(runs, sty, at)
		return
	}
	c.Push()
	defer c.Pop()
	c.Translate(at)
	if sty.Rotation != 0 {
		c.Rotate(sty.Rotation)
	}
	c.SetColor(sty.Color)
	x := vg.Length(0)
	for _, r := range runs {
		x += vg.Length(sty.XAlign) * r.width(sty.Font)
	}
	for _, r := range runs {
		c.FillString(r.face(sty.Font), vg.Point{X: x, Y: r.shift(sty.Font.Size)}, r.text)
		x += r.width(sty.Font)
	}
}

// innermost strips the cropped areas around a canvas.
func innermost(c vg.Canvas) vg.Canvas {
	for {
		switch area := c.(type) {
		case draw.Canvas:
			c = area.Canvas
		case *draw.Canvas:
			c = area.Canvas
		default:
			return c
		}
	}
}

// style returns the text style of a figure in the given size and colour.
func style(size vg.Length, c color.Color) text.Style {
	return text.Style{Color: c, Font: font.From(sans, size), Handler: markup{}, XAlign: text.XLeft, YAlign: text.YBottom}
}

// wrap breaks text into lines not wider than width, at blanks but not at no-break spaces; a word that is wider stands alone.
func wrap(s string, sty text.Style, width vg.Length) string {
	var lines []string
	for _, paragraph := range strings.Split(s, "\n") {
		line := ""
		for _, word := range strings.FieldsFunc(paragraph, func(r rune) bool { return r == ' ' || r == '\t' }) {
			if longer := strings.TrimLeft(line+" "+word, " "); line == "" || sty.Width(longer) <= width {
				line = longer
				continue
			}
			lines = append(lines, line)
			line = word
		}
		lines = append(lines, line)
	}
	return strings.Join(lines, "\n")
}
