package prop

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/atmos"
	"foreplane/aerolib/internal/reference"
	"foreplane/aerolib/unit"
)

func installed(t testing.TB, a aircraft.Aircraft) Installation {
	t.Helper()
	i, err := Install(a, a.Plants[0], seaLevel(t), 60)
	if err != nil {
		t.Fatal(err)
	}
	return i
}

func books(t testing.TB, i Installation, V unit.TrueAirspeed) Books {
	t.Helper()
	b, err := i.Books(seaLevel(t), V, 1)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// in puts the plant of Bracken in surroundings of one's own.
func in(t testing.TB, around Surroundings, change func(*aircraft.Plant)) Installation {
	t.Helper()
	plant := aircraft.Bracken().Plants[0]
	if change != nil {
		change(&plant)
	}
	i, err := InstallIn("test", plant, around)
	if err != nil {
		t.Fatal(err)
	}
	return i
}

// TestAlone holds that without an aeroplane every term of installation vanishes.
func TestAlone(t *testing.T) {
	i := in(t, Surroundings{}, nil)
	i.Cooling = Cooling{}
	b := books(t, i, 50)
	if b.Installed.Added != (Added{}) || b.Blockage != 0 || b.Wake != 0 || b.Installed.Unsteady != 0 || len(b.Installed.Surfaces) != 0 {
		t.Errorf("%+v", b.Installed)
	}
	near(t, "net thrust", b.Installed.Net, b.Free.Thrust, 1e-6*b.Free.Thrust)
	near(t, "net efficiency", b.Net, b.Free.Efficiency, 1e-6)
}

// TestOnlyWhatIsThere holds which terms bodies, wings and tails bring, each by itself.
func TestOnlyWhatIsThere(t *testing.T) {
	whole := installed(t, aircraft.Bracken()).Around
	for _, g := range []Group{BodyGroup, WingGroup, TailGroup} {
		var some Surroundings
		for _, p := range whole.Parts {
			if p.Group == g {
				some.Parts = append(some.Parts, p)
			}
		}
		added := books(t, in(t, some, nil), 50).Installed.Added
		if added.Deduction != 0 || (added.Body > 0) != (g == BodyGroup) || (added.Wing > 0) != (g == WingGroup) || (added.Tail > 0) != (g == TailGroup) {
			t.Errorf("%s brings %+v", g, added)
		}
	}
}

// TestRowsBalance holds that the rows add up, in their order, and that no row is a fixed part of the power.
func TestRowsBalance(t *testing.T) {
	want := "shaft power, induced, swirl, profile, tip and Mach, disc output, blockage or wake gain, thrust deduction, " +
		"scrubbing, body, scrubbing, wing, scrubbing, tail, cooling, net thrust power"
	for _, a := range aircraft.Fleet() {
		i := installed(t, a)
		before := map[string]unit.Ratio{}
		for _, v := range []unit.TrueAirspeed{30, 55, 75} {
			b := books(t, i, v)
			near(t, "what the rows leave", b.Unbalanced, 0, 1e-6)
			near(t, "net efficiency", b.Net, b.Rows[len(b.Rows)-1].Power/b.Rows[0].Power, 1e-12)
			near(t, "apparent efficiency", b.Apparent, b.Installed.Thrust*v/b.Installed.Power, 1e-12)
			near(t, "power of the propeller alone", b.Free.Power, b.Installed.Power, 1e-3)
			sum := 0.0
			var names []string
			for _, r := range b.Rows {
				names = append(names, r.Name)
				if r.Name == OutputRow {
					near(t, "disc output", r.Power, sum, 1e-6)
				} else {
					sum += r.Power
				}
				part := r.Power / b.Rows[0].Power
				if !r.Total && part != 0 && part == before[r.Name] {
					t.Errorf("%s: %s is %g of the power at two speeds", a.Name, r.Name, part)
				}
				before[r.Name] = part
			}
			if got := strings.Join(names, ", "); got != want {
				t.Errorf("rows %s", got)
			}
		}
	}
}

// TestSourceAtDisc compares the blockage of a source on the axis with its closed form: the part of its flow that meets the disc against the stream, over V and the area,
//
//	b = q (1 − d/√(d² + R²))/(2A) between the tips and the hub alike
func TestSourceAtDisc(t *testing.T) {
	i := in(t, Surroundings{Sources: []Source{{X: 0.7, Strength: 0.5}}}, func(p *aircraft.Plant) { p.Spinner = 0.3 })
	angle := func(r float64) float64 { return (1 - 0.7/math.Hypot(0.7, r)) / 2 }
	area := math.Pi * (0.875*0.875 - 0.175*0.175) // the blades begin at 0.2 R
	near(t, "blockage", i.Blockage(), 0.5*(angle(0.875)-angle(0.175))/area, 2e-4)
	ahead := in(t, Surroundings{Sources: []Source{{X: -0.7, Strength: 0.5}}}, nil)
	near(t, "the same ahead", ahead.Blockage(), -i.Blockage(), 1e-9)
}

// TestDeduction holds the reciprocity that the deduction leans on, by the sum it stands for: −ρV Σ q u with u the speed of the sinks 2v of the disc at the sources.
func TestDeduction(t *testing.T) {
	sources := []Source{{X: -1.5, Y: 0.2, Strength: 0.4}, {X: -0.6, Z: -0.3, Strength: -0.4}}
	i := in(t, Surroundings{Sources: sources}, nil)
	b := books(t, i, 50)
	v, sum := b.Installed.Slip.Added, 0.0
	const rings, points = 200, 200
	for _, q := range sources {
		u := 0.0
		for k := range rings {
			r := 0.175 + (0.875-0.175)*(float64(k)+0.5)/rings
			for j := range points {
				sin, cos := math.Sincos(2 * math.Pi * float64(j) / points)
				dx, dy, dz := 0-q.X, r*cos-q.Y, r*sin-q.Z
				u += 2 * v * dx / (4 * math.Pi * math.Pow(dx*dx+dy*dy+dz*dz, 1.5)) * 2 * math.Pi * r / points * 0.7 / rings
			}
		}
		sum -= seaLevel(t).Density * 50 * q.Strength * u
	}
	near(t, "deduction", b.Installed.Added.Deduction, sum, 0.005*sum)
}

// TestBlockageTrend compares with the rule that bodies behind propellers slow them by 0.33 of frontal area over D² (recalled, of Lock and Bateman for cowled engines), which
// counts blunt bodies close behind; ours are slender, so that a third to all of it is expected. A body of no size does nothing, and a tail further away does less.
func TestBlockageTrend(t *testing.T) {
	for _, a := range []aircraft.Aircraft{aircraft.Bracken(), aircraft.Yarrow()} {
		rule := 0.329 * a.Bodies[0].FrontalArea() / (a.Plants[0].Diameter * a.Plants[0].Diameter)
		if r := installed(t, a).Blockage() / rule; !(0.33 < r && r < 1) {
			t.Errorf("%s: blockage is %.2f of the rule", a.Name, r)
		}
	}
	a := aircraft.Bracken()
	before := installed(t, a).Blockage()
	a.Plants[0].X -= 0.4
	if after := installed(t, a).Blockage(); !(after < before) {
		t.Errorf("further ahead of the body %g, before %g", after, before)
	}
}

// TestSlim holds that blockage, deduction and scrubbing go with the size of the body, to nothing.
func TestSlim(t *testing.T) {
	a := aircraft.Bracken()
	thick := books(t, installed(t, a), 50).Installed.Added
	for k := range a.Bodies[0].Stations {
		s := &a.Bodies[0].Stations[k]
		s.Width, s.Height = s.Width/100, s.Height/100
	}
	thin := books(t, installed(t, a), 50).Installed.Added
	if !(thin.Body < 0.02*thick.Body && math.Abs(thin.Deduction) < 0.2*thick.Deduction) { // the wing still slows the flow
		t.Errorf("thick %+v, thin %+v", thick, thin)
	}
}

// TestTractorAgainstPusher holds the verdict of measurements in words: a tractor's slipstream scrubs body, wing and tail and costs some per cent more when it climbs;
// a pusher gains by the wake it takes in; each is a few per cent of the power.
func TestTractorAgainstPusher(t *testing.T) {
	bracken, sedge := installed(t, aircraft.Bracken()), installed(t, aircraft.Sedge())
	for _, v := range []unit.TrueAirspeed{40, 60} {
		b, s := books(t, bracken, v), books(t, sedge, v)
		scrub := func(x Books) unit.Ratio {
			a := x.Installed.Added
			return (a.Body + a.Wing + a.Tail) * v / x.Installed.Power
		}
		if tractor, pusher := scrub(b), scrub(s); !(0.01 < tractor && tractor < 0.06 && pusher < 0.003) {
			t.Errorf("at %g m/s scrubbing takes %.4f of the tractor, %.4f of the pusher", v, tractor, pusher)
		}
		if d := s.Net - b.Net; !(0 < d && d < 0.05) {
			t.Errorf("at %g m/s the pusher is better by %.3f", v, d)
		}
	}
	if w := sedge.WakeFraction(); !(0.005 < w && w < 0.06) || bracken.WakeFraction() != 0 {
		t.Errorf("wake fractions %g and %g", w, bracken.WakeFraction())
	}
	climb, cruise := books(t, bracken, 35).Installed.Added.Body/35/35, books(t, bracken, 65).Installed.Added.Body/65/65
	if !(climb > 3*cruise) {
		t.Errorf("body scrubbing over V²: %g in the climb, %g in cruise", climb, cruise)
	}
}

// TestWakeMomentum holds that the wakes have the momentum thickness they are made from, and that a wake brings what it slows: ΔT V about T w V for a little w.
func TestWakeMomentum(t *testing.T) {
	w := Sheet{Width: 1, Momentum: 0.006, Spread: 0.06}
	sum := 0.0
	for k := range 2000 {
		cos := math.Cos(math.Pi / 2 * ((float64(k)+0.5)/1000 - 1))
		d := w.depth() * cos * cos
		sum += d * (1 - d) * w.Spread / 1000
	}
	near(t, "momentum thickness", sum, 0.006, 1e-6)
	for _, radius := range []unit.Length{0, 0.2} {
		trail := Trail{Radius: radius, Momentum: 0.03}
		sum = 0
		for k := range 200000 {
			r := radius + (float64(k)+0.5)*1e-5
			d := trail.deficit(r)
			sum += d * (1 - d) * 2 * math.Pi * r * 1e-5
		}
		near(t, "momentum area", sum, 0.03, 3e-4)
	}
	i := in(t, Surroundings{Trails: []Trail{{Radius: 0.15, Momentum: 0.02}}}, nil)
	b := books(t, i, 60)
	gain := (b.Installed.Thrust - b.Free.Thrust) / b.Free.Thrust / b.Wake
	if !(0.4 < gain && gain < 1.2) {
		t.Errorf("a wake fraction of %.4f gives %.2f of it in thrust", b.Wake, gain)
	}
}

// TestSheetsAtDisc holds the wake fraction of a thin sheet across the disc: its displacement thickness times the length inside of the blades' ring, over the ring.
func TestSheetsAtDisc(t *testing.T) {
	w := Sheet{Width: 4, Z: 0.3, Momentum: 0.004, Spread: 0.05}
	i := in(t, Surroundings{Sheets: []Sheet{w}}, nil)
	length := 2 * math.Sqrt(0.875*0.875-0.3*0.3)
	near(t, "wake fraction", i.WakeFraction(), w.depth()*w.Spread*length/(math.Pi*(0.875*0.875-0.175*0.175)), 3e-4)
	b := books(t, i, 60)
	u, turning := 60+b.Installed.Slip.Added, math.Pi*b.Installed.Rotation*0.75*1.75
	kick := 0.95 * 2 * math.Pi * w.depth() * 60 * turning / (u*u + turning*turning)
	near(t, "unsteady lift", b.Installed.Unsteady, kick/(b.Installed.Thrust/(seaLevel(t).Density*i.Propeller.load(u, b.Installed.Rotation))), 1e-9)
	if !(b.Installed.Unsteady > 0.02) || !strings.Contains(strings.Join(b.Installed.Notes, " "), "passes the wake of a wing") {
		t.Errorf("%+v", b.Installed)
	}
}

// TestSpinner compares with case P8: large spinners help both, and the pusher more, whose blades otherwise work in the deepest wake at the hub. The arrangement is that of
// the test: a wing of 5 ft chord, a shaft fairing as thick as the spinner, propellers of 4 ft.
func TestSpinner(t *testing.T) {
	reference.Check(t, "P8", 0, func(c reference.Inputs) reference.Values {
		net := func(pusher bool, spinner unit.Length) unit.Ratio {
			plant := aircraft.Plant{Name: "model", Power: 8e3, Speed: 60, Diameter: c.Get("diameter"), Blades: c.Get("blades"), Spinner: spinner, Pusher: pusher, Pitch: 0.2, PitchHigh: 1}
			a := aircraft.Bracken()
			chord := c.Get("wing chord")
			wing := a.Surfaces[0]
			wing.Stations = append([]aircraft.Station(nil), wing.Stations...)
			for k := range wing.Stations {
				wing.Stations[k].X, wing.Stations[k].Chord, wing.Stations[k].Twist, wing.Stations[k].Z = 3, chord, 0, 0
			}
			a.Surfaces, a.Bodies = []aircraft.Surface{wing}, []aircraft.Body{{Name: "fairing", Stations: []aircraft.BodyStation{
				{X: 2.6, Width: spinner, Height: spinner}, {X: 3 + chord + 0.4, Width: spinner, Height: spinner},
			}}}
			plant.X = 2.55
			if pusher {
				plant.X = 3 + chord + 0.45
			}
			i, err := Install(a, plant, seaLevel(t), 45)
			if err != nil {
				t.Fatal(err)
			}
			i.Cooling = Cooling{}
			b, err := i.Books(seaLevel(t), 45, 1)
			if err != nil {
				t.Fatal(err)
			}
			t.Logf("pusher %v, spinner %.2f m: %.4f apparent, %.4f net", pusher, spinner, b.Apparent, b.Net)
			return b.Net
		}
		small, large := c.Get("small spinner"), c.Get("large spinner")
		tractor, pusher := net(false, large)-net(false, small), net(true, large)-net(true, small)
		more := 0.0
		if pusher > tractor {
			more = 1
		}
		return reference.Values{"the pusher gains more by the large spinner": more}
	})
}

// TestCooling holds the closed form of the cooling drag, that a tractor's costs less where the stream is slow, and that without heat there is none.
func TestCooling(t *testing.T) {
	i := in(t, Surroundings{}, func(p *aircraft.Plant) { p.Pusher = true })
	i.Cooling = Cooling{Heat: 0.5, Rise: 70, Drop: 1e3}
	b := books(t, i, 60)
	flow, rho := 0.5*b.Installed.Power/(1005*70), seaLevel(t).Density
	near(t, "cooling drag", b.Installed.Added.Cooling, flow*(60-math.Sqrt(3600-2000/rho)), 1e-6)
	slow := books(t, i, 25).Installed
	near(t, "with a fan", slow.Added.Cooling, flow*25+slow.Thrust/slow.Power*flow/rho*(1e3-0.5*rho*625)/0.5, 1e-6)
	if rest, first := books(t, i, 0).Installed, books(t, i, 0.1).Installed; math.Abs(rest.Net/first.Net-1) > 0.01 {
		t.Errorf("net thrust %g N at rest, %g N at 0.1 m/s", rest.Net, first.Net)
	}
	i.Plant.Pusher = false
	if tractor := books(t, i, 25).Installed; !(tractor.Added.Cooling < slow.Added.Cooling) {
		t.Errorf("tractor %g N, pusher %g N", tractor.Added.Cooling, slow.Added.Cooling)
	}
	i.Cooling.Rise = 0
	if _, err := i.At(seaLevel(t), 60, 1); err == nil || !strings.Contains(err.Error(), "rise of temperature is 0") {
		t.Error(err)
	}
}

// TestWetting holds the numbers that trim needs: the tail of a tractor stands in a fully developed slipstream, T/(qA) more dynamic pressure, that turns by the torque.
func TestWetting(t *testing.T) {
	b := books(t, installed(t, aircraft.Bracken()), 40)
	s := b.Installed
	names := map[string]Wetting{}
	for _, w := range s.Surfaces {
		names[w.Name] = w
	}
	tail := names["tailplane"]
	developed := 1 + s.Thrust/(seaLevel(t).DynamicPressure(40)*Disc{1.75}.Area())
	if !(0.3 < tail.Fraction && tail.Fraction < 0.8) || math.Abs(tail.Pressure/developed-1) > 0.02 {
		t.Errorf("tailplane %+v, developed %g", tail, developed)
	}
	momentum := 2 * math.Pi / 3 * math.Pow(0.875, 3) * seaLevel(t).Density * (40 + s.Slip.Added) * math.Tan(tail.Swirl) * s.Slip.Speed(5)
	if torque := s.Power / (2 * math.Pi * s.Rotation); math.Abs(momentum/torque-1) > 0.02 {
		t.Errorf("the swirl carries %g N m of %g", momentum, torque)
	}
	if w := names["wing"]; !(w.Pressure < tail.Pressure && w.Pressure > 1) {
		t.Errorf("wing %+v", w)
	}
	if s := books(t, installed(t, aircraft.Sedge()), 40).Installed.Surfaces; len(s) > 0 {
		t.Errorf("behind a pusher %+v", s)
	}
}

// TestInstalledFor holds that an installation stands in for its drive with its net thrust.
func TestInstalledFor(t *testing.T) {
	i := installed(t, aircraft.Bracken())
	o, err := i.For(seaLevel(t), 55, 800)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "net thrust", o.Thrust, 800, 1e-3)
	s, err := i.At(seaLevel(t), 55, o.Throttle)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "net thrust of its throttle", s.Net, 800, 1e-2)
	full, err := i.Thrust(seaLevel(t), 55)
	if err != nil || math.Abs(full.Thrust-books(t, i, 55).Installed.Net) > 1e-9 || !(full.FuelFlow > o.FuelFlow) {
		t.Errorf("%+v, %v", full, err)
	}
	if _, err := i.For(seaLevel(t), 55, 5000); err == nil {
		t.Error("5000 N were found")
	}
}

