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

// caution stands below every figure that shows how an aeroplane may be loaded or flown.
const caution = "For study and preliminary work: the approved flight manual and the certified weighing record decide."

// Planform draws the aeroplane to scale from above, nose up and starboard to the right, with its centre of gravity and further stations such as the
// neutral point. Each is named with its distance from the datum and as a fraction of the reference chord. A fin shows as a line. It fails if the
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
	tip := s.X + semi*math.Tan(s.Sweep)
	if s.Role == aircraft.Fin {
		semi, tip = 0, s.X+s.Span*math.Tan(s.Sweep)
	}
	f.Outline(s.Name, []float64{-semi, 0, semi, semi, 0, -semi}, []float64{tip, s.X, tip, tip + s.TipChord, s.X + s.RootChord, tip + s.TipChord})
	return fmt.Sprintf("%s: span %s m, from %s m to %s m aft of the datum", s.Name, fixed(s.Span, 2), fixed(math.Min(s.X, tip), 2),
		fixed(math.Max(s.X+s.RootChord, tip+s.TipChord), 2))
}
