package trim

import (
	"math"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/lattice"
	"foreplane/aerolib/unit"
)

// further is what acts on an aeroplane besides its surfaces: bodies in the flow that the surfaces give them, normal forces of propellers, and thrust along its lines.
type further struct {
	bodies bodySum
	discs  []disc
	thrust unit.Force // of all engines
	aside  bool       // thrust acts along the path through the CG, not along its lines
}

// bodyPoint is a slice of a body: its moment over dynamic pressure is the weight times its angle to the local flow ([Munk], [Multhopp]).
type bodyPoint struct {
	point  int // of the approach
	weight unit.Volume
	slope  unit.Ratio // dz/dx of the centre line
}

// bodySum is what of the bodies does not depend on the stream: their moment over dynamic pressure per radian, and that of their centre lines.
type bodySum struct{ alpha, fixed unit.Volume }

// bodyWash sums the weighted upwash at the slices, by amount.
func bodyWash(bodies []bodyPoint, upwash [][]unit.Ratio, amounts int) []unit.Volume {
	sum := make([]unit.Volume, amounts)
	for _, b := range bodies {
		for i, w := range upwash[b.point] {
			sum[i] += b.weight * w
		}
	}
	return sum
}

// sumOf returns the sums of all slices.
func sumOf(bodies []bodyPoint) bodySum {
	var s bodySum
	for _, b := range bodies {
		s.alpha += b.weight
		s.fixed -= b.weight * b.slope
	}
	return s
}

// disc is a propeller.
type disc struct {
	plant aircraft.Plant
	point int
	part  unit.Ratio // of the thrust
	slope unit.Area  // normal force over dynamic pressure per radian
}

// addBodies cuts the bodies into slices and adds their places to the approach.
func (p *approach) addBodies(a aircraft.Aircraft) error {
	for _, b := range a.Bodies {
		k, err := MunkFactor(b.Fineness())
		if err != nil {
			return err
		}
		k *= b.Count()
		for _, piece := range freePieces(b, a.Lifting()) {
			length := piece.to - piece.from
			slope := (b.At(piece.to).Z - b.At(piece.from).Z) / length
			for _, g := range gaussPoints {
				s := b.At(piece.from + length*g.at)
				p.bodies = append(p.bodies, bodyPoint{len(p.points), k * math.Pi / 2 * s.Width * s.Width * length * g.weight, slope})
				p.points = append(p.points, lattice.Point{X: s.X, Y: b.Y, Z: s.Z})
			}
		}
	}
	return nil
}

// gaussPoints are those of the rule of three points over a length of 1.
var gaussPoints = [3]struct{ at, weight unit.Ratio }{
	{0.5 - math.Sqrt(0.15), 5.0 / 18}, {0.5, 8.0 / 18}, {0.5 + math.Sqrt(0.15), 5.0 / 18},
}

// addDiscs adds the places of the propellers to the approach. The thrust is shared by power.
func (p *approach) addDiscs(a aircraft.Aircraft) {
	power := a.Power()
	for _, plant := range a.Plants {
		d := disc{plant: plant, point: len(p.points), part: 1 / float64(len(a.Plants))}
		if power > 0 {
			d.part = plant.Power / power
		}
		p.discs = append(p.discs, d)
		p.points = append(p.points, lattice.Point{X: plant.X, Y: plant.Y, Z: plant.Z})
	}
}

// push is what acts besides the surfaces, over dynamic pressure: lift, and moment nose up about the CG. What is thrust stands apart, as a force.
type pushed struct {
	lift         unit.Area
	moment       unit.Volume
	thrustLift   unit.Force
	thrustMoment unit.Moment
}

// on returns what acts at an angle of attack about a CG.
func (f further) on(streams []share, a []unit.Ratio, alpha unit.Angle, x, z unit.Length) pushed {
	var out pushed
	if f.bodies != (bodySum{}) {
		out.moment = f.bodies.alpha*alpha + f.bodies.fixed
		for _, s := range streams {
			out.moment += s.part * dot(s.body, a)
		}
	}
	for _, d := range f.discs {
		tilt := d.plant.Tilt
		sinTilt, cosTilt := math.Sincos(tilt)
		if d.slope != 0 {
			n := d.slope * (alpha + tilt + upwash(streams, a, d.point))
			out.lift += n * math.Cos(alpha+tilt)
			out.moment += n * ((d.plant.Z-z)*sinTilt - (d.plant.X-x)*cosTilt)
		}
		if f.aside {
			continue
		}
		thrust := f.thrust * d.part
		out.thrustLift += thrust * math.Sin(alpha+tilt)
		out.thrustMoment += thrust * d.plant.ThrustArm(x, z)
	}
	return out
}
