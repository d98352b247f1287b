package figure

import (
	"cmp"
	"fmt"
	"slices"

	"foreplane/aerolib/trim"
	"foreplane/aerolib/unit"
)

// StallLift draws the lift coefficient of the sections of each surface along the span at the first stall, with what the sections bear as a second line beside it, and marks the
// strip that is first. Both sides are alike: starboard shows.
func StallLift(s trim.Stall) *Figure {
	f := spanwiseStall(s, "Lift coefficient of sections c_l", func(t trim.StallStrip) (lift, limit float64) { return t.CL, t.Limit })
	f.Title = fmt.Sprintf("Sections of %s at the first stall", s.Aircraft)
	return f
}

// StallLoading draws the same as [StallLift] times the chord over the reference chord: the load that each surface has, and the most that its sections bear.
func StallLoading(s trim.Stall) *Figure {
	f := spanwiseStall(s, "Loading c_l c/c_ref", func(t trim.StallStrip) (lift, limit float64) {
		part := t.Chord / s.Reference.Chord
		return t.CL * part, t.Limit * part
	})
	f.Title = fmt.Sprintf("Loading of %s at the first stall", s.Aircraft)
	return f
}

func spanwiseStall(s trim.Stall, label string, of func(trim.StallStrip) (lift, limit float64)) *Figure {
	f := New("", Axis{Label: "y to starboard", Unit: "m"}, Axis{Label: label, Zero: true})
	if len(s.Strips) == 0 {
		return f.fail("StallLift", s.Aircraft, "the result has no strips")
	}
	f.Caption = fmt.Sprintf("C_L %s at %s, CG %s, δ %s. The %s reaches its limit first, at y %s; %s has %s left. Beyond, nothing is predicted. %s", fixed(s.CL, 2), knots(s.Speed),
		station(s.CG), angle(s.Deflection), s.First.Surface, station(s.First.Y), nextSurface(s), unbroken(fixed(100*s.Margin(), 0)+" %"), s.Caution)
	for _, name := range stallSurfaces(s) {
		var y, lift, limit []float64
		for _, t := range s.Strips {
			if t.Surface == name {
				l, most := of(t)
				y, lift, limit = append(y, t.Y), append(lift, l), append(limit, most)
			}
		}
		f.Curve(name, y, lift).Curve("c_{l,max} of the "+name, y, limit)
	}
	lift, _ := of(s.First)
	return f.Point("first", s.First.Y, lift)
}

// nextSurface names the surface that would be next.
func nextSurface(s trim.Stall) string {
	if len(s.Others) == 0 {
		return "no other surface"
	}
	return "the " + s.Others[0].Surface
}

// stallSurfaces names the surfaces in the order of their strips.
func stallSurfaces(s trim.Stall) []string {
	var names []string
	for _, t := range s.Strips {
		if !slices.Contains(names, t.Surface) {
			names = append(names, t.Surface)
		}
	}
	return names
}

func knots(v unit.TrueAirspeed) string { return unbroken(fixed(v/unit.Knot, 1) + " kt") }

// StallSpeeds draws the stall speed over the CG, with its spread over all variants as a band, for one condition of one aeroplane. Where the verdict changes from one CG to the next the
// figure says so.
func StallSpeeds(over ...trim.Sequence) *Figure {
	f := New("Stall speed over the CG", Axis{Label: "CG aft of the datum", Unit: "m"}, Axis{Label: "Stall speed V_S", Unit: "kt"})
	if len(over) < 2 {
		return f.fail("StallSpeeds", "", "%d stalls; a curve takes two", len(over))
	}
	over = slices.Clone(over)
	slices.SortStableFunc(over, func(a, b trim.Sequence) int { return cmp.Compare(a.CG, b.CG) })
	f.Title += " of " + over[0].Aircraft
	var x, speed, low, high []float64
	words := "Order: "
	for i, s := range over {
		least, most := s.Speed, s.Speed
		for _, v := range s.Variants {
			least, most = min(least, v.Speed), max(most, v.Speed)
		}
		x, speed, low, high = append(x, s.CG), append(speed, s.Speed), append(low, least), append(high, most)
		switch {
		case i == 0:
			words += string(s.Verdict)
		case s.Verdict != over[i-1].Verdict:
			between := (s.CG + over[i-1].CG) / 2
			words += fmt.Sprintf(", from %s %s", station(between), s.Verdict)
			f.Limit(string(s.Verdict), between)
		}
	}
	f.Band("variants of wake, mesh and limits", x, low, high).Curve("V_S", x, speed)
	f.Caption = words + ". Beyond the first stall nothing is predicted. " + over[0].Caution
	r := over[0].Reference
	return f.Top(Axis{Label: "CG in chord of the " + r.Name, Unit: "%"}, func(x float64) float64 { return r.Fraction(x) })
}
