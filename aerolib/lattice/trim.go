package lattice

import (
	"fmt"
	"maps"
	"math"

	"foreplane/aerolib/unit"
)

// TrimError says that no angle of attack and deflection give the lift and moment that are wanted.
type TrimError struct {
	Control    string
	Best       State            // the last that was tried
	CL, Cm     unit.Coefficient // what it is short of
	Determined bool             // false if the control changes lift and moment in the same proportion as α does
}

func (e *TrimError) Error() string {
	if !e.Determined {
		return fmt.Sprintf("lattice.Trim: the %s changes lift and moment about x %s as the angle of attack does: it cannot trim", e.Control, unit.Format(e.Best.Point.X, "m"))
	}
	return fmt.Sprintf("lattice.Trim: at α %s and %s %s, still short of CL %.3g and Cm %.3g, angles leave ±45°; the %s cannot trim this",
		unit.Format(e.Best.Alpha, "°"), e.Control, unit.Format(e.Best.Deflections[e.Control], "°"), e.CL, e.Cm, e.Control)
}

// Trim returns s with the angle of attack and the deflection of one control at which lift and moment about s.Point are as given. By the method of Newton, with the
// slopes of [Model.Derivatives],
//
//	CLα Δα + CLδ Δδ = CL − CL(α, δ)
//	Cmα Δα + Cmδ Δδ = Cm − Cm(α, δ)
//
// until both are met within 10⁻¹⁰. It costs no factorisation. It returns a [*TrimError] if there is no such state within ±45°, and an error for a control that does not
// exist.
func (m *Model) Trim(s State, control string, CL, Cm unit.Coefficient) (State, error) {
	if sum := CL + Cm; math.IsNaN(sum) || math.IsInf(sum, 0) {
		return s, fmt.Errorf("lattice.Trim: CL %g and Cm %g must be finite", CL, Cm)
	}
	const steps, enough = 8, 1e-10 // the errors of Newton's steps shrink as squares
	short := &TrimError{Control: control, Best: s, Determined: true}
	for range steps {
		now, err := m.Coefficients(s)
		if err != nil {
			return s, err
		}
		short.Best, short.CL, short.Cm = s, CL-now.CL, Cm-now.Cm
		if math.Hypot(short.CL, short.Cm) < enough {
			return s, nil
		}
		if s, err = m.trimStep(s, short); err != nil {
			return s, err
		}
	}
	return s, short
}

// trimStep returns s moved so that it is no longer short of lift and moment, to first order.
func (m *Model) trimStep(s State, short *TrimError) (State, error) {
	alpha, err := m.slope(s, func(s *State, by float64) { s.Alpha += by })
	if err != nil {
		return s, err
	}
	delta, err := m.slope(s, func(s *State, by float64) { *s = s.deflected(short.Control, by) })
	if err != nil {
		return s, err
	}
	det := alpha.CL*delta.Cm - delta.CL*alpha.Cm
	if !(math.Abs(det) > alike*math.Hypot(alpha.CL, alpha.Cm)*math.Hypot(delta.CL, delta.Cm)) {
		short.Determined = false
		return s, short
	}
	s.Alpha += (short.CL*delta.Cm - delta.CL*short.Cm) / det
	s = s.deflected(short.Control, (alpha.CL*short.Cm-short.CL*alpha.Cm)/det)
	if !(math.Max(math.Abs(s.Alpha), math.Abs(s.Deflections[short.Control])) < maxSmall) {
		return s, short
	}
	return s, nil
}

// alike is the sine of the angle between the effects of α and a deflection on lift and moment below which they count as the same.
const alike = 1e-3

// deflected returns s with a control turned further, without touching the map of s.
func (s State) deflected(control string, by unit.Angle) State {
	turned := map[string]unit.Angle{}
	maps.Copy(turned, s.Deflections)
	turned[control] += by
	s.Deflections = turned
	return s
}
