package drag_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/drag"
	"foreplane/aerolib/unit"
)

// spindle is a body of circular sections: a nose, a straight part, and a cone whose keel rises by lift.
func spindle(tail, end, lift float64) aircraft.Body {
	return aircraft.Body{Name: "spindle", Stations: []aircraft.BodyStation{
		{X: 0}, {X: 1, Width: 1, Height: 1}, {X: 3, Width: 1, Height: 1}, {X: 3 + tail, Z: lift, Width: end, Height: end},
	}}
}

func closure(t testing.TB, b aircraft.Body, plants []aircraft.Plant, off bool) drag.Closure {
	t.Helper()
	return need[drag.Closure](t)(drag.CloseOf(b, plants, 0.05, 0.161, off))
}

// TestClosure: angles of a cone, and where the flow leaves it. Base drag by hand: 0.029·A·√(A/0.05), and 0.139·A at Mach 0.161.
func TestClosure(t *testing.T) {
	pusher := []aircraft.Plant{{X: 5.1, Diameter: 1.6, Pusher: true, Spinner: 0.25}}
	disc := math.Pi / 4
	for _, c := range []struct {
		name             string
		body             aircraft.Body
		plants           []aircraft.Plant
		off              bool
		steepest, mean   float64 // slopes
		limit            float64
		base, at         float64
		attached, leaves bool
	}{
		{"long cone", spindle(2, 0.2, 0), nil, false, 0.2, 0.2, 15, disc * 0.04, 5, true, false},
		{"rising keel", spindle(2, 0.2, 0.1), nil, false, 0.25, 0.2, 15, disc * 0.04, 5, true, false},
		{"falling top", spindle(2, 0.2, -0.1), nil, false, 0.25, 0.2, 15, disc * 0.04, 5, true, false},
		{"short cone", spindle(1, 0.2, 0), nil, false, 0.4, 0.4, 15, disc, 3, false, true},
		{"steep keel", spindle(2, 0.2, 0.2), nil, false, 0.3, 0.2, 15, disc, 3, false, true},
		{"spinner", spindle(2, 0.2, 0), pusher, false, 0.2, 0.2, 30, 0, 5, true, false},
		{"small spinner", spindle(2, 0.2, 0), []aircraft.Plant{{X: 5.1, Diameter: 1.6, Pusher: true, Spinner: 0.12}}, false, 0.2, 0.2, 30, disc * (0.04 - 0.0144), 5, true, false},
		{"drawn", spindle(2, 0, 0.2), pusher, false, 0.35, 0.25, 30, 0, 5, true, true},
		{"engine off", spindle(2, 0, 0.2), pusher, true, 0.35, 0.25, 15, disc, 3, false, true},
		{"propeller far behind", spindle(2, 0.2, 0), []aircraft.Plant{{X: 5.9, Diameter: 1.6, Pusher: true}}, false, 0.2, 0.2, 15, disc * 0.04, 5, true, false},
		{"propeller above", spindle(2, 0.2, 0), []aircraft.Plant{{X: 5.1, Z: 0.9, Diameter: 1.6, Pusher: true}}, false, 0.2, 0.2, 15, disc * 0.04, 5, true, false},
		{"propeller ahead of the end", spindle(2, 0.2, 0), []aircraft.Plant{{X: 4.9, Diameter: 1.6, Pusher: true}}, false, 0.2, 0.2, 15, disc * 0.04, 5, true, false},
		{"tractor", spindle(2, 0.2, 0), []aircraft.Plant{{X: 5.1, Diameter: 1.6}}, false, 0.2, 0.2, 15, disc * 0.04, 5, true, false},
	} {
		got := closure(t, c.body, c.plants, c.off)
		near(t, c.name+" steepest", math.Tan(got.Steepest), c.steepest, 1e-12)
		near(t, c.name+" mean", math.Tan(got.Mean), c.mean, 1e-12)
		near(t, c.name+" limit", got.Limit/unit.Degree, c.limit, 1e-12)
		near(t, c.name+" base", got.Base, c.base, 1e-12)
		near(t, c.name+" station of the base", got.BaseAt, c.at, 1e-12)
		near(t, c.name+" drag", got.Drag, 0.029*c.base*math.Sqrt(c.base/0.05), 1e-12)
		near(t, c.name+" drag by Raymer", got.DragOther, 0.139*c.base, 1e-12)
		near(t, c.name+" largest", got.Largest, 3, 0)
		separated := 0.0
		if c.leaves {
			separated = 0.029 * disc * math.Sqrt(disc/0.05)
		}
		near(t, c.name+" if separated", got.Separated, separated, 1e-12)
		if got.Attached != c.attached {
			t.Errorf("%s: attached %v", c.name, got.Attached)
		}
	}
	wide := spindle(2, 0.2, 0)
	wide.Stations[2].Width, wide.Stations[1].Width = 1.4, 1.4
	near(t, "sides", math.Tan(closure(t, wide, nil, false).Steepest), 0.3, 1e-12)
	fast := need[drag.Closure](t)(drag.CloseOf(spindle(2, 0.2, 0), nil, 0.05, 0.461, false))
	near(t, "base drag by Raymer at a Mach number", fast.DragOther, (0.139+0.419*0.09)*disc*0.04, 1e-12)
	blunt := spindle(2, 1.2, 0)
	if got := closure(t, blunt, nil, false); got.Steepest != 0 || got.Largest != 5 || math.Abs(got.Base-disc*1.44) > 1e-12 {
		t.Errorf("a body that does not close: %+v", got)
	}
	_, err := drag.CloseOf(blunt, nil, math.NaN(), 0, false)
	refused(t, err, "drag area of the spindle is NaN")
	for _, words := range [][2]string{
		{closure(t, spindle(1, 0.2, 0), nil, false).String(), "closes at 21.8° on the mean and 21.8° at the steepest, behind 3.00 m: above 15.00° the flow is taken to leave it at 3.00 m."},
		{closure(t, spindle(2, 0, 0.2), pusher, false).String(), "with the propeller drawing the flow is taken to follow, up to 30.0°; without, it would cost 0.0903 m² more."},
		{closure(t, spindle(2, 0.2, 0), nil, false).String(), "the flow is taken to follow, up to 15.00°."},
	} {
		if !strings.HasSuffix(words[0], words[1]) {
			t.Errorf("%q, want an end of %q", words[0], words[1])
		}
	}
}

