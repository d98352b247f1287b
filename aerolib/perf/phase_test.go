package perf

import (
	"math"
	"testing"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/atmos"
	"foreplane/aerolib/trim"
	"foreplane/aerolib/unit"
)

// onTrial returns a light jet on a runway with wind, slope and wheels.
func onTrial(t testing.TB) *field {
	a := light()
	a.Propulsion = Jet{Thrust: 1500}
	r := Runway{Air: airAt(t, 0), Surface: Surface{Rolling: 0.05, Braking: 0.4}, Headwind: 4, Slope: 0.02}
	return must[*field](t)(a.onRunway("perf.test", r, Ground{RollLift: 0.4, Wheels: wheels(0.2)}))
}

// TestWheelMoment sums the moments of a raised nose by hand, term by term.
func TestWheelMoment(t *testing.T) {
	f, w := onTrial(t), wheels(0.2)
	const V, angle, rate = 25.0, 0.12, 0.3
	M, a, err := f.moment(V, angle, rate)
	q := 1.225 / 2 * V * V
	CL := 0.6 + 5*angle
	D, L, W := q*9.45*(0.028+0.045*CL*CL), q*9.45*CL, 750*9.80665
	near(t, "acceleration", a, (1500-D-0.05*(W*math.Cos(0.02)-L))/750-9.80665*math.Sin(0.02), 1e-5)
	x, z := 0.25*math.Cos(angle)-1*math.Sin(angle), 1*math.Cos(angle)+0.25*math.Sin(angle)
	Cm := 0.2 - 0.5*angle - 10*rate*1.09/(2*V)
	near(t, "moment", M, q*9.45*1.09*Cm+x*(L-W*math.Cos(0.02))+z*(D+750*a+W*math.Sin(0.02))-1.1*1500, 1e-5)
	now, err2 := f.rotating().rates(course{speed: V, angle: angle, turn: rate})
	near(t, "turn", now.turn, M/(w.Inertia+750*(0.25*0.25+1)), 1e-12)
	near(t, "way", now.way, V-4, 1e-12)
	near(t, "angle", now.angle, rate, 1e-12)
	near(t, "stall", f.stallRise(), (1.4-0.6)/5, 1e-12)
	if err != nil || err2 != nil {
		t.Error(err, err2)
	}
}

// TestPull holds the equations of a curved path, and those of a straight one in wind.
func TestPull(t *testing.T) {
	f := onTrial(t)
	const V, angle, n = 40.0, 0.1, 1.2
	now := must[changes](t)(f.pull("", n, true).rates(course{speed: V, angle: angle, height: 3}))
	CL := n * 750 * 9.80665 / (1.225 / 2 * V * V * 9.45)
	D := 1.225 / 2 * V * V * 9.45 * (0.028 + 0.045*CL*CL)
	near(t, "way", now.way, V*math.Cos(angle)-4, 1e-12)
	near(t, "height", now.height, V*math.Sin(angle), 1e-12)
	near(t, "curve", now.angle, 9.80665*(n-math.Cos(angle))/V, 1e-12)
	near(t, "speed", now.speed, (1500-D)/750-9.80665*math.Sin(angle), 1e-5)
	steady := must[Flight](t)(f.Climb(f.Air, V))
	if over := must[float64](t)(f.steeper(V, steady.Angle)); math.Abs(over) > 1e-9 {
		t.Errorf("a steady climb is too steep by %g", over)
	}
	near(t, "too steep", must[float64](t)(f.steeper(V, steady.Angle+0.01)), 0.01, 0.05)
	climb := f.straight("climb", V, angle, 10)
	near(t, "time", climb.Time, 10/(V*math.Sin(angle)), 1e-12)
	near(t, "distance", climb.Distance, 10/math.Tan(angle)-4*climb.Time, 1e-12)
}

// TestTailwindRun holds air from behind to push and not to lift.
func TestTailwindRun(t *testing.T) {
	f := onTrial(t)
	D := 1.225 / 2 * 9 * 9.45 * (0.028 + 0.045*0.16)
	a := must[float64](t)(f.run(-3, 0.4, 0.05, true))
	near(t, "from behind", a, (1500+D-0.05*750*9.80665*math.Cos(0.02))/750-9.80665*math.Sin(0.02), 1e-5)
}

// braking is a jet whose closed throttle brakes.
type braking struct{ Jet }

func (braking) Idle(atmos.Air, unit.TrueAirspeed) (Output, error) { return Output{Thrust: -300}, nil }

