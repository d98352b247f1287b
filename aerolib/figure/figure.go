package figure

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/plot"
)

// A Figure is a chart under construction; [New] makes one, its methods add to it, and SVG and PNG draw it. The first error of a method is
// kept and returned by them.
type Figure struct {
	Title         string
	X, Y          Axis
	Caption       string  // a sentence below the axes
	Alt           string  // for readers who do not see the figure; made from the contents if empty
	Width, Height float64 // in CSS pixels, without caption and legend; zero for the usual size
	EqualScale    bool    // a metre is as long on both axes, as a drawing needs it

	series []series
	limits []limit
	points []point
	shapes []shape
	fields []*colours
	top    *second
	right  *second
	raw    *plot.Plot // a plot made elsewhere, shown in our theme
	err    error
}

type kind int

const (
	curve kind = iota
	dots
	band
)

// A series is what shares one look: a curve, points, or a band between y and low.
type series struct {
	kind      kind
	label     string
	x, y, low []float64
	look      int
}

// A limit is a line across the whole figure at x = at, or at y = at if level.
type limit struct {
	label string
	at    float64
	level bool
}

// A point is a single marked point.
type point struct {
	label  string
	x, y   float64
	symbol Symbol
}

// A Symbol marks a point.
type Symbol int

// The symbols.
const (
	Dot             Symbol = iota
	CentreOfGravity        // a circle in four quarters, two of them black
	NeutralPoint           // a ring around a dot
	nothing
)

// A shape is a filled outline: a surface of a planform, a part of a bar.
type shape struct {
	label string
	x, y  []float64
	look  int
	aside bool // a drawing beside the data, not to the scale of the axes or shown again: not in words, not in tables

	hollow bool // drawn as a line, over a map
	isBar  bool
	bar    int // its number
	value  float64
}

// New returns a figure without data.
func New(title string, x, y Axis) *Figure {
	return &Figure{Title: title, X: x, Y: y}
}

// Err returns the first error made in building the figure, or nil.
func (f *Figure) Err() error { return f.err }

func (f *Figure) fail(method, label, format string, args ...any) *Figure {
	if f.err == nil {
		f.err = fmt.Errorf("figure: %s %q: %s", method, label, fmt.Sprintf(format, args...))
	}
	return f
}

// Curve adds a line through the points (x, y). A NaN in y leaves a gap.
func (f *Figure) Curve(label string, x, y []float64) *Figure {
	return f.add("Curve", series{kind: curve, label: label, x: x, y: y})
}

// Points adds separate markers at the points (x, y). They look like a curve of the same label if there is one.
func (f *Figure) Points(label string, x, y []float64) *Figure {
	return f.add("Points", series{kind: dots, label: label, x: x, y: y})
}

// Band fills the area between low and high.
func (f *Figure) Band(label string, x, low, high []float64) *Figure {
	return f.add("Band", series{kind: band, label: label, x: x, y: high, low: low})
}

// Point marks one point and names it.
func (f *Figure) Point(label string, x, y float64) *Figure {
	return f.mark("Point", point{label, x, y, Dot})
}

// Mark marks one point with a symbol and names it.
func (f *Figure) Mark(s Symbol, label string, x, y float64) *Figure {
	if s < Dot || s > NeutralPoint {
		return f.fail("Mark", label, "no symbol has the number %d", s)
	}
	return f.mark("Mark", point{label, x, y, s})
}

// Note writes text beside the point (x, y).
func (f *Figure) Note(text string, x, y float64) *Figure {
	return f.mark("Note", point{text, x, y, nothing})
}

func (f *Figure) mark(method string, p point) *Figure {
	if !finite(p.x) || !finite(p.y) {
		return f.fail(method, p.label, "point (%g, %g) is not finite", p.x, p.y)
	}
	f.points = append(f.points, p)
	return f
}

// Outline fills the area inside a closed line through the points (x, y).
func (f *Figure) Outline(label string, x, y []float64) *Figure {
	if err := (series{x: x, y: y}).check(); err != nil {
		return f.fail("Outline", label, "%v", err)
	}
	if i := slices.IndexFunc(y, math.IsNaN); i >= 0 || len(x) < 3 {
		return f.fail("Outline", label, "needs three points or more, without gaps")
	}
	f.shapes = append(f.shapes, shape{label: label, x: clone(x), y: clone(y), look: f.lookFor(label)})
	return f
}

// Limit draws a line at x across the figure: a neutral point, a stall speed.
func (f *Figure) Limit(label string, x float64) *Figure {
	return f.line("Limit", limit{label, x, false})
}

// Level draws a line at y across the figure.
func (f *Figure) Level(label string, y float64) *Figure {
	return f.line("Level", limit{label, y, true})
}

func (f *Figure) line(method string, l limit) *Figure {
	if !finite(l.at) {
		return f.fail(method, l.label, "value %g is not finite", l.at)
	}
	f.limits = append(f.limits, l)
	return f
}

// Top adds an axis at the top for a quantity that follows from x, such as true airspeed from equivalent airspeed. It must rise or fall
// throughout.
func (f *Figure) Top(a Axis, from func(x float64) float64) *Figure {
	if from == nil {
		return f.fail("Top", a.Label, "no function")
	}
	f.top = &second{a, from}
	return f
}

// Right adds an axis at the right for a quantity that follows from y.
func (f *Figure) Right(a Axis, from func(y float64) float64) *Figure {
	if from == nil {
		return f.fail("Right", a.Label, "no function")
	}
	f.right = &second{a, from}
	return f
}

// add takes a series in, with a copy of its data, so that it cannot change afterwards.
func (f *Figure) add(method string, s series) *Figure {
	if err := s.check(); err != nil {
		return f.fail(method, s.label, "%v", err)
	}
	s.x, s.y, s.low = clone(s.x), clone(s.y), clone(s.low)
	s.look = f.lookFor(s.label)
	f.series = append(f.series, s)
	return f
}

// lookFor returns the look of the series of this label, or the next one.
func (f *Figure) lookFor(label string) int {
	next := 0
	for _, s := range f.series {
		if s.label == label && label != "" {
			return s.look
		}
		next = max(next, s.look+1)
	}
	for _, s := range f.shapes {
		if s.label == label && label != "" {
			return s.look
		}
		next = max(next, s.look+1)
	}
	return next
}

// check holds the data of a series to account: equal lengths, finite x, y finite or NaN, and something to show.
func (s series) check() error {
	if len(s.x) != len(s.y) {
		return fmt.Errorf("%d values of x, but %d of y", len(s.x), len(s.y))
	}
	if s.kind == band && len(s.low) != len(s.x) {
		return fmt.Errorf("%d values of x, but %d of low", len(s.x), len(s.low))
	}
	shown := 0
	for i, x := range s.x {
		if !finite(x) {
			return fmt.Errorf("x[%d] = %g is not finite", i, x)
		}
		if math.IsInf(s.y[i], 0) || s.kind == band && math.IsInf(s.low[i], 0) {
			return fmt.Errorf("y[%d] is infinite", i)
		}
		if !s.gapAt(i) {
			shown++
		}
	}
	if shown == 0 {
		return fmt.Errorf("no point to show among %d", len(s.x))
	}
	return nil
}

func (s series) gapAt(i int) bool {
	return math.IsNaN(s.y[i]) || s.kind == band && math.IsNaN(s.low[i])
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

func clone(v []float64) []float64 { return append([]float64(nil), v...) }
