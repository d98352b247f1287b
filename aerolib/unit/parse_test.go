package unit

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

func TestParse(t *testing.T) {
	for _, c := range []struct {
		text, kind string
		want       float64
	}{
		{"95 kt", "Speed", 95 * Knot},
		{"95kt", "TrueAirspeed", 95 * Knot},
		{"95 KTS", "CalibratedAirspeed", 95 * Knot},
		{"6500 ft", "PressureAltitude", 6500 * Foot},
		{"6 500 ft", "Altitude", 6500 * Foot},
		{"6\u202f500\u00a0ft", "Altitude", 6500 * Foot},
		{"1 234.5 m", "Length", 1234.5},
		{"1,234.5 m", "Length", 1234.5},
		{"1.234,5 m", "Length", 1234.5},
		{"1 234,5 m", "Length", 1234.5},
		{"1 234,567 m", "Length", 1234.567},
		{"1,234,567 m", "Length", 1234567},
		{"1.234.567 m", "Length", 1234567},
		{"1,5 m", "Length", 1.5},
		{"0,500 m", "Length", 0.5},
		{"1234,567 m", "Length", 1234.567},
		{"1.500 m", "Length", 1.5},
		{".5 m", "Length", 0.5},
		{"−12.5 ft/min", "VerticalSpeed", -12.5 * FootPerMinute},
		{"1.2e3 kg", "Mass", 1200},
		{"1.5×10^5 Pa", "Pressure", 1.5e5},
		{"1.5·10⁻⁵ m²/s", "KinematicViscosity", 1.5e-5},
		{"1.5 x 10^-5 m²/s", "KinematicViscosity", 1.5e-5},
		{"100 %", "Ratio", 1},
		{"0.25", "Ratio", 0.25},
		{"5.1/rad", "PerRadian", 5.1},
		{"5.1 1/rad", "PerRadian", 5.1},
		{"0.0890 per deg", "PerRadian", 0.0890 * InverseDegree},
		{"5°30′", "Angle", 5.5 * Degree},
		{"-0° 30'", "Angle", -0.5 * Degree},
		{`1°0′36"`, "Angle", 1.01 * Degree},
		{"1 h 30 min", "Time", 5400},
		{"5 ft 10.5 in", "Length", 70.5 * Inch},
		{"1.225 kg/m3", "Density", 1.225},
		{"1.225 kg/m^3", "Density", 1.225},
		{"1.225 kg m⁻³", "Density", 1.225},
		{"1.225 kg·m^-3", "Density", 1.225},
		{"1.225 kg m-3", "Density", 1.225},
		{"0.45 lb/(hp h)", "PowerConsumption", 0.45 * PoundPerHorsepowerHour},
		{"0.45 lb/(bhp·hr)", "PowerConsumption", 0.45 * PoundPerHorsepowerHour},
		{"0.45 lb/hp/h", "PowerConsumption", 0.45 * PoundPerHorsepowerHour},
		{"10 lbf-ft", "Moment", 10 * PoundForceFoot},
		{"10 lbf ft", "Energy", 10 * PoundForceFoot},
		{"10 Nm", "Moment", 10},
		{"22.5 US gal/h", "VolumeFlow", 22.5 * USGallonPerHour},
		{"500 ft per min", "VerticalSpeed", 500 * FootPerMinute},
		{"2400 rpm", "RotationRate", 40},
		{"3 °/s", "AngularRate", 3 * Degree},
		{"29.92 inHg", "Pressure", 29.92 * InchOfMercury},
		{"15 °C", "Temperature", 288.15},
		{"59 degF", "Temperature", 288.15},
		{"15 °C", "TemperatureDifference", 15},
		{"-6.5 °C/km", "LapseRate", -0.0065},
		{"-1.98 K/kft", "LapseRate", -1.98e-3 / 0.3048},
		{"12 Pound", "Mass", 12 * Pound},
		{"40 mm", "Length", 0.04},
		{"2 short tons", "Mass", 4000 * Pound},
		{"3 kg·m²", "MomentOfInertia", 3},
		{"10 sq ft", "Area", 10 * SquareFoot},
		{"-0 m", "Length", math.Copysign(0, -1)},
	} {
		got, err := Parse(c.text, c.kind)
		if err != nil {
			t.Errorf("%q: %v", c.text, err)
		} else if math.Abs(got-c.want) > 3e-16*math.Abs(c.want) || math.Signbit(got) != math.Signbit(c.want) {
			t.Errorf("%q is %v, want %v", c.text, got, c.want)
		}
	}
}

