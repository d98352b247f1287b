package section

import (
	"math"

	"foreplane/aerolib/unit"
)

// station is a point of a surface: distance from the stagnation point, station on the chord, and speed at the edge of the boundary layer over that of the stream.
type station struct{ s, x, u unit.Ratio }

// layer is the boundary layer on one surface at one Reynolds number.
type layer struct {
	transition unit.Ratio       // station where it becomes turbulent; 1 if it stays laminar
	separation unit.Ratio       // station where the turbulent layer leaves the surface; 1 if it stays
	drag       unit.Coefficient // friction and displacement of this side, 2θ in the far wake
}

// layerEnd is the station where the layers end and the wake begins: potential flow stops at a sharp trailing edge, a real one does not.
const layerEnd unit.Ratio = 0.97

// Constants of the methods.
const (
	laminarSeparation   unit.Ratio = -0.09 // Thwaites' λ ([Cebeci], ch. 5)
	turbulentShape      unit.Ratio = 1.4   // H behind transition ([Moran], ch. 7)
	turbulentSeparation unit.Ratio = 2.4   // H where the turbulent layer separates: between 1.8 and 2.4 ([Cebeci], ch. 7)
)

// sides parts the surface at the stagnation point and returns the stations of the upper and of the lower side, to the end of the layers.
func (p Pressures) sides() (upper, lower []station) {
	n := len(p.X)
	stop := n - 1
	for i := 1; i < n; i++ { // speeds are negative on the upper side, where the contour runs against the stream
		if p.Speed[i-1] < 0 && p.Speed[i] >= 0 && (stop == n-1 || p.X[i] < p.X[stop]) {
			stop = i
		}
	}
	at := func(i int) Point { return Point{p.X[i], p.Z[i]} }
	gap := distance(at(stop-1), at(stop))
	share := -p.Speed[stop-1] / (p.Speed[stop] - p.Speed[stop-1])
	walk := func(s unit.Ratio, i, step int) []station {
		side := []station{{s, p.X[i], math.Abs(p.Speed[i])}}
		for j := i + step; 0 <= j && j < n && !(p.X[j] > layerEnd); j += step {
			s += distance(at(j-step), at(j))
			side = append(side, station{s, p.X[j], math.Abs(p.Speed[j])})
		}
		return side
	}
	return walk(share*gap, stop-1, -1), walk((1-share)*gap, stop, 1)
}

// grow runs a boundary layer along a surface: laminar by Thwaites' method up to transition, turbulent by Head's from there.
//
// Laminar, from the stagnation point where u ∼ s,
//
//	θ² = 0.45/(Re u⁶) ∫ u⁵ ds,   λ = Re θ² du/ds
//
// Transition comes where Re_θ exceeds 1.174 (1 + 22400/Re_s) Re_s^0.46 ([Michel], in the form of [Cebeci]), where the laminar layer separates (λ < −0.09; a short bubble
// without thickness), or at the trip.
func grow(side []station, reynolds unit.ReynoldsNumber, trip unit.Ratio) layer {
	first := side[0]
	sum := math.Pow(first.u, 5) * first.s / 6 // ∫ u⁵ ds
	theta := math.Sqrt(0.45 * sum / (reynolds * math.Pow(first.u, 6)))
	for i := 1; i < len(side); i++ {
		a, b := side[i-1], side[i]
		sum += (math.Pow(a.u, 5) + math.Pow(b.u, 5)) / 2 * (b.s - a.s)
		theta = math.Sqrt(0.45 * sum / (reynolds * math.Pow(b.u, 6)))
		lambda := reynolds * theta * theta * (b.u - a.u) / (b.s - a.s)
		along := reynolds * b.u * b.s
		if reynolds*b.u*theta > 1.174*(1+22400/along)*math.Pow(along, 0.46) || lambda < laminarSeparation || b.x >= trip && b.s > trip/2 {
			l := turbulent(side[i:], reynolds, theta)
			l.transition = b.x
			return l
		}
	}
	last := side[len(side)-1]
	return layer{1, 1, wake(theta, 2.6, last.u)}
}

// turbulent runs Head's method, with the momentum integral, entrainment and the friction of Ludwieg and Tillmann,
//
//	dθ/ds = c_f/2 − (H + 2) θ/u du/ds
//	d(u θ H₁)/ds = 0.0306 u (H₁ − 3)^−0.6169
//	c_f = 0.246·10^(−0.678 H) Re_θ^−0.268
//
// ([Cebeci], ch. 7; [Moran], ch. 7). Behind separation the shape is kept, so that the drag there is a lower bound.
func turbulent(side []station, reynolds unit.ReynoldsNumber, theta unit.Ratio) layer {
	out := layer{separation: 1}
	h1 := entrainmentShape(turbulentShape)
	last := entrainmentShape(turbulentSeparation)
	const steps = 4
	for i := 1; i < len(side); i++ {
		a, b := side[i-1], side[i]
		slope, ds := (b.u-a.u)/(b.s-a.s), (b.s-a.s)/steps
		for k := range steps {
			u := a.u + slope*ds*float64(k)
			dt, dh := head(theta, h1, u, slope, reynolds)
			mt, mh := head(theta+dt*ds/2, max(h1+dh*ds/2, last), u+slope*ds/2, slope, reynolds)
			theta, h1 = theta+mt*ds, h1+mh*ds
			if h1 < last {
				h1 = last
				if out.separation == 1 {
					out.separation = b.x
				}
			}
		}
	}
	end := side[len(side)-1]
	out.drag = wake(theta, shape(h1), end.u)
	return out
}

// head returns dθ/ds and dH₁/ds.
func head(theta, h1, u, slope unit.Ratio, reynolds unit.ReynoldsNumber) (dTheta, dH1 unit.Ratio) {
	h := shape(h1)
	friction := 0.246 * math.Pow(10, -0.678*h) * math.Pow(reynolds*u*theta, -0.268)
	dTheta = friction/2 - (h+2)*theta/u*slope
	entrained := 0.0306 * math.Pow(h1-3, -0.6169)
	return dTheta, (entrained - h1*(dTheta+theta/u*slope)) / theta
}

// entrainmentShape returns H₁ of H; shape is its inverse ([Cebeci], eqs. of sec. 7.3).
func entrainmentShape(h unit.Ratio) unit.Ratio {
	if h <= 1.6 {
		return 3.3 + 0.8234*math.Pow(h-1.1, -1.287)
	}
	return 3.3 + 1.5501*math.Pow(h-0.6778, -3.064)
}

func shape(h1 unit.Ratio) unit.Ratio {
	if h1 >= entrainmentShape(1.6) {
		return 1.1 + math.Pow((h1-3.3)/0.8234, -1/1.287)
	}
	return 0.6778 + math.Pow((h1-3.3)/1.5501, -1/3.064)
}

// wake returns the drag of one side from the state at the end of the layer, 2θ u^((H+5)/2) ([Squire]).
func wake(theta, h, u unit.Ratio) unit.Coefficient { return 2 * theta * math.Pow(u, (h+5)/2) }
