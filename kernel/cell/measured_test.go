package cell

import (
	"context"
	"strings"
	"testing"

	"foreplane/kernel"
	"foreplane/kernel/display"
	"foreplane/kernel/symbols"
)

// shows keeps the texts of what is displayed.
type shows struct {
	noOutput
	texts []string
}

func (s *shows) Show(b display.Bundle, _ string) { s.texts = append(s.texts, b.Text()) }

// A value of known dimension shows with its unit, and with the customary one where its kind is certain.
func TestShownWithUnits(t *testing.T) {
	for _, c := range []struct{ code, want string }{
		{"V := 95 * Knot\nV", "V = 48.9 m/s (95.0 kt)"},
		{"95 * Knot", "48.9 m/s (95.0 kt)"},
		{"V := 95 * Knot\nV / Knot", "95"},
		{"6 * 7.5", "45"},
		{"x := 3.5\nx", "3.5"},
		{"alpha := 5 * Degree\nalpha", "alpha = 0.0873 rad (5.00°)"},
		{"V := 50 * MetrePerSecond\n0.5 * 1.2 * KilogramPerCubicMetre * V * V", "1500 Pa"}, // no static pressure: not in inHg
		{"V := 50 * MetrePerSecond\nV * V", "2500 m²/s²"},
		{"T := 288.15 * Kelvin\nT", "T = 288 K (15.00 °C)"},
		{"T := 288.15 * Kelvin\nT - 273.15*Kelvin", "15.00 K"}, // a difference is not 15 K above absolute zero
		{"must(atmos.Standard(0)).Density", "1.225 kg/m³ (0.00238 slug/ft³)"},
		{"air := must(atmos.Standard(0))\nair.Density", "air.Density = 1.225 kg/m³ (0.00238 slug/ft³)"},
		{"V := []Speed{10, 20}\nV", "V = [10 20] m/s"},
		{"m := map[string]Mass{\"a\": 3}\nm", "m = map[a:3] kg"},
		{"func f() (Speed, Length, error) { return 10, 20, nil }\nf()", "10.00 m/s (19.44 kt) 20.0 m (65.6 ft)"},
		{"float64(3 * Metre)", "3"},
		{"math.Sqrt(2 * Metre)", "1.414 m^(1/2)"},
		{"show(3*Metre)\nV := 10*Knot\nshow(V, 3)\nshowAs(\"a\", V)", "3.00 m (9.84 ft)\nV = 5.14 m/s (10.00 kt) 3\nV = 5.14 m/s (10.00 kt)"},
		{"func f(x float64) { show(x) }\nf(3*Metre)", "3"}, // of any dimension
		{"type state struct {\n\tV Speed\n\tH Length\n\tN int\n}\nstate{50, 1000, 3}", "V (m/s)  H (m)  N\n───────  ─────  ─\n     50   1000  3"},
		{"type state struct {\n\tV Speed\n\tName string\n}\n[]state{{50, \"a\"}, {60, \"b\"}}", "V (m/s)  Name\n───────  ────\n     50  a\n     60  b"},
		{"type state struct{ V Speed }\nfunc (s state) String() string { return \"own\" }\nstate{50}", "own"},
		{"type state struct{ V []Speed }\nstate{}", "{[]}"},
	} {
		runner, err := NewLocal(symbols.Library)
		if err != nil {
			t.Fatal(err)
		}
		e, out := NewEngine(NewFront(symbols.Library), runner), new(shows)
		r := e.Run(context.Background(), kernel.Cell{Code: c.code, Number: 1}, out)
		got := out.texts
		if r.Err != nil || r.Value != nil {
			got = append(got, text(r))
		}
		if text := strings.TrimSpace(strings.Join(got, "\n")); text != c.want {
			t.Errorf("%s\ngot\n%s\nwant\n%s", c.code, text, c.want)
		}
		e.Close()
	}
}

// A variable that is declared again with another dimension is another variable: no function prints its old unit.
func TestRedimensioned(t *testing.T) {
	runner, err := NewLocal(symbols.Library)
	if err != nil {
		t.Fatal(err)
	}
	e := NewEngine(NewFront(symbols.Library), runner)
	defer e.Close()
	for i, c := range []struct{ code, want string }{
		{"V := 50 * MetrePerSecond\nfunc f() float64 { show(V); return V }\ng := func() { show(V) }\nf()", "V = 50.0 m/s (97.2 kt)\n50.0 m/s (97.2 kt)"},
		{"V := 60 * MetrePerSecond\nf()", "V = 60.0 m/s (116.6 kt)\n60.0 m/s (116.6 kt)"},
		{"V := 3 * Second", ""},
		{"f()", "3\n3"},
		{"V", "V = 3.00 s (0.0500 min)"},
		{"g()", "V = 60.0 m/s (116.6 kt)"}, // the closure keeps what it has captured
		{"V := 7.0", ""},
		{"f()", "7\n7"},
	} {
		out := new(shows)
		r := e.Run(context.Background(), kernel.Cell{Code: c.code, Number: i + 1}, out)
		if got := strings.TrimSpace(strings.Join(append(out.texts, text(r)), "\n")); c.want != "" && got != c.want {
			t.Errorf("%s\ngot  %q\nwant %q", c.code, got, c.want)
		}
	}
}
