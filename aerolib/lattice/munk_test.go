package lattice

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"

	"foreplane/aerolib/internal/reference"
)

// flat is a rectangular surface of a fixed small chord.
func flat(name string, x, z, span float64) Surface {
	return Trapezoid(name, Point{X: x, Z: z}, span, 0.1, 0.1, 0, 0, 0)
}

// pairDrag returns D/q on surface a in the wake of surface b, in the Trefftz plane, and L/q of a, for given circulations.
func pairDrag(m *Model, a, b int, gamma func(s strip) float64) (drag, lift float64) {
	far := m.newTrefftz()
	source := make([]float64, len(m.mesh.strips))
	for i, s := range m.mesh.strips {
		if s.surface == b {
			source[i] = gamma(s)
		}
	}
	wash := far.normalwash(source, source)
	for i, s := range m.mesh.strips {
		if s.surface == a {
			drag -= 2 * gamma(s) * wash[i] * far.width[i]
			lift += 2 * 2 * gamma(s) * s.width
		}
	}
	return drag, lift
}

// elliptic returns an elliptic circulation on each surface, of the given greatest values.
func elliptic(m *Model, peak ...float64) func(s strip) float64 {
	return func(s strip) float64 {
		eta := s.middle.y / (m.mesh.surfaces[s.surface].Length() / 2)
		return peak[s.surface] * math.Sqrt(1-eta*eta)
	}
}

var anyReference = Reference{Area: 1, Chord: 1, Span: 1}

// sigma returns Prandtl's interference factor of elliptic loads, from D₁₂ = 2σ L₁L₂/(π q b₁b₂), of which each wing bears a half. That of the first is less
// exact: it sees the singular upwash beside the tips of a shorter second one, which costs up to 2.5 % at zero gap.
func sigma(t *testing.T, b1, b2, gap float64) float64 {
	m := model(t, Settings{Reference: anyReference, Rows: 1, Strips: 100}, flat("1", 0, 0, b1), flat("2", 1, gap, b2))
	load := elliptic(m, 1, 1)
	_, l1 := pairDrag(m, 0, 0, load)
	d12, _ := pairDrag(m, 0, 1, load)
	d21, l2 := pairDrag(m, 1, 0, load)
	near(t, "mutual drag against its mirror", d12, d21, 0.025*d21)
	return d21 * math.Pi * b1 * b2 / (l1 * l2)
}

// after returns the number behind a mark in the name of an expected value.
func after(t *testing.T, name, mark string) float64 {
	_, text, _ := strings.Cut(name, mark)
	text, _, _ = strings.Cut(text, ",")
	return need[float64](t)(strconv.ParseFloat(text, 64))
}

func TestInterferenceFactor(t *testing.T) {
	expected := func(id string, compute func(name string) float64) reference.Values {
		out := reference.Values{}
		for name := range reference.Load(t, id).Expected {
			out[name] = compute(name)
		}
		return out
	}
	for _, id := range []string{"M1", "M2"} {
		reference.Check(t, id, 0, func(in reference.Inputs) reference.Values {
			mu := in.Get("mu=b2/b1")
			return expected(id, func(name string) float64 { return sigma(t, 1, mu, after(t, name, "@G/b=")*(1+mu)/2) })
		})
	}
	reference.Check(t, "M4", 0, func(in reference.Inputs) reference.Values {
		return expected("M4", func(name string) float64 { return sigma(t, 1, in.Get("mu"), after(t, name, "@")) })
	})
	reference.Check(t, "M5", 0, func(in reference.Inputs) reference.Values {
		return expected("M5", func(name string) float64 { return sigma(t, 1, after(t, name, "="), in.Get("G")) })
	})
	reference.Check(t, "M6", 0, func(in reference.Inputs) reference.Values {
		return expected("M6", func(name string) float64 {
			return penalty(t, after(t, name, "f="), after(t, name, "mu="), in.Get("gap"))
		})
	})
	reference.Check(t, "M12", 0, func(in reference.Inputs) reference.Values {
		return expected("M12", func(name string) float64 {
			m := model(t, Settings{Reference: anyReference, Rows: 1, Strips: 60, Ground: after(t, name, "h/b=")}, flat("1", 0, 0, 1))
			d, l := pairDrag(m, 0, 0, elliptic(m, 1))
			return 1 - d*math.Pi/(l*l) // b = 1
		})
	})
}

// penalty returns the drag of two elliptic loads over that of one with all the lift; the second wing has the span ratio mu and carries the fraction f.
func penalty(t *testing.T, f, mu, gap float64) float64 {
	m := model(t, Settings{Reference: anyReference, Rows: 1, Strips: 100}, flat("1", 0, gap, 1), flat("2", 1, 0, mu))
	load := elliptic(m, 1-f, f/mu)
	drag, lift := 0.0, 0.0
	for a := range 2 {
		for b := range 2 {
			d, l := pairDrag(m, max(a, b), min(a, b), load) // the mutual part twice by the shorter wing, where it is smooth
			drag += d
			if a == b {
				lift += l
			}
		}
	}
	return drag * math.Pi / (lift * lift)
}

