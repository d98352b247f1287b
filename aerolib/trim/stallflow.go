package trim

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"foreplane/aerolib/lattice"
	"foreplane/aerolib/unit"
)

// stream is what a lattice with wakes in one direction says of symmetric flow. In the amounts
//
//	a = (cos α, sin α, δ₁ cos α, δ₂ cos α, …)
//
// the circulations of strips are linear forms, and forces are quadratic ones. They are taken from the lattice once, and exactly, so that a state costs no more than sums.
type stream struct {
	circulation [][]unit.Length // over the speed, of each strip by amount
	upwash      [][]unit.Ratio  // over the speed, at each point by amount
	body        []unit.Volume   // moment of the bodies in this upwash, by amount
	x, z        []unit.Area     // force over dynamic pressure, along the axes: upper triangles
	moment      []unit.Volume   // about the datum, nose up
	induced     []unit.Area     // drag in the Trefftz plane
}

// probeStep is the angle of the states that forms are taken from; they are exact whatever it is.
const probeStep unit.Angle = 0.1

// probe returns a state with some of the amounts after the first: a step of each, or minus one.
func probe(controls []string, step unit.Angle, which ...int) (lattice.State, []unit.Ratio) {
	s, turned := lattice.State{Deflections: map[string]unit.Angle{}}, make([]unit.Angle, len(controls))
	for _, i := range which {
		switch {
		case i == 1:
			s.Alpha = step
		case i > 1:
			s.Deflections[controls[i-2]], turned[i-2] = step, step
		}
	}
	return s, amounts(s.Alpha, turned)
}

// amounts of a state.
func amounts(alpha unit.Angle, deflections []unit.Angle) []unit.Ratio {
	sin, cos := math.Sincos(alpha)
	a := append(make([]unit.Ratio, 0, 2+len(deflections)), cos, sin)
	for _, d := range deflections {
		a = append(a, d*cos)
	}
	return a
}

// newStream takes the forms of a model, and returns its strips to starboard.
func newStream(m *lattice.Model, p *approach) (*stream, []lattice.Strip, error) {
	s, controls, r := &stream{}, p.controls, p.reference
	strips, err := s.takeLinear(m, p)
	if err != nil {
		return nil, nil, err
	}
	n := len(controls) + 2
	var rows, values []float64
	for i := range n {
		for j := i; j < n; j++ {
			state, a := probe(controls, probeStep, i, j)
			if i == j {
				state, a = probe(controls, -probeStep, i)
			}
			c, err := m.Coefficients(state)
			if err != nil {
				return nil, nil, err
			}
			sin, cos := math.Sincos(state.Alpha)
			rows = append(rows, products(a)...)
			values = append(values, r.Area*(c.CD*cos-c.CL*sin), r.Area*(c.CL*cos+c.CD*sin), r.Area*r.Chord*c.Cm, r.Area*c.CDi)
		}
	}
	size := n * (n + 1) / 2
	forms, err := formsOf(size, rows, 4, values)
	s.x, s.z, s.moment, s.induced = forms[0], forms[1], forms[2], forms[3]
	return s, strips, err
}

// takeLinear takes the circulations of the strips to starboard, and the upwash at the points.
func (s *stream) takeLinear(m *lattice.Model, p *approach) ([]lattice.Strip, error) {
	n := len(p.controls) + 2
	var kept []lattice.Strip
	var rows, values []float64
	for i := range n {
		state, a := probe(p.controls, probeStep, i)
		r, err := m.Solve(state)
		if err != nil {
			return nil, err
		}
		wash, err := m.Induced(state, p.points)
		if err != nil {
			return nil, err
		}
		kept = slices.DeleteFunc(r.Strips, func(t lattice.Strip) bool { return t.Middle.Y < 0 })
		rows = append(rows, a...)
		for _, t := range kept {
			values = append(values, t.Circulation)
		}
		for _, v := range wash {
			values = append(values, v.Z)
		}
	}
	forms, err := formsOf(n, rows, len(kept)+len(p.points), values)
	if err != nil {
		return nil, err
	}
	s.circulation, s.upwash = forms[:len(kept)], forms[len(kept):]
	s.body = bodyWash(p.bodies, s.upwash, n)
	return kept, nil
}

// formsOf returns for each of several right-hand sides, given row by row, the coefficients by which n rows make it.
func formsOf(n int, rows []float64, sides int, values []float64) ([][]float64, error) {
	var x mat.Dense
	if err := x.Solve(mat.NewDense(n, n, rows), mat.NewDense(n, sides, values)); err != nil {
		return nil, fmt.Errorf("trim: the forms of the lattice have no solution: %w", err)
	}
	out := make([][]float64, sides)
	for i := range out {
		out[i] = mat.Col(nil, i, &x)
	}
	return out, nil
}

// products returns a_i a_j for i ≤ j.
func products(a []unit.Ratio) []unit.Ratio {
	p := make([]unit.Ratio, 0, len(a)*(len(a)+1)/2)
	for i, u := range a {
		for _, v := range a[i:] {
			p = append(p, u*v)
		}
	}
	return p
}

func dot(c, a []float64) float64 {
	sum := 0.0
	for i, v := range a {
		sum += c[i] * v
	}
	return sum
}
