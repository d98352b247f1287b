package section

import (
	"math"
	"slices"

	"foreplane/aerolib/unit"
)

// station is a point of a surface: distance from the stagnation point, station on the chord, and speed at the edge of the boundary layer over that of the stream.
type station struct{ s, x, u unit.Ratio }

// Layer is what the boundary layer of one side does.
type Layer struct {
	Transition unit.Ratio       // station where it becomes turbulent; 1 if it stays laminar
	Separation unit.Ratio       // station where it leaves the surface for good; 1 if it stays
	Bubble     Bubble           // of the laminar layer
	Drag       unit.Coefficient // of this side: friction and displacement, 2θ in the far wake
}

// Bubble is a laminar layer that leaves the surface and comes back turbulent. The zero value is none.
type Bubble struct {
	Separation, Reattachment unit.Ratio // stations; Reattachment is 1 if there is none
	Long                     bool       // it does not close, or by [Owen] and [Crabtree] not soon: drag and lift are then doubtful
}

// layerEnd is the station where the layers end and the wake begins: potential flow stops at a sharp trailing edge, a real one does not.
const layerEnd unit.Ratio = 0.97

// Constants of the methods.
const (
	laminarSeparation unit.Ratio = -0.09 // Thwaites' λ ([Cebeci], ch. 5)
	turbulentShape    unit.Ratio = 1.4   // H behind transition ([Moran], ch. 7)
	earlySeparation   unit.Ratio = 1.8   // H where the turbulent layer leaves the surface: between this
	lateSeparation    unit.Ratio = 2.4   // and this ([Cebeci], ch. 7)
	stepLength        unit.Ratio = 20    // of the turbulent layer in θ: half of it changes drag and lift by less than 0.1 %
	bubbleLength                 = 4e4   // Reynolds number of the laminar part of a bubble ([Horton])
	shortBubble                  = 450   // least Reynolds number of δ* at separation of one that closes soon: 400 to 500 ([Owen])
	burstRise         unit.Ratio = 0.35  // 1 − (u_r/u_s)² that a bubble cannot climb ([Crabtree])
)

// surface is what the layers meet.
type surface struct {
	reynolds unit.ReynoldsNumber
	trip     unit.Ratio // station where the layer becomes turbulent at the latest
	critical unit.Ratio // amplification at which a laminar layer becomes turbulent
	detached unit.Ratio // H at which a turbulent layer leaves the surface
}

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
	if share == 1 { // the stagnation point is a point of the contour
		return walk(gap, stop-1, -1), walk(distance(at(stop), at(stop+1)), stop+1, 1)
	}
	return walk(share*gap, stop-1, -1), walk((1-share)*gap, stop, 1)
}

// grow runs a boundary layer along a surface: laminar by Thwaites' method up to transition, turbulent by Head's from there.
//
// Laminar, from the stagnation point where u ∼ s,
//
//	θ² = 0.45/(Re u⁶) ∫ u⁵ ds,   λ = Re θ² du/ds
//
// Transition comes where the amplification reaches its critical value (see [amplification]), at the trip, or in the bubble behind the station where the laminar layer
// separates (λ < −0.09).
func (f surface) grow(side []station) Layer {
	first := side[0]
	sum := math.Pow(first.u, 5) * first.s / 6 // ∫ u⁵ ds
	theta := math.Sqrt(0.45 * sum / (f.reynolds * math.Pow(first.u, 6)))
	amplified := 0.0
	out := Layer{Transition: 1, Separation: 1}
	for i := 1; i < len(side); i++ {
		a, b := side[i-1], side[i]
		sum += fifthPower(a.u, b.u) * (b.s - a.s)
		theta = math.Sqrt(0.45 * sum / (f.reynolds * math.Pow(b.u, 6)))
		lambda := f.reynolds * theta * theta * (b.u - a.u) / (b.s - a.s)
		if lambda < laminarSeparation {
			return f.bubble(out, side, i, theta)
		}
		h := laminarShape(lambda)
		amplified += amplification(h, f.reynolds*b.u*theta) * (b.s - a.s) / theta
		if amplified > f.critical || b.x >= f.trip && b.s > f.trip/2 {
			return f.turbulent(out, side[i:], theta)
		}
	}
	out.Drag = wake(theta, laminarShape(0), side[len(side)-1].u)
	return out
}

// fifthPower returns the mean of u⁵ while u goes straight from a to b.
func fifthPower(a, b unit.Ratio) unit.Ratio {
	sum, power := 0.0, math.Pow(b, 5)
	for range 6 {
		sum += power / 6
		power *= a / b
	}
	return sum
}

// laminarShape returns H of Thwaites' λ, 2.59 on a flat plate ([White], sec. 4-6): with z = ¼ − λ,
//
//	H = 2 + 4.14 z − 83.5 z² + 854 z³ − 3337 z⁴ + 4576 z⁵
func laminarShape(lambda unit.Ratio) unit.Ratio {
	z := 0.25 - min(max(lambda, laminarSeparation), 0.25)
	return 2 + z*(4.14+z*(-83.5+z*(854+z*(-3337+z*4576))))
}

