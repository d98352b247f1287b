package drag_test

import (
	"fmt"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/drag"
	"foreplane/aerolib/lattice"
	"foreplane/aerolib/unit"
)

// must unwraps a value, as in a cell.
func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

func ExampleAt() {
	f := must(drag.At(6500*unit.Foot, 110*unit.Knot))
	fmt.Printf("Mach %.2f, Reynolds number of 1 m: %.1f million\n", f.Mach(), f.Air.Reynolds(f.Speed, 1*unit.Metre)/1e6)
	// Output: Mach 0.17, Reynolds number of 1 m: 3.3 million
}

func ExampleLaminar() {
	fmt.Printf("at Re 10⁶: laminar %.5f, turbulent %.5f (Schoenherr %.5f)\n", must(drag.Laminar(1e6)), must(drag.Turbulent(1e6, 0)), must(drag.Schoenherr(1e6)))
	// Output: at Re 10⁶: laminar 0.00133, turbulent 0.00447 (Schoenherr 0.00441)
}

func ExampleTurbulent() {
	fmt.Printf("%.5f at Mach 0.2, %.5f at Mach 0.6\n", must(drag.Turbulent(1e7, 0.2)), must(drag.Turbulent(1e7, 0.6)))
	// Output: 0.00299 at Mach 0.2, 0.00291 at Mach 0.6
}

func ExampleSchoenherr() {
	fmt.Printf("%.5f\n", must(drag.Schoenherr(1e7)))
	// Output: 0.00293
}

func ExamplePlate_Friction() {
	wing := drag.Plate{Length: 1.1, Reynolds: 4e6}
	for _, t := range []drag.Transition{{}, {Fraction: 0.4}, {Turbulent: true}} {
		wing.Transition = t
		fmt.Printf("%s: %.5f\n", t, must(wing.Friction()))
	}
	// Output:
	// transition at Re 0.50·10⁶: 0.00309
	// laminar to 40.0 % of the length: 0.00227
	// turbulent from the nose: 0.00349
}

func ExampleSurfaceForms() {
	fmt.Println(must(drag.SurfaceForms(drag.Shape{Thickness: 0.12, Thickest: 0.3})))
	// Output: [Raymer 1.261 Hoerner 1.252]
}

func ExampleBodyForms() {
	for _, fineness := range []unit.Ratio{4, 8} {
		fmt.Println(must(drag.BodyForms(fineness)))
	}
	// Output:
	// [Raymer 1.948 (outside its range: fineness 4.00, must be 6 to 20) Hoerner 1.297]
	// [Raymer 1.137 Hoerner 1.080]
}

func ExampleNacelleForm() {
	fmt.Printf("%.3f\n", must(drag.NacelleForm(4)))
	// Output: 1.087
}

func ExampleCloseOf() {
	a := aircraft.Sedge()
	for _, off := range []bool{false, true} {
		fmt.Println(must(drag.CloseOf(a.Bodies[0], a.Plants, 0.044*unit.SquareMetre, 0.17, off)))
	}
	// Output:
	// The body closes at 9.18° on the mean and 21.1° at the steepest, behind 3.80 m: with the propeller drawing the flow is taken to follow, up to 30.0°; without, it would cost 0.0702 m² more.
	// The body closes at 9.18° on the mean and 21.1° at the steepest, behind 3.80 m: above 15.00° the flow is taken to leave it at 3.80 m.
}

func ExampleControlDrag() {
	wing := must(aircraft.Bracken().Surface("wing"))
	area := must(drag.ControlDrag(wing, wing.Controls[0], 35*unit.Degree))
	fmt.Printf("flaps at 35°: %.1f m², more than the whole aeroplane without lift\n", area)
	// Output: flaps at 35°: 0.4 m², more than the whole aeroplane without lift
}

func ExampleStretched() {
	a, f := aircraft.Bracken(), must(drag.At(0, 100*unit.Knot))
	for _, s := range must(drag.Stretched(a.Bodies[0], a.Plants, []unit.Length{4, 5.5, 7}, f, drag.Options{})) {
		fmt.Printf("%.1f m: %.2f m² by Raymer, %.2f m² by Hoerner; attached %v\n", s.Length, s.Areas[0], s.Areas[1], s.Closure.Attached)
	}
	// Output:
	// 4.0 m: 0.07 m² by Raymer, 0.04 m² by Hoerner; attached false
	// 5.5 m: 0.06 m² by Raymer, 0.04 m² by Hoerner; attached true
	// 7.0 m: 0.06 m² by Raymer, 0.05 m² by Hoerner; attached true
}