func TestInstallErrors(t *testing.T) {
	a, air := aircraft.Bracken(), seaLevel(t)
	i := installed(t, a)
	idle, err := i.At(air, 45, 0)
	if err != nil || !(idle.Net < idle.Thrust-0.1) && !(idle.Thrust < 0) {
		t.Errorf("%+v, %v", idle, err)
	}
	broken := a
	broken.Name = ""
	for want, err := range map[string]error{
		"must be above zero to be accounted for": second(i.Books(air, 45, 0)),
		"true airspeed is 0":                     second(Install(a, a.Plants[0], air, 0)),
		"needs a name":                           second(Install(broken, a.Plants[0], air, 50)),
		"rated power is 0":                       second(InstallIn("x", aircraft.Plant{Diameter: 1, Blades: 2, Speed: 40}, Surroundings{})),
	} {
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v, want %q", err, want)
		}
	}
}

func TestDiameters(t *testing.T) {
	air, a := seaLevel(t), aircraft.Sedge()
	d, err := TipDiameter(air, 70, 2450.0/60, 0.8)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "tip Mach number", math.Hypot(70, math.Pi*d*2450/60)/air.SpeedOfSound, 0.8, 1e-12)
	plant := a.Plants[0]
	stance, err := a.Stand()
	if err != nil {
		t.Fatal(err)
	}
	rest, err := GroundClearance(a, plant, 0)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "clearance at rest", rest, stance.Clearance, 1e-9)
	for _, angle := range []unit.Angle{0, 8 * unit.Degree, 12 * unit.Degree} {
		largest, err := ClearanceDiameter(a, plant, angle, 0.18)
		if err != nil {
			t.Fatal(err)
		}
		p := plant
		p.Diameter = largest
		left, err := GroundClearance(a, p, angle)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "clearance of the largest diameter", left, 0.18, 1e-12)
	}
	up, err := GroundClearance(a, plant, 10*unit.Degree)
	if err != nil || !(up < rest) {
		t.Errorf("a pusher's propeller comes nearer to the ground as the nose rises: %g, %g, %v", up, rest, err)
	}
	tractor := aircraft.Bracken()
	if up, err := GroundClearance(tractor, tractor.Plants[0], 10*unit.Degree); err != nil || !(up > 0.3) {
		t.Errorf("a tractor's goes away from it: %g, %v", up, err)
	}
	for want, err := range map[string]error{
		"true airspeed is 300":      second(TipDiameter(air, 300, 40, 0.8)),
		"Mach number is 1.2":        second(TipDiameter(air, 30, 40, 1.2)),
		"rotation is 0":             second(TipDiameter(air, 30, 0, 0.8)),
		"angle of rotation is 60.0": second(GroundClearance(a, plant, 60*unit.Degree)),
		"clearance is -1":           second(ClearanceDiameter(a, plant, 0, -1)),
		"above the clearance of 9":  second(ClearanceDiameter(a, plant, 0, 9)),
		"has no main wheel":         second(GroundClearance(aircraft.Aircraft{Name: "glider"}, plant, 0)),
	} {
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v, want %q", err, want)
		}
	}
}

