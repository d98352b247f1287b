package perf

import (
	"errors"
	"math"
	"strings"
	"testing"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/atmos"
	"foreplane/aerolib/drag"
	"foreplane/aerolib/unit"
)

func near(t *testing.T, what string, got, want, relative float64) {
	t.Helper()
	if !(math.Abs(got-want) <= relative*math.Abs(want)) {
		t.Errorf("%s: %.9g, want %.9g within %.1g", what, got, want, relative)
	}
}

// TestParabolaSpeeds compares what is looked for numerically with the closed forms of a parabola ([Anderson], ch. 5).
func TestParabolaSpeeds(t *testing.T) {
	p := drag.Parabola{CD0: 0.028, K: 0.045}
	a := Aeroplane{Mass: 750, Area: 9.45, Polar: p, Propulsion: Jet{Thrust: 2500}}
	air := airAt(t, 1500)
	W, rho, S := a.Weight(), air.Density, a.Area
	s := must[Speeds](t)(a.Speeds(air))
	get := func(symbol string) Named { return must[Named](t)(s.Get(symbol)) }
	near(t, "V_md", get("V_md").Speed, math.Sqrt(2*W/(rho*S)*math.Sqrt(p.K/p.CD0)), 1e-7)
	near(t, "V_mp", get("V_mp").Speed, math.Sqrt(2*W/(rho*S)*math.Sqrt(p.K/(3*p.CD0))), 1e-7)
	near(t, "V_C", get("V_C").Speed, math.Sqrt(2*W/(rho*S)*math.Sqrt(3*p.K/p.CD0)), 1e-7)
	near(t, "power at V_md", get("V_md").Required, 2*W*math.Sqrt(p.K*p.CD0)*get("V_md").Speed, 1e-7)
	z := 2500 / W
	top := math.Sqrt((z*W/S + W/S*math.Sqrt(z*z-4*p.CD0*p.K)) / (rho * p.CD0))
	near(t, "V_H", get("V_H").Speed, top, 1e-9)
	_, LD, err := a.LiftToDrag()
	near(t, "L/D", LD, 1/(2*math.Sqrt(p.K*p.CD0)), 1e-9)
	if err != nil || len(s.Notes) != 1 || !strings.Contains(s.Notes[0], "V_S") {
		t.Errorf("notes %q, %v", s.Notes, err)
	}
	glide := must[Flight](t)(a.BestGlide(air, 0, 0))
	near(t, "glide", math.Tan(-glide.Angle), 2*math.Sqrt(p.K*p.CD0), 1e-9)
	sink := must[Flight](t)(a.LeastSink(air))
	best := 0.25 * math.Pow(3/(p.K*math.Cbrt(p.CD0)), 0.75) // (CL^1.5/CD)max
	// the closed form has cos γ = 1; exactly, sink is smaller by cos^1.5 γ
	near(t, "sink", -sink.Rate, math.Sqrt(2*W/(rho*S))/best, 0.01)
}

// TestSteadyFlight holds the equations along and across the path, with the sign of each term.
func TestSteadyFlight(t *testing.T) {
	a, air := light(), airAt(t, 1000)
	for name, f := range map[string]Flight{
		"climb": must[Flight](t)(a.Climb(air, 40)), "level": must[Flight](t)(a.Level(air, 55)), "glide": must[Flight](t)(a.Glide(air, 45)),
	} {
		sin, cos := math.Sincos(f.Angle)
		qS := air.Density / 2 * f.Speed * f.Speed * a.Area
		near(t, name+": lift", f.CL*qS, a.Weight()*cos, 1e-12)
		near(t, name+": drag", f.Drag, (0.028+0.045*f.CL*f.CL)*qS, 1e-12)
		near(t, name+": along", f.Plant.Thrust-f.Drag-a.Weight()*sin+1, 1, 1e-9*a.Weight())
		near(t, name+": rate", f.Rate+100, f.Speed*sin+100, 1e-12)
	}
	if f := must[Flight](t)(a.Climb(air, 40)); f.Rate < 3 || f.Plant.Fuel <= 0 {
		t.Errorf("climb of %.2f m/s, %.2g kg/s", f.Rate, f.Plant.Fuel)
	}
}

