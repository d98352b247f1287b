package aircraft

import (
	"fmt"
	"slices"

	"foreplane/aerolib/unit"
)

// Aircraft is an aeroplane. Its coefficients refer to Reference. Mass, CG and CGHeight are the state that is studied; after reading a file they are the sums of
// Masses, and may then be changed without them.
type Aircraft struct {
	Name      string
	Surfaces  []Surface
	Bodies    []Body
	Wheels    []Wheel
	Plants    []Plant
	Masses    []MassItem
	Drag      []DragItem // what surfaces and bodies do not have
	Mass      unit.Mass
	CG        unit.Length // station of the centre of gravity
	CGHeight  unit.Length // its z
	Reference Reference
}

// Reference states the quantities that make coefficients of forces and moments.
type Reference struct {
	Name        string // what they are taken from, such as "wing"
	Area        unit.Area
	Chord       unit.Length
	Span        unit.Length
	LeadingEdge unit.Length // station of the leading edge of Chord, from which % of chord count
}

// ReferenceOf returns the area, mean aerodynamic chord and span of a surface.
func ReferenceOf(s Surface) Reference {
	return Reference{Name: s.Name, Area: s.Area(), Chord: s.MeanChord(), Span: s.Span(), LeadingEdge: s.LeadingEdge()}
}

// Fraction returns station x as a fraction of the reference chord behind its leading edge.
func (r Reference) Fraction(x unit.Length) unit.Ratio { return (x - r.LeadingEdge) / r.Chord }

// Surface returns the surface with the given name.
func (a Aircraft) Surface(name string) (Surface, error) {
	for _, s := range a.Surfaces {
		if s.Name == name {
			return s, nil
		}
	}
	return Surface{}, fmt.Errorf("aircraft: %s has no surface called %q", a.Name, name)
}

// With returns the aeroplane with s in place of its surface of the same name, or added if there is none. The original stays as it is, and so does the
// reference, which is stated and not derived.
func (a Aircraft) With(s Surface) Aircraft {
	a.Surfaces = slices.Clone(a.Surfaces)
	i := slices.IndexFunc(a.Surfaces, func(t Surface) bool { return t.Name == s.Name })
	if i < 0 {
		a.Surfaces = append(a.Surfaces, s)
	} else {
		a.Surfaces[i] = s
	}
	return a
}

// Clone returns a copy that shares nothing with the original.
func (a Aircraft) Clone() Aircraft {
	a.Surfaces, a.Bodies = slices.Clone(a.Surfaces), slices.Clone(a.Bodies)
	for i := range a.Surfaces {
		s := &a.Surfaces[i]
		s.Stations, s.Controls = slices.Clone(s.Stations), slices.Clone(s.Controls)
	}
	for i := range a.Bodies {
		a.Bodies[i].Stations = slices.Clone(a.Bodies[i].Stations)
	}
	a.Wheels, a.Plants, a.Masses, a.Drag = slices.Clone(a.Wheels), slices.Clone(a.Plants), slices.Clone(a.Masses), slices.Clone(a.Drag)
	for i := range a.Plants {
		a.Plants[i].Blade = slices.Clone(a.Plants[i].Blade)
	}
	return a
}

// Lifting returns the surfaces that carry lift: all but the fins.
func (a Aircraft) Lifting() []Surface {
	return slices.DeleteFunc(slices.Clone(a.Surfaces), func(s Surface) bool { return s.Role.Upright() })
}

// Fins returns the surfaces that stand upright.
func (a Aircraft) Fins() []Surface {
	return slices.DeleteFunc(slices.Clone(a.Surfaces), func(s Surface) bool { return !s.Role.Upright() })
}

// Area returns the sum of the areas of the lifting surfaces.
func (a Aircraft) Area() unit.Area {
	sum := 0.0
	for _, s := range a.Lifting() {
		sum += s.Area()
	}
	return sum
}

