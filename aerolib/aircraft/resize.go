package aircraft

import (
	"math"
	"slices"

	"foreplane/aerolib/unit"
)

// Resized returns the aeroplane with surfaces of another size: each is scale(s) times as long and as wide as it was. Lifting surfaces keep the quarter point of their mean
// chord, so that arms stay; fins keep the leading edge of their root, which follows the tip of a lifting surface if it stands there. Masses that have the name of a surface go
// with its area, and Mass with them; the CG stays. The reference follows the surface that it is named after, or the area of all lifting surfaces.
func (a Aircraft) Resized(scale func(Surface) unit.Ratio) Aircraft {
	b := a.Clone()
	for i, s := range a.Surfaces {
		k := scale(s)
		t := s.Scaled(k)
		if !s.Role.Upright() {
			t = t.Moved(s.QuarterChord()-t.QuarterChord(), 0, s.Height()-t.Height())
		}
		b.Surfaces[i] = t
		for j, m := range b.Masses {
			if m.Name == s.Name {
				b.Masses[j].Mass = k * k * m.Mass
				b.Mass += b.Masses[j].Mass - m.Mass
			}
		}
	}
	for i, s := range a.Surfaces {
		if j := a.bearer(s); j >= 0 {
			old, now := a.Surfaces[j].Tip(), b.Surfaces[j].Tip()
			b.Surfaces[i] = b.Surfaces[i].Moved(now.X-old.X, now.Y-old.Y, now.Z-old.Z)
		}
	}
	b.Reference = a.rereferred(b)
	return b
}

// bearer returns the index of the lifting surface at whose tip a fin stands, or −1.
func (a Aircraft) bearer(fin Surface) int {
	return slices.IndexFunc(a.Surfaces, func(s Surface) bool {
		tip, root := s.Tip(), fin.Root()
		return fin.Role.Upright() && !s.Role.Upright() && math.Hypot(root.Y-tip.Y, root.Z-tip.Z) < s.Semispan()/50
	})
}

// rereferred returns the reference of a for b, which differs in the size of surfaces.
func (a Aircraft) rereferred(b Aircraft) Reference {
	r := a.Reference
	before, err := a.Surface(r.Name)
	after, _ := b.Surface(r.Name)
	area := b.Area() / a.Area()
	length := math.Sqrt(area)
	if err == nil {
		area, length = after.Area()/before.Area(), after.MeanChord()/before.MeanChord()
	}
	return Reference{Name: r.Name, Area: area * r.Area, Chord: length * r.Chord, Span: length * r.Span, LeadingEdge: r.LeadingEdge + (1-length)*r.Chord/4}
}

// Payload returns the sum of the items of loading.
func (a Aircraft) Payload() unit.Mass {
	sum := 0.0
	for _, m := range a.Masses {
		if m.Loading() {
			sum += m.Mass
		}
	}
	return sum
}

// Loaded returns the aeroplane with its items of loading changed in the same proportion to sum to a payload, whatever their limits. Mass goes with it; the CG stays. An
// aeroplane without items of loading stays as it is.
func (a Aircraft) Loaded(payload unit.Mass) Aircraft {
	b, before := a.Clone(), a.Payload()
	if before == 0 {
		return b
	}
	for i, m := range b.Masses {
		if m.Loading() {
			b.Masses[i].Mass = m.Mass * payload / before
			b.Masses[i].Min, b.Masses[i].Max = min(m.Min, b.Masses[i].Mass), max(m.Max, b.Masses[i].Mass)
		}
	}
	b.Mass += payload - before
	return b
}
