package trim_test

import (
	"fmt"
	"math"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/trim"
	"foreplane/aerolib/unit"
)

func ExampleSolve() {
	c, err := trim.At(6500*unit.Foot, 110*unit.Knot)
	if err != nil {
		panic(err)
	}
	for _, a := range []aircraft.Aircraft{aircraft.Sedge(), aircraft.Bracken()} {
		r, err := trim.Solve(a, c)
		if err != nil {
			panic(err)
		}
		small := r.Loads[1]
		fmt.Printf("%s: the %s carries %.0f %% of the weight at CL %.1f\n", a.Name, small.Name, 100*small.Share, small.CL)
	}
	// Output:
	// Sedge: the foreplane carries 29 % of the weight at CL 0.6
	// Bracken: the tailplane carries 0 % of the weight at CL 0.0
}

func ExampleSolve_table() {
	c, _ := trim.At(6500*unit.Foot, 110*unit.Knot)
	c.Omit, c.Thrust = trim.Bare, trim.Off
	r, _ := trim.Solve(aircraft.Sedge(), c)
	fmt.Println(r)
	// Output:
	// Sedge in trim at 56.6 m/s (110.0 kt) TAS, q 1615 Pa, 1.008 kg/m³ (0.001957 slug/ft³)
	// CL 0.450 on 9.45 m² (wing), α 2.10°, δ 0.20°
	// CG 3.380 m (-57.7 % of wing chord), neutral point 3.598 m, static margin 20.0 %
	//     surface      δ  wash ε  local α  CL own  CL ref  lift N  share %   arm m  moment N m
	//        wing  0.00°   0.53°    1.90°   0.322   0.322    4921     71.7   0.900       -5316
	//   foreplane  0.20°  -0.19°    2.99°   0.587   0.127    1944     28.3  -2.803        5316
	//         sum                                   0.450    6865    100.0                   0
	// NOT FOR CG LIMITS: the neutral point leaves out bodies, propeller and thrust line, which may move it by more than the whole static margin. For study and preliminary work; the approved flight manual, the certified weighing record, local regulations and licensed engineers decide.
}

func ExampleSolve_limit() {
	a := aircraft.Bracken()
	a.CG -= 0.40
	c, _ := trim.At(0, 45*unit.Knot)
	c.Omit = trim.Bare
	_, err := trim.Solve(a, c)
	fmt.Println(err)
	// Output: trim: Bracken needs -27.5° of its tailplane, 13.47° beyond the limit of -14.00°
}

func ExampleNeutralPoint() {
	n, _ := trim.NeutralPoint(aircraft.Bracken(), 0)
	fmt.Println(n)
	// Output:
	// part  CLα 1/rad  Cmα 1/rad  shift m
	//        wing      4.854      0.509   -0.100
	//   tailplane      0.911     -2.693    0.527
	//        wash     -0.362      1.085   -0.212
	//        body      0.000      0.366   -0.072
	//         sum      5.403     -0.733    0.143
	// CG 2.400 m, neutral point 2.543 m (49.1 % of wing chord), static margin 13.6 %
	// NOT FOR CG LIMITS: the neutral point leaves out propeller and thrust line, which may move it by more than the whole static margin. For study and preliminary work; the approved flight manual, the certified weighing record, local regulations and licensed engineers decide.
}

func ExampleDerive() {
	d, _ := trim.Derive(aircraft.Sedge(), "", 0)
	alpha, delta, _ := d.Trim(0.6)
	fmt.Printf("CL 0.6: α %.1f°, δ %.1f°; %.1f° more foreplane per CL\n", alpha/unit.Degree, delta/unit.Degree, d.DeflectionSlope()/unit.Degree)
	// Output: CL 0.6: α 3.7°, δ 0.9°; 3.4° more foreplane per CL
}

func ExampleLiftSlope() {
	a, _ := trim.LiftSlope(6.1, 8.6, 20*unit.Degree, 0)
	fmt.Printf("%.2f per radian, %.4f per degree\n", a, a/unit.InverseDegree)
	// Output: 4.64 per radian, 0.0810 per degree
}

