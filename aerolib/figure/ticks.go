package figure

import (
	"fmt"
	"math"

	"gonum.org/v1/plot"
)

// A linearTicker marks an axis at multiples of 1, 2 or 5 times a power of ten, with minor marks between them.
type linearTicker struct {
	count float64 // about how many labelled ticks fit
}

// A tickStep is a distance m·10ᵉ between ticks.
type tickStep struct {
	m, e  int
	minor int // how many parts a minor tick divides it into
}

func (s tickStep) size() float64 { return float64(s.m) * math.Pow(10, float64(s.e)) }

// at returns the i-th part of a step, rounded only once: 3 × 0.1 is 0.3.
func (s tickStep) at(i, parts int) float64 {
	n := float64(i * s.m)
	if s.e < 0 {
		return n / (float64(parts) * math.Pow(10, float64(-s.e)))
	}
	return n * math.Pow(10, float64(s.e)) / float64(parts)
}

// stepFor returns the smallest 1-2-5 step that puts no more than count intervals into span.
func stepFor(span, count float64) tickStep {
	want := span / math.Max(count, 1)
	e := int(math.Floor(math.Log10(want)))
	for _, s := range []tickStep{{1, e, 5}, {2, e, 4}, {5, e, 5}} {
		if s.size() >= want*(1-1e-9) {
			return s
		}
	}
	return tickStep{1, e + 1, 5}
}

// Ticks returns the ticks from low to high; minor ones have no label.
func (t linearTicker) Ticks(low, high float64) []plot.Tick {
	if !(low < high) || math.IsInf(high-low, 0) {
		return nil
	}
	s := stepFor(high-low, t.count)
	unit := s.size() / float64(s.minor)
	first, last := int(math.Ceil(low/unit-1e-6)), int(math.Floor(high/unit+1e-6))
	var ticks []plot.Tick
	for i := first; i <= last; i++ {
		tick := plot.Tick{Value: s.at(i, s.minor)}
		if i%s.minor == 0 {
			tick.Label = s.label(i/s.minor, math.Max(math.Abs(low), math.Abs(high)))
		}
		ticks = append(ticks, tick)
	}
	return ticks
}

// label formats the i-th multiple of the step; largest is the largest number on the axis and decides for all labels alike.
func (s tickStep) label(i int, largest float64) string {
	if largest >= 1e6 || largest < 1e-3 {
		if i == 0 {
			return "0"
		}
		e := int(math.Floor(math.Log10(largest)))
		return fixed(s.at(i, 1)/math.Pow(10, float64(e)), e-s.e) + fmt.Sprintf("×10^{%d}", e)
	}
	return fixed(s.at(i, 1), -s.e)
}

// nice widens a range to the next minor ticks.
func (t linearTicker) nice(low, high float64) (float64, float64) {
	s := stepFor(high-low, t.count)
	unit := s.size() / float64(s.minor)
	return s.at(int(math.Floor(low/unit+1e-6)), s.minor), s.at(int(math.Ceil(high/unit-1e-6)), s.minor)
}

// A logTicker marks a logarithmic axis at powers of ten, and at 2 and 5 times these where there is room.
type logTicker struct {
	count float64 // about how many labelled ticks fit
}

// Ticks returns the ticks from low to high, both positive; minor ones have no label.
func (t logTicker) Ticks(low, high float64) []plot.Tick {
	decades := math.Log10(high / low)
	dense, every := 3*decades <= t.count, int(math.Ceil(decades/t.count))
	powers := high >= 1e5 || low < 1e-3
	var ticks []plot.Tick
	for e := int(math.Floor(math.Log10(low))); e <= int(math.Ceil(math.Log10(high))); e++ {
		for m := 1; m < 10; m++ {
			v := tickStep{m: m, e: e}.at(1, 1)
			if v < low*(1-1e-9) || v > high*(1+1e-9) {
				continue
			}
			tick := plot.Tick{Value: v}
			if m == 1 && e%every == 0 || dense && (m == 2 || m == 5) {
				tick.Label = powerLabel(m, e, powers)
			}
			ticks = append(ticks, tick)
		}
	}
	return ticks
}

func powerLabel(m, e int, powers bool) string {
	switch {
	case !powers:
		return fixed(tickStep{m: m, e: e}.at(1, 1), -e)
	case m == 1:
		return fmt.Sprintf("10^{%d}", e)
	}
	return fmt.Sprintf("%d×10^{%d}", m, e)
}

// nice widens a range to the next ticks of 1, 2 or 5 times a power of ten.
func (logTicker) nice(low, high float64) (float64, float64) {
	return logDown(low), 1 / logDown(1/high)
}

func logDown(v float64) float64 {
	p := math.Pow(10, math.Floor(math.Log10(v)+1e-9))
	for _, m := range []float64{5, 2} {
		if m*p <= v*(1+1e-9) {
			return m * p
		}
	}
	return p
}
