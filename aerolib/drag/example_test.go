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
		fmt.Printf("%s: CDA %.3f m², of which the body has %.0f %%; its form factors: %v\n", a.Name, b.CDA, 100*body.Share, body.Factors)
	}
	// Output:
	// Sedge: CDA 0.224 m², of which the body has 20 %; its form factors: [Raymer 2.00 (outside its range: fineness 3.92, must be 6 to 20) Hoerner 1.309]
	// Bracken: CDA 0.223 m², of which the body has 21 %; its form factors: [Raymer 1.457 (outside its range: fineness 5.13, must be 6 to 20) Hoerner 1.181]
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
	fmt.Printf("CD %.4f at CL 0.5; span efficiency %.3f, Oswald factor %.3f\n", cd, e, fit.Oswald)
	// Output:
	// CD 0.0332 at CL 0.5; span efficiency 0.997, Oswald factor 0.963
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
	fmt.Printf("CL %.2f, CD %.4f: %.4f without lift, %.4f profile by lift, %.4f induced; L/D %.1f\n", whole.CL, whole.CD, whole.Parasite, whole.Profile, whole.Induced, whole.LiftToDrag())
	// Output:
	// CL 0.52, CD 0.0358: 0.0237 without lift, 0.0002 profile by lift, 0.0119 induced; L/D 14.5
}
