package aircraft_test

import (
	"fmt"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/unit"
)

func ExampleSedge() {
	a := aircraft.Sedge()
	fmt.Printf("%s: %.0f kg on %.2f m², %.0f hp\n", a.Name, a.Mass, a.Area(), a.Power/unit.Horsepower)
	for _, s := range a.Surfaces {
		fmt.Printf("%s: %.2f m², mean chord %.2f m\n", s.Name, s.Area(), s.MeanChord())
	}
	// Output:
	// Sedge: 700 kg on 11.50 m², 114 hp
	// wing: 9.45 m², mean chord 1.09 m
	// foreplane: 2.05 m², mean chord 0.50 m
	// tip fins: 0.55 m², mean chord 0.53 m
}

func ExampleBracken() {
	a := aircraft.Bracken()
	fmt.Printf("CG at %.0f %% of the mean chord of the %s\n", 100*a.Reference.Fraction(a.CG), a.Reference.Name)
	// Output: CG at 35 % of the mean chord of the wing
}

func ExampleAircraft_With() {
	a := aircraft.Sedge()
	wing, _ := a.Surface("wing")
	wing.Sweep = 15 * unit.Degree
	b := a.With(wing)
	now, _ := b.Surface("wing")
	before, _ := a.Surface("wing")
	fmt.Printf("quarter chord from %.2f m to %.2f m\n", before.QuarterChord(), now.QuarterChord())
	// Output: quarter chord from 4.28 m to 4.01 m
}

func ExampleReferenceOf() {
	wing, _ := aircraft.Bracken().Surface("wing")
	r := aircraft.ReferenceOf(wing)
	fmt.Printf("%.2f m², %.3f m, %.2f m\n", r.Area, r.Chord, r.Span)
	// Output: 9.45 m², 1.057 m, 9.00 m
}
