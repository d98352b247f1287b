package aircraft_test

import (
	"fmt"
	"strings"
	"testing/fstest"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/lattice"
	"foreplane/aerolib/unit"
)

func ExampleSedge() {
	a := aircraft.Sedge()
	fmt.Printf("%s: %.0f kg on %.2f m², %.0f hp\n", a.Name, a.Mass, a.Area(), a.Power()/unit.Horsepower)
	for _, s := range a.Surfaces {
		fmt.Printf("%s: %.2f m², mean chord %.2f m\n", s.Name, s.Area(), s.MeanChord())
	}
	// Output:
	// Sedge: 700 kg on 11.50 m², 114 hp
	// wing: 9.45 m², mean chord 1.09 m
	// foreplane: 2.05 m², mean chord 0.50 m
	// tip fins: 0.70 m², mean chord 0.59 m
}

func ExampleBracken() {
	a := aircraft.Bracken()
	fmt.Printf("CG at %.0f %% of the mean chord of the %s\n", 100*a.Reference.Fraction(a.CG), a.Reference.Name)
	// Output: CG at 35 % of the mean chord of the wing
}

func ExampleTeasel() {
	for _, s := range aircraft.Teasel().Lifting() {
		fmt.Printf("%s %.2f m²\n", s.Name, s.Area())
	}
	// Output:
	// wing 8.58 m²
	// foreplane 1.01 m²
	// tailplane 1.62 m²
}

func ExampleYarrow() {
	a := aircraft.Yarrow()
	fmt.Printf("CG %.2f m behind the front wing's leading edge, %.0f kg/m²\n", a.CG-a.Surfaces[0].LeadingEdge(), a.Mass/a.Area())
	// Output: CG 1.38 m behind the front wing's leading edge, 61 kg/m²
}

func ExampleFleet() {
	for _, a := range aircraft.Fleet() {
		fmt.Println(a.Name, a.Validate())
	}
	// Output:
	// Sedge <nil>
	// Bracken <nil>
	// Teasel <nil>
	// Yarrow <nil>
}

func ExampleAircraft_TailVolume() {
	a := aircraft.Bracken()
	tail, _ := a.Surface("tailplane")
	fin, _ := a.Surface("fin")
	fmt.Printf("tailplane %.2f, fin %.3f\n", a.TailVolume(tail), a.TailVolume(fin))
	// Output: tailplane 0.64, fin 0.036
}

func ExampleAircraft_WettedArea() {
	a := aircraft.Sedge()
	wing, _ := a.Surface("wing")
	fmt.Printf("%.2f m² exposed, %.2f m² wet\n", a.ExposedArea(wing), a.WettedArea(wing))
	// Output: 8.61 m² exposed, 17.60 m² wet
}

func ExampleAircraft_With() {
	a := aircraft.Sedge()
	wing, _ := a.Surface("wing")
	b := a.With(wing.Swept(15 * unit.Degree))
	now, _ := b.Surface("wing")
	fmt.Printf("quarter chord from %.2f m to %.2f m\n", wing.QuarterChord(), now.QuarterChord())
	// Output: quarter chord from 4.28 m to 4.01 m
}

func ExampleReferenceOf() {
	wing, _ := aircraft.Bracken().Surface("wing")
	r := aircraft.ReferenceOf(wing)
	fmt.Printf("%.2f m², %.3f m, %.2f m\n", r.Area, r.Chord, r.Span)
	// Output: 9.45 m², 1.057 m, 9.00 m
}

func ExampleTrapezoid() {
	tail := aircraft.Trapezoid{Name: "tailplane", Role: aircraft.Tailplane, Span: 3, RootChord: 0.8, TipChord: 0.6, X: 5}.Surface()
	fmt.Printf("%.2f m², aspect ratio %.2f, quarter chord at %.3f m\n", tail.Area(), tail.AspectRatio(), tail.QuarterChord())
	// Output: 2.10 m², aspect ratio 4.29, quarter chord at 5.176 m
}

