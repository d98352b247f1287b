package prop

import (
	"math"
	"strings"
	"testing"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/section"
	"foreplane/aerolib/unit"
)

// TestLinear holds the lift line, the parabola of drag, friction, compressibility and the drag rise at points worked out by hand.
func TestLinear(t *testing.T) {
	s := Linear{LiftSlope: 6, ZeroLift: -0.1, MaxLift: 1.4, MinLift: -0.8, MinDrag: 0.01, DragLift: 0.4, DragRise: 0.02, Thickness: 0.12}
	cl, cd := s.At(1e6, 0)(0.05)
	near(t, "cl", cl, 0.9, 1e-12)
	near(t, "cd", cd, 0.01+0.02*0.25, 1e-12)
	_, rough := s.At(1e5, 0)(-0.1 + 0.4/6)
	near(t, "cd at a low Reynolds number", rough, 0.01*math.Pow(10, 0.2), 1e-12)
	cl, _ = s.At(1e6, 0.6)(0)
	near(t, "cl at Mach 0.6", cl, 0.6/0.8, 1e-12)
	cl, cd = s.At(1e6, 0.8)(-0.1)
	near(t, "cl of nothing at Mach 0.8", cl, 0, 1e-12)
	near(t, "its drag", cd, 0.01+0.02*0.16+20*math.Pow(0.8-(0.87-0.12)+math.Cbrt(0.1/80), 4), 1e-12)
	cl, _ = s.At(1e6, 0.95)(-0.05)
	near(t, "cl beyond the divergence", cl, 0.3/math.Sqrt(1-0.7*0.7), 1e-12)
}

// TestStall holds that lift and drag go on without a jump at both stalls, that the section falls off, and what it does across the air: cd 1.25.
func TestStall(t *testing.T) {
	s := FlatFaced(0.12)
	at := s.At(1e6, 0)
	for _, end := range []unit.Coefficient{s.MaxLift, s.MinLift} {
		alpha := s.ZeroLift + end/s.LiftSlope
		a, da := at(alpha - 1e-9)
		b, db := at(alpha + 1e-9)
		near(t, "lift at the stall", a, end, 1e-6)
		near(t, "the jump of lift", b-a, 0, 1e-6)
		near(t, "the jump of drag", db-da, 0, 1e-6)
	}
	peak, _ := at(s.ZeroLift + s.MaxLift/s.LiftSlope)
	if deep, drag := at(25 * unit.Degree); !(0.6*peak < deep && deep < 0.9*peak && drag > 0.1) {
		t.Errorf("at 25° cl %g of %g, cd %g", deep, peak, drag)
	}
	sin, cos := math.Sincos(math.Pi/2 - 0.1)
	tip := s.MaxLift / s.LiftSlope
	a := (s.MaxLift - 1.25*math.Sin(tip)*math.Cos(tip)) * math.Sin(tip) / (math.Cos(tip) * math.Cos(tip))
	cl, _ := at(math.Pi/2 - 0.1 + s.ZeroLift)
	near(t, "cl nearly across", cl, 1.25*sin*cos+a*cos*cos/sin, 1e-12)
	if _, cd := at(math.Pi/2 + s.ZeroLift); math.Abs(cd-1.25) > 1e-9 {
		t.Errorf("across the air cd is %g", cd)
	}
}

// TestFlatFaced holds numbers of common sections: zero lift of the one of 11.7 % near −5.5° from its flat side, cd near 0.01 (Clark Y, recalled), and a round shank that
// lifts little and drags much.
func TestFlatFaced(t *testing.T) {
	s := FlatFaced(0.117)
	near(t, "zero lift", s.ZeroLift/unit.Degree, -5.5, 0.1)
	near(t, "least drag", s.MinDrag, 0.01, 0.001)
	near(t, "the section of a fourth", FlatFaced(0.25).MaxLift, 1.5-10*0.13*0.13, 1e-12)
	near(t, "half of a shank", FlatFaced(0.475).DragLift, 3.3*0.25/2, 1e-12)
	if shank := FlatFaced(1); !(shank.MinDrag > 0.3 && shank.MaxLift < 0.35 && shank.LiftSlope < 1.3 && shank.ZeroLift > -3*unit.Degree) {
		t.Errorf("shank %+v", shank)
	}
}