// TestGlideInWind compares the tangent to the sink polar with the least slope over many speeds.
func TestGlideInWind(t *testing.T) {
	a, air := light(), airAt(t, 0)
	still := must[Flight](t)(a.BestGlide(air, 0, 0))
	for _, c := range []struct{ head, rise float64 }{{10, 0}, {-10, 0}, {0, -1.5}, {0, 1}, {8, -1}} {
		f := must[Flight](t)(a.BestGlide(air, c.head, c.rise))
		slope := func(f Flight) float64 { return (-f.Rate - c.rise) / (f.Speed*math.Cos(f.Angle) - c.head) }
		for V := 32.0; V < 90; V += 0.1 {
			if g := must[Flight](t)(a.Glide(air, V)); slope(g) < slope(f)*(1-1e-9) {
				t.Errorf("headwind %g, rise %g: %.2f m/s glides flatter than %.2f", c.head, c.rise, V, f.Speed)
				break
			}
		}
		if faster := c.head > 0 || c.rise < 0; faster != (f.Speed > still.Speed) {
			t.Errorf("headwind %g, rise %g: best glide at %.2f m/s, in still air %.2f", c.head, c.rise, f.Speed, still.Speed)
		}
	}
	var cannot *ImpossibleError
	if _, err := a.BestGlide(air, 0, 5); !errors.As(err, &cannot) {
		t.Errorf("rising air: %v", err)
	}
	a.Polar = slow{drag.Parabola{CD0: 0.028, K: 0.045}}
	if _, err := a.BestGlide(air, 70, 0); !errors.As(err, &cannot) {
		t.Errorf("a gale: %v", err)
	}
}

// slow is a polar that begins at CL 0.4.
type slow struct{ drag.Parabola }

func (slow) Limits() (least, greatest unit.Coefficient) { return 0.4, 1.4 }

// TestGlideEnergy holds that in a glide without thrust all that height and speed give up is the work of drag.
func TestGlideEnergy(t *testing.T) {
	a := light()
	day := atmos.Day{Offset: 12}
	for name, at := range map[string]Schedule{"EAS": HoldEquivalent(40), "TAS": HoldTrue(50), "CL": HoldLift(0.9), "Mach": HoldMach(0.15)} {
		log := must[Log](t)(a.Fly(Mission{Day: day, From: 4000, Legs: []Leg{{Kind: DescentLeg, To: 500, At: at}}, Steps: 400}))
		work, energy := 0.0, func(f Fix) float64 {
			air := must[atmos.Air](t)(day.At(f.Altitude))
			V := must[float64](t)(at(a, air))
			return a.Mass * (g*f.Altitude + V*V/2)
		}
		for i := 1; i < len(log.Fixes); i++ {
			from, to := log.Fixes[i-1], log.Fixes[i]
			D := (levelDrag(t, a, day, at, from) + levelDrag(t, a, day, at, to)) / 2
			work += D * math.Hypot(to.Distance-from.Distance, to.Altitude-from.Altitude)
		}
		near(t, name, energy(log.Fixes[0])-energy(log.End()), work, 2e-4) // the drag of the path without acceleration
	}
}

// levelDrag returns the drag in the glide at a fix.
func levelDrag(t testing.TB, a Aeroplane, day atmos.Day, at Schedule, f Fix) unit.Force {
	air := must[atmos.Air](t)(day.At(f.Altitude))
	return must[Flight](t)(a.Glide(air, must[float64](t)(at(a, air)))).Drag
}

