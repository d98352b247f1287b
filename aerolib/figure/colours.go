package figure

import (
	"fmt"
	"image"
	"image/color"
	"math"
	"slices"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"foreplane/aerolib/unit"
)

// colours is a quantity over a grid, shown in bands of colour: blue above zero, white around it, orange below. A strip at the right of the frame, beside the second
// axis, is its key.
type colours struct {
	label string
	unit  string
	x, y  []float64   // rising
	value [][]float64 // over y and x, in the unit
	step  float64     // width of a band
	most  float64     // beyond which the colour stays
	strip float64     // x from which on the key is drawn
	key   func(y float64) float64
}

// bands is the number of bands on either side of the white one.
const bands = 6

// stripShare is the share of the width of the frame that the key takes, and half of it again as a gap.
const stripShare = 0.035

// colour adds a quantity over x and y. Values are in the unit. It sets the ranges of the axes and takes that at the right.
func (f *Figure) colour(label, unit string, x, y []float64, value [][]float64) *Figure {
	for _, v := range [][]float64{x, y} {
		if len(v) < 2 || !slices.IsSorted(v) || !finite(v[0]+v[len(v)-1]) || v[0] == v[len(v)-1] {
			return f.fail("map", label, "the grid must rise and be finite")
		}
	}
	c := &colours{label: label, unit: unit, x: clone(x), y: clone(y), value: value}
	if c.step = c.bandWidth(); c.step == 0 {
		return f.fail("map", label, "no value to show but zero")
	}
	c.most = c.step * (bands + 0.5)
	low, high, right := y[0], y[len(y)-1], x[len(x)-1]
	width := (right - x[0]) / (1 - 1.5*stripShare)
	c.strip = right + 0.5*stripShare*width
	f.X.Min, f.X.Max, f.Y.Min, f.Y.Max = x[0], right+1.5*stripShare*width, low, high
	up := -1.0 // values below zero stand at the top, as upwash should
	if f.Y.Reversed {
		up = 1
	}
	c.key = func(at float64) float64 { return up * c.most * (2*(at-low)/(high-low) - 1) }
	f.fields = append(f.fields, c)
	return f.Right(Axis{Label: label + " (" + unit + ")"}, c.key)
}

// bandWidth returns a round width of bands such that nine in ten values are within them.
func (c *colours) bandWidth() float64 {
	var sizes []float64
	for _, row := range c.value {
		for _, v := range row {
			if finite(v) {
				sizes = append(sizes, math.Abs(v))
			}
		}
	}
	if len(sizes) == 0 {
		return 0
	}
	slices.Sort(sizes)
	return roundUp(sizes[len(sizes)*9/10] / bands)
}

// roundUp returns the next of 1, 2, 2.5, 5 and 10 times a power of ten; that of zero is zero.
func roundUp(v float64) float64 {
	if v == 0 {
		return 0
	}
	power := math.Pow(10, math.Floor(math.Log10(v)))
	for _, m := range []float64{1, 2, 2.5, 5} {
		if m*power >= v {
			return m * power
		}
	}
	return 10 * power
}

// shown converts the grid to shown units.
func (c *colours) shown(kx, ky scale) *colours {
	d := *c
	d.x, d.y, d.strip = kx.all(c.x), ky.all(c.y), kx.shown(c.strip)
	d.key = func(y float64) float64 { return c.key(ky.si(y)) }
	return &d
}

// at returns the value at a point in shown units, or NaN where there is none.
func (c *colours) at(x, y float64) float64 {
	if x >= c.strip {
		return c.key(y)
	}
	i, u := cellOf(c.x, x)
	j, v := cellOf(c.y, y)
	if i < 0 || j < 0 {
		return math.NaN()
	}
	low, high := c.value[j], c.value[j+1]
	return (1-v)*((1-u)*low[i]+u*low[i+1]) + v*((1-u)*high[i]+u*high[i+1])
}

