package atmos_test

import (
	"errors"
	"math"
	"testing"

	"foreplane/aerolib/atmos"
	"foreplane/aerolib/internal/reference"
	"foreplane/aerolib/unit"
)

// TestMoist compares with published properties of moist air.
func TestMoist(t *testing.T) {
	reference.Check(t, "A21", 0, func(in reference.Inputs) reference.Values {
		air := need[atmos.Air](t)(atmos.Moist(in.Get("T"), in.Get("p"), in.Get("phi")))
		return reference.Values{"rho": air.Density, "a": air.SpeedOfSound}
	})
	reference.Check(t, "A22", 0, func(in reference.Inputs) reference.Values {
		return reference.Values{"phi": need[float64](t)(atmos.Humidity(in.Get("T"), in.Get("dew")))}
	})
	dry, moist := need[atmos.Air](t)(atmos.Measured(300, 9e4)), need[atmos.Air](t)(atmos.Moist(300, 9e4, 0))
	if dry != moist {
		t.Errorf("at no humidity %+v, want %+v", moist, dry)
	}
}

// warm is a summer day at a high field, cold a winter day below the standard pressure.
func days(t *testing.T) map[string]atmos.Day {
	return map[string]atmos.Day{
		"standard": {},
		"warm":     need[atmos.Day](t)(atmos.Station(1200, 88000, unit.FromCelsius(33), 0)),
		"cold":     need[atmos.Day](t)(atmos.Station(40, 99000, unit.FromCelsius(-25), 0)),
	}
}

// TestDay holds what the station measured, dp/dH = −ρ g₀ at all heights (the tolerance is that of the difference quotient), and the way back.
func TestDay(t *testing.T) {
	for name, d := range days(t) {
		lowest, highest := need[float64](t)(d.Geopotential(atmos.MinAltitude)), need[float64](t)(d.Geopotential(atmos.MaxAltitude))
		for H := lowest + 1; H < highest-1; H += 777 {
			below, air, above := need[atmos.Air](t)(d.At(H-0.5)), need[atmos.Air](t)(d.At(H)), need[atmos.Air](t)(d.At(H+0.5))
			if gradient := above.Pressure - below.Pressure; math.Abs(gradient/(air.Density*unit.StandardGravity)+1) > 2e-6 {
				t.Errorf("%s: dp/dH at %g m is %g Pa/m, want %g", name, H, gradient, -air.Density*unit.StandardGravity)
			}
			h := need[float64](t)(d.PressureAltitude(H))
			if back := need[float64](t)(d.Geopotential(h)); math.Abs(back-H) > 1e-6 {
				t.Errorf("%s: %g m comes back as %.9g", name, H, back)
			}
			if at := need[atmos.Air](t)(d.AtPressure(h)); at != air {
				t.Errorf("%s: at %g m %+v, at its pressure altitude %+v", name, H, air, at)
			}
		}
	}
	warm := days(t)["warm"]
	if air := need[atmos.Air](t)(warm.At(1200)); math.Abs(air.Pressure-88000) > 1e-6 || math.Abs(unit.ToCelsius(air.Temperature)-33) > 1e-9 {
		t.Errorf("at the station %+v", air)
	}
	standard := need[atmos.Air](t)(atmos.Standard(5000))
	if air := need[atmos.Air](t)(atmos.Day{}.At(5000)); air != standard {
		t.Errorf("standard day %+v, want %+v", air, standard)
	}
	warm.Humidity = 0.8
	if dry, wet := need[atmos.Air](t)(days(t)["warm"].At(1200)), need[atmos.Air](t)(warm.At(1200)); !(wet.Density < 0.99*dry.Density) {
		t.Errorf("dry %+v, wet %+v", dry, wet)
	}
}

// TestAltimeterSetting: 27 ft for each hectopascal near sea level (common practice, ±5 % up to 2000 ft and 20 hPa), and the way back.
func TestAltimeterSetting(t *testing.T) {
	elevation := 500 * unit.Foot
	p := need[float64](t)(atmos.StationPressure(elevation, 1003.25*unit.Hectopascal))
	h := need[float64](t)(atmos.PressureAltitude(p))
	if perHectopascal := (h - elevation) / 10 / unit.Foot; math.Abs(perHectopascal/27-1) > 0.05 {
		t.Errorf("%g ft/hPa", perHectopascal)
	}
	if back := need[float64](t)(atmos.AltimeterSetting(elevation, p)); math.Abs(back-100325) > 1e-6 {
		t.Errorf("setting comes back as %g", back)
	}
	if p := need[float64](t)(atmos.StationPressure(2000, atmos.SeaLevelPressure)); p != need[atmos.Air](t)(atmos.Standard(2000)).Pressure {
		t.Errorf("standard setting gives %g", p)
	}
}