// TestBreguet compares the closed forms with the integration of a cruise, whose error is that of 200 steps.
func TestBreguet(t *testing.T) {
	const CL, fuel, h = 0.5, 150 * unit.Kilogram, 2000
	air := airAt(t, h)
	p := drag.Parabola{CD0: 0.028, K: 0.045}
	CD := must[float64](t)(p.CD(CL))
	b := Breguet{CL: CL, CD: CD, Density: air.Density, Area: 9.45, From: 750, To: 600}
	fly := func(plant Propulsion, leg Leg) Fix {
		a := Aeroplane{Mass: 750, Area: 9.45, Polar: p, Propulsion: plant, Fuel: fuel, Battery: 5e8}
		leg.Kind, leg.At = CruiseLeg, HoldLift(CL)
		return must[Log](t)(a.Fly(Mission{From: h, Legs: []Leg{leg}, Steps: 200})).End()
	}
	c := 0.3 * unit.KilogramPerKilowattHour
	propeller := fly(Propeller{Power: 150e3, Efficiency: 0.8, Consumption: c}, Leg{Fuel: fuel})
	near(t, "propeller range", propeller.Distance, must[float64](t)(b.PropellerRange(0.8, c)), 1e-6)
	near(t, "propeller endurance", propeller.Time, must[float64](t)(b.PropellerEndurance(0.8, c)), 1e-6)
	ct := 0.6 * unit.PoundPerPoundForceHour
	jet := fly(Jet{Thrust: 4000, Consumption: ct}, Leg{Fuel: fuel})
	near(t, "jet range", jet.Distance, must[float64](t)(b.JetRange(ct)), 1e-6)
	near(t, "jet endurance", jet.Time, must[float64](t)(b.JetEndurance(ct)), 1e-6)
	near(t, "cruise climb", must[float64](t)(b.JetCruiseClimb(100, ct)), 100*jet.Time, 1e-6)
	b.To = b.From
	electric := fly(Electric{Power: 150e3, Efficiency: 0.8, Drive: 0.9}, Leg{Energy: 1e8})
	near(t, "electric range", electric.Distance, must[float64](t)(b.ElectricRange(0.72, 1e8)), 1e-6)
	near(t, "electric endurance", electric.Time, must[float64](t)(b.ElectricEndurance(0.72, 1e8)), 1e-6)
	windy := fly(Jet{Thrust: 4000, Consumption: ct}, Leg{Fuel: fuel, Headwind: 12})
	near(t, "in wind", windy.Distance, jet.Distance-12*jet.Time, 1e-9)
	if jet.Mass != 600 && math.Abs(jet.Mass-600) > 1e-9 {
		t.Errorf("mass at the end %.9g kg", jet.Mass)
	}
}

// TestBestRange holds that no other speed goes further on the fuel, in wind too, and that the wind moves it the way pilots know.
func TestBestRange(t *testing.T) {
	a, air := light(), airAt(t, 2000)
	before := 0.0
	for _, head := range []unit.Speed{-15, 0, 15} {
		f := must[Flight](t)(a.BestRange(air, head))
		if f.Speed <= before {
			t.Errorf("headwind %g: %.2f m/s, not faster than %.2f with less", head, f.Speed, before)
		}
		before = f.Speed
		for V := 35.0; V < 70; V += 0.1 {
			g, err := a.Level(air, V)
			if err == nil && (V-head)/g.Plant.Fuel > (f.Speed-head)/f.Plant.Fuel*(1+1e-9) {
				t.Errorf("headwind %g: %.2f m/s goes further than %.2f", head, V, f.Speed)
				break
			}
		}
	}
	if e := must[Flight](t)(a.BestEndurance(air)); e.Speed >= must[Flight](t)(a.BestRange(air, 0)).Speed {
		t.Errorf("endurance at %.2f m/s", e.Speed)
	}
	var cannot *ImpossibleError
	if _, err := a.BestRange(air, 90); !errors.As(err, &cannot) {
		t.Errorf("a gale: %v", err)
	}
	dry := a
	dry.Propulsion = Jet{Thrust: 2500}
	if _, err := dry.BestRange(air, 0); !errors.As(err, &cannot) {
		t.Errorf("no consumption: %v", err)
	}
}

// TestClimbMission compares times with the integral of 1/rate by Simpson's rule, without and with the energy that true airspeed takes.
func TestClimbMission(t *testing.T) {
	a := light()
	a.Propulsion = Jet{Thrust: 2500} // burns nothing
	at := HoldEquivalent(42)
	leg := Mission{Legs: []Leg{{Kind: ClimbLeg, To: 3000, At: at}}, Steps: 60, Steady: true}
	steady := must[Log](t)(a.Fly(leg)).End().Time
	integral := func(factor func(h float64) float64) (sum float64) {
		const n = 600
		for i := 0; i <= n; i++ {
			h, w := 3000*float64(i)/n, 2.0
			if i%2 == 1 {
				w = 4
			}
			if i == 0 || i == n {
				w = 1
			}
			air := airAt(t, h)
			f := must[Flight](t)(a.Climb(air, air.TrueFromEquivalent(42)))
			sum += w / 3 * 3000 / n * factor(h) / f.Rate
		}
		return sum
	}
	near(t, "steady", steady, integral(func(float64) float64 { return 1 }), 1e-4)
	leg.Steady = false
	V := func(h float64) float64 { return airAt(t, h).TrueFromEquivalent(42) }
	near(t, "accelerating", must[Log](t)(a.Fly(leg)).End().Time, integral(func(h float64) float64 { return 1 + V(h)/g*(V(h+1)-V(h-1))/2 }), 1e-4)
}

