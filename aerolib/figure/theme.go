package figure

import (
	"image/color"
	"math"

	stdfont "golang.org/x/image/font"
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// Sizes in CSS pixels.
const (
	defaultWidth  = 560
	defaultHeight = 380
	minWidth      = 240
	minHeight     = 120
	leastRoom     = 40 // for the plot itself
	maxSize       = 10000
	barsHeight    = 100 // of a figure of bars without its bars
	barHeight     = 74
	titleSize     = 15
	labelSize     = 14
	tickSize      = 13
	captionSize   = 13
	outerPad      = 10
	gap           = 6 // between things that belong together
	titleGap      = 10
	curveWidth    = 2
	frameWidth    = 1
	markerRadius  = 4
	symbolRadius  = 6.5
	tallest       = 640 // a drawing to scale, unless it is asked for
)

var (
	ink    = color.NRGBA{0x22, 0x22, 0x26, 0xff} // text
	frame  = color.NRGBA{0x55, 0x55, 0x5c, 0xff} // frame, ticks, leader lines
	grid   = color.NRGBA{0xe4, 0xe4, 0xe8, 0xff}
	zero   = color.NRGBA{0xa8, 0xa8, 0xb0, 0xff}
	ground = color.NRGBA{0xff, 0xff, 0xff, 0xff} // figures carry their own white ground, on dark pages too
)

// A look tells one series from the others: by colour, by dash and by marker, so that print and every eye can.
type look struct {
	color  color.NRGBA
	dashes []vg.Length
	marker draw.GlyphDrawer
}

// looks are given to series in this order. Every colour has a contrast of at least 3:1 to white and to a dark page, and any two of them
// differ clearly under normal sight and under each kind of colour blindness; a test computes both.
var looks = []look{
	{color.NRGBA{0x3a, 0x5d, 0xe6, 0xff}, nil, discMarker},
	{color.NRGBA{0xde, 0x71, 0x04, 0xff}, []vg.Length{8, 4}, squareMarker},
	{color.NRGBA{0x10, 0xa1, 0x70, 0xff}, []vg.Length{2.5, 3}, triangleMarker},
	{color.NRGBA{0xd0, 0x14, 0x3c, 0xff}, []vg.Length{10, 3, 2.5, 3}, diamondMarker},
	{color.NRGBA{0xc0, 0x6e, 0xd4, 0xff}, []vg.Length{14, 5}, wedgeMarker},
	{color.NRGBA{0x70, 0x69, 0x82, 0xff}, []vg.Length{5, 2.5, 1.5, 2.5, 1.5, 2.5}, crossMarker},
}

// lookOf returns the look of the i-th series. After all colours are used up, dashes and markers are combined anew.
func lookOf(i int) look {
	n, round := len(looks), i/len(looks)
	return look{looks[i%n].color, looks[(i+round)%n].dashes, looks[(i+2*round)%n].marker}
}

// textColor darkens a colour of a series until text in it has the contrast of 4.5:1 to white that text needs.
func textColor(c color.NRGBA) color.NRGBA {
	for contrast(c, ground) < 4.6 {
		c.R, c.G, c.B = darker(c.R), darker(c.G), darker(c.B)
	}
	return c
}

func darker(v uint8) uint8 { return uint8(float64(v) * 0.97) }

// tint lightens a colour for areas behind text and curves.
func tint(c color.NRGBA, share float64) color.NRGBA {
	mix := func(v uint8) uint8 { return uint8(math.Round(255 - share*(255-float64(v)))) }
	return color.NRGBA{mix(c.R), mix(c.G), mix(c.B), 0xff}
}

// contrast returns the contrast ratio of two colours, from 1 to 21.
//
//	C = (L₁ + 0.05) / (L₂ + 0.05),   L₁ ≥ L₂ relative luminances
//
// ([WCAG21], section "relative luminance").
func contrast(a, b color.NRGBA) float64 {
	l, m := luminance(a), luminance(b)
	return (math.Max(l, m) + 0.05) / (math.Min(l, m) + 0.05)
}

func luminance(c color.NRGBA) float64 {
	return 0.2126*linear(c.R) + 0.7152*linear(c.G) + 0.0722*linear(c.B)
}

// linear undoes the transfer function of sRGB.
func linear(v uint8) float64 {
	s := float64(v) / 255
	if s <= 0.04045 {
		return s / 12.92
	}
	return math.Pow((s+0.055)/1.055, 2.4)
}

// A polygonMarker is a filled marker with corners at these multiples of the radius.
type polygonMarker []vg.Point

var (
	discMarker     = draw.CircleGlyph{}
	squareMarker   = polygonMarker{{X: -.85, Y: -.85}, {X: .85, Y: -.85}, {X: .85, Y: .85}, {X: -.85, Y: .85}}
	triangleMarker = polygonMarker{{X: -1.05, Y: -.75}, {X: 1.05, Y: -.75}, {X: 0, Y: 1.1}}
	diamondMarker  = polygonMarker{{X: -1.2, Y: 0}, {X: 0, Y: -1.2}, {X: 1.2, Y: 0}, {X: 0, Y: 1.2}}
	wedgeMarker    = polygonMarker{{X: -1.05, Y: .75}, {X: 0, Y: -1.1}, {X: 1.05, Y: .75}}
	crossMarker    = polygonMarker{
		{X: -1, Y: -.6}, {X: -.6, Y: -1}, {X: 0, Y: -.4}, {X: .6, Y: -1}, {X: 1, Y: -.6}, {X: .4, Y: 0},
		{X: 1, Y: .6}, {X: .6, Y: 1}, {X: 0, Y: .4}, {X: -.6, Y: 1}, {X: -1, Y: .6}, {X: -.4, Y: 0},
	}
)

// DrawGlyph draws the marker.
func (m polygonMarker) DrawGlyph(c *draw.Canvas, sty draw.GlyphStyle, at vg.Point) {
	corners := make([]vg.Point, len(m))
	for i, corner := range m {
		corners[i] = at.Add(corner.Scale(sty.Radius))
	}
	c.FillPolygon(sty.Color, corners)
}

// drawMarker draws a marker with a white rim that lifts it off curves.
func drawMarker(c draw.Canvas, l look, at vg.Point) {
	c.DrawGlyphNoClip(draw.GlyphStyle{Color: ground, Radius: markerRadius + 1.25, Shape: l.marker}, at)
	c.DrawGlyphNoClip(draw.GlyphStyle{Color: l.color, Radius: markerRadius, Shape: l.marker}, at)
}

// drawSymbol draws the symbol of a single point.
func drawSymbol(c draw.Canvas, s Symbol, at vg.Point) {
	ring := func(r vg.Length, fill color.Color) {
		c.DrawGlyphNoClip(draw.GlyphStyle{Color: fill, Radius: r, Shape: discMarker}, at)
	}
	switch s {
	case Dot:
		drawMarker(c, look{color: ink, marker: discMarker}, at)
	case CentreOfGravity:
		ring(symbolRadius, ink)
		ring(symbolRadius-1.25, ground)
		for _, start := range []float64{0, math.Pi} {
			var quarter vg.Path
			quarter.Move(at)
			quarter.Arc(at, symbolRadius-0.5, start, math.Pi/2)
			quarter.Close()
			c.SetColor(ink)
			c.Fill(quarter)
		}
	case NeutralPoint:
		ring(symbolRadius, ink)
		ring(symbolRadius-1.5, ground)
		ring(2, ink)
	}
}

// themed returns an empty plot in our theme.
func themed() *plot.Plot {
	p := plot.New()
	p.TextHandler = markup{}
	for _, a := range []*plot.Axis{&p.X, &p.Y} {
		x, y := a.Label.TextStyle, a.Tick.Label // keep the alignments
		a.Label.TextStyle, a.Tick.Label = style(labelSize, ink), style(tickSize, ink)
		a.Label.TextStyle.XAlign, a.Label.TextStyle.YAlign = x.XAlign, x.YAlign
		a.Tick.Label.XAlign, a.Tick.Label.YAlign = y.XAlign, y.YAlign
		a.Label.Padding = gap
		a.Padding = 0
		a.LineStyle.Width = 0 // the frame is drawn once, around all
		a.Tick.Length = 5
		a.Tick.LineStyle = draw.LineStyle{Color: frame, Width: frameWidth}
	}
	return p
}

// titleStyle is bold.
func titleStyle() text.Style {
	s := style(titleSize, ink)
	s.Font.Weight = stdfont.WeightBold
	return s
}
