package figure

import (
	"slices"
	"strings"

	"foreplane/aerolib/drag"
)

// dragAxis is that of bars of drag.
var dragAxis = Axis{Label: "Drag coefficient C_D", Unit: "counts"}

// countCaution says what a count is.
const countCaution = "A count is a drag coefficient of 0.0001. " + dragCaution

// dragCaution stands below figures of drag, which decides about fields and climb.
const dragCaution = "For study and preliminary work; the approved flight manual, local regulations and licensed engineers decide."

// Polars draws drag over lift, a curve for each polar, such as one that is trimmed and one that is not.
func Polars(polars ...drag.Polar) *Figure {
	f := New("Drag over lift", Axis{Label: "Lift coefficient C_L"}, Axis{Label: "Drag coefficient C_D", Zero: true})
	f.Caption = dragCaution
	if len(polars) == 0 {
		return f.fail("Polars", "", "no polars")
	}
	for _, p := range polars {
		lift, whole := pointsOf(p, func(q drag.Point) float64 { return q.CD })
		f.Curve(p.Name, lift, whole)
	}
	return f
}

// PolarParts draws what the drag of one polar is made of: without lift, profile drag by lift and induced drag, one upon the other.
func PolarParts(p drag.Polar) *Figure {
	f := New("What drag is made of: "+p.Name, Axis{Label: "Lift coefficient C_L"}, Axis{Label: "Drag coefficient C_D", Zero: true})
	f.Caption = dragCaution
	lift, parasite := pointsOf(p, func(q drag.Point) float64 { return q.Parasite() })
	_, friction := pointsOf(p, func(q drag.Point) float64 { return q.CD - q.Induced })
	_, whole := pointsOf(p, func(q drag.Point) float64 { return q.CD })
	return f.Band("without lift", lift, make([]float64, len(lift)), parasite).Band("profile, by lift", lift, parasite, friction).Band("induced", lift, friction, whole)
}

// pointsOf returns the lift of the points of a polar and a quantity of them.
func pointsOf(p drag.Polar, of func(drag.Point) float64) (lift, values []float64) {
	for _, q := range p.Points() {
		lift, values = append(lift, q.CL), append(values, of(q))
	}
	return lift, values
}

// DragShares draws what the drag of aeroplanes is made of, one bar for each: skin of surfaces and bodies, what is stated, and what lift costs.
func DragShares(whole ...drag.Breakdown) *Figure {
	var names []string
	for _, b := range whole {
		name := b.Aircraft
		if slices.ContainsFunc(whole, func(other drag.Breakdown) bool { return other.Aircraft == b.Aircraft && other.CL != b.CL }) {
			name += ", C_L " + fixed(b.CL, 2)
		}
		names = append(names, name)
	}
	f := Bars("What drag is made of", dragAxis, names...)
	f.Caption = countCaution
	for _, group := range dragGroups {
		values := make([]float64, len(whole))
		for i, b := range whole {
			for _, p := range b.Parts {
				if group.has(p) {
					values[i] += p.CD
				}
			}
		}
		f.Part(group.name, values)
	}
	return f
}

// dragGroups are the parts of the bars of [DragShares]; every part of a breakdown is in one.
var dragGroups = []struct {
	name string
	has  func(drag.Part) bool
}{
	{"surfaces", isKind(drag.SurfaceKind)},
	{"bodies", isKind(drag.BodyKind, drag.AftBodyKind)},
	{"gear", isKind(drag.GearKind)},
	{"cooling, protuberances", isKind(drag.CoolingKind, drag.ProtuberanceKind)},
	{"profile, by lift", func(p drag.Part) bool { return p.Cause == drag.Profiled }},
	{"induced", func(p drag.Part) bool { return p.Cause == drag.Vortices }},
}

func isKind(kinds ...drag.Kind) func(drag.Part) bool {
	return func(p drag.Part) bool { return p.Cause == drag.Parasite && slices.Contains(kinds, p.Kind) }
}

// DragParts draws who contributes what to the drag of one aeroplane: a bar for each component that contributes, in which each cause is a part.
func DragParts(b drag.Breakdown) *Figure {
	var names []string
	for _, s := range b.By() {
		if s.CD != 0 {
			names = append(names, s.Name)
		}
	}
	f := Bars("Drag of "+b.Aircraft+" at C_L "+fixed(b.CL, 2), dragAxis, names...)
	f.Caption = strings.Join(append(slices.Clone(b.Notes), countCaution), " ")
	for _, cause := range []drag.Cause{drag.Parasite, drag.Profiled, drag.Vortices} {
		values := make([]float64, len(names))
		for _, p := range b.Parts {
			if i := slices.Index(names, p.Name); i >= 0 && p.Cause == cause {
				values[i] += p.CD
			}
		}
		f.Part(string(cause), values)
	}
	return f
}
