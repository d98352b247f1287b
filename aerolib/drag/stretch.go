package drag

import (
	"fmt"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/unit"
)

// Stretch is the drag of a body at one length.
type Stretch struct {
	Length   unit.Length
	Fineness unit.Ratio
	Wetted   unit.Area
	Reynolds unit.ReynoldsNumber
	Friction unit.Coefficient
	Factors  []Factor    // of [BodyForms]
	Areas    []unit.Area // drag areas of the skin, in the order of Factors
	Closure  Closure     // with friction by Hoerner's factor
}

// Stretched returns the drag of a body whose stations are drawn apart or together along x to the given lengths, cross-sections as they are, friction as in [Build]. It shows
// what is in "a shorter body has less drag": the skin of a body of usual shape drags least near a fineness of 5.3 by Raymer's factor, which is outside its range there, and near
// 3.0 by Hoerner's; neither knows that a shorter body closes more steeply, which [Closure] estimates. Propellers move with the end. Errors are those of [Plate.Friction] and [BodyForms], and a [*unit.PositiveError] for a length that is not above zero.
func Stretched(b aircraft.Body, plants []aircraft.Plant, lengths []unit.Length, f Flight, o Options) ([]Stretch, error) {
	if err := f.check("drag.Stretched"); err != nil {
		return nil, err
	}
	var out []Stretch
	for _, length := range lengths {
		if err := unit.CheckPositive("drag.Stretched", "length", length, "m"); err != nil {
			return nil, err
		}
		s, err := stretch(b, plants, length, f, o)
		if err != nil {
			return nil, fmt.Errorf("drag.Stretched: at %s: %w", unit.Format(length, "m"), err)
		}
		out = append(out, s)
	}
	return out, nil
}

func stretch(b aircraft.Body, plants []aircraft.Plant, length unit.Length, f Flight, o Options) (Stretch, error) {
	long, moved := drawn(b, plants, length)
	s := Stretch{Length: length, Fineness: long.Fineness(), Wetted: long.Count() * long.WettedArea(), Reynolds: f.Air.Reynolds(f.Speed, length)}
	p := Plate{Length: length, Reynolds: s.Reynolds, Mach: f.Mach(), Transition: o.transition(b.Name), Roughness: o.Roughness, Law: o.Law}
	var err error
	if s.Friction, err = p.Friction(); err != nil {
		return s, err
	}
	if s.Factors, err = BodyForms(s.Fineness); err != nil {
		return s, err
	}
	for _, factor := range s.Factors {
		s.Areas = append(s.Areas, s.Wetted*s.Friction*factor.Value)
	}
	s.Closure, err = CloseOf(long, moved, s.Areas[len(s.Areas)-1]/long.Count(), f.Mach(), f.PowerOff)
	return s, err
}

// drawn returns the body at another length, its nose where it was, and the propellers as far from its end as before.
func drawn(b aircraft.Body, plants []aircraft.Plant, length unit.Length) (aircraft.Body, []aircraft.Plant) {
	k, nose := length/b.Length(), b.Stations[0].X
	stations := append([]aircraft.BodyStation(nil), b.Stations...)
	for i := range stations {
		stations[i].X = nose + k*(stations[i].X-nose)
	}
	moved := append([]aircraft.Plant(nil), plants...)
	for i := range moved {
		moved[i].X += length - b.Length()
	}
	b.Stations = stations
	return b, moved
}
