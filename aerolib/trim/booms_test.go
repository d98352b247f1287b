package trim

import (
	"math"
	"testing"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/unit"
)

// TestBooms: a body with an image has twice the moment, and the wing straightens the flow along the chord that it has there, not along its root.
func TestBooms(t *testing.T) {
	boom := aircraft.Body{Name: "boom", Stations: []aircraft.BodyStation{{}, {X: 1, Width: 0.5, Height: 0.5}, {X: 6, Width: 0.3, Height: 0.3}}}
	wing := aircraft.Trapezoid{Name: "wing", Role: aircraft.Wing, Span: 8, RootChord: 2, TipChord: 1, X: 3}.Surface()
	still := func(int, unit.Length, unit.Length, unit.Length) (unit.Angle, error) { return 0, nil }
	alpha := func(y unit.Length, surfaces ...aircraft.Surface) unit.Volume {
		b := boom
		b.Y = y
		return need[bodyFlow](t)(newBodyFlow(b, surfaces, 2, still)).alpha
	}
	free := need[unit.Volume](t)(MunkMoment(boom))
	for _, c := range []struct{ got, want float64 }{
		{alpha(0), free}, {alpha(2), 2 * free}, {alpha(5, wing), 2 * free}, {alpha(2, wing.Moved(0, 0, 1)), 2 * free},
		{alpha(2, wing), 2 * alpha(0, aircraft.Trapezoid{Name: "wing", Role: aircraft.Wing, Span: 8, RootChord: 1.5, TipChord: 1.5, X: 3}.Surface())},
	} {
		if math.Abs(c.got-c.want) > 1e-6*c.want {
			t.Errorf("moment %.6f m³, must be %.6f", c.got, c.want)
		}
	}
}
