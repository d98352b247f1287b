package prop

import (
	"foreplane/aerolib/unit"
)

// Operating is what an engine and its propeller do at one speed.
type Operating struct {
	V          unit.TrueAirspeed
	Thrust     unit.Force    // below zero where the propeller brakes
	Power      unit.Power    // of the shaft; below zero where the air turns it
	FuelFlow   unit.MassFlow // 0 of an electric engine
	Electric   unit.Power    // from the battery; 0 of an engine with fuel
	Rotation   unit.RotationRate
	Pitch      unit.Angle // of the blades at 75 % of the radius
	Throttle   unit.Ratio // 0 closed, 1 fully open
	Efficiency unit.Ratio // T V/P, 0 where the power is not above zero
	Notes      []string   // what limits the result or is outside the range of a method
}
