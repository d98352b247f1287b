package drag

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/interp"
	"gonum.org/v1/gonum/stat"

	"foreplane/aerolib/unit"
)

// Point is a point of a polar. What is neither Profile nor Induced of CD is without lift.
type Point struct {
	CL, CD  unit.Coefficient
	Profile unit.Coefficient // added by lift to the profile drag of surfaces; 0 if not known apart
	Induced unit.Coefficient // 0 if not known apart
	Alpha   unit.Angle
	Control unit.Angle // deflection that trims; 0 without
}

// Parasite returns the drag without lift.
func (p Point) Parasite() unit.Coefficient { return p.CD - p.Profile - p.Induced }

// quantities are what a polar interpolates besides the drag without lift, all in the unit of SI.
var quantities = []struct {
	name string
	of   func(*Point) *float64
}{
	{"profile drag coefficient", func(p *Point) *float64 { return &p.Profile }},
	{"induced drag coefficient", func(p *Point) *float64 { return &p.Induced }},
	{"angle of attack", func(p *Point) *float64 { return &p.Alpha }},
	{"deflection", func(p *Point) *float64 { return &p.Control }},
}

// Polar is the drag of an aeroplane over lift, through points. Make it with [NewPolar] or [Untrimmed].
type Polar struct {
	Name   string
	Aspect unit.Ratio // b²/S of the reference, for span efficiency and Oswald factor
	Notes  []string

	points []Point               // by lift
	curves []*interp.AkimaSpline // of the quantities, and of the drag without lift
}

// NewPolar returns the polar through points in any order: between them the parts of CD follow Akima's splines, and CD is their sum. It returns an [*Error] for fewer than three points or two at
// one lift, and a [*unit.RangeError] or [*unit.PositiveError] for a number that is not finite or drag that is not above zero.
func NewPolar(name string, aspect unit.Ratio, points []Point) (Polar, error) {
	const f = "drag.NewPolar"
	p := Polar{Name: name, Aspect: aspect, points: slices.Clone(points)}
	slices.SortFunc(p.points, func(a, b Point) int { return cmp.Compare(a.CL, b.CL) })
	if err := unit.CheckPositive(f, "aspect ratio", aspect, "1"); err != nil {
		return Polar{}, err
	}
	if len(points) < 3 {
		return Polar{}, &Error{f, "polar " + name, fmt.Sprintf("has %d points, must have 3 or more", len(points))}
	}
	lifts := make([]unit.Coefficient, len(p.points))
	for i, q := range p.points {
		lifts[i] = q.CL
		if err := q.check(f); err != nil {
			return Polar{}, err
		}
		if i > 0 && q.CL == lifts[i-1] {
			return Polar{}, &Error{f, "polar " + name, fmt.Sprintf("has two points at CL %g", q.CL)}
		}
	}
	for _, q := range quantities {
		if err := p.interpolate(lifts, func(r *Point) float64 { return *q.of(r) }); err != nil {
			return Polar{}, err
		}
	}
	return p, p.interpolate(lifts, func(r *Point) float64 { return r.Parasite() })
}

// interpolate adds the curve of a quantity.
func (p *Polar) interpolate(lifts []unit.Coefficient, of func(*Point) float64) error {
	values := make([]float64, len(lifts))
	for i := range p.points {
		values[i] = of(&p.points[i])
	}
	spline := new(interp.AkimaSpline)
	p.curves = append(p.curves, spline)
	return spline.Fit(lifts, values)
}

func (p *Point) check(function string) error {
	inf := math.Inf(1)
	if err := unit.CheckRange(function, "lift coefficient", p.CL, -inf, inf, "1"); err != nil {
		return err
	}
	for _, q := range quantities {
		if err := unit.CheckRange(function, q.name, *q.of(p), -inf, inf, "1"); err != nil {
			return err
		}
	}
	return unit.CheckPositive(function, "drag coefficient", p.CD, "1")
}

// String writes the name, the parabola through all points and the notes.
func (p Polar) String() string {
	text := p.Name
	if fit, err := p.Fit(p.Limits()); err == nil {
		text += ": " + fit.String()
	}
	for _, n := range p.Notes {
		text += "\n" + n
	}
	return text
}

// Points returns the points by lift.
func (p Polar) Points() []Point { return slices.Clone(p.points) }

// Limits returns the lift coefficients between which there are points.
func (p Polar) Limits() (least, greatest unit.Coefficient) {
	if len(p.points) == 0 {
		return 0, 0
	}
	return p.points[0].CL, p.points[len(p.points)-1].CL
}

// At returns the point at a lift coefficient. It returns a [*unit.RangeError] outside the points, and an [*Error] for a polar that no constructor made.
func (p Polar) At(CL unit.Coefficient) (Point, error) {
	if len(p.points) == 0 {
		return Point{}, &Error{"drag.Polar.At", "polar " + p.Name, "has no points: make it with NewPolar"}
	}
	least, greatest := p.Limits()
	if err := unit.CheckRange("drag.Polar.At", "lift coefficient", CL, least, greatest, "1"); err != nil {
		return Point{}, err
	}
	out := Point{CL: CL}
	for i, q := range quantities {
		*q.of(&out) = p.curves[i].Predict(CL)
	}
	out.CD = p.curves[len(quantities)].Predict(CL) + out.Profile + out.Induced
	return out, nil
}

