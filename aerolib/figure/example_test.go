package figure_test

import (
	"fmt"
	"log"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/figure"
	"foreplane/aerolib/lattice"
	"foreplane/aerolib/trim"
	"foreplane/aerolib/unit"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
)

func ExampleNew() {
	speeds := []float64{60 * unit.Knot, 90 * unit.Knot, 120 * unit.Knot}
	deflections := []float64{8.1 * unit.Degree, 2.4 * unit.Degree, 0.5 * unit.Degree}

	f := figure.New("Trim of Sedge", figure.Axis{Label: "Speed V", Unit: "kt"}, figure.Axis{Label: "Deflection δ", Unit: "°"}).
		Curve("foreplane", speeds, deflections).
		Limit("V_S", 52*unit.Knot)

	svg, err := f.SVG()
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(len(svg) > 0)
	fmt.Println(f.AltText())
	// Output:
	// true
	// Trim of Sedge
	// Horizontal axis: Speed V from 50 to 120 kt. Vertical axis: Deflection δ from 0 to 8.5°. foreplane: falls from 8.1° at 60 kt to 0.5° at 120 kt. Line at 52 kt: VS.
}

func ExampleBars() {
	f := figure.Bars("Who carries what at 95 kt", figure.Axis{Label: "Share of lift", Unit: "%"}, "Sedge", "Bracken").
		Part("wing", []float64{0.774, 1.048}).
		Part("foreplane", []float64{0.226, 0}).
		Part("tailplane", []float64{0, -0.048})
	for _, row := range f.Data().Rows {
		fmt.Printf("%q\n", row)
	}
	// Output:
	// ["Sedge" "77.4" "22.6" ""]
	// ["Bracken" "104.8" "" "−4.8"]
}

func ExamplePlanform() {
	sedge := aircraft.Sedge()
	neutral, err := trim.NeutralPoint(sedge, 0)
	if err != nil {
		log.Fatal(err)
	}
	f := figure.Planform(sedge, figure.Station{Symbol: figure.NeutralPoint, Label: "neutral point", X: neutral.X})
	fmt.Println(f.Title, f.Err())
	// Output: Planform of Sedge <nil>
}

func ExampleTrimCurves() {
	var results []trim.Result
	for _, speed := range []float64{80 * unit.Knot, 110 * unit.Knot, 140 * unit.Knot} {
		c, err := trim.At(6500*unit.Foot, speed)
		if err != nil {
			log.Fatal(err)
		}
		r, err := trim.Solve(aircraft.Sedge(), c)
		if err != nil {
			log.Fatal(err)
		}
		results = append(results, r)
	}
	_, header, units, rows := figure.TrimCurves(results...).Table()
	fmt.Printf("%q\n%q\n%d rows\n", header, units, len(rows))
	// Output:
	// ["True airspeed V" "deflection δ" "angle of attack α"]
	// ["kt" "°" "°"]
	// 3 rows
}

func ExampleMoments() {
	c, err := trim.At(6500*unit.Foot, 110*unit.Knot)
	if err != nil {
		log.Fatal(err)
	}
	r, err := trim.Solve(aircraft.Bracken(), c)
	if err != nil {
		log.Fatal(err)
	}
	f := figure.Moments(r, []float64{-4 * unit.Degree, 12 * unit.Degree}, []float64{-5 * unit.Degree, 0, 5 * unit.Degree}).
		Point("this flight", r.CL, 0)
	fmt.Println(f.Title, f.Err())
	// Output: Pitching moment of Bracken <nil>
}

func ExampleLiftShares() {
	c, err := trim.At(6500*unit.Foot, 110*unit.Knot)
	if err != nil {
		log.Fatal(err)
	}
	sedge, errS := trim.Solve(aircraft.Sedge(), c)
	bracken, errB := trim.Solve(aircraft.Bracken(), c)
	if errS != nil || errB != nil {
		log.Fatal(errS, errB)
	}
	fmt.Println(figure.LiftShares(sedge, bracken).Data().Header[1:])
	// Output: [wing foreplane tailplane]
}

func ExampleFigure_Outline() {
	f := figure.New("Wing", figure.Axis{Label: "y to starboard", Unit: "m"}, figure.Axis{Label: "x aft of the datum", Unit: "m", Reversed: true}).
		Outline("wing", []float64{-4, 0, 4, 4, 0, -4}, []float64{3.2, 3, 3.2, 4, 4.2, 4}).
		Mark(figure.CentreOfGravity, "CG", 0, 3.3)
	f.EqualScale = true
	fmt.Println(f.Size())
	// Output: 560 223
}

func ExampleOf() {
	p := plot.New()
	p.Title.Text = "Polar of Bracken"
	p.X.Label.Text, p.Y.Label.Text = "C_D", "C_L"
	line, err := plotter.NewLine(plotter.XYs{{X: 0.03, Y: 0}, {X: 0.05, Y: 0.7}})
	if err != nil {
		log.Fatal(err)
	}
	p.Add(line)
	fmt.Println(figure.Of(p))
	// Output:
	// Polar of Bracken
	// Horizontal axis: CD from 0.03 to 0.05. Vertical axis: CL from 0 to 0.7.
}

// tandem returns two wings one behind the other, and their lattice.
func tandem() ([]lattice.Surface, *lattice.Model) {
	surfaces := []lattice.Surface{
		lattice.Trapezoid("front", lattice.Point{Z: 0.5}, 7, 0.8, 0.8, 0, 0, 0), lattice.Trapezoid("rear", lattice.Point{X: 4}, 7, 0.8, 0.8, 0, 0, 0),
	}
	m, err := lattice.New(surfaces, lattice.Settings{Reference: lattice.Reference{Area: 11.2, Chord: 0.8, Span: 7}})
	if err != nil {
		log.Fatal(err)
	}
	return surfaces, m
}

func ExampleLoading() {
	_, m := tandem()
	r, err := m.Solve(lattice.State{Alpha: 5 * unit.Degree})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(figure.Loading(r).Caption)
	// Output: α 5°, β 0°, Mach 0, wakes along x.
}

func ExampleLocalLift() {
	_, m := tandem()
	r, err := m.Solve(lattice.State{Alpha: 5 * unit.Degree})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(figure.LocalLift(r).Title)
	// Output: Local lift at C_L 0.358
}

func ExampleWashMap() {
	surfaces, m := tandem()
	w, err := m.Wash(lattice.State{Alpha: 5 * unit.Degree}, lattice.Plane{X: []float64{-1, 1, 3, 5}, Y: []float64{-4, -2, 0, 2, 4}, Z: []float64{0.2}})
	if err != nil {
		log.Fatal(err)
	}
	f := figure.WashMap(w, surfaces...)
	fmt.Println(f.Caption, len(f.Data().Rows), f.Err())
	// Output: α 5°, β 0°, wakes along x. Beyond the ends of the scale the colour stays. 4 <nil>
}

func ExampleAeroplane() {
	f := figure.Aeroplane(aircraft.Sedge())
	_, err := f.SVG()
	fmt.Println(f.Title, err)
	// Output: Sedge from three sides <nil>
}

func ExampleThreeView() {
	surfaces, _ := tandem()
	f := figure.ThreeView("Tandem", surfaces)
	fmt.Println(f.Title, f.Err())
	// Output: Tandem <nil>
}
