package prop

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/integrate/quad"

	"foreplane/aerolib/atmos"
	"foreplane/aerolib/solve"
	"foreplane/aerolib/unit"
)

// Flow is what a propeller works in.
type Flow struct {
	Air      atmos.Air
	V        unit.TrueAirspeed
	Rotation unit.RotationRate
	Pitch    unit.Angle                         // of the blades at 75 % of the radius
	Inflow   func(radius unit.Ratio) unit.Ratio // speed along the shaft without the propeller over V at r/R, mean of the circle; nil for 1
	Radii    int                                // at which blade elements are taken; 0 for 20
}

// Element is a part of all blades at one radius.
type Element struct {
	Radius       unit.Ratio // r/R
	Weight       unit.Ratio // of the element in integrals over r/R
	Chord        unit.Length
	Pitch        unit.Angle // blade angle
	Phi          unit.Angle // of the air to the plane of rotation
	Alpha        unit.Angle // Pitch − Phi
	CL, CD       unit.Coefficient
	Speed        unit.Speed // W
	Mach         unit.MachNumber
	Reynolds     unit.ReynoldsNumber
	TipFactor    unit.Ratio    // F
	Inflow       unit.Speed    // along the shaft, without the propeller
	Induced      unit.Speed    // v along the shaft at the blade
	Swirl        unit.Speed    // around it, at the blade
	Thrust       unit.LineLoad // dT/dr of all blades
	Tangential   unit.LineLoad // the force against the rotation, over r
	Friction     unit.LineLoad // drag of the sections over r
	Compressible unit.LineLoad // its part that comes from the Mach number
}

// State is what a propeller does in a flow.
type State struct {
	Flow       Flow
	Thrust     unit.Force // below zero where it brakes
	Power      unit.Power // of the shaft; below zero where the air turns it
	J          unit.Ratio
	CT, CP     unit.Coefficient
	Efficiency unit.Ratio // T V/P, 0 where the power is not above zero
	TipMach    unit.MachNumber
	Losses     Losses
	Elements   []Element
	Notes      []string
}

// Losses say where shaft power goes: their sum and the useful T V are the power. All come from the forces on the blades and the speeds at them,
//
//	Ω dQ = V dT − (V − V_in) dT + v dT + w dF_t + W dD
type Losses struct {
	Ideal   unit.Power // of a disc with the same thrust and diameter in the undisturbed flow
	Swirl   unit.Power // ∫ w dF_t
	Profile unit.Power // ∫ W dD of the sections at low speed
	Mach    unit.Power // what their drag rises with the Mach number
	Tip     unit.Power // ∫ v dT above Ideal: tips, and thrust that is not evenly spread
	Wake    unit.Power // −∫ (V − V_in) dT, below zero: air that arrives slower
}

// Limits of what is computed.
const (
	maxTipMach   unit.MachNumber = 1
	doubtMach    unit.MachNumber = 0.88
	defaultRadii                 = 20
)

// Solve returns what blade-element momentum theory says of a propeller ([Glauert]): at each radius the angle φ of the air is that at which the thrust and the torque of
// the blades are those of the air that passes the ring, with solidity s = Bc/(2πr), c_n and c_t along and against the rotation, and Prandtl's tip factor F,
//
//	v/(V_in + v) = s c_n/(4F sin²φ),   w/(Ωr − w) = s c_t/(4F sin φ cos φ),   F = (2/π) arccos exp[−B(R − r)/(2r sin φ)]
//
// found between bracketing angles, so that there is a solution at rest, with power, windmilling and braking. Where the blades brake more than such a ring can, the thrust
// of the ring is that of Glauert's measured line for windmills (C_T1 = 1.816, recalled), and no reversed flow is found. Interaction of the rings, sweep of the blades and
// the delay of stall by rotation are left out.
//
// It returns an error for a pitch below zero or above 75°, a speed below zero, a rotation not above zero, and helical tips above the speed of sound.
func (p Propeller) Solve(f Flow) (State, error) {
	if err := errors.Join(p.check("prop.Solve"), p.checkFlow(f)); err != nil {
		return State{}, err
	}
	s := State{Flow: f, J: f.V / (f.Rotation * p.Diameter), TipMach: p.tipMach(f)}
	if p.Blades == 0 {
		return s, nil
	}
	count := f.Radii
	if count == 0 {
		count = defaultRadii
	}
	x, weights := make([]float64, count), make([]float64, count)
	quad.Legendre{}.FixedLocations(x, weights, max(p.Stations[0].Radius, p.Spinner/p.Diameter), 1)
	slices.Sort(x) // the weights are symmetrical
	s.Elements = make([]Element, count)
	for i := range x {
		e, err := p.element(f, x[i])
		if err != nil {
			return State{}, fmt.Errorf("prop.Solve: no solution at %.0f %% of the radius: %w", 100*x[i], err)
		}
		e.Weight = weights[i]
		s.Elements[i] = e
	}
	s.sum(p)
	return s, nil
}