// TestFromPolar holds that a polar comes back between and at its samples, lifts more with the Mach number, and goes on to ±90°.
func TestFromPolar(t *testing.T) {
	var samples []section.Sample
	for deg := -10.0; deg <= 14; deg += 2 {
		samples = append(samples, section.Sample{Alpha: deg * unit.Degree, CL: 0.1 * deg, CD: 0.01})
	}
	p, err := section.NewPolar("straight", 1e6, samples)
	if err != nil {
		t.Fatal(err)
	}
	s, err := FromPolar(p, 0.1)
	if err != nil {
		t.Fatal(err)
	}
	for _, deg := range []float64{-10, -3, 0, 5, 14} {
		cl, cd := s.At(1e6, 0)(deg * unit.Degree)
		near(t, "cl", cl, 0.1*deg, 1e-9)
		near(t, "cd", cd, 0.01, 1e-9)
	}
	cl, _ := s.At(1e6, 0.6)(5 * unit.Degree)
	near(t, "cl at Mach 0.6", cl, 0.5/0.8, 1e-9)
	if cl, cd := s.At(1e6, 0)(89 * unit.Degree); !(math.Abs(cl) < 0.2 && cd > 1.5) {
		t.Errorf("across the air cl %g, cd %g", cl, cd)
	}
	own := standard(t, 2, 100)
	own.Section = s
	if a := solved(t, own, Flow{V: 50, Rotation: 40, Pitch: 0.4}); !(a.Thrust > 0 && a.Elements[10].CD < 0.02) {
		t.Errorf("%+v", a)
	}
	for want, err := range map[string]error{
		"thickness over chord is 0.9": second(FromPolar(p, 0.9)),
		"it has no samples":           second(FromPolar(section.Polar{}, 0.1)),
	} {
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v, want %q", err, want)
		}
	}
}

// TestOf holds that blades that a plant describes are taken as they are.
func TestOf(t *testing.T) {
	plant := aircraft.Plant{Name: "own", Diameter: 2, Blades: 3, Spinner: 0.3, Blade: []aircraft.BladeStation{{Radius: 0.2, Chord: 0.06, Twist: 0.3, Thickness: 0.2}, {Radius: 1, Chord: 0.04, Twist: -0.1, Thickness: 0.08}}}
	p, err := Of(plant)
	if err != nil {
		t.Fatal(err)
	}
	if s := p.at(0.6); math.Abs(s.Chord-0.05) > 1e-12 || math.Abs(s.Twist-0.1) > 1e-12 || math.Abs(s.Thickness-0.14) > 1e-12 || s.Radius != 0.6 || p.Spinner != 0.3 {
		t.Errorf("%+v", s)
	}
	if s := p.at(0.1); s.Chord != 0.06 || s.Radius != 0.1 {
		t.Errorf("inside of the root %+v", s)
	}
	p.Stations = p.Stations[:1]
	if s := p.at(0.9); s.Chord != 0.06 || s.Radius != 0.9 {
		t.Errorf("beyond the last station %+v", s)
	}
	for want, change := range map[string]func(*aircraft.Plant){
		"radius of a blade station is 0.2": func(p *aircraft.Plant) { p.Blade[0].Radius, p.Blade[1].Radius = 0.4, 0.2 },
		"chord of a blade station":         func(p *aircraft.Plant) { p.Blade[0].Chord = 2 },
		"twist of a blade station":         func(p *aircraft.Plant) { p.Blade[0].Twist = 2 },
		"thickness of a blade station":     func(p *aircraft.Plant) { p.Blade[0].Thickness = -1 },
		"the blade has 1 stations":         func(p *aircraft.Plant) { p.Blade = p.Blade[:1] },
		"spinner diameter is 3":            func(p *aircraft.Plant) { p.Spinner = 3 },
	} {
		broken := plant
		broken.Blade = append([]aircraft.BladeStation(nil), plant.Blade...)
		change(&broken)
		if _, err := Of(broken); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v, want %q", err, want)
		}
	}
	if p, err := Of(aircraft.Plant{Diameter: 2, Blades: 2}); err != nil || math.Abs(p.ActivityFactor()-100) > 1e-9 {
		t.Errorf("%g, %v", p.ActivityFactor(), err)
	}
}