// TestPair: a body with an image counts twice, a propeller behind it closes both.
func TestPair(t *testing.T) {
	f := cruise(t)
	a := aircraft.Sedge()
	one := build(t, a, f, drag.Options{})
	boom := spindle(2, 0.2, 0)
	a.Bodies = append(a.Bodies, boom)
	centred := build(t, a, f, drag.Options{})
	a.Bodies[1].Y = 1.2
	both := build(t, a, f, drag.Options{})
	for _, name := range []string{"spindle", "aft end of the spindle"} {
		single, double := need[drag.Item](t)(centred.Item(name)), need[drag.Item](t)(both.Item(name))
		near(t, name, double.CDA, 2*single.CDA, 1e-15)
		near(t, name+" wetted area", double.Wetted, 2*single.Wetted, 1e-12)
		if !(single.CDA > 0) {
			t.Errorf("%s has no drag", name)
		}
	}
	near(t, "the whole", both.Wetted-one.Wetted, 2*boom.WettedArea(), 0.3) // less what it covers of the wing
	behind := aircraft.Plant{X: 5.1, Y: -1.2, Diameter: 1.6, Pusher: true}
	boom.Y = 1.2
	if got := closure(t, boom, []aircraft.Plant{behind}, false); !got.Propeller {
		t.Error("the propeller behind the image does not count")
	}
}

