package aircraft

import (
	"math"
	"slices"

	"foreplane/aerolib/unit"
)

// Role says what a surface is there for.
type Role string

// Roles of surfaces. Fins stand upright and take no part in lift.
const (
	Wing      Role = "wing"
	Foreplane Role = "foreplane"
	Tailplane Role = "tailplane"
	Fin       Role = "fin"
	TipFin    Role = "tip fin"
)

// Upright reports whether surfaces of this role stand, so that their span counts along z.
func (r Role) Upright() bool { return r == Fin || r == TipFin }

// Surface is a lifting surface or a fin: chords at stations, from the plane of symmetry to starboard or, of a fin, from its root up. Between stations everything
// varies linearly. Of a Mirrored surface the stations describe the starboard half, and the port half is its image.
//
// Span, area and means are projected along z, those of fins along y; of fins on both sides they are those of one.
type Surface struct {
	Name      string
	Role      Role
	Mirrored  bool
	Incidence unit.Angle // of the whole surface to the x axis, besides the twist of its stations
	Stations  []Station
	Controls  []Control
}

// Station is one chord of a surface.
type Station struct {
	X, Y, Z unit.Length // leading edge
	Chord   unit.Length
	Twist   unit.Angle // of the chord to that of a station without twist; washout is negative
	Section Section
}

// to returns the station at the fraction f of the way to u.
func (t Station) to(u Station, f unit.Ratio) Station {
	return Station{
		X: mix(t.X, u.X, f), Y: mix(t.Y, u.Y, f), Z: mix(t.Z, u.Z, f),
		Chord: mix(t.Chord, u.Chord, f), Twist: mix(t.Twist, u.Twist, f), Section: t.Section.to(u.Section, f),
	}
}

func mix(a, b, f float64) float64 { return a + f*(b-a) }

// Trapezoid describes a surface with straight edges.
type Trapezoid struct {
	Name      string
	Role      Role
	Span      unit.Length // tip to tip; of a fin, root to tip
	RootChord unit.Length // in the plane of symmetry
	TipChord  unit.Length
	Sweep     unit.Angle  // of the leading edge, positive aft
	X         unit.Length // leading edge of the root chord, aft of the datum
	Z         unit.Length // the same, above the datum
	Y         unit.Length // of a fin, its distance from the plane of symmetry; if not zero there is one on each side
	Dihedral  unit.Angle  // of a fin, none
	Incidence unit.Angle
	Twist     unit.Angle // of the tip chord to the root chord; washout is negative
	Section   Section
	Controls  []Control
}

// Surface returns the surface of two stations.
func (t Trapezoid) Surface() Surface {
	root := Station{X: t.X, Y: t.Y, Z: t.Z, Chord: t.RootChord, Section: t.Section}
	tip := Station{X: t.X, Y: t.Y, Z: t.Z, Chord: t.TipChord, Twist: t.Twist, Section: t.Section}
	if t.Role.Upright() {
		tip.X += t.Span * math.Tan(t.Sweep)
		tip.Z += t.Span
	} else {
		tip.X += t.Span / 2 * math.Tan(t.Sweep)
		tip.Y += t.Span / 2
		tip.Z += t.Span / 2 * math.Tan(t.Dihedral)
	}
	return Surface{
		Name: t.Name, Role: t.Role, Mirrored: !t.Role.Upright() || t.Y != 0, Incidence: t.Incidence,
		Stations: []Station{root, tip}, Controls: t.Controls,
	}
}

// Root returns the first station.
func (s Surface) Root() Station { return s.Stations[0] }

// Tip returns the last station.
func (s Surface) Tip() Station { return s.Stations[len(s.Stations)-1] }

// halves is the number of halves that span and area count.
func (s Surface) halves() unit.Ratio {
	if s.Mirrored && !s.Role.Upright() {
		return 2
	}
	return 1
}

// Along returns the distance of a station from the root, across the stream.
func (s Surface) Along(t Station) unit.Length {
	if s.Role.Upright() {
		return t.Z - s.Root().Z
	}
	return t.Y - s.Root().Y
}

// Semispan returns the distance from root to tip.
func (s Surface) Semispan() unit.Length { return s.Along(s.Tip()) }

// Span returns the span tip to tip; of a fin, root to tip.
func (s Surface) Span() unit.Length { return s.halves() * s.Semispan() }

// integral returns ∫ f dy from root to tip, by Simpson's rule between stations: exact for products of up to three quantities that vary linearly.
func (s Surface) integral(f func(Station) float64) float64 {
	sum := 0.0
	for i := 1; i < len(s.Stations); i++ {
		a, b := s.Stations[i-1], s.Stations[i]
		sum += (f(a) + 4*f(a.to(b, 0.5)) + f(b)) / 6 * (s.Along(b) - s.Along(a))
	}
	return sum
}

// Mean returns the average of a quantity over the area, (2/S) ∫ f c dy. It is exact for linear quantities and products of two.
func (s Surface) Mean(f func(Station) float64) float64 {
	chord := func(t Station) float64 { return t.Chord }
	return s.integral(func(t Station) float64 { return t.Chord * f(t) }) / s.integral(chord)
}

// Area returns the projected area, carried through the body to the plane of symmetry; of fins on both sides, that of one.
func (s Surface) Area() unit.Area {
	return s.halves() * s.integral(func(t Station) float64 { return t.Chord })
}

