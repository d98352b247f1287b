package cell

import (
	"context"
	"testing"

	"foreplane/kernel"
	"foreplane/kernel/display"
	"foreplane/kernel/symbols"
)

func TestProse(t *testing.T) {
	const state = "V := 95 * Knot\nn := 3\nname := \"Sedge\"\ntype state struct{ Alpha Angle; CL float64 }\nr := state{4 * Degree, 0.55}\nT := 288.15 * Kelvin"
	for _, c := range []struct{ code, want string }{
		{`prose("{{.name}} flies at {{.V}}, that is {{.V | in \"kt\" | digits 2}}, with {{.n}} aboard.")`, "Sedge flies at 48.9 m/s, that is 95 kt, with 3 aboard."},
		{"prose(`α = {{.r.Alpha | in \"°\"}}, $C_L = {{.r.CL | digits 3}}$, ${{.V}}$, {{.V | bare}}, {{.T | in \"°C\"}}`)", "α = 4.00°, $C_L = 0.550$, $48.9\\,\\mathrm{m/s}$, 48.9, 15.00 °C"},
		{"prose(`no value in it`)", "no value in it"},
		{"prose(`{{.W}}`)", "Check: cell 2, line 1, column 8: {{.W}}: there is no W here; did you mean Watt? (Go: undefined: W)"},
		{"prose(`{{.r.Beta}}`)", "Check: cell 2, line 1, column 8: {{.r.Beta}}: r is a state and has no Beta (Go: r.Beta undefined (type state has no field or method Beta))"},
		{"prose(`{{V}}`)", "Check: cell 2, line 1, column 7: {{V}}: the name of a value stands behind a dot: {{.V}}"},
		{"prose(`{{.V | in \"kg\"}}`)", "Error: cell 2, line 1, column 1: {{.V | in \"kg\"}}: it is in m/s, which cannot be written in kg"},
		{"prose(`{{.V | in \"kn0t\"}}`)", "Error: cell 2, line 1, column 1: {{.V | in \"kn0t\"}}: \"kn0t\": \"0\" is not an exponent between -9 and 9"},
		{"prose(`{{.name | digits 3}}`)", "Error: cell 2, line 1, column 1: {{.name | digits 3}}: it is no number, so in, digits and bare do not fit"},
		{"text := `a`\nprose(text)", "Check: cell 2, line 2, column 7: the text of prose is written out, since the values in it are looked up before the cell runs"},
		{"func prose(s string) string { return s }\nprose(`{{.V}}`)", "{{.V}}"},
	} {
		runner, err := NewLocal(symbols.Library)
		if err != nil {
			t.Fatal(err)
		}
		e := NewEngine(NewFront(symbols.Library), runner)
		if r := e.Run(context.Background(), kernel.Cell{Code: state, Number: 1}, noOutput{}); r.Err != nil {
			t.Fatal(r.Err)
		}
		r := e.Run(context.Background(), kernel.Cell{Code: c.code, Number: 2}, noOutput{})
		got := text(r)
		if r.Value != nil && r.Value.Data[display.TypeMarkdown] != nil {
			got = r.Value.Data[display.TypeMarkdown].(string)
		}
		if got != c.want {
			t.Errorf("%s\ngot  %s\nwant %s", c.code, got, c.want)
		}
	}
}
