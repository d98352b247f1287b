package section

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"

	"foreplane/aerolib/unit"
)

// Sample is one measured or computed point of a polar. PostStall marks one that comes from [Polar.Extended], not from data.
type Sample struct {
	Alpha      unit.Angle
	CL, CD, CM unit.Coefficient
	PostStall  bool
}

// Polar is what a section does at one Reynolds number. Make it with [NewPolar] or [ReadPolars].
type Polar struct {
	Name     string
	Reynolds unit.ReynoldsNumber
	samples  []Sample // by angle of attack
}

// NewPolar returns the polar through samples in any order. It returns a [*PolarError] for fewer than two samples, one that is not finite or has drag below zero, or two at
// the same angle, and a [*unit.RangeError] for an angle outside ±90° or a Reynolds number outside 10⁴ to 10⁹.
func NewPolar(name string, reynolds unit.ReynoldsNumber, samples []Sample) (Polar, error) {
	if err := unit.CheckRange("section.NewPolar", "Reynolds number", reynolds, 1e4, 1e9, "1"); err != nil {
		return Polar{}, err
	}
	p := Polar{name, reynolds, slices.Clone(samples)}
	slices.SortFunc(p.samples, func(a, b Sample) int { return cmp.Compare(a.Alpha, b.Alpha) })
	if len(samples) < 2 {
		return Polar{}, &PolarError{name, fmt.Sprintf("it has %d samples, must be at least 2", len(samples))}
	}
	for i, s := range p.samples {
		if err := unit.CheckRange("section.NewPolar", "angle of attack", s.Alpha, -math.Pi/2, math.Pi/2, "°"); err != nil {
			return Polar{}, err
		}
		if sum := s.CL + s.CD + s.CM; math.IsNaN(sum) || math.IsInf(sum, 0) || s.CD < 0 {
			return Polar{}, &PolarError{name, fmt.Sprintf("at %s: cl %g, cd %g, cm %g", unit.Format(s.Alpha, "°"), s.CL, s.CD, s.CM)}
		}
		if i > 0 && s.Alpha == p.samples[i-1].Alpha {
			return Polar{}, &PolarError{name, "two samples at " + unit.Format(s.Alpha, "°")}
		}
	}
	return p, nil
}

// PolarError says why data are no polar.
type PolarError struct {
	Name   string
	Reason string
}

func (e *PolarError) Error() string { return fmt.Sprintf("section: polar %q: %s", e.Name, e.Reason) }

// Samples returns the samples by angle of attack.
func (p Polar) Samples() []Sample { return slices.Clone(p.samples) }

// At returns the polar at an angle of attack, linear between samples. It returns a [*unit.RangeError] outside them: [Polar.Extended] goes further.
func (p Polar) At(alpha unit.Angle) (Sample, error) {
	if len(p.samples) == 0 {
		return Sample{}, &PolarError{p.Name, "it has no samples"}
	}
	first, last := p.samples[0].Alpha, p.samples[len(p.samples)-1].Alpha
	if err := unit.CheckRange("section.Polar.At", "angle of attack", alpha, first, last, "°"); err != nil {
		return Sample{}, err
	}
	i, exact := slices.BinarySearchFunc(p.samples, alpha, func(s Sample, a unit.Angle) int { return cmp.Compare(s.Alpha, a) })
	if exact {
		return p.samples[i], nil
	}
	a, b := p.samples[i-1], p.samples[i]
	return blend(a, b, (alpha-a.Alpha)/(b.Alpha-a.Alpha)), nil
}

// blend returns (1−f) a + f b.
func blend(a, b Sample, f unit.Ratio) Sample {
	mix := func(x, y float64) float64 { return x + f*(y-x) }
	return Sample{mix(a.Alpha, b.Alpha), mix(a.CL, b.CL), mix(a.CD, b.CD), mix(a.CM, b.CM), a.PostStall || b.PostStall}
}

// MaxLift returns the sample of greatest cl. Like [Polar.MinLift] it panics on a polar that no constructor made.
func (p Polar) MaxLift() Sample { return slices.MaxFunc(p.samples, byLift) }

// MinLift returns the sample of least cl.
func (p Polar) MinLift() Sample { return slices.MinFunc(p.samples, byLift) }

func byLift(a, b Sample) int { return cmp.Compare(a.CL, b.CL) }

// LiftLine returns slope and zero-lift angle of the straight line through the samples between two angles, by least squares. It returns a [*PolarError] if fewer
// than two samples are there or they carry no lift.
func (p Polar) LiftLine(from, to unit.Angle) (slope unit.PerRadian, zeroLift unit.Angle, err error) {
	var alphas, lifts []float64
	for _, s := range p.samples {
		if from <= s.Alpha && s.Alpha <= to {
			alphas, lifts = append(alphas, s.Alpha), append(lifts, s.CL)
		}
	}
	if len(alphas) < 2 {
		return 0, 0, &PolarError{p.Name, fmt.Sprintf("fewer than two samples from %s to %s", unit.Format(from, "°"), unit.Format(to, "°"))}
	}
	intercept, slope := stat.LinearRegression(alphas, lifts, nil, false)
	if slope == 0 {
		return 0, 0, &PolarError{p.Name, "its lift does not depend on the angle of attack"}
	}
	return slope, -intercept / slope, nil
}

// Residual is data minus model at one sample.
type Residual struct {
	Alpha      unit.Angle
	CL, CD, CM unit.Coefficient
}

// Residuals returns p minus model at each of p's angles. Angles that the model does not cover are counted in outside.
func (p Polar) Residuals(model Polar) (residuals []Residual, outside int) {
	for _, s := range p.samples {
		m, err := model.At(s.Alpha)
		if err != nil {
			outside++
			continue
		}
		residuals = append(residuals, Residual{s.Alpha, s.CL - m.CL, s.CD - m.CD, s.CM - m.CM})
	}
	return residuals, outside
}