func TestParseRefuses(t *testing.T) {
	for _, c := range []struct{ text, kind, want string }{
		{"", "Speed", "there is no number"},
		{"kt", "Speed", "does not begin with a number"},
		{"95", "Speed", "a unit is missing: write m/s or kt"},
		{"95 ktt", "Speed", "did you mean kft, kt, kts?"},
		{"95 knotts", "Speed", "did you mean knot"},
		{"95 kt", "Altitude", "kt is a unit of Speed, not of Altitude: write m or ft"},
		{"95 kt", "Sped", "did you mean Speed"},
		{"1,500 ft", "Altitude", "can be read as 1500 or as 1.500"},
		{"1,500e3 ft", "Altitude", "can be read as"},
		{"1,2,3 ft", "Altitude", "grouped in threes"},
		{"1.2.3 ft", "Altitude", "grouped in threes"},
		{"12 34 m", "Length", "is not a unit"},
		{"0,123,456 m", "Length", "grouped in threes"},
		{"1/2 ft", "Length", "write a decimal"},
		{"3 1/2 in", "Length", "is not a unit"},
		{"½ ft", "Length", "write a decimal"},
		{"NaN m", "Length", "only finite numbers"},
		{"-Inf m", "Length", "only finite numbers"},
		{"1e400 m", "Length", "too large"},
		{"1e-400 m", "Length", "too small"},
		{"1e99999 m", "Length", ""},
		{"0x10 m", "Length", "no unit"},
		{"1500 lb", "Weight", "lb is a mass"},
		{"750 kg", "Force", "kg is a mass"},
		{"750 N", "Mass", "unit of Force, not of Mass"},
		{"2400 rpm", "AngularRate", "π/30"},
		{"12 rad/s", "RotationRate", "2π"},
		{"5 J", "Moment", "unit of Energy, not of Moment"},
		{"5", "Angle", "a unit is missing"},
		{"5 deg", "Ratio", "a plain number"},
		{"3.8 g", "Acceleration", "g₀"},
		{"10 gal", "Volume", "say which"},
		{"10 miles", "Length", "say which"},
		{"10 nm", "Length", "say which"},
		{"3 mW", "Power", "no unit is called"},
		{"0.45 lb/hp h", "PowerConsumption", "parentheses"},
		{"2 m/", "Length", "missing"},
		{"2 (m", "Length", "parenthesis"},
		{"2 m^", "Length", "exponent"},
		{"2 m^0", "Length", "exponent"},
		{"2 m^99", "Length", "exponent"},
		{"5 ft 14 in", "Length", "each unit smaller"},
		{"5.5 ft 1 in", "Length", "each unit smaller"},
		{"5 ft 1 kg", "Length", "cannot be summed"},
		{"20 °C 3 °C", "Temperature", "cannot be summed"},
		{strings.Repeat("9", 300) + " m", "Length", "too long"},
	} {
		got, err := Parse(c.text, c.kind)
		if err == nil {
			t.Errorf("%q as %s is %v, want an error", c.text, c.kind, got)
		} else if !strings.Contains(err.Error(), c.want) {
			t.Errorf("%q as %s: %v; want %q", c.text, c.kind, err, c.want)
		}
	}
}

func TestParseAny(t *testing.T) {
	v, u, err := ParseAny("750 kg")
	if v != 750 || u.Name != "Kilogram" || err != nil {
		t.Errorf("%v %v %v", v, u, err)
	}
	if _, _, err := ParseAny("750 kilo"); err == nil || !strings.Contains(err.Error(), "no unit") {
		t.Errorf("error %v", err)
	}
}

// TestExactRoundTrip reads back what FormatExact wrote, bit for bit, for every unit, over the whole range of float64 and around usual values.
func TestExactRoundTrip(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	for _, u := range All() {
		for i := range 24 {
			v := math.Float64frombits(random.Uint64())
			if i%2 == 0 || u.Offset != 0 {
				v = (random.Float64() - 0.3) * math.Pow(10, float64(random.IntN(9)-3)) * u.Factor
			}
			if math.IsNaN(v) || math.IsInf(v, 0) {
				continue
			}
			text := u.FormatExact(v)
			if back, err := Parse(text, u.Kind); err != nil || math.Float64bits(back) != math.Float64bits(v) {
				t.Errorf("%v in %s: %q reads as %v, %v", v, u, text, back, err)
			}
		}
	}
}

func TestExactRoundTripAtTheEdges(t *testing.T) {
	for _, v := range []float64{0, math.Copysign(0, -1), math.SmallestNonzeroFloat64, -math.MaxFloat64, math.Nextafter(1, 2), math.Nextafter(1, 0), 1e-300} {
		for _, u := range All() {
			text := u.FormatExact(v)
			if back, err := Parse(text, u.Kind); err != nil || math.Float64bits(back) != math.Float64bits(v) {
				t.Errorf("%v in %s: %q reads as %v, %v", v, u, text, back, err)
			}
		}
	}
}

