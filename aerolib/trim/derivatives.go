package trim

import (
	"fmt"
	"math"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/unit"
)

// Derivatives is the linear model of lift and pitching moment, on a stated reference and about a stated centre of gravity:
//
//	CL = CL₀ + CL_α α + CL_δ δ + CL_q q c/2V
//	Cm = Cm₀ + Cm_α α + Cm_δ δ + Cm_q q c/2V
//
// α is that of the x axis, δ that of the control that trims. That of a [Result] is at its speed and thrust, and what its pitch rate does is in CL₀ and Cm₀.
type Derivatives struct {
	CL0, Cm0         unit.Coefficient
	CLAlpha, CmAlpha unit.PerRadian
	CLDelta, CmDelta unit.PerRadian
	CLQ, CmQ         unit.PerRadian // by q c/2V
	Reference        aircraft.Reference
	CG               unit.Length
}

// Derive returns the linear model of the surfaces and bodies of an aeroplane at a Mach number, without its power plant, for the control that trims: the one for pitch, or
// the one that is named, itself or its surface. It returns an error for an aeroplane that does not pass [aircraft.Aircraft.Validate], for surfaces too close to each other, and for no such control.
func Derive(a aircraft.Aircraft, control string, mach unit.MachNumber) (Derivatives, error) {
	if err := a.Validate(); err != nil {
		return Derivatives{}, err
	}
	surfaces := a.Lifting()
	index, err := controlOf(a.Name, surfaces, control)
	if err != nil {
		return Derivatives{}, err
	}
	if err := unit.CheckRange("trim.Derive", "Mach number", mach, 0, maxMach, "1"); err != nil {
		return Derivatives{}, err
	}
	b := &balance{aeroplane: a, flight: flight{mach: mach}, trims: index}
	if b.flow, err = newClosedForm(a, b.flight, index); err != nil {
		return Derivatives{}, err
	}
	return b.model(state{}, 0)
}

// controlOf finds the surface that trims.
func controlOf(aeroplane string, surfaces []aircraft.Surface, name string) (int, error) {
	found := -1
	for i, s := range surfaces {
		if c, ok := s.PitchControl(); !ok || name != "" && s.Name != name && c.Name != name {
			continue
		}
		if found >= 0 {
			return 0, fmt.Errorf("trim: %s and %s of %s both have controls for pitch: name the one that trims", surfaces[found].Name, s.Name, aeroplane)
		}
		found = i
	}
	switch {
	case found >= 0:
		return found, nil
	case name != "":
		return 0, fmt.Errorf("trim: %s has no control for pitch called %q, nor a surface with one", aeroplane, name)
	}
	return 0, fmt.Errorf("trim: %s has no control for pitch to trim with", aeroplane)
}

// At returns CL and Cm at angle of attack alpha and deflection delta.
func (d Derivatives) At(alpha, delta unit.Angle) (CL, Cm unit.Coefficient) {
	return d.CL0 + d.CLAlpha*alpha + d.CLDelta*delta, d.Cm0 + d.CmAlpha*alpha + d.CmDelta*delta
}

// StaticMargin returns −Cm_α/CL_α, controls fixed, in reference chords; positive is stable.
func (d Derivatives) StaticMargin() unit.Ratio { return -d.CmAlpha / d.CLAlpha }

// NeutralPoint returns the station at which the static margin would be zero,
//
//	x_np = x_cg − c Cm_α/CL_α
//
// ([Etkin], sec. 2.3). It does not depend on the CG.
func (d Derivatives) NeutralPoint() unit.Length { return d.CG + d.StaticMargin()*d.Reference.Chord }

// determinant returns CL_α Cm_δ − CL_δ Cm_α. It does not depend on the CG.
func (d Derivatives) determinant() float64 { return d.CLAlpha*d.CmDelta - d.CLDelta*d.CmAlpha }

// DeflectionSlope returns dδ/dCL in trim,
//
//	dδ/dCL = −Cm_α / (CL_α Cm_δ − CL_δ Cm_α)
//
// ([Etkin], sec. 2.4). On a stable aeroplane it is positive for a foreplane and negative for a control behind; slower always means stick aft.
func (d Derivatives) DeflectionSlope() unit.Angle { return -d.CmAlpha / d.determinant() }

// Trim returns the angle of attack and the deflection at which the lift coefficient is CL and the moment vanishes:
//
//	[CL_α CL_δ] [α]   [CL − CL₀]
//	[Cm_α Cm_δ] [δ] = [ −Cm₀   ]
//
// ([Etkin], sec. 2.4). It returns an error if the control has no moment to trim with, and a [*unit.RangeError] for CL not finite.
func (d Derivatives) Trim(CL unit.Coefficient) (alpha, delta unit.Angle, err error) {
	if err := unit.CheckRange("trim.Trim", "lift coefficient", CL, math.Inf(-1), math.Inf(1), "1"); err != nil {
		return 0, 0, err
	}
	return d.solve(CL-d.CL0, -d.Cm0)
}

// solve returns the angles that add lift and moment.
func (d Derivatives) solve(lift, moment unit.Coefficient) (alpha, delta unit.Angle, err error) {
	det := d.determinant()
	if size := math.Abs(d.CLAlpha*d.CmDelta) + math.Abs(d.CLDelta*d.CmAlpha); !(math.Abs(det) > 1e-9*size) {
		return 0, 0, fmt.Errorf("trim: the control gives lift and moment in the same proportion as the angle of attack, so it cannot trim")
	}
	return (lift*d.CmDelta - moment*d.CLDelta) / det, (moment*d.CLAlpha - lift*d.CmAlpha) / det, nil
}
