package prop

import (
	"errors"
	"fmt"
	"math"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/atmos"
	"foreplane/aerolib/unit"
)

// TipDiameter returns the largest diameter whose tips stay below a Mach number along their helix,
//
//	D = √((Ma)² − V²)/(πn)
//
// Metal propellers of light aeroplanes stay below about 0.85, wooden ones, which are thicker, below 0.75 (common practice). It returns a [*unit.RangeError] for a Mach number
// outside 0 to 1 or a speed at or beyond it, and a [*unit.PositiveError] for a rotation not above zero.
func TipDiameter(air atmos.Air, V unit.TrueAirspeed, n unit.RotationRate, mach unit.MachNumber) (unit.Length, error) {
	if err := errors.Join(unit.CheckPositive("prop.TipDiameter", "rotation", n, "rpm"), unit.CheckPositive("prop.TipDiameter", "speed of sound", air.SpeedOfSound, "m/s"),
		unit.CheckRange("prop.TipDiameter", "Mach number", mach, 0, 1, "1")); err != nil {
		return 0, err
	}
	if err := unit.CheckRange("prop.TipDiameter", "true airspeed", V, 0, mach*air.SpeedOfSound, "m/s"); err != nil {
		return 0, err
	}
	fast := mach * air.SpeedOfSound
	return math.Sqrt(fast*fast-V*V) / (math.Pi * n), nil
}

// GroundClearance returns how high above the ground the lowest point of the disc of a plant is when the aeroplane has turned by an angle, nose up, about its main wheels from
// where it stands at rest. The other wheel is lifted, or the tail wheel lowered: for a tractor with a nose wheel the angle that matters is 0 or, with the nose wheel's leg pressed in,
// below; for a pusher it is that of rotation.
//
// It returns an error for an aeroplane without main and another wheel, and a [*unit.RangeError] for an angle outside ±45°.
func GroundClearance(a aircraft.Aircraft, plant aircraft.Plant, rotation unit.Angle) (unit.Length, error) {
	if err := unit.CheckRange("prop.GroundClearance", "angle of rotation", rotation, -math.Pi/4, math.Pi/4, "°"); err != nil {
		return 0, err
	}
	main, slope, err := ground(a)
	if err != nil {
		return 0, err
	}
	sin, cos := math.Sincos(rotation + slope)
	return (plant.Z-plant.Diameter/2-main.Z)*cos - (plant.X-main.X)*sin, nil
}

// ClearanceDiameter returns the largest diameter of the propeller of a plant that leaves a clearance from the ground after a rotation as in [GroundClearance]. Rules ask for
// 7 in with a nose wheel and 9 in with a tail wheel, legs pressed in (14 CFR 23.925, recalled). Errors are those of GroundClearance, one for a clearance below zero, and one
// where no propeller has it.
func ClearanceDiameter(a aircraft.Aircraft, plant aircraft.Plant, rotation unit.Angle, clearance unit.Length) (unit.Length, error) {
	if err := unit.CheckRange("prop.ClearanceDiameter", "clearance", clearance, 0, math.Inf(1), "m"); err != nil {
		return 0, err
	}
	_, slope, err := ground(a)
	if err != nil {
		return 0, err
	}
	plant.Diameter = 0
	axis, err := GroundClearance(a, plant, rotation)
	if err != nil {
		return 0, err
	}
	if axis <= clearance {
		return 0, fmt.Errorf("prop.ClearanceDiameter: the shaft is %s above the ground, must be above the clearance of %s", unit.Format(axis, "m"), unit.Format(clearance, "m"))
	}
	return 2 * (axis - clearance) / math.Cos(rotation+slope), nil
}

// ground returns a main wheel and the angle by which the ground rises along x at rest.
func ground(a aircraft.Aircraft) (main aircraft.Wheel, slope unit.Angle, err error) {
	var other aircraft.Wheel
	count := [2]int{}
	for _, w := range a.Wheels {
		if w.Main {
			main, count[0] = w, count[0]+1
		} else {
			other, count[1] = w, count[1]+1
		}
	}
	if count[0] == 0 || count[1] == 0 || main.X == other.X {
		return main, 0, fmt.Errorf("prop: %s has no main wheel and another one ahead or behind it to stand on", a.Name)
	}
	return main, math.Atan((main.Z - other.Z) / (main.X - other.X)), nil
}