func TestFormat(t *testing.T) {
	for _, c := range []struct {
		value        float64
		symbol, want string
	}{
		{95 * Knot, "kt", "95.0 kt"},
		{95 * Knot, "m/s", "48.9 m/s"},
		{1.225, "kg/m³", "1.225 kg/m³"},
		{101325, "hPa", "1013 hPa"},
		{101325, "Pa", "101325 Pa"},
		{288.15, "°C", "15.00 °C"},
		{288.15, "°F", "59.0 °F"},
		{5 * Degree, "Degree", "5.00°"},
		{5.08, "1/rad", "5.08 /rad"},
		{0.1205, "1", "0.1205"},
		{0.12, "%", "12.00 %"},
		{0, "m", "0 m"},
		{-0.05, "m", "-0.0500 m"},
		{1.458e-6, "Pa·s", "1.458e-06 Pa·s"},
		{9.9996, "m", "10.00 m"},
		{math.NaN(), "m", "NaN m"},
		{math.Inf(1), "m", "+Inf m"},
		{3, "kg m/s", "3.00 kg·m/s"},
		{3, "smoot", "3 !(no unit smoot)"},
	} {
		if got := Format(c.value, c.symbol); got != c.want {
			t.Errorf("%v in %s is %q, want %q", c.value, c.symbol, got, c.want)
		}
	}
	for _, c := range []struct {
		value        float64
		symbol, want string
	}{
		{95 * Knot, "kt", "95 kt"},
		{101325, "Pa", "101325 Pa"},
		{100000, "Pa", "100000 Pa"},
		{288.15, "°C", "15 °C"},
		{1e-6, "m", "1e-06 m"},
		{math.NaN(), "m", "NaN m"},
	} {
		if got := FormatExact(c.value, c.symbol); got != c.want {
			t.Errorf("%v in %s is exactly %q, want %q", c.value, c.symbol, got, c.want)
		}
	}
	if got := FormatPair(95*Knot, "TrueAirspeed"); got != "48.9 m/s (95.0 kt)" {
		t.Error(got)
	}
	if got := FormatPair(0.5, "Ratio"); got != "0.500" {
		t.Error(got)
	}
}

func TestTemperatures(t *testing.T) {
	for _, pair := range [][2]float64{
		{FromCelsius(-40), 233.15}, {FromFahrenheit(-40), 233.15}, {FromFahrenheit(212), 373.15}, {ToCelsius(273.15), 0}, {ToFahrenheit(273.15), 32},
	} {
		if math.Abs(pair[0]-pair[1]) > 1e-12*273 {
			t.Errorf("%v, want %v", pair[0], pair[1])
		}
	}
}

func TestRangeErrors(t *testing.T) {
	err := CheckRange("atmos.Standard", "altitude", 84852.0001, -5000, 84852, "m")
	if want := "atmos.Standard: altitude is 84852.0001 m, must be -5000 m to 84852 m"; err == nil || err.Error() != want {
		t.Errorf("%v", err)
	}
	for _, c := range []struct{ value, min, max float64 }{
		{math.NaN(), 0, 1}, {math.Inf(1), 0, math.Inf(1)}, {math.Inf(-1), math.Inf(-1), 0}, {-1, 0, math.Inf(1)}, {1, math.Inf(-1), 0},
	} {
		if CheckRange("f", "x", c.value, c.min, c.max, "m") == nil {
			t.Errorf("%v passed %v to %v", c.value, c.min, c.max)
		}
	}
	if CheckRange("f", "x", 1, 0, 1, "m") != nil || CheckPositive("f", "x", 1, "m") != nil {
		t.Error("good values refused")
	}
	for _, v := range []float64{0, -1, math.NaN(), math.Inf(1)} {
		if CheckPositive("f", "x", v, "m") == nil {
			t.Errorf("%v passed", v)
		}
	}
	for want, err := range map[string]error{
		"f: x is 210 m/s, must be 0 m/s to 202.607 m/s": CheckRange("f", "x", 210, 0, 202.60731305522864, "m/s"),
		"f: x is -60.0 °C, must be -45 °C to 60 °C":     CheckRange("f", "x", 213.15, 228.15, 333.15, "°C"),
		"f: x is -1.000, must be 200000 to 50000000":    CheckRange("f", "x", -1, 2e5, 5e7, "1"),
		"f: x is 200000 Pa, must be at most 177687 Pa":  CheckRange("f", "x", 2e5, math.Inf(-1), 177686.97546504688, "Pa"),
	} {
		if err == nil || err.Error() != want {
			t.Errorf("%v, want %s", err, want)
		}
	}
}

// FuzzParse holds that no text breaks the reader, that what it reads is finite, and that what it wrote it reads again.
func FuzzParse(f *testing.F) {
	for _, text := range []string{"95 kt", "1 234,5 m", "5°30′", "0.45 lb/(hp·h)", "1e-400 m", "(((m", "−0 °C", "1 h 30 min", "2 m^(1/2)", "%", "1,500 ft", "3 \xff"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		v, u, err := ParseAny(text)
		if err != nil {
			return
		}
		if math.IsNaN(v) || math.IsInf(v, 0) {
			t.Fatalf("%q is %v", text, v)
		}
		back, _, err := ParseAny(u.FormatExact(v))
		if err != nil || math.Float64bits(back) != math.Float64bits(v) {
			t.Fatalf("%q is %v, written %q, read as %v, %v", text, v, u.FormatExact(v), back, err)
		}
	})
}
