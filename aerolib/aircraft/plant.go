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
}

// DiscArea returns π D²/4.
func (p Plant) DiscArea() unit.Area { return math.Pi / 4 * p.Diameter * p.Diameter }

// ThrustArm returns how far the thrust line passes below a point, so that thrust times it is a moment nose up.
func (p Plant) ThrustArm(x, z unit.Length) unit.Length {
	sin, cos := math.Sincos(p.Tilt)
	return (z-p.Z)*cos + (x-p.X)*sin
}
