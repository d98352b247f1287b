package lattice_test

import (
	"context"
	"errors"
	"fmt"
	"log"

	"foreplane/aerolib/lattice"
	"foreplane/aerolib/section"
	"foreplane/aerolib/unit"
)

func need[T any](v T, err error) T {
	if err != nil {
		log.Fatal(err)
	}
	return v
}

// canard returns the two surfaces of an aeroplane with a foreplane.
func canard() *lattice.Model {
	wing := lattice.Trapezoid("wing", lattice.Point{X: 3.2}, 8.4, 1.4, 0.7, 22*unit.Degree, 0, -1.5*unit.Degree)
	foreplane := lattice.Trapezoid("foreplane", lattice.Point{X: 0.6, Z: 0.2}, 3.8, 0.44, 0.36, 3*unit.Degree, 0, 0)
	foreplane.Controls = []lattice.Control{{Name: "elevator", Chord: 0.3}}
	return need(lattice.New([]lattice.Surface{wing, foreplane}, lattice.Settings{Reference: lattice.Reference{Area: 8.82, Chord: 1.089, Span: 8.4}}))
}

func ExampleNew() {
	wing := lattice.Trapezoid("wing", lattice.Point{}, 8, 1, 1, 0, 0, 0)
	_, err := lattice.New([]lattice.Surface{wing}, lattice.Settings{Reference: lattice.Reference{Area: 8, Chord: 1, Span: 8}, Mach: 1})
	fmt.Println(err)
	// Output:
	// lattice.New: Mach number is 1.000, must be 0 to 0.95
}

func ExampleModel_Solve() {
	wing := lattice.Trapezoid("wing", lattice.Point{}, 8, 1, 1, 0, 0, 0)
	m, err := lattice.New([]lattice.Surface{wing}, lattice.Settings{Reference: lattice.Reference{Area: 8, Chord: 1, Span: 8}})
	if err != nil {
		panic(err)
	}
	r, err := m.Solve(lattice.State{Alpha: 5 * unit.Degree})
	if err != nil {
		panic(err)
	}
	fmt.Printf("CL %.3f, e %.3f, %s\n", r.CL, r.SpanEfficiency, r.Wake)
	// Output:
	// CL 0.399, e 0.969, wakes along x
}

func ExampleModel_Coefficients() {
	m := canard()
	for _, degrees := range []float64{0, 4, 8} {
		c := need(m.Coefficients(lattice.State{Alpha: degrees * unit.Degree, Point: lattice.Point{X: 3.5}}))
		fmt.Printf("%g°: CL %.3f, Cm %.3f\n", degrees, c.CL, c.Cm)
	}
	panels, unknowns := m.Panels()
	fmt.Printf("%d panels, %d unknowns, %d factorisation, controls %v\n", panels, unknowns, m.Factorisations(), m.Controls())
	// Output:
	// 0°: CL -0.050, Cm 0.040
	// 4°: CL 0.303, Cm -0.012
	// 8°: CL 0.652, Cm -0.063
	// 432 panels, 216 unknowns, 1 factorisation, controls [elevator]
}

func ExampleModel_Sweep() {
	var states []lattice.State
	for degrees := 0; degrees <= 10; degrees += 5 {
		states = append(states, lattice.State{Alpha: float64(degrees) * unit.Degree})
	}
	for _, c := range need(canard().Sweep(states)) {
		fmt.Printf("%.3f ", c.CL)
	}
	// Output:
	// -0.050 0.391 0.824
}

func ExampleModel_Derivatives() {
	d := need(canard().Derivatives(lattice.State{Point: lattice.Point{X: 3.5}}))
	fmt.Printf("neutral point %.2f m, CLα %.2f, Cm by the elevator %.2f\n", d.NeutralPoint, d.Alpha.CL, d.Controls["elevator"].Cm)
	// Output:
	// neutral point 3.66 m, CLα 5.08, Cm by the elevator 1.33
}

func ExampleModel_Trim() {
	m := canard()
	s := need(m.Trim(lattice.State{Point: lattice.Point{X: 3.5}}, "elevator", 0.6, 0))
	fmt.Printf("α %s, elevator %s\n", unit.Format(s.Alpha, "°"), unit.Format(s.Deflections["elevator"], "°"))
	// Output:
	// α 7.25°, elevator 2.37°
}

func ExampleModel_Induced() {
	v := need(canard().Induced(lattice.State{Alpha: 5 * unit.Degree}, []lattice.Point{{X: 2.4, Y: 0.5}, {X: 2.4, Y: 2.2}}))
	fmt.Printf("behind the foreplane %+.3f, beside its tip %+.3f\n", v[0].Z, v[1].Z)
	// Output:
	// behind the foreplane -0.012, beside its tip +0.031
}

func ExampleModel_Interference() {
	w := need(canard().Interference(lattice.State{Alpha: 5 * unit.Degree}))
	fmt.Printf("the foreplane turns the flow at the wing down by %.2f°, the wing that at the foreplane by %.2f°\n", w[0][1]/unit.Degree, w[1][0]/unit.Degree)
	// Output:
	// the foreplane turns the flow at the wing down by 0.37°, the wing that at the foreplane by -0.24°
}

func ExampleModel_InducedDrags() {
	d := need(canard().InducedDrags(lattice.State{Alpha: 5 * unit.Degree}))
	fmt.Printf("wing %.5f, foreplane %.5f, mutual %.5f\n", d[0][0], d[1][1], d[0][1]+d[1][0])
	// Output:
	// wing 0.00425, foreplane 0.00116, mutual 0.00113
}