// TestEllipticLoad: the drag of an elliptic load is exact with any number of strips.
func TestEllipticLoad(t *testing.T) {
	for _, strips := range []int{3, 8, 40} {
		m := model(t, Settings{Reference: anyReference, Rows: 1, Strips: strips}, flat("1", 0, 0, 1))
		d, l := pairDrag(m, 0, 0, elliptic(m, 1))
		near(t, "e", l*l/(math.Pi*d), 1, 1e-9)
		near(t, "best e", leastDrag(t, m), 1, 1e-9)
	}
}

// TestBox computes the least drag of a box of two wings with plates between their tips, at given lift.
func TestBox(t *testing.T) {
	reference.Check(t, "M8", 0, func(in reference.Inputs) reference.Values {
		h := in.Get("h/b")
		plate := Surface{Name: "plate", Mirrored: true, Stations: []Station{
			{LeadingEdge: Point{X: 2, Y: 0.5}, Chord: 0.1}, {LeadingEdge: Point{X: 2, Y: 0.5, Z: h}, Chord: 0.1},
		}}
		m := model(t, Settings{Reference: anyReference, Rows: 1, Strips: 40}, flat("lower", 0, 0, 1), flat("upper", 1, h, 1), plate)
		return reference.Values{"e=1/k": leastDrag(t, m)}
	})
}

// leastDrag returns the span efficiency, on unit span, of the best load: its wash is that of a rigid wake that sinks ([Munk]).
func leastDrag(t *testing.T, m *Model) float64 {
	far, n := m.newTrefftz(), len(m.mesh.strips)
	a, down := mat.NewDense(n+1, n, nil), mat.NewVecDense(n+1, nil)
	for i, s := range m.mesh.strips {
		down.SetVec(i, -s.normal.z)
		for j := range n {
			a.Set(i, j, far.wash[i][j]+far.image[i][j])
		}
	}
	// A circulation that is the same all around a box leaves no wake and may be anything; the last row holds its plates to a mean of zero.
	for j, s := range m.mesh.strips {
		a.Set(n, j, s.width*math.Abs(s.normal.y))
	}
	var gamma mat.VecDense
	if err := gamma.SolveVec(a, down); err != nil {
		t.Fatal(err)
	}
	half := 0.0 // of the lift over 2q, and of the drag over q with unit sink speed
	for i, s := range m.mesh.strips {
		half += gamma.AtVec(i) * s.normal.z * s.width
	}
	lift, drag := 4*half, 2*half
	return lift * lift / (math.Pi * drag)
}

// TestStagger: at fixed circulation the total drag of the near field does not depend on the stagger, though each wing's does, and is that of the Trefftz plane.
func TestStagger(t *testing.T) {
	reference.Check(t, "M9", 0, func(in reference.Inputs) reference.Values {
		drag := func(stagger float64) (first, total, far float64) {
			m := model(t, Settings{Reference: anyReference, Rows: 1, Strips: 40}, flat("1", stagger, in.Get("gap"), in.Get("b1")), flat("2", 0, 0, in.Get("b2")))
			load := elliptic(m, in.Get("circulation 1"), in.Get("circulation 2"))
			for a := range 2 {
				for b := range 2 {
					d, _ := pairDrag(m, a, b, load)
					far += d
				}
			}
			first, total = nearDrag(t, m, load)
			return first, total, far
		}
		first0, d0, far := drag(0)
		first, d30, _ := drag(30)
		if math.Abs(first-first0) < 0.1*first0 {
			t.Errorf("the first wing's own drag stays at %v with stagger", first)
		}
		_, d06, _ := drag(0.6)
		_, d15, _ := drag(1.5)
		return reference.Values{"D(0.6)/D(0)": d06 / d0, "D(1.5)/D(0)": d15 / d0, "D(30)/D(0)": d30 / d0, "D(0)/D_Trefftz": d0 / far}
	})
}

// nearDrag returns the streamwise force over q that given circulations bear in the flow they induce: of the first surface, and of all.
func nearDrag(t *testing.T, m *Model, gamma func(s strip) float64) (first, total float64) {
	p := &part{gamma: make([][]float64, len(m.bases)), free: make([]func(vec) vec, len(m.bases))}
	g := make([]float64, len(m.mesh.point))
	for _, s := range m.mesh.strips {
		g[s.first] = gamma(s)
	}
	p.gamma[alongX] = g
	if err := m.velocities(p, []int{alongX}, 1); err != nil {
		t.Fatal(err)
	}
	s := side{g, p.bound[alongX], p.chord[alongX]}
	for _, strip := range m.mesh.strips {
		f := 2 * m.onStrip(s, strip).f.x
		total += f
		if strip.surface == 0 {
			first += f
		}
	}
	return first, total
}
