package figure

import (
	"bytes"
	"encoding/base64"
	"encoding/xml"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"math"
	"strconv"
	"strings"

	stdfont "golang.org/x/image/font"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"

	"foreplane/aerolib/unit"
)

// fontFamily names the fonts that an SVG asks of the reader's system; the first three share the widths that layout is computed with.
const fontFamily = "Arial,'Liberation Sans',Helvetica,'Helvetica Neue',sans-serif"

// An svgCanvas is a [vg.Canvas] that writes compact SVG: one unit is one CSS pixel, text stays text, and fonts are named, not embedded.
type svgCanvas struct {
	w, h  vg.Length
	body  bytes.Buffer
	state svgState
	stack []svgState
	open  string // attributes of the stroke that is still open, to be continued by strokes of the same kind
	data  string // its path data
}

type svgState struct {
	color  color.Color
	width  vg.Length
	dashes []vg.Length
	offset vg.Length
	to     affine // from the user's coordinates to pixels, y down
}

// An affine is the map x' = a·x + c·y + e, y' = b·x + d·y + f.
type affine struct{ a, b, c, d, e, f float64 }

func (m affine) then(n affine) affine {
	return affine{
		n.a*m.a + n.c*m.b, n.b*m.a + n.d*m.b,
		n.a*m.c + n.c*m.d, n.b*m.c + n.d*m.d,
		n.a*m.e + n.c*m.f + n.e, n.b*m.e + n.d*m.f + n.f,
	}
}

func (m affine) apply(p vg.Point) (x, y float64) {
	return m.a*float64(p.X) + m.c*float64(p.Y) + m.e, m.b*float64(p.X) + m.d*float64(p.Y) + m.f
}

// scale returns the factor on lengths, the mean of both directions.
func (m affine) scale() unit.Ratio { return math.Sqrt(math.Abs(m.a*m.d - m.b*m.c)) }

func newSVG(w, h vg.Length) *svgCanvas {
	c := &svgCanvas{w: w, h: h}
	c.state.to = affine{1, 0, 0, -1, 0, float64(h)}
	vg.Initialize(c)
	return c
}

// Size returns the size in CSS pixels.
func (c *svgCanvas) Size() (w, h vg.Length) { return c.w, c.h }

// SetLineWidth sets the width of strokes.
func (c *svgCanvas) SetLineWidth(w vg.Length) { c.state.width = w }

// SetLineDash sets the pattern of strokes.
func (c *svgCanvas) SetLineDash(dashes []vg.Length, offset vg.Length) {
	c.state.dashes, c.state.offset = dashes, offset
}

// SetColor sets the colour of strokes, fills and text.
func (c *svgCanvas) SetColor(clr color.Color) {
	c.state.color = clr
}

// Rotate turns what follows by an angle in radians.
func (c *svgCanvas) Rotate(angle float64) {
	sin, cos := math.Sincos(angle)
	c.state.to = affine{cos, sin, -sin, cos, 0, 0}.then(c.state.to)
}

// Translate moves what follows.
func (c *svgCanvas) Translate(by vg.Point) {
	c.state.to = affine{1, 0, 0, 1, float64(by.X), float64(by.Y)}.then(c.state.to)
}

// Scale scales what follows.
func (c *svgCanvas) Scale(x, y float64) { c.state.to = affine{x, 0, 0, y, 0, 0}.then(c.state.to) }

// Push saves the state.
func (c *svgCanvas) Push() { c.stack = append(c.stack, c.state) }

// Pop restores the state saved last.
func (c *svgCanvas) Pop() {
	c.state = c.stack[len(c.stack)-1]
	c.stack = c.stack[:len(c.stack)-1]
}

// Stroke draws a line. Strokes of one kind in a row become one element.
func (c *svgCanvas) Stroke(p vg.Path) {
	if c.state.width <= 0 {
		return
	}
	attributes := c.strokeAttributes()
	if attributes != c.open || !opaque(c.state.color) {
		c.flush()
		c.open = attributes
	}
	c.data += c.pathData(p)
}