// TestMissionLegs flies up, along and down, and sums up.
func TestMissionLegs(t *testing.T) {
	a := light()
	log := must[Log](t)(a.Fly(mission()))
	climb, cruise, hold, descent := log.Ends[0], log.Ends[1], log.Ends[2], log.Ends[3]
	near(t, "cruise", cruise.Distance-climb.Distance, 300*unit.Kilometre, 1e-9)
	near(t, "hold", hold.Time-cruise.Time, 30*unit.Minute, 1e-9)
	near(t, "altitude", descent.Altitude, 300, 1e-9)
	near(t, "descent", descent.Time-hold.Time, 2200/(500*unit.FootPerMinute), 1e-9)
	near(t, "mass", descent.Mass+descent.Fuel, a.Mass, 1e-12)
	if climb.Fuel <= 0 || cruise.Fuel <= climb.Fuel || hold.Fuel <= cruise.Fuel || descent.Fuel <= hold.Fuel || log.Caution == "" {
		t.Errorf("fuel %v", log.Ends)
	}
}

// mission has four legs of 125 steps.
func mission() Mission {
	return Mission{From: 0, Steps: 125, Legs: []Leg{
		{Kind: ClimbLeg, To: 2500, At: BestRate},
		{Kind: CruiseLeg, Distance: 300 * unit.Kilometre, At: HoldTrue(55), Headwind: 8},
		{Kind: CruiseLeg, Time: 30 * unit.Minute, At: HoldEquivalent(40)},
		{Kind: DescentLeg, To: 300, At: HoldEquivalent(50), Rate: 500 * unit.FootPerMinute},
	}}
}

func TestMissionErrors(t *testing.T) {
	a := light()
	if _, err := a.Fly(Mission{Steps: -1}); err == nil || !strings.Contains(err.Error(), "steps") {
		t.Errorf("negative steps: %v", err)
	}
	for name, c := range map[string]struct {
		legs []Leg
		want string
	}{
		"no fuel left":    {[]Leg{{Kind: CruiseLeg, Time: 20 * unit.Hour, At: HoldTrue(55)}}, "has used its 80.0 kg of fuel"},
		"wind":            {[]Leg{{Kind: CruiseLeg, Distance: 1000, At: HoldTrue(45), Headwind: 50}}, "headwind"},
		"above ceiling":   {[]Leg{{Kind: ClimbLeg, To: 12000, At: HoldEquivalent(40)}}, "perf: light cannot"},
		"steep descent":   {[]Leg{{Kind: ClimbLeg, To: 1000, At: BestRate}, {Kind: DescentLeg, At: HoldTrue(45), Rate: 8}}, "sinks less without thrust"},
		"no schedule":     {[]Leg{{Kind: ClimbLeg, To: 1000}}, "no schedule"},
		"no kind":         {[]Leg{{To: 1000, At: BestRate}}, "no such kind"},
		"two ends":        {[]Leg{{Kind: CruiseLeg, Time: 1, Distance: 1, At: HoldTrue(50)}}, "2 are set"},
		"no end":          {[]Leg{{Kind: CruiseLeg, At: HoldTrue(50)}}, "0 are set"},
		"negative":        {[]Leg{{Kind: CruiseLeg, Time: -5, At: HoldTrue(50)}}, "time is"},
		"downward climb":  {[]Leg{{Kind: ClimbLeg, To: -100, At: BestRate}}, "altitude to climb to"},
		"upward descent":  {[]Leg{{Kind: DescentLeg, To: 100, At: HoldTrue(50)}}, "altitude to descend to"},
		"below the stall": {[]Leg{{Kind: CruiseLeg, Time: 5, At: HoldTrue(20)}}, "below its stalling speed"},
		"not enough":      {[]Leg{{Kind: CruiseLeg, Time: 5, At: HoldTrue(95)}}, "of thrust is wanted"},
		"no battery":      {[]Leg{{Kind: CruiseLeg, Energy: 5, At: HoldTrue(50)}}, "takes no fuel or energy"},
		"CL of 0":         {[]Leg{{Kind: CruiseLeg, Time: 5, At: HoldLift(0)}}, "lift coefficient is 0"},
	} {
		if _, err := a.Fly(Mission{Legs: c.legs}); err == nil || !strings.Contains(err.Error(), c.want) || !strings.Contains(err.Error(), "leg ") {
			t.Errorf("%s: %v, want %q", name, err, c.want)
		}
	}
}

