package figure

import (
	"errors"
	"fmt"

	"foreplane/aerolib/unit"
)

// inShownUnits returns a copy of the figure whose values are in the units of its axes.
func (f *Figure) inShownUnits() (*Figure, error) {
	if f.err != nil {
		return nil, f.err
	}
	if len(f.series)+len(f.shapes)+len(f.points)+len(f.fields) == 0 {
		return nil, fmt.Errorf("figure: %q has no data", f.Title)
	}
	kx, errX := f.X.scale()
	ky, errY := f.Y.scale()
	if err := errors.Join(errX, errY); err != nil {
		return nil, err
	}
	g := *f
	g.X.rescale(kx)
	g.Y.rescale(ky)
	g.series, g.limits, g.points, g.shapes, g.fields = nil, nil, nil, nil, nil
	for _, s := range f.series {
		s.x, s.y, s.low = kx.all(s.x), ky.all(s.y), ky.all(s.low)
		g.series = append(g.series, s)
	}
	for _, l := range f.limits {
		k := kx
		if l.level {
			k = ky
		}
		l.at = k.shown(l.at)
		g.limits = append(g.limits, l)
	}
	for _, p := range f.points {
		p.x, p.y = kx.shown(p.x), ky.shown(p.y)
		g.points = append(g.points, p)
	}
	for _, s := range f.shapes {
		s.x, s.y, s.value = kx.all(s.x), ky.all(s.y), s.value/kx.factor
		g.shapes = append(g.shapes, s)
	}
	for _, c := range f.fields {
		g.fields = append(g.fields, c.shown(kx, ky))
	}
	if err := g.seconds(kx, ky); err != nil {
		return nil, err
	}
	if err := g.checkRanges(); err != nil {
		return nil, err
	}
	return &g, errors.Join(g.top.check("top", g.X), g.right.check("right", g.Y))
}

// rescale brings a range that is given into shown units.
func (a *Axis) rescale(k scale) {
	if a.Min != 0 || a.Max != 0 {
		a.Min, a.Max = k.shown(a.Min), k.shown(a.Max)
	}
}

// seconds puts the shown units into the second axes, whose functions are between SI values.
func (f *Figure) seconds(kx, ky scale) error {
	convert := func(s *second, k scale) (*second, error) {
		if s == nil {
			return nil, nil
		}
		own, err := s.scale()
		from := s.from
		return &second{s.Axis, func(v float64) float64 { return own.shown(from(k.si(v))) }}, err
	}
	var errTop, errRight error
	f.top, errTop = convert(f.top, kx)
	f.right, errRight = convert(f.right, ky)
	return errors.Join(errTop, errRight)
}

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
