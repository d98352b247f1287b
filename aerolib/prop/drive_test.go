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

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s is %.9g, want %.9g ± %.2g", what, got, want, tolerance)
	}
}

func drive(t testing.TB, a aircraft.Aircraft) Drive {
	t.Helper()
	d, err := DriveOf(a.Plants[0])
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func full(t testing.TB, d Drive, V unit.TrueAirspeed) Operating {
	t.Helper()
	o, err := d.Thrust(seaLevel(t), V)
	if err != nil {
		t.Fatal(err)
	}
	return o
}

// TestLapse holds Gagg and Ferrar's rule at 10 000 and 20 000 ft, where the simple rule is 5 % and 13 % optimistic.
func TestLapse(t *testing.T) {
	for sigma, want := range map[unit.Ratio]unit.Ratio{0.7385: 1.05, 0.5328: 1.13} {
		if ratio := DensityLapse(sigma) / GaggFerrar(sigma); math.Abs(ratio-want) > 0.006 {
			t.Errorf("σ %g: the simple rule is %.3f times, want %g", sigma, ratio, want)
		}
	}
	near(t, "Gagg and Ferrar's power at sea level", GaggFerrar(1), 1, 0)
	near(t, "and without air", GaggFerrar(0), -1/7.55, 1e-15)
}

func TestPiston(t *testing.T) {
	sea, high := seaLevel(t), air(t, 3048)
	e := Piston{Power: 80e3, Speed: 40, Critical: 0, Consumption: 1e-7}
	run := func(e Engine, a atmos.Air, n, throttle float64) Output {
		out, err := e.Run(a, n, throttle)
		if err != nil {
			t.Fatal(err)
		}
		return out
	}
	sigma := high.DensityRatio()
	near(t, "rated power", run(e, sea, 40, 1).Power, 80e3, 1e-6)
	near(t, "power at half the speed", run(e, sea, 20, 1).Power, 40e3, 1e-6)
	near(t, "power at 10 000 ft", run(e, high, 40, 1).Power, 80e3*(sigma-(1-sigma)/7.55), 1e-6)
	near(t, "power with a closed throttle", run(e, sea, 40, 0).Power, -80e3/7.55, 1e-6)
	near(t, "fuel", run(e, sea, 20, 1).FuelFlow, 4e-3, 1e-12)
	near(t, "fuel with a closed throttle", run(e, sea, 40, 0).FuelFlow, 0, 0)
	near(t, "default fuel", run(Piston{Power: 80e3, Speed: 40}, sea, 40, 1).FuelFlow, 24.0/3600, 1e-12)
	e.Critical = 3048
	near(t, "turbocharged at its critical altitude", run(e, high, 40, 1).Power, 80e3, 1e-6)
	near(t, "turbocharged at sea level", run(e, sea, 40, 1).Power, 80e3, 1e-6)
	if p := run(e, air(t, 6000), 40, 1).Power; !(p < 60e3) {
		t.Errorf("turbocharged at 6000 m it has %g W", p)
	}
	e.Critical, e.Lapse = 0, DensityLapse
	near(t, "power by the simple rule", run(e, high, 40, 0.5).Power, 80e3*sigma/2, 1e-6)
}

func air(t testing.TB, h unit.GeopotentialAltitude) atmos.Air {
	t.Helper()
	a, err := atmos.Standard(h)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func TestElectric(t *testing.T) {
	e := Electric{Power: 60e3, Speed: 30, Losses: [3]unit.Ratio{0.04, 0.03, 0.01}}
	for _, c := range []struct{ n, throttle, power, losses float64 }{
		{30, 1, 60e3, 0.08}, {15, 1, 30e3, 0.04 + 0.015 + 0.01}, {60, 1, 60e3, 0.01 + 0.06 + 0.01}, {30, 0.5, 30e3, 0.01 + 0.03 + 0.01}, {30, 0, 0, 0},
	} {
		for _, a := range []atmos.Air{seaLevel(t), air(t, 5000)} {
			out, err := e.Run(a, c.n, c.throttle)
			if err != nil {
				t.Fatal(err)
			}
			near(t, "power", out.Power, c.power, 1e-9)
			near(t, "losses", out.Electric-out.Power, 60e3*c.losses, 1e-9)
		}
	}
	if out, err := (Electric{Power: 60e3, Speed: 30}).Run(seaLevel(t), 30, 1); err != nil || math.Abs(out.Power/out.Electric-0.926) > 1e-3 {
		t.Errorf("default efficiency %g, %v", out.Power/out.Electric, err)
	}
}

// TestGoverned holds that a propeller of constant speed takes all power at the rated speed, that its pitch grows with the speed, and thrust falls.
func TestGoverned(t *testing.T) {
	d := drive(t, aircraft.Bracken())
	before := full(t, d, 0)
	for _, v := range []unit.TrueAirspeed{20, 40, 60, 80} {
		o := full(t, d, v)
		near(t, "power", o.Power, 85e3, 1e-3)
		near(t, "rotation", o.Rotation, 2450.0/60, 1e-9)
		near(t, "efficiency", o.Efficiency, o.Thrust*v/o.Power, 1e-12)
		near(t, "J", o.Point.J, v/(o.Rotation*1.75), 1e-12)
		if !(o.Thrust < before.Thrust) || v > 20 && !(o.Pitch > before.Pitch) {
			t.Errorf("at %g m/s %g N with %g, after %g N with %g", v, o.Thrust, o.Pitch, before.Thrust, before.Pitch)
		}
		before = o
	}
	ideal, err := Disc{1.75}.Thrust(seaLevel(t), 0, 85e3)
	if r := full(t, d, 0).Thrust / ideal; err != nil || !(0.6 < r && r < 0.8) {
		t.Errorf("at rest it gives %.2f of the disc; real propellers give 0.6 to 0.75 (common practice)", r)
	}
}

// TestStops holds what happens at the stops: below the low one the engine cannot turn the propeller at its speed, beyond the high one it turns it faster.
func TestStops(t *testing.T) {
	d := drive(t, aircraft.Bracken())
	d.Low, d.High = 20*unit.Degree, 22*unit.Degree
	if o := full(t, d, 20); o.Pitch != d.Low || !(o.Rotation < 2450.0/60) {
		t.Errorf("at the low stop %+v", o)
	}
	if o := full(t, d, 80); o.Pitch != d.High || !(o.Rotation > 2450.0/60) || len(o.Notes) == 0 {
		t.Errorf("at the high stop %+v", o)
	}
}

// TestFixedPitch holds that the torques agree, and that a propeller of constant speed that stands at the same pitch does the same.
func TestFixedPitch(t *testing.T) {
	d := drive(t, aircraft.Yarrow())
	for _, v := range []unit.TrueAirspeed{0, 25, 50, 70} {
		o := full(t, d, v)
		near(t, "power", o.Power, 75e3*o.Rotation/(2450.0/60), 1e-3)
	}
	g := drive(t, aircraft.Bracken())
	o := full(t, g, 55)
	g.Low, g.High = o.Pitch, 0
	same := full(t, g, 55)
	near(t, "rotation of the fixed one", same.Rotation, o.Rotation, 1e-6)
	near(t, "its thrust", same.Thrust, o.Thrust, 1e-4)
}

// TestEngineOff holds that with the throttle closed the air turns the engine against its friction and the propeller is a drag, and that at rest there is no solution.
func TestEngineOff(t *testing.T) {
	for _, a := range aircraft.Fleet() {
		d := drive(t, a)
		o, err := d.At(seaLevel(t), 45, 0)
		if err != nil {
			t.Fatal(err)
		}
		_, rated := d.Engine.Rating()
		if !(o.Thrust < -50 && o.Power < 0 && o.FuelFlow == 0 && o.Efficiency == 0) {
			t.Errorf("%s: %+v", a.Name, o)
		}
		near(t, "friction", o.Power, -a.Plants[0].Power/7.55*o.Rotation/rated, 1e-3)
		if power := o.Thrust * 45; !(power < o.Power) {
			t.Errorf("%s: the drag takes %g W, less than the engine, %g W", a.Name, power, o.Power)
		}
		var none *SolutionError
		if _, err := d.At(seaLevel(t), 0, 0); !errors.As(err, &none) {
			t.Errorf("%s at rest: %v", a.Name, err)
		}
	}
}

// TestFor holds that it finds the throttle of a thrust, with less fuel than full throttle takes.
func TestFor(t *testing.T) {
	for _, a := range []aircraft.Aircraft{aircraft.Sedge(), aircraft.Yarrow()} {
		d := drive(t, a)
		for _, thrust := range []unit.Force{-100, 300, 900} {
			o, err := d.For(seaLevel(t), 55, thrust)
			if err != nil {
				t.Fatal(err)
			}
			near(t, a.Name, o.Thrust, thrust, 1e-4)
			if f := full(t, d, 55); !(o.Throttle < 1 && o.FuelFlow < f.FuelFlow) {
				t.Errorf("%s: %+v", a.Name, o)
			}
		}
		for _, thrust := range []unit.Force{9000, -9000} {
			var none *SolutionError
			if o, err := d.For(seaLevel(t), 55, thrust); !errors.As(err, &none) {
				t.Errorf("%s: %+v, %v", a.Name, o, err)
			}
		}
	}
	d := drive(t, aircraft.Bracken())
	d.Engine = Electric{Power: 85e3, Speed: 2450.0 / 60}
	if o, err := d.For(seaLevel(t), 0, 800); err != nil || math.Abs(o.Thrust-800) > 1e-4 || !(o.Electric > o.Power) {
		t.Errorf("electric at rest %+v, %v", o, err)
	}
}

// TestTabulated holds that the table is within 2 % of the blade elements.
func TestTabulated(t *testing.T) {
	for _, a := range aircraft.Fleet() {
		d := drive(t, a)
		table, err := d.Tabulated(seaLevel(t))
		if err != nil {
			t.Fatal(err)
		}
		for _, v := range []unit.TrueAirspeed{0, 15, 30, 45, 60} {
			o := full(t, d, v)
			near(t, fmt.Sprintf("%s at %g m/s", a.Name, v), full(t, table, v).Thrust, o.Thrust, 0.02*o.Thrust)
		}
	}
	if table, err := drive(t, aircraft.Bracken()).Tabulated(seaLevel(t)); err != nil || len(table.Model.(Charted).Chart.Pitches()) != 15 {
		t.Errorf("from 12° to 40° there are not 15 pitches, 2° apart: %v", err)
	}
	if _, err := (Drive{}).Tabulated(seaLevel(t)); err == nil {
		t.Error("an empty drive was tabulated")
	}
}

func TestDriveErrors(t *testing.T) {
	sound := drive(t, aircraft.Bracken())
	for want, change := range map[string]func(*Drive){
		"it needs a model":                     func(d *Drive) { d.Model = nil },
		"pitch is -3.00°":                      func(d *Drive) { d.Low = -3 * unit.Degree },
		"pitch at the high stop is 5.00°":      func(d *Drive) { d.High = 5 * unit.Degree },
		"rated power is 0 kW":                  func(d *Drive) { d.Engine = Piston{Speed: 40} },
		"rated rotation is 0":                  func(d *Drive) { d.Engine = Electric{Power: 1e3} },
		"the engine still turns the propeller": func(d *Drive) { d.Low, d.High = 3*unit.Degree, 0 },
		"advance ratio is 0.":                  func(d *Drive) { d.Model, d.Low, d.High = Charted{short(t), 1.75}, 20*unit.Degree, 0 },
	} {
		d := sound
		change(&d)
		if o, err := d.At(seaLevel(t), 50, 1); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%+v, %v, want %q", o, err, want)
		}
	}
	for want, err := range map[string]error{
		"throttle is 1.5":     second(sound.At(seaLevel(t), 50, 1.5)),
		"throttle is NaN":     second(sound.At(seaLevel(t), 50, math.NaN())),
		"true airspeed is -1": second(sound.At(seaLevel(t), -1, 1)),
		"thrust is NaN":       second(sound.For(seaLevel(t), 50, math.NaN())),
		"rated power is 0 kW": second(DriveOf(aircraft.Plant{Diameter: 2, Blades: 2, Speed: 40})),
		"rated rotation is 0": second(DriveOf(aircraft.Plant{Diameter: 2, Blades: 2, Power: 40})),
	} {
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v, want %q", err, want)
		}
	}
}

