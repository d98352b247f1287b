package trim

import (
	"fmt"
	"math"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/drag"
	"foreplane/aerolib/unit"
)

// state is what a balance varies, and the pitch rate over speed.
type state struct {
	alpha, delta unit.Angle
	rate         unit.PerLength
}

// flow is the air about an aeroplane as one method has it. Moments are about the CG.
type flow interface {
	total(s state) (CL, Cm unit.Coefficient, err error)                       // of the surfaces, fins included
	bodyMoments(s state) []unit.Volume                                        // over dynamic pressure, of each body that counts
	discWash(s state) []unit.Angle                                            // downwash at each propeller
	load(s state, r *Result) ([]drag.Load, drag.Induced, error)               // fills in lift and moment of Loads, and fins among the Others
	detail(s state, r *Result) error                                          // fills in wash and local angles
	criticals(s state, lift []unit.Coefficient) ([]Critical, []string, error) // of each surface, with its lift coefficient, and notes
	alone(s state) ([]Derivatives, error)                                     // of each surface by itself, with CL0 and Cm0 what is not α, δ or q
	wakes() string                                                            // how they run
	refine(s state) (changed bool, err error)                                 // makes what depends on the state, such as the direction of wakes, that of s
}

// balance finds the state in which forces and moments vanish. It knows mechanics only; all air comes from its flow.
type balance struct {
	aeroplane aircraft.Aircraft
	flight    flight
	flow      flow
	plants    []plant
	trims     int // index of the surface whose control trims
	skin      *drag.Buildup

	found state     // the balance, once it is found
	pull  unit.Area // thrust over dynamic pressure there
}

// plant is a power plant as far as it counts.
type plant struct {
	aircraft.Plant
	part  unit.Ratio // of the thrust
	slope unit.Area  // normal force over dynamic pressure per radian at the disc
}

// newPlants shares the thrust out by power.
func newPlants(a aircraft.Aircraft) []plant {
	plants := make([]plant, len(a.Plants))
	for i, p := range a.Plants {
		plants[i] = plant{Plant: p, part: 1 / float64(len(a.Plants))}
		if power := a.Power(); power > 0 {
			plants[i].part = p.Power / power
		}
	}
	return plants
}

// push is what a power plant does, over dynamic pressure: lift, force along the path, and moment nose up about the CG.
type push struct {
	lift, along unit.Area
	moment      unit.Volume
}

func (p push) plus(o push) push { return push{p.lift + o.lift, p.along + o.along, p.moment + o.moment} }

// normal returns the normal force of a propeller: along +α, across the shaft.
func (b *balance) normal(p plant, s state, wash unit.Angle) push {
	dx, dz := p.X-b.aeroplane.CG, p.Z-b.aeroplane.CGHeight
	n := p.slope * (s.alpha + p.Tilt - wash + s.rate*dx)
	sin, cos := math.Sincos(s.alpha + p.Tilt)
	sinTilt, cosTilt := math.Sincos(p.Tilt)
	return push{n * cos, -n * sin, n * (dz*sinTilt - dx*cosTilt)}
}

// thrust returns that of a power plant along its line, for thrust over dynamic pressure.
func (b *balance) thrust(p plant, s state, t unit.Area) push {
	t *= p.part
	sin, cos := math.Sincos(s.alpha + p.Tilt)
	return push{t * sin, t * cos, t * p.ThrustArm(b.aeroplane.CG, b.aeroplane.CGHeight)}
}

// onLine reports whether thrust acts along its line; else it acts along the path through the CG.
func (b *balance) onLine() bool { return len(b.plants) > 0 && !b.flight.Omit.ThrustLine }

// pushes returns normal forces and thrusts together, for thrust over dynamic pressure.
func (b *balance) pushes(s state, t unit.Area) (normal, thrust push) {
	wash := b.flow.discWash(s)
	for i, p := range b.plants {
		normal = normal.plus(b.normal(p, s, wash[i]))
		if b.onLine() {
			thrust = thrust.plus(b.thrust(p, s, t))
		}
	}
	if !b.onLine() {
		thrust = push{along: t}
	}
	return normal, thrust
}

// sums returns all lift and moment as coefficients.
func (b *balance) sums(s state, t unit.Area) (CL, Cm unit.Coefficient, err error) {
	r := b.aeroplane.Reference
	CL, Cm, err = b.flow.total(s)
	normal, thrust := b.pushes(s, t)
	moment := normal.moment + thrust.moment
	for _, m := range b.flow.bodyMoments(s) {
		moment += m
	}
	return CL + (normal.lift+thrust.lift)/r.Area, Cm + moment/(r.Area*r.Chord), err
}

// slopeStep is the step of central differences: what varies is linear but for the sines of small angles.
const (
	slopeStep unit.Angle     = 1e-4
	rateStep  unit.PerLength = 1e-4
)

// model returns the slopes at a state, at this thrust.
func (b *balance) model(s state, t unit.Area) (Derivatives, error) {
	total := func(s state) (CL, Cm unit.Coefficient, err error) { return b.sums(s, t) }
	return slopesOf(total, s, b.aeroplane.Reference, b.aeroplane.CG)
}

