package figure

import (
	"fmt"
	"slices"

	"foreplane/aerolib/trim"
)

// CGChart draws the CG limits against mass, each stretch of an edge under the name of the constraint that makes it, with the CG as the aeroplane stands. The axis at the top has the chord of the
// reference.
func CGChart(c trim.LimitChart) *Figure {
	f := New("CG limits of "+c.Aircraft, Axis{Label: "CG aft of the datum", Unit: "m"}, Axis{Label: "Mass", Unit: "kg"})
	if len(c.Masses) < 2 {
		return f.fail("CGChart", c.Aircraft, "%d masses; a chart takes two", len(c.Masses))
	}
	low, high := c.Masses[0], c.Masses[len(c.Masses)-1]
	last := len(c.Masses) - 1
	x := append(slices.Clone(c.Forward), reversed(c.Aft)...)
	y := append(slices.Clone(c.Masses), reversed(c.Masses)...)
	if c.Open() {
		f.Outline("allowed", x, y)
	}
	f.edge("forward", c.Forward, c.Masses, c.ForwardBy)
	f.edge("aft", c.Aft, c.Masses, c.AftBy)
	if low <= c.Mass && c.Mass <= high {
		f.Mark(CentreOfGravity, "CG", c.CG, c.Mass)
	}
	f.Caption = fmt.Sprintf("At %s from %s (%s) to %s (%s). %s", unbroken(fixed(high, 0)+" kg"), station(c.Forward[last]), c.ForwardBy[last], station(c.Aft[last]), c.AftBy[last], c.Caution)
	return f.Top(Axis{Label: "CG in chord of the " + c.Reference.Name, Unit: "%"}, func(x float64) float64 { return c.Reference.Fraction(x) })
}

// edge draws a limit, one curve for each constraint that makes it.
func (f *Figure) edge(side string, x, y []float64, by []string) {
	for i := 0; i < len(x); {
		j := i + 1
		for j < len(x) && by[j] == by[i] {
			j++
		}
		end := min(j+1, len(x)) // to where the next begins
		if end-i > 1 {
			f.Curve(side+": "+by[i], x[i:end], y[i:end])
		}
		i = j
	}
}

func reversed(v []float64) []float64 {
	v = slices.Clone(v)
	slices.Reverse(v)
	return v
}

// RangeAgainstSize draws the CG limits, and with them the range, against the area of a surface.
func RangeAgainstSize(surface string, points ...trim.SizePoint) *Figure {
	f := New("CG range against the size of the "+surface, Axis{Label: "Area of the " + surface, Unit: "m²"}, Axis{Label: "CG aft of the datum", Unit: "m"})
	if len(points) < 2 {
		return f.fail("RangeAgainstSize", surface, "%d sizes; a curve takes two", len(points))
	}
	var area, forward, aft []float64
	words := ""
	for i, p := range points {
		l := p.Limits
		area, forward, aft = append(area, p.Area), append(forward, l.Forward), append(aft, l.Aft)
		if by := l.ActiveOn(trim.Forward).Name + " and " + l.ActiveOn(trim.Aft).Name; i == 0 || by != words {
			f.Caption += fmt.Sprintf("From %s on limited by %s. ", unbroken(fixed(p.Area, 2)+" m²"), by)
			words = by
		}
	}
	f.Title += " of " + points[0].Limits.Aircraft
	r := points[0].Limits.Reference
	f.Caption += points[0].Limits.Caution
	f.Band("range", area, forward, aft).Curve("aft limit", area, aft).Curve("forward limit", area, forward)
	return f.Right(Axis{Label: "CG in chord of the " + r.Name, Unit: "%"}, func(x float64) float64 { return r.Fraction(x) })
}
