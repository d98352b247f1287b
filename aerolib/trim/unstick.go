package trim

import (
	"cmp"
	"errors"
	"fmt"
	"math"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/atmos"
	"foreplane/aerolib/drag"
	"foreplane/aerolib/solve"
	"foreplane/aerolib/unit"
)

// Roll is what a take-off run is made with. The zero value is a dry hard runway at full power.
type Roll struct {
	Friction   unit.Ratio                                    // of rolling; 0.03 if 0 (common practice for a dry hard runway)
	Thrust     func(V unit.TrueAirspeed) (unit.Force, error) // of all engines together; that of [DiscThrust] at full power if nil
	Resistance unit.Area                                     // drag over dynamic pressure without lift; that of [drag.Build] if 0
}

// usualFriction is that of a dry hard runway (common practice).
const usualFriction unit.Ratio = 0.03

// Rotation is an aeroplane on its main wheels at the moment when the other wheel bears nothing any more: moments about the contact of the main wheels.
type Rotation struct {
	Speed        unit.TrueAirspeed
	Deflection   unit.Angle // of the control that trims
	Held         bool       // by the limit of a section of the surface that trims, not by the stop of its control
	Thrust       unit.Force
	Lift         unit.Force
	Acceleration unit.Acceleration
	Terms        []RotationTerm // they sum to zero
	Caution      string
}

// RotationTerm is one moment about the main wheels, nose up.
type RotationTerm struct {
	Name   string
	Moment unit.Moment
}

// roller is an aeroplane on its wheels.
type roller struct {
	*stallCase
	wheel    aircraft.Wheel
	attitude unit.Angle // of the x axis to the ground
	roll     Roll
	streams  []share
}

// newRoller puts a case on its wheels. It returns an error for an aeroplane without a nose wheel: with a tail wheel nothing holds the nose down.
func (m *StallModel) newRoller(c Condition, cg unit.Length, r Roll) (*roller, error) {
	k, err := m.newCase(c, cg, groundRule{wheels: true})
	if err != nil {
		return nil, err
	}
	out := &roller{stallCase: k, roll: r}
	if out.wheel, err = mainWheel(m.aircraft); err != nil {
		return nil, err
	}
	if out.attitude, err = standing(m.aircraft, out.wheel); err != nil {
		return nil, err
	}
	out.roll.Friction = or(r.Friction, usualFriction)
	if r.Thrust == nil {
		out.roll.Thrust = func(V unit.TrueAirspeed) (unit.Force, error) { return fullThrust(m.aircraft.Plants, c.Air, V) }
	}
	if r.Resistance == 0 {
		speed := math.Sqrt(2 * k.weight / (c.Air.Density * k.reference.Area)) // at CL 1
		b, err := drag.Build(m.aircraft, drag.Flight{Air: c.Air, Speed: speed}, drag.Options{})
		if err != nil {
			return nil, err
		}
		out.roll.Resistance = b.CDA
	}
	out.streams, err = k.at(out.attitude)
	return out, errors.Join(err, unit.CheckRange("trim.Rotation", "friction of rolling", out.roll.Friction, 0, 1, "1"))
}

// standing returns the angle of the x axis to the ground.
func standing(a aircraft.Aircraft, main aircraft.Wheel) (unit.Angle, error) {
	for _, w := range a.Wheels {
		if !w.Main && w.X < main.X {
			return math.Atan2(main.Z-w.Z, main.X-w.X), nil
		}
	}
	return 0, fmt.Errorf("trim: %s has no wheel ahead of its main wheels: there is no moment at which it rotates", a.Name)
}

// attempt is a state of the run at a speed, with the control as far as it helps.
func (r *roller) attempt(V unit.TrueAirspeed) (Rotation, error) {
	if err := r.turnPropellers(V); err != nil {
		return Rotation{}, err
	}
	thrust, err := r.roll.Thrust(V)
	if err != nil {
		return Rotation{}, err
	}
	out := Rotation{Speed: V, Thrust: thrust, Caution: caution(r.missing())}
	r.further.thrust = out.Thrust
	s := instant{alpha: r.attitude, streams: r.streams, speed: V, q: r.air.DynamicPressure(V)}
	if out.Deflection, out.Held, err = r.pulled(s); err != nil {
		return out, err
	}
	s.amounts = r.turned(s.streams, s.alpha, out.Deflection)
	out.Deflection = actual(r.limit, out.Deflection)
	r.sum(s, &out)
	return out, nil
}