// TestTurn compares with the closed forms and with the balance of powers.
func TestTurn(t *testing.T) {
	a, air := light(), airAt(t, 500)
	turn := must[Turn](t)(a.TurnAt(air, 50, 45*unit.Degree))
	near(t, "n", turn.LoadFactor, math.Sqrt2, 1e-12)
	near(t, "radius", turn.Radius, 50*50/9.80665, 1e-12)
	near(t, "rate", turn.Rate*turn.Radius, 50, 1e-12)
	near(t, "CL", turn.CL, math.Sqrt2*must[Point](t)(a.Point(air, 50)).CL, 1e-12)
	near(t, "excess", turn.Excess, (turn.Thrust-turn.Drag)*50/a.Weight(), 1e-12)
	near(t, "the same", must[float64](t)(a.ExcessPower(air, 50, math.Sqrt2)), turn.Excess, 1e-12)
	level := must[Turn](t)(a.TurnAt(air, 50, 0))
	if !math.IsInf(level.Radius, 1) || level.Rate != 0 {
		t.Errorf("without bank: radius %g, rate %g", level.Radius, level.Rate)
	}
	fast := must[Turn](t)(a.SustainedTurn(air, 60))
	near(t, "sustained by thrust", fast.Thrust, fast.Drag, 1e-9)
	slow := must[Turn](t)(a.SustainedTurn(air, 36))
	near(t, "limited by lift", slow.CL, a.MaxLift, 1e-9)
	var stall *StallError
	if _, err := a.TurnAt(air, 36, 60*unit.Degree); !errors.As(err, &stall) {
		t.Errorf("tight: %v", err)
	}
	var cannot *ImpossibleError
	if _, err := a.SustainedTurn(air, 90); !errors.As(err, &cannot) {
		t.Errorf("too fast: %v", err)
	}
	near(t, "stall in the turn", must[float64](t)(a.StallSpeed(air, 2)), math.Sqrt2*must[float64](t)(a.StallSpeed(air, 1)), 1e-12)
}

// TestScale holds that results do not depend on the units: an aeroplane of k times the length, k³ times the mass and k^3.5 times the power flies at √k times the speed.
func TestScale(t *testing.T) {
	const k = 4
	air := airAt(t, 0)
	a := light()
	b := a
	b.Mass, b.Area, b.Span = a.Mass*k*k*k, a.Area*k*k, a.Span*k
	p := a.Propulsion.(Propeller)
	p.Power, p.Diameter = p.Power*math.Pow(k, 3.5), p.Diameter*k
	b.Propulsion = p
	for name, of := range map[string]func(Aeroplane) (Flight, error){
		"V_Y": func(a Aeroplane) (Flight, error) { return a.Fastest(air) }, "V_X": func(a Aeroplane) (Flight, error) { return a.Steepest(air) },
		"V_H": func(a Aeroplane) (Flight, error) { return a.TopSpeed(air) }, "glide": func(a Aeroplane) (Flight, error) { return a.BestGlide(air, 0, 0) },
	} {
		small, large := must[Flight](t)(of(a)), must[Flight](t)(of(b))
		near(t, name, large.Speed, math.Sqrt(k)*small.Speed, 1e-6)
		near(t, name+" angle", large.Angle+1, small.Angle+1, 1e-8)
	}
	field := func(a Aeroplane, scale float64) Segment {
		r := Runway{Air: air, Obstacle: 15 * scale, Headwind: 4 * math.Sqrt(scale)}
		return must[Field](t)(a.TakeOff(TakeOff{Runway: r, Ground: Ground{RollLift: 0.3, Height: scale}})).Sum()
	}
	small, large := field(a, 1), field(b, k)
	near(t, "take-off", large.Distance, k*small.Distance, 1e-5)
	near(t, "its time", large.Time, math.Sqrt(k)*small.Time, 1e-5)
}

