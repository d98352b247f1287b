package figure

import (
	"fmt"
	"math"
	"slices"

	"foreplane/aerolib/prop"
	"foreplane/aerolib/unit"
)

// propCaution stands below figures of installed propellers, which lead to climb and field lengths.
const propCaution = "For study and preliminary work; the approved flight manual, local regulations and licensed engineers decide."

// Waterfall draws where the shaft power of an installed propeller goes: each row of its bookkeeping begins where the one before ended.
func Waterfall(b prop.Books) *Figure {
	names := make([]string, len(b.Rows))
	for i, r := range b.Rows {
		names[i] = r.Name
	}
	kind := "tractor"
	if b.Pusher {
		kind = "pusher"
	}
	f := Bars("Where the power goes: "+b.Aircraft+", "+kind, Axis{Label: "Power", Unit: "kW"}, names...)
	f.Caption = fmt.Sprintf("At %s TAS η is %s apparent and %s net. %s", unbroken(fixed(b.Installed.V/unit.Knot, 0)+" kt"), fixed(b.Apparent, 3), fixed(b.Net, 3), propCaution)
	at := 0.0
	for i, r := range b.Rows {
		if !finite(r.Power) {
			return f.fail("Waterfall", r.Name, "its power is %g, must be finite", r.Power)
		}
		label, from := "loss", at
		switch {
		case r.Total:
			label, from, at = "power", 0, 0
		case r.Power > 0:
			label = "gain"
		}
		f.shapes = append(f.shapes, barShape(label, i, from, from+r.Power, f.lookFor(label)))
		at += r.Power
	}
	return f
}

// PropellerEfficiency draws the efficiency of a chart against the advance ratio, a curve for each pitch, with the line along which a propeller works, such as full throttle from
// rest to the greatest speed.
func PropellerEfficiency(c prop.Chart, line ...prop.Operating) *Figure {
	return chart("Efficiency of the propeller", "Efficiency η", c, line, func(p prop.Point) float64 {
		if p.CT <= 0 || p.CP <= 0 { // braking and windmilling have no efficiency
			return math.NaN()
		}
		return p.Efficiency()
	})
}

// PropellerThrust draws CT as [PropellerEfficiency] does efficiency.
func PropellerThrust(c prop.Chart, line ...prop.Operating) *Figure {
	return chart("Thrust of the propeller", "Thrust coefficient C_T", c, line, func(p prop.Point) float64 { return p.CT })
}

// PropellerPower draws CP as [PropellerEfficiency] does efficiency.
func PropellerPower(c prop.Chart, line ...prop.Operating) *Figure {
	return chart("Power of the propeller", "Power coefficient C_P", c, line, func(p prop.Point) float64 { return p.CP })
}

// chart draws a quantity of all curves of a chart and of the operating line.
func chart(title, label string, c prop.Chart, line []prop.Operating, of func(prop.Point) float64) *Figure {
	f := New(title, Axis{Label: "Advance ratio J"}, Axis{Label: label, Zero: true})
	f.Caption = "Curves are marked with the pitch at 75 % of the radius."
	if len(c.Points()) == 0 {
		return f.fail("Propeller", c.Name, "the chart has no points")
	}
	var J, y []float64
	for _, o := range line {
		J, y = append(J, o.Point.J), append(y, of(o.Point))
	}
	if len(line) > 0 {
		f.Curve("operating line", J, y)
	}
	for _, pitch := range c.Pitches() {
		var J, y []float64
		for _, p := range c.Points() {
			if v := of(p); p.Pitch == pitch && !math.IsNaN(v) {
				J, y = append(J, p.J), append(y, v)
			}
		}
		if len(J) > 1 {
			f.Curve(fixed(pitch/unit.Degree, 0)+"°", J, y)
		}
	}
	return f
}

// BladeLoad draws the thrust over the radius of a propeller, of all blades, for one or several states, each named by its speed.
func BladeLoad(states ...prop.State) *Figure {
	f := New("Thrust along the blade", Axis{Label: "Radius r/R"}, Axis{Label: "Thrust over radius dT/dr", Unit: "N/m", Zero: true})
	f.Caption = "All blades together."
	if len(states) == 0 {
		return f.fail("BladeLoad", "", "no states")
	}
	for _, s := range states {
		var x, y []float64
		for _, e := range s.Elements {
			x, y = append(x, e.Radius), append(y, e.Thrust)
		}
		f.Curve(unbroken(fixed(s.Flow.V/unit.Knot, 0)+" kt"), x, y)
	}
	if slices.ContainsFunc(states, func(s prop.State) bool { return s.Thrust < 0 }) {
		f.Caption += " Below zero the blades brake."
	}
	return f
}
