package aircraft

import (
	"fmt"
	"math"

	"foreplane/aerolib/unit"
)

// overlaps checks pairs of surfaces for places that both fill.
func (c *checker) overlaps(surfaces []Surface) {
	for i, s := range surfaces {
		for j, t := range surfaces[:i] {
			switch {
			case s.Role.Upright() == t.Role.Upright():
				if at, ok := s.meets(t); ok {
					c.clash(i, "the %s overlaps the %s at %s", s.Name, t.Name, at)
				}
			case s.Role.Upright():
				c.through(i, s, t)
			default:
				c.through(j, t, s)
			}
		}
	}
}

// through checks whether a fin passes through a lifting surface.
func (c *checker) through(i int, fin, s Surface) {
	if at, ok := fin.pierces(s); ok {
		c.clash(i, "the %s passes through the %s at %s: describe it as two, one above and one below", fin.Name, s.Name, at)
	}
}

func (c *checker) clash(i int, format, name, other string, at Station) {
	where := fmt.Sprintf("x %s, y %s, z %s", unit.Format(at.X, "m"), unit.Format(at.Y, "m"), unit.Format(at.Z, "m"))
	c.failf(fmt.Sprintf("surfaces[%d]", i+1), format, name, other, where)
}

// sampled yields stations from root to tip.
func (s Surface) sampled(yield func(Station) bool) {
	const steps = 32
	for i := range steps + 1 {
		if !yield(s.at(float64(i) / steps)) {
			return
		}
	}
}

// beside reports whether the chords of two stations overlap along x.
func (t Station) beside(u Station) bool { return t.X < u.X+u.Chord && u.X < t.X+t.Chord }

// meets looks for a station of s that lies in t: their chords overlap, and they are nearer to each other than half their thicknesses together.
func (s Surface) meets(t Surface) (Station, bool) {
	for u := range s.sampled {
		where := u.Y
		if s.Role.Upright() {
			where = u.Z
		}
		low := t.Root().Y
		if t.Role.Upright() {
			low = t.Root().Z
		}
		f := (where - low) / t.Semispan()
		if f < 0 || f > 1 {
			continue
		}
		v := t.at(f)
		apart := math.Abs(u.Z - v.Z)
		if s.Role.Upright() {
			apart = math.Abs(u.Y - v.Y)
		}
		if u.beside(v) && apart < thick(u)+thick(v) {
			return u, true
		}
	}
	return Station{}, false
}

// thick returns half the thickness of a station; one that is not known counts as 12 %.
func thick(t Station) unit.Length {
	if t.Section.Thickness == 0 {
		return 0.06 * t.Chord
	}
	return t.Section.Thickness / 2 * t.Chord
}

// pierces looks for a station of an upright surface s that lies in t, with parts of s above it and below. One end of s may stand on t, t may end at s, and on the plane of
// symmetry s stands between the halves of t.
func (s Surface) pierces(t Surface) (Station, bool) {
	var near Station
	var above, below, beside bool
	least := math.Inf(1)
	for u := range s.sampled {
		y := math.Abs(u.Y) // t has an image on the other side
		if y <= thick(u) || y >= t.Tip().Y-thick(u) {
			continue
		}
		v := t.at(y / t.Semispan())
		height := u.Z - v.Z
		above, below = above || height > thick(v), below || height < -thick(v)
		if math.Abs(height) < least {
			least, near, beside = math.Abs(height), u, u.beside(v)
		}
	}
	return near, above && below && beside
}
