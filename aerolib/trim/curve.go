package trim

import (
	"errors"
	"fmt"
	"math"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/unit"
)

// Curve is trim over speed.
type Curve struct {
	Results []Result   // in the order of the speeds that were given
	Beyond  []string   // where the limits of the control are exceeded
	Slope   unit.Angle // dδ/dCL from the least to the greatest CL
	Aft     bool       // slower takes the stick further aft, as a pilot expects
}

// CurveOf trims an aeroplane over equivalent airspeeds by closed forms, in a condition whose own speed does not count. Speeds at which the control's limits are exceeded are
// kept and named in Beyond. It returns an error for fewer than two speeds and those of [Solve].
func CurveOf(a aircraft.Aircraft, c Condition, speeds []unit.EquivalentAirspeed) (Curve, error) {
	return curve(c, speeds, func(c Condition) (Result, error) { return Solve(a, c) })
}

// Curve is [CurveOf] by the lattice.
func (l *Lattice) Curve(c Condition, speeds []unit.EquivalentAirspeed) (Curve, error) {
	return curve(c, speeds, l.Solve)
}

func curve(c Condition, speeds []unit.EquivalentAirspeed, solve func(Condition) (Result, error)) (Curve, error) {
	var out Curve
	if len(speeds) < 2 {
		return out, fmt.Errorf("trim: a curve over %d speeds; it takes two or more", len(speeds))
	}
	for _, V := range speeds {
		c.Speed, c.CL = c.Air.TrueFromEquivalent(V), 0
		r, err := solve(c)
		var limit *LimitError
		if errors.As(err, &limit) {
			out.Beyond = append(out.Beyond, fmt.Sprintf("%s EAS: %v", unit.FormatPair(V, "EquivalentAirspeed"), err))
		} else if err != nil {
			return out, fmt.Errorf("at %s: %w", unit.FormatPair(V, "EquivalentAirspeed"), err)
		}
		out.Results = append(out.Results, r)
	}
	return out, out.read()
}

// read finds the slope and what it means.
func (c *Curve) read() error {
	slow, fast := c.Results[0], c.Results[0]
	for _, r := range c.Results {
		if r.CL > slow.CL {
			slow = r
		}
		if r.CL < fast.CL {
			fast = r
		}
	}
	c.Slope = (slow.Deflection - fast.Deflection) / (slow.CL - fast.CL)
	if math.IsNaN(c.Slope) || math.IsInf(c.Slope, 0) {
		return fmt.Errorf("trim: all speeds of the curve of %s are %s", slow.Aircraft, unit.FormatPair(slow.Equivalent, "EquivalentAirspeed"))
	}
	c.Aft = c.Slope*slow.Model.CmDelta > 0
	return nil
}

// Meaning says what the sign of the slope is to the pilot.
func (c Curve) Meaning() string {
	direction := "trailing edge down"
	if c.Slope < 0 {
		direction = "trailing edge up"
	}
	if c.Aft {
		return fmt.Sprintf("Slower takes the %s further %s: stick aft, as a pilot expects.", c.Results[0].Control, direction)
	}
	return fmt.Sprintf("Slower takes the %s further %s: stick forward, against what a pilot expects; the aeroplane does not hold its speed.", c.Results[0].Control, direction)
}
