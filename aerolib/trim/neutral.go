package trim

import (
	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/unit"
)

// Caution goes with every result of this package.
const Caution = "For study and preliminary work; the approved flight manual, the certified weighing record, local regulations and licensed engineers decide."

// Neutral is the neutral point with controls and throttle fixed, and where it comes from. Other than that of [Derivatives], which is at one speed, it has in it that thrust
// changes with speed.
type Neutral struct {
	X            unit.Length // station
	Fraction     unit.Ratio  // of the reference chord, behind its leading edge
	StaticMargin unit.Ratio  // for the CG of the aeroplane, in reference chords; positive is stable
	CLAlpha      unit.PerRadian
	Terms        []NeutralTerm // their shifts add up to X less the CG
	Reference    aircraft.Reference
	CG           unit.Length
	Missing      []string // what is left out
	Caution      string
}

// NeutralTerm is one contribution to stability in pitch: a surface by itself, the wash between the surfaces, a body, the normal force of a propeller, or the thrust line.
type NeutralTerm struct {
	Name    string
	CLAlpha unit.PerRadian
	CmAlpha unit.PerRadian // about the CG
	Shift   unit.Length    // of the neutral point, −c Cm_α over CL_α of the aeroplane; positive aft
	Margin  unit.Ratio     // the same in reference chords
}

// NeutralPoint returns the neutral point of the surfaces and bodies at a Mach number, by closed forms. That with propeller and thrust line takes a speed: it is part of the
// result of [Solve]. It returns an error for an aeroplane that does not pass [aircraft.Aircraft.Validate] and for surfaces too close to each other.
func NeutralPoint(a aircraft.Aircraft, mach unit.MachNumber) (Neutral, error) {
	if err := a.Validate(); err != nil {
		return Neutral{}, err
	}
	if err := unit.CheckRange("trim.NeutralPoint", "Mach number", mach, 0, maxMach, "1"); err != nil {
		return Neutral{}, err
	}
	b := &balance{aeroplane: a, flight: flight{mach: mach}, trims: -1}
	var err error
	if b.flow, err = newClosedForm(a, b.flight, -1); err != nil {
		return Neutral{}, err
	}
	return b.neutral(state{}, 0, 0)
}

// neutral collects the contributions at a state and a thrust over dynamic pressure, with CL of level flight at the speed.
func (b *balance) neutral(s state, t unit.Area, level unit.Coefficient) (Neutral, error) {
	r := b.aeroplane.Reference
	n := Neutral{Reference: r, CG: b.aeroplane.CG, Missing: b.missing()}
	n.Caution = caution(n.Missing)
	alone, err := b.flow.alone(s)
	if err != nil {
		return n, err
	}
	for i, d := range alone {
		n.Terms = append(n.Terms, NeutralTerm{Name: b.aeroplane.Lifting()[i].Name, CLAlpha: d.CLAlpha, CmAlpha: d.CmAlpha})
	}
	wash, err := b.washTerm(s, n.Terms)
	if err != nil {
		return n, err
	}
	n.Terms = append(n.Terms, wash)
	n.Terms = append(n.Terms, b.bodyTerms(s)...)
	n.Terms = append(n.Terms, b.propellerTerms(s)...)
	for _, term := range n.Terms {
		n.CLAlpha += term.CLAlpha
	}
	if b.onLine() && t != 0 {
		line := b.thrustTerm(s, t, level, n.CLAlpha)
		n.CLAlpha += line.CLAlpha
		n.Terms = append(n.Terms, line)
	}
	for i := range n.Terms {
		term := &n.Terms[i]
		term.Shift = -r.Chord * term.CmAlpha / n.CLAlpha
		term.Margin = term.Shift / r.Chord
		n.StaticMargin += term.Margin
	}
	n.X = n.CG + n.StaticMargin*r.Chord
	n.Fraction = r.Fraction(n.X)
	return n, nil
}

// washTerm is what the surfaces do together beyond what each does alone.
func (b *balance) washTerm(s state, alone []NeutralTerm) (NeutralTerm, error) {
	term := NeutralTerm{Name: "wash"}
	CLUp, CmUp, err := b.flow.total(s.plus(state{alpha: slopeStep}, 1))
	if err != nil {
		return term, err
	}
	CLDown, CmDown, err := b.flow.total(s.plus(state{alpha: slopeStep}, -1))
	term.CLAlpha, term.CmAlpha = (CLUp-CLDown)/(2*slopeStep), (CmUp-CmDown)/(2*slopeStep)
	for _, t := range alone {
		term.CLAlpha -= t.CLAlpha
		term.CmAlpha -= t.CmAlpha
	}
	return term, err
}

func (b *balance) bodyTerms(s state) []NeutralTerm {
	r := b.aeroplane.Reference
	up, down := b.flow.bodyMoments(s.plus(state{alpha: slopeStep}, 1)), b.flow.bodyMoments(s.plus(state{alpha: slopeStep}, -1))
	var terms []NeutralTerm
	for i := range up {
		terms = append(terms, NeutralTerm{Name: b.aeroplane.Bodies[i].Name, CmAlpha: (up[i] - down[i]) / (2 * slopeStep * r.Area * r.Chord)})
	}
	return terms
}

func (b *balance) propellerTerms(s state) []NeutralTerm {
	r := b.aeroplane.Reference
	above, below := s.plus(state{alpha: slopeStep}, 1), s.plus(state{alpha: slopeStep}, -1)
	washUp, washDown := b.flow.discWash(above), b.flow.discWash(below)
	var terms []NeutralTerm
	for i, p := range b.plants {
		if p.slope == 0 {
			continue
		}
		up, down := b.normal(p, above, washUp[i]), b.normal(p, below, washDown[i])
		terms = append(terms, NeutralTerm{
			Name:    propellerName(b.plants, p),
			CLAlpha: (up.lift - down.lift) / (2 * slopeStep * r.Area),
			CmAlpha: (up.moment - down.moment) / (2 * slopeStep * r.Area * r.Chord),
		})
	}
	return terms
}

// thrustTerm is the effect of the thrust line: at constant power and efficiency thrust falls with speed, Cm_T ~ CL^(3/2), so dCm/dCL = (3/2) Cm_T/CL ([Perkins], recalled).
func (b *balance) thrustTerm(s state, t unit.Area, level unit.Coefficient, others unit.PerRadian) NeutralTerm {
	r := b.aeroplane.Reference
	_, up := b.pushes(s.plus(state{alpha: slopeStep}, 1), t)
	_, down := b.pushes(s.plus(state{alpha: slopeStep}, -1), t)
	term := NeutralTerm{Name: "thrust line", CLAlpha: (up.lift - down.lift) / (2 * slopeStep * r.Area)}
	if level > 0 {
		term.CmAlpha = 1.5 * up.moment / (r.Area * r.Chord) / level * (others + term.CLAlpha)
	}
	return term
}
