package trim

import (
	"math"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/lattice"
	"foreplane/aerolib/unit"
)

// probeLine is where the lattice is asked for its stream, along a body or over a disc, and what is sought there:
//
//	Σ weight v_z/V + fixed cos α + alpha sin α + turn q/V
//
// All of it is linear in what makes the stream, so it is asked once for each cause.
type probeLine struct {
	points             []lattice.Point
	weights            []float64
	fixed, alpha, turn float64
	causes             [4]float64 // Σ weight v_z/V for the stream along x with all that is fixed, along z, for the control that trims, and for the pitch rate
}

// value returns what is sought in a state.
func (p probeLine) value(s state) float64 {
	sin, cos := math.Sincos(s.alpha)
	return (p.causes[0]+p.fixed)*cos + (p.causes[1]+p.alpha)*sin + p.causes[2]*cos*s.delta + (p.causes[3]+p.turn)*s.rate
}

// bodyLine asks along a body for its moment over dynamic pressure, by Munk and Multhopp as in [MunkMoment], with the stream in the middle of each slice taken as the mean of
// that at its upper and lower side: wakes of surfaces that the body carries leave between.
func bodyLine(b aircraft.Body, surfaces []aircraft.Surface, cg unit.Length) (probeLine, error) {
	var line probeLine
	k, err := MunkFactor(b.Fineness())
	if err != nil {
		return line, err
	}
	for _, p := range freePieces(b, surfaces) {
		x, width := (p.from+p.to)/2, p.to-p.from
		at := b.At(x)
		weight := b.Count() * k * math.Pi / 2 * at.Width * at.Width * width
		for _, side := range []float64{-0.5, 0.5} {
			line.points = append(line.points, lattice.Point{X: x, Y: b.Y, Z: at.Z + side*at.Height})
			line.weights = append(line.weights, weight/2)
		}
		line.fixed -= weight * (b.At(p.to).Z - b.At(p.from).Z) / width
		line.alpha += weight
		line.turn += weight * (x - cg)
	}
	return line, nil
}

// discLine asks for the mean upwash over a propeller disc, along its upright diameter.
func discLine(p aircraft.Plant) probeLine {
	var line probeLine
	heights := []unit.Ratio{-0.8, -0.4, 0, 0.4, 0.8}
	total := 0.0
	for _, h := range heights {
		total += math.Sqrt(1 - h*h)
	}
	for _, h := range heights {
		line.points = append(line.points, lattice.Point{X: p.X, Y: p.Y, Z: p.Z + h*p.Diameter/2})
		line.weights = append(line.weights, math.Sqrt(1-h*h)/total)
	}
	return line
}

// probe asks the lattice for the stream of each cause.
func (f *latticeFlow) probe() error {
	var points []lattice.Point
	for _, line := range f.along {
		points = append(points, line.points...)
	}
	if len(points) == 0 {
		return nil
	}
	const small, turn = 0.1, 0.01
	sin, cos := math.Sincos(small)
	var streams [4][]lattice.Velocity
	for k, s := range []state{{}, {alpha: small}, {delta: small}, {rate: turn}} {
		var err error
		if streams[k], err = f.model.Induced(f.at(s), points); err != nil {
			return err
		}
	}
	next := 0
	for i := range f.along {
		line := &f.along[i]
		line.causes = [4]float64{}
		for _, w := range line.weights {
			level := streams[0][next].Z
			line.causes[0] += w * level
			line.causes[1] += w * (streams[1][next].Z - cos*level) / sin
			line.causes[2] += w * (streams[2][next].Z - level) / small
			line.causes[3] += w * (streams[3][next].Z - level) / turn
			next++
		}
	}
	return nil
}

// bodies returns how many of the lines are bodies; discs follow.
func (f *latticeFlow) bodies() int { return len(f.along) - len(f.b.plants) }

func (f *latticeFlow) bodyMoments(s state) []unit.Volume {
	moments := make([]unit.Volume, f.bodies())
	for i := range moments {
		moments[i] = f.along[i].value(s)
	}
	return moments
}

func (f *latticeFlow) discWash(s state) []unit.Angle {
	wash := make([]unit.Angle, len(f.b.plants))
	for i := range wash {
		wash[i] = -f.along[f.bodies()+i].value(s)
	}
	return wash
}