// TestIdle holds a propeller that windmills to shorten the flare and the float, and to leave the run on the wheels.
func TestIdle(t *testing.T) {
	a, l := light(), Landing{Runway: Runway{Air: airAt(t, 0)}}
	a.Propulsion = Jet{Thrust: 1500}
	free := must[Field](t)(a.Land(l))
	a.Propulsion = braking{Jet{Thrust: 1500}}
	held := must[Field](t)(a.Land(l))
	get := func(f Field, name string) Segment { return must[Segment](t)(f.Get(name)) }
	if get(held, "float").Distance >= get(free, "float").Distance || get(held, "flare").End >= get(free, "flare").End {
		t.Errorf("float of %.0f m, without %.0f m", get(held, "float").Distance, get(free, "float").Distance)
	}
	near(t, "braking", get(held, "braking").Distance, get(free, "braking").Distance, 1e-9)
}

// TestFlare holds height and angle at its beginning to those of an arc of radius V²/(0.2 g), from which the loss of speed takes a little.
func TestFlare(t *testing.T) {
	a, l := light(), Landing{Runway: Runway{Air: airAt(t, 0), Obstacle: 20}, Angle: 4 * unit.Degree}
	f := must[Field](t)(a.Land(l))
	V := 1.3 * f.Stall
	R := V * V / (0.2 * 9.80665)
	approach, flare := must[Segment](t)(f.Get("approach")), must[Segment](t)(f.Get("flare"))
	near(t, "flare", flare.Distance, R*math.Sin(l.Angle), 0.03)
	near(t, "approach", approach.Distance, (20-R*(1-math.Cos(l.Angle)))/math.Tan(l.Angle), 0.003)
}

// TestLowPolar holds the polar on the ground to go on below its least lift without a step.
func TestLowPolar(t *testing.T) {
	_, g := described(t, aircraft.Sedge())
	p := g.Polar.(groundPolar)
	near(t, "aspect ratio", p.Aspect, 81/9.45, 1e-9)
	least, _ := p.Limits()
	at := must[float64](t)(p.CD(least))
	near(t, "at the least lift", must[float64](t)(p.CD(least-1e-9)), at, 1e-6)
	if below := must[float64](t)(p.CD(0)); below > at || below < 0.9*at {
		t.Errorf("CD %.5f without lift, %.5f at CL %.2f", below, at, least)
	}
}

// TestStanding holds the geometry on the wheels of Sedge to its file, and the unstick speed of the linear model to that of the lattice.
func TestStanding(t *testing.T) {
	d := aircraft.Sedge()
	a, g := described(t, d)
	stance := must[aircraft.Stance](t)(d.Stand())
	w := g.Wheels
	near(t, "tip-back", math.Atan2(w.Arm, w.Height), stance.TipBack, 1e-9)
	near(t, "CG", w.Height, d.CGHeight-d.Wheels[1].Z, 0.01) // it stands level
	near(t, "thrust line", w.Thrust, d.Plants[0].Z-d.Wheels[1].Z, 0.02)
	s := TakeOff{Runway: Runway{Air: airAt(t, 0), Surface: Surface{Rolling: 0.03}}, Ground: g}
	roll := trim.Roll{Thrust: func(V unit.TrueAirspeed) (unit.Force, error) {
		out, err := a.Propulsion.Full(s.Runway.Air, V)
		return out.Thrust, err
	}}
	lattice := must[trim.Rotation](t)(trim.FindUnstick(d, trim.Condition{Air: s.Runway.Air}, roll))
	near(t, "unstick", must[float64](t)(a.Unstick(s)), lattice.Speed, 0.05)
}

// TestExcessMap holds the map to the single values, and its edge to the stall at the load factor.
func TestExcessMap(t *testing.T) {
	a := light()
	m := must[ExcessMap](t)(a.ExcessMap(atmos.Day{}, 2, []unit.TrueAirspeed{30, 60}, []unit.GeopotentialAltitude{0, 3000}))
	air := airAt(t, 3000)
	near(t, "excess", m.Excess[1][1], must[float64](t)(a.ExcessPower(air, 60, 2)), 1e-12)
	near(t, "stall", m.Stall[1], must[float64](t)(a.StallSpeed(air, 2)), 1e-12)
	if !math.IsNaN(m.Excess[0][0]) {
		t.Errorf("%g below the stall", m.Excess[0][0])
	}
}
