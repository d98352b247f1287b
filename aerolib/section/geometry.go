package section

import (
	"errors"
	"math"
	"slices"

	"gonum.org/v1/gonum/interp"
	"gonum.org/v1/gonum/mat"

	"foreplane/aerolib/unit"
)

// surfaces returns the upper and lower surface as functions of x, monotone cubics through the points. Points that turn back around the nose are left out.
func (c Contour) surfaces() (upper, lower interp.FritschButland) {
	front := slices.Clone(c.points[:c.nose+1])
	slices.Reverse(front)
	for i, points := range [][]Point{front, c.points[c.nose:]} {
		var x, z []float64
		for _, p := range points {
			if len(x) == 0 || p.X > x[len(x)-1] {
				x, z = append(x, p.X), append(z, p.Z)
			}
		}
		curve := []*interp.FritschButland{&upper, &lower}[i]
		if err := curve.Fit(x, z); err != nil {
			panic("section: " + err.Error()) // newContour has seen that there are points enough
		}
	}
	return upper, lower
}

// Thickness returns the greatest thickness along z and its station.
func (c Contour) Thickness() (thickness, station unit.Ratio) {
	upper, lower := c.surfaces()
	return peak(func(x unit.Ratio) unit.Ratio { return upper.Predict(x) - lower.Predict(x) })
}

// Camber returns the greatest camber, the height of the line midway between the surfaces above the chord z = 0, with its sign, and its station. The station is 0 if
// there is no camber.
func (c Contour) Camber() (camber, station unit.Ratio) {
	upper, lower := c.surfaces()
	height := func(x unit.Ratio) unit.Ratio { return (upper.Predict(x) + lower.Predict(x)) / 2 }
	up, at := peak(height)
	down, below := peak(func(x unit.Ratio) unit.Ratio { return -height(x) })
	switch {
	case max(up, down) < 1e-6:
		return 0, 0
	case up >= down:
		return up, at
	}
	return -down, below
}

// peak returns the greatest value of f on the chord and where it is, from 200 stations and a parabola through the best three.
func peak(f func(unit.Ratio) unit.Ratio) (value, at unit.Ratio) {
	const steps = 200
	best := 0
	values := make([]float64, steps+1)
	for i := range values {
		values[i] = f(float64(i) / steps)
		if values[i] > values[best] {
			best = i
		}
	}
	if best == 0 || best == steps {
		return values[best], float64(best) / steps
	}
	below, above := values[best-1]-values[best], values[best+1]-values[best]
	shift := 0.0
	if below+above < 0 {
		shift = (below - above) / (2 * (below + above))
	}
	return values[best] - (below+above)*shift*shift/2, (float64(best) + shift) / steps
}

// NoseRadius returns the radius of the leading edge: thickness/2 = √(2rx) + b x + c x² is fitted by least squares to the points of the foremost 5 % of the chord, or
// to the first eight points if there are fewer. Coarse coordinates leave an error of some per cent.
func (c Contour) NoseRadius() unit.Ratio {
	upper, lower := c.surfaces()
	var rows, depths []float64
	for i := 1; i < len(c.points)-c.nose; i++ {
		x := c.points[c.nose+i].X - c.points[c.nose].X
		if x <= 0 || i > 8 && x > 0.05 {
			continue
		}
		rows = append(rows, math.Sqrt(x), x, x*x)
		at := c.points[c.nose+i].X
		depths = append(depths, (upper.Predict(at)-lower.Predict(at))/2)
	}
	var fit mat.Dense
	var ill mat.Condition // a fit through points that hardly differ is still the best there is
	if err := fit.Solve(mat.NewDense(len(depths), 3, rows), mat.NewDense(len(depths), 1, depths)); err != nil && !errors.As(err, &ill) {
		panic("section: " + err.Error()) // newContour has seen that there are points
	}
	return fit.At(0, 0) * fit.At(0, 0) / 2
}
