package figure

import (
	"fmt"

	"foreplane/aerolib/unit"
)

// A scale turns SI values into those shown: (v − offset) / factor.
type scale struct{ factor, offset float64 }

func (s scale) shown(v float64) float64 { return (v - s.offset) / s.factor }
func (s scale) si(v float64) float64    { return v*s.factor + s.offset }

func (s scale) all(v []float64) []float64 {
	out := make([]float64, len(v))
	for i := range v {
		out[i] = s.shown(v[i])
	}
	return out
}

// scale returns the scale of the unit that the axis shows.
func (a Axis) scale() (scale, error) {
	if a.Unit == "" {
		return scale{1, 0}, nil
	}
	u, err := unit.ParseUnit(a.Unit)
	if err != nil {
		return scale{}, fmt.Errorf("figure: axis %q: %w", plain(a.Label), err)
	}
	return scale{u.Factor, u.Offset}, nil
}
