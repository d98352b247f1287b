package prop

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"foreplane/aerolib/atmos"
	"foreplane/aerolib/internal/reference"
	"foreplane/aerolib/unit"
)

// TestIdealEfficiency compares with the values of case P1, whose tolerance is the rounding of the printed four figures.
func TestIdealEfficiency(t *testing.T) {
	reference.Check(t, "P1", 0, func(in reference.Inputs) reference.Values {
		got := reference.Values{}
		for name, load := range in.All() {
			eta, err := IdealEfficiency(load)
			if err != nil {
				t.Fatal(err)
			}
			got[strings.Replace(name, "Tc", "eta", 1)] = eta
		}
		return got
	})
}

// TestStaticThrust compares with case P2.
func TestStaticThrust(t *testing.T) {
	reference.Check(t, "P2", 0, func(in reference.Inputs) reference.Values {
		d, air := Disc{in.Get("D")}, atmos.Air{Density: in.Get("rho")}
		thrust, err := d.Thrust(air, 0, in.Get("P"))
		if err != nil {
			t.Fatal(err)
		}
		v, err := d.Induced(air, 0, thrust)
		if err != nil {
			t.Fatal(err)
		}
		return reference.Values{"T0": thrust, "v_i": v}
	})
}

// TestDiscPower holds that thrust, power and induced speed belong together, with the balance of energy of the wake as a second way to the power:
// P = ½ρA(V + v)[(V + 2v)² − V²].
func TestDiscPower(t *testing.T) {
	d, air := Disc{1.9}, seaLevel(t)
	for _, v := range []unit.TrueAirspeed{0, 0.5, 20, 60, 150} {
		thrust, err := d.Thrust(air, v, 80e3)
		if err != nil {
			t.Fatal(err)
		}
		added, err := d.Induced(air, v, thrust)
		if err != nil {
			t.Fatal(err)
		}
		far := v + 2*added
		if wake := air.Density * d.Area() * (v + added) * (far*far - v*v) / 2; math.Abs(wake/80e3-1) > 1e-9 {
			t.Errorf("at %g m/s the wake takes %g W of 80000", v, wake)
		}
		if v > 0 {
			eta, err := IdealEfficiency(thrust / (air.DynamicPressure(v) * d.Area()))
			if err != nil || math.Abs(eta-thrust*v/80e3) > 1e-9 {
				t.Errorf("at %g m/s: efficiency %g, T V/P %g, %v", v, eta, thrust*v/80e3, err)
			}
		}
	}
}

// TestSlipstream compares with the numbers of the textbook example (35 m/s, 1800 N, 1.9 m: dynamic pressure 1.39 times at the disc and 1.85 times far behind) and holds
// the limits: far ahead nothing, mass conserved, the contracted radius far behind.
func TestSlipstream(t *testing.T) {
	air := seaLevel(t)
	s, err := Disc{1.9}.Slipstream(air, 35, 1800)
	if err != nil {
		t.Fatal(err)
	}
	q := air.DynamicPressure(35)
	for distance, want := range map[unit.Length]unit.Ratio{0: 1.39, 1e4: 1.85, -1e4: 1} {
		if got := s.Pressure(air, distance) / q; math.Abs(got-want) > 0.005 {
			t.Errorf("q is %.4f times at %g m, want %.2f", got, distance, want)
		}
	}
	if rise, want := s.Pressure(air, 1e6)/q-1, 1800/(q*Disc{1.9}.Area()); math.Abs(rise-want) > 1e-6 {
		t.Errorf("far behind q has risen by %g of itself, want T/(qA) = %g", rise, want)
	}
	for _, x := range []unit.Length{-2, -0.5, 0, 0.3, 1, 5} {
		r := s.RadiusAt(x)
		if flow := r * r * s.Speed(x); math.Abs(flow-0.95*0.95*(35+s.Added)) > 1e-9 {
			t.Errorf("at %g m the flow is %g", x, flow)
		}
	}
	if v := s.Speed(0.95) - 35; math.Abs(v/s.Added-(1+1/math.Sqrt2)) > 1e-12 {
		t.Errorf("one radius behind %g of v are added, want 1.707", v/s.Added)
	}
}

func TestDiscErrors(t *testing.T) {
	d, air := Disc{1.9}, seaLevel(t)
	for want, call := range map[string]func() error{
		"disc load is -1":       func() error { _, err := IdealEfficiency(-1); return err },
		"disc load is NaN":      func() error { _, err := IdealEfficiency(math.NaN()); return err },
		"power is -1.000 kW":    func() error { _, err := d.Thrust(air, 10, -1000); return err },
		"thrust is -10000 N":    func() error { _, err := d.Induced(air, 10, -1e4); return err },
		"thrust is NaN":         func() error { _, err := d.Slipstream(air, 10, math.NaN()); return err },
		"true airspeed is -1":   func() error { _, err := d.Induced(air, -1, 0); return err },
		"density is 0":          func() error { _, err := d.Induced(atmos.Air{}, 1, 0); return err },
		"propeller diameter is": func() error { _, err := Disc{}.Thrust(air, 1, 0); return err },
	} {
		if err := call(); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v, want %q", err, want)
		}
	}
}

func ExampleDisc_Thrust() {
	air, _ := atmos.Standard(0)
	thrust, _ := Disc{1.9 * unit.Metre}.Thrust(air, 0, 180*unit.Horsepower)
	fmt.Printf("the most that 180 hp can give at rest: %.0f N\n", thrust)
	// Output: the most that 180 hp can give at rest: 5002 N
}

func ExampleIdealEfficiency() {
	eta, _ := IdealEfficiency(1)
	fmt.Printf("%.4f\n", eta)
	// Output: 0.8284
}

func ExampleDisc_Slipstream() {
	air, _ := atmos.Standard(0)
	s, _ := Disc{1.9 * unit.Metre}.Slipstream(air, 35*unit.MetrePerSecond, 1800*unit.Newton)
	q := air.DynamicPressure(s.V)
	fmt.Printf("q is %.2f times at the disc, %.2f times 1 m behind, %.2f times far behind\n", s.Pressure(air, 0)/q, s.Pressure(air, 1)/q, s.Pressure(air, 1e6)/q)
	// Output: q is 1.39 times at the disc, 1.71 times 1 m behind, 1.85 times far behind
}
