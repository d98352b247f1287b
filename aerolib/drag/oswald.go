package drag

import (
	"math"

	"foreplane/aerolib/unit"
)

// sweptFrom is the sweep from which Raymer's line for swept wings holds.
const sweptFrom unit.Angle = 30 * unit.Degree

// RaymerOswald returns Raymer's regression of the Oswald factor of a whole aeroplane with one wing of aspect ratio A and leading-edge sweep Λ,
//
//	straight:  e = 1.78 (1 − 0.045 A^0.68) − 0.64
//	Λ ≥ 30°:   e = 4.61 (1 − 0.045 A^0.68) cos^0.15 Λ − 3.1
//
// and between 0 and 30° the line from the first to the second at 30° ([Raymer]). It knows nothing of a second surface, of twist or of sections, and is not the span
// efficiency: a fit to one's own polar ([Polar.Fit]) is to be preferred. It returns a [*unit.RangeError] for an aspect ratio outside 3 to 12 or sweep outside 0 to 60°.
func RaymerOswald(aspect unit.Ratio, sweep unit.Angle) (unit.Ratio, error) {
	const f = "drag.RaymerOswald"
	if err := unit.CheckRange(f, "aspect ratio", aspect, 3, 12, "1"); err != nil {
		return 0, err
	}
	if err := unit.CheckRange(f, "leading-edge sweep", sweep, 0, 60*unit.Degree, "°"); err != nil {
		return 0, err
	}
	g := 1 - 0.045*math.Pow(aspect, 0.68)
	straight, swept := 1.78*g-0.64, 4.61*g*math.Pow(math.Cos(max(sweep, sweptFrom)), 0.15)-3.1
	return straight + min(1, sweep/sweptFrom)*(swept-straight), nil
}
