package trim

import (
	"errors"
	"math"
	"strings"
	"testing"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/unit"
)

// TestUnstickMoments: the terms are those of statics, taken apart by hand, and cancel at the unstick speed.
func TestUnstickMoments(t *testing.T) {
	for _, a := range aircraft.Fleet() {
		c := seaLevel(t)
		r := need[Rotation](t)(FindUnstick(a, c, Roll{}))
		if size := a.Weight() * 0.3; math.Abs(r.Moment()) > 1e-6*size {
			t.Errorf("%s: moment %v N m left", a.Name, r.Moment())
		}
		terms := map[string]float64{}
		for _, term := range r.Terms {
			terms[term.Name] = term.Moment
		}
		wheel, height := need[aircraft.Wheel](t)(mainWheel(a)), 0.0
		height = a.CGHeight - wheel.Z
		for name, want := range map[string]float64{
			"weight":  a.Weight() * (a.CG - wheel.X),
			"inertia": a.Mass * r.Acceleration * height,
			"thrust":  -r.Thrust * (a.Plants[0].Z - wheel.Z),
		} {
			if math.Abs(terms[name]-want) > 1e-6*math.Abs(want) {
				t.Errorf("%s: %s %v, want %v", a.Name, name, terms[name], want)
			}
		}
		if terms["weight"] >= 0 || terms["inertia"] <= 0 || terms["thrust"] >= 0 || terms["drag without lift"] <= 0 {
			t.Errorf("%s: %v", a.Name, terms)
		}
		stand := need[aircraft.Stance](t)(a.Stand())
		if share := -terms["weight"] / (a.Weight() * stand.Wheelbase); math.Abs(share-stand.Share) > 1e-9 {
			t.Errorf("%s: the nose wheel bears %.4f at rest, want %.4f", a.Name, share, stand.Share)
		}
		small := map[bool]string{true: "foreplane", false: "tailplane"}
		for role := range small {
			name := small[role]
			if v, ok := terms[name]; ok && v <= 0 {
				t.Errorf("%s: the %s gives %v N m", a.Name, name, v)
			}
		}
	}
}

// TestUnstickForces: acceleration is thrust less drag and friction over mass.
func TestUnstickForces(t *testing.T) {
	a, c := aircraft.Bracken(), seaLevel(t)
	m := need[*StallModel](t)(NewStallModel(a, StallSettings{}))
	const area, thrust, mu = 0.3, 1500.0, 0.05
	roll := Roll{Friction: mu, Resistance: area, Thrust: func(unit.TrueAirspeed) (unit.Force, error) { return thrust, nil }}
	k := need[*roller](t)(m.newRoller(c, a.CG, roll))
	r := need[Rotation](t)(k.attempt(20))
	q := c.Air.DynamicPressure(20)
	f := forces(k.streams, k.turned(k.streams, 0, r.Deflection))
	want := (thrust - q*(area+f.induced) - mu*(a.Weight()-r.Lift)) / a.Mass
	if math.Abs(r.Acceleration-want) > 1e-9 || f.induced <= 0 {
		t.Errorf("acceleration %v, want %v", r.Acceleration, want)
	}
	if r.Thrust != thrust || r.Speed != 20 {
		t.Errorf("%+v", r)
	}
}

// TestUnstickMoves: what holds the nose down raises the unstick speed.
func TestUnstickMoves(t *testing.T) {
	a, c := aircraft.Sedge(), seaLevel(t)
	speed := func(a aircraft.Aircraft, r Roll) float64 { return need[Rotation](t)(FindUnstick(a, c, r)).Speed }
	usual := speed(a, Roll{})
	changed := func(change func(*aircraft.Aircraft)) float64 {
		b := a.Clone()
		change(&b)
		return speed(b, Roll{})
	}
	for what, v := range map[string]float64{
		"CG ahead":           changed(func(a *aircraft.Aircraft) { a.CG -= 0.1 }),
		"thrust line higher": changed(func(a *aircraft.Aircraft) { a.Plants[0].Z += 0.2 }),
		"wheels further aft": changed(func(a *aircraft.Aircraft) { a.Wheels[1].X += 0.1 }),
		"less foreplane": changed(func(a *aircraft.Aircraft) {
			a.Surfaces[1].Stations[1].Chord, a.Surfaces[1].Stations[0].Chord = 0.4, 0.5
		}),
		"rougher ground": speed(a, Roll{Friction: 0.1}),
		"lower CG":       changed(func(a *aircraft.Aircraft) { a.CGHeight -= 0.3 }),
	} {
		if v <= usual {
			t.Errorf("%s: %.2f m/s, was %.2f", what, v, usual)
		}
	}
	level := need[Rotation](t)(FindUnstick(a, c, Roll{}))
	low := changed(func(a *aircraft.Aircraft) { a.Plants[0].Z -= 0.1 })
	if by := 1 - low/level.Speed; by < 0.02 || by > 0.06 {
		t.Errorf("a thrust line lower by 0.1 m lowers it by %.3f", by)
	}
	c.Omit.ThrustLine = true
	var rises *RotationError
	if _, err := FindUnstick(a, c, Roll{}); !errors.As(err, &rises) || !strings.Contains(err.Error(), "alone raise the nose") || !strings.Contains(rises.At.Caution, "thrust line") {
		t.Errorf("without the moment of thrust: %v", err)
	}
}

