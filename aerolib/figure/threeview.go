package figure

import (
	"fmt"
	"slices"

	"foreplane/aerolib/lattice"
	"foreplane/aerolib/unit"
)

// side is one side of a surface: its stations in order.
type side struct {
	stations []lattice.Station
	port     bool
}

// sides returns the sides of a surface, of a mirrored one both.
func sides(s lattice.Surface) []side {
	if s.Mirrored {
		return []side{{s.Stations, false}, {s.Stations, true}}
	}
	return []side{{s.Stations, false}}
}

// outline returns the closed line around a side: leading edges out, trailing edges back.
func (s side) outline() (x, y, z []unit.Length) {
	for _, t := range s.stations {
		x, y, z = append(x, t.LeadingEdge.X), append(y, s.across(t)), append(z, t.LeadingEdge.Z)
	}
	for _, t := range slices.Backward(s.stations) {
		x, y, z = append(x, t.LeadingEdge.X+t.Chord), append(y, s.across(t)), append(z, t.LeadingEdge.Z)
	}
	return x, y, z
}

func (s side) across(t lattice.Station) unit.Length {
	if s.port {
		return -t.LeadingEdge.Y
	}
	return t.LeadingEdge.Y
}

// above returns the outline from above: y to the right, x down.
func (s side) above() (right, down []unit.Length) {
	x, y, _ := s.outline()
	return y, x
}

// behind returns the outline seen along the flow: y and z.
func (s side) behind() (right, up []unit.Length) {
	_, y, z := s.outline()
	return y, z
}

// piece is a closed line of a drawing from three sides, in the axes of the aeroplane.
type piece struct {
	label   string // none is drawn in black
	x, y, z []unit.Length
	views   [3]bool // above, port, behind
	hollow  bool
}

var allViews = [3]bool{true, true, true}

// ThreeView draws lifting surfaces to scale from three sides, with stations on the centre line such as the centre of gravity: from above at the upper left, nose to the
// left and starboard up; from port below it, with the stations; from behind at the lower right. [Aeroplane] draws bodies as well.
func ThreeView(title string, surfaces []lattice.Surface, stations ...Station) *Figure {
	f := New(title, Axis{Unit: "m", bare: true}, Axis{Unit: "m", bare: true})
	if len(surfaces) == 0 {
		return f.fail("ThreeView", title, "there is no surface")
	}
	pieces, words := f.pieces(surfaces)
	if f.err != nil {
		return f
	}
	return f.threeViews("ThreeView", pieces, "the lifting surfaces", append([]string{"Lifting surfaces to scale from above with the nose to the left, from port, and from behind"}, words...), stations)
}

// pieces returns the outlines of surfaces, and each in words.
func (f *Figure) pieces(surfaces []lattice.Surface) (pieces []piece, words []string) {
	for _, s := range surfaces {
		var along []unit.Length
		for _, h := range sides(s) {
			if len(h.stations) < 2 {
				f.fail("ThreeView", s.Name, "it has %d stations, must be 2 or more", len(h.stations))
				return nil, nil
			}
			x, y, z := h.outline()
			pieces, along = append(pieces, piece{label: s.Name, x: x, y: y, z: z, views: allViews}), append(along, x...)
		}
		words = append(words, fmt.Sprintf("%s: %s along its stations, from %s to %s aft of the datum", s.Name, metres(s.Length()), metres(slices.Min(along)), metres(slices.Max(along))))
	}
	return pieces, words
}

// threeViews draws pieces from three sides, with stations below the view from port.
func (f *Figure) threeViews(function string, pieces []piece, over string, words []string, stations []Station) *Figure {
	f.EqualScale, f.Width = true, 720
	var box [3][]unit.Length
	for _, p := range pieces {
		box[0], box[1], box[2] = append(box[0], p.x...), append(box[1], p.y...), append(box[2], p.z...)
	}
	for i, name := range []string{"x", "y", "z"} {
		if !finite(slices.Min(box[i])) || !finite(slices.Max(box[i])) {
			return f.fail(function, f.Title, "%s of a station is not finite", name)
		}
	}
	span := slices.Max(box[1]) - slices.Min(box[1])
	gap := 0.12 * span
	below := slices.Min(box[1]) - gap - slices.Max(box[2]) // added to z in the lower views
	right := slices.Max(box[0]) + gap - slices.Min(box[1]) // added to y in the view from behind
	for _, p := range pieces {
		f.placed(p, below, right)
	}
	for _, s := range stations {
		label := s.Label + " " + metres(s.X)
		f.Mark(s.Symbol, label, s.X, below+slices.Min(box[2])-gap/2)
		words = append(words, plain(label))
	}
	length, height := slices.Max(box[0])-slices.Min(box[0]), slices.Max(box[2])-slices.Min(box[2])
	f.Caption = fmt.Sprintf("To scale: from above, from port, from behind. Span %s, length %s and height %s over %s.", metres(span), metres(length), metres(height), over)
	if len(stations) > 0 {
		f.Caption += " " + caution
	}
	f.Alt = sentences(append(words, f.Caption))
	return f.scaleBar(right+slices.Min(box[1]), slices.Max(box[1]), span)
}

// placed draws a piece in its views. Only the view from above has the scale of the axes.
func (f *Figure) placed(p piece, below, right unit.Length) {
	drawn := shape{hollow: p.hollow}
	if p.label != "" {
		drawn.look = f.lookFor(p.label)
	}
	for view, wanted := range p.views {
		s := drawn
		switch view {
		case 0:
			s.label, s.aside, s.x, s.y = p.label, p.label == "", p.x, p.y
		case 1:
			s.aside, s.x, s.y = true, p.x, moved(p.z, below)
		case 2:
			s.aside, s.x, s.y = true, moved(p.y, right), moved(p.z, below)
		}
		if wanted {
			f.shapes = append(f.shapes, s)
		}
	}
}

// moved returns v with something added.
func moved(v []unit.Length, by unit.Length) []unit.Length {
	out := clone(v)
	for i := range out {
		out[i] += by
	}
	return out
}

// scaleBar draws a round length, about a fifth of the given one, from the point at its left end.
func (f *Figure) scaleBar(x, y, about unit.Length) *Figure {
	length := roundUp(about/6/unit.Metre) * unit.Metre
	f.shapes = append(f.shapes, shape{x: []unit.Length{x, x + length}, y: []unit.Length{y, y}, hollow: true, aside: true})
	return f.Note(metres(length), x+length/2, y)
}