// pulled returns the deflection with the nose up as far as its stop lets it, or the sections of its surface.
func (r *roller) pulled(s instant) (delta unit.Angle, held bool, err error) {
	stop := acting(r.limit, r.limit.Max)
	if r.aft < 0 {
		stop = acting(r.limit, r.limit.Min)
	}
	over := func(delta float64) float64 {
		s.amounts = r.turned(s.streams, s.alpha, delta)
		used, _ := r.nearest(s)
		return used[r.trims] - 1
	}
	if over(stop) <= 0 {
		return stop, false, nil
	}
	if over(0) > 0 {
		return 0, true, fmt.Errorf("trim: on its wheels at %s the %s of %s is beyond the limit of its section even with the control at rest", unit.FormatPair(s.speed, "TrueAirspeed"), r.surfaces[r.trims].Name, r.name)
	}
	delta, err = solve.Root(over, 0, stop)
	return delta, true, err
}

// sum adds up the moments about the contact of the main wheels:
//
//	M = W (x_cg − x_m) + m a h_cg − T h_T + q S c Cm + D h_cg
//	m a = T cos τ − D − μ (W − L)
//
// with stations and heights along and above the ground from the contact, Cm of surfaces, bodies and propellers about it, and D the drag without lift, which is taken to act at the height of the
// CG. Friction of rolling acts at the contact.
func (r *roller) sum(s instant, out *Rotation) {
	sin, cos := math.Sincos(r.attitude)
	dx, dz := r.cg-r.wheel.X, r.z-r.wheel.Z
	along, height := dx*cos+dz*sin, dz*cos-dx*sin
	f := forces(s.streams, s.amounts)
	more := r.further.on(s.streams, s.amounts, s.alpha, r.wheel.X, r.wheel.Z)
	dragged := s.q * (r.roll.Resistance + f.induced)
	out.Lift = s.q*(f.lift(s.alpha)+more.lift) + more.thrustLift
	forward := -dragged - r.roll.Friction*max(0, r.weight-out.Lift)
	for _, d := range r.further.discs {
		forward += out.Thrust * d.part * math.Cos(s.alpha+d.plant.Tilt)
	}
	out.Acceleration = forward / (r.weight / unit.StandardGravity)
	out.Terms = []RotationTerm{
		{"weight", r.weight * along},
		{"inertia", r.weight / unit.StandardGravity * out.Acceleration * height},
		{"thrust", more.thrustMoment},
	}
	for i, surface := range r.surfaces {
		out.Terms = append(out.Terms, RotationTerm{surface.Name, s.q * r.own(s, i)})
	}
	rest := s.q * f.about(r.wheel.X, r.wheel.Z)
	for _, t := range out.Terms[3:] {
		rest -= t.Moment
	}
	out.Terms = append(out.Terms, RotationTerm{"sections", rest}, RotationTerm{"bodies and propellers", s.q * more.moment},
		RotationTerm{"drag without lift", s.q * r.roll.Resistance * height})
}

// own returns the moment of the lift of a surface, at the quarter chords of its strips, about the contact of the main wheels, over the dynamic pressure.
func (r *roller) own(s instant, surface int) unit.Volume {
	var sum unit.Volume
	for _, p := range r.strips {
		if p.surface == surface {
			x := r.columns[p.strip].Middle.X + p.chord/4
			sum -= 4 * circulation(s.streams, s.amounts, p.strip) * p.width * (x - r.wheel.X)
		}
	}
	return sum
}

// Moment returns the sum of the terms, zero where the nose begins to rise.
func (r Rotation) Moment() unit.Moment {
	sum := 0.0
	for _, t := range r.Terms {
		sum += t.Moment
	}
	return sum
}

// RotationError says that an aeroplane does not raise its nose, or that thrust and acceleration alone raise it.
type RotationError struct {
	Aircraft string
	At       Rotation // the fastest or the slowest that was tried
}