// TestBodyLength: "a shorter body has less drag", with a body 1.15 m thick without its propeller. Skin by Raymer's factor, by Hoerner's, and by Hoerner's with the base that the
// flow leaves give three answers: least drag at 6.2 m (fineness 5.4, where the factor is outside its range), at 3.5 m (3.0), and where the aft body just closes within 15°.
func TestBodyLength(t *testing.T) {
	f := need[drag.Flight](t)(drag.At(0, 50*unit.MetrePerSecond))
	body := aircraft.Bracken().Bodies[0]
	for i := range body.Stations { // to a diameter of 1.15 m
		s := &body.Stations[i]
		s.Width, s.Height = s.Width*1.15/aircraft.Bracken().Bodies[0].Diameter(), s.Height*1.15/aircraft.Bracken().Bodies[0].Diameter()
	}
	var lengths []unit.Length
	for l := 3.0; l < 9; l += 0.1 {
		lengths = append(lengths, l)
	}
	sweep := need[[]drag.Stretch](t)(drag.Stretched(body, nil, lengths, f, drag.Options{Transition: drag.Transition{Turbulent: true}}))
	best := func(of func(drag.Stretch) float64) drag.Stretch {
		return slices.MinFunc(sweep, func(a, b drag.Stretch) int { return int(math.Copysign(1, of(a)-of(b))) })
	}
	raymer := best(func(s drag.Stretch) float64 { return s.Areas[0] })
	hoerner := best(func(s drag.Stretch) float64 { return s.Areas[1] })
	whole := best(func(s drag.Stretch) float64 { return s.Areas[1] + s.Closure.Drag })
	near(t, "fineness of least drag by Raymer", raymer.Fineness, 5.3, 0.2)
	near(t, "fineness of least drag by Hoerner", hoerner.Fineness, 3.0, 0.2)
	if raymer.Factors[0].Inside() || !hoerner.Factors[1].Inside() {
		t.Error("the ranges of the factors")
	}
	if !(whole.Closure.Attached && whole.Closure.Steepest < 15*unit.Degree && whole.Closure.Steepest > 14*unit.Degree) {
		t.Errorf("with its base it drags least at %g m, closing at %g°", whole.Length, whole.Closure.Steepest/unit.Degree)
	}
	at := func(l float64) drag.Stretch {
		return need[[]drag.Stretch](t)(drag.Stretched(body, nil, []unit.Length{l}, f, drag.Options{Transition: drag.Transition{Turbulent: true}}))[0]
	}
	long, short := at(7), at(5.5)
	t.Logf("from 7.0 to 5.5 m: %+.1f %% by Raymer, %+.1f %% by Hoerner", 100*(short.Areas[0]/long.Areas[0]-1), 100*(short.Areas[1]/long.Areas[1]-1))
	near(t, "from 7 to 5.5 m by Raymer", short.Areas[0]/long.Areas[0], 1, 0.01)
	near(t, "from 7 to 5.5 m by Hoerner", short.Areas[1]/long.Areas[1], 0.88, 0.01)
	if short, shorter := at(5), at(4); !(shorter.Areas[0] > 1.1*short.Areas[0] && shorter.Areas[1] < short.Areas[1]) {
		t.Errorf("from 5 to 4 m the verdicts agree: %v, %v", short.Areas, shorter.Areas)
	}
}

// TestStretched: at its own length a body has what the build-up has, and the propeller stays behind its end.
func TestStretched(t *testing.T) {
	f := cruise(t)
	for _, a := range aircraft.Fleet() {
		body := a.Bodies[0]
		s := need[[]drag.Stretch](t)(drag.Stretched(body, a.Plants, []unit.Length{body.Length(), 2 * body.Length()}, f, drag.Options{}))
		item := need[drag.Item](t)(build(t, a, f, drag.Options{}).Item("body"))
		near(t, a.Name+" skin", s[0].Areas[1], item.CDA, 1e-12)
		near(t, a.Name+" closure", s[0].Closure.Steepest, build(t, a, f, drag.Options{}).Closures[0].Steepest, 1e-12)
		near(t, a.Name+" slope of twice the length", math.Tan(s[1].Closure.Steepest), math.Tan(s[0].Closure.Steepest)/2, 1e-12)
		if s[1].Closure.Propeller != s[0].Closure.Propeller || s[0].Closure.Propeller != a.Plants[0].Pusher {
			t.Errorf("%s: a propeller behind the end: %v and %v", a.Name, s[0].Closure.Propeller, s[1].Closure.Propeller)
		}
	}
	behind := spindle(2, 0.2, 0)
	for i := range behind.Stations {
		behind.Stations[i].X += 2
	}
	pusher := []aircraft.Plant{{X: 7.1, Diameter: 1.6, Pusher: true}}
	far := need[[]drag.Stretch](t)(drag.Stretched(behind, pusher, []unit.Length{10}, f, drag.Options{}))[0]
	near(t, "largest section, of a nose that stays", far.Closure.Largest, 2+2*3, 1e-12)
	if !far.Closure.Propeller {
		t.Error("the propeller did not move with the end")
	}
	_, err := drag.Stretched(aircraft.Sedge().Bodies[0], nil, []unit.Length{5, -1}, f, drag.Options{})
	refused(t, err, "length is -1.000 m, must be above zero")
	_, err = drag.Stretched(aircraft.Sedge().Bodies[0], nil, []unit.Length{80}, f, drag.Options{})
	refused(t, err, "at 80.0 m", "fineness is 69.0, must be 1 to 50")
}