// TestHeld: the section of the surface that trims ends what its control gives, at rest and rolling.
func TestHeld(t *testing.T) {
	a, c := aircraft.Sedge(), seaLevel(t)
	free := need[Rotation](t)(FindUnstick(a, c, Roll{}))
	for i := range a.Surfaces[1].Stations {
		a.Surfaces[1].Stations[i].Section.MaxLift = 4
	}
	stop := need[Rotation](t)(FindUnstick(a, c, Roll{}))
	if !free.Held || stop.Held || math.Abs(stop.Deflection-a.Surfaces[1].Controls[0].Max) > 1e-12 || stop.Speed >= free.Speed {
		t.Errorf("held %v at %.3f, %v at %.3f", free.Held, free.Deflection, stop.Held, stop.Deflection)
	}
}

func TestDiscThrust(t *testing.T) {
	air := seaLevel(t).Air
	p := aircraft.Plant{Power: 85e3, Diameter: 1.7}
	still := need[float64](t)(DiscThrust(p, air, 0))
	if want := math.Cbrt(2 * air.Density * p.DiscArea() * math.Pow(0.8*p.Power, 2)); math.Abs(still/want-1) > 1e-9 {
		t.Errorf("at rest %v, want (2ρAP²)^⅓ = %v", still, want)
	}
	at := need[float64](t)(DiscThrust(p, air, 40))
	v := (math.Sqrt(40*40+2*at/(air.Density*p.DiscArea())) - 40) / 2
	if power := at * (40 + v); math.Abs(power/(0.8*p.Power)-1) > 1e-9 {
		t.Errorf("at 40 m/s it takes %v W", power)
	}
	for want, bad := range map[string]func() (float64, error){
		"diameter": func() (float64, error) { return DiscThrust(aircraft.Plant{Power: 1}, air, 0) },
		"airspeed": func() (float64, error) { return DiscThrust(p, air, -1) },
		"power":    func() (float64, error) { return DiscThrust(aircraft.Plant{Power: math.NaN(), Diameter: 1}, air, 0) },
	} {
		if _, err := bad(); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("error %v, want %q", err, want)
		}
	}
}

func TestUnstickErrors(t *testing.T) {
	a, c := aircraft.Bracken(), seaLevel(t)
	var never *RotationError
	weak := withCG(a, a.CG-1)
	weak.Surfaces[1].Controls[0].Min = -1 * unit.Degree
	if _, err := FindUnstick(weak, c, Roll{}); !errors.As(err, &never) || !strings.Contains(err.Error(), "does not raise its nose") {
		t.Errorf("far ahead: %v", err)
	}
	a = aircraft.Bracken()
	tail := a.Clone()
	tail.Wheels[0].X = 6
	if _, err := FindUnstick(tail, c, Roll{}); err == nil || !strings.Contains(err.Error(), "no wheel ahead") {
		t.Errorf("tail wheel: %v", err)
	}
	tail.Wheels = nil
	if _, err := FindUnstick(tail, c, Roll{}); err == nil || !strings.Contains(err.Error(), "no main wheels") {
		t.Errorf("no wheels: %v", err)
	}
	if _, err := FindUnstick(a, c, Roll{Friction: 2}); err == nil || !strings.Contains(err.Error(), "friction") {
		t.Errorf("friction: %v", err)
	}
}