// checkFlow reports what makes a flow none.
func (p Propeller) checkFlow(f Flow) error {
	if err := checkAir("prop.Solve", f.Air, f.V); err != nil {
		return err
	}
	if err := unit.CheckPositive("prop.Solve", "rotation", f.Rotation, "rpm"); err != nil {
		return err
	}
	if err := unit.CheckRange("prop.Solve", "pitch", f.Pitch, minPitch, maxPitch, "°"); err != nil {
		return err
	}
	if err := unit.CheckRange("prop.Solve", "number of radii", float64(f.Radii), 0, 500, "1"); err != nil {
		return err
	}
	return unit.CheckRange("prop.Solve", "Mach number of the blade tips", p.tipMach(f), 0, maxTipMach, "1")
}

// tipMach returns the Mach number of the tips along their helix.
func (p Propeller) tipMach(f Flow) unit.MachNumber {
	return math.Hypot(f.V, math.Pi*f.Rotation*p.Diameter) / f.Air.SpeedOfSound
}

// ring is a blade element before its solution.
type ring struct {
	curve    Curve
	pitch    unit.Angle
	solidity unit.Ratio
	tip      unit.Ratio          // B(R − r)/(2r)
	axial    unit.Speed          // V_in
	turning  unit.Speed          // Ωr
	reynolds unit.ReynoldsNumber // Reynolds and Mach number are those without induced speeds
	mach     unit.MachNumber
}

// element solves the ring at r/R.
func (p Propeller) element(f Flow, x unit.Ratio) (Element, error) {
	r, err := p.ring(f, x)
	if err != nil {
		return Element{}, err
	}
	phi, err := r.angle()
	if err != nil {
		return Element{}, err
	}
	e, err := r.solved(phi)
	if err != nil {
		return Element{}, err
	}
	e.Radius, e.Chord = x, p.at(x).Chord*p.Diameter
	q := f.Air.DynamicPressure(e.Speed) * p.Blades * e.Chord
	sin, cos := math.Sincos(phi)
	e.Thrust, e.Tangential = q*(e.CL*cos-e.CD*sin), q*(e.CL*sin+e.CD*cos)
	_, slow := p.section(x).At(e.Reynolds, 0)(e.Alpha)
	e.Friction, e.Compressible = q*e.CD, q*(e.CD-slow)
	return e, nil
}

// ring returns the ring at r/R.
func (p Propeller) ring(f Flow, x unit.Ratio) (ring, error) {
	s := p.at(x)
	r := ring{
		pitch: f.Pitch + s.Twist, axial: f.V, turning: math.Pi * f.Rotation * p.Diameter * x,
		solidity: p.Blades * s.Chord / (math.Pi * x), tip: p.Blades * (1 - x) / (2 * x),
	}
	if f.Inflow != nil {
		r.axial *= f.Inflow(x)
	}
	speed := math.Hypot(r.axial, r.turning)
	r.reynolds, r.mach = f.Air.Reynolds(speed, s.Chord*p.Diameter), f.Air.Mach(speed)
	r.curve = p.section(x).At(r.reynolds, r.mach)
	return r, unit.CheckRange("prop.Solve", "speed along the shaft", r.axial, 0, math.Inf(1), "m/s")
}

// section returns that at r/R.
func (p Propeller) section(x unit.Ratio) Section {
	if p.Section != nil {
		return p.Section
	}
	if t := p.at(x).Thickness; t > 0 {
		return FlatFaced(t)
	}
	return FlatFaced(0.12)
}

// angle returns φ. Without induced speeds it would be φ₀. Blades that lift there make the air steeper, up to 90°; those that brake make it flatter, down to 0, where the
// residual is below zero. At rest they move no air.
func (r ring) angle() (unit.Angle, error) {
	phi := math.Atan2(r.axial, r.turning)
	switch residual := r.residual(phi); {
	case residual < 0:
		return solve.Root(r.residual, phi, math.Pi/2)
	case residual > 0:
		return solve.Root(r.residual, 0, phi)
	}
	return phi, nil
}

