package section

import (
	"errors"
	"math"
	"slices"

	"gonum.org/v1/gonum/interp"

	"foreplane/aerolib/unit"
)

// Point is a point of a section, in chords: x aft of the leading edge, z up.
type Point struct{ X, Z unit.Ratio }

// Contour is a section given by coordinates: from the trailing edge along the upper surface to the leading edge and back along the lower surface. Make it with
// [NewContour], [Read] or [Profile.Contour]. Its methods measure it along z, which for cambered sections differs from measures at right angles to the mean line
// by a factor within (dz/dx)²/2 of 1.
type Contour struct {
	Name   string
	points []Point
	nose   int // index of the foremost point
}

// Limits of coordinates.
const (
	minPanels                 = 20
	maxPanels                 = 2000
	maxTrailingGap unit.Ratio = 0.05
)

// NewContour returns the contour through points that run from the trailing edge around the section, upper or lower surface first. The chord is 1: x runs from
// about 0 to about 1.
//
// It returns a [*ContourError] that names the point and the reason for fewer than 21 points, values that are not finite, a chord that is not 1, ends that are
// more than 5 % of the chord apart or not at the trailing edge, points that coincide, and surfaces that cross.
func NewContour(name string, points []Point) (Contour, error) {
	points = slices.Clone(points)
	if area(points) < 0 { // clockwise: the lower surface came first
		slices.Reverse(points)
	}
	return newContour(name, points)
}

func newContour(name string, points []Point) (Contour, error) {
	c := Contour{Name: name, points: points}
	for i, p := range points {
		if p.X < points[c.nose].X {
			c.nose = i
		}
	}
	if reason := c.flaw(); reason != "" {
		return Contour{}, &ContourError{name, reason}
	}
	return c, nil
}

// area returns the area inside the points, positive when they run anticlockwise in x and z.
func area(points []Point) unit.Ratio {
	sum := 0.0
	for i, p := range points {
		q := points[(i+1)%len(points)]
		sum += (p.X*q.Z - q.X*p.Z) / 2
	}
	return sum
}

// Points returns the coordinates.
func (c Contour) Points() []Point { return slices.Clone(c.points) }

// TrailingGap returns the distance between the ends of the surfaces at the trailing edge.
func (c Contour) TrailingGap() unit.Ratio { return distance(c.points[0], c.points[len(c.points)-1]) }

// Area returns the area of the section over the square of the chord.
func (c Contour) Area() unit.Ratio { return area(c.points) }

func distance(p, q Point) unit.Ratio { return math.Hypot(q.X-p.X, q.Z-p.Z) }

// Refined returns the contour with the given even number of panels, close together at both edges, through parametric splines (Akima) along each surface. It returns a
// [*unit.RangeError] for fewer than 20 or more than 2000 panels.
func (c Contour) Refined(panels int) (Contour, error) {
	if err := unit.CheckRange("section.Refined", "number of panels", float64(panels), minPanels, maxPanels, "1"); err != nil {
		return Contour{}, err
	}
	s := make([]float64, len(c.points))
	x, z := make([]float64, len(c.points)), make([]float64, len(c.points))
	for i, p := range c.points {
		if x[i], z[i] = p.X, p.Z; i > 0 {
			s[i] = s[i-1] + distance(c.points[i-1], p)
		}
	}
	var fx, fz interp.AkimaSpline
	if err := errors.Join(fx.Fit(s, x), fz.Fit(s, z)); err != nil {
		return Contour{}, &ContourError{c.Name, err.Error()}
	}
	half, nose, end := (panels+1)/2, s[c.nose], s[len(s)-1]
	points := make([]Point, 2*half+1)
	for i := range points {
		along := (1 - math.Cos(math.Pi*float64(i%half)/float64(half))) / 2
		from, to := 0.0, nose
		if i >= half {
			from, to = nose, end
		}
		if i == 2*half {
			along = 1
		}
		at := from + (to-from)*along
		points[i] = Point{fx.Predict(at), fz.Predict(at)}
	}
	return newContour(c.Name, points)
}
