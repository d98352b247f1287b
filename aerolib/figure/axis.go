package figure

import (
	"fmt"
	"math"

	"gonum.org/v1/plot"
)

// An Axis says what an axis of a figure shows. Values are given in SI throughout and shown in Unit.
type Axis struct {
	Label    string  // such as "Speed V" or "Lift coefficient C_L"
	Unit     string  // the unit shown, by its symbol in package unit; empty for plain numbers
	Min, Max float64 // the range in SI; from the data if both are zero
	Log      bool    // logarithmic: all values must be positive
	Reversed bool    // counts to the left or down
	Zero     bool    // the range from the data includes zero

	names []string // of categories, at 0, 1, 2 ...
	bare  bool     // without ticks
}

// A second axis at the top or right shows another quantity that goes with the first.
type second struct {
	Axis
	from func(float64) float64
}

// text returns the label of the axis with its unit.
func (a Axis) text() string {
	switch {
	case a.bare:
		return ""
	case a.Unit == "":
		return a.Label
	case a.Label == "":
		return "(" + a.Unit + ")"
	}
	return a.Label + " (" + a.Unit + ")"
}

func (a Axis) apply(to *plot.Axis) {
	to.Min, to.Max = a.Min, a.Max
	if a.Log {
		to.Scale = plot.LogScale{}
	}
	if a.Reversed {
		to.Scale = plot.InvertedScale{Normalizer: to.Scale}
	}
}

func (a Axis) ticker(count float64) plot.Ticker {
	switch {
	case a.bare:
		return plot.ConstantTicks{}
	case a.names != nil:
		ticks := plot.ConstantTicks{}
		for i, name := range a.names {
			ticks = append(ticks, plot.Tick{Value: float64(i), Label: name})
		}
		return ticks
	case a.Log:
		return logTicker{count}
	}
	return linearTicker{count}
}

// checkRanges sets the ranges of both axes and refuses what a logarithmic axis cannot show.
func (f *Figure) checkRanges() error {
	xs, ys := f.extents()
	marginX, marginY := 0.0, 0.04
	if f.Y.names != nil { // bars leave room for their names
		marginX = 0.06
	}
	if f.EqualScale {
		marginX = marginY
	}
	if err := f.X.setRange("x", xs, marginX); err != nil {
		return err
	}
	return f.Y.setRange("y", ys, marginY)
}

// extents collects the values that the axes must reach.
func (f *Figure) extents() (xs, ys []float64) {
	for _, s := range f.series {
		for i := range s.x {
			if !s.gapAt(i) {
				xs, ys = append(xs, s.x[i]), append(ys, s.y[i])
				if s.kind == band {
					ys = append(ys, s.low[i])
				}
			}
		}
	}
	for _, p := range f.points {
		xs, ys = append(xs, p.x), append(ys, p.y)
	}
	for _, s := range f.shapes {
		xs, ys = append(xs, s.x...), append(ys, s.y...)
	}
	for _, l := range f.limits {
		if l.level {
			ys = append(ys, l.at)
		} else {
			xs = append(xs, l.at)
		}
	}
	return xs, ys
}

func (a *Axis) setRange(name string, values []float64, margin float64) error {
	if a.names != nil {
		a.Min, a.Max = -0.6, float64(len(a.names))-0.4
		return nil
	}
	low, high := math.Inf(1), math.Inf(-1)
	for _, v := range values {
		if a.Log && v <= 0 {
			return fmt.Errorf("figure: %s axis is logarithmic, but has the value %g", name, v)
		}
		low, high = math.Min(low, v), math.Max(high, v)
	}
	if a.Min != 0 || a.Max != 0 {
		return a.checkFixed(name)
	}
	if len(values) == 0 {
		return fmt.Errorf("figure: %s axis has no value and no range", name)
	}
	if a.Zero && !a.Log {
		low, high = math.Min(low, 0), math.Max(high, 0)
	}
	a.Min, a.Max = a.nice(low, high, margin)
	return nil
}

func (a *Axis) checkFixed(name string) error {
	if !(a.Min < a.Max) || !finite(a.Min) || !finite(a.Max) || a.Log && a.Min <= 0 {
		return fmt.Errorf("figure: %s axis cannot run from %g to %g", name, a.Min, a.Max)
	}
	return nil
}

// nice widens the range of the data to round numbers.
func (a *Axis) nice(low, high, margin float64) (float64, float64) {
	if a.Log {
		if high/low < 1.01 {
			low, high = low/1.5, high*1.5
		}
		return logTicker{}.nice(low, high)
	}
	if span := high - low; span <= 1e-9*math.Max(math.Abs(low), math.Abs(high)) || span == 0 {
		half := math.Max(math.Abs(high)*0.1, 1e-300)
		if high == 0 {
			half = 1
		}
		low, high = low-half, high+half
	}
	pad := margin * (high - low)
	from, to := linearTicker{count: 6}.nice(low-pad, high+pad)
	if low >= 0 && from < 0 { // padding alone does not cross zero
		from = 0
	}
	if high <= 0 && to > 0 {
		to = 0
	}
	return from, to
}

// ticks returns the ticks of a second axis at the values of the first one where they belong.
func (s second) ticks(first plot.Axis, count float64) []plot.Tick {
	low, high := s.from(first.Min), s.from(first.Max)
	if !finite(low) || !finite(high) || low == high {
		return nil
	}
	var ticks []plot.Tick
	for _, t := range s.ticker(count).Ticks(math.Min(low, high), math.Max(low, high)) {
		t.Value = invert(s.from, t.Value, first.Min, first.Max)
		ticks = append(ticks, t)
	}
	return ticks
}

// check refuses a function that does not give one value for each of the axis beside, rising or falling throughout.
func (s *second) check(name string, first Axis) error {
	if s == nil {
		return nil
	}
	const samples = 64
	var last, step float64
	for i := range samples + 1 {
		v := s.from(first.Min + (first.Max-first.Min)*float64(i)/samples)
		if !finite(v) || s.Log && v <= 0 {
			return fmt.Errorf("figure: %s axis %q has the value %g", name, plain(s.Label), v)
		}
		if d := v - last; i > 0 && (d == 0 || d*step < 0) {
			return fmt.Errorf("figure: %s axis %q neither rises nor falls throughout", name, plain(s.Label))
		} else if i > 0 {
			step = d
		}
		last = v
	}
	return nil
}

// invert finds where a monotone function between low and high takes the value v, by bisection.
func invert(f func(float64) float64, v, low, high float64) float64 {
	rising := f(high) > f(low)
	for range 60 {
		mid := (low + high) / 2
		if (f(mid) < v) == rising {
			low = mid
		} else {
			high = mid
		}
	}
	return (low + high) / 2
}