// cellOf returns the cell of a grid in which v is, and where in it; −1 outside.
func cellOf(grid []float64, v float64) (int, unit.Ratio) {
	last := len(grid) - 1
	if !(grid[0] <= v && v <= grid[last]) {
		return -1, 0
	}
	i, _ := slices.BinarySearch(grid, v)
	i = max(0, min(i-1, last-1))
	return i, (v - grid[i]) / (grid[i+1] - grid[i])
}

// color returns the colour of the band of a value.
func (c *colours) color(v float64) color.NRGBA {
	if math.IsNaN(v) {
		return ground
	}
	n := math.Round(v / c.step)
	share := math.Min(math.Abs(n), bands) / bands * 0.85
	if n < 0 {
		return tint(looks[1].color, share)
	}
	return tint(looks[0].color, share)
}

// drawColours draws a map as a picture of the frame.
func (s *sheet) drawColours(canvas draw.Canvas, c *colours) {
	const fine = 2 // picture elements per pixel
	w, h := int(fine*s.data.Size().X), int(fine*s.data.Size().Y)
	img := image.NewPaletted(image.Rect(0, 0, w, h), nil)
	index := map[color.NRGBA]uint8{}
	for row := range h {
		y := along(s.plot.Y.Min, s.plot.Y.Max, 1-(float64(row)+0.5)/float64(h), s.Y.Reversed)
		for col := range w {
			x := along(s.plot.X.Min, s.plot.X.Max, (float64(col)+0.5)/float64(w), s.X.Reversed)
			shade := c.color(c.at(x, y))
			if x < c.strip && x > c.x[len(c.x)-1] {
				shade = ground
			}
			k, known := index[shade]
			if !known {
				k = uint8(len(index))
				index[shade] = k
				img.Palette = append(img.Palette, shade)
			}
			img.SetColorIndex(col, row, k)
		}
	}
	canvas.DrawImage(s.data, img)
	edge := s.pixel(c.strip, s.plot.Y.Min).X
	canvas.StrokeLine2(draw.LineStyle{Color: frame, Width: vg.Length(frameWidth)}, edge, s.data.Min.Y, edge, s.data.Max.Y)
}

// along returns what an axis shows at a fraction of its length.
func along(low, high float64, f unit.Ratio, reversed bool) float64 {
	if reversed {
		f = 1 - f
	}
	return low + f*(high-low)
}

// inWords says where the quantity is greatest and least.
func (c *colours) inWords(s *sheet) string {
	low, high := extremes(c)
	say := func(e extreme) string {
		return fmt.Sprintf("%s at %s, %s", quantity(significant(e.v, 3), c.unit), s.X.inWords("x", e.x), s.Y.inWords("y", e.y))
	}
	return fmt.Sprintf("Map of %s: lowest %s, highest %s", plain(c.label), say(low), say(high))
}

// extreme is a value and where it is.
type extreme struct{ v, x, y float64 }

func extremes(c *colours) (low, high extreme) {
	low.v, high.v = math.Inf(1), math.Inf(-1)
	for j, row := range c.value {
		for i, v := range row {
			if v < low.v {
				low = extreme{v, c.x[i], c.y[j]}
			}
			if v > high.v {
				high = extreme{v, c.x[i], c.y[j]}
			}
		}
	}
	return low, high
}

// grid writes the values as a table, with a row for each y.
func (c *colours) grid(f *Figure, d *Data) {
	d.Caption += ": " + plain(c.label) + " in " + c.unit
	d.Header, d.Units = []string{orDefault(plain(f.Y.Label), "y") + " \\ " + orDefault(plain(f.X.Label), "x")}, []string{f.Y.Unit}
	for _, x := range c.x {
		d.Header, d.Units = append(d.Header, cell(x)), append(d.Units, f.X.Unit)
	}
	for j, y := range c.y {
		row := []string{cell(y)}
		for _, v := range c.value[j] {
			row = append(row, cell(v))
		}
		d.Rows = append(d.Rows, row)
	}
}
