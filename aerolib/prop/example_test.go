package prop_test

import (
	"fmt"
	"os"
	"strings"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/atmos"
	"foreplane/aerolib/prop"
	"foreplane/aerolib/section"
	"foreplane/aerolib/unit"
)

func ExampleOf() {
	p, _ := prop.Of(aircraft.Bracken().Plants[0])
	fmt.Printf("%g blades, activity factor %.0f, solidity %.3f\n", p.Blades, p.ActivityFactor(), p.Solidity())
	// Output: 2 blades, activity factor 105, solidity 0.069
}

func ExampleStandard() {
	p, err := prop.Standard("wide", 1.6*unit.Metre, 3, 140)
	fmt.Printf("%.2f m² of disc, %v\n", p.DiscArea(), err)
	_, err = prop.Standard("wide", 0, 3, 140)
	fmt.Println(err)
	// Output:
	// 2.01 m² of disc, <nil>
	// prop.Standard: propeller diameter is 0 m, must be above zero and finite
}

func ExamplePropeller_NormalForce() {
	p, _ := prop.Standard("example", 1.8*unit.Metre, 2, 100)
	air, _ := atmos.Standard(0)
	n, _ := p.NormalForce(air, 60*unit.MetrePerSecond, 2400*unit.RevolutionPerMinute, 1000*unit.Newton)
	fmt.Printf("CNα %.3f per radian on disc area\n", n.CNAlpha)
	// Output: CNα 0.109 per radian on disc area
}

func ExampleFlatFaced() {
	s := prop.FlatFaced(0.12)
	cl, cd := s.At(1e6, 0.3)(0)
	fmt.Printf("along its flat side cl %.2f, cd %.4f\n", cl, cd)
	// Output: along its flat side cl 0.62, cd 0.0104
}

func ExampleFromPolar() {
	family, _ := section.ReadPolars("measured", strings.NewReader("alpha [°],cl,cd,cm,Reynolds\n-8,-0.6,0.02,0,1e6\n0,0.3,0.01,0,1e6\n12,1.4,0.02,0,1e6\n"))
	s, err := prop.FromPolar(family.Polars()[0], 0.12)
	p, _ := prop.Standard("with its own section", 1.8*unit.Metre, 2, 100)
	p.Section = s
	air, _ := atmos.Standard(0)
	state, _ := p.Solve(prop.Flow{Air: air, V: 60, Rotation: 40, Pitch: 24 * unit.Degree})
	fmt.Printf("η %.2f, %v\n", state.Efficiency, err)
	// Output: η 0.84, <nil>
}

func ExampleGaggFerrar() {
	air, _ := atmos.Standard(10000 * unit.Foot)
	fmt.Printf("%.3f of the power, %.3f by the simple rule\n", prop.GaggFerrar(air.DensityRatio()), prop.DensityLapse(air.DensityRatio()))
	// Output: 0.704 of the power, 0.738 by the simple rule
}

func ExamplePiston_Run() {
	e := prop.Piston{Power: 85 * unit.Kilowatt, Speed: 2450 * unit.RevolutionPerMinute}
	air, _ := atmos.Standard(8000 * unit.Foot)
	out, _ := e.Run(air, 2300*unit.RevolutionPerMinute, 1)
	fmt.Printf("%.1f kW, %.1f kg/h\n", out.Power/unit.Kilowatt, out.FuelFlow/unit.KilogramPerHour)
	// Output: 60.5 kW, 18.1 kg/h
}

func ExampleElectric_Run() {
	e := prop.Electric{Power: 60 * unit.Kilowatt, Speed: 2300 * unit.RevolutionPerMinute}
	air, _ := atmos.Standard(0)
	out, _ := e.Run(air, 2300*unit.RevolutionPerMinute, 0.5)
	fmt.Printf("%.1f kW from a battery that gives %.1f kW\n", out.Power/unit.Kilowatt, out.Electric/unit.Kilowatt)
	// Output: 30.0 kW from a battery that gives 33.0 kW
}

func ExampleDriveOf() {
	d, _ := prop.DriveOf(aircraft.Yarrow().Plants[0])
	air, _ := atmos.Standard(0)
	o, _ := d.Thrust(air, 110*unit.Knot)
	fmt.Printf("fixed at %.0f° it turns at %.0f rpm\n", o.Pitch/unit.Degree, o.Rotation/unit.RevolutionPerMinute)
	// Output: fixed at 22° it turns at 2355 rpm
}

