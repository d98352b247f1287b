package trim

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/unit"
)

// element is a lifting surface as the closed form sees it.
type element struct {
	area   unit.Area
	x      unit.Length    // where its lift acts
	aft    unit.Length    // where the stream counts that a pitch rate gives: three quarters of the mean chord
	slope  unit.PerRadian // by itself
	fixed  unit.Angle     // from the x axis to the mean zero-lift line
	couple unit.Volume    // moment over dynamic pressure, nose up, whatever the lift

	turn       unit.Ratio  // of the zero-lift line, by one radian of the control for pitch; 0 if there is none
	turnCouple unit.Volume // the couple that goes with it
	damping    float64     // couple over dynamic pressure per pitch rate over speed, in m⁴
}

// system is several elements in each other's wash. Angles and lift coefficients are vectors over the elements:
//
//	CL_i = a_i (θ_i − ε_i),   ε_i = Σ_j κ_ij CL_j
type system struct {
	elements []element
	wash     [][]unit.Angle  // κ_ij: mean downwash at i for unit lift coefficient of j; of itself only by its image in the ground
	uneven   [][]unit.Volume // moment over dynamic pressure at i, nose up, for unit lift coefficient of j
}

// newSystem describes the lifting surfaces of an aeroplane at a height of the datum above the ground; 0 is free air.
func newSystem(surfaces []aircraft.Surface, mach unit.MachNumber, height unit.Length) (system, error) {
	n := len(surfaces)
	s := system{elements: make([]element, n), wash: square(n), uneven: square(n)}
	for i, receiver := range surfaces {
		e, err := newElement(receiver, mach)
		if err != nil {
			return s, err
		}
		s.elements[i] = e
		for j, generator := range surfaces {
			w, err := washOn(generator, receiver, mach, height)
			if err != nil {
				return s, err
			}
			s.wash[i][j] = w.mean
			s.uneven[i][j] = unevenSlope(receiver, mach) * receiver.Area() * w.moment
		}
	}
	return s, nil
}

func newElement(s aircraft.Surface, mach unit.MachNumber) (element, error) {
	a, err := slope(s, mach)
	if err != nil {
		return element{}, err
	}
	e := element{
		area:   s.Area(),
		x:      s.QuarterChord(),
		aft:    s.QuarterChord() + s.MeanChord()/2,
		slope:  a,
		fixed:  s.Incidence + s.MeanTwist() - s.Section().ZeroLift,
		couple: s.Section().Moment*s.Area()*s.MeanChord() - unevenSlope(s, mach)*s.Area()*twistMoment(s),
	}
	e.damping = -s.Area() * (math.Pi/8*s.Mean(squareChord)/compressibility(mach, 0) + unevenSlope(s, mach)*spread(s))
	if control, ok := s.PitchControl(); ok {
		var moment unit.PerRadian
		e.turn, moment, err = s.Effect(control)
		e.turnCouple = moment * s.Area() * s.MeanChord()
	}
	return e, err
}

// twistMoment returns the mean of (twist − mean twist)·(x − x̄) over the area, along the quarter-chord line.
func twistMoment(s aircraft.Surface) unit.Length {
	twist, x := s.MeanTwist(), s.QuarterChord()
	return s.Mean(func(t aircraft.Station) float64 { return (t.Twist - twist) * (t.X + t.Chord/4 - x) })
}

// squareChord is the measure of the couple that a pitch rate gives a section about its quarter chord, cm = −(π/8) q c/V ([Glauert]): the stream along it is bent.
func squareChord(t aircraft.Station) float64 { return t.Chord * t.Chord }

// spread returns the mean of (x − x̄)² over the area, along the quarter-chord line: a pitch rate twists a swept surface.
func spread(s aircraft.Surface) unit.Area {
	x := s.QuarterChord()
	return s.Mean(func(t aircraft.Station) float64 { d := t.X + t.Chord/4 - x; return d * d })
}

func square(n int) [][]float64 {
	rows := make([][]float64, n)
	for i := range rows {
		rows[i] = make([]float64, n)
	}
	return rows
}

// lift returns the lift coefficients, each on its own area, for the angles of the zero-lift lines.
func (s system) lift(angles []unit.Angle) ([]unit.Coefficient, error) {
	n := len(s.elements)
	matrix := mat.NewDense(n, n, nil)
	for i := range n {
		matrix.Set(i, i, 1/s.elements[i].slope)
		for j := range n {
			matrix.Set(i, j, matrix.At(i, j)+s.wash[i][j])
		}
	}
	var lift mat.VecDense
	if err := lift.SolveVec(matrix, mat.NewVecDense(n, angles)); err != nil {
		return nil, fmt.Errorf("trim: the surfaces' mutual wash has no solution: %w", err)
	}
	return lift.RawVector().Data, nil
}

// downwash returns ε at each element.
func (s system) downwash(lift []unit.Coefficient) []unit.Angle {
	epsilon := make([]unit.Angle, len(lift))
	for i := range lift {
		for j := range lift {
			epsilon[i] += s.wash[i][j] * lift[j]
		}
	}
	return epsilon
}

// couples returns the moment over dynamic pressure of each element about its own x, nose up; without its constant part if that is not wanted.
func (s system) couples(lift []unit.Coefficient, constant bool) []unit.Volume {
	couples := make([]unit.Volume, len(lift))
	for i, e := range s.elements {
		if constant {
			couples[i] = e.couple
		}
		for j := range lift {
			couples[i] += s.uneven[i][j] * lift[j]
		}
	}
	return couples
}

// sum returns the coefficients of the whole on reference r, with moments about cg.
func (s system) sum(lift []unit.Coefficient, couples []unit.Volume, r aircraft.Reference, cg unit.Length) (CL, Cm unit.Coefficient) {
	for i, e := range s.elements {
		part := lift[i] * e.area / r.Area
		CL += part
		Cm += couples[i]/(r.Area*r.Chord) - part*(e.x-cg)/r.Chord
	}
	return CL, Cm
}

// derivatives linearises the system. Control is the index of the element that the deflection turns, or −1.
func (s system) derivatives(r aircraft.Reference, cg unit.Length, control int) (Derivatives, error) {
	n := len(s.elements)
	fixed, alpha, delta := make([]unit.Angle, n), make([]unit.Angle, n), make([]unit.Angle, n)
	for i, e := range s.elements {
		fixed[i], alpha[i] = e.fixed, 1
		if i == control {
			delta[i] = e.turn
		}
	}
	d := Derivatives{Reference: r, CG: cg}
	for _, part := range []struct {
		angles   []unit.Angle
		constant bool
		CL, Cm   *float64
	}{{fixed, true, &d.CL0, &d.Cm0}, {alpha, false, &d.CLAlpha, &d.CmAlpha}, {delta, false, &d.CLDelta, &d.CmDelta}} {
		lift, err := s.lift(part.angles)
		if err != nil {
			return d, err
		}
		*part.CL, *part.Cm = s.sum(lift, s.couples(lift, part.constant), r, cg)
	}
	if control >= 0 {
		d.CmDelta += s.elements[control].turnCouple / (r.Area * r.Chord)
	}
	return d, nil
}
