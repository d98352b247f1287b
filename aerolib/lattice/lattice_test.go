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

// slopeOf returns CLα of a model near zero, and Cmα about the datum.
func slopeOf(t testing.TB, m *Model) (CLa, Cma float64) {
	a, b := solve(t, m, State{Alpha: -step}), solve(t, m, State{Alpha: step})
	return (b.CL - a.CL) / (2 * step), (b.Cm - a.Cm) / (2 * step)
}

// wing returns a wing of unit mean chord and its reference.
func wing(aspect, taper, sweep float64) (Surface, Reference) {
	root := 2 / (1 + taper)
	s := Trapezoid("wing", Point{}, aspect, root, taper*root, sweep, 0, 0)
	return s, Reference{Area: aspect, Chord: 1, Span: aspect}
}

func TestWings(t *testing.T) {
	reference.Check(t, "W8", 0, func(in reference.Inputs) reference.Values {
		s, ref := wing(in.Get("AR"), in.Get("taper"), in.Get("sweep"))
		m := model(t, Settings{Reference: ref, Rows: int(in.Get("rows")), Strips: int(in.Get("strips")), Even: true}, s)
		out := reference.Values{}
		out["CL_alpha"], _ = slopeOf(t, m)
		r := solve(t, m, State{Alpha: step})
		for i, name := range []string{"G1/(4 pi b V alpha)", "G2", "G3", "G4"} {
			out[name] = r.Strips[len(r.Strips)-4+i].Circulation / (4 * math.Pi * ref.Span * step)
		}
		return out
	})
	reference.Check(t, "W10", 0, func(in reference.Inputs) reference.Values {
		s, ref := wing(in.Get("AR"), 1, 0)
		CLa, _ := slopeOf(t, model(t, Settings{Reference: ref, Rows: 40, Strips: 6}, s))
		return reference.Values{"CL_alpha/AR": CLa / in.Get("AR")}
	})
	reference.Check(t, "W12", 0, func(in reference.Inputs) reference.Values {

		s, ref := wing(in.Get("AR"), in.Get("taper"), 0)
		m := model(t, Settings{Reference: ref, Strips: 40}, s)
		CLa, _ := slopeOf(t, m)
		line := need[LineResult](t)(trapezoidLine(in.Get("AR"), in.Get("taper")).Solve(0.1))
		return reference.Values{
			"e": solve(t, m, State{Alpha: step}).SpanEfficiency, "CL_alpha_VLM": CLa, "CL_alpha_LL": line.Slope, "e_LL": line.SpanEfficiency,
		}
	})
}

// TestCompressible: the rule of Prandtl and Glauert makes the slope that of a wing 1/β times as long in chord, at unchanged span.
func TestCompressible(t *testing.T) {
	s, ref := wing(6, 0.6, 0.3)
	const mach = 0.6
	beta := math.Sqrt(1 - mach*mach)
	long := s
	long.Stations = append([]Station(nil), s.Stations...)
	for i := range long.Stations {
		long.Stations[i].LeadingEdge.X /= beta
		long.Stations[i].Chord /= beta
	}
	a, am := slopeOf(t, model(t, Settings{Reference: ref, Mach: mach}, s))
	b, bm := slopeOf(t, model(t, Settings{Reference: ref}, long))
	near(t, "CLα", a, b, 1e-6)
	near(t, "Cmα", am, bm*beta, 1e-6)
	fast, slow := solve(t, model(t, Settings{Reference: ref, Mach: mach}, s), State{Alpha: 0.1}), solve(t, model(t, Settings{Reference: ref}, long), State{Alpha: 0.1})
	near(t, "e", fast.SpanEfficiency, slow.SpanEfficiency, 1e-3)
	near(t, "CD of the near field", fast.CD, slow.CD, 1e-3*slow.CD)
	wide, ref := wing(4000, 1, 0)
	c, _ := slopeOf(t, model(t, Settings{Reference: ref, Mach: mach, Rows: 4, Strips: 30}, wide))
	near(t, "slope of a section", c, 2*math.Pi/beta, 0.02)
}

// canard is an aeroplane with everything: swept wing with ailerons and tip fins, foreplane with elevator, fin with rudder.
func canard() []Surface {
	w := Trapezoid("wing", Point{X: 3.2}, 8.4, 1.4, 0.7, 22*unit.Degree, 0.01, -0.02)
	w.Stations[1].LeadingEdge.Z = 0.3
	w.Controls = []Control{{Name: "aileron", From: 0.6, To: 0.9, Chord: 0.25, Opposite: true}}
	for i := range w.Stations {
		w.Stations[i].Camber = func(x unit.Ratio) unit.Ratio { return 0.08 * (1 - 2*x) }
	}
	f := Trapezoid("foreplane", Point{X: 0.6, Z: 0.25}, 3.8, 0.44, 0.36, 3*unit.Degree, 0.02, 0.02)
	f.Controls = []Control{{Name: "elevator", Chord: 0.3}}
	tip := w.Stations[1].LeadingEdge
	fins := Surface{Name: "tip fins", Mirrored: true, Stations: []Station{
		{LeadingEdge: tip, Chord: 0.7}, {LeadingEdge: Point{X: tip.X + 0.6, Y: tip.Y + 0.1, Z: tip.Z + 1}, Chord: 0.4},
	}}
	fin := Surface{Name: "fin", Stations: []Station{
		{LeadingEdge: Point{X: 5, Z: 0.5}, Chord: 0.8}, {LeadingEdge: Point{X: 5.4, Z: 1.5}, Chord: 0.5},
	}, Controls: []Control{{Name: "rudder", Chord: 0.4}}}
	return []Surface{w, f, fins, fin}
}