func ExampleModel_Viscous() {
	measured := need(section.NewPolar("measured", 1.5e6, []section.Sample{
		{Alpha: -10 * unit.Degree, CL: -1.0, CD: 0.014}, {Alpha: 0, CL: 0, CD: 0.008}, {Alpha: 10 * unit.Degree, CL: 1.0, CD: 0.014},
		{Alpha: 14 * unit.Degree, CL: 1.2, CD: 0.025}, {Alpha: 18 * unit.Degree, CL: 1.2, CD: 0.06}, {Alpha: 30 * unit.Degree, CL: 1.0, CD: 0.3},
	}))
	wing := lattice.Trapezoid("wing", lattice.Point{}, 8, 1, 1, 0, 0, 0)
	for i := range wing.Stations {
		wing.Stations[i].Section = measured
	}
	m := need(lattice.New([]lattice.Surface{wing}, lattice.Settings{Reference: lattice.Reference{Area: 8, Chord: 1, Span: 8}}))
	for _, degrees := range []float64{5, 15, 20} {
		s := lattice.State{Alpha: degrees * unit.Degree}
		r := need(m.Viscous(s))
		fmt.Printf("%g°: CL %.3f (%.3f without friction), CDp %.4f\n", degrees, r.CL, need(m.Solve(s)).CL, r.CDp)
	}
	// Output:
	// 5°: CL 0.372 (0.399 without friction), CDp 0.0102
	// 15°: CL 1.022 (1.172 without friction), CDp 0.0188
	// 20°: CL 1.107 (1.534 without friction), CDp 0.0468
}

func ExampleLine_Solve() {
	l := lattice.Line{Span: 10, Chord: lattice.Tapered(1.25, 0.75), Slope: lattice.Constant(5.7), Twist: lattice.Tapered(0, -2*unit.Degree), ZeroLift: lattice.Constant(-2 * unit.Degree)}
	r := need(l.Solve(4 * unit.Degree))
	fmt.Printf("CL %.3f, CDi %.5f, e %.3f, cl %.3f at the root, downwash %.2f°\n", r.CL, r.CDi, r.SpanEfficiency, r.LocalCL(0), r.Downwash(0)/unit.Degree)
	// Output:
	// CL 0.424, CDi 0.00584, e 0.980, cl 0.469 at the root, downwash 1.24°
}

func ExampleElliptic() {
	chord := lattice.Elliptic(1.2)
	r := need(lattice.Line{Span: 8, Chord: chord}.Solve(0.1))
	fmt.Printf("chord %.2f m half way out, e %.3f, Γ/V %.3f m at the root\n", chord(0.5), r.SpanEfficiency, r.Circulation(0))
	// Output:
	// chord 1.04 m half way out, e 1.000, Γ/V 0.305 m at the root
}

func ExampleSurface_Area() {
	s := lattice.Trapezoid("wing", lattice.Point{}, 8, 1.2, 0.8, 0.3, 0, 0)
	fmt.Printf("%.1f m² on %.1f m\n", s.Area(), s.Length())
	// Output:
	// 8.0 m² on 8.0 m
}

// A context ends a computation: its Err fits the hook.
func ExampleSettings() {
	ctx, cancel := context.WithCancel(context.Background())
	wing := lattice.Trapezoid("wing", lattice.Point{}, 8, 1, 1, 0, 0, 0)
	m := need(lattice.New([]lattice.Surface{wing}, lattice.Settings{Reference: lattice.Reference{Area: 8, Chord: 1, Span: 8}, Stop: ctx.Err}))
	cancel()
	_, err := m.Solve(lattice.State{Alpha: 0.1})
	fmt.Println(errors.Is(err, context.Canceled))
	// Output:
	// true
}

func ExampleBiplaneInterference() {
	sigma := need(lattice.BiplaneInterference(0.2))
	fmt.Printf("σ %.3f: two wings of equal lift have %.0f %% of the induced drag of one\n", sigma, 50*(1+sigma))
	// Output:
	// σ 0.485: two wings of equal lift have 74 % of the induced drag of one
}

func ExampleBoxDrag() {
	fmt.Printf("%.3f\n", need(lattice.BoxDrag(0.2)))
	// Output:
	// 0.680
}

func ExampleGroundInterference() {
	fmt.Printf("induced drag at h/b = 0.1: %.2f of that in free air\n", 1-need(lattice.GroundInterference(0.1)))
	// Output:
	// induced drag at h/b = 0.1: 0.52 of that in free air
}

func ExampleGroundFactor() {
	fmt.Printf("by two tip vortices alone: %.2f\n", need(lattice.GroundFactor(0.1)))
	// Output:
	// by two tip vortices alone: 0.72
}

func ExampleModel_Wash() {
	w := need(canard().Wash(lattice.State{Alpha: 5 * unit.Degree}, lattice.Plane{X: []float64{2.5, 8}, Y: []float64{0.4, 6}, Z: []float64{0.5}}))
	fmt.Printf("between the surfaces %.1f°, beyond the wing %.1f°, beside its tip %.1f°\n", w.Down[0][0]/unit.Degree, w.Down[1][0]/unit.Degree, w.Down[1][1]/unit.Degree)
	// Output:
	// between the surfaces 0.7°, beyond the wing 2.3°, beside its tip -0.6°
}