func ExampleFromLattice() {
	a, f := aircraft.Bracken(), must(drag.At(6500*unit.Foot, 110*unit.Knot))
	model := must(lattice.New(must(a.Lattice()), lattice.Settings{Reference: a.LatticeReference()}))
	loads, induced := drag.FromLattice(must(model.Solve(lattice.State{Alpha: 2 * unit.Degree})))
	whole := must(drag.Of(must(drag.Build(a, f, drag.Options{})), loads, induced))
	fmt.Printf("%s: CL %.2f, L/D %.0f\n", induced.Method, whole.CL, whole.LiftToDrag())
	// Output: Trefftz plane: CL 0.43, L/D 14
}

func ExampleMutualFactor() {
	fmt.Printf("equal spans, gap a tenth: %.3f; a foreplane of 0.45 of the span, in one plane: %.3f\n", must(drag.MutualFactor(9, 9, 0.9)), must(drag.MutualFactor(9, 4.05, 0)))
	// Output: equal spans, gap a tenth: 0.656; a foreplane of 0.45 of the span, in one plane: 0.450
}

func ExampleCoplanarPenalty() {
	fmt.Printf("20 %% up: %.3f, 20 %% down: %.3f, 3 %% down: %.3f\n", must(drag.CoplanarPenalty(0.2, 0.45)), must(drag.CoplanarPenalty(-0.2, 0.45)), must(drag.CoplanarPenalty(-0.03, 0.45)))
	// Output: 20 % up: 1.158, 20 % down: 1.158, 3 % down: 1.004
}

func ExamplePrandtlMunk() {
	a := aircraft.Sedge()
	loads := []drag.EllipticLoad{{Surface: "wing", Span: 9, CL: 0.40}, {Surface: "foreplane", Span: 4.1, Height: 0.2, CL: 0.12}}
	for _, ground := range []unit.Length{0, 1} {
		i := must(drag.PrandtlMunk(loads, a.Reference, ground))
		fmt.Printf("CDi %.4f, span efficiency %.2f\n", i.CD, must(i.SpanEfficiency(9*9/9.45)))
	}
	// Output:
	// CDi 0.0119, span efficiency 0.84
	// CDi 0.0068, span efficiency 1.48
}

func ExampleGroundFactor() {
	for _, model := range []drag.GroundModel{drag.ImageModel, drag.WieselsbergerModel, drag.McCormickModel} {
		fmt.Printf("%s: %.3f\n", model, must(drag.GroundFactor(model, 0.1)))
	}
	// Output:
	// image of an elliptic load: 0.516
	// Wieselsberger: 0.515
	// McCormick: 0.719
}

func ExampleRaymerOswald() {
	fmt.Printf("straight %.2f, swept 35° %.2f\n", must(drag.RaymerOswald(8, 0)), must(drag.RaymerOswald(8, 35*unit.Degree)))
	// Output: straight 0.81, swept 35° 0.55
}

func ExampleParabolaOf() {
	p := must(drag.ParabolaOf(0.024, 0.8, 8.6))
	best, at := p.LiftToDrag()
	fmt.Printf("K %.4f, L/D %.1f at CL %.2f\n", p.K, best, at)
	// Output: K 0.0463, L/D 15.0 at CL 0.72
}

func ExampleNewPolar() {
	p := must(drag.NewPolar("measured", 8.6, []drag.Point{{CL: 0, CD: 0.0245}, {CL: 0.3, CD: 0.028}, {CL: 0.6, CD: 0.0405}, {CL: 0.9, CD: 0.0615}}))
	fmt.Printf("CD %.4f at CL 0.45; %s\n", must(p.CD(0.45)), must(p.Fit(0, 1)))
	_, err := p.CD(1.2)
	fmt.Println(err)
	// Output:
	// CD 0.0332 at CL 0.45; CD = 0.02414 + 0.0460 CL², Oswald factor 0.805; from CL 0.00 to 1.00 within 0.00036 (rms 0.00025)
	// drag.Polar.At: lift coefficient is 1.200, must be 0 to 0.9
}