func ExampleInstallation_Books() {
	air, _ := atmos.Standard(0)
	for _, a := range []aircraft.Aircraft{aircraft.Bracken(), aircraft.Sedge()} {
		i, _ := Install(a, a.Plants[0], air, 60*unit.MetrePerSecond)
		b, _ := i.Books(air, 60*unit.MetrePerSecond, 1)
		fmt.Printf("%s: η %.3f apparent, %.3f net\n", a.Name, b.Apparent, b.Net)
	}
	// Output:
	// Bracken: η 0.913 apparent, 0.827 net
	// Sedge: η 0.898 apparent, 0.852 net
}

func ExampleClearanceDiameter() {
	a := aircraft.Sedge()
	d, _ := ClearanceDiameter(a, a.Plants[0], 10*unit.Degree, 9*unit.Inch)
	fmt.Printf("%.2f m\n", d)
	// Output: 1.49 m
}

func ExampleTipDiameter() {
	air, _ := atmos.Standard(0)
	d, _ := TipDiameter(air, 70*unit.MetrePerSecond, 2450*unit.RevolutionPerMinute, 0.85)
	fmt.Printf("%.2f m\n", d)
	// Output: 2.19 m
}

// TestAround holds that the pieces of an aeroplane add up to it: wetted area of bodies, exposed area of surfaces on both sides, friction over both, no displacement in all; and
// that their places are theirs.
func TestAround(t *testing.T) {
	for _, a := range aircraft.Fleet() {
		plant := a.Plants[0]
		plant.Y = 0.3
		around, err := Around(a, plant, seaLevel(t), 60)
		if err != nil {
			t.Fatal(err)
		}
		wetted, drag, first := map[string]float64{}, map[string]float64{}, map[string][3]float64{}
		for _, p := range around.Parts {
			wetted[p.Name] += p.Wetted
			drag[p.Name] += p.DragArea
			for k, x := range []float64{p.X, p.Y, p.Z} {
				m := first[p.Name]
				m[k] += x * p.Wetted
				first[p.Name] = m
			}
		}
		for _, b := range a.Bodies {
			near(t, a.Name+" "+b.Name, wetted[b.Name], b.Count()*b.WettedArea(), 0.04*wetted[b.Name])
			if cf := drag[b.Name] / wetted[b.Name]; !(0.0025 < cf && cf < 0.006) {
				t.Errorf("%s: %s has %g of drag over its skin", a.Name, b.Name, cf)
			}
			near(t, a.Name+": y of the "+b.Name, first[b.Name][1]/wetted[b.Name], -0.3, 1e-9)
		}
		for _, s := range a.Surfaces {
			near(t, a.Name+" "+s.Name, wetted[s.Name]/2, a.ExposedArea(s), 0.06*wetted[s.Name])
			if cf := drag[s.Name] / wetted[s.Name]; !(0.003 < cf && cf < 0.007) {
				t.Errorf("%s: %s has %g of drag over its skin", a.Name, s.Name, cf)
			}
			near(t, a.Name+": x of the "+s.Name, first[s.Name][0]/wetted[s.Name], s.LeadingEdge()+0.4*s.MeanChord()-plant.X, 0.12)
			if !s.Role.Upright() { // the root of a fin is inside of the body
				near(t, a.Name+": z of the "+s.Name, first[s.Name][2]/wetted[s.Name], s.Height()-plant.Z, 0.06)
			}
			if s.Mirrored {
				near(t, a.Name+": y of the "+s.Name, first[s.Name][1]/wetted[s.Name], -0.3, 1e-9)
			}
		}
		for _, w := range around.Sheets { // with its image on the other side
			if !slices.ContainsFunc(around.Sheets, func(o Sheet) bool { return math.Abs(o.Y+w.Y+0.6) < 1e-9 && o.Z == w.Z }) {
				t.Errorf("%s: the wake at y %g has no image", a.Name, w.Y)
			}
		}
		sum, moment := 0.0, 0.0
		for _, s := range around.Sources {
			sum += s.Strength
			moment -= s.Strength * s.X
		}
		near(t, a.Name+" in all", sum, 0, 1e-9)
		volume := 0.0
		for _, b := range a.Bodies {
			volume += b.Count() * b.Volume()
		}
		if !(volume < moment && moment < 1.35*volume) { // the first moment of the displacement is the volume; the rest are wings
			t.Errorf("%s: the sources have the volume %g, its bodies %g", a.Name, moment, volume)
		}
	}
}

