package section_test

import (
	"fmt"

	"foreplane/aerolib/section"
	"foreplane/aerolib/unit"
)

func ExampleThinTheory() {
	naca, _ := section.NACA("2412")
	thin, _ := section.ThinTheory(naca.Line)
	fmt.Printf("zero lift at %.2f°, moment %.4f\n", thin.ZeroLift/unit.Degree, thin.Moment)
	// Output: zero lift at -2.08°, moment -0.0531
}

func ExamplePlainFlap() {
	flap, _ := section.PlainFlap(0.25)
	fmt.Printf("a quarter-chord flap is worth %.2f of its angle\n", flap.Effectiveness)
	// Output: a quarter-chord flap is worth 0.61 of its angle
}

func ExamplePanels() {
	naca, _ := section.NACA("0012")
	contour, _ := naca.Sharp().Contour()
	flow, _ := section.Panels(contour)
	p, _ := flow.At(4 * unit.Degree)
	fmt.Printf("cl at 4°: %.2f\n", p.CL)
	// Output: cl at 4°: 0.48
}

// A section is shown by its geometry.
func ExampleProfile_String() {
	p, err := section.NACA("2412")
	fmt.Println(p, err)
	// Output: NACA 2412: thickness 12.0 % at 30 % of the chord, camber 2.0 % at 40 %, leading-edge radius 1.59 %, trailing edge 0.25 % thick <nil>
}
