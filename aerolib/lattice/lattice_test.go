package lattice

import (
	"math"
	"testing"

	"foreplane/aerolib/internal/reference"
	"foreplane/aerolib/unit"
)

// need returns v and ends the test on an error.
func need[T any](t testing.TB) func(v T, err error) T {
	return func(v T, err error) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

func model(t testing.TB, s Settings, surfaces ...Surface) *Model {
	t.Helper()
	return need[*Model](t)(New(surfaces, s))
}

func solve(t testing.TB, m *Model, s State) Result {
	t.Helper()
	return need[Result](t)(m.Solve(s))
}

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s is %.8g, want %.8g ± %.2g", what, got, want, tolerance)
	}
}

// described reads a surface of a case.
func described(in reference.Inputs, name string) Surface {
	get := func(what string) float64 { return in.Get(name + " " + what) }
	return Trapezoid(name, Point{X: get("x"), Z: get("z")}, get("span"), get("root chord"), get("tip chord"), get("sweep"), 0, get("twist"))
}

// linear is the aeroplane near zero, as the cases have it: CL and Cm, and the CL of each surface, for α, deflection and twist alone.
type linear struct {
	m    *Model
	zero Result
}

const step = 1e-4

func (l linear) slope(t *testing.T, s State) (CL, Cm float64, parts []float64) {
	a := solve(t, l.m, s)
	for i := range a.Loads {
		parts = append(parts, (a.Loads[i].CL-l.zero.Loads[i].CL)/step)
	}
	return (a.CL - l.zero.CL) / step, (a.Cm - l.zero.Cm) / step, parts
}

// TestTrim compares with another lattice, in which everything is linear in the angles: so are its neutral point and trim here, by slopes at zero.
func TestTrim(t *testing.T) {
	for _, c := range []struct{ id, first, second, delta, control string }{
		{"T10", "wing", "foreplane", "delta_c", "foreplane"},
		{"T12", "front", "rear", "delta_f", "front"},
		{"T13", "wing", "tailplane", "delta_t", "tailplane"},
	} {
		reference.Check(t, c.id, 0, func(in reference.Inputs) reference.Values {
			a, b := described(in, c.first), described(in, c.second)
			for _, s := range []*Surface{&a, &b} {
				if s.Name == c.control {
					s.Controls = []Control{{Name: "δ"}}
				}
			}
			ref := Reference{Area: in.Get("Sref"), Chord: in.Get("cref"), Span: a.Length()}
			m := model(t, Settings{Reference: ref, Rows: 8, Strips: 40}, a, b)
			at := State{}
			l := linear{m, solve(t, m, at)}
			CLa, Cma, parts := l.slope(t, State{Alpha: step})
			CLd, Cmd, partsD := l.slope(t, State{Deflections: map[string]unit.Angle{"δ": step}})
			np := -Cma / CLa * ref.Chord
			cg := np
			if v, ok := in.All()["SM"]; ok {
				cg -= v * ref.Chord
			} else {
				cg = in.Get("xcg")
			}
			shift := cg / ref.Chord
			CL := in.Get("CL")
			// CL₀ + CLα α + CLδ δ = CL and the same for Cm about cg, = 0.
			r1, r2 := CL-l.zero.CL, -(l.zero.Cm + shift*l.zero.CL)
			a2, d2 := Cma+shift*CLa, Cmd+shift*CLd
			det := CLa*d2 - CLd*a2
			alpha, delta := (r1*d2-CLd*r2)/det, (CLa*r2-a2*r1)/det
			trimmed := solve(t, m, State{Alpha: math.Asin(alpha), Deflections: map[string]unit.Angle{"δ": delta / math.Cos(math.Asin(alpha))}})
			out := reference.Values{"x_np": np, "CL_alpha": CLa, "alpha": alpha, c.delta: delta, "CDi": trimmed.CDi}
			carried := func(i int) float64 { return l.zero.Loads[i].CL + parts[i]*alpha + partsD[i]*delta }
			e := CL * CL * ref.Area / (math.Pi * ref.Span * ref.Span * trimmed.CDi)
			switch c.id {
			case "T10":
				out["CL_wing_on_Sref"], out["CL_canard_on_Sref"], out["e_on_bref"] = carried(0), carried(1), e
			case "T12":
				out["rear/front slope ratio"], out["e_on_b"] = parts[1]/parts[0], e
			case "T13":
				alone := model(t, m.settings, described(in, c.first))
				w := linear{alone, solve(t, alone, at)}
				wCL, wCm, _ := w.slope(t, State{Alpha: step})
				out["x_ac_wing"], out["CL_tail_on_Sref"] = -wCm/wCL*ref.Chord, carried(1)
			}
			return out
		})
	}
}
