package perf_test

import (
	"fmt"
	"strings"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/atmos"
	"foreplane/aerolib/drag"
	"foreplane/aerolib/perf"
	"foreplane/aerolib/unit"
)

// trainer is a light aeroplane as textbooks have them.
func trainer() perf.Aeroplane {
	return perf.Aeroplane{Name: "trainer", Mass: 750, Area: 9.45, Span: 9, Polar: drag.Parabola{CD0: 0.028, K: 0.045}, MaxLift: 1.4, Fuel: 80, Battery: 5e8,
		Propulsion: perf.Propeller{Power: 85 * unit.Kilowatt, Efficiency: 0.85, Diameter: 1.7, Consumption: 0.3 * unit.KilogramPerKilowattHour}}
}

var sea, _ = atmos.Standard(0)

func ExampleOf() {
	sedge, err := perf.Of(aircraft.Sedge(), perf.Setup{})
	if err != nil {
		fmt.Println(err)
		return
	}
	climb, err := sedge.Fastest(sea)
	fmt.Println(climb.Rate > 1000*unit.FootPerMinute, climb.Rate < 1800*unit.FootPerMinute, err)
	// Output: true true <nil>
}

func ExampleGroundOf() {
	bracken := aircraft.Bracken()
	flapped, err := perf.GroundOf(bracken, perf.Setup{Flaps: map[string]unit.Angle{"flaps": 20 * unit.Degree}})
	fmt.Println(flapped.MaxLift > 1.45, flapped.RollLift > 0.4, err)
	// Output: true true <nil>
}

func ExampleAeroplane_Speeds() {
	s, err := trainer().Speeds(sea)
	for _, n := range s.Rows {
		fmt.Printf("%-4s %5.1f kt  CL %.2f  %4.1f kW  %s\n", n.Symbol, n.Equivalent/unit.Knot, n.CL, n.Required/unit.Kilowatt, n.Name)
	}
	fmt.Println(err)
	// Output:
	// V_S   58.6 kt  CL 1.40  18.4 kW  stall
	// V_mp  59.3 kt  CL 1.37  18.4 kW  least power, least sink
	// V_md  78.0 kt  CL 0.79  21.0 kW  least drag, best glide
	// V_C  102.7 kt  CL 0.46  31.8 kW  Carson's
	// V_X   58.6 kt  CL 1.40  18.4 kW  steepest climb
	// V_Y   76.8 kt  CL 0.81  20.6 kW  fastest climb
	// V_H  142.9 kt  CL 0.24  70.1 kW  fastest level flight
	// <nil>
}

func ExampleAeroplane_Fastest() {
	f, err := trainer().Fastest(sea)
	fmt.Printf("%.0f ft/min at %.0f kt, %v\n", f.Rate/unit.FootPerMinute, f.Equivalent/unit.Knot, err)
	// Output: 1124 ft/min at 77 kt, <nil>
}

func ExampleAeroplane_Level() {
	f, err := trainer().Level(sea, 110*unit.Knot)
	fmt.Printf("%.1f kW of the engine, %.1f kg/h, %v\n", f.Plant.Shaft/unit.Kilowatt, f.Plant.Fuel/unit.KilogramPerHour, err)
	// Output: 44.8 kW of the engine, 13.4 kg/h, <nil>
}

func ExampleAeroplane_Climb() {
	f, err := trainer().Climb(sea, 90*unit.Knot)
	fmt.Printf("%.1f°, %v\n", f.Angle/unit.Degree, err)
	// Output: 6.8°, <nil>
}

func ExampleAeroplane_BestGlide() {
	still, _ := trainer().BestGlide(sea, 0, 0)
	against, err := trainer().BestGlide(sea, 20*unit.Knot, 0)
	fmt.Printf("%.0f kt, against 20 kt %.0f kt, %v\n", still.Speed/unit.Knot, against.Speed/unit.Knot, err)
	// Output: 78 kt, against 20 kt 84 kt, <nil>
}

func ExampleAeroplane_Curve() {
	points, err := trainer().Curve(sea, 70*unit.Knot, 130*unit.Knot, 3)
	for _, p := range points {
		fmt.Printf("%.0f kt: %.1f kW of %.1f kW\n", p.Speed/unit.Knot, p.Required/unit.Kilowatt, p.Available/unit.Kilowatt)
	}
	fmt.Println(err)
	// Output:
	// 70 kt: 19.2 kW of 60.5 kW
	// 100 kt: 30.2 kW of 66.8 kW
	// 130 kt: 54.8 kW of 69.5 kW
	// <nil>
}

func ExampleAeroplane_Ceiling() {
	h, err := trainer().Ceiling(atmos.Day{}, perf.ServiceRate)
	fmt.Printf("service ceiling %.0f ft, %v\n", h/unit.Foot, err)
	// Output: service ceiling 21044 ft, <nil>
}

func ExampleAeroplane_SustainedTurn() {
	t, err := trainer().SustainedTurn(sea, 100*unit.Knot)
	fmt.Printf("bank %.0f°, radius %.0f m, %.1f °/s, %v\n", t.Bank/unit.Degree, t.Radius, t.Rate/unit.DegreePerSecond, err)
	// Output: bank 65°, radius 128 m, 23.1 °/s, <nil>
}

