package trim

import (
	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/unit"
)

// Caution goes with every result of this package.
const Caution = "NOT FOR CG LIMITS: the neutral point leaves out body and propeller, which may move it by more than the whole static margin. For study and " +
	"preliminary work; the approved flight manual, the certified weighing record, local regulations and licensed engineers decide."

// Neutral is the neutral point with controls fixed, and where it comes from.
type Neutral struct {
	X            unit.Length // station
	Fraction     unit.Ratio  // of the reference chord, behind its leading edge
	StaticMargin unit.Ratio  // for the CG of the aeroplane, in reference chords; positive is stable
	CLAlpha      unit.PerRadian
	Terms        []NeutralTerm // their shifts add up to X less the CG
	Reference    aircraft.Reference
	CG           unit.Length
	Caution      string
}

// NeutralTerm is one contribution to stability in pitch: a surface by itself, or the wash between the surfaces.
type NeutralTerm struct {
	Name    string
	CLAlpha unit.PerRadian
	CmAlpha unit.PerRadian // about the CG
	Shift   unit.Length    // of the neutral point, −c Cm_α over CL_α of the aeroplane; positive aft
}

// NeutralPoint returns the neutral point of the lifting surfaces at a Mach number. It returns an error for an aeroplane that does not pass
// [aircraft.Aircraft.Validate] and for surfaces too close to each other.
func NeutralPoint(a aircraft.Aircraft, mach unit.MachNumber) (Neutral, error) {
	if err := a.Validate(); err != nil {
		return Neutral{}, err
	}
	s, err := newSystem(a.Lifting(), mach)
	if err != nil {
		return Neutral{}, err
	}
	return s.neutral(a)
}

func (s system) neutral(a aircraft.Aircraft) (Neutral, error) {
	r := a.Reference
	d, err := s.derivatives(r, a.CG, -1)
	if err != nil {
		return Neutral{}, err
	}
	n := Neutral{
		X: d.NeutralPoint(), Fraction: r.Fraction(d.NeutralPoint()), StaticMargin: d.StaticMargin(),
		CLAlpha: d.CLAlpha, Reference: r, CG: a.CG, Caution: Caution,
	}
	wash := NeutralTerm{Name: "wash", CLAlpha: d.CLAlpha, CmAlpha: d.CmAlpha}
	for i, e := range s.elements {
		alone := e.slope * e.area / r.Area
		term := NeutralTerm{Name: a.Lifting()[i].Name, CLAlpha: alone, CmAlpha: -alone * (e.x - a.CG) / r.Chord}
		wash.CLAlpha -= term.CLAlpha
		wash.CmAlpha -= term.CmAlpha
		n.Terms = append(n.Terms, term)
	}
	n.Terms = append(n.Terms, wash)
	for i := range n.Terms {
		n.Terms[i].Shift = -r.Chord * n.Terms[i].CmAlpha / d.CLAlpha
	}
	return n, nil
}
