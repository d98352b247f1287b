package aircraft

import (
	"foreplane/aerolib/section"
	"foreplane/aerolib/unit"
)

// Purpose says what a control is for.
type Purpose string

// Purposes of controls.
const (
	Pitch Purpose = "pitch"
	Roll  Purpose = "roll"
	Yaw   Purpose = "yaw"
	Flap  Purpose = "flap" // more lift, for take-off and landing
)

// Control is a part of a surface that turns, or all of it. Deflections are positive with the trailing edge down, those of a rudder with it to starboard. Roll
// controls go the other way on the port side.
type Control struct {
	Name      string
	Purpose   Purpose
	AllMoving bool       // the whole surface turns
	From, To  unit.Ratio // ends of a hinged one, of the way from root to tip
	Chord     unit.Ratio // of a hinged one, the fraction of the chord behind the hinge
	Min, Max  unit.Angle
}

// PitchControl returns the control of a surface that is for pitch. A surface has one at most, which [Surface.Validate] holds: the angles of several on one surface would
// need a rule of how they go together. Elevons are one for pitch and one for roll in the same place, an elevator and its trim tab are the elevator.
func (s Surface) PitchControl() (Control, bool) {
	for _, c := range s.Controls {
		if c.Purpose == Pitch {
			return c, true
		}
	}
	return Control{}, false
}

// Effect returns what one radian of a control is to its surface: the angle of attack of the mean zero-lift line that it is worth, and the change of moment about the
// quarter chord on the area and mean chord of the surface. All of an all-moving surface turns: 1 and 0. A hinged one has the values of thin-aerofoil theory
// ([section.PlainFlap]) on its part of the area; friction takes 10 to 30 % off.
func (s Surface) Effect(c Control) (alpha unit.Ratio, moment unit.PerRadian, err error) {
	if c.AllMoving {
		return 1, 0, nil
	}
	flap, err := section.PlainFlap(c.Chord)
	if err != nil {
		return 0, 0, err
	}
	part := s.Part(c.From, c.To)
	share := part.Area() / s.Area()
	return flap.Effectiveness * share, flap.Moment * share * part.MeanChord() / s.MeanChord(), nil
}
