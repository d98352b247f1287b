package figure_test

import (
	"fmt"

	"foreplane/aerolib/atmos"
	"foreplane/aerolib/drag"
	"foreplane/aerolib/figure"
	"foreplane/aerolib/perf"
	"foreplane/aerolib/unit"
)

// trainer returns an aeroplane as textbooks have them, and air at sea level.
func trainer() (perf.Aeroplane, atmos.Air) {
	air, _ := atmos.Standard(0)
	return perf.Aeroplane{Name: "Bracken", Mass: 750, Area: 9.45, Polar: drag.Parabola{CD0: 0.028, K: 0.045}, MaxLift: 1.4, Propulsion: perf.Jet{Thrust: 1800}}, air
}

func ExamplePowers() {
	a, air := trainer()
	points, err := a.Curve(air, 60*unit.Knot, 130*unit.Knot, 30)
	fmt.Println(figure.Powers(a.Name, air, points).Title, err)
	// Output: Power of Bracken <nil>
}

func ExampleClimbRates() {
	a, _ := trainer()
	rows, err := a.Climbs(atmos.Day{}, []unit.GeopotentialAltitude{0, 5000 * unit.Foot}, 30)
	fmt.Println(figure.ClimbRates(rows...).Title, err)
	// Output: Rate of climb of Bracken <nil>
}

func ExampleSinkPolar() {
	a, air := trainer()
	row, _ := a.Sinks(air, 60, 30)
	best, err := a.BestGlide(air, 0, 0)
	fmt.Println(figure.SinkPolar(row, []unit.Speed{0}, []perf.Flight{best}).Title, err)
	// Output: Sink polar of Bracken <nil>
}

func ExampleExcessPower() {
	a, _ := trainer()
	m, err := a.ExcessMap(atmos.Day{}, 1, []unit.TrueAirspeed{40, 60, 80}, []unit.GeopotentialAltitude{0, 2000, 4000})
	fmt.Println(figure.ExcessPower(m).Title, err)
	// Output: Specific excess power of Bracken at load factor 1 <nil>
}

func ExampleTakeOffs() {
	a, _ := trainer()
	curves, err := a.TakeOffs(perf.TakeOff{}, []unit.PressureAltitude{0, 5000 * unit.Foot}, []unit.TemperatureDifference{-10, 0, 10, 20, 30})
	fmt.Println(figure.TakeOffs(curves...).Data().Header[1:], err)
	// Output: [ISA −10 ISA ISA +10 ISA +20 ISA +30] <nil>
}

func ExampleFlightTest() {
	residuals := []perf.Residual{{Name: "climb", Kind: "VerticalSpeed", Point: perf.Measured{Speed: 40}, Measured: 5.1, Computed: 5.3}}
	fmt.Println(figure.FlightTest("climb", residuals).Title)
	// Output: Flight test: climb
}
