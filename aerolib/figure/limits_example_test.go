package figure_test

import (
	"fmt"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/figure"
	"foreplane/aerolib/trim"
)

// coarse keeps examples quick.
var coarse = trim.StallSettings{Rows: 2, Strips: 10}

func ExampleStallLift() {
	c, _ := trim.At(0, 0)
	s, _ := trim.FindStall(aircraft.Sedge(), c, coarse)
	fmt.Println(figure.StallLift(s).Title)
	// Output: Sections of Sedge at the first stall
}

func ExampleStallLoading() {
	c, _ := trim.At(0, 0)
	s, _ := trim.FindStall(aircraft.Bracken(), c, coarse)
	fmt.Println(figure.StallLoading(s).Title)
	// Output: Loading of Bracken at the first stall
}

func ExampleStallSpeeds() {
	m, _ := trim.NewSequenceModel(aircraft.Bracken(), coarse)
	c, _ := trim.At(0, 0)
	forward, _ := m.Sequence(c, 2.3)
	aft, _ := m.Sequence(c, 2.5)
	fmt.Println(figure.StallSpeeds(forward, aft).Title)
	// Output: Stall speed over the CG of Bracken
}

func ExampleCGChart() {
	m, _ := trim.NewLimitModel(aircraft.Bracken(), trim.LimitSettings{Quick: true, Stall: coarse})
	c, _ := m.Chart(500, 700, 41)
	fmt.Println(figure.CGChart(c).Title)
	// Output: CG limits of Bracken
}

func ExampleRangeAgainstSize() {
	points, _ := trim.RangeAgainstSize(aircraft.Bracken(), "tailplane", []float64{1, 1.1}, trim.LimitSettings{Quick: true, Stall: coarse})
	fmt.Println(figure.RangeAgainstSize("tailplane", points...).Title)
	// Output: CG range against the size of the tailplane of Bracken
}
