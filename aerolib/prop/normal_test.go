package prop

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/atmos"
	"foreplane/aerolib/unit"
)

func seaLevel(t testing.TB) atmos.Air {
	t.Helper()
	air, err := atmos.Standard(0)
	if err != nil {
		t.Fatal(err)
	}
	return air
}

func normal(t testing.TB, p Propeller, V unit.TrueAirspeed, thrust unit.Force) NormalForce {
	t.Helper()
	n, err := p.NormalForce(seaLevel(t), V, 40, thrust)
	if err != nil {
		t.Fatal(err)
	}
	return n
}

func standard(t testing.TB, blades, activity unit.Ratio) Propeller {
	t.Helper()
	p, err := Standard("test", 1.8, blades, activity)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// paddle is a blade of even chord and angle from 0.2 R to the tip, for which the integrals are elementary.
func paddle(blades, chord unit.Ratio) Propeller {
	return Propeller{Diameter: 2, Blades: blades, Stations: []Station{{Radius: 0.2, Chord: chord}, {Radius: 1, Chord: chord}}}
}

// TestNormalForcePaddle compares with the formula worked out by hand for an even blade without thrust, where a = 0 and the blade angle is that of the flow.
func TestNormalForcePaddle(t *testing.T) {
	const blades, chord, v, n = 3, 0.06, 60.0, 35.0
	got, err := paddle(blades, chord).NormalForce(seaLevel(t), v, n, 0)
	if err != nil {
		t.Fatal(err)
	}
	beta := math.Atan(v / (2 * math.Pi * n * 0.75))
	k := blades * 0.95 * 2 * chord
	sin, cos := math.Sincos(beta)
	i1, i2, i3 := k*0.8*sin, k*(1-0.04)/2*cos, k*(1-0.008)/3*cos*cos/sin
	c := i1 - i2*i2/(1+i3)
	want := c / (1 + 0.4*c)
	if math.Abs(got.CNAlpha-want) > 1e-9 || math.Abs(got.Pitch-beta) > 1e-12 || got.Inflow != 0 {
		t.Errorf("CNα %.6f at %.4f rad, a %g; want %.6f at %.4f", got.CNAlpha, got.Pitch, got.Inflow, want, beta)
	}
	area, q := math.Pi, 0.5*1.225*v*v
	if slope := q * area * want; math.Abs(got.Slope/slope-1) > 1e-4 {
		t.Errorf("slope %g, want %g", got.Slope, slope)
	}
	if couple := q * area * i2 / (1 + i3) / (1 + 0.4*c); math.Abs(got.Couple/couple-1) > 1e-4 {
		t.Errorf("couple %g, want %g", got.Couple, couple)
	}
}

// TestNormalForcePitch holds the blade angle that a thrust needs, worked out for an even blade by sums.
func TestNormalForcePitch(t *testing.T) {
	const thrust, v, n = 800.0, 50.0, 35.0
	got, err := paddle(2, 0.06).NormalForce(seaLevel(t), v, n, thrust)
	if err != nil {
		t.Fatal(err)
	}
	u, lift := v*(1+got.Inflow), 0.0
	for k := range 4000 {
		r := 0.2 + 0.8*(float64(k)+0.5)/4000
		lift += 0.5 * 1.225 * 2 * 0.12 * 2 * math.Pi * n * r * math.Hypot(u, 2*math.Pi*n*r) * 0.8 / 4000
	}
	if want := math.Atan(u/(2*math.Pi*n*0.75)) + thrust/lift/(0.95*2*math.Pi); math.Abs(got.Pitch-want) > 1e-4 {
		t.Errorf("pitch %g, want %g", got.Pitch, want)
	}
}

// TestYawInflow holds f(a) at values worked out by hand.
func TestYawInflow(t *testing.T) {
	for a, want := range map[unit.Ratio]unit.Ratio{0: 1, 0.5: 1.5 * 5.5 / 5, -0.1: 0.9 * (0.9 + 0.64) / 1.64} {
		if got := yawInflow(a); math.Abs(got-want) > 1e-12 {
			t.Errorf("f(%g) = %g, want %g", a, got, want)
		}
	}
}

// TestNormalForceTrends holds what [TR819] says in words: more blades, larger blade angles and thrust all add to the force, a fin of the side area with an
// aspect ratio of 8 is near it, and without blades there is none.
func TestNormalForceTrends(t *testing.T) {
	two, three := standard(t, 2, 100), standard(t, 3, 100)
	if a, b := normal(t, two, 60, 0), normal(t, three, 60, 0); !(0 < a.CNAlpha && a.CNAlpha < b.CNAlpha && b.CNAlpha < 1.5*a.CNAlpha) {
		t.Errorf("two blades %.4f, three %.4f", a.CNAlpha, b.CNAlpha)
	}
	if a, b := normal(t, two, 40, 0), normal(t, two, 80, 0); !(a.CNAlpha < b.CNAlpha) {
		t.Errorf("%.4f at 40 m/s, %.4f at 80 m/s", a.CNAlpha, b.CNAlpha)
	}
	if a, b := normal(t, two, 60, 0), normal(t, two, 60, 1000); !(a.CNAlpha < b.CNAlpha) {
		t.Errorf("%.4f without thrust, %.4f with", a.CNAlpha, b.CNAlpha)
	}
	with := two
	with.Spinner = 0.3
	if a, b := normal(t, two, 60, 0), normal(t, with, 60, 0); !(1.05 < b.CNAlpha/a.CNAlpha && b.CNAlpha/a.CNAlpha < 1.25) {
		t.Errorf("a spinner adds %.3f; published 1.14", b.CNAlpha/a.CNAlpha)
	}
	none := two
	none.Blades = 0
	if n := normal(t, none, 60, 1000); n != (NormalForce{}) {
		t.Errorf("no blades make %+v", n)
	}
}

// TestNormalForceFin compares with a fin of the blades' area seen from the side, of aspect ratio 8, which [TR819] calls the order of the force.
func TestNormalForceFin(t *testing.T) {
	for _, blades := range []unit.Ratio{2, 3, 4} {
		p := standard(t, blades, 100)
		n := normal(t, p, 70, 0)
		side := blades / 2 * p.Diameter * p.Diameter / 2 * p.along(func(s Station) float64 { return s.Chord * math.Sin(n.Pitch+s.Twist) })
		fin := 2 * math.Pi * 8 / (8 + 2) * side / p.DiscArea()
		if r := n.CNAlpha / fin; !(0.8 < r && r < 1.25) {
			t.Errorf("%g blades: CNα %.4f, the fin has %.4f", blades, n.CNAlpha, fin)
		}
	}
}

func TestPitchMoment(t *testing.T) {
	n := NormalForce{Slope: 500}
	if ahead, behind := n.PitchMoment(0.1, 2.6), n.PitchMoment(4.6, 3.4); ahead != 1250 || math.Abs(behind+600) > 1e-9 {
		t.Errorf("ahead %g, behind %g", ahead, behind)
	}
}

func TestNormalForceErrors(t *testing.T) {
	p, air := standard(t, 2, 100), seaLevel(t)
	for name, call := range map[string]func() error{
		"true airspeed":      func() error { _, err := p.NormalForce(air, 0, 40, 0); return err },
		"rotation":           func() error { _, err := p.NormalForce(air, 50, math.NaN(), 0); return err },
		"density":            func() error { _, err := p.NormalForce(atmos.Air{}, 50, 40, 0); return err },
		"thrust":             func() error { _, err := p.NormalForce(air, 50, 40, -1e5); return err },
		"thrust is NaN":      func() error { _, err := p.NormalForce(air, 50, 40, math.NaN()); return err },
		"blade angle":        func() error { _, err := p.NormalForce(air, 50, 40, 1e5); return err },
		"propeller diameter": func() error { _, err := Standard("x", 0, 2, 100); return err },
		"number of blades":   func() error { _, err := Standard("x", 1, -1, 100); return err },
		"activity factor":    func() error { _, err := Standard("x", 1, 2, 0); return err },
		"stations":           func() error { _, err := Propeller{Diameter: 1, Blades: 2}.NormalForce(air, 50, 40, 0); return err },
		"rotation ": func() error {
			plant := aircraft.Bracken().Plants[0]
			plant.Speed = 0
			_, err := NormalForceOf(plant, air, 50, 0)
			return err
		},
	} {
		if err := call(); err == nil || !strings.Contains(err.Error(), strings.TrimSpace(strings.Split(name, " is")[0])) {
			t.Errorf("%s: %v", name, err)
		}
	}
	var outside *unit.RangeError
	if _, err := Standard("x", 1, 41, 100); !errors.As(err, &outside) {
		t.Errorf("%v is no range error", err)
	}
}

func TestStandard(t *testing.T) {
	p := standard(t, 3, 120)
	if af := p.ActivityFactor(); math.Abs(af-120) > 1e-9 {
		t.Errorf("activity factor %g", af)
	}
	if af := paddle(2, 0.08).ActivityFactor(); math.Abs(af-1e5/16*0.08*(1-0.0016)/4) > 1e-9 {
		t.Errorf("activity factor of a paddle %g", af)
	}
	if s, want := paddle(2, 0.08).Solidity(), 2*0.08*2/(math.Pi*2*0.75); math.Abs(s-want) > 1e-12 {
		t.Errorf("solidity %g, want %g", s, want)
	}
}

func ExampleNormalForceOf() {
	air, _ := atmos.Standard(0)
	for _, a := range []aircraft.Aircraft{aircraft.Bracken(), aircraft.Sedge()} {
		plant := a.Plants[0]
		n, _ := NormalForceOf(plant, air, 60*unit.MetrePerSecond, 1000*unit.Newton)
		fmt.Printf("%s: %.0f N/rad, %.0f N m/rad about the CG\n", a.Name, n.Slope, n.PitchMoment(plant.X, a.CG))
	}
	// Output:
	// Bracken: 712 N/rad, 1623 N m/rad about the CG
	// Sedge: 836 N/rad, -1062 N m/rad about the CG
}