var canardReference = Reference{Area: 8.82, Chord: 1.09, Span: 8.4}

func every() State {
	return State{
		Alpha: 0.08, Beta: 0.05, P: 0.01, Q: 0.008, R: -0.006, Point: Point{3.4, 0.1, -0.2},
		Deflections: map[string]unit.Angle{"aileron": 0.05, "elevator": 0.07, "rudder": -0.04},
	}
}

func list(r Result) []float64 {
	return []float64{r.CL, r.CD, r.CY, r.Cl, r.Cm, r.Cn, r.CDi}
}

func same(t *testing.T, what string, a, b Result, tolerance float64) {
	t.Helper()
	for i, name := range []string{"CL", "CD", "CY", "Cl", "Cm", "Cn", "CDi"} {
		near(t, what+": "+name, list(a)[i], list(b)[i], tolerance)
	}
}

// TestHalves: the symmetric and antisymmetric half models together are the whole one, in free air and over the ground.
func TestHalves(t *testing.T) {
	for _, height := range []float64{0, 1.5} {
		for _, wake := range []Wake{{}, {Alpha: 0.06}} {
			s := Settings{Reference: canardReference, Strips: 8, Rows: 4, Mach: 0.3, Ground: height, Wake: wake}
			half := model(t, s, canard()...)
			s.Whole = true
			whole := model(t, s, canard()...)
			same(t, "half against whole", solve(t, half, every()), solve(t, whole, every()), 1e-9)
			if half.Factorisations() != 2 || whole.Factorisations() != 1 {
				t.Errorf("%d and %d factorisations", half.Factorisations(), whole.Factorisations())
			}
			p, u := half.Panels()
			q, v := whole.Panels()
			if p != q || u >= p || v != q {
				t.Errorf("%d panels, %d unknowns; whole %d, %d", p, u, q, v)
			}
		}
	}
}

// TestMirror: sideslip, roll, yaw, lateral deflections and y reversed reverse the lateral coefficients and nothing else.
func TestMirror(t *testing.T) {
	m := model(t, Settings{Reference: canardReference, Strips: 8, Rows: 4}, canard()...)
	a := solve(t, m, every())
	s := every()
	s.Beta, s.P, s.R, s.Point.Y = -s.Beta, -s.P, -s.R, -s.Point.Y
	s.Deflections = map[string]unit.Angle{"aileron": -0.05, "elevator": 0.07, "rudder": 0.04}
	b := solve(t, m, s)
	b.CY, b.Cl, b.Cn = -b.CY, -b.Cl, -b.Cn
	same(t, "mirrored", a, b, 1e-12)
}

// TestScale: twice the size and half the rates over the speed change no coefficient.
func TestScale(t *testing.T) {
	m := model(t, Settings{Reference: canardReference, Strips: 8, Rows: 4}, canard()...)
	large := canard()
	for _, s := range large {
		for i := range s.Stations {
			e := &s.Stations[i].LeadingEdge
			*e = Point{2 * e.X, 2 * e.Y, 2 * e.Z}
			s.Stations[i].Chord *= 2
		}
	}
	ref := Reference{4 * canardReference.Area, 2 * canardReference.Chord, 2 * canardReference.Span}
	s := every()
	s.P, s.Q, s.R, s.Point = s.P/2, s.Q/2, s.R/2, Point{6.8, 0.2, -0.4}
	same(t, "scaled", solve(t, m, every()), solve(t, model(t, Settings{Reference: ref, Strips: 8, Rows: 4}, large...), s), 1e-10)
}

// TestDatum: shifting datum and point together along x and z changes no coefficient, so rotation is about the point.
func TestDatum(t *testing.T) {
	m := model(t, Settings{Reference: canardReference, Strips: 8, Rows: 4}, canard()...)
	moved := canard()
	for _, s := range moved {
		for i := range s.Stations {
			s.Stations[i].LeadingEdge.X += 5
			s.Stations[i].LeadingEdge.Z -= 2
		}
	}
	s := every()
	s.Point.X += 5
	s.Point.Z -= 2
	same(t, "moved", solve(t, m, every()), solve(t, model(t, m.settings, moved...), s), 1e-10)
}