func ExampleAeroplane_ExcessPower() {
	level, _ := trainer().ExcessPower(sea, 100*unit.Knot, 1)
	turning, err := trainer().ExcessPower(sea, 100*unit.Knot, 2)
	fmt.Printf("%.1f m/s, at 2 g %.1f m/s, %v\n", level, turning, err)
	// Output: 5.0 m/s, at 2 g 1.6 m/s, <nil>
}

func ExampleAeroplane_Fly() {
	log, err := trainer().Fly(perf.Mission{Legs: []perf.Leg{
		{Kind: perf.ClimbLeg, To: 8000 * unit.Foot, At: perf.BestRate},
		{Kind: perf.CruiseLeg, Distance: 200 * unit.NauticalMile, At: perf.HoldTrue(110 * unit.Knot), Headwind: 10 * unit.Knot},
		{Kind: perf.DescentLeg, At: perf.HoldEquivalent(100 * unit.Knot), Rate: 500 * unit.FootPerMinute},
	}})
	for i, end := range log.Ends {
		fmt.Printf("%-7s %5.1f min %5.0f nmi %4.1f kg\n", log.Kinds[i], end.Time/unit.Minute, end.Distance/unit.NauticalMile, end.Fuel)
	}
	fmt.Println(err)
	// Output:
	// climb     8.9 min    12 nmi  3.3 kg
	// cruise  128.9 min   212 nmi 26.9 kg
	// descent 144.9 min   240 nmi 28.1 kg
	// <nil>
}

func ExampleBreguet_PropellerRange() {
	b := perf.Breguet{CL: 0.79, CD: 0.0561, From: 750 * unit.Kilogram, To: 690 * unit.Kilogram}
	R, err := b.PropellerRange(0.8, 0.3*unit.KilogramPerKilowattHour)
	fmt.Printf("%.0f km, %v\n", R/unit.Kilometre, err)
	// Output: 1149 km, <nil>
}

func ExampleAeroplane_TakeOff() {
	r := perf.Runway{Air: sea, Surface: perf.HardTurf, Headwind: 5 * unit.Knot}
	f, err := trainer().TakeOff(perf.TakeOff{Runway: r, Ground: perf.Ground{RollLift: 0.4, Height: 1}})
	for _, s := range append(f.Segments, f.Sum()) {
		fmt.Printf("%-12s %4.1f s %4.0f m\n", s.Name, s.Time, s.Distance)
	}
	fmt.Println(err)
	// Output:
	// run          12.3 s  209 m
	// acceleration  1.7 s   56 m
	// transition    2.8 s   98 m
	// climb         1.3 s   44 m
	// sum          18.1 s  408 m
	// <nil>
}

func ExampleAeroplane_Land() {
	f, err := trainer().Land(perf.Landing{Runway: perf.Runway{Air: sea, Surface: perf.WetGrass}, Ground: perf.Ground{RollLift: 0.4, Height: 1}})
	fmt.Printf("%.0f m, %.0f m of it on the wheels, %v\n", f.Sum().Distance, f.GroundRun(), err)
	// Output: 947 m, 363 m of it on the wheels, <nil>
}

func ExampleAeroplane_Unstick() {
	w := perf.Wheels{Arm: 0.36, Height: 0.97, Thrust: 1.14, Inertia: 760, Chord: 1.09, CL: 0.46, Cm: 0.56, CLAlpha: 6.1, CmAlpha: -1.1, CmQ: -26, Most: 17 * unit.Degree}
	V, err := trainer().Unstick(perf.TakeOff{Runway: perf.Runway{Air: sea}, Ground: perf.Ground{RollLift: 0.28, Height: 0.88, Wheels: &w}})
	fmt.Printf("the nose can be raised from %.0f kt, %v\n", V/unit.Knot, err)
	// Output: the nose can be raised from 52 kt, <nil>
}

func ExampleReadMeasured() {
	points, err := perf.ReadMeasured(strings.NewReader("altitude [ft],EAS [kt],climb [ft/min]\n1000,75,1020\n5000,75,770\n"))
	if err != nil {
		fmt.Println(err)
		return
	}
	residuals, err := trainer().Residuals(points)
	for _, r := range residuals {
		fmt.Printf("%s: %+.0f ft/min\n", r.Name, r.Difference()/unit.FootPerMinute)
	}
	fmt.Println(err)
	// Output:
	// climb: -49 ft/min
	// climb: -85 ft/min
	// <nil>
}

func ExampleCornerSpeed() {
	V, err := perf.CornerSpeed(50*unit.Knot, 3.8)
	fmt.Printf("%.1f kt, %v\n", V/unit.Knot, err)
	// Output: 97.5 kt, <nil>
}

func ExampleLimitLoadFactor() {
	n, err := perf.LimitLoadFactor(6000 * unit.Pound)
	fmt.Printf("%.2f %v\n", n, err)
	// Output: 3.60 <nil>
}

func ExampleLinearClimb() {
	t, err := perf.LinearClimb(1000*unit.FootPerMinute, 20000*unit.Foot, 10000*unit.Foot)
	fmt.Printf("%.1f min, %v\n", t/unit.Minute, err)
	// Output: 13.9 min, <nil>
}