// slopesOf returns the linear model of a total at a state. What its pitch rate does is in the constants.
func slopesOf(total func(state) (CL, Cm unit.Coefficient, err error), s state, r aircraft.Reference, cg unit.Length) (Derivatives, error) {
	all, err := slopes(func(s state) ([]pair, error) {
		CL, Cm, err := total(s)
		return []pair{{CL, Cm}}, err
	}, s, r, cg)
	if err != nil {
		return Derivatives{}, err
	}
	return all[0], nil
}

// pair is lift and moment about the CG.
type pair struct{ CL, Cm unit.Coefficient }

// slopes is slopesOf for several parts at once.
func slopes(parts func(state) ([]pair, error), s state, r aircraft.Reference, cg unit.Length) ([]Derivatives, error) {
	now, err := parts(s)
	if err != nil {
		return nil, err
	}
	out := make([]Derivatives, len(now))
	for k, by := range []state{{alpha: slopeStep}, {delta: slopeStep}, {rate: rateStep}} {
		up, err := parts(s.plus(by, 1))
		if err != nil {
			return nil, err
		}
		down, err := parts(s.plus(by, -1))
		if err != nil {
			return nil, err
		}
		for i := range out {
			d := &out[i]
			CL, Cm := up[i].CL-down[i].CL, up[i].Cm-down[i].Cm
			switch k {
			case 0:
				d.CLAlpha, d.CmAlpha = CL/(2*slopeStep), Cm/(2*slopeStep)
			case 1:
				d.CLDelta, d.CmDelta = CL/(2*slopeStep), Cm/(2*slopeStep)
			default:
				turn := unit.Angle(rateStep * r.Chord / 2) // q c/2V
				d.CLQ, d.CmQ = CL/(2*turn), Cm/(2*turn)
			}
		}
	}
	for i := range out {
		d := &out[i]
		d.Reference, d.CG = r, cg
		d.CL0, d.Cm0 = now[i].CL-d.CLAlpha*s.alpha-d.CLDelta*s.delta, now[i].Cm-d.CmAlpha*s.alpha-d.CmDelta*s.delta
	}
	return out, nil
}

func (s state) plus(o state, sign float64) state {
	return state{s.alpha + sign*o.alpha, s.delta + sign*o.delta, s.rate + sign*o.rate}
}

// Bounds of the search.
const (
	maxTrimAngle unit.Angle       = 90 * unit.Degree // beyond, nothing of the methods holds
	maxSteps                      = 60
	balanced     unit.Coefficient = 1e-13 // of CL, Cm and thrust
	rounded      unit.Coefficient = 1e-10 // what rounding may leave
)

// find returns the state and the thrust over dynamic pressure with which lift, moment and, if thrust balances drag, the force along the path are as the flight asks. The
// slopes hardly change, so those of the beginning serve all steps of Newton's method.
func (b *balance) find(s state, t unit.Area) (state, unit.Area, error) {
	model, err := b.model(s, t)
	if err != nil {
		return s, t, err
	}
	least := math.Inf(1)
	for range maxSteps {
		CL, Cm, err := b.sums(s, t)
		if err != nil {
			return s, t, err
		}
		next, err := b.thrustFor(s, t)
		if err != nil {
			return s, t, err
		}
		short := math.Hypot(math.Hypot(b.flight.CL-CL, Cm), (next-t)/b.aeroplane.Reference.Area)
		if size := balanced * (1 + math.Abs(b.flight.CL)); short <= size || short < rounded && short >= least {
			return s, t, nil
		}
		least, t = short, next
		alpha, delta, err := model.solve(b.flight.CL-CL, -Cm)
		if err != nil {
			return s, t, err
		}
		s.alpha, s.delta = s.alpha+alpha, s.delta+delta
		if !(math.Max(math.Abs(s.alpha), math.Abs(s.delta)) < maxTrimAngle) {
			return s, t, &NoTrimError{b.aeroplane.Name, b.flight.CL, s.alpha, s.delta, maxTrimAngle}
		}
	}
	return s, t, fmt.Errorf("trim: %s: after %d steps lift, moment and thrust still miss by %.2g as coefficients", b.aeroplane.Name, maxSteps, least)
}

// thrustFor returns the thrust over dynamic pressure that balances the drag in a state, or the one there is.
func (b *balance) thrustFor(s state, t unit.Area) (unit.Area, error) {
	if b.flight.Thrust != Balanced {
		return t, nil
	}
	var r Result
	b.start(&r)
	if err := b.fill(s, &r); err != nil {
		return t, err
	}
	normal, unitThrust := b.pushes(s, 1)
	const one unit.Area = 1 // the thrust whose part along the path is known
	return (r.Drag.Total*b.aeroplane.Reference.Area - normal.along) / unitThrust.along * one, nil
}

// NoTrimError says that balance would need angles that have no meaning.
type NoTrimError struct {
	Aircraft     string
	CL           unit.Coefficient
	Alpha, Delta unit.Angle
	Most         unit.Angle
}

func (e *NoTrimError) Error() string {
	return fmt.Sprintf("trim: %s at CL %.3g would need α %s and a deflection of %s, must be within ±%s", e.Aircraft, e.CL, unit.Format(e.Alpha, "°"), unit.Format(e.Delta, "°"),
		unit.Format(e.Most, "°"))
}
