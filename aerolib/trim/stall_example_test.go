package trim_test

import (
	"fmt"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/trim"
	"foreplane/aerolib/unit"
)

func ExampleFindStall() {
	c, _ := trim.At(0, 0)
	s, _ := trim.FindStall(aircraft.Sedge(), c, trim.StallSettings{})
	fmt.Printf("the %s at η %.1f, CL %.2f, %.0f kt; the %s still has %.0f %% of its limit\n",
		s.First.Surface, s.First.Eta, s.CL, s.Speed/unit.Knot, s.Others[0].Surface, 100*s.Margin())
	// Output: the foreplane at η 0.2, CL 1.03, 66 kt; the wing still has 35 % of its limit
}

func ExampleFindSequence() {
	a := aircraft.Sedge()
	c, _ := trim.At(0, 0)
	s, _ := trim.FindSequence(a, c, trim.StallSettings{})
	fmt.Printf("CG %.2f m: %s, in all of %d variants\n", s.CG, s.Verdict, len(s.Variants))
	// Output: CG 3.38 m: foreplane first, in all of 6 variants
}

func ExampleSequenceModel_Sequence() {
	a := aircraft.Bracken()
	m, _ := trim.NewSequenceModel(a, trim.StallSettings{})
	c, _ := trim.At(0, 0)
	c.Flaps = map[string]unit.Angle{"flaps": 30 * unit.Degree}
	for _, cg := range []unit.Length{2.3, 2.4, 2.5} {
		s, _ := m.Sequence(c, cg)
		fmt.Printf("CG %.1f m: %s, %.1f kt\n", cg, s.Verdict, s.Speed/unit.Knot)
	}
	// Output:
	// CG 2.3 m: wing first, 52.1 kt
	// CG 2.4 m: wing first, 51.3 kt
	// CG 2.5 m: wing first, 50.5 kt
}

func ExampleStallModel_Stall() {
	m, _ := trim.NewStallModel(aircraft.Sedge(), trim.StallSettings{Limits: trim.Computed})
	c, _ := trim.At(8000*unit.Foot, 0)
	s, _ := m.Stall(c, 3.38)
	fmt.Printf("cl %.2f of the %s at a Reynolds number of %.1f million\n", s.First.Limit, s.First.Surface, s.First.Reynolds/1e6)
	// Output: cl 1.62 of the foreplane at a Reynolds number of 1.0 million
}

func ExampleStallModel_SlowTrim() {
	m, _ := trim.NewStallModel(aircraft.Sedge(), trim.StallSettings{})
	c, _ := trim.At(0, 0)
	s, _ := m.SlowTrim(c, 3.38, 80*unit.Knot)
	fmt.Printf("α %.1f°, δ %.1f°, %.0f %% of the limit used\n", s.Alpha/unit.Degree, s.Deflection/unit.Degree, 100*s.Used)
	// Output: α 4.6°, δ 0.9°, 71 % of the limit used
}

func ExampleFindDirtEffect() {
	c, _ := trim.At(0, 0)
	d, _ := trim.FindDirtEffect(aircraft.Sedge(), c, trim.StallSettings{}, trim.Dirt{Surface: "foreplane", MaxLift: 0.8, LiftSlope: 0.9})
	fmt.Printf("stall speed +%.1f kt; at %.0f kt the foreplane is %.1f° further up\n",
		d.SpeedRise()/unit.Knot, d.Speed/unit.Knot, (d.DirtyTrim.Deflection-d.CleanTrim.Deflection)/unit.Degree)
	// Output: stall speed +8.6 kt; at 86 kt the foreplane is 0.8° further up
}

func ExampleFindUnstick() {
	a := aircraft.Sedge()
	c, _ := trim.At(0, 0)
	for _, cg := range []unit.Length{3.3, 3.4, 3.5} {
		a.CG = cg
		r, _ := trim.FindUnstick(a, c, trim.Roll{})
		fmt.Printf("CG %.1f m: the nose rises at %.0f kt\n", cg, r.Speed/unit.Knot)
	}
	// Output:
	// CG 3.3 m: the nose rises at 61 kt
	// CG 3.4 m: the nose rises at 55 kt
	// CG 3.5 m: the nose rises at 48 kt
}

func ExampleDiscThrust() {
	a := aircraft.Sedge()
	c, _ := trim.At(0, 0)
	still, _ := trim.DiscThrust(a.Plants[0], c.Air, 0)
	moving, _ := trim.DiscThrust(a.Plants[0], c.Air, 60*unit.Knot)
	fmt.Printf("%.0f N at rest, %.0f N at 60 kt\n", still, moving)
	// Output: 2952 N at rest, 1747 N at 60 kt
}
