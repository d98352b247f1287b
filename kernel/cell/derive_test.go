package cell

import (
	"context"
	"strings"
	"testing"

	"foreplane/kernel"
	"foreplane/kernel/display"
	"foreplane/kernel/symbols"
)

// TestDerive has cells that are typeset, and the text of their derivation.
func TestDerive(t *testing.T) {
	for _, c := range []struct{ name, code, want string }{
		{"assignments", `
			h := 6500 * Foot
			air := must(atmos.Standard(h))
			V := 95 * Knot
			q := 0.5 * air.Density * V * V
			q`, `
			h = 6500 ft = 1981 m
			air := must(atmos.Standard(h))
			V = 95 kt = 48.9 m/s (95.0 kt)
			q = 0.5 ρ_air V² = 0.5 · 1.008 kg/m³ · (48.9 m/s)² = 1204 Pa`},
		{"uncertainty", `
			V := uncertain(95*Knot, 1*Knot)
			S := uncertain(10*Metre*Metre, 0.1*Metre*Metre)
			L := 0.5 * 1.225 * KilogramPerCubicMetre * V * V * S
			zero := V - V
			double := 2 * V
			single := double - V
			twice := 2 * uncertain(V, V)
			air := must(atmos.Standard(V * Second))
			T := math.Gamma(V / Knot)`, `
			V = 95 kt ± 1 kt = 48.9 m/s ± 0.514 m/s
			S = 10 m² ± 0.1 m² = 10.00 m² ± 0.1000 m²
			L = 0.5 · 1.225 kg/m³ V² S = 0.5 · 1.225 kg/m³ · (48.9 m/s)² · 10.00 m²
			  = 14630 N ± 341 N
			zero = V − V = 48.9 m/s − 48.9 m/s = 0 m/s ± 0 m/s
			double = 2 V = 2 · 48.9 m/s = 97.7 m/s ± 1.029 m/s
			single = double − V = 97.7 m/s − 48.9 m/s = 48.9 m/s ± 0.514 m/s
			twice = 2 (V ± V) = 2 (48.9 m/s ± 48.9 m/s) = 97.7 m/s (190.0 kt)  (± inside of a formula is not carried on: give it to a variable first)
			air := must(atmos.Standard(V * Second))
			T = Gamma(V/kt) = Gamma(48.9 m/s/kt) = 1.08737·10¹⁴⁶  (± is not carried through this)`},
		{"control", `
			xs := []float64{1, 2, 4}
			mean := 0.0
			for _, x := range xs {
				mean += x
			}
			mean /= float64(len(xs))
			if mean > 2 {
				mean = 2
			}
			A := [][]float64{{1, mean}, {0, 1}}
			n := 3
			n++
			for i := range 2 {
				n *= i + 1
			}
			big := 4611686018427387904
			over := big * 4
			fmt.Sprint(n, over)
			math.Sqrt(2 * mean)`, `
			xs = [1; 2; 4]
			mean = Σ(i=1…n_xs) xs[i] = 7
			mean ← mean/n_xs = 7/3 = 2.33333
			mean ← { 2 if mean > 2; mean otherwise } = 2
			A = [1 mean; 0 1] = [1 2; 0 1]
			n = 3
			n ← n + 1 = 3 + 1 = 4
			for i := range 2 {
			n *= i + 1
			}
			big = 4611686018427387904
			over = big * 4 = 0
			√(2 mean) = √(2 · 2) = 2`},
		{"what a call changes", `
			x := 2.0
			f := func() float64 { x = 5; return 1 }
			g := func(y float64) float64 { x = 6; return y }
			y := f() * x
			z := g(x)`, `
			x = 2.0
			f := func() float64 { x = 5; return 1 }
			g := func(y float64) float64 { x = 6; return y }
			y = f() * x = 5
			z = g(x) = 5`},
		{"symbols", `
			//foreplane:symbol V V_\infty
			V := 50 * MetrePerSecond
			state := struct{ Alpha, CL float64 }{0.1, 0.5}
			state.CL = 2 * math.Pi * state.Alpha
			wing := struct{ Reference struct{ Area Area } }{}
			wing.Reference.Area = 9 * SquareMetre
			mu := 0.25 * One
			ratio := 4.1 * Metre / (9.0 * Metre)`, `
			V = 50 m/s (97.2 kt)
			state := struct{ Alpha, CL float64 }{0.1, 0.5}
			C_L,state = 2 π α_state = 2 π · 0.1 = 0.628319
			wing := struct{ Reference struct{ Area Area } }{}
			S_wing,Reference = 9 m² (96.9 ft²)
			μ = 0.25
			ratio = 4.1 m/(9.0 m) = 0.455556`},
		{"a cell that fails", `
			a := 3.0
			b := 2 * a
			c := []float64{b}[int(a)]`, `
			a = 3.0
			b = 2 a = 2 · 3 = 6
			Panic: cell 1, line 4, column 4: index out of range [3] with length 1`},
	} {
		got := derivationOf(t, "//foreplane:derive"+c.code)
		if want := strings.ReplaceAll(strings.TrimSpace(c.want), "\t", ""); strings.ReplaceAll(got, "\t", "") != want {
			t.Errorf("%s\ngot\n%s\nwant\n%s", c.name, got, want)
		}
	}
}

// derivationOf runs a cell and returns all that it shows.
func derivationOf(t *testing.T, code string) string {
	t.Helper()
	runner, err := NewLocal(symbols.Library)
	if err != nil {
		t.Fatal(err)
	}
	e, out := NewEngine(NewFront(symbols.Library), runner), new(shows)
	r := e.Run(context.Background(), kernel.Cell{Code: code, Number: 1}, out)
	got := out.texts
	if r.Value != nil && r.Value.Data[display.TypeLaTeX] == nil {
		t.Errorf("%s\nhas no formula", code)
	}
	if r.Err != nil || r.Value != nil {
		got = append(got, text(r))
	}
	return strings.Join(got, "\n")
}
