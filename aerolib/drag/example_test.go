package drag_test

import (
	"fmt"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/drag"
	"foreplane/aerolib/unit"
)

func ExampleBuild() {
	f, err := drag.At(6500*unit.Foot, 110*unit.Knot)
	if err != nil {
		panic(err)
	}
	for _, a := range []aircraft.Aircraft{aircraft.Sedge(), aircraft.Bracken()} {
		b, err := drag.Build(a, f, drag.Options{})
		if err != nil {
			panic(err)
		}
		body, err := b.Item("body")
		if err != nil {
			panic(err)
		}
		fmt.Printf("%s: CDA %.2f m²; form factors of its body: %v\n", a.Name, b.CDA, body.Factors)
	}
	// Output:
	// Sedge: CDA 0.22 m²; form factors of its body: [Raymer 2.00 (outside its range: fineness 3.92, must be 6 to 20) Hoerner 1.309]
	// Bracken: CDA 0.22 m²; form factors of its body: [Raymer 1.457 (outside its range: fineness 5.13, must be 6 to 20) Hoerner 1.181]
}

func ExampleUntrimmed() {
	f, err := drag.At(6500*unit.Foot, 110*unit.Knot)
	if err != nil {
		panic(err)
	}
	p, err := drag.Untrimmed(aircraft.Bracken(), f, drag.Options{}, drag.Sweep{})
	if err != nil {
		panic(err)
	}
	cd, err := p.CD(0.5)
	if err != nil {
		panic(err)
	}
	e, err := p.SpanEfficiency(0.5)
	if err != nil {
		panic(err)
	}
	fit, err := p.Fit(0, 0.9)
	if err != nil {
		panic(err)
	}
	fmt.Printf("CD %.3f at CL 0.5; span efficiency %.2f, Oswald factor %.2f\n", cd, e, fit.Oswald)
	// Output:
	// CD 0.033 at CL 0.5; span efficiency 1.00, Oswald factor 0.96
}

func ExampleOf() {
	f, err := drag.At(6500*unit.Foot, 110*unit.Knot)
	if err != nil {
		panic(err)
	}
	a := aircraft.Sedge()
	b, err := drag.Build(a, f, drag.Options{})
	if err != nil {
		panic(err)
	}
	induced, err := drag.PrandtlMunk([]drag.EllipticLoad{
		{Surface: "wing", Span: 9, CL: 0.40},
		{Surface: "foreplane", Span: 4.1, Height: 0.2, CL: 0.12},
	}, a.Reference, 0)
	if err != nil {
		panic(err)
	}
	whole, err := drag.Of(b, []drag.Load{{Surface: "wing", CL: 0.40}, {Surface: "foreplane", CL: 0.12 * 9.45 / 2.05}}, induced)
	if err != nil {
		panic(err)
	}
	fmt.Printf("CL %.2f, CD %.3f, of which %.3f is induced; L/D %.0f\n", whole.CL, whole.CD, whole.Induced, whole.LiftToDrag())
	// Output:
	// CL 0.52, CD 0.036, of which 0.012 is induced; L/D 15
}