// amplification returns θ dn/ds, the growth of n, the logarithm of how much the most amplified waves in a laminar layer have grown: the envelope of their growth in similar
// layers of shape H, fitted by
//
//	dn/dRe_θ = 0.01 √{[2.4 H − 3.7 + 2.5 tanh(1.5 H − 4.65)]² + 0.25}
//	log₁₀ Re_θ0 = [1.415/(H−1) − 0.489] tanh[20/(H−1) − 12.9] + 3.295/(H−1) + 0.44
//	θ dn/ds = ½ (m+1) l dn/dRe_θ,   l = (6.54 H − 14.07)/H²,   m = [0.058 (H−4)²/(H−1) − 0.068]/l
//
// above Re_θ0, 0 below ([Giles]).
func amplification(h unit.Ratio, reTheta unit.ReynoldsNumber) unit.Ratio {
	start := (1.415/(h-1)-0.489)*math.Tanh(20/(h-1)-12.9) + 3.295/(h-1) + 0.44
	if math.Log10(reTheta) < start {
		return 0
	}
	byReynolds := 0.01 * math.Hypot(2.4*h-3.7+2.5*math.Tanh(1.5*h-4.65), 0.5)
	l := (6.54*h - 14.07) / (h * h)
	m := (0.058*(h-4)*(h-4)/(h-1) - 0.068) / l
	return byReynolds * (m + 1) / 2 * l
}

// bubble carries a laminar layer that separated ahead of station i over its bubble. The pressure stays for a length of 4·10⁴ ν/u ([Horton]); then it rises to that of
// the surface, without friction,
//
//	θ_r = θ_s (u_s/u_r)^(H+2)
//
// with H of turbulent separation. Where the surface ends sooner, or the pressure would have to rise by more than 0.35 of what is there to rise ([Crabtree]), the layer has
// left it for good.
func (f surface) bubble(out Layer, side []station, i int, theta unit.Ratio) Layer {
	a := side[i-1]
	end := a.s + bubbleLength/(f.reynolds*a.u)
	for i < len(side) && side[i].s < end && side[i].x < f.trip {
		i++
	}
	r := side[min(i, len(side)-1)]
	if p := side[i-1]; end < r.s { // between two stations
		share := (end - p.s) / (r.s - p.s)
		r = station{end, p.x + share*(r.x-p.x), p.u + share*(r.u-p.u)}
	}
	if i == len(side) || 1-(r.u/a.u)*(r.u/a.u) > burstRise {
		out.Separation, out.Bubble = a.x, Bubble{a.x, 1, true}
		out.Drag = wake(theta, f.detached, min(a.u, 1))
		return out
	}
	thickness := f.reynolds * a.u * theta * laminarShape(laminarSeparation) // Reynolds number of δ*
	out.Bubble = Bubble{a.x, r.x, thickness < shortBubble}
	rest := slices.Concat([]station{r}, side[i:])
	if r.s == side[i].s {
		rest = side[i:]
	}
	return f.turbulent(out, rest, theta*math.Pow(a.u/r.u, f.detached+2))
}

// turbulent runs Head's method from the first station, with the momentum integral, entrainment and the friction of Ludwieg and Tillmann,
//
//	dθ/ds = c_f/2 − (H + 2) θ/u du/ds
//	d(u θ H₁)/ds = 0.0306 u (H₁ − 3)^−0.6169
//	c_f = 0.246·10^(−0.678 H) Re_θ^−0.268
//
// ([Cebeci], ch. 7; [Moran], ch. 7), in steps of a few θ, within which H₁ relaxes, and of 2 % in u. Behind separation the pressure stays, and with it θ.
func (f surface) turbulent(out Layer, side []station, theta unit.Ratio) Layer {
	out.Transition = side[0].x
	h1, last := entrainmentShape(turbulentShape), entrainmentShape(f.detached)
	end := side[0]
	for i := 1; i < len(side) && out.Separation == 1; i++ {
		a, b := side[i-1], side[i]
		steps := 1 + math.Floor(min(max((b.s-a.s)/(stepLength*theta), math.Abs(b.u-a.u)/(0.02*min(a.u, b.u))), 1000))
		slope, ds := (b.u-a.u)/(b.s-a.s), (b.s-a.s)/steps
		for k := range int(steps) {
			u := a.u + slope*ds*float64(k)
			dt, dh := f.head(theta, h1, u, slope)
			mt, mh := f.head(theta+dt*ds/2, max(h1+dh*ds/2, last), u+slope*ds/2, slope)
			if theta += mt * ds; h1+mh*ds <= last {
				out.Separation = a.x + (b.x-a.x)*(float64(k)+(last-h1)/(mh*ds))/steps
				h1 = last
				break
			}
			h1 += mh * ds
		}
		end = b
	}
	out.Drag = wake(theta, shape(h1), end.u)
	return out
}

// head returns dθ/ds and dH₁/ds.
func (f surface) head(theta, h1, u, slope unit.Ratio) (dTheta, dH1 unit.Ratio) {
	h := shape(h1)
	friction := 0.246 * math.Pow(10, -0.678*h) * math.Pow(f.reynolds*u*theta, -0.268)
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
