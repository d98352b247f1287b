package cell

import (
	"slices"
	"strings"
	"testing"
)

// Where a quantity is expected, its units come first.
func TestCompleteUnits(t *testing.T) {
	f := newTestFront(t, "V := 95 * Knot\nh := 6500 * Foot\ntype leg struct {\n\tLength Length\n\tV Speed\n}")
	for _, c := range []struct{ name, code, first string }{
		{"argument", "atmos.Standard(6500 * F|", "Foot"},
		{"argument without product", "atmos.Standard(Fo|", "Foot"},
		{"sum", "V + 5*K|", "Knot KilometrePerHour"},
		{"sum with a product in it", "V + 2*3*Kn|", "Knot"},
		{"small letters", "V + 5*kn|", "Knot"},
		{"comparison", "if h > 3000*F|", "Foot"},
		{"divisor", "V / K|", "Knot KilometrePerHour"},
		{"assignment", "h = 3000*F|", "Foot"},
		{"sum and assignment", "h += 3000*F|", "Foot"},
		{"declaration", "var c Speed = 60*K|", "Knot KilometrePerHour"},
		{"field", "leg{Length: 3*K|", "Kilometre Kilofoot"},
		{"list", "[]Mass{600*K|", "Kilogram"},
		{"map", "map[string]Mass{\"a\": 600*K|", "Kilogram"},
		{"result", "func f() Force {\n\treturn 3*N|", "Newton"},
		{"result of a literal", "f := func() (Speed, Force) { return 0, 3*N| }", "Newton"},
		{"local of the unfinished cell", "p := 3 * Pascal\np < 4*H|", "Hectopascal"},
		{"angle", "alpha := 3 * Degree\nalpha + 2*D|", "Degree"},
		{"symbol", "x := 3 * kt|", "Knot"},
		{"symbol where it fits", "V + 3 * kt|", "Knot"},
		{"no quantity", "x := 3 * Kn|", "Knot"},
		{"factor with dimension", "h * V * Kilog|", "Kilogram"},
	} {
		code, cursor := at(t, c.code)
		got := texts(f.Complete(code, cursor))
		want := strings.Fields(c.first)
		if len(got) < len(want) {
			t.Errorf("%s: %v", c.name, got)
			continue
		}
		first := got[:len(want)]
		slices.Sort(first)
		slices.Sort(want)
		if !slices.Equal(first, want) {
			t.Errorf("%s: %v, want %v first", c.name, got[:min(len(got), 8)], want)
		}
	}
	if q, ok := f.dims.Object(f.session.names["h"]); !ok || q.Symbol != "m" {
		t.Error("unfinished code has left its traces:", q)
	}
}

// Candidates say in which unit they are held.
func TestCompleteUnitOfVariables(t *testing.T) {
	f := newTestFront(t, "reach := 95 * Knot * Hour\nair := must(atmos.Standard(0))")
	for code, want := range map[string]string{"rea|": "float64 in m", "air.Dens|": "Density in kg/m³", "Kno|": "Speed = 0.5144444444444445"} {
		code, cursor := at(t, code)
		if got := f.Complete(code, cursor).Items; len(got) == 0 || got[0].Signature != want {
			t.Errorf("%s: %v, want %s", code, got, want)
		}
	}
}
