package aircraft

import (
	"errors"
	"math"

	"foreplane/aerolib/unit"
)

// Wheel is a wheel of the landing gear: where it touches the ground, with the leg as it stands at rest. One beside the plane of symmetry has an image on the
// other side.
type Wheel struct {
	Name    string
	Main    bool // carries most of the weight
	X, Y, Z unit.Length
}

// Stance is how an aeroplane stands on its wheels.
type Stance struct {
	Wheelbase unit.Length // from the other wheel aft to the main wheels; negative with a tail wheel
	Track     unit.Length // between the main wheels
	Share     unit.Ratio  // of the weight on the other wheel
	TipBack   unit.Angle  // from the vertical above the main wheels' contact to the CG, positive with the CG ahead
	Overturn  unit.Angle  // from the horizontal to the CG, seen along the line of a main and the other wheel; the smaller the safer
	Scrape    unit.Angle  // by which the nose can rise on the main wheels until something touches the ground
	Clearance unit.Length // of the lowest propeller from the ground at rest
}

// Stand returns how the aeroplane stands with its CG as it is. The ground is the plane of the wheels. Scrape counts bodies, surfaces and propeller discs.
//
//	share = (x_main − x_cg)/(x_main − x_other),   tan tip-back = (x_main − x_cg)/(z_cg − z_ground)
//
// (common practice: a nose wheel with 8 to 15 %, tip-back about 15° or more, overturn below 63°; where scrape is more than tip-back the aeroplane can be pulled onto
// its tail). It returns an error unless there is one pair of main wheels and one other.
func (a Aircraft) Stand() (Stance, error) {
	var main, other *Wheel
	for i := range a.Wheels {
		w := &a.Wheels[i]
		switch {
		case w.Main && main == nil && w.Y > 0:
			main = w
		case !w.Main && other == nil && w.Y == 0:
			other = w
		default:
			return Stance{}, errors.New("aircraft: " + a.Name + ": a stance needs one pair of main wheels and one other wheel in the plane of symmetry")
		}
	}
	if main == nil || other == nil {
		return Stance{}, errors.New("aircraft: " + a.Name + ": a stance needs a pair of main wheels and another wheel")
	}
	base := main.X - other.X
	slope := (other.Z - main.Z) / -base // dz/dx of the ground
	height := a.CGHeight - main.Z - slope*(a.CG-main.X)
	arm := (a.CG - other.X) * main.Y / math.Hypot(base, main.Y) // of the CG from the line of a main and the other wheel, in plan
	s := Stance{
		Wheelbase: base, Track: 2 * main.Y, Share: (main.X - a.CG) / base,
		TipBack:  math.Atan2(main.X-a.CG, height),
		Overturn: math.Atan2(height, math.Abs(arm)),
		Scrape:   math.Pi / 2, Clearance: math.Inf(1),
	}
	for _, p := range a.lowest() {
		if p[0] > main.X {
			s.Scrape = min(s.Scrape, math.Atan2(p[1]-main.Z-slope*(p[0]-main.X), p[0]-main.X))
		}
	}
	for _, p := range a.Plants {
		s.Clearance = min(s.Clearance, p.Z-p.Diameter/2-main.Z-slope*(p.X-main.X))
	}
	return s, nil
}

// lowest lists points x, z of the underside.
func (a Aircraft) lowest() (points [][2]unit.Length) {
	for _, b := range a.Bodies {
		for _, t := range b.Stations {
			points = append(points, [2]float64{t.X, t.Z - t.Height/2})
		}
	}
	for _, s := range a.Surfaces {
		for _, t := range s.Stations {
			points = append(points, [2]float64{t.X + t.Chord, t.Z})
		}
	}
	for _, p := range a.Plants {
		points = append(points, [2]float64{p.X, p.Z - p.Diameter/2})
	}
	return points
}
