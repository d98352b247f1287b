package figure

import (
	"fmt"
	"slices"

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

// surface draws a surface from above and says in words where it is.
func (f *Figure) surface(s aircraft.Surface) string {
	var x, y []unit.Length // of the starboard half: leading edges out, trailing edges back
	for _, t := range s.Stations {
		x, y = append(x, t.X), append(y, t.Y)
	}
	for _, t := range slices.Backward(s.Stations) {
		x, y = append(x, t.X+t.Chord), append(y, t.Y)
	}
	front, back := slices.Min(x), slices.Max(x)
	switch {
	case !s.Role.Upright():
		f.outlineBoth(s.Name, x, y)
	case !s.Mirrored:
		f.upright(s.Name, s.Root().Y, front, back)
	default:
		f.upright(s.Name, s.Root().Y, front, back)
		f.upright(s.Name, -s.Root().Y, front, back)
	}
	return fmt.Sprintf("%s: span %s m, from %s m to %s m aft of the datum", s.Name, fixed(s.Span(), 2), fixed(front, 2), fixed(back, 2))
}

// outlineBoth draws the outline of both halves: from the port tip along the leading edges to starboard and along the trailing edges back. The halves share the root.
func (f *Figure) outlineBoth(label string, x, y []unit.Length) {
	var right, down []unit.Length
	n := len(x) / 2
	add := func(i int, side unit.Ratio) {
		right, down = append(right, side*y[i]), append(down, x[i])
	}
	for i := n - 1; i > 0; i-- {
		add(i, -1)
	}
	for i := range 2 * n {
		add(i, 1)
	}
	for i := 2*n - 2; i >= n; i-- {
		add(i, -1)
	}
	f.Outline(label, right, down)
}

// upright draws what stands upright at y, seen edge on.
func (f *Figure) upright(label string, y, front, back unit.Length) {
	f.shapes = append(f.shapes, shape{label: label, x: []unit.Length{y, y}, y: []unit.Length{front, back}, look: f.lookFor(label)})
}
