package lattice

import (
	"errors"
	"fmt"
	"math"

	"foreplane/aerolib/internal/lu"
	"foreplane/aerolib/unit"
)

// Distribution gives a quantity at η = 2y/b, from −1 at the port tip to 1 at the starboard tip.
type Distribution func(eta unit.Ratio) float64

// Constant is the same everywhere.
func Constant(v float64) Distribution { return func(unit.Ratio) float64 { return v } }

// Tapered is linear from root to either tip.
func Tapered(root, tip float64) Distribution {
	return func(eta unit.Ratio) float64 { return root + math.Abs(eta)*(tip-root) }
}

// Elliptic is v √(1 − η²).
func Elliptic(v float64) Distribution {
	return func(eta unit.Ratio) float64 { return v * math.Sqrt(max(0, 1-eta*eta)) }
}

// Line is an unswept wing for the lifting-line theory of Prandtl. A nil Slope is 2π everywhere, a nil Twist or ZeroLift is 0.
type Line struct {
	Span     unit.Length
	Chord    Distribution
	Twist    Distribution // of the chord to the x axis, nose up
	Slope    Distribution // of the section, dcl/dα
	ZeroLift Distribution // angle of attack of the chord at zero lift
	Terms    int          // of the series; 0 is 100
	// Stop is asked from time to time; an error ends the computation and is returned. Nil never stops.
	Stop func() error
}

// LineResult is the answer of [Line.Solve]. Coefficients refer to the area of the wing, and Cl to its span.
type LineResult struct {
	Area           unit.Area
	AspectRatio    unit.Ratio
	Alpha          unit.Angle
	Series         []float64 // A₁, A₂, …
	CL, CDi, Cl    unit.Coefficient
	Slope          unit.PerRadian // dCL/dα
	SpanEfficiency unit.Ratio     // CL²/(π A CDi) = 1/(1 + δ)
	Notes          []string

	line Line
}

// Solve returns the circulation as a series in y = (b/2) cos θ,
//
//	Γ = 2 b V Σ A_n sin nθ
//	Σ A_n sin nθ (n μ + sin θ) = μ (α + twist − α_L0) sin θ,   μ = a₀ c/(4b)
//	CL = π A A₁,   CDi = π A Σ n A_n²,   Cl = −π A A₂/4
//
// with the equation satisfied at as many θ as there are terms ([Glauert], ch. XI). Sweep and interference are not in it, and below an aspect ratio of about 4
// its slope is too high. Below that a note says so. It returns a [*unit.PositiveError] for a span, chord or slope not above zero, a [*unit.RangeError]
// for angles that are not numbers within ±45°, and what the stop hook returned.
func (l Line) Solve(alpha unit.Angle) (LineResult, error) {
	if err := l.defaults(alpha); err != nil {
		return LineResult{}, err
	}
	n := l.Terms
	matrix, rhs := make([]float64, n*n), make([]float64, 2*n)
	area := 0.0
	for i := range n {
		theta := math.Pi * (float64(i) + 0.5) / float64(n)
		s := math.Sin(theta)
		eta := math.Cos(theta)
		if err := l.checkAt(eta); err != nil {
			return LineResult{}, err
		}
		chord := l.Chord(eta)
		mu := l.Slope(eta) * chord / (4 * l.Span)
		area += chord * s * math.Pi / float64(n) * l.Span / 2
		for k := range n {
			matrix[i*n+k] = math.Sin(float64(k+1)*theta) * (float64(k+1)*mu + s)
		}
		rhs[2*i], rhs[2*i+1] = mu*s, mu*s*(l.Twist(eta)-l.ZeroLift(eta))
	}
	a, err := l.series(matrix, rhs)
	if err != nil {
		return LineResult{}, err
	}
	r := LineResult{Area: area, AspectRatio: l.Span * l.Span / area, Alpha: alpha, line: l}
	r.Slope = math.Pi * r.AspectRatio * a[0]
	for k := range n {
		r.Series = append(r.Series, alpha*a[2*k]+a[2*k+1])
		r.CDi += math.Pi * r.AspectRatio * float64(k+1) * r.Series[k] * r.Series[k]
	}
	r.CL = math.Pi * r.AspectRatio * r.Series[0]
	if n > 1 {
		r.Cl = -math.Pi * r.AspectRatio * r.Series[1] / 4
	}
	r.SpanEfficiency = r.CL * r.CL / (math.Pi * r.AspectRatio * r.CDi)
	if r.AspectRatio < slenderLine {
		r.Notes = append(r.Notes, fmt.Sprintf("The aspect ratio %.1f is below %g, where the lifting line has too much slope.", r.AspectRatio, slenderLine))
	}
	return r, nil
}

