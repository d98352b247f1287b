package trim

import (
	"foreplane/aerolib/unit"
)

// Pull is what a pull-up takes, and where the CG may be for it.
type Pull struct {
	Point    unit.Length // manoeuvre point: with the CG there more load factor needs no deflection
	Fraction unit.Ratio  // of the reference chord, behind its leading edge
	Margin   unit.Ratio  // from the CG to it, in reference chords
	PerG     unit.Angle  // deflection for one more g, dδ/dn
	Mass     unit.Ratio  // μ = 2m/(ρ S c)
}

// Manoeuvre returns what a pull-up from level flight takes of an aeroplane of mass m in air of density ρ:
//
//	q c/2V = (n − 1) CL₁/2μ,   μ = 2m/(ρ S c)
//	h_m = h_n − (Cm_q − Cm_α CL_q/CL_α)/2μ
//	dδ/dn = −CL₁ [Cm_α + (CL_α Cm_q − Cm_α CL_q)/2μ]/(CL_α Cm_δ − CL_δ Cm_α)
//
// with CL₁ that of level flight at the speed, and h_n at constant speed ([Etkin], sec. 3.1, where h_m leaves out a small product). The manoeuvre point does not depend on
// the CG; it moves with density.
func (d Derivatives) Manoeuvre(mass unit.Mass, density unit.Density, level unit.Coefficient) Pull {
	r := d.Reference
	mu := 2 * mass / (density * r.Area * r.Chord)
	stiffness := d.CmAlpha + (d.CLAlpha*d.CmQ-d.CmAlpha*d.CLQ)/(2*mu)
	p := Pull{Margin: -stiffness / d.CLAlpha, Mass: mu}
	p.Point = d.CG + p.Margin*r.Chord
	p.Fraction = r.Fraction(p.Point)
	if det := d.determinant(); det != 0 {
		p.PerG = -level * stiffness / det
	}
	return p
}

// About returns the same linear model about another CG. Rotation is then about that, too:
//
//	Cm' = Cm + CL Δx/c,   CL_q' = CL_q − 2 CL_α Δx/c,   Cm_q' = Cm_q + (CL_q − 2 Cm_α) Δx/c − 2 CL_α (Δx/c)²
func (d Derivatives) About(cg unit.Length) Derivatives {
	by := (cg - d.CG) / d.Reference.Chord
	d.CmQ += by*(d.CLQ-2*d.CmAlpha) - 2*by*by*d.CLAlpha
	d.CLQ -= 2 * by * d.CLAlpha
	d.Cm0, d.CmAlpha, d.CmDelta, d.CG = d.Cm0+by*d.CL0, d.CmAlpha+by*d.CLAlpha, d.CmDelta+by*d.CLDelta, cg
	return d
}