// TestCeiling holds that the rate asked for is what is left there, and that a ceiling falls with mass.
func TestCeiling(t *testing.T) {
	a := light()
	absolute, service := must[float64](t)(a.Ceiling(atmos.Day{}, 0)), must[float64](t)(a.Ceiling(atmos.Day{}, ServiceRate))
	near(t, "rate", must[Flight](t)(a.Fastest(airAt(t, service))).Rate, ServiceRate, 1e-6)
	if service >= absolute {
		t.Errorf("service ceiling %.0f m, absolute %.0f m", service, absolute)
	}
	var cannot *ImpossibleError
	if _, err := a.Fastest(airAt(t, absolute+50)); !errors.As(err, &cannot) {
		t.Errorf("above it: %v", err)
	}
	a.Mass *= 1.1
	if h := must[float64](t)(a.Ceiling(atmos.Day{}, 0)); h >= absolute {
		t.Errorf("with more mass %.0f m", h)
	}
	a.Mass *= 4
	if _, err := a.Ceiling(atmos.Day{}, 0); !errors.As(err, &cannot) {
		t.Errorf("too heavy: %v", err)
	}
	var bad *unit.RangeError
	if _, err := light().Ceiling(atmos.Day{}, -1); !errors.As(err, &bad) {
		t.Errorf("negative rate: %v", err)
	}
}

// TestLimits holds that speeds stop at the stall, exactly, and say so.
func TestLimits(t *testing.T) {
	a, air := light(), airAt(t, 0)
	a.MaxLift = 0.9
	s := must[Speeds](t)(a.Speeds(air))
	stall, least, steep := must[Named](t)(s.Get("V_S")), must[Named](t)(s.Get("V_mp")), must[Named](t)(s.Get("V_X"))
	near(t, "V_mp", least.Speed, stall.Speed, 1e-9)
	near(t, "V_X", steep.Speed, stall.Speed, 1e-6)
	if !least.Limited || stall.Limited || must[Named](t)(s.Get("V_C")).Limited {
		t.Errorf("limited: %v", s.Rows)
	}
	if _, err := s.Get("V_Z"); err == nil {
		t.Error("a speed that there is not")
	}
	a.Propulsion = nil
	if s := must[Speeds](t)(a.Speeds(air)); len(s.Rows) != 4 {
		t.Errorf("a glider has %d speeds", len(s.Rows))
	}
}

// TestDoors has bad input at every door: the error names it.
func TestDoors(t *testing.T) {
	air := airAt(t, 0)
	bad := map[string]func(*Aeroplane){
		"mass": func(a *Aeroplane) { a.Mass = -1 }, "area": func(a *Aeroplane) { a.Area = 0 }, "polar": func(a *Aeroplane) { a.Polar = nil },
		"greatest lift": func(a *Aeroplane) { a.MaxLift = math.NaN() }, "fuel": func(a *Aeroplane) { a.Fuel = 1e4 }, "battery": func(a *Aeroplane) { a.Battery = -1 },
	}
	doors := map[string]func(Aeroplane) error{
		"Point": func(a Aeroplane) error { _, err := a.Point(air, 50); return err }, "Level": func(a Aeroplane) error { _, err := a.Level(air, 50); return err },
		"Climb": func(a Aeroplane) error { _, err := a.Climb(air, 50); return err }, "Glide": func(a Aeroplane) error { _, err := a.Glide(air, 50); return err },
		"Speeds": func(a Aeroplane) error { _, err := a.Speeds(air); return err }, "Fastest": func(a Aeroplane) error { _, err := a.Fastest(air); return err },
		"TopSpeed": func(a Aeroplane) error { _, err := a.TopSpeed(air); return err }, "Ceiling": func(a Aeroplane) error { _, err := a.Ceiling(atmos.Day{}, 0); return err },
		"TurnAt": func(a Aeroplane) error { _, err := a.TurnAt(air, 50, 0.5); return err }, "Fly": func(a Aeroplane) error { _, err := a.Fly(mission()); return err },
		"TakeOff": func(a Aeroplane) error { _, err := a.TakeOff(TakeOff{Runway: Runway{Air: air}}); return err },
		"Land":    func(a Aeroplane) error { _, err := a.Land(Landing{Runway: Runway{Air: air}}); return err },
		"LD":      func(a Aeroplane) error { _, _, err := a.LiftToDrag(); return err },
	}
	for door, call := range doors {
		if err := call(light()); err != nil {
			t.Errorf("%s: %v", door, err)
		}
		for what, spoil := range bad {
			a := light()
			spoil(&a)
			if err := call(a); err == nil || !strings.Contains(err.Error(), what) {
				t.Errorf("%s with bad %s: %v", door, what, err)
			}
		}
	}
	a := light()
	var out *unit.RangeError
	if _, err := a.Level(air, 330); !errors.As(err, &out) || out.Arg != "Mach number" {
		t.Errorf("Mach 0.97: %v", err)
	}
	a.Polar = drag.Parabola{CD0: -0.1, K: 0.04}
	var polar *PolarError
	if _, err := a.Level(air, 60); !errors.As(err, &polar) {
		t.Errorf("negative drag: %v", err)
	}
}

