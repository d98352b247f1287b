package section

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/integrate/quad"

	"foreplane/aerolib/unit"
)

// Thin is what thin-aerofoil theory says of a mean line. It knows neither thickness nor friction: over 18 NACA sections measured lift slopes are 0.88 to 1.0 of its 2π,
// its zero-lift angle is −0.36° to +0.31° and its moment −0.025 to +0.010 off ([TR824], recalled).
type Thin struct {
	ZeroLift   unit.Angle       // α_L0, negative with camber
	LiftSlope  unit.PerRadian   // 2π
	Moment     unit.Coefficient // cm about the quarter chord, at any lift
	IdealAngle unit.Angle       // α_i, at which the flow meets the leading edge smoothly
	IdealLift  unit.Coefficient // cl at α_i
	A1, A2     unit.Ratio       // coefficients of the series for the load
}

// ThinTheory returns the results of thin-aerofoil theory for a mean line. With x = (1 − cos θ)/2,
//
//	A_n  = (2/π) ∫ z′ cos nθ dθ      over 0 to π
//	α_L0 = (1/π) ∫ z′ (1 − cos θ) dθ,   cm_c/4 = −(π/4)(A₁ − A₂)
//	α_i  = (1/π) ∫ z′ dθ,               cl_i = π A₁
//
// ([Glauert26], [TR824]). It returns a [*MeanLineError] for a line without slope, with a break outside the chord, or whose slope cannot be integrated.
func ThinTheory(line MeanLine) (Thin, error) {
	if line.Slope == nil {
		return Thin{}, &MeanLineError{line.Name, "it has no Slope"}
	}
	edges, err := panels(line)
	if err != nil {
		return Thin{}, err
	}
	var moments [3]unit.Ratio // ∫ z′ cos nθ dθ
	for n := range moments {
		for i := range edges[1:] {
			moments[n] += integrate(func(theta unit.Angle) unit.Ratio {
				s := math.Sin(theta / 2)
				x := min(s*s, math.Nextafter(1, 0)) // (1 − cos θ)/2, inside the chord also after rounding
				return line.Slope(x) * math.Cos(float64(n)*theta)
			}, edges[i], edges[i+1])
		}
		if math.IsNaN(moments[n]) || math.IsInf(moments[n], 0) {
			return Thin{}, &MeanLineError{line.Name, "the integral of its slope is not finite"}
		}
	}
	a1, a2 := 2/math.Pi*moments[1], 2/math.Pi*moments[2]
	return Thin{
		ZeroLift:   (moments[0] - moments[1]) / math.Pi,
		LiftSlope:  2 * math.Pi,
		Moment:     -math.Pi / 4 * (a1 - a2),
		IdealAngle: moments[0] / math.Pi,
		IdealLift:  math.Pi * a1,
		A1:         a1,
		A2:         a2,
	}, nil
}

// panels returns the angles θ between which the slope is smooth.
func panels(line MeanLine) ([]unit.Angle, error) {
	edges := []unit.Angle{0, math.Pi}
	for _, x := range line.Breaks {
		if !(0 <= x && x <= 1) {
			return nil, &MeanLineError{line.Name, "break " + unit.Format(x, "1") + " is outside the chord, 0 to 1"}
		}
		edges = append(edges, math.Acos(1-2*x))
	}
	slices.Sort(edges)
	return slices.Compact(edges), nil
}

// integrate returns ∫ f dθ from a to b, without using the ends, where f may be infinite like a logarithm: the substitution t → t³(10 − 15t + 6t²) takes the
// weight to zero there. 64 nodes then leave an error below 10⁻⁹ for all NACA lines (tested against closed forms).
func integrate(f func(unit.Angle) unit.Ratio, a, b unit.Angle) float64 {
	return quad.Fixed(func(t float64) float64 {
		blend := t * t * t * (10 - 15*t + 6*t*t)
		weight := 30 * t * t * (1 - t) * (1 - t)
		return f(a+(b-a)*blend) * (b - a) * weight
	}, 0, 1, 64, quad.Legendre{}, 0)
}

// Lift returns cl = 2π (α − α_L0).
func (t Thin) Lift(alpha unit.Angle) unit.Coefficient { return t.LiftSlope * (alpha - t.ZeroLift) }

// CentreOfPressure returns the station where the load acts, in chords behind the leading edge,
//
//	x_cp = ¼ − cm_c/4 / cl
//
// which goes to infinity as the lift goes to zero.
func (t Thin) CentreOfPressure(alpha unit.Angle) unit.Ratio { return 0.25 - t.Moment/t.Lift(alpha) }