func (e *RotationError) Error() string {
	if e.At.Moment() >= 0 {
		return fmt.Sprintf("trim: thrust and acceleration alone raise the nose of %s, already at %s", e.Aircraft, unit.FormatPair(e.At.Speed, "TrueAirspeed"))
	}
	return fmt.Sprintf("trim: %s does not raise its nose up to %s: at a deflection of %s the moment about the main wheels is still %s short", e.Aircraft,
		unit.FormatPair(e.At.Speed, "TrueAirspeed"), unit.Format(e.At.Deflection, "°"), unit.Format(-e.At.Moment(), "N m"))
}

// Unstick returns the speed at which the nose wheel leaves the ground in the take-off run of a condition, with the control that trims as far nose up as its stop or the
// sections of its surface allow. All moments about the contact of the main wheels count,
//
//	W (x_cg − x_m) + m a h_cg − T h_T + M_air + D h_cg = 0
//
// with the air of the lattice over the ground at the attitude on the wheels, for which the stream is along the runway. Speed, thrust and height of the condition do not count. It returns
// a [*RotationError] if the nose stays down up to twice the speed of lift coefficient 1 or is up at a tenth of it, an error for an aeroplane without a nose wheel, and those of [StallModel.Stall].
func (m *StallModel) Unstick(c Condition, cg unit.Length, r Roll) (Rotation, error) {
	k, err := m.newRoller(c, cg, r)
	if err != nil {
		return Rotation{}, err
	}
	unity := math.Sqrt(2 * k.weight / (k.air.Density * k.reference.Area))
	var failed error
	moment := func(V float64) float64 {
		now, err := k.attempt(V)
		if failed == nil {
			failed = err
		}
		return now.Moment()
	}
	const slow, fast = 0.1, 2
	if fastest, err := k.attempt(fast * unity); err != nil {
		return fastest, err
	} else if fastest.Moment() < 0 {
		return fastest, &RotationError{k.name, fastest}
	}
	if slowest, err := k.attempt(slow * unity); err != nil {
		return slowest, err
	} else if slowest.Moment() >= 0 {
		return slowest, &RotationError{k.name, slowest}
	}
	V, err := solve.Root(moment, slow*unity, fast*unity)
	if err := cmp.Or(failed, err); err != nil {
		return Rotation{}, err
	}
	return k.attempt(V)
}

// FindUnstick is [StallModel.Unstick] of an aeroplane at its CG.
func FindUnstick(a aircraft.Aircraft, c Condition, r Roll) (Rotation, error) {
	m, err := NewStallModel(a, StallSettings{})
	if err != nil {
		return Rotation{}, err
	}
	return m.Unstick(c, a.CG, r)
}

// ideal is the part of engine power that a propeller leaves after swirl and friction of its blades, in the slow flight of take-off and stall (common practice).
const ideal unit.Ratio = 0.8

// DiscThrust returns the thrust of a plant at full power by momentum theory, from 0.8 of the power:
//
//	0.8 P = T (V + v),   T = 2ρA (V + v) v
//
// It returns an error for an air density, a diameter, or a speed that cannot be.
func DiscThrust(p aircraft.Plant, air atmos.Air, V unit.TrueAirspeed) (unit.Force, error) {
	if err := cmp.Or(unit.CheckPositive("trim.DiscThrust", "air density", air.Density, "kg/m³"), unit.CheckRange("trim.DiscThrust", "true airspeed", V, 0, math.Inf(1), "m/s"),
		unit.CheckPositive("trim.DiscThrust", "diameter", p.Diameter, "m"), unit.CheckRange("trim.DiscThrust", "power", p.Power, 0, math.Inf(1), "W")); err != nil || p.Power == 0 {
		return 0, err
	}
	available, flow := ideal*p.Power, 2*air.Density*p.DiscArea()
	still := math.Cbrt(available / flow) // v without speed; with speed it is less
	v, err := solve.Root(func(v float64) float64 { return flow*(V+v)*(V+v)*v - available }, 0, still)
	return flow * (V + v) * v, err
}

// fullThrust returns that of all plants.
func fullThrust(plants []aircraft.Plant, air atmos.Air, V unit.TrueAirspeed) (unit.Force, error) {
	sum := 0.0
	for _, p := range plants {
		t, err := DiscThrust(p, air, V)
		if err != nil {
			return 0, err
		}
		sum += t
	}
	return sum, nil
}
