package section

import (
	"math"

	"foreplane/aerolib/unit"
)

// Conditions are those of the surface. The zero value is a clean section on which transition comes by itself.
type Conditions struct {
	Trip unit.Ratio // station where both layers are made turbulent at the latest, such as 0.05 for rain or insects; 0 for none
}

// Viscous is what the boundary layers say at one angle of attack.
type Viscous struct {
	Alpha                            unit.Angle
	Lift                             unit.Coefficient // cl of the potential flow on the slope 2π: see [Flow.MaxLift]
	Drag                             unit.Coefficient // profile drag; a lower bound if Separated
	Moment                           unit.Coefficient // of the potential flow
	UpperTransition, LowerTransition unit.Ratio
	UpperSeparation, LowerSeparation unit.Ratio // of the turbulent layers; 1 if none
	Separated                        bool
}

// Range of Reynolds numbers of the boundary layers: below it long laminar bubbles rule, which the methods do not know.
const (
	minReynolds unit.ReynoldsNumber = 5e5
	maxReynolds unit.ReynoldsNumber = 5e7
)

// Viscous returns the boundary layers under the pressures of the frictionless flow, and the profile drag from their state at 0.97 of the chord. The layers do not act
// back on the flow.
//
// Against published drag of NACA 0012 (recalled): smooth at zero lift 0.0060 for 0.0058 at a Reynolds number of 6·10⁶ ([TR824]); tripped, also at 6·10⁶, 0.0079 for 0.0081 at
// 0° and 0.0119 for 0.0117 at 10° ([Ladson]). Other sections were not compared. It returns a [*unit.RangeError] for α outside ±20°, a Reynolds number outside 5·10⁵ to
// 5·10⁷ and a trip outside 0 to 0.9.
func (f *Flow) Viscous(alpha unit.Angle, reynolds unit.ReynoldsNumber, surface Conditions) (Viscous, error) {
	if err := unit.CheckRange("section.Flow.Viscous", "angle of attack", alpha, -20*unit.Degree, 20*unit.Degree, "°"); err != nil {
		return Viscous{}, err
	}
	if err := unit.CheckRange("section.Flow.Viscous", "Reynolds number", reynolds, minReynolds, maxReynolds, "1"); err != nil {
		return Viscous{}, err
	}
	if err := unit.CheckRange("section.Flow.Viscous", "trip", surface.Trip, 0, 0.9, "1"); err != nil {
		return Viscous{}, err
	}
	trip := surface.Trip
	if trip == 0 {
		trip = 1
	}
	p := f.pressures(alpha, f.strengths(alpha))
	above, below := p.sides()
	upper, lower := grow(above, reynolds, trip), grow(below, reynolds, trip)
	return Viscous{
		Alpha: alpha, Lift: p.CL * 2 * math.Pi / f.slope(), Drag: upper.drag + lower.drag, Moment: p.CM,
		UpperTransition: upper.transition, LowerTransition: lower.transition,
		UpperSeparation: upper.separation, LowerSeparation: lower.separation,
		Separated: upper.separation < 1 || lower.separation < 1,
	}, nil
}

// slope returns dcl/dα of the potential flow over the middle of its sine.
func (f *Flow) slope() unit.PerRadian {
	const step unit.Angle = 1 * unit.Degree
	return (f.pressures(step, f.strengths(step)).CL - f.pressures(-step, f.strengths(-step)).CL) / (2 * step)
}

// stallStation is how far forward the separation may come before lift is taken to be lost. It was chosen once, with the sections of MaxLift's test in view; no
// other constant of this package is fitted.
const stallStation unit.Ratio = 0.92

// MaxLift estimates the greatest lift: that at which the turbulent layer of the upper surface separates at 0.92 of the chord under the pressures of the frictionless
// flow. Lift is counted on the slope 2π, since friction takes off about what thickness adds.
//
// It is an estimate for preliminary work: over 17 NACA sections of 12 to 24 % thickness at a Reynolds number of 9·10⁶ the mean error against measured values (recalled from
// [TR824]) is 9 %, the range −7 % to +21 %, worst for strong camber on thick sections. At other Reynolds numbers it was not compared. A trip only moves transition: rain and insects also
// thicken the layer, and the standard roughness of [TR824] cost those sections a quarter of their lift or more, where this says a few per cent.
//
// Sections below 11.5 % stall from the leading edge, which the method does not know: it refuses them with a [*ContourError]. It also returns a [*unit.RangeError] as
// [Flow.Viscous] does, and a [*ContourError] if nothing separates up to 20°.
func (f *Flow) MaxLift(reynolds unit.ReynoldsNumber, surface Conditions) (Viscous, error) {
	if t, _ := f.Contour.Thickness(); t < 0.115 {
		return Viscous{}, &ContourError{f.Contour.Name, "greatest lift is estimated for a thickness of at least 0.115 of the chord, it has " + unit.Format(t, "1")}
	}
	for degrees := 0.0; degrees <= 20; degrees += 0.25 {
		v, err := f.Viscous(degrees*unit.Degree, reynolds, surface)
		if err != nil {
			return Viscous{}, err
		}
		if v.UpperSeparation <= stallStation {
			return v, nil
		}
	}
	return Viscous{}, &ContourError{f.Contour.Name, "its upper surface does not separate up to 20°"}
}