// forces returns the coefficients of the section, and F.
func (r ring) forces(phi unit.Angle) (f unit.Ratio, c coefficients) {
	sin, cos := math.Sincos(phi)
	c.cl, c.cd = r.curve(r.pitch - phi)
	c.cn, c.ct = c.cl*cos-c.cd*sin, c.cl*sin+c.cd*cos
	if sin <= 0 {
		return 1, c
	}
	return 2 / math.Pi * math.Acos(math.Exp(-r.tip/sin)), c
}

// coefficients are those of a section along and across the air, and along the shaft and against the rotation.
type coefficients struct{ cl, cd, cn, ct unit.Coefficient }

// residual is 4F sin φ (1 + k')/(1 − k) times the difference of the two sides of tan φ = (V_in/(1−k))/(Ωr/(1+k')), with k and k' the right sides of the equations of
// [Propeller.Solve]: so it has no poles.
func (r ring) residual(phi unit.Angle) float64 {
	sin, cos := math.Sincos(phi)
	f, c := r.forces(phi)
	return r.turning*4*f*slowed(sin, r.solidity*c.cn/(4*f)) - r.axial*(4*f*sin*cos+r.solidity*c.ct)
}

// Glauert's line for windmills, C_T = C_T1 − 4 (√C_T1 − 1)(1 − a), which touches the parabola of momentum theory.
var brakeRoot unit.Ratio = math.Sqrt(1.816)

// slowed returns sin²φ V_in/(V_in + v), load being s c_n/(4F).
func slowed(sin, load unit.Ratio) unit.Ratio {
	if -load <= (2/brakeRoot-1)*sin*sin {
		return sin*sin - load
	}
	over := (brakeRoot - 1) * sin
	return 2 * sin / (brakeRoot * brakeRoot) * (over + math.Sqrt(over*over-load*brakeRoot*brakeRoot))
}

// solved returns the element at the angle that solves it.
func (r ring) solved(phi unit.Angle) (Element, error) {
	f, c := r.forces(phi)
	sin, cos := math.Sincos(phi)
	speed := r.turning
	if sin > 0 {
		speed *= 4 * f * sin / (4*f*sin*cos + r.solidity*c.ct)
	}
	if !(speed > 0) || math.IsInf(speed, 0) {
		return Element{}, errors.New("the swirl would be faster than the blade")
	}
	return Element{
		Pitch: r.pitch, Phi: phi, Alpha: r.pitch - phi, CL: c.cl, CD: c.cd, Speed: speed, Mach: r.mach, Reynolds: r.reynolds, TipFactor: f,
		Inflow: r.axial, Induced: speed*sin - r.axial, Swirl: r.turning - speed*cos,
	}, nil
}

// sum integrates the elements.
func (s *State) sum(p Propeller) {
	f := s.Flow
	radius := p.Diameter / 2
	for _, e := range s.Elements {
		width := e.Weight * radius
		s.Thrust += e.Thrust * width
		s.Power += 2 * math.Pi * f.Rotation * e.Radius * radius * e.Tangential * width
		s.Losses.Swirl += e.Swirl * e.Tangential * width
		s.Losses.Profile += e.Speed * (e.Friction - e.Compressible) * width
		s.Losses.Mach += e.Speed * e.Compressible * width
		s.Losses.Tip += e.Induced * e.Thrust * width
		s.Losses.Wake -= (f.V - e.Inflow) * e.Thrust * width
	}
	n, d := f.Rotation, p.Diameter
	s.CT = s.Thrust / (f.Air.Density * n * n * d * d * d * d)
	s.CP = s.Power / (f.Air.Density * n * n * n * d * d * d * d * d)
	if s.Power > 0 {
		s.Efficiency = s.Thrust * f.V / s.Power
	}
	if v, err := (Disc{d}).Induced(f.Air, f.V, s.Thrust); err == nil { // a disc cannot brake as much as windmilling blades can
		s.Losses.Ideal = s.Thrust * v
		s.Losses.Tip -= s.Losses.Ideal
	}
	s.note()
}

// note says what is doubtful.
func (s *State) note() {
	if s.TipMach > doubtMach {
		s.Notes = append(s.Notes, fmt.Sprintf("The tips are at Mach %.2f: beyond %.2f the rise of drag is a guess.", s.TipMach, doubtMach))
	}
	stalled := 0.0
	for _, e := range s.Elements {
		if e.Alpha > stallNote {
			stalled += e.Weight
		}
	}
	if stalled > 0.1 {
		s.Notes = append(s.Notes, fmt.Sprintf("%.0f %% of the radius is stalled: thrust and power there are rough.", 100*stalled))
	}
}

// stallNote is the angle of attack beyond which a section of a propeller is taken for stalled in notes (common practice).
const stallNote unit.Angle = 13 * unit.Degree
