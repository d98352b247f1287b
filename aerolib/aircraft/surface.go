package aircraft

import (
	"math"

	"foreplane/aerolib/unit"
)

// Role says what a surface is there for.
type Role string

// Roles of surfaces. A Fin stands upright, has one panel and takes no part in lift.
const (
	Wing      Role = "wing"
	Foreplane Role = "foreplane"
	Tailplane Role = "tailplane"
	Fin       Role = "fin"
)

// Surface is a lifting surface of trapezoidal planform.
type Surface struct {
	Name      string
	Role      Role
	Span      unit.Length // tip to tip, projected; of a fin, root to tip
	RootChord unit.Length // in the plane of symmetry
	TipChord  unit.Length
	Sweep     unit.Angle  // of the leading edge, positive aft
	X         unit.Length // leading edge of the root chord, aft of the datum
	Z         unit.Length // the same, above the datum
	Y         unit.Length // of a fin, its distance from the plane of symmetry; if not zero there is one on each side
	Dihedral  unit.Angle
	Incidence unit.Angle // of the root chord to the x axis
	Twist     unit.Angle // of the tip chord to the root chord, linear between them; washout is negative
	Section   Section
	Control   Control
}

// Section is what the aerofoil does in plane flow.
type Section struct {
	LiftSlope unit.PerRadian   // dcl/dα; thin-aerofoil theory has 2π
	ZeroLift  unit.Angle       // angle of attack of the chord at zero lift; negative with camber
	Moment    unit.Coefficient // about the quarter chord
	MaxLift   unit.Coefficient // largest cl at the Reynolds number of the surface; 0 if not stated
}

// Control is how a surface is deflected in pitch. The zero value is a fixed surface.
type Control struct {
	AllMoving bool // the whole surface turns by the deflection
	Min, Max  unit.Angle
}

// semi returns the spanwise extent of one panel.
func (s Surface) semi() unit.Length {
	if s.Role == Fin {
		return s.Span
	}
	return s.Span / 2
}

// Area returns the projected area b (c_r + c_t)/2, carried through the body; of fins on both sides, that of one.
func (s Surface) Area() unit.Area { return s.Span * (s.RootChord + s.TipChord) / 2 }

// AspectRatio returns b²/S.
func (s Surface) AspectRatio() unit.Ratio { return s.Span * s.Span / s.Area() }

// Taper returns λ = c_t/c_r.
func (s Surface) Taper() unit.Ratio { return s.TipChord / s.RootChord }

// MeanChord returns the mean aerodynamic chord
//
//	c̄ = (2/3) c_r (1 + λ + λ²)/(1 + λ)
//
// ([Perkins]).
func (s Surface) MeanChord() unit.Length {
	l := s.Taper()
	return 2.0 / 3 * s.RootChord * (1 + l + l*l) / (1 + l)
}

// MeanChordStation returns the distance of the mean aerodynamic chord from the root,
//
//	ȳ = (b/6) (1 + 2λ)/(1 + λ)
//
// ([Perkins]); of a fin, twice that.
func (s Surface) MeanChordStation() unit.Length {
	l := s.Taper()
	return s.semi() / 3 * (1 + 2*l) / (1 + l)
}

// LeadingEdge returns the station x of the leading edge of the mean aerodynamic chord.
func (s Surface) LeadingEdge() unit.Length {
	return s.X + s.MeanChordStation()*math.Tan(s.Sweep)
}

// QuarterChord returns the station x of the quarter point of the mean aerodynamic chord, near which a surface by itself has its aerodynamic centre.
func (s Surface) QuarterChord() unit.Length { return s.LeadingEdge() + s.MeanChord()/4 }

// Height returns z of the mean aerodynamic chord.
func (s Surface) Height() unit.Length { return s.Z + s.MeanChordStation()*math.Tan(s.Dihedral) }

// SweepAt returns the sweep of the line at the given fraction of the chord, from 0 at the leading edge to 1 at the trailing edge:
//
//	tan Λ_n = tan Λ_LE − n (c_r − c_t)/(b/2)
func (s Surface) SweepAt(fraction unit.Ratio) unit.Angle {
	return math.Atan(math.Tan(s.Sweep) - fraction*(s.RootChord-s.TipChord)/s.semi())
}

// MeanTwist returns the twist averaged over the area, Twist (1 + 2λ)/(3 (1 + λ)).
func (s Surface) MeanTwist() unit.Angle { return s.Twist * s.MeanChordStation() / s.semi() }