func ExampleFarWash() {
	inside, _ := trim.FarWash(0.5, 0)
	outside, _ := trim.FarWash(1.25, 0)
	fmt.Printf("inside %.2f, a quarter of the semispan outside %.2f\n", inside, outside)
	// Output: inside 1.00, a quarter of the semispan outside -0.67
}

func ExampleDistanceFactor() {
	behind, _ := trim.DistanceFactor(1)
	ahead, _ := trim.DistanceFactor(-1)
	fmt.Printf("a semispan behind %.2f, ahead %.2f\n", behind, ahead)
	// Output: a semispan behind 1.11, ahead -0.11
}

func ExampleFarDownwash() {
	epsilon, _ := trim.FarDownwash(0.5, 8)
	fmt.Printf("%.1f°\n", epsilon/unit.Degree)
	// Output: 2.3°
}

func ExampleSolveLattice() {
	c, _ := trim.At(0, 90*unit.Knot)
	c.Omit, c.Thrust = trim.Bare, trim.Off
	r, err := trim.SolveLattice(aircraft.Bracken(), c, trim.Mesh{})
	fmt.Printf("%s: α %.1f°, %s (%v)\n", r.Method, r.Alpha/unit.Degree, r.Wake, err)
	// Output: vortex lattice, 6 rows and up to 24 strips a side: α 3.4°, wakes along x (<nil>)
}

func ExampleLattice() {
	a := aircraft.Sedge()
	l, _ := trim.NewLattice(a, trim.Mesh{Incompressible: true})
	c, _ := trim.At(0, 90*unit.Knot)
	forward, _ := l.Loaded(a.Mass, a.CG-0.05, a.CGHeight).Solve(c)
	aft, _ := l.Loaded(a.Mass, a.CG+0.05, a.CGHeight).Solve(c)
	fmt.Println(forward.Loads[1].Share > aft.Loads[1].Share, forward.Neutral.StaticMargin > aft.Neutral.StaticMargin)
	// Output: true true
}

func ExampleSideBySide() {
	c, _ := trim.At(0, 90*unit.Knot)
	k, _ := trim.SideBySide(aircraft.Sedge(), c, trim.Mesh{})
	unexplained := k.Sum().Deflection - (k.Lattice.Deflection - k.Closed.Deflection)
	fmt.Printf("%d causes, %.4f° not explained\n", len(k.Terms), math.Abs(unexplained/unit.Degree))
	// Output: 13 causes, 0.0000° not explained
}

func ExampleCurveOf() {
	c, _ := trim.At(0, 0)
	curve, _ := trim.CurveOf(aircraft.Bracken(), c, []float64{70 * unit.Knot, 100 * unit.Knot})
	fmt.Println(curve.Meaning())
	// Output: Slower takes the pitch further trailing edge up: stick aft, as a pilot expects.
}

func ExampleDerivatives_Manoeuvre() {
	c, _ := trim.At(0, 100*unit.Knot)
	c.Manoeuvre, c.LoadFactor = trim.PullUp, 2
	r, _ := trim.Solve(aircraft.Sedge(), c)
	fmt.Printf("n %.0f: stick %s; one more g takes %.0f° more foreplane\n", r.LoadFactor, r.Stick, r.Pull.PerG/unit.Degree)
	// Output: n 2: stick aft; one more g takes 2° more foreplane
}

func ExampleMunkFactor() {
	k, _ := trim.MunkFactor(5)
	fmt.Printf("%.2f\n", k)
	// Output: 0.84
}

func ExampleMunkMoment() {
	b := aircraft.Sedge().Bodies[0]
	m, _ := trim.MunkMoment(b)
	fmt.Printf("%.1f m³ per radian, with a volume of %.1f m³\n", m, b.Volume())
	// Output: 4.4 m³ per radian, with a volume of 2.9 m³
}
