package aircraft_test

import (
	"fmt"
	"math"
	"testing"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/unit"
)

// TestResized: areas go with the square, arms stay, tip fins stand on their tips, and named masses follow.
func TestResized(t *testing.T) {
	for _, a := range aircraft.Fleet() {
		b := a.Resized(func(s aircraft.Surface) unit.Ratio {
			if s.Role == aircraft.Wing {
				return 1.2
			}
			return 0.9
		})
		if err := b.Validate(); err != nil {
			t.Fatal(err)
		}
		mass := a.Mass
		for i, s := range a.Surfaces {
			k := 0.9
			if s.Role == aircraft.Wing {
				k = 1.2
			}
			u := b.Surfaces[i]
			near(t, s.Name+" area", u.Area(), k*k*s.Area(), 1e-12)
			near(t, s.Name+" sweep", u.SweepAt(0.25), s.SweepAt(0.25), 1e-12)
			if !s.Role.Upright() {
				near(t, s.Name+" quarter chord", u.QuarterChord(), s.QuarterChord(), 1e-12)
				near(t, s.Name+" height", u.Height(), s.Height(), 1e-12)
			}
			for _, m := range a.Masses {
				if m.Name == s.Name {
					mass += (k*k - 1) * m.Mass
				}
			}
		}
		near(t, "mass", b.Mass, mass, 1e-12)
		sum, _ := b.Balance()
		near(t, "sum of the masses", sum.Mass, b.Mass, 1e-12)
		near(t, "CG", b.CG, a.CG, 0)
		near(t, "quarter of the reference chord", b.Reference.LeadingEdge+b.Reference.Chord/4, a.Reference.LeadingEdge+a.Reference.Chord/4, 1e-12)
		if wing, err := b.Surface(b.Reference.Name); err == nil {
			near(t, "reference area", b.Reference.Area, wing.Area(), 1e-9)
			near(t, "reference chord", b.Reference.Chord, wing.MeanChord(), 1e-9)
			near(t, "reference span", b.Reference.Span, wing.Span(), 1e-9)
		} else {
			near(t, "reference area", b.Reference.Area, b.Area(), 1e-9)
			near(t, "reference span", b.Reference.Span*b.Reference.Chord*math.Sqrt(a.Area()/b.Area()), a.Reference.Span*a.Reference.Chord*math.Sqrt(b.Area()/a.Area()), 1e-9)
		}
	}
	a := aircraft.Sedge()
	b := a.Resized(func(aircraft.Surface) unit.Ratio { return 1.1 })
	wing, fin := b.Surfaces[0], b.Surfaces[2]
	near(t, "fin at the tip", fin.Root().Y, wing.Tip().Y, 1e-9)
	near(t, "its leading edge", fin.Root().X-wing.Tip().X, a.Surfaces[2].Root().X-a.Surfaces[0].Tip().X, 1e-9)
	if got := aircraft.Bracken().Resized(func(aircraft.Surface) unit.Ratio { return 1.1 }).Surfaces[2].Root(); got.X != aircraft.Bracken().Surfaces[2].Root().X {
		t.Error("a fin on the body moved")
	}
}

// TestLoaded: the payload is that which was asked for, in the old proportion.
func TestLoaded(t *testing.T) {
	a := aircraft.Sedge()
	near(t, "payload", a.Payload(), 260, 1e-12)
	b := a.Loaded(390)
	near(t, "payload", b.Payload(), 390, 1e-12)
	near(t, "mass", b.Mass, a.Mass+130, 1e-12)
	sum, _ := b.Balance()
	near(t, "sum", sum.Mass, b.Mass, 1e-12)
	near(t, "fuel", b.Masses[11].Mass, 1.5*76, 1e-12)
	if err := b.Validate(); err != nil {
		t.Error(err)
	}
	if a.Payload() != 260 {
		t.Error("the original changed")
	}
	a.Masses = nil
	near(t, "no masses", a.Loaded(100).Mass, a.Mass, 0)
}

func ExampleAircraft_Resized() {
	a := aircraft.Sedge()
	b := a.Resized(func(s aircraft.Surface) unit.Ratio {
		if s.Role == aircraft.Foreplane {
			return 1.1
		}
		return 1
	})
	fmt.Printf("foreplane of %.2f m² becomes %.2f m², %.1f kg heavier\n", a.Surfaces[1].Area(), b.Surfaces[1].Area(), b.Mass-a.Mass)
	// Output: foreplane of 2.05 m² becomes 2.48 m², 2.9 kg heavier
}

func ExampleAircraft_Loaded() {
	a := aircraft.Sedge()
	fmt.Printf("%.0f kg of payload in %.0f kg\n", a.Payload(), a.Mass)
	fmt.Printf("%.0f kg with half of it\n", a.Loaded(a.Payload()/2).Mass)
	// Output:
	// 260 kg of payload in 700 kg
	// 570 kg with half of it
}