// TestPlants holds that asking for the thrust of full throttle takes full throttle, and errors for what is not there.
func TestPlants(t *testing.T) {
	air := airAt(t, 1000)
	sedge, _ := described(t, aircraft.Sedge())
	for name, p := range map[string]Propulsion{
		"constant": Propeller{Power: 85e3, Efficiency: 0.8, Consumption: 1e-7}, "disc": Propeller{Power: 85e3, Efficiency: 0.85, Diameter: 1.7, Consumption: 1e-7},
		"electric": Electric{Power: 85e3, Efficiency: 0.85, Diameter: 1.7, Drive: 0.9}, "jet": Jet{Thrust: 1500, Consumption: 1e-5}, "driven": sedge.Propulsion,
	} {
		full := must[Output](t)(p.Full(air, 50))
		same := must[Output](t)(p.For(air, 50, full.Thrust*(1-1e-12)))
		near(t, name+" shaft", same.Shaft+1, full.Shaft+1, 1e-6)
		near(t, name+" taken", same.taken(), full.taken(), 1e-6)
		half := must[Output](t)(p.For(air, 50, full.Thrust/2))
		if half.taken() >= 0.7*full.taken() || half.taken() <= 0 {
			t.Errorf("%s: half the thrust takes %.3g of %.3g", name, half.taken(), full.taken())
		}
		var more *ThrustError
		if _, err := p.For(air, 50, 1.1*full.Thrust); !errors.As(err, &more) {
			t.Errorf("%s: more than full: %v", name, err)
		}
	}
	if idle := must[Output](t)(sedge.Propulsion.(Idler).Idle(air, 50)); idle.Thrust >= 0 || idle.Fuel != 0 {
		t.Errorf("closed throttle: %+v", idle)
	}
	var positive *unit.PositiveError
	if _, err := (Propeller{Power: 85e3, Efficiency: 0.8}).Full(air, 0); !errors.As(err, &positive) {
		t.Errorf("at rest without a disc: %v", err)
	}
	if _, err := (Driven{}).Full(air, 50); err == nil {
		t.Error("no engine")
	}
}

func TestMeasured(t *testing.T) {
	a := light()
	points := must[[]Measured](t)(ReadMeasured(strings.NewReader(`# climbs and glides
altitude [ft], EAS [kt], mass [kg], climb [ft/min], sink [m/s], power [hp], fuel [kg/h], offset [K]
3000, 80, 700, 1000, , , , 5
3000, 80, , , 2.0, 60, 14, 0
`)))
	r := must[[]Residual](t)(a.Residuals(points))
	if len(r) != 4 || r[0].Name != "climb" || r[3].Name != "fuel" || points[1].Line != 4 {
		t.Fatalf("residuals %+v", r)
	}
	warm := must[atmos.Air](t)(atmos.OffStandard(3000*unit.Foot, 5))
	lighter := a
	lighter.Mass = 700
	f := must[Flight](t)(lighter.Climb(warm, warm.TrueFromEquivalent(80*unit.Knot)))
	near(t, "climb", r[0].Difference(), 1000*unit.FootPerMinute-f.Rate, 1e-12)
	if r[1].Computed <= 0 || r[2].Computed <= 0 {
		t.Errorf("sink %.3g, power %.3g", r[1].Computed, r[2].Computed)
	}
	for text, want := range map[string]string{
		"": "no header", "EAS [kt],climb [m/s]\n": "no column altitude", "altitude [ft],EAS [kt]\n": "nothing to compare", "altitude [ft],EAS [kt],climb\n": "needs its unit",
		"altitude [ft],EAS [kt],EAS [kt]\n": "twice", "altitude [ft],V [kt],sink [m/s]\n": "not known",
		"altitude [ft],EAS [kt],sink [m/s]\n1,2,x\n": "line 2: sink", "altitude [ft],EAS [m],sink [m/s]\n1,2,3\n": "line 2: EAS",
	} {
		var file *FileError
		if _, err := ReadMeasured(strings.NewReader(text)); !errors.As(err, &file) || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, want %q", text, err, want)
		}
	}
	points[0].Speed = 20
	if _, err := a.Residuals(points); err == nil || !strings.Contains(err.Error(), "line 3") {
		t.Errorf("below the stall: %v", err)
	}
}

