package aircraft

import (
	"math"

	"foreplane/aerolib/unit"
)

// Plant is an engine with its propeller.
type Plant struct {
	Name     string
	Power    unit.Power  // of the engine at sea level
	X, Y, Z  unit.Length // centre of the propeller disc
	Diameter unit.Length
	Tilt     unit.Angle // of the thrust line, positive where it pulls or pushes upwards
	Pusher   bool       // the propeller is behind its engine
	Blades   unit.Ratio
	Speed    unit.RotationRate // of the propeller at Power

	Pitch          unit.Angle // of the blades at 75 % of the radius, or their low stop; 0 if it is not known
	PitchHigh      unit.Angle // the high stop of a propeller of constant speed; 0 if the pitch is fixed
	ActivityFactor unit.Ratio // of one blade; 0 if it is not known
	Blade          []BladeStation
	Spinner        unit.Length // its diameter
	Electric       bool
	Consumption    unit.PowerConsumption // fuel flow over power; 0 if it is not known
	Critical       unit.PressureAltitude // of a turbocharger, up to which the power is that at sea level; 0 for none
}

// BladeStation is one chord of a propeller blade.
type BladeStation struct {
	Radius    unit.Ratio // of the tip radius
	Chord     unit.Ratio // of the diameter
	Twist     unit.Angle // blade angle less that at 75 % of the radius
	Thickness unit.Ratio // of the chord
}

// DiscArea returns π D²/4.
func (p Plant) DiscArea() unit.Area { return math.Pi / 4 * p.Diameter * p.Diameter }

// ThrustArm returns how far the thrust line passes below a point, so that thrust times it is a moment nose up.
func (p Plant) ThrustArm(x, z unit.Length) unit.Length {
	sin, cos := math.Sincos(p.Tilt)
	return (z-p.Z)*cos + (x-p.X)*sin
}