// CD returns the drag coefficient at a lift coefficient. Errors are those of [Polar.At].
func (p Polar) CD(CL unit.Coefficient) (unit.Coefficient, error) {
	q, err := p.At(CL)
	return q.CD, err
}

// SpanEfficiency returns that of the induced drag at a lift coefficient, see [Induced.SpanEfficiency]. Errors are those of it and of [Polar.At].
func (p Polar) SpanEfficiency(CL unit.Coefficient) (unit.Ratio, error) {
	q, err := p.At(CL)
	if err != nil {
		return 0, err
	}
	return spanEfficiency("drag.Polar.SpanEfficiency", CL, q.Induced, p.Aspect)
}

// Fit is a parabola through a polar, with how well it fits.
type Fit struct {
	Parabola
	Oswald   unit.Ratio       // of the parabola, with the aspect ratio of the polar
	From, To unit.Coefficient // lift coefficients of the points that count
	Points   int
	RMS      unit.Coefficient // of polar minus parabola
	Greatest unit.Coefficient // of it, by amount
}

// Fit returns the parabola CD₀ + K CL² through the points between two lift coefficients, by least squares, and what of the polar it leaves. Its Oswald factor is
//
//	e = 1/(π A K)
//
// and takes in the profile drag that grows with lift; where the drag is least at a lift other than zero it depends on the range that is fitted. It returns an [*Error] for
// fewer than three points in the range, or if drag does not grow with CL² there.
func (p Polar) Fit(from, to unit.Coefficient) (Fit, error) {
	fit := Fit{From: from, To: to}
	var squares, drags []unit.Coefficient
	for _, q := range p.points {
		if from <= q.CL && q.CL <= to {
			squares, drags = append(squares, q.CL*q.CL), append(drags, q.CD)
		}
	}
	if fit.Points = len(squares); fit.Points < 3 {
		return Fit{}, &Error{"drag.Polar.Fit", "polar " + p.Name, fmt.Sprintf("has %d points from CL %g to %g, must have 3 or more", fit.Points, from, to)}
	}
	fit.CD0, fit.K = stat.LinearRegression(squares, drags, nil, false)
	if !(fit.K > 0) {
		return Fit{}, &Error{"drag.Polar.Fit", "polar " + p.Name, fmt.Sprintf("does not grow with CL² from CL %g to %g", from, to)}
	}
	fit.Oswald = fit.Parabola.Oswald(p.Aspect)
	for i, s := range squares {
		rest := drags[i] - fit.CD0 - fit.K*s
		fit.RMS += rest * rest / float64(fit.Points)
		if math.Abs(rest) > math.Abs(fit.Greatest) {
			fit.Greatest = rest
		}
	}
	fit.RMS = math.Sqrt(fit.RMS)
	return fit, nil
}

// String writes the parabola, the Oswald factor and what is left.
func (f Fit) String() string {
	return fmt.Sprintf("CD = %s + %.4f CL², Oswald factor %.3f; from CL %.2f to %.2f within %s (rms %s)", five(f.CD0), f.K, f.Oswald, f.From, f.To, five(math.Abs(f.Greatest)), five(f.RMS))
}

// Parabola is a polar CD = CD₀ + K CL².
type Parabola struct {
	CD0 unit.Coefficient
	K   unit.Ratio
}

// CD returns the drag coefficient at a lift coefficient; it returns a [*unit.RangeError] for one that is not finite.
func (p Parabola) CD(CL unit.Coefficient) (unit.Coefficient, error) {
	return p.CD0 + p.K*CL*CL, unit.CheckRange("drag.Parabola.CD", "lift coefficient", CL, math.Inf(-1), math.Inf(1), "1")
}

// Oswald returns the Oswald factor that K is worth, e = 1/(π A K).
func (p Parabola) Oswald(aspect unit.Ratio) unit.Ratio { return 1 / (math.Pi * aspect * p.K) }

// LiftToDrag returns the greatest CL/CD and where it is,
//
//	CL = √(CD₀/K),   L/D = 1/(2 √(K CD₀))
func (p Parabola) LiftToDrag() (greatest unit.Ratio, CL unit.Coefficient) {
	return 1 / (2 * math.Sqrt(p.K*p.CD0)), math.Sqrt(p.CD0 / p.K)
}

// ParabolaOf returns the parabola with the given drag without lift, Oswald factor and aspect ratio. It returns a [*unit.PositiveError] for one that is not above zero.
func ParabolaOf(CD0 unit.Coefficient, oswald, aspect unit.Ratio) (Parabola, error) {
	const f = "drag.ParabolaOf"
	for _, err := range []error{
		unit.CheckPositive(f, "drag coefficient without lift", CD0, "1"),
		unit.CheckPositive(f, "Oswald factor", oswald, "1"),
		unit.CheckPositive(f, "aspect ratio", aspect, "1"),
	} {
		if err != nil {
			return Parabola{}, err
		}
	}
	return Parabola{CD0, 1 / (math.Pi * aspect * oswald)}, nil
}