func second[T any](_ T, err error) error { return err }

// short is a chart that ends before the engine comes to its speed.
func short(t *testing.T) Chart {
	c, err := NewChart("short", []Point{{Pitch: 20 * unit.Degree, J: 0, CT: 0.1, CP: 0.05}, {Pitch: 20 * unit.Degree, J: 0.3, CT: 0.1, CP: 0.05}})
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func ExampleDrive_Thrust() {
	d, _ := DriveOf(aircraft.Bracken().Plants[0])
	air, _ := atmos.Standard(0)
	for _, v := range []unit.TrueAirspeed{0, 30, 60} {
		o, _ := d.Thrust(air, v)
		fmt.Printf("%2.0f m/s: %4.0f N, η %.2f\n", v, o.Thrust, o.Efficiency)
	}
	// Output:
	//  0 m/s: 2672 N, η 0.00
	// 30 m/s: 1905 N, η 0.67
	// 60 m/s: 1222 N, η 0.86
}

func ExampleDrive_For() {
	d, _ := DriveOf(aircraft.Bracken().Plants[0])
	air, _ := atmos.Standard(2000)
	o, _ := d.For(air, 60*unit.MetrePerSecond, 700*unit.Newton)
	fmt.Printf("%.1f kW, %.1f kg/h\n", o.Power/unit.Kilowatt, o.FuelFlow/unit.KilogramPerHour)
	// Output: 48.4 kW, 14.5 kg/h
}