// The throttle is closed: the air turns the engine, and the propeller is a drag.
func ExampleDrive_At() {
	d, _ := prop.DriveOf(aircraft.Yarrow().Plants[0])
	air, _ := atmos.Standard(0)
	o, _ := d.At(air, 80*unit.Knot, 0)
	fmt.Printf("%.0f N at %.0f rpm\n", o.Thrust, o.Rotation/unit.RevolutionPerMinute)
	_, err := d.At(air, 0, 0)
	fmt.Println(err)
	// Output:
	// -126 N at 1089 rpm
	// prop: no solution for the engine at 0 m/s: neither engine nor air keep the propeller turning
}

func ExampleDrive_Tabulated() {
	d, _ := prop.DriveOf(aircraft.Bracken().Plants[0])
	air, _ := atmos.Standard(0)
	table, _ := d.Tabulated(air)
	a, _ := d.Thrust(air, 50*unit.MetrePerSecond)
	b, _ := table.Thrust(air, 50*unit.MetrePerSecond)
	fmt.Printf("%.0f N by elements, %.0f N by the table\n", a.Thrust, b.Thrust)
	// Output: 1409 N by elements, 1406 N by the table
}

func ExampleInstall() {
	a := aircraft.Sedge()
	air, _ := atmos.Standard(0)
	i, _ := prop.Install(a, a.Plants[0], air, 60*unit.MetrePerSecond)
	fmt.Printf("body and wing slow the flow by %.1f %%, their wakes by %.1f %%\n", 100*i.Blockage(), 100*i.WakeFraction())
	// Output: body and wing slow the flow by 4.5 %, their wakes by 1.4 %
}

func ExampleInstallIn() {
	plant := aircraft.Sedge().Plants[0]
	around := prop.Surroundings{Sheets: []prop.Sheet{{Width: 4, Momentum: 0.006, Spread: 0.05}}}
	i, _ := prop.InstallIn("a wing ahead", plant, around)
	air, _ := atmos.Standard(0)
	s, _ := i.At(air, 60*unit.MetrePerSecond, 1)
	fmt.Printf("the lift of a blade changes by %.0f %% twice per revolution\n", 100*s.Unsteady)
	// Output: the lift of a blade changes by 50 % twice per revolution
}

func ExampleAround() {
	a := aircraft.Bracken()
	air, _ := atmos.Standard(0)
	around, _ := prop.Around(a, a.Plants[0], air, 60*unit.MetrePerSecond)
	sum := 0.0
	for _, p := range around.Parts {
		if p.Group == prop.BodyGroup {
			sum += p.Wetted
		}
	}
	fmt.Printf("%.1f m² of body\n", sum)
	// Output: 14.9 m² of body
}

func ExampleInstallation_Thrust() {
	a := aircraft.Bracken()
	air, _ := atmos.Standard(0)
	i, _ := prop.Install(a, a.Plants[0], air, 60*unit.MetrePerSecond)
	alone, _ := i.Drive.Thrust(air, 35*unit.MetrePerSecond)
	net, _ := i.Thrust(air, 35*unit.MetrePerSecond)
	fmt.Printf("%.0f N at the shaft, %.0f N for the aeroplane\n", alone.Thrust, net.Thrust)
	// Output: 1819 N at the shaft, 1651 N for the aeroplane
}

func ExampleInstallation_Elements() {
	a := aircraft.Bracken()
	air, _ := atmos.Standard(0)
	i, _ := prop.Install(a, a.Plants[0], air, 60*unit.MetrePerSecond)
	s, _ := i.At(air, 60*unit.MetrePerSecond, 1)
	state, _ := i.Elements(air, s.Operating)
	fmt.Printf("at the root the air is at %.0f m/s, at the tip at %.0f m/s\n", state.Elements[0].Inflow, state.Elements[19].Inflow)
	// Output: at the root the air is at 44 m/s, at the tip at 59 m/s
}

func ExampleGroundClearance() {
	a := aircraft.Sedge()
	for _, angle := range []unit.Angle{0, 8 * unit.Degree} {
		h, _ := prop.GroundClearance(a, a.Plants[0], angle)
		fmt.Printf("%.2f m\n", h)
	}
	// Output:
	// 0.29 m
	// 0.16 m
}

func ExampleChart_WriteCSV() {
	c, _ := prop.NewChart("two points", []prop.Point{{Pitch: 0.4, J: 0, CT: 0.12, CP: 0.08}, {Pitch: 0.4, J: 1, CT: 0.02, CP: 0.04}})
	_ = c.WriteCSV(os.Stdout)
	// Output:
	// pitch [rad],J,CT,CP
	// 0.4,0,0.12,0.08
	// 0.4,1,0.02,0.04
}
