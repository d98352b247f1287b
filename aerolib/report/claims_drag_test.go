package report_test

import (
	"fmt"
	"math"
	"testing"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/drag"
	"foreplane/aerolib/unit"
)

// streamlined is a body 1.15 m across with an elliptic nose of 1.2 m, a cylinder, and a tail that is a cone.
func streamlined(length, tail unit.Length) aircraft.Body {
	const across, nose unit.Length = 1.15, 1.2
	b := aircraft.Body{Name: "body"}
	for i := range 25 {
		x := nose * float64(i) / 24
		d := across * math.Sqrt(1-(1-x/nose)*(1-x/nose))
		b.Stations = append(b.Stations, aircraft.BodyStation{X: x, Width: d, Height: d})
	}
	return aircraft.Body{Name: b.Name, Stations: append(b.Stations,
		aircraft.BodyStation{X: length - tail, Width: across, Height: across}, aircraft.BodyStation{X: length, Width: 0.01, Height: 0.01})}
}

// skin returns the drag area of a body in turbulent flow at 50 m/s at sea level, without its form.
func skin(t *testing.T, b aircraft.Body) unit.Area {
	const perLength = 50 / 1.4607e-5 // V/ν of the standard atmosphere
	friction := must[unit.Coefficient](t)(drag.Plate{Length: b.Length(), Reynolds: perLength * b.Length(), Transition: drag.Transition{Turbulent: true}}.Friction())
	return friction * b.WettedArea()
}

// shortBody: how the drag of a body depends on its length.
func shortBody(t *testing.T) claim {
	const usualTail unit.Length = 2.5 // walls at 13°
	const sameShape unit.Ratio = 0.09 // the independent computation states no shape, and its two columns differ by 4 % more than the factors do
	area := func(length unit.Length, form drag.Form) unit.Area {
		b := streamlined(length, usualTail)
		for _, f := range must[[]drag.Factor](t)(drag.BodyForms(b.Fineness())) {
			if f.Form == form {
				return f.Value * skin(t, b)
			}
		}
		t.Fatalf("no form factor of %s", form)
		return 0
	}
	c := claim{number: 7, text: "A shorter body has less parasite drag.",
		verdict: "True at moderate fineness. Of very short bodies regressions disagree, and what decides is whether the flow follows the aft body.",
		how:     "turbulent plate (Prandtl, Schlichting), wetted area of the body, form factors 1 + 60/f³ + f/400 (Raymer) and 1 + 1.5/f^1.5 + 7/f³ (Hoerner), 50 m/s; closure of package drag"}
	for _, at := range []struct{ length, raymer, hoerner float64 }{{4.5, 0.0607, 0.038}, {5.5, 0.0614, 0.046}, {7, 0.0670, 0.057}, {8, 0.0724, 0}} {
		name := fmt.Sprintf("drag area of %.1f m", at.length)
		c.numbers = append(c.numbers, number{name + ", Raymer", area(at.length, drag.Raymer), "m²", 4, at.raymer, sameShape * at.raymer})
		c.numbers = append(c.numbers, number{name + ", Hoerner", area(at.length, drag.Hoerner), "m²", 4, at.hoerner, sameShape * at.hoerner})
	}
	change := func(form drag.Form) unit.Ratio { return 100 * (area(5.5, form)/area(7, form) - 1) }
	blunt := streamlined(4.5, 1.2) // walls at 25°
	closure := must[drag.Closure](t)(drag.CloseOf(blunt, nil, skin(t, blunt), 0.15, false))
	pushed := must[drag.Closure](t)(drag.CloseOf(blunt, []aircraft.Plant{{Name: "engine", X: 4.6, Diameter: 1.7, Pusher: true}}, skin(t, blunt), 0.15, false))
	c.numbers = append(c.numbers,
		number{"from 7 to 5.5 m, Raymer", change(drag.Raymer), "%", 0, -8, 1.5}, number{"from 7 to 5.5 m, Hoerner", change(drag.Hoerner), "%", 0, -20, 1.5},
		number{"4.5 m with a tail of 1.2 m, which the flow leaves: added", closure.Drag, "m²", 4, 0, 0})
	c.holds = []condition{
		{"from 7 to 5.5 m both regressions have less drag", change(drag.Raymer) < 0 && change(drag.Hoerner) < 0},
		{"from 5.0 to 4.5 m one has none less, the other has", area(4.5, drag.Raymer) > 0.995*area(5, drag.Raymer) && area(4.5, drag.Hoerner) < 0.95*area(5, drag.Hoerner)},
		{"a tail that is too short drags more than its skin saves", !closure.Attached && closure.Drag > area(5.5, drag.Hoerner)-area(4.5, drag.Hoerner)},
		{"a pusher under power holds the flow to it (Raymer)", pushed.Attached},
	}
	return c
}