// Family is the polars of one section, by Reynolds number. Make it with [NewFamily] or [ReadPolars].
type Family struct{ polars []Polar }

// NewFamily returns the polars sorted by Reynolds number. It returns a [*PolarError] if there are none, or two at one Reynolds number.
func NewFamily(polars ...Polar) (Family, error) {
	f := Family{slices.Clone(polars)}
	slices.SortFunc(f.polars, func(a, b Polar) int { return cmp.Compare(a.Reynolds, b.Reynolds) })
	if len(polars) == 0 {
		return Family{}, &PolarError{"", "a family needs at least one polar"}
	}
	for i, p := range f.polars[1:] {
		if p.Reynolds == f.polars[i].Reynolds {
			return Family{}, &PolarError{p.Name, fmt.Sprintf("two polars at a Reynolds number of %.4g", p.Reynolds)}
		}
	}
	return f, nil
}

// Polars returns the polars by Reynolds number.
func (f Family) Polars() []Polar { return slices.Clone(f.polars) }

// At returns the polar at a Reynolds number, linear in its logarithm between the two nearest, over the angles that both cover. It returns a [*unit.RangeError]
// outside the family, and a [*PolarError] if the two have no angles in common.
func (f Family) At(reynolds unit.ReynoldsNumber) (Polar, error) {
	if len(f.polars) == 0 {
		return Polar{}, &PolarError{"", "the family is empty"}
	}
	if err := unit.CheckRange("section.Family.At", "Reynolds number", reynolds, f.polars[0].Reynolds, f.polars[len(f.polars)-1].Reynolds, "1"); err != nil {
		return Polar{}, err
	}
	i, exact := slices.BinarySearchFunc(f.polars, reynolds, func(p Polar, r float64) int { return cmp.Compare(p.Reynolds, r) })
	if exact {
		return f.polars[i], nil
	}
	low, high := f.polars[i-1], f.polars[i]
	weight := math.Log(reynolds/low.Reynolds) / math.Log(high.Reynolds/low.Reynolds)
	var samples []Sample
	for _, alpha := range angles(low, high) {
		a, errA := low.At(alpha)
		b, errB := high.At(alpha)
		if errA == nil && errB == nil {
			samples = append(samples, blend(a, b, weight))
		}
	}
	return NewPolar(low.Name, reynolds, samples)
}

// angles returns the angles of both polars, each once.
func angles(a, b Polar) []unit.Angle {
	var all []unit.Angle
	for _, s := range slices.Concat(a.samples, b.samples) {
		all = append(all, s.Alpha)
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// plateDrag is cd of a flat plate across the stream without end effects ([Viterna]).
const plateDrag unit.Coefficient = 2.01

// Extended returns the polar carried on to ±90° by that of a stalled flat plate, which meets the last samples at both ends:
//
//	cl = ½ B sin 2α + A cos²α/sin α,    A = (cl_s − B sin α_s cos α_s) sin α_s/cos²α_s
//	cd = B sin²α + D cos α,             D = (cd_s − B sin²α_s)/cos α_s,    B = 2.01
//	cm = −(x_p − ¼)(cl cos α + cd sin α),    x_p from the last sample to ½ at 90°, linear in α
//
// ([Viterna], for an infinite aspect ratio; the moment is common practice), every 5°, each sample marked PostStall. It is for study of gross motions: against NACA 0012
// from 30° to 90° ([Sheldahl], recalled) cl is 0.09 too low to 0.52 too high, most next to the stall, which it does not let drop, and cd within 0.21; real lift there
// also depends on history. It returns a [*PolarError] unless the samples reach 5° and the stall on both sides, that is, end
// beyond ±5° and within ±60°.
func (p Polar) Extended() (Polar, error) {
	if len(p.samples) == 0 {
		return Polar{}, &PolarError{p.Name, "it has no samples"}
	}
	first, last := p.samples[0], p.samples[len(p.samples)-1]
	const near, far = 5 * unit.Degree, 60 * unit.Degree
	if !(near <= last.Alpha && last.Alpha <= far && -far <= first.Alpha && first.Alpha <= -near) {
		return Polar{}, &PolarError{p.Name, "to be extended it must end between 5° and 60° on both sides"}
	}
	samples := p.Samples()
	for alpha := -90; alpha <= 90; alpha += 5 {
		a := float64(alpha) * unit.Degree
		if a > last.Alpha {
			samples = append(samples, plate(last, a))
		}
		if a < first.Alpha {
			samples = append(samples, mirror(plate(mirror(first), -a)))
		}
	}
	return NewPolar(p.Name, p.Reynolds, samples)
}

// mirror returns the sample of the section upside down.
func mirror(s Sample) Sample { return Sample{-s.Alpha, -s.CL, s.CD, -s.CM, s.PostStall} }

// plate carries the last sample s on to alpha, both above zero.
func plate(s Sample, alpha unit.Angle) Sample {
	sinS, cosS := math.Sincos(s.Alpha)
	sin, cos := math.Sincos(alpha)
	a := (s.CL - plateDrag*sinS*cosS) * sinS / (cosS * cosS)
	d := (s.CD - plateDrag*sinS*sinS) / cosS
	out := Sample{Alpha: alpha, PostStall: true}
	out.CL = plateDrag*sin*cos + a*cos*cos/sin
	out.CD = max(plateDrag*sin*sin+d*cos, 0)
	armS := -s.CM / (s.CL*cosS + s.CD*sinS)
	arm := armS + (0.25-armS)*(alpha-s.Alpha)/(math.Pi/2-s.Alpha)
	out.CM = -arm * (out.CL*cos + out.CD*sin)
	return out
}