func ExampleRead() {
	_, err := aircraft.Read(strings.NewReader(strings.Replace(aircraft.Sedge().String(), `"85 kW"`, `"85 kt"`, 1)))
	fmt.Println(err)
	// Output: aircraft: Sedge: line 121: plants[1].power: "85 kt" as Power: kt is a unit of Speed, not of Power: write W or hp (at sea level)
}

func ExampleReadFS() {
	files := fstest.MapFS{
		"small.toml": {Data: []byte(strings.NewReplacer(`naca = "0010"`, `coordinates = "plate.dat"`).Replace(aircraft.Bracken().String()))},
	}
	_, err := aircraft.ReadFS(files, "small.toml")
	fmt.Println(err)
	// Output: aircraft: Bracken: line 49: sections[2]: open plate.dat: file does not exist
}

func ExampleAircraft_Write() {
	a := aircraft.Bracken()
	var text strings.Builder
	if err := a.Write(&text); err != nil {
		panic(err)
	}
	again, err := aircraft.Read(strings.NewReader(text.String()))
	fmt.Println(text.String()[:16], again.CG == a.CG, err)
	// Output: name = "Bracken" true <nil>
}

func ExampleAircraft_Validate() {
	a := aircraft.Sedge()
	a.Surfaces[1].Controls[0].Max = -20 * unit.Degree
	fmt.Println(a.Validate())
	// Output: aircraft: Sedge: surfaces[2].controls[1].max: the limits of the control pitch are the wrong way round: least -10.00°, greatest -20.0°
}

func ExampleAircraft_Lattice() {
	a := aircraft.Sedge()
	surfaces, err := a.Lattice()
	if err != nil {
		panic(err)
	}
	m, err := lattice.New(surfaces, lattice.Settings{Reference: a.LatticeReference(), Rows: 3, Strips: 12})
	if err != nil {
		panic(err)
	}
	s, err := m.Trim(lattice.State{Point: lattice.Point{X: a.CG}}, "pitch", 0.45, 0)
	fmt.Printf("α %.1f°, foreplane %.1f° (%v)\n", s.Alpha/unit.Degree, s.Deflections["pitch"]/unit.Degree, err)
	// Output: α 1.7°, foreplane 0.2° (<nil>)
}

func ExampleWeigh() {
	b, err := aircraft.Weigh([]aircraft.MassItem{
		{Name: "rod", Mass: 12, Box: aircraft.Box{Y: 2}},
		{Name: "weight", Mass: 12, X: 2},
	})
	fmt.Printf("%.0f kg at x %.1f m, Ixx %.0f, Iyy %.0f, Izz %.0f kg m² (%v)\n", b.Mass, b.X, b.Inertia.XX, b.Inertia.YY, b.Inertia.ZZ, err)
	// Output: 24 kg at x 1.0 m, Ixx 4, Iyy 24, Izz 28 kg m² (<nil>)
}

func ExampleAircraft_Stand() {
	s, err := aircraft.Sedge().Stand()
	fmt.Printf("nose wheel %.0f %%, tip-back %.0f°, scrape %.0f°, overturn %.0f° (%v)\n", 100*s.Share, s.TipBack/unit.Degree, s.Scrape/unit.Degree, s.Overturn/unit.Degree, err)
	// Output: nose wheel 12 %, tip-back 20°, scrape 18°, overturn 48° (<nil>)
}

func ExampleBody() {
	b := aircraft.Sedge().Bodies[0]
	fmt.Printf("%.2f m long, fineness %.1f, %.1f m² wet, %.1f m³\n", b.Length(), b.Fineness(), b.WettedArea(), b.Volume())
	// Output: 4.55 m long, fineness 3.9, 12.5 m² wet, 2.9 m³
}

func ExampleSurface_Effect() {
	s := aircraft.Trapezoid{Name: "tailplane", Span: 3, RootChord: 0.8, TipChord: 0.8}.Surface()
	alpha, moment, _ := s.Effect(aircraft.Control{From: 0, To: 1, Chord: 0.3})
	fmt.Printf("1° is worth %.2f° of incidence; dcm/dδ %.2f /rad\n", alpha, moment)
	// Output: 1° is worth 0.66° of incidence; dcm/dδ -0.64 /rad
}
