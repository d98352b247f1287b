package section_test

import (
	"fmt"
	"math"
	"math/cmplx"
	"testing"

	"foreplane/aerolib/section"
	"foreplane/aerolib/unit"
)

// joukowski returns a section with a cusp, with the exact speed at each point and the exact lift at an angle of attack. The circle around the centre c through 1
// becomes the section by ζ + 1/ζ; its flow has the circulation that puts the rear stagnation point at 1.
func joukowski(c complex128, n int, alpha float64) (points []section.Point, speeds []float64, cl float64) {
	radius := cmplx.Abs(1 - c)
	trailing := cmplx.Phase(1 - c)
	front := c + cmplx.Rect(radius, math.Pi-trailing) // not the nose exactly, but on the axis
	chord := 2 - real(front+1/front)
	circulation := 4 * math.Pi * radius * math.Sin(alpha-trailing) // clockwise
	for i := range n + 1 {
		angle := trailing + 2*math.Pi*float64(i)/float64(n)
		zeta := c + cmplx.Rect(radius, angle)
		z := zeta + 1/zeta
		points = append(points, section.Point{X: 1 - (2-real(z))/chord, Z: imag(z) / chord})
		local := zeta - c
		w := cmplx.Exp(complex(0, -alpha)) - complex(radius*radius, 0)*cmplx.Exp(complex(0, alpha))/(local*local) + complex(0, circulation/(2*math.Pi))/local
		speeds = append(speeds, cmplx.Abs(w/(1-1/(zeta*zeta))))
	}
	points[n] = points[0]
	return points, speeds, 2 * circulation / chord
}

// moment integrates exact pressures about the quarter chord by the trapezoidal rule.
func moment(points []section.Point, speeds []float64) float64 {
	sum := 0.0
	for i := 1; i < len(points); i++ {
		a, b := points[i-1], points[i]
		pressure := 1 - (speeds[i-1]*speeds[i-1]+speeds[i]*speeds[i])/2
		sum += pressure * ((a.Z-b.Z)*(a.Z+b.Z)/2 - (b.X-a.X)*((a.X+b.X)/2-0.25))
	}
	return sum
}

// TestJoukowski compares with the exact flow about sections with cusped trailing edges, from thin to 20 % thick and 10 % cambered. Tolerances are those that [Panels]
// states; speeds next to a thin nose need more panels.
func TestJoukowski(t *testing.T) {
	for _, c := range []complex128{-0.1, complex(-0.08, 0.1), complex(-0.15, 0.2), complex(-0.03, 0.05)} {
		for _, alpha := range []float64{0, 5 * unit.Degree, -3 * unit.Degree} {
			points, speeds, cl := joukowski(c, 160, alpha)
			f := need[*section.Flow](t)(section.Panels(need[section.Contour](t)(section.NewContour("Joukowski", points))))
			p := need[section.Pressures](t)(f.At(alpha))
			near(t, fmt.Sprintf("cl of %v at %g", c, alpha), p.CL, cl, 1e-3*math.Abs(cl)+1e-4)
			fine, exact, _ := joukowski(c, 4000, alpha)
			exact[0], exact[4000] = exact[1], exact[3999] // 0/0 at the cusp
			near(t, fmt.Sprintf("cm of %v at %g", c, alpha), p.CM, moment(fine, exact), 5e-4)
			for i := 1; i < len(speeds)-1 && real(c) < -0.05; i++ {
				near(t, fmt.Sprintf("speed %d of %v at %g", i, c, alpha), math.Abs(p.Speed[i]), speeds[i], 0.015)
			}
		}
	}
}
