package aircraft_test

import (
	"math"
	"testing"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/unit"
)

// TestFleetComparable holds what the layouts are compared on.
func TestFleetComparable(t *testing.T) {
	a, b := aircraft.Sedge(), aircraft.Bracken()
	near(t, "mass", a.Mass, b.Mass, 1e-12)
	near(t, "power", a.Power(), b.Power(), 0)
	near(t, "total area", a.Area(), b.Area(), 1e-4)
	near(t, "wing area", a.Reference.Area, b.Reference.Area, 0)
	near(t, "span", a.Reference.Span, b.Reference.Span, 0)
	near(t, "CG of Sedge", a.CG, 3.38, 1e-7)
	near(t, "CG of Bracken", b.CG, 2.40, 1e-7)
	for _, x := range aircraft.Fleet() {
		sum, err := x.Balance()
		if err != nil || sum.Mass != x.Mass || sum.X != x.CG || sum.Z != x.CGHeight || math.Abs(sum.Y) > 1e-12 {
			t.Errorf("%s: the masses sum to %+v, the state is %v kg at %v m (%v)", x.Name, sum, x.Mass, x.CG, err)
		}
		if wing, err := x.Surface(x.Reference.Name); err == nil { // stated, and that of the surface to what is printed
			r := aircraft.ReferenceOf(wing)
			near(t, x.Name+" reference area", x.Reference.Area, r.Area, 1e-9)
			near(t, x.Name+" reference chord", x.Reference.Chord, r.Chord, 1e-9)
			near(t, x.Name+" reference span", x.Reference.Span, r.Span, 1e-9)
			near(t, x.Name+" reference leading edge", x.Reference.LeadingEdge, r.LeadingEdge, 1e-9)
		} else {
			near(t, x.Name+" reference area", x.Reference.Area, x.Area(), 1e-9)
		}
	}
}

// TestFleetPlausible holds ratios of light two-seat aeroplanes (common practice). Stability is for package trim.
func TestFleetPlausible(t *testing.T) {
	for _, a := range aircraft.Fleet() {
		within := func(what string, value, low, high float64) {
			t.Helper()
			t.Logf("%-8s %-34s %8.3f  (%g to %g)", a.Name, what, value, low, high)
			if !(low <= value && value <= high) {
				t.Errorf("%s: %s is %.4g, must be %g to %g", a.Name, what, value, low, high)
			}
		}
		r := a.Reference
		within("mass, kg", a.Mass, 600, 750)
		within("power, kW", a.Power()/unit.Kilowatt, 75, 90)
		within("mass over total area, kg/m²", a.Mass/a.Area(), 50, 75)
		within("mass over power, kg/kW", a.Mass/(a.Power()/unit.Kilowatt), 7, 10)
		stated := 0.0
		for _, d := range a.Drag {
			stated += d.Area
		}
		within("stated drag area, m²", stated, 0.06, 0.1)
		stance, err := a.Stand()
		if err != nil {
			t.Error(err)
		}
		within("share of the nose wheel", stance.Share, 0.08, 0.17)
		within("tip-back, °", stance.TipBack/unit.Degree, 12, 22)
		within("scrape, °", stance.Scrape/unit.Degree, 12, 30)
		within("tip-back beyond scrape, °", (stance.TipBack-stance.Scrape)/unit.Degree, 0, 5)
		within("overturn, °", stance.Overturn/unit.Degree, 40, 63)
		within("propeller clearance, m", stance.Clearance, 0.23, 0.9)
		body := a.Bodies[0]
		within("fineness of the body", body.Fineness(), 3.5, 7)
		within("wet skin of the body, m²", body.WettedArea(), 9, 20)
		wet := body.WettedArea()
		fin := 0.0
		for _, s := range a.Surfaces {
			wet += a.WettedArea(s)
			if s.Role.Upright() {
				fin += a.TailVolume(s)
			}
		}
		within("wet area over reference area", wet/r.Area, 3, 5)
		within("fin volume", fin, 0.03, 0.05)
		inertia, _ := a.Balance()
		i := inertia.Inertia
		within("radius of inertia in roll over span", math.Sqrt(i.XX/a.Mass)/r.Span, 0.1, 0.2)
		front, back := a.Extent()
		within("radius of inertia in pitch over length", math.Sqrt(i.YY/a.Mass)/(back-front), 0.15, 0.25)
		within("Izz over Ixx + Iyy, 1 if flat", i.ZZ/(i.XX+i.YY), 0.85, 1)
	}
}