// slenderLine is the aspect ratio below which results of the lifting line carry a note; common practice.
const slenderLine unit.Ratio = 4

// series solves for the series per unit α and for that of twist and zero-lift angle, in turn.
func (l Line) series(matrix, rhs []float64) ([]float64, error) {
	f, err := lu.Factorise(l.Terms, matrix, func(float64) error {
		if l.Stop != nil {
			return l.Stop()
		}
		return nil
	})
	var singular *lu.SingularError
	if errors.As(err, &singular) {
		return nil, fmt.Errorf("lattice.Line: the series of %d terms has no solution: condition number %.1e", l.Terms, singular.Condition)
	}
	if err != nil {
		return nil, err
	}
	return f.Solve(rhs, 2), nil
}

// defaults fills in what is left out, and checks what does not vary along the span.
func (l *Line) defaults(alpha unit.Angle) error {
	if l.Terms == 0 {
		l.Terms = 100
	}
	for d, v := range map[*Distribution]float64{&l.Twist: 0, &l.ZeroLift: 0, &l.Slope: 2 * math.Pi} {
		if *d == nil {
			*d = Constant(v)
		}
	}
	if l.Chord == nil {
		return fmt.Errorf("lattice.Line: the chord is missing")
	}
	for _, err := range []error{
		unit.CheckPositive("lattice.Line", "span", l.Span, "m"),
		unit.CheckRange("lattice.Line", "α", alpha, -maxSmall, maxSmall, "°"),
		unit.CheckRange("lattice.Line", "number of terms", float64(l.Terms), 1, maxStrips, "1"),
	} {
		if err != nil {
			return err
		}
	}
	return nil
}

func (l Line) checkAt(eta unit.Ratio) error {
	at := fmt.Sprintf(" at η = %.3f", eta)
	for _, err := range []error{
		unit.CheckPositive("lattice.Line", "chord"+at, l.Chord(eta), "m"),
		unit.CheckPositive("lattice.Line", "slope"+at, l.Slope(eta), "1/rad"),
		unit.CheckRange("lattice.Line", "twist"+at, l.Twist(eta), -maxSmall, maxSmall, "°"),
		unit.CheckRange("lattice.Line", "zero-lift angle"+at, l.ZeroLift(eta), -maxSmall, maxSmall, "°"),
	} {
		if err != nil {
			return err
		}
	}
	return nil
}

// Circulation returns Γ/V at η.
func (r LineResult) Circulation(eta unit.Ratio) unit.Length {
	theta := math.Acos(min(1, max(-1, eta)))
	sum := 0.0
	for k, a := range r.Series {
		sum += a * math.Sin(float64(k+1)*theta)
	}
	return 2 * r.line.Span * sum
}

// LocalCL returns the lift coefficient of the section at η, 2Γ/(Vc).
func (r LineResult) LocalCL(eta unit.Ratio) unit.Coefficient {
	return 2 * r.Circulation(eta) / r.line.Chord(eta)
}

// Downwash returns the induced angle at η, Σ n A_n sin nθ/sin θ, positive down. At the tips it is the limit.
func (r LineResult) Downwash(eta unit.Ratio) unit.Angle {
	theta := math.Acos(min(1-1e-12, max(-1+1e-12, eta)))
	sum := 0.0
	for k, a := range r.Series {
		sum += float64(k+1) * a * math.Sin(float64(k+1)*theta)
	}
	return sum / math.Sin(theta)
}
