package lattice

import (
	"errors"
	"fmt"
	"math"

	"foreplane/aerolib/internal/lu"
	"foreplane/aerolib/section"
	"foreplane/aerolib/unit"
)

// Section is what a section does in plane flow at an angle of attack of its chord: lift, profile drag and moment about the quarter chord. A [section.Polar] is
// one. It returns an error outside its data.
type Section interface {
	At(alpha unit.Angle) (section.Sample, error)
}

// blended lies between two sections.
type blended struct {
	a, b Section
	f    unit.Ratio
}

// between returns the section at the fraction f of the way from a to b.
func between(a, b Section, f unit.Ratio) Section {
	switch {
	case a == nil || b == nil:
		return nil
	case f == 0:
		return a
	case f == 1:
		return b
	}
	return blended{a, b, f}
}

// At returns the mean of both, weighted.
func (s blended) At(alpha unit.Angle) (section.Sample, error) {
	a, errA := s.a.At(alpha)
	b, errB := s.b.At(alpha)
	mix := func(x, y unit.Coefficient) unit.Coefficient { return x + s.f*(y-x) }
	return section.Sample{
		Alpha: alpha, CL: mix(a.CL, b.CL), CD: mix(a.CD, b.CD), CM: mix(a.CM, b.CM), PostStall: a.PostStall || b.PostStall,
	}, errors.Join(errA, errB)
}

// thin is what the camber and the zero-lift angle of a strip do in plane flow.
type thin struct {
	angle  unit.Angle       // by which they turn the zero-lift line, −α₀
	moment unit.Coefficient // about the quarter chord
}

// thinCamber solves the strip by itself: vortices at a quarter of each panel, no flow through it at three quarters.
func thinCamber(t strip, fixed []unit.Angle) thin {
	n := t.rows
	matrix := make([]float64, n*n)
	rhs := make([]float64, n)
	vortex := func(j int) float64 { return t.edges[j] + (t.edges[j+1]-t.edges[j])/4 }
	for i := range n {
		at := t.edges[i] + 0.75*(t.edges[i+1]-t.edges[i])
		for j := range n {
			matrix[i*n+j] = 1 / (2 * math.Pi * (at - vortex(j)))
		}
		rhs[i] = fixed[i] - t.twist
	}
	f, err := lu.Factorise(n, matrix, nil)
	if err != nil { // vortices and control points alternate: always regular
		panic("lattice: the plane flow of a strip has no solution")
	}
	var out thin
	for j, gamma := range f.Solve(rhs, 1) {
		out.angle += gamma / math.Pi
		out.moment += 2 * gamma * (0.25 - vortex(j))
	}
	return out
}

// sectionAt returns the sample and slope of a section; at the ends of its data the slope is taken from within.
func sectionAt(s Section, alpha unit.Angle) (sample section.Sample, slope unit.PerRadian, err error) {
	if math.IsNaN(alpha) {
		return sample, 0, errors.New("no angle of attack gives the lift of the strip")
	}
	if sample, err = s.At(alpha); err != nil {
		return sample, 0, err
	}
	if sum := sample.CL + sample.CD + sample.CM; math.IsNaN(sum) || math.IsInf(sum, 0) {
		return sample, 0, fmt.Errorf("it says cl %g, cd %g, cm %g", sample.CL, sample.CD, sample.CM)
	}
	low, high := alpha-slopeOver, alpha+slopeOver
	a, errLow := s.At(low)
	b, errHigh := s.At(high)
	if errLow != nil {
		low, a = alpha, sample
	}
	if errHigh != nil {
		high, b = alpha, sample
	}
	if low == high {
		return sample, 0, errors.Join(errLow, errHigh)
	}
	return sample, (b.CL - a.CL) / (high - low), nil
}