// known keeps what tests share of the invented aeroplanes, which takes a second each.
var known = map[string]func() (Aeroplane, Ground){}

// described returns an invented aeroplane as it is, and on the ground.
func described(t testing.TB, a aircraft.Aircraft) (Aeroplane, Ground) {
	if known[a.Name] == nil {
		p := must[Aeroplane](t)(Of(a, Setup{}))
		ground := must[Ground](t)(GroundOf(a, Setup{MaxLift: p.MaxLift}))
		known[a.Name] = func() (Aeroplane, Ground) { return p, ground }
	}
	return known[a.Name]()
}

// TestFleet holds what a practitioner would expect of the invented aeroplanes, which all have 85 kW.
func TestFleet(t *testing.T) {
	air := airAt(t, 0)
	for _, a := range aircraft.Fleet() {
		p, ground := described(t, a)
		_, LD, err := p.LiftToDrag()
		climb, top := must[Flight](t)(p.Fastest(air)).Rate/unit.FootPerMinute, must[Flight](t)(p.TopSpeed(air)).Speed/unit.Knot
		field := TakeOff{Runway: Runway{Air: air}, Ground: ground}
		off := must[Field](t)(p.TakeOff(field)).Sum().Distance
		on := must[Field](t)(p.Land(Landing{Runway: field.Runway, Ground: ground})).Sum().Distance
		t.Logf("%s: CLmax %.2f, L/D %.1f, climb %.0f ft/min, top %.0f kt, take-off %.0f m, landing %.0f m", a.Name, p.MaxLift, LD, climb, top, off, on)
		if err != nil || LD < 10 || LD > 20 || climb < 700 || climb > 1800 || top < 120 || top > 180 || off < 250 || off > 700 || on < 400 || on > 900 {
			t.Errorf("%s is out of the ordinary (%v)", a.Name, err)
		}
		if p.Fuel == 0 {
			t.Errorf("%s has no fuel", a.Name)
		}
	}
}

// TestTrimmedLift holds what less greatest lift in trim costs: ground distances go about with its inverse.
func TestTrimmedLift(t *testing.T) {
	a, air := light(), airAt(t, 0)
	run := func(CL unit.Coefficient) unit.Length {
		a.MaxLift = CL
		return must[Field](t)(a.TakeOff(TakeOff{Runway: Runway{Air: air}})).GroundRun()
	}
	if ratio := run(1.05) / run(1.4); ratio < 1.4/1.05 || ratio > 1.15*1.4/1.05 {
		t.Errorf("a quarter less lift: run %.3f times as long", ratio)
	}
}

func BenchmarkMission(b *testing.B) {
	a := light()
	for b.Loop() {
		if _, err := a.Fly(mission()); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkMissionDriven(b *testing.B) {
	a := must[Aeroplane](b)(Of(aircraft.Sedge(), Setup{}))
	for b.Loop() {
		if _, err := a.Fly(mission()); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkTakeOff(b *testing.B) {
	a, ground := must[Aeroplane](b)(Of(aircraft.Sedge(), Setup{})), must[Ground](b)(GroundOf(aircraft.Sedge(), Setup{}))
	for b.Loop() {
		if _, err := a.TakeOff(TakeOff{Runway: Runway{Air: airAt(b, 0)}, Ground: ground}); err != nil {
			b.Fatal(err)
		}
	}
}
