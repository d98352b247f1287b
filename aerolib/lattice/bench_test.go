package lattice

import (
	"fmt"
	"testing"

	"foreplane/aerolib/internal/lu"
	"foreplane/aerolib/unit"
)

// The benchmarks have as many unknowns as panels, without use of symmetry. testdata/compare.py runs them beside a program in numpy with the same mesh.

// benched is a swept wing with a flap along all of its trailing edge.
func benched(b *testing.B, rows, strips int) *Model {
	s := Trapezoid("wing", Point{}, 8, 1.2, 0.8, 0.4, 0, 0)
	s.Controls = []Control{{Name: "flap", Chord: 0.25}}
	ref := Reference{Area: 8, Chord: 1, Span: 8}
	return model(b, Settings{Reference: ref, Rows: rows, Strips: strips / 2, Whole: true}, s)
}

// eachSize runs a benchmark at 200, 1000 and 2000 panels.
func eachSize(b *testing.B, run func(b *testing.B, m *Model)) {
	for _, size := range [][2]int{{4, 50}, {20, 50}, {20, 100}} {
		b.Run(fmt.Sprint(size[0]*size[1]), func(b *testing.B) {
			b.ReportAllocs()
			run(b, benched(b, size[0], size[1]))
		})
	}
}

func BenchmarkAssembly(b *testing.B) {
	eachSize(b, func(b *testing.B, m *Model) {
		for b.Loop() {
			need[[]float64](b)(m.matrix(len(m.mesh.point), 1))
		}
	})
}

// BenchmarkFactorisation includes a copy of the matrix and the estimate of its condition.
func BenchmarkFactorisation(b *testing.B) {
	eachSize(b, func(b *testing.B, m *Model) {
		n := len(m.mesh.point)
		a := need[[]float64](b)(m.matrix(n, 1))
		work := make([]float64, n*n)
		condition := 0.0
		for b.Loop() {
			copy(work, a)
			condition = need[*lu.Factors](b)(m.factorise(n, work)).Condition()
		}
		b.ReportMetric(condition, "condition")
	})
}

// BenchmarkSweep is all that follows the factorisation in a sweep of 21 angles of attack, 11 centres of gravity and 11 deflections: right-hand sides, velocities,
// forces and drag.
func BenchmarkSweep(b *testing.B) {
	eachSize(b, func(b *testing.B, m *Model) {
		need[Coefficients](b)(m.Coefficients(State{Alpha: 0.1}))
		factors := m.parts[0].lu
		var last Coefficients
		for b.Loop() {
			p, err := m.partOfFactors(factors, 1)
			if err != nil {
				b.Fatal(err)
			}
			m.parts, m.sums, m.far = [2]*part{p}, nil, nil
			last = sweep(b, m)
		}
		if m.Factorisations() != 1 {
			b.Fatalf("%d factorisations", m.Factorisations())
		}
		b.ReportMetric(last.CL, "CL")
		b.ReportMetric(last.Cm, "Cm")
		b.ReportMetric(last.CDi, "CDi")
	})
}

func sweep(b *testing.B, m *Model) Coefficients {
	var states []State
	for i := range 21 {
		for j := range 11 {
			for k := range 11 {
				states = append(states, State{
					Alpha: float64(i-5) * unit.Degree, Point: Point{X: 0.5 + 0.1*float64(j)}, Deflections: map[string]unit.Angle{"flap": float64(k-5) * unit.Degree},
				})
			}
		}
	}
	all := need[[]Coefficients](b)(m.Sweep(states))
	return all[len(all)-1]
}

// BenchmarkTrim trims an aeroplane of two surfaces with 400 panels, from the geometry on, and once it is factorised.
func BenchmarkTrim(b *testing.B) {
	state := State{Point: Point{X: 3.4}}
	b.Run("400", func(b *testing.B) {
		for b.Loop() {
			m := trimmable(b, 5, 26)
			if panels, _ := m.Panels(); panels < 400 {
				b.Fatalf("%d panels", panels)
			}
			need[State](b)(m.Trim(state, "elevator", 0.6, 0))
		}
	})
	b.Run("400/factorised", func(b *testing.B) {
		m := trimmable(b, 5, 26)
		for b.Loop() {
			need[State](b)(m.Trim(state, "elevator", 0.6, 0))
		}
	})
}