// AspectRatio returns b²/S.
func (s Surface) AspectRatio() unit.Ratio { return s.Span() * s.Span() / s.Area() }

// Taper returns λ = c_t/c_r.
func (s Surface) Taper() unit.Ratio { return s.Tip().Chord / s.Root().Chord }

// MeanChord returns the mean aerodynamic chord
//
//	c̄ = (2/S) ∫ c² dy          = (2/3) c_r (1 + λ + λ²)/(1 + λ) with straight edges
//
// ([Perkins]).
func (s Surface) MeanChord() unit.Length {
	return s.Mean(func(t Station) float64 { return t.Chord })
}

// MeanChordStation returns the distance of the mean aerodynamic chord from the root,
//
//	ȳ = (2/S) ∫ c y dy          = (b/6) (1 + 2λ)/(1 + λ) with straight edges
//
// ([Perkins]); of a fin, twice that.
func (s Surface) MeanChordStation() unit.Length { return s.Mean(s.Along) }

// LeadingEdge returns the station x of the leading edge of the mean aerodynamic chord.
func (s Surface) LeadingEdge() unit.Length {
	return s.Mean(func(t Station) float64 { return t.X })
}

// QuarterChord returns the station x of the quarter point of the mean aerodynamic chord, near which a surface by itself has its aerodynamic centre.
func (s Surface) QuarterChord() unit.Length { return s.LeadingEdge() + s.MeanChord()/4 }

// Height returns z of the mean aerodynamic chord.
func (s Surface) Height() unit.Length {
	return s.Mean(func(t Station) float64 { return t.Z })
}

// SweepAt returns the sweep of the line at the given fraction of the chord, from 0 at the leading edge to 1 at the trailing edge. Where edges have kinks it is
// the mean over the area, of the tangent. With straight edges,
//
//	tan Λ_n = tan Λ_LE − n (c_r − c_t)/(b/2)
func (s Surface) SweepAt(fraction unit.Ratio) unit.Angle {
	return math.Atan(s.slopeOf(func(t Station) float64 { return t.X + fraction*t.Chord }))
}

// Dihedral returns the angle of the surface to the horizontal, averaged as [Surface.SweepAt] does; that of fins is meaningless.
func (s Surface) Dihedral() unit.Angle {
	return math.Atan(s.slopeOf(func(t Station) float64 { return t.Z }))
}

// slopeOf returns df/dy averaged over the area.
func (s Surface) slopeOf(f func(Station) float64) unit.Ratio {
	var sum, area float64
	for i := 1; i < len(s.Stations); i++ {
		a, b := s.Stations[i-1], s.Stations[i]
		sum += (f(b) - f(a)) * (a.Chord + b.Chord) / 2
		area += (s.Along(b) - s.Along(a)) * (a.Chord + b.Chord) / 2
	}
	return sum / area
}

// MeanTwist returns the twist averaged over the area.
func (s Surface) MeanTwist() unit.Angle {
	return s.Mean(func(t Station) float64 { return t.Twist })
}

// Section returns the data of the sections averaged over the area. It has the name of the root's if all are the same, and else none.
func (s Surface) Section() Section {
	mean := s.Root().Section
	if !slices.ContainsFunc(s.Stations, func(t Station) bool { return t.Section != mean }) {
		return mean
	}
	mean.Name, mean.NACA, mean.Coordinates, mean.Polars, mean.family = "", "", "", "", nil
	for i, value := range mean.numbers() {
		*value = s.Mean(func(t Station) float64 { return *t.Section.numbers()[i] })
	}
	return mean
}

// Moved returns the surface at another place.
func (s Surface) Moved(dx, dy, dz unit.Length) Surface {
	return s.each(func(t Station) Station {
		t.X, t.Y, t.Z = t.X+dx, t.Y+dy, t.Z+dz
		return t
	})
}

// Scaled returns the surface k times as large, its root's leading edge where it was. Angles stay.
func (s Surface) Scaled(k unit.Ratio) Surface {
	root := s.Root()
	return s.each(func(t Station) Station {
		t.X, t.Y, t.Z, t.Chord = mix(root.X, t.X, k), mix(root.Y, t.Y, k), mix(root.Z, t.Z, k), k*t.Chord
		return t
	})
}

// Swept returns the surface with a straight leading edge of the given sweep from its root; chords and span stay.
func (s Surface) Swept(sweep unit.Angle) Surface {
	root := s.Root()
	return s.each(func(t Station) Station {
		t.X = root.X + s.Along(t)*math.Tan(sweep)
		return t
	})
}

// each returns the surface with other stations.
func (s Surface) each(change func(Station) Station) Surface {
	stations := make([]Station, len(s.Stations))
	for i, t := range s.Stations {
		stations[i] = change(t)
	}
	s.Stations = stations
	return s
}

// Part returns the part of the surface between two fractions of the way from root to tip.
func (s Surface) Part(from, to unit.Ratio) Surface {
	inner, outer := from*s.Semispan(), to*s.Semispan()
	var stations []Station
	for i := 1; i < len(s.Stations); i++ {
		a, b := s.Stations[i-1], s.Stations[i]
		low, high := s.Along(a), s.Along(b)
		if high <= inner || outer <= low {
			continue
		}
		if len(stations) == 0 {
			stations = append(stations, a.to(b, max(0, (inner-low)/(high-low))))
		}
		stations = append(stations, a.to(b, min(1, (outer-low)/(high-low))))
	}
	s.Stations = stations
	return s
}
