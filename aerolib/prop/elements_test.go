package prop

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/interp"

	"foreplane/aerolib/atmos"
	"foreplane/aerolib/internal/reference"
	"foreplane/aerolib/unit"
)

// clarkY is a propeller like those of NACA Report 640 (dimensions recalled to about a tenth): 3 m, three blades whose shanks are round towards the hub, without a spinner.
func clarkY() Propeller {
	p := Propeller{Name: "Clark Y", Diameter: 3.05, Blades: 3}
	for _, s := range [][3]float64{ // r/R, c/D, t/c
		{0.10, 0.036, 1.00}, {0.15, 0.036, 1.00}, {0.20, 0.045, 0.50}, {0.30, 0.060, 0.25}, {0.45, 0.073, 0.145}, {0.60, 0.074, 0.105}, {0.75, 0.066, 0.09}, {0.90, 0.048, 0.08}, {1, 0.02, 0.07},
	} {
		// constant geometric pitch at the blade angle of 15° inside, as the blades were designed
		twist := math.Atan(0.75*math.Tan(15*unit.Degree)/s[0]) - 15*unit.Degree
		p.Stations = append(p.Stations, Station{Radius: s[0], Chord: s[1], Twist: twist, Thickness: s[2]})
	}
	return p
}

func solved(t testing.TB, p Propeller, f Flow) State {
	t.Helper()
	if f.Air == (atmos.Air{}) {
		f.Air = seaLevel(t)
	}
	s, err := p.Solve(f)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// TestPeakEfficiency compares with case P6: charts that are recalled, hence a band.
func TestPeakEfficiency(t *testing.T) {
	reference.Check(t, "P6", 0, func(in reference.Inputs) reference.Values {
		got := reference.Values{}
		for name, pitch := range in.All() {
			best := 0.0
			const n = 15 // rev/s, tips at 140 m/s as in the tests
			for j := 0.3; j < 2.8; j += 0.02 {
				best = max(best, solved(t, clarkY(), Flow{V: j * n * 3.05, Rotation: n, Pitch: pitch}).Efficiency)
			}
			got[strings.Replace(name, "beta", "eta", 1)] = best
		}
		return got
	})
}

// thin is a section without drag.
type thin struct{}

func (thin) At(unit.ReynoldsNumber, unit.MachNumber) Curve {
	return func(alpha unit.Angle) (cl, cd unit.Coefficient) { return 2 * math.Pi * math.Sin(alpha), 0 }
}

// TestAgainstDisc compares with case P11: with many narrow blades without drag the efficiency comes close to that of the actuator disc and stays below.
func TestAgainstDisc(t *testing.T) {
	reference.Check(t, "P11", 0, func(in reference.Inputs) reference.Values {
		p := standard(t, in.Get("blades"), 100*in.Get("thickness of the chord"))
		p.Section = thin{}
		s := solved(t, p, Flow{V: 50, Rotation: 40, Pitch: 22 * unit.Degree})
		ideal, err := IdealEfficiency(s.Thrust / (s.Flow.Air.DynamicPressure(50) * p.DiscArea()))
		if err != nil {
			t.Fatal(err)
		}
		return reference.Values{"eta over ideal": s.Efficiency / ideal}
	})
}

// regimes are states of a propeller from rest to windmilling.
func regimes(t testing.TB) map[string]State {
	p, n := standard(t, 3, 100), 40.0
	at := func(j unit.Ratio, pitch unit.Angle) State {
		return solved(t, p, Flow{V: j * n * p.Diameter, Rotation: n, Pitch: pitch, Radii: 80})
	}
	return map[string]State{
		"at rest":     at(0, 18*unit.Degree),
		"climbing":    at(0.4, 20*unit.Degree),
		"cruising":    at(0.8, 24*unit.Degree),
		"coasting":    at(1.1, 22*unit.Degree),
		"windmilling": at(1.0, 16*unit.Degree),
	}
}

// TestWakeBalance holds the balance of energy on the side of the wake, which knows neither the forces on the blades nor where the elements were: speeds, angles and F are
// splines through the elements, integrated by another rule on another grid,
//
//	P = ∫ ρ (V + v) F [2Vv + 2v² + 2w²] 2πr dr + ∫ ½ρ W³ B c cd dr
//
// that is useful and induced power of the air behind, swirl, and friction. The tolerance is 0.1 % of the shaft power or of what is moved about, where the shaft has none.
func TestWakeBalance(t *testing.T) {
	for name, s := range regimes(t) {
		wake := wakePower(t, s)
		scale := max(math.Abs(s.Power), s.Losses.Profile+math.Abs(s.Thrust*s.Flow.V))
		if math.Abs(wake-s.Power) > 1e-3*scale {
			t.Errorf("%s: shaft %.1f W, wake %.1f W: %.3f %%", name, s.Power, wake, 100*(wake-s.Power)/scale)
		}
		l := s.Losses
		if sum := s.Thrust*s.Flow.V + l.Ideal + l.Swirl + l.Profile + l.Mach + l.Tip + l.Wake; math.Abs(sum-s.Power) > 1e-9*scale {
			t.Errorf("%s: the losses add up to %.3f W of %.3f", name, sum, s.Power)
		}
	}
}

func wakePower(t *testing.T, s State) unit.Power {
	t.Helper()
	const radius, blades = 0.9, 3
	x := make([]float64, len(s.Elements))
	column := func(of func(Element) float64) func(float64) float64 {
		y := make([]float64, len(s.Elements))
		for i, e := range s.Elements {
			x[i], y[i] = e.Radius, of(e)
		}
		var fit interp.AkimaSpline
		if err := fit.Fit(x, y); err != nil {
			t.Fatal(err)
		}
		return fit.Predict
	}
	v, w, f := column(func(e Element) float64 { return e.Induced }), column(func(e Element) float64 { return e.Swirl }), column(func(e Element) float64 { return e.TipFactor })
	drag := column(func(e Element) float64 { return e.CD * e.Chord * e.Speed * e.Speed * e.Speed })
	const steps = 20000
	sum, h := 0.0, 0.8/steps
	for i := range steps {
		at := min(max(0.2+(float64(i)+0.5)*h, x[0]), x[len(x)-1])
		flow := s.Flow.Air.Density * (s.Flow.V + v(at)) * f(at) * 2 * math.Pi * at * radius
		sum += (flow*2*(s.Flow.V*v(at)+v(at)*v(at)+w(at)*w(at)) + 0.5*s.Flow.Air.Density*blades*drag(at)) * h * radius
	}
	return sum
}

// TestRadiiConverge holds that thrust and power no longer depend on how many radii are taken: 20 are within 0.5 % of 320, 80 within 0.05 %.
func TestRadiiConverge(t *testing.T) {
	p := standard(t, 2, 100)
	for _, f := range []Flow{{V: 0, Rotation: 40, Pitch: 16 * unit.Degree}, {V: 30, Rotation: 40, Pitch: 18 * unit.Degree}, {V: 65, Rotation: 40, Pitch: 24 * unit.Degree}} {
		at := func(radii int) State {
			f.Radii = radii
			return solved(t, p, f)
		}
		fine := at(320)
		for radii, tolerance := range map[int]float64{20: 5e-3, 80: 5e-4} {
			s := at(radii)
			if dt, dp := s.Thrust/fine.Thrust-1, s.Power/fine.Power-1; math.Abs(dt) > tolerance || math.Abs(dp) > tolerance {
				t.Errorf("V %g, %d radii: thrust %+.3f %%, power %+.3f %%", f.V, radii, 100*dt, 100*dp)
			}
		}
	}
}

// TestElementEquations holds that every element solves the two equations of the ring that [Propeller.Solve] states, written out anew, where it gives thrust.
func TestElementEquations(t *testing.T) {
	for _, name := range []string{"at rest", "climbing", "cruising"} {
		s := regimes(t)[name]
		for _, e := range s.Elements {
			sin, cos := math.Sincos(e.Phi)
			solidity := 3 * e.Chord / (2 * math.Pi * e.Radius * 0.9)
			f := 2 / math.Pi * math.Acos(math.Exp(-1.5*(1-e.Radius)/(e.Radius*sin)))
			cn, ct := e.CL*cos-e.CD*sin, e.CL*sin+e.CD*cos
			if axial, want := e.Induced/(s.Flow.V+e.Induced), solidity*cn/(4*f*sin*sin); cn > 0 && math.Abs(axial-want) > 1e-8 {
				t.Errorf("%s, %.2f R: v/(V+v) %.6f, want %.6f", name, e.Radius, axial, want)
			}
			turning := 2 * math.Pi * 40 * e.Radius * 0.9
			if swirl, want := e.Swirl/(turning-e.Swirl), solidity*ct/(4*f*sin*cos); math.Abs(swirl-want) > 1e-8 {
				t.Errorf("%s, %.2f R: w/(Ωr−w) %.6f, want %.6f", name, e.Radius, swirl, want)
			}
			if math.Abs(e.Speed*sin-s.Flow.V-e.Induced) > 1e-9 || math.Abs(e.Alpha-(e.Pitch-e.Phi)) > 1e-12 {
				t.Errorf("%s, %.2f R: speeds or angles do not fit", name, e.Radius)
			}
		}
	}
}

// TestRobust holds that there is a finite solution from rest far into windmilling and braking, at all pitches, with and without slow air at the hub, and that thrust falls
// with the advance ratio where no blade is stalled.
func TestRobust(t *testing.T) {
	for _, blades := range []unit.Ratio{2, 4, 6} {
		p := standard(t, blades, 130)
		for pitch := 0.0; pitch <= 70; pitch += 5 {
			for j := 0.0; j < 2.2; j += 0.05 {
				f := Flow{V: j * 35 * p.Diameter, Rotation: 35, Pitch: pitch * unit.Degree}
				if math.Mod(pitch, 10) == 0 {
					f.Inflow = func(x unit.Ratio) unit.Ratio { return 0.2 + 0.8*x }
				}
				s := solved(t, p, f)
				if sum := s.Thrust + s.Power + s.CT + s.CP; math.IsNaN(sum) || math.IsInf(sum, 0) {
					t.Fatalf("pitch %g, J %g: %+v", pitch, j, s)
				}
			}
		}
	}
}

// TestBrakeLine holds the join of the two laws of braking rings and a point of each, worked out by hand.
func TestBrakeLine(t *testing.T) {
	s := math.Sqrt(1.816)
	join := 2/s - 1 // κ at which 1 − a = s/2
	sin := 0.3
	for _, k := range []float64{join * (1 - 1e-9), join * (1 + 1e-9)} {
		if got, want := slowed(sin, -k*sin*sin)/(sin*sin), 2/s; math.Abs(got-want) > 1e-7 {
			t.Errorf("at the join V/(V+v) is %g, want %g", got, want)
		}
	}
	if got := slowed(0.5, -0.1*0.25) / 0.25; math.Abs(got-1.1) > 1e-12 {
		t.Errorf("light braking: %g, want 1.1", got)
	}
	y := 0.25 / slowed(0.5, -2*0.25) // heavy: 4κ y² must be C_T1 − 4 (s − 1) y
	if got, want := 4*2*y*y, 1.816-4*(s-1)*y; math.Abs(got-want) > 1e-9 {
		t.Errorf("heavy braking: thrust %g, want %g", got, want)
	}
}

// TestTipsAndMach holds that a propeller with faster tips pays for it, that few blades lose more at their tips, and that both vanish in their limits.
func TestTipsAndMach(t *testing.T) {
	p := standard(t, 2, 100)
	slow := solved(t, p, Flow{V: 40, Rotation: 25, Pitch: 22 * unit.Degree})
	fast := solved(t, p, Flow{V: 80, Rotation: 52, Pitch: 22 * unit.Degree})
	if a, b := slow.Losses.Mach/slow.Power, fast.Losses.Mach/fast.Power; !(math.Abs(a) < 1e-3 && b > 0.005) {
		t.Errorf("Mach takes %.4f of slow tips, %.4f of fast ones", a, b)
	}
	if len(fast.Notes) == 0 || !strings.Contains(fast.Notes[0], "Mach") || len(slow.Notes) > 0 {
		t.Errorf("notes %q and %q", slow.Notes, fast.Notes)
	}
	if stalled := solved(t, p, Flow{V: 5, Rotation: 25, Pitch: 35 * unit.Degree}); !strings.Contains(strings.Join(stalled.Notes, " "), "of the radius is stalled") {
		t.Errorf("notes %q", stalled.Notes)
	}
	many := standard(t, 8, 25)
	many.Section, p.Section = thin{}, thin{}
	a, b := solved(t, p, Flow{V: 50, Rotation: 40, Pitch: 22 * unit.Degree}), solved(t, many, Flow{V: 50, Rotation: 40, Pitch: 22 * unit.Degree})
	if !(a.Losses.Tip/a.Power > 1.2*b.Losses.Tip/b.Power) {
		t.Errorf("tips take %.4f of two blades, %.4f of eight of the same area", a.Losses.Tip/a.Power, b.Losses.Tip/b.Power)
	}
}

// TestInflow holds that air which arrives slower gives more thrust, and that uniformly slower air is as a lower speed.
func TestInflow(t *testing.T) {
	p := standard(t, 2, 100)
	f := Flow{V: 60, Rotation: 40, Pitch: 22 * unit.Degree, Inflow: func(unit.Ratio) unit.Ratio { return 0.9 }}
	slow := solved(t, p, f)
	same := solved(t, p, Flow{V: 54, Rotation: 40, Pitch: 22 * unit.Degree})
	if math.Abs(slow.Thrust/same.Thrust-1) > 1e-12 || math.Abs(slow.Power/same.Power-1) > 1e-12 {
		t.Errorf("thrust %g and %g", slow.Thrust, same.Thrust)
	}
	if want := -6 * slow.Thrust; math.Abs(slow.Losses.Wake/want-1) > 1e-9 {
		t.Errorf("slow air brings %g W, want %g", slow.Losses.Wake, want)
	}
}

func TestSolveErrors(t *testing.T) {
	p := standard(t, 2, 100)
	sound := Flow{Air: seaLevel(t), V: 50, Rotation: 40, Pitch: 0.3}
	for want, change := range map[string]func(*Flow){
		"pitch is -5.00°":                    func(f *Flow) { f.Pitch = -5 * unit.Degree },
		"pitch is NaN":                       func(f *Flow) { f.Pitch = math.NaN() },
		"rotation is 0":                      func(f *Flow) { f.Rotation = 0 },
		"true airspeed is -1":                func(f *Flow) { f.V = -1 },
		"Mach number of the blade tips is 1": func(f *Flow) { f.Rotation = 62 },
		"density is 0":                       func(f *Flow) { f.Air.Density = 0 },
		"number of radii is -1":              func(f *Flow) { f.Radii = -1 },
		"speed along the shaft is NaN":       func(f *Flow) { f.Inflow = func(unit.Ratio) unit.Ratio { return math.NaN() } },
	} {
		f := sound
		change(&f)
		if _, err := p.Solve(f); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v, want %q", err, want)
		}
	}
}

func ExamplePropeller_Solve() {
	p, _ := Standard("example", 1.8*unit.Metre, 2, 100)
	air, _ := atmos.Standard(0)
	s, _ := p.Solve(Flow{Air: air, V: 60 * unit.MetrePerSecond, Rotation: 2400 * unit.RevolutionPerMinute, Pitch: 22 * unit.Degree})
	fmt.Printf("J %.3f, CT %.4f, CP %.4f, η %.3f\n", s.J, s.CT, s.CP, s.Efficiency)
	// Output: J 0.833, CT 0.0712, CP 0.0693, η 0.857
}

func BenchmarkChart(b *testing.B) {
	p, air := standard(b, 3, 100), seaLevel(b)
	J, pitches := make([]unit.Ratio, 40), make([]unit.Angle, 10)
	for i := range J {
		J[i] = 1.2 * float64(i) / 40
	}
	for i := range pitches {
		pitches[i] = float64(10+3*i) * unit.Degree
	}
	for b.Loop() {
		if _, err := p.Chart(air, 40, J, pitches); err != nil {
			b.Fatal(err)
		}
	}
}
