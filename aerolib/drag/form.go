package drag

import (
	"fmt"
	"math"

	"foreplane/aerolib/unit"
)

// Form is where a form factor comes from.
type Form string

// Sources of form factors.
const (
	Sections Form = "sections" // least drag of the section of a surface, computed or from its polars; a plate with Raymer's factor where there is none
	Raymer   Form = "Raymer"
	Hoerner  Form = "Hoerner"
)

// Factor is a form factor: drag over that of the same friction on a flat plate of the same wetted area.
type Factor struct {
	Form     Form
	Value    unit.Ratio
	Argument string     // what its range is of: "thickness" or "fineness"
	At       unit.Ratio // the argument
	Min, Max unit.Ratio // range of the argument
}

// Inside reports whether the argument is in the range of the factor.
func (f Factor) Inside() bool { return f.Min <= f.At && f.At <= f.Max }

// String writes the factor, and its range where it is outside.
func (f Factor) String() string {
	text := fmt.Sprintf("%s %s", f.Form, unit.Format(f.Value, "1"))
	if f.Inside() {
		return text
	}
	return fmt.Sprintf("%s (outside its range: %s %s, must be %g to %g)", text, f.Argument, unit.Format(f.At, "1"), f.Min, f.Max)
}

// Shape is what form factors of surfaces take.
type Shape struct {
	Thickness unit.Ratio // of the chord
	Thickest  unit.Ratio // where it is, of the chord
	Sweep     unit.Angle // of the line of greatest thickness
	Mach      unit.MachNumber
}

// SurfaceForms returns the form factors of a surface side by side,
//
//	Raymer:  FF = [1 + 0.6/(x/c)_m t/c + 100 (t/c)⁴] [1.34 M^0.18 cos^0.28 Λ_m]
//	Hoerner: FF = 1 + 2 t/c + 60 (t/c)⁴
//
// ([Raymer], [Hoerner]). The factor 1.34 M^0.18 falls below 1 at Mach numbers under 0.197, for which it was not made: there it is 1 (common practice). Hoerner's line is for
// the greatest thickness at 30 % of the chord. Both regressions are taken to hold for thicknesses of 4 % to 21 % (common practice). It returns a [*unit.RangeError] for a
// thickness outside 0 to 0.4, its station outside 0.1 to 0.7, sweep beyond ±60° and a Mach number outside 0 to 0.7.
func SurfaceForms(s Shape) ([]Factor, error) {
	const f = "drag.SurfaceForms"
	for _, err := range []error{
		unit.CheckRange(f, "thickness", s.Thickness, 0, 0.4, "1"),
		unit.CheckRange(f, "station of the greatest thickness", s.Thickest, 0.1, 0.7, "1"),
		unit.CheckRange(f, "sweep", s.Sweep, -60*unit.Degree, 60*unit.Degree, "°"),
		unit.CheckRange(f, "Mach number", s.Mach, 0, maxMach, "1"),
	} {
		if err != nil {
			return nil, err
		}
	}
	t := s.Thickness
	raymer := (1 + 0.6/s.Thickest*t + 100*t*t*t*t) * max(1, 1.34*math.Pow(s.Mach, 0.18)) * math.Pow(math.Cos(s.Sweep), 0.28)
	hoerner := 1 + 2*t + 60*t*t*t*t
	return []Factor{{Raymer, raymer, "thickness", t, 0.04, 0.21}, {Hoerner, hoerner, "thickness", t, 0.04, 0.21}}, nil
}

// BodyForms returns the form factors of a body of the given fineness, length over diameter, side by side,
//
//	Raymer:  FF = 1 + 60/f³ + f/400            f ≥ 6
//	Hoerner: FF = 1 + 1.5/f^1.5 + 7/f³         f ≥ 2.5
//
// ([Raymer] for fuselages, [Hoerner] for streamlined bodies; the ranges, which end at 20, are common practice). At a fineness of 4 the first gives 1.95 and the second 1.30: what
// decides about a short body is whether the flow follows its aft part, see [Closure], which neither knows. It returns a [*unit.RangeError] for a fineness outside 1 to 50.
func BodyForms(fineness unit.Ratio) ([]Factor, error) {
	if err := unit.CheckRange("drag.BodyForms", "fineness", fineness, 1, 50, "1"); err != nil {
		return nil, err
	}
	cube := fineness * fineness * fineness
	return []Factor{
		{Raymer, 1 + 60/cube + fineness/400, "fineness", fineness, 6, 20},
		{Hoerner, 1 + 1.5/math.Pow(fineness, 1.5) + 7/cube, "fineness", fineness, 2.5, 20},
	}, nil
}

// NacelleForm returns Raymer's form factor of a nacelle or smooth external store of the given fineness,
//
//	FF = 1 + 0.35/f
//
// ([Raymer]). It returns a [*unit.RangeError] for a fineness outside 1 to 20.
func NacelleForm(fineness unit.Ratio) (unit.Ratio, error) {
	if err := unit.CheckRange("drag.NacelleForm", "fineness", fineness, 1, 20, "1"); err != nil {
		return 0, err
	}
	return 1 + 0.35/fineness, nil
}