func (c *svgCanvas) flush() {
	if c.data != "" {
		fmt.Fprintf(&c.body, "<path d=\"%s\" fill=\"none\"%s/>\n", c.data, c.open)
	}
	c.open, c.data = "", ""
}

func (c *svgCanvas) strokeAttributes() string {
	k := c.state.to.scale()
	s := paint("stroke", c.state.color) + attribute("stroke-width", float64(c.state.width)*k)
	if len(c.state.dashes) > 0 {
		parts := make([]string, len(c.state.dashes))
		for i, d := range c.state.dashes {
			parts[i] = pixel(float64(d) * k)
		}
		s += fmt.Sprintf(" stroke-dasharray=%q", strings.Join(parts, " "))
	}
	if c.state.offset != 0 {
		s += attribute("stroke-dashoffset", float64(c.state.offset)*k)
	}
	return s
}

// Fill fills an area.
func (c *svgCanvas) Fill(p vg.Path) {
	c.flush()
	fmt.Fprintf(&c.body, "<path d=\"%s\"%s/>\n", c.pathData(p), paint("fill", c.state.color))
}

func (c *svgCanvas) pathData(p vg.Path) string {
	var b strings.Builder
	for _, comp := range p {
		switch comp.Type {
		case vg.MoveComp:
			b.WriteString("M" + c.point(comp.Pos))
		case vg.LineComp:
			b.WriteString("L" + c.point(comp.Pos))
		case vg.ArcComp:
			b.WriteString(c.arc(comp, b.Len() == 0))
		case vg.CurveComp:
			letter := map[int]string{1: "Q", 2: "C"}[len(comp.Control)]
			for _, control := range comp.Control {
				letter += c.point(control) + " "
			}
			b.WriteString(letter + c.point(comp.Pos))
		case vg.CloseComp:
			b.WriteString("Z")
		}
	}
	return b.String()
}

// arc returns the data of a circular arc, in parts of less than half a turn because SVG names an arc by its end points.
func (c *svgCanvas) arc(comp vg.PathComp, first bool) string {
	parts := int(math.Abs(comp.Angle)/(0.9*math.Pi)) + 1
	on := func(angle float64) string {
		sin, cos := math.Sincos(angle)
		return c.point(comp.Pos.Add(vg.Point{X: comp.Radius * vg.Length(cos), Y: comp.Radius * vg.Length(sin)}))
	}
	sweep := 0
	if (comp.Angle > 0) != (c.state.to.a*c.state.to.d-c.state.to.b*c.state.to.c < 0) {
		sweep = 1
	}
	s := "L" + on(comp.Start)
	if first {
		s = "M" + on(comp.Start)
	}
	r := pixel(float64(comp.Radius) * c.state.to.scale())
	for i := 1; i <= parts; i++ {
		s += fmt.Sprintf("A%s %s 0 0 %d %s", r, r, sweep, on(comp.Start+comp.Angle*float64(i)/float64(parts)))
	}
	return s
}

func (c *svgCanvas) point(p vg.Point) string {
	x, y := c.state.to.apply(p)
	return pixel(x) + " " + pixel(y)
}

// FillString writes plain text, for text handlers other than ours.
func (c *svgCanvas) FillString(f font.Face, at vg.Point, s string) {
	if f.Font.Size > 0 {
		c.text([]run{{text: s}}, text.Style{Color: c.state.color, Font: f.Font}, at)
	}
}

// text writes one line whose anchor lies on its baseline.
func (c *svgCanvas) text(runs []run, sty text.Style, at vg.Point) {
	c.flush()
	x, y := c.state.to.apply(at)
	k := c.state.to.scale()
	fmt.Fprintf(&c.body, "<text x=\"%s\" y=\"%s\"%s%s%s%s>", pixel(x), pixel(y), attribute("font-size", float64(sty.Font.Size)*k),
		paint("fill", sty.Color), anchor(sty.XAlign), fontAttributes(sty.Font)+c.turn(sty.Rotation, x, y))
	c.spans(runs, sty.Font, k)
	c.body.WriteString("</text>\n")
}

