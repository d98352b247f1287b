package trim

import (
	"math"
	"slices"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/unit"
)

// MunkFactor returns k₂ − k₁, the apparent masses across and along of a spheroid of the given fineness f = l/d:
//
//	k₁ = α₀/(2 − α₀),   k₂ = β₀/(2 − β₀),   e² = 1 − 1/f²
//	α₀ = 2 (1 − e²)/e³ [artanh e − e],   β₀ = 1/e² − (1 − e²)/e³ artanh e
//
// ([Munk], who tabulates it). It rises from 0 for a sphere to 1 for a needle. It returns a [*unit.RangeError] for f not above 1.
func MunkFactor(fineness unit.Ratio) (unit.Ratio, error) {
	if err := unit.CheckRange("trim.MunkFactor", "fineness", fineness, 1.001, math.Inf(1), "1"); err != nil || math.IsInf(fineness, 1) {
		return 1, err
	}
	rest := 1 / (fineness * fineness)
	e := math.Sqrt(1 - rest)
	long := 2 * rest / (e * e * e) * (math.Atanh(e) - e)
	across := 1/(e*e) - rest/(e*e*e)*math.Atanh(e)
	return across/(2-across) - long/(2-long), nil
}

// MunkMoment returns the moment nose up per radian of angle of attack over the dynamic pressure, of a body, with its image if it has one, in a stream that nothing bends,
//
//	dM/dα/q = (k₂ − k₁) ∫ (π/2) w² dx
//
// over its whole length ([Munk]; w is the width). In trim the stream along the body has the direction that the surfaces give it ([Multhopp]). It returns an error for a
// body that is not longer than wide.
func MunkMoment(b aircraft.Body) (unit.Volume, error) {
	k, err := MunkFactor(b.Fineness())
	sum := 0.0
	for i := 1; i < len(b.Stations); i++ {
		s, t := b.Stations[i-1], b.Stations[i]
		sum += gauss(s.X, t.X, func(x float64) float64 { w := b.At(x).Width; return w * w })
	}
	return b.Count() * k * math.Pi / 2 * sum, err
}

// gauss integrates by three points, exact for polynomials to the fifth power.
func gauss(from, to float64, f func(x float64) float64) float64 {
	middle, half := (from+to)/2, (to-from)/2
	off := half * math.Sqrt(0.6)
	return half * (5*f(middle-off) + 8*f(middle) + 5*f(middle+off)) / 9
}

// bodyFlow is the moment of a body over dynamic pressure, nose up, as far as it goes with each of its causes. It is linear in them:
//
//	M/q = (k₂ − k₁) ∫ (π/2) w² β dx,   β = α − dz/dx − Σ κ_j CL_j + (q/V)(x − x_cg)
//
// over what of the body lies outside the chords of the surfaces that it carries, whose flow those straighten ([Multhopp]). z is the centre line.
type bodyFlow struct {
	name  string
	fixed unit.Volume   // from the centre line
	alpha unit.Volume   // per radian
	turn  float64       // per q/V, in m⁴
	wash  []unit.Volume // per unit lift coefficient of each surface
}

// newBodyFlow integrates along a body, with its image if it has one. Wash is the downwash at a station of it for unit lift coefficient of surface j.
func newBodyFlow(b aircraft.Body, surfaces []aircraft.Surface, cg unit.Length, wash func(j int, x, y, z unit.Length) (unit.Angle, error)) (bodyFlow, error) {
	flow := bodyFlow{name: b.Name, wash: make([]unit.Volume, len(surfaces))}
	k, err := MunkFactor(b.Fineness())
	if err != nil {
		return flow, err
	}
	for _, p := range freePieces(b, surfaces) {
		rise := b.At(p.to).Z - b.At(p.from).Z
		weight := func(x float64) float64 { w := b.At(x).Width; return b.Count() * k * math.Pi / 2 * w * w }
		flow.alpha += gauss(p.from, p.to, weight)
		flow.fixed -= rise / (p.to - p.from) * gauss(p.from, p.to, weight)
		flow.turn += gauss(p.from, p.to, func(x float64) float64 { return weight(x) * (x - cg) })
		for j := range surfaces {
			flow.wash[j] += gauss(p.from, p.to, func(x float64) float64 {
				w, e := wash(j, x, b.Y, b.At(x).Z)
				if e != nil {
					err = e
				}
				return weight(x) * w
			})
		}
	}
	return flow, err
}

// piece is a length of a body.
type piece struct{ from, to unit.Length }

// freePieces cuts what of a body lies outside the chords that it carries into pieces short enough to integrate over, each between two stations.
func freePieces(b aircraft.Body, surfaces []aircraft.Surface) []piece {
	longest := b.Length() / 8
	var edges []unit.Length
	for _, t := range b.Stations {
		edges = append(edges, t.X)
	}
	var carried []piece
	first, last := edges[0], edges[len(edges)-1]
	for _, s := range surfaces {
		if t, ok := passing(b, s); ok {
			carried = append(carried, piece{t.X, t.X + t.Chord})
			edges = append(edges, min(max(t.X, first), last), min(max(t.X+t.Chord, first), last))
			longest = min(longest, t.Chord/2)
		}
	}
	slices.Sort(edges)
	var free []piece
	for i := 1; i < len(edges); i++ {
		from, to := edges[i-1], edges[i]
		middle := (from + to) / 2
		if from == to || slices.ContainsFunc(carried, func(p piece) bool { return p.from <= middle && middle <= p.to }) {
			continue
		}
		n := min(math.Ceil((to-from)/longest), 8)
		for k := range int(n) {
			free = append(free, piece{from + (to-from)*float64(k)/n, from + (to-from)*float64(k+1)/n})
		}
	}
	return free
}

// passing returns the station of a surface whose chord passes through a body, at its centre line.
func passing(b aircraft.Body, s aircraft.Surface) (aircraft.Station, bool) {
	if b.Y >= s.Semispan() {
		return aircraft.Station{}, false
	}
	t := s.Part(b.Y/s.Semispan(), 1).Root()
	at := b.At(min(max(t.X+t.Chord/2, b.Stations[0].X), b.Stations[len(b.Stations)-1].X))
	return t, at.Width > 0 && math.Abs(t.Z-at.Z) <= at.Height/2
}

// moment returns M/q.
func (b bodyFlow) moment(s state, lift []unit.Coefficient) unit.Volume {
	m := b.fixed + b.alpha*s.alpha + b.turn*s.rate
	for j, w := range b.wash {
		m -= w * lift[j]
	}
	return m
}