// TestSheetsOfWing holds that the wakes of an aeroplane carry the drag of the strips that they come from, and how thick they are, by their definitions.
func TestSheetsOfWing(t *testing.T) {
	a := aircraft.Sedge()
	around := installed(t, a).Around
	drag, wake := 0.0, 0.0
	for _, p := range around.Parts {
		if p.Group == WingGroup && p.X < 0 && p.Name == "foreplane" {
			drag += p.DragArea
		}
	}
	for _, w := range around.Sheets {
		if w.Z < -0.03 && w.Z > -0.2 { // those of the foreplane, 0.06 m below the shaft
			wake += 2 * w.Momentum * w.Width
			if cd := 2 * w.Momentum / 0.5; !(0.68*math.Sqrt(cd*7.2)*0.4 < w.Spread && w.Spread < 0.68*math.Sqrt(cd*9.2)*0.6) {
				t.Errorf("the wake of the foreplane, 7 to 9 chords behind, spreads %g m with cd %g", w.Spread, cd)
			}
		}
	}
	near(t, "drag in the wake of the foreplane", wake, drag, 1e-9)
}

// TestDeficitPlace holds that a wake is where it is.
func TestDeficitPlace(t *testing.T) {
	s := Surroundings{Sheets: []Sheet{{Y: 0.5, Z: 0.2, Width: 0.2, Momentum: 0.004, Spread: 0.05}}, Trails: []Trail{{Y: -0.4, Z: 0.1, Momentum: 0.01}}}
	if d := s.deficit(0.55, 0.2); math.Abs(d-s.Sheets[0].depth()) > 1e-12 {
		t.Errorf("in the middle of the sheet %g", d)
	}
	near(t, "half way out of the sheet", s.deficit(0.45, 0.225), s.Sheets[0].depth()/2, 1e-12)
	for _, at := range [][2]unit.Length{{0.65, 0.2}, {-0.5, -0.2}, {0.5, 0.3}} {
		if d := s.deficit(at[0], at[1]); d != 0 {
			t.Errorf("at %v %g", at, d)
		}
	}
	if s.deficit(-0.4, 0.1) < 0.4 || s.deficit(0.4, -0.1) != 0 {
		t.Error("the trail is elsewhere")
	}
}

// TestThickness holds that the sources of a strip have the area of its section, 0.685 of thickness times chord, and its centroid, 0.42 of the chord.
func TestThickness(t *testing.T) {
	var b builder
	b.thickness(3, 0, 0, 2, 0.12, 1)
	sum, first, second := 0.0, 0.0, 0.0
	for _, s := range b.Sources {
		sum += s.Strength
		first -= s.Strength * (s.X - 3)
		second -= s.Strength * (s.X - 3) * (s.X - 3) / 2
	}
	near(t, "in all", sum, 0, 1e-12)
	near(t, "area", first, 0.685*0.12*4, 0.01)
	near(t, "centroid", second/first, 0.42*2, 0.03)
}
