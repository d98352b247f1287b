package figure

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"foreplane/aerolib/lattice"
	"foreplane/aerolib/unit"
)

// Loading draws the lift of each surface along the span: the local lift coefficient 2Γ/(Vc) times the chord over the
// reference chord. Over a flat aeroplane its integral along y, times c_ref/S, is CL. Surfaces that stand upright are named in the caption and left out.
func Loading(r lattice.Result) *Figure {
	f := spanwise(r, "Loading c_l c/c_ref", func(s lattice.Strip) float64 { return 2 * s.Circulation / r.Reference.Chord })
	f.Title = fmt.Sprintf("Spanwise loading at C_L %s", fixed(r.CL, 3))
	return f
}

// LocalLift draws the lift coefficient of the sections of each surface along the span, 2Γ/(Vc): where it comes first to that which the section can bear, the surface
// stalls first.
func LocalLift(r lattice.Result) *Figure {
	f := spanwise(r, "Local lift coefficient c_l", func(s lattice.Strip) float64 { return 2 * s.Circulation / s.Chord })
	f.Title = fmt.Sprintf("Local lift at C_L %s", fixed(r.CL, 3))
	return f
}

// spanwise draws a quantity of the strips against y.
func spanwise(r lattice.Result, label string, of func(lattice.Strip) float64) *Figure {
	f := New("", Axis{Label: "y to starboard", Unit: "m"}, Axis{Label: label, Zero: true})
	f.Caption = fmt.Sprintf("α %s, β %s, Mach %s, %s.", angle(r.State.Alpha), angle(r.State.Beta), significant(r.Mach, 2), r.Wake)
	if len(r.Strips) == 0 {
		return f.fail("Loading", "", "the result has no strips")
	}
	var upright []string
	for _, load := range r.Loads {
		strips := slices.DeleteFunc(slices.Clone(r.Strips), func(s lattice.Strip) bool { return s.Surface != load.Surface })
		if stands(strips) {
			upright = append(upright, load.Surface)
			continue
		}
		slices.SortStableFunc(strips, func(a, b lattice.Strip) int { return cmp.Compare(a.Middle.Y, b.Middle.Y) })
		var y, v []float64
		for _, s := range strips {
			y, v = append(y, s.Middle.Y), append(v, of(s))
		}
		f.Curve(load.Surface, y, v)
	}
	if len(upright) > 0 {
		f.Caption += " Not shown: " + strings.Join(upright, ", ") + "."
	}
	return f
}

// stands reports whether the strips of a surface stand upright, one above the other.
func stands(strips []lattice.Strip) bool {
	wide, high := 0.0, 0.0
	for i := 1; i < len(strips); i++ {
		a, b := strips[i-1].Middle, strips[i].Middle
		if (a.Y > 0) == (b.Y > 0) {
			wide, high = wide+math.Abs(b.Y-a.Y), high+math.Abs(b.Z-a.Z)
		}
	}
	return high > 2*wide
}

// angle writes an angle in degrees.
func angle(a unit.Angle) string { return significant(a/unit.Degree, 3) + "°" }
