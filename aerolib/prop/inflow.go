package prop

import (
	"math"

	"foreplane/aerolib/unit"
)

// Points that a disc is sampled at.
const (
	rings       = 24
	azimuths    = 32
	azimuthFine = 360 // wakes are thin
)

// disc is the rings of a disc between hub and tips.
type disc struct {
	radius unit.Length // of the tips
	hub    unit.Ratio
	x      [rings]unit.Ratio // r/R
}

func sampled(radius unit.Length, hub unit.Ratio) disc {
	d := disc{radius: radius, hub: hub}
	for k := range d.x {
		d.x[k] = hub + (1-hub)*(float64(k)+0.5)/rings
	}
	return d
}

// area returns that of a ring.
func (d disc) area(k int) unit.Area {
	return 2 * math.Pi * d.x[k] * (1 - d.hub) / rings * d.radius * d.radius
}

// directions are those of points around a circle.
func directions(count int) [][2]unit.Ratio {
	all := make([][2]unit.Ratio, count)
	for i := range all {
		all[i][1], all[i][0] = math.Sincos(2 * math.Pi * (float64(i) + 0.5) / float64(count))
	}
	return all
}

// around returns the mean of a function of y and z on a ring.
func (d disc) around(k int, circle [][2]unit.Ratio, f func(y, z unit.Length) float64) float64 {
	sum := 0.0
	for _, to := range circle {
		sum += f(d.x[k]*d.radius*to[0], d.x[k]*d.radius*to[1])
	}
	return sum / float64(len(circle))
}

// coarse are the directions for sources.
var coarse = directions(azimuths)

// slowing returns by how much a source of unit strength slows the flow at a ring, over V: x/(4πr³), for a source at x behind it.
func (d disc) slowing(s Source, k int) float64 {
	return d.around(k, coarse, func(y, z unit.Length) float64 {
		r2 := s.X*s.X + (y-s.Y)*(y-s.Y) + (z-s.Z)*(z-s.Z)
		return s.X / (4 * math.Pi * r2 * math.Sqrt(r2))
	})
}

// inflow is by how much the flow at the rings of a disc is slower than the stream, over V.
type inflow struct {
	disc
	displacement, wake [rings]unit.Ratio
}

func (d disc) inflow(around Surroundings) inflow {
	in, fine := inflow{disc: d}, directions(azimuthFine)
	for k := range d.x {
		for _, s := range around.Sources {
			in.displacement[k] += s.Strength * d.slowing(s, k)
		}
		in.wake[k] = d.around(k, fine, around.deficit)
	}
	return in
}

// mean returns the mean over the rings by area.
func (in inflow) mean(values [rings]unit.Ratio) unit.Ratio {
	sum, area := 0.0, 0.0
	for k := range values {
		sum += values[k] * in.area(k)
		area += in.area(k)
	}
	return sum / area
}

// at returns the speed along the shaft over V at r/R, linear between rings.
func (in inflow) at(x unit.Ratio) unit.Ratio {
	step := (1 - in.hub) / rings
	f := min(max((x-in.x[0])/step, 0), rings-1)
	k := min(int(f), rings-2)
	f -= float64(k)
	slow := func(i int) unit.Ratio { return in.displacement[i] + in.wake[i] }
	return 1 - slow(k) - f*(slow(k+1)-slow(k))
}

// deficit returns by how much wakes slow the flow at a place of the disc, over V. Where wakes meet, the deeper one counts.
func (s Surroundings) deficit(y, z unit.Length) unit.Ratio {
	deepest := 0.0
	for _, t := range s.Trails {
		deepest = max(deepest, t.deficit(math.Hypot(y-t.Y, z-t.Z)))
	}
	for _, w := range s.Sheets {
		if math.Abs(y-w.Y) <= w.Width/2 && math.Abs(z-w.Z) < w.Spread {
			cos := math.Cos(math.Pi / 2 * (z - w.Z) / w.Spread)
			deepest = max(deepest, w.depth()*cos*cos)
		}
	}
	return deepest
}

// depth returns the greatest deficit w₀ of a wake whose deficit is w₀ cos²(πz/2b), from its momentum thickness
//
//	θ = b (w₀ − ¾ w₀²)
//
// The half width b is 0.68 √(cd (ξ + 0.15)) chords, ξ chords behind the trailing edge ([TR651], recalled).
func (w Sheet) depth() unit.Ratio {
	return (1 - math.Sqrt(max(1-3*w.Momentum/w.Spread, 0))) / 1.5
}

// deficit returns 1 − (y/δ)^(1/7) in the boundary layer of the end of a body, y from its surface, with the thickness δ that has the momentum area
//
//	Θ = 2π (7/72 Rδ + 7/240 δ²)
//
// (law of the seventh root). Air fills the inmost fiftieth of the layer and what is inside of it.
func (t Trail) deficit(r unit.Length) unit.Ratio {
	if t.Momentum <= 0 {
		return 0
	}
	const a, b = 7.0 / 240, 7.0 / 72
	layer := (math.Sqrt(b*b*t.Radius*t.Radius+4*a*t.Momentum/(2*math.Pi)) - b*t.Radius) / (2 * a)
	return max(1-math.Pow(max((r-t.Radius)/layer, 0.02), 1.0/7), 0)
}