// spans writes the runs of a line; a run in plain style on the line needs no element of its own.
func (c *svgCanvas) spans(runs []run, f font.Font, k unit.Ratio) {
	line := 0.0 // how far above the baseline the last run stood
	for _, r := range runs {
		shift := float64(r.shift(f.Size)) * k
		attributes := ""
		if shift != line {
			attributes += attribute("dy", line-shift)
		}
		if r.script != onLine {
			attributes += attribute("font-size", scriptSize*float64(f.Size)*k)
		}
		if r.italic {
			attributes += ` font-style="italic"`
		}
		line = shift
		if attributes == "" {
			c.body.WriteString(escape(r.text))
			continue
		}
		fmt.Fprintf(&c.body, "<tspan%s>%s</tspan>", attributes, escape(r.text))
	}
}

// turn returns the transformation of text that does not run to the right.
func (c *svgCanvas) turn(angle unit.Angle, x, y float64) string {
	degrees := -angle*180/math.Pi + math.Atan2(c.state.to.b, c.state.to.a)*180/math.Pi
	if math.Abs(degrees) < 1e-9 {
		return ""
	}
	return fmt.Sprintf(" transform=\"rotate(%s %s %s)\"", pixel(degrees), pixel(x), pixel(y))
}

func fontAttributes(f font.Font) string {
	s := ""
	if f.Weight >= stdfont.WeightSemiBold {
		s += ` font-weight="bold"`
	}
	if f.Style != stdfont.StyleNormal {
		s += ` font-style="italic"`
	}
	return s
}

func anchor(a text.XAlignment) string {
	switch a {
	case text.XCenter:
		return ` text-anchor="middle"`
	case text.XRight:
		return ` text-anchor="end"`
	}
	return ""
}

// DrawImage places a raster picture.
func (c *svgCanvas) DrawImage(r vg.Rectangle, img image.Image) {
	c.flush()
	var b bytes.Buffer
	if err := png.Encode(&b, img); err != nil { // a picture without pixels: there is nothing to draw
		return
	}
	x, y := c.state.to.apply(vg.Point{X: r.Min.X, Y: r.Max.Y})
	k := c.state.to.scale()
	fmt.Fprintf(&c.body, "<image x=\"%s\" y=\"%s\"%s%s preserveAspectRatio=\"none\" href=\"data:image/png;base64,%s\"/>\n", pixel(x), pixel(y),
		attribute("width", float64(r.Size().X)*k), attribute("height", float64(r.Size().Y)*k), base64.StdEncoding.EncodeToString(b.Bytes()))
}

// paint returns the attributes of a colour; none is black, as gonum/plot has it.
func paint(name string, clr color.Color) string {
	if clr == nil {
		clr = color.Black
	}
	n := color.NRGBAModel.Convert(clr).(color.NRGBA)
	s := fmt.Sprintf(" %s=\"#%02x%02x%02x\"", name, n.R, n.G, n.B)
	if n.A < 255 {
		s += attribute(name+"-opacity", float64(n.A)/255)
	}
	return s
}

func opaque(clr color.Color) bool {
	if clr == nil {
		return true
	}
	_, _, _, a := clr.RGBA()
	return a == 0xffff
}

func attribute(name string, v float64) string { return fmt.Sprintf(" %s=\"%s\"", name, pixel(v)) }

// pixel formats a coordinate to a hundredth.
func pixel(v float64) string {
	v = math.Round(v*100) / 100
	if v == 0 {
		v = 0 // no minus zero
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}

// escape makes text safe inside XML; characters that XML does not know become U+FFFD.
func escape(s string) string {
	var b strings.Builder
	xml.EscapeText(&b, []byte(s)) // a strings.Builder does not fail
	return b.String()
}