// Weight returns the weight at standard gravity.
func (a Aircraft) Weight() unit.Weight { return a.Mass * unit.StandardGravity }

// Power returns that of all engines together at sea level.
func (a Aircraft) Power() unit.Power {
	sum := 0.0
	for _, p := range a.Plants {
		sum += p.Power
	}
	return sum
}

// Extent returns the stations of the foremost and the hindmost point of surfaces, bodies and propellers.
func (a Aircraft) Extent() (front, back unit.Length) {
	var x []unit.Length
	for _, s := range a.Surfaces {
		for _, t := range s.Stations {
			x = append(x, t.X, t.X+t.Chord)
		}
	}
	for _, b := range a.Bodies {
		for _, t := range b.Stations {
			x = append(x, t.X)
		}
	}
	for _, p := range a.Plants {
		x = append(x, p.X)
	}
	if len(x) == 0 {
		return 0, 0
	}
	return slices.Min(x), slices.Max(x)
}

// TailVolume returns how much moment a surface has about the CG, for pitch on the reference chord and, of fins, for yaw on the reference span,
//
//	V̄ = S (x_¼ − x_cg)/(S_ref c_ref),   V̄_v = n S (x_¼ − x_cg)/(S_ref b_ref)
//
// with x_¼ the quarter point of its mean chord and n the number of fins. It is negative ahead of the CG, as that of a foreplane ([Perkins]).
func (a Aircraft) TailVolume(s Surface) unit.Ratio {
	arm, r := s.QuarterChord()-a.CG, a.Reference
	if s.Role.Upright() {
		return s.count() * s.Area() * arm / (r.Area * r.Span)
	}
	return s.Area() * arm / (r.Area * r.Chord)
}

// count returns how many there are of what Area is that of: two of fins on both sides.
func (s Surface) count() unit.Ratio {
	if s.Mirrored && s.Role.Upright() {
		return 2
	}
	return 1
}

// ExposedArea returns the area of a surface outside the bodies, all halves together: that from the point outwards where the line of the middle of its chords first
// leaves them. What booms cover further out is not taken off.
func (a Aircraft) ExposedArea(s Surface) unit.Area {
	return s.count() * s.Part(a.emerges(s), 1).Area()
}

// emerges returns the fraction of the way from root to tip at which the middle of the chord leaves all bodies.
func (a Aircraft) emerges(s Surface) unit.Ratio {
	buried := func(f unit.Ratio) bool {
		t := s.at(f)
		return slices.ContainsFunc(a.Bodies, func(b Body) bool { return b.inside(t.X+t.Chord/2, t.Y, t.Z) })
	}
	const steps = 64
	high := 0.0
	for high < 1 && buried(high) {
		high += 1.0 / steps
	}
	low := max(0, high-1.0/steps)
	for range 40 {
		if middle := (low + high) / 2; buried(middle) {
			low = middle
		} else {
			high = middle
		}
	}
	return low
}

// at returns the station at a fraction of the way from root to tip.
func (s Surface) at(f unit.Ratio) Station {
	along := f * s.Semispan()
	for i := 1; i < len(s.Stations); i++ {
		a, b := s.Stations[i-1], s.Stations[i]
		if low, high := s.Along(a), s.Along(b); along <= high {
			return a.to(b, (along-low)/(high-low))
		}
	}
	return s.Tip()
}

// WettedArea returns the area of both sides of the exposed part of a surface, after Raymer's formula for sections thicker than 5 % of the chord,
//
//	S_wet = S_exposed (1.977 + 0.52 t/c)
//
// ([Raymer], recalled), and 2.003 S_exposed below. A thickness that is not known counts as 12 %.
func (a Aircraft) WettedArea(s Surface) unit.Area {
	t := s.Section().Thickness
	if t == 0 {
		t = 0.12
	}
	if t < 0.05 {
		return 2.003 * a.ExposedArea(s)
	}
	return a.ExposedArea(s) * (1.977 + 0.52*t)
}
