package figure

import (
	"fmt"
	"math"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/unit"
)

// A Station is a point on the centre line of an aeroplane, to be marked in a drawing.
type Station struct {
	Symbol Symbol
	Label  string
	X      unit.Length // aft of the datum
}

// Planform draws the aeroplane to scale from above, nose up and starboard to the right, with its centre of gravity and further stations such as the
// neutral point. Each is named with its distance from the datum and as a fraction of the reference chord. Fins show as lines. It fails if the
// aeroplane is not complete.
func Planform(a aircraft.Aircraft, stations ...Station) *Figure {
	f := New("Planform of "+a.Name, Axis{Label: "y to starboard", Unit: "m"}, Axis{Label: "x aft of the datum", Unit: "m", Reversed: true})
	f.EqualScale = true
	f.Caption = "Top view to scale: nose up, starboard to the right. " + caution
	if f.err = a.Validate(); f.err != nil {
		return f
	}
	words := []string{"Top view of " + a.Name + " to scale, nose up, starboard to the right"}
	for _, s := range a.Surfaces {
		words = append(words, f.surface(s))
	}
	for _, s := range append([]Station{{CentreOfGravity, "CG", a.CG}}, stations...) {
		label := s.Label + " " + unbroken(fmt.Sprintf("%s m (%s %% of MAC)", fixed(s.X, 2), fixed(100*a.Reference.Fraction(s.X), 0)))
		f.Mark(s.Symbol, label, 0, s.X)
		words = append(words, plain(label))
	}
	f.Alt = sentences(words)
	return f
}

// surface draws a trapezoid from above and says in words where it is.
func (f *Figure) surface(s aircraft.Surface) string {
	semi := s.Span / 2
	if s.Role == aircraft.Fin {
		semi = s.Span
	}
	tip := s.X + semi*math.Tan(s.Sweep)
	front, back := math.Min(s.X, tip), math.Max(s.X+s.RootChord, tip+s.TipChord)
	switch {
	case s.Role != aircraft.Fin:
		f.Outline(s.Name, []float64{-semi, 0, semi, semi, 0, -semi}, []float64{tip, s.X, tip, tip + s.TipChord, s.X + s.RootChord, tip + s.TipChord})
	case s.Y == 0:
		f.upright(s.Name, 0, front, back)
	default:
		f.upright(s.Name, s.Y, front, back)
		f.upright(s.Name, -s.Y, front, back)
	}
	return fmt.Sprintf("%s: span %s m, from %s m to %s m aft of the datum", s.Name, fixed(s.Span, 2), fixed(front, 2), fixed(back, 2))
}

// upright draws what stands upright at y, seen edge on.
func (f *Figure) upright(label string, y, front, back float64) {
	f.shapes = append(f.shapes, shape{label: label, x: []float64{y, y}, y: []float64{front, back}, look: f.lookFor(label)})
}
