package section

import (
	"fmt"
	"math"

	"foreplane/aerolib/unit"
)

// flaw returns why the points are no aerofoil, or nothing.
func (c Contour) flaw() string {
	for _, check := range []func(Contour) string{notEnough, notFinite, notUnitChord, open, coincident, crossing} {
		if reason := check(c); reason != "" {
			return reason
		}
	}
	return ""
}

func notEnough(c Contour) string {
	if n := len(c.points); n < minPanels+1 || n > maxPanels+1 {
		return fmt.Sprintf("it has %d points, must be %d to %d", n, minPanels+1, maxPanels+1)
	}
	return ""
}

func notFinite(c Contour) string {
	for i, p := range c.points {
		if s := math.Abs(p.X) + math.Abs(p.Z); math.IsNaN(s) || s > 1e3 {
			return fmt.Sprintf("point %d is at x = %g, z = %g: not a place near a chord of 1", i+1, p.X, p.Z)
		}
	}
	return ""
}

func notUnitChord(c Contour) string {
	first, last := c.points[0], c.points[len(c.points)-1]
	if nose, tail := c.points[c.nose].X, (first.X+last.X)/2; math.Abs(nose) > 0.02 || math.Abs(tail-1) > 0.02 {
		return fmt.Sprintf("x must run from 1 at the trailing edge to 0 at the nose and back; it begins and ends near %.4g, and the nose is at %.4g", tail, nose)
	}
	return ""
}

func open(c Contour) string {
	if gap := c.TrailingGap(); gap > maxTrailingGap {
		return fmt.Sprintf("it is open: its ends are %.3g of the chord apart, must be within %g", gap, maxTrailingGap)
	}
	return ""
}

func coincident(c Contour) string {
	for i, p := range c.points[1:] {
		if distance(p, c.points[i]) < 1e-7 {
			return fmt.Sprintf("points %d and %d coincide at x = %g, z = %g", i+1, i+2, p.X, p.Z)
		}
	}
	return ""
}

// crossing looks for panels that cut or touch each other: neighbours that fold back, and any other two that intersect.
func crossing(c Contour) string {
	n := len(c.points) - 1
	for i := range n {
		for j := i + 2; j < n; j++ {
			if i == 0 && j == n-1 && c.TrailingGap() == 0 {
				continue // they meet at the trailing edge
			}
			if intersect(c.points[i], c.points[i+1], c.points[j], c.points[j+1]) {
				return fmt.Sprintf("its surfaces cross near x = %.4g, z = %.4g (points %d and %d)", c.points[i].X, c.points[i].Z, i+1, j+1)
			}
		}
	}
	if area(c.points) <= 0 {
		return "its surfaces cross: the area between them is not positive"
	}
	return ""
}

// intersect reports whether the segments ab and cd have a point in common.
func intersect(a, b, c, d Point) bool {
	return side(a, b, c)*side(a, b, d) <= 0 && side(c, d, a)*side(c, d, b) <= 0 &&
		max(min(a.X, b.X), min(c.X, d.X)) <= min(max(a.X, b.X), max(c.X, d.X)) &&
		max(min(a.Z, b.Z), min(c.Z, d.Z)) <= min(max(a.Z, b.Z), max(c.Z, d.Z))
}

// side is positive if p is to the left of the line from a to b.
func side(a, b, p Point) unit.Ratio { return (b.X-a.X)*(p.Z-a.Z) - (b.Z-a.Z)*(p.X-a.X) }
