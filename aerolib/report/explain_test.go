package report

import (
	"fmt"
	"log"
	"regexp"
	"strings"
	"testing"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/atmos"
	"foreplane/aerolib/drag"
	"foreplane/aerolib/perf"
	"foreplane/aerolib/prop"
	"foreplane/aerolib/trim"
	"foreplane/aerolib/unit"
)

func ExampleExplain() {
	air, err := atmos.Standard(0)
	if err != nil {
		log.Fatal(err)
	}
	e, err := Explain(air)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(e.Equations[0].Formula)
	fmt.Println(e.Equations[0].Numbers)
	// Output:
	// \rho = \frac{p}{R\,T}
	// 1.225\,\mathrm{kg/m^{3}} = \frac{101325\,\mathrm{Pa}}{R \cdot 288\,\mathrm{K}}
}

func TestExplain(t *testing.T) {
	c, err := trim.At(6500*unit.Foot, 110*unit.Knot)
	if err != nil {
		t.Fatal(err)
	}
	sedge, err := trim.Solve(aircraft.Sedge(), c)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		result any
		wants  []string
	}{
		{c.Air, []string{"speed of sound", `\sqrt{\gamma R\,T}`, "U.S. Standard Atmosphere"}},
		{sedge, []string{"lift of the foreplane", "equilibrium of moments", unit.Format(sedge.MomentResidual, "N·m"), trim.Caution}},
		{sedge.Neutral, []string{"shift by wing", "static margin", `x_{np} = x_{cg}`}},
		{drag.Buildup{Items: []drag.Item{{Name: "body", Wetted: 10, Friction: 0.003, Form: 1.2, Interference: 1, CDA: 0.036, Source: "somebody"}}, Reference: aircraft.Reference{Area: 9}},
			[]string{`0.0360\,\mathrm{m^{2}} = 0.00300 \cdot 1.200 \cdot 1.000 \cdot 10.00\,\mathrm{m^{2}}`, "somebody"}},
		{prop.Operating{Thrust: 1000, V: 50, Power: 62500, Efficiency: 0.8}, []string{`0.800 = \frac{1000\,\mathrm{N} \cdot 50.0\,\mathrm{m/s}}{62500\,\mathrm{W}}`}},
		{perf.Flight{Speed: 40, Rate: 4, Angle: 0.1}, []string{"rate of climb", perf.Caution}},
	} {
		e, err := Explain(c.result)
		if err != nil {
			t.Fatal(err)
		}
		for form, text := range map[string]string{"text": e.Text(), "Markdown": e.Markdown()} {
			plain := strings.Join(strings.Fields(text), " ")
			for _, want := range c.wants {
				if !strings.Contains(plain, want) {
					t.Errorf("the %s of %T lacks %s:\n%s", form, c.result, want, text)
				}
			}
		}
		checkBraces(t, e)
	}
	if _, err := Explain(3); err == nil || !strings.Contains(err.Error(), "no explanation of int") {
		t.Errorf("%v", err)
	}
}

var unitLeft = regexp.MustCompile(`[²³·°]`)

// checkBraces holds that formulas can be typeset: braces match, and no sign of a unit is left that LaTeX does not know.
func checkBraces(t *testing.T, e Explanation) {
	t.Helper()
	for _, q := range e.Equations {
		for _, f := range []string{q.Formula, q.Numbers} {
			if strings.Count(f, "{") != strings.Count(f, "}") || strings.Count(f, `\left(`) != strings.Count(f, `\right)`) || unitLeft.MatchString(f) {
				t.Errorf("%s: %s", q.Name, f)
			}
		}
	}
	if lines := strings.Count(e.Align(), "&&"); lines != len(e.Equations) {
		t.Errorf("%d lines of %d equations", lines, len(e.Equations))
	}
}
