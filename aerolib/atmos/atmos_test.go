package atmos_test

import (
	"errors"
	"math"
	"testing"

	"foreplane/aerolib/atmos"
	"foreplane/aerolib/internal/reference"
	"foreplane/aerolib/unit"
)

// need returns v and ends the test on an error.
func need[T any](t *testing.T) func(v T, err error) T {
	return func(v T, err error) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

// TestStandard compares with printed tables; each value has the tolerance of its last digit.
func TestStandard(t *testing.T) {
	geometric := func(in reference.Inputs) atmos.Air {
		h := need[float64](t)(atmos.Geopotential(in.Get("Z_geometric")))
		return need[atmos.Air](t)(atmos.Standard(h))
	}
	reference.Check(t, "A1 A3 A4 A5", 0, func(in reference.Inputs) reference.Values {
		air := geometric(in)
		return reference.Values{"T": air.Temperature, "p": air.Pressure, "rho": air.Density, "a": air.SpeedOfSound, "mu": air.Viscosity}
	})
	reference.Check(t, "A11", 0, func(in reference.Inputs) reference.Values {
		air := geometric(in)
		return reference.Values{"T": air.Temperature, "p": air.Pressure, "rho": air.Density, "mu": air.Viscosity}
	})
	reference.Check(t, "A13", 0, func(in reference.Inputs) reference.Values {
		return reference.Values{"rho": geometric(in).Density}
	})
	reference.Check(t, "A7 A9 A10", 0, func(in reference.Inputs) reference.Values {
		air := need[atmos.Air](t)(atmos.Standard(in.Get("H_geopotential")))
		return reference.Values{"T": air.Temperature, "p": air.Pressure, "rho": air.Density}
	})
}

func TestAirspeeds(t *testing.T) {
	reference.Check(t, "A14 A16", 0, func(in reference.Inputs) reference.Values {
		s := need[atmos.Stagnation](t)(atmos.Isentropic(in.Get("M")))
		return reference.Values{"p/pt": s.Pressure, "T/Tt": s.Temperature, "rho/rhot": s.Density}
	})
	reference.Check(t, "A17", 0, func(in reference.Inputs) reference.Values {
		V := need[atmos.Air](t)(atmos.Standard(in.Get("h"))).TrueFromMach(in.Get("M"))
		return reference.Values{"TAS": V, "TAS_SI": V}
	})
	reference.Check(t, "A18 A20", 0, func(in reference.Inputs) reference.Values {
		air := need[atmos.Air](t)(atmos.Standard(in.Get("Hp")))
		V := need[float64](t)(air.TrueFromCalibrated(in.Get("CAS")))
		qc := need[float64](t)(atmos.ImpactPressure(air.Pressure, air.Mach(V)))
		return reference.Values{"M": air.Mach(V), "TAS": V, "EAS": air.EquivalentFromTrue(V), "qc": qc}
	})
}

// TestHydrostatic holds dp/dH = −ρ g₀ in every layer and continuity between them; the tolerance is that of the difference quotient.
func TestHydrostatic(t *testing.T) {
	for h := -4999.0; h < atmos.MaxAltitude-1; h += 500 {
		below := need[atmos.Air](t)(atmos.Standard(h - 0.5))
		air := need[atmos.Air](t)(atmos.Standard(h))
		above := need[atmos.Air](t)(atmos.Standard(h + 0.5))
		if gradient := above.Pressure - below.Pressure; math.Abs(gradient/(air.Density*unit.StandardGravity)+1) > 1e-6 {
			t.Errorf("dp/dH at %g m is %g Pa/m, want %g", h, gradient, -air.Density*unit.StandardGravity)
		}
	}
}

// TestInverses goes up and down again; the tolerance is a few roundings, which exponents up to 34 magnify.
func TestInverses(t *testing.T) {
	for h := atmos.MinAltitude; h <= atmos.MaxAltitude; h += 1234.5 {
		air := need[atmos.Air](t)(atmos.Standard(h))
		back := map[string]float64{
			"pressure altitude": need[float64](t)(atmos.PressureAltitude(air.Pressure)),
			"density altitude":  need[float64](t)(atmos.DensityAltitude(air.Density)),
			"geometric":         need[float64](t)(atmos.Geopotential(need[float64](t)(atmos.Geometric(h)))),
		}
		for name, got := range back {
			if math.Abs(got-h) > 1e-6 {
				t.Errorf("%s of %g m is %.9g m", name, h, got)
			}
		}
	}
	for _, h := range []float64{-2000, 0, 3000, 12000} {
		air := need[atmos.Air](t)(atmos.OffStandard(h, 15))
		for V := 0.0; V < 0.9*air.SpeedOfSound; V += 20 {
			cas, err := air.CalibratedFromTrue(V)
			if err != nil {
				continue // below sea level the indicator passes a₀ first
			}
			if got := need[float64](t)(air.TrueFromCalibrated(cas)); math.Abs(got-V) > 1e-9 {
				t.Errorf("TAS %g m/s comes back as %g", V, got)
			}
			if got := air.TrueFromEquivalent(air.EquivalentFromTrue(V)); math.Abs(got-V) > 1e-9 {
				t.Errorf("TAS %g m/s comes back as %g through EAS", V, got)
			}
			if h > 0 && V > 0 && air.EquivalentFromTrue(V) >= cas {
				t.Errorf("EAS is not below CAS at %g m, %g m/s", h, V)
			}
		}
	}
}

// TestDerived: what follows from the state by one formula each. ν at sea level is 1.4607·10⁻⁵ m²/s in [USSA], table I.
func TestDerived(t *testing.T) {
	air := need[atmos.Air](t)(atmos.Standard(0))
	for name, pair := range map[string][2]float64{
		"q":  {air.DynamicPressure(40), 0.5 * 1.225 * 1600},
		"ν":  {air.KinematicViscosity(), 1.4607e-5},
		"Re": {air.Reynolds(40, 0.5), 20 / 1.4607e-5},
		"σ":  {air.DensityRatio(), 1},
	} {
		if math.Abs(pair[0]/pair[1]-1) > 5e-5 {
			t.Errorf("%s is %v, want %v", name, pair[0], pair[1])
		}
	}
}

// TestOffStandard: a warm day is thinner at the same pressure, its density altitude above the pressure altitude by about 120 ft/K (common practice: 8 % of
// that is the spread of the rule over the lowest 10 000 ft).
func TestOffStandard(t *testing.T) {
	h := 5000 * unit.Foot
	cold, warm := need[atmos.Air](t)(atmos.Standard(h)), need[atmos.Air](t)(atmos.OffStandard(h, 15))
	if warm.Pressure != cold.Pressure || warm.Temperature != cold.Temperature+15 || warm.Density >= cold.Density {
		t.Errorf("cold %+v, warm %+v", cold, warm)
	}
	hd := need[float64](t)(atmos.DensityAltitude(warm.Density))
	if perKelvin := (hd - h) / 15 / unit.Foot; math.Abs(perKelvin/120-1) > 0.08 {
		t.Errorf("density altitude rises %g ft/K", perKelvin)
	}
}

func TestRefuses(t *testing.T) {
	air := need[atmos.Air](t)(atmos.Standard(0))
	deep := need[atmos.Air](t)(atmos.Standard(-5000))
	high := need[atmos.Air](t)(atmos.Standard(30000))
	second := func(_ any, err error) error { return err }
	for name, err := range map[string]error{
		"above":          second(atmos.Standard(84853)),
		"below":          second(atmos.Standard(-5001)),
		"NaN altitude":   second(atmos.Standard(math.NaN())),
		"NaN offset":     second(atmos.OffStandard(0, math.NaN())),
		"hot":            second(atmos.OffStandard(0, 200)),
		"negative p":     second(atmos.Measured(288, -1)),
		"zero p":         second(atmos.Measured(288, 0)),
		"large p":        second(atmos.Measured(288, 1e6)),
		"vacuum":         second(atmos.PressureAltitude(0)),
		"thin":           second(atmos.DensityAltitude(1e-9)),
		"far":            second(atmos.Geopotential(1e9)),
		"far H":          second(atmos.Geometric(1e9)),
		"negative M":     second(atmos.Isentropic(-0.1)),
		"infinite M":     second(atmos.Isentropic(math.Inf(1))),
		"supersonic":     second(atmos.ImpactPressure(1e5, 1.01)),
		"no pressure":    second(atmos.ImpactPressure(0, 0.5)),
		"negative CAS":   second(air.TrueFromCalibrated(-1)),
		"fast CAS":       second(air.TrueFromCalibrated(341)),
		"fast CAS, high": second(high.TrueFromCalibrated(200)),
		"fast TAS":       second(air.CalibratedFromTrue(341)),
		"fast TAS, deep": second(deep.CalibratedFromTrue(340)),
		"NaN TAS":        second(air.CalibratedFromTrue(math.NaN())),
	} {
		var outside *unit.RangeError
		var negative *unit.PositiveError
		if !errors.As(err, &outside) && !errors.As(err, &negative) {
			t.Errorf("%s: error %v", name, err)
		}
	}
}