// TestSpeeds goes from each kind of speed to all others, in dry and in moist air, up to the limit.
func TestSpeeds(t *testing.T) {
	reference.Check(t, "A18 A20", 0, func(in reference.Inputs) reference.Values {
		s := need[atmos.Speeds](t)(need[atmos.Air](t)(atmos.Standard(in.Get("Hp"))).AtCalibrated(in.Get("CAS")))
		return reference.Values{"M": s.Mach, "TAS": s.True, "EAS": s.Equivalent, "qc": s.Impact}
	})
	moist := need[atmos.Air](t)(atmos.Moist(303, 8e4, 0.9))
	for _, air := range []atmos.Air{moist, need[atmos.Air](t)(atmos.Standard(-3000)), need[atmos.Air](t)(atmos.Standard(12000))} {
		for _, M := range []float64{0, 1e-3, 0.2, 0.5, 0.85} {
			want := need[atmos.Speeds](t)(air.AtTrue(M * air.SpeedOfSound))
			for kind, got := range map[string]atmos.Speeds{
				"EAS": need[atmos.Speeds](t)(air.AtEquivalent(want.Equivalent)), "CAS": need[atmos.Speeds](t)(air.AtCalibrated(want.Calibrated)),
				"M": need[atmos.Speeds](t)(air.AtMach(want.Mach)), "q": need[atmos.Speeds](t)(air.AtDynamicPressure(want.Dynamic)),
				"qc": need[atmos.Speeds](t)(air.AtImpactPressure(want.Impact)),
			} {
				for i, pair := range [][2]float64{
					{got.True, want.True}, {got.Equivalent, want.Equivalent}, {got.Calibrated, want.Calibrated}, {got.Mach, want.Mach},
					{got.Dynamic, want.Dynamic}, {got.Impact, want.Impact},
				} {
					if math.Abs(pair[0]-pair[1]) > 1e-10*(1+pair[1]) {
						t.Errorf("%s at M %g: field %d is %g, want %g", kind, M, i, pair[0], pair[1])
					}
				}
			}
			if q := 0.7 * air.Pressure * want.Mach * want.Mach; air != moist && math.Abs(want.Dynamic-q) > 1e-9*q {
				t.Errorf("q %g, want ½γpM² = %g", want.Dynamic, q)
			}
			if back := need[float64](t)(air.TrueFromCalibrated(want.Calibrated)); math.Abs(back-want.True) > 1e-9 {
				t.Errorf("CAS gives %g, want %g", back, want.True)
			}
		}
	}
}

func TestDayRefuses(t *testing.T) {
	air := need[atmos.Air](t)(atmos.Standard(0))
	nan := math.NaN()
	for name, err := range map[string]error{
		"humidity":          second(atmos.Moist(288, 1e5, 1.1)),
		"NaN humidity":      second(atmos.Moist(288, 1e5, nan)),
		"icy":               second(atmos.Moist(200, 1e5, 0.5)),
		"boiling":           second(atmos.Moist(330, 1e4, 1)),
		"dew above":         second(atmos.Humidity(288, 289)),
		"NaN dew":           second(atmos.Humidity(288, nan)),
		"hot":               second(atmos.Humidity(388, 289)),
		"station p":         second(atmos.Station(0, -1, 288, 0)),
		"station H":         second(atmos.Station(1e6, 1e5, 288, 0)),
		"station T":         second(atmos.Station(0, 1e5, nan, 0)),
		"day H":             second(atmos.Day{}.At(9e4)),
		"day h":             second(atmos.Day{}.AtPressure(nan)),
		"day offset":        second(atmos.Day{Offset: 150}.At(0)),
		"day NaN offset":    second(atmos.Day{Offset: nan}.Geopotential(0)),
		"day NaN elevation": second(atmos.Day{Elevation: nan}.PressureAltitude(0)),
		"day p":             second(atmos.Day{Pressure: nan}.PressureAltitude(0)),
		"day humidity":      second(atmos.Day{Humidity: 2}.At(0)),
		"setting":           second(atmos.StationPressure(9e4, 1e5)),
		"setting p":         second(atmos.AltimeterSetting(0, nan)),
		"TAS":               second(air.AtTrue(341)),
		"EAS":               second(air.AtEquivalent(-1)),
		"CAS":               second(air.AtCalibrated(nan)),
		"M":                 second(air.AtMach(1.01)),
		"q":                 second(air.AtDynamicPressure(-1)),
		"qc":                second(air.AtImpactPressure(1e5)),
	} {
		var outside *unit.RangeError
		if !errors.As(err, &outside) {
			t.Errorf("%s: error %v", name, err)
		}
	}
}

func second[T any](_ T, err error) error { return err }
