package figure_test

import (
	"fmt"
	"log"
	"strings"

	"foreplane/aerolib/figure"
	"foreplane/aerolib/section"
	"foreplane/aerolib/unit"
)

// flow2412 is the flow about a section.
func flow2412() *section.Flow {
	naca, err := section.NACA("2412")
	if err != nil {
		log.Fatal(err)
	}
	contour, err := naca.Sharp().Contour()
	if err != nil {
		log.Fatal(err)
	}
	flow, err := section.Panels(contour)
	if err != nil {
		log.Fatal(err)
	}
	return flow
}

// tunnel is an invented measurement.
func tunnel() section.Polar {
	family, err := section.ReadPolars("tunnel", strings.NewReader("alpha [°],cl,cd,cm,Reynolds\n-4,-0.21,0.0081,-0.047,3e6\n4,0.64,0.0072,-0.046,3e6\n10,1.2,0.012,-0.04,3e6\n"))
	if err != nil {
		log.Fatal(err)
	}
	return family.Polars()[0]
}

func computed() section.Polar {
	p, err := flow2412().Polar(3e6, section.Conditions{})
	if err != nil {
		log.Fatal(err)
	}
	return p
}

func ExampleSection() {
	f := figure.Section(flow2412().Contour)
	fmt.Println(f.Title, f.Err())
	// Output: NACA 2412 <nil>
}

func ExamplePressures() {
	p, err := flow2412().At(4 * unit.Degree)
	if err != nil {
		log.Fatal(err)
	}
	f := figure.Pressures("NACA 2412", p)
	fmt.Println(f.Title, f.Err())
	fmt.Println(f.Caption)
	// Output:
	// Pressures on NACA 2412 at α = 4° <nil>
	// c_l = 0.742, c_m = −0.061 about the quarter chord; flow without friction.
}

func ExampleLiftCurves() {
	f := figure.LiftCurves(computed(), tunnel())
	fmt.Println(f.Title, f.Err())
	// Output: Lift curves <nil>
}

func ExampleDragPolars() {
	f := figure.DragPolars(computed(), tunnel())
	fmt.Println(f.Title, f.Err())
	// Output: Polars <nil>
}

func ExampleMomentCurves() {
	f := figure.MomentCurves(computed(), tunnel())
	fmt.Println(f.Title, f.Err())
	// Output: Moments about the quarter chord <nil>
}

func ExampleResiduals() {
	f := figure.Residuals(tunnel(), computed())
	fmt.Println(f.Title, f.Err())
	// Output: tunnel minus NACA 2412, computed <nil>
}
