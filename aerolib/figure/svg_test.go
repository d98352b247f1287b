package figure

import (
	"image"
	"image/color"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
)

// drawn returns what a drawing leaves on a canvas of 100 × 100 pixels.
func drawn(draw func(c *svgCanvas)) string {
	c := newSVG(100, 100)
	draw(c)
	c.flush()
	return c.body.String()
}

func line(points ...vg.Point) vg.Path {
	var p vg.Path
	p.Move(points[0])
	for _, at := range points[1:] {
		p.Line(at)
	}
	return p
}

func TestCanvas(t *testing.T) {
	a, b := vg.Point{X: 10, Y: 10}, vg.Point{X: 20, Y: 10}
	for name, c := range map[string]struct {
		draw func(c *svgCanvas)
		want string
	}{
		"y counts up": {func(c *svgCanvas) { c.Stroke(line(a, b)) }, `d="M10 90L20 90"`},
		"translate and rotate": {func(c *svgCanvas) {
			c.Push()
			c.Translate(vg.Point{X: 50, Y: 50})
			c.Rotate(math.Pi / 2)
			c.Stroke(line(a, b))
			c.Pop()
			c.Stroke(line(a, b))
		}, `d="M40 40L40 30M10 90L20 90"`},
		"scale": {func(c *svgCanvas) { c.Scale(2, 2); c.Stroke(line(a, b)) }, `d="M20 80L40 80" fill="none" stroke="#000000" stroke-width="2"`},
		"dashes": {func(c *svgCanvas) {
			c.SetLineDash([]vg.Length{4, 2}, 1)
			c.Stroke(line(a, b))
		}, `stroke-dasharray="4 2" stroke-dashoffset="1"`},
		"no width, no line":          {func(c *svgCanvas) { c.SetLineWidth(0); c.Stroke(line(a, b)) }, ""},
		"strokes of one kind in one": {func(c *svgCanvas) { c.Stroke(line(a, b)); c.Stroke(line(b, a)) }, `d="M10 90L20 90M20 90L10 90"`},
		"translucent strokes by itself": {func(c *svgCanvas) {
			c.SetColor(color.NRGBA{255, 0, 0, 51})
			c.Stroke(line(a, b))
			c.Stroke(line(b, a))
		}, "stroke-opacity=\"0.2\" stroke-width=\"1\"/>\n<path d=\"M20 90L10 90\""},
		"quarter": {func(c *svgCanvas) {
			var p vg.Path
			p.Move(a)
			p.Arc(a, 10, 0, math.Pi/2)
			p.Close()
			c.Fill(p)
		}, `d="M10 90L20 90A10 10 0 0 0 10 80Z" fill="#000000"`},
		"curves": {func(c *svgCanvas) {
			var p vg.Path
			p.Move(a)
			p.QuadTo(a, b)
			p.CubeTo(b, b, a)
			c.Fill(p)
		}, `d="M10 90Q10 90 20 90C20 90 20 90 10 90"`},
		"image": {func(c *svgCanvas) {
			c.DrawImage(vg.Rectangle{Min: a, Max: vg.Point{X: 30, Y: 50}}, image.NewGray(image.Rect(0, 0, 1, 1)))
		}, `<image x="10" y="50" width="20" height="40"`},
		"text is escaped": {func(c *svgCanvas) {
			markup{}.Draw(c, "one<two & \x00", style(10, ink), a)
		}, `<text x="10" y="90" font-size="10" fill="#222226">one&lt;two &amp; ` + "\uFFFD</text>"},
		"scripts": {func(c *svgCanvas) { markup{}.Draw(c, "C_L", style(10, ink), a) },
			`<tspan font-style="italic">C</tspan><tspan dy="2" font-size="7.2">L</tspan></text>`},
	} {
		got := drawn(c.draw)
		if !strings.Contains(got, c.want) || c.want == "" && got != "" {
			t.Errorf("%s: %s does not contain %s", name, got, c.want)
		}
	}
}

// TestCircle holds a whole turn to be drawn in parts, since one arc from a point to itself is none.
func TestCircle(t *testing.T) {
	var p vg.Path
	p.Arc(vg.Point{X: 50, Y: 50}, 10, 0, 2*math.Pi)
	got := drawn(func(c *svgCanvas) { c.Fill(p) })
	if n := strings.Count(got, "A10 10"); n < 2 || !strings.Contains(got, `60 50" fill`) {
		t.Errorf("circle drawn as %s", got)
	}
}

// TestOf holds a plot made elsewhere to be drawn in our fonts and sizes, and to stay as it was.
func TestOf(t *testing.T) {
	p := plot.New()
	p.Title.Text, p.X.Label.Text, p.Y.Label.Text = "Polar", "C_D", "C_L"
	points, err := plotter.NewScatter(plotter.XYs{{X: 0.02, Y: 0}, {X: 0.03, Y: 0.6}})
	if err != nil {
		t.Fatal(err)
	}
	p.Add(points)
	p.Legend.Add("measured", points)
	svg, err := Of(p).SVG()
	if err != nil {
		t.Fatal(err)
	}
	wellFormed(t, svg)
	for _, want := range []string{`<title`, `>Polar<`, `<tspan dy=`, `font-family="Arial`, ">measured<", "0.020"} {
		if !strings.Contains(string(svg), want) {
			t.Errorf("the plot does not contain %q", want)
		}
	}
	if p.X.Tick.Marker != (plot.DefaultTicks{}) || p.TextHandler == (markup{}) {
		t.Error("the plot was changed")
	}
	if data, err := Of(p).PNG(); err != nil || len(data) == 0 {
		t.Errorf("PNG: %v", err)
	}
	if caption, header, _, _ := Of(p).Table(); caption != "Polar" || header != nil {
		t.Errorf("table %q %q", caption, header)
	}
}

// TestBarsStack holds positive parts to build to the right from zero and negative ones to the left.
func TestBarsStack(t *testing.T) {
	f := Bars("", Axis{}, "A").Part("a", []float64{2}).Part("b", []float64{-1}).Part("c", []float64{3}).Part("d", []float64{-4})
	for i, want := range [][2]float64{{0, 2}, {0, -1}, {2, 5}, {-1, -5}} {
		if x := f.shapes[i].x; x[0] != want[0] || x[1] != want[1] {
			t.Errorf("part %d runs from %g to %g, want %v", i, x[0], x[1], want)
		}
	}
}
