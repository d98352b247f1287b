package section_test

import (
	"fmt"
	"strings"
	"testing"

	"foreplane/aerolib/section"
	"foreplane/aerolib/unit"
)

func TestLayerInWords(t *testing.T) {
	for want, l := range map[string]section.Layer{
		"laminar throughout": {Transition: 1, Separation: 1},
		"turbulent from 12.00 % of the chord, separated from 80.0 %":             {Transition: 0.12, Separation: 0.8},
		"turbulent from 50.0 % of the chord, short bubble from 45.0 % to 50.0 %": {Transition: 0.5, Separation: 1, Bubble: section.Bubble{Separation: 0.45, Reattachment: 0.5}},
		"turbulent from 50.0 % of the chord, long bubble from 20.0 % to 50.0 %":  {Transition: 0.5, Separation: 1, Bubble: section.Bubble{Separation: 0.2, Reattachment: 0.5, Long: true}},
		"laminar throughout, laminar separation at 90.0 %":                       {Transition: 1, Separation: 0.9, Bubble: section.Bubble{Separation: 0.9, Reattachment: 1, Long: true}},
	} {
		if l.String() != want {
			t.Errorf("%q, want %q", l, want)
		}
	}
	v := section.Viscous{LeadingEdge: 1.2}
	if text := v.String(); !strings.Contains(text, "leading edge") || !strings.Contains(text, "speed of sound") {
		t.Error(text)
	}
	if text := (section.Polar{}).String(); text != "polar without samples" {
		t.Error(text)
	}
}

func ExampleViscous_String() {
	naca, _ := section.NACA("2412")
	contour, _ := naca.Sharp().Contour()
	flow, _ := section.Panels(contour)
	v, _ := flow.Viscous(4*unit.Degree, 6e6, section.Conditions{Trip: 0.05})
	fmt.Println(v)
	// Output: α 4.00°: cl 0.674, cd 0.00877, cm -0.0612; upper side turbulent from 5.13 % of the chord; lower side turbulent from 5.77 % of the chord
}

func ExampleStall_String() {
	naca, _ := section.NACA("2412")
	contour, _ := naca.Sharp().Contour()
	flow, _ := section.Panels(contour)
	stall, _ := flow.MaxLift(6e6, section.Conditions{})
	fmt.Println(stall)
	// Output: greatest cl about 1.78, 1.61 to 1.83, at 15.58°; it ends by the leading edge. An estimate for study and preliminary work: see its errors with Flow.MaxLift.
}

func ExamplePolar_String() {
	p, _ := section.NewPolar("tunnel", 3e6, []section.Sample{{Alpha: -0.1, CL: -0.4, CD: 0.01}, {Alpha: 0.2, CL: 1.4, CD: 0.02}})
	fmt.Println(p)
	// Output: tunnel: Re 3e+06, 2 samples from -5.73° to 11.46°, cl -0.40 to 1.40
}
