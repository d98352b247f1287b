package figure

import (
	"fmt"
	"math"
	"slices"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/unit"
)

// Aeroplane draws an aeroplane to scale from three sides as [ThreeView] does, with bodies, wheels and propellers, its centre of gravity and further stations such as the
// neutral point. Wheels are drawn 0.36 m across, whatever they are. It fails if the aeroplane is not complete.
func Aeroplane(a aircraft.Aircraft, stations ...Station) *Figure {
	f := New(a.Name+" from three sides", Axis{Unit: "m", bare: true}, Axis{Unit: "m", bare: true})
	surfaces, err := a.Lattice()
	if err != nil {
		f.err = err
		return f
	}
	pieces, words := f.pieces(surfaces)
	words = append([]string{a.Name + " to scale from above with the nose to the left, from port, and from behind"}, words...)
	for _, b := range a.Bodies {
		pieces = append(pieces, bodyPieces(b, b.Y)...)
		if b.Y != 0 {
			pieces = append(pieces, bodyPieces(b, -b.Y)...)
		}
		words = append(words, fmt.Sprintf("%s: %s long, %s wide", b.Name, metres(b.Length()), metres(b.Width())))
	}
	for _, p := range a.Plants {
		pieces = append(pieces, discPieces(p)...)
		words = append(words, fmt.Sprintf("propeller of the %s: %s across, %s aft of the datum", p.Name, metres(p.Diameter), metres(p.X)))
	}
	for _, w := range a.Wheels {
		pieces = append(pieces, wheelPieces(w)...)
		words = append(words, fmt.Sprintf("%s: %s aft of the datum", w.Name, metres(w.X)))
	}
	return f.threeViews("Aeroplane", pieces, "all", words, append([]Station{{CentreOfGravity, "CG", a.CG}}, stations...))
}

// bodyPieces outlines a body with its centre line at y, by its widths from above, by its heights from port, and by its largest cross-sections from behind.
func bodyPieces(b aircraft.Body, y unit.Length) []piece {
	above := piece{label: b.Name, views: [3]bool{true, false, false}}
	port := piece{label: b.Name, views: [3]bool{false, true, false}}
	wide := b.Stations[0]
	for _, t := range b.Stations {
		above.add(t.X, y+t.Width/2, t.Z)
		port.add(t.X, y, t.Z+t.Height/2)
		if t.Width*t.Height > wide.Width*wide.Height {
			wide = t
		}
	}
	for _, t := range slices.Backward(b.Stations) {
		above.add(t.X, y-t.Width/2, t.Z)
		port.add(t.X, y, t.Z-t.Height/2)
	}
	return []piece{above, port, ellipse(b.Name, wide.X, y, wide.Z, wide.Width, wide.Height)}
}

// discPieces shows a propeller as a line from above and from port, and as a circle from behind, in black and without a name: nothing else looks so.
func discPieces(p aircraft.Plant) []piece {
	r, x := p.Diameter/2, []unit.Length{p.X, p.X}
	pieces := []piece{
		{x: x, y: []unit.Length{p.Y - r, p.Y + r}, z: []unit.Length{p.Z, p.Z}, views: [3]bool{true, false, false}},
		{x: x, y: []unit.Length{p.Y, p.Y}, z: []unit.Length{p.Z - r, p.Z + r}, views: [3]bool{false, true, false}},
		ellipse("", p.X, p.Y, p.Z, p.Diameter, p.Diameter),
	}
	for i := range pieces {
		pieces[i].hollow = true
	}
	return pieces
}

// wheelPieces shows a wheel, or one on each side, as a circle from port and as a narrow ellipse from behind, in black.
func wheelPieces(w aircraft.Wheel) []piece {
	const across, wide unit.Length = 0.36, 0.12
	round := piece{views: [3]bool{false, true, false}}
	for _, t := range circle() {
		round.add(w.X+across/2*t[0], 0, w.Z+across/2*(1+t[1]))
	}
	pieces := []piece{round, ellipse("", w.X, w.Y, w.Z+across/2, wide, across)}
	if w.Y != 0 {
		pieces = append(pieces, ellipse("", w.X, -w.Y, w.Z+across/2, wide, across))
	}
	for i := range pieces {
		pieces[i].hollow = true
	}
	return pieces
}

// ellipse is one seen from behind.
func ellipse(label string, x, y, z, width, height unit.Length) piece {
	p := piece{label: label, views: [3]bool{false, false, true}}
	for _, t := range circle() {
		p.add(x, y+width/2*t[0], z+height/2*t[1])
	}
	return p
}

// circle returns points on the circle of radius 1.
func circle() [][2]unit.Ratio {
	const corners = 36
	points := make([][2]unit.Ratio, corners)
	for i := range points {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / corners)
		points[i] = [2]float64{cos, sin}
	}
	return points
}

func (p *piece) add(x, y, z unit.Length) {
	p.x, p.y, p.z = append(p.x, x), append(p.y, y), append(p.z, z)
}
