package aircraft

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/integrate/quad"

	"foreplane/aerolib/unit"
)

// Body is a fuselage, pod or boom: elliptic cross-sections at stations from nose to tail, between which width, height and centre line vary linearly. One beside the
// plane of symmetry has an image on the other side; lengths, areas and volumes are those of one.
type Body struct {
	Name     string
	Y        unit.Length // of the centre line, which runs parallel to the plane of symmetry
	Stations []BodyStation
}

// Count returns how many there are: two of a body that has an image.
func (b Body) Count() unit.Ratio {
	if b.Y != 0 {
		return 2
	}
	return 1
}

// BodyStation is one cross-section.
type BodyStation struct {
	X, Z          unit.Length // of its centre
	Width, Height unit.Length
}

func (t BodyStation) to(u BodyStation, f unit.Ratio) BodyStation {
	return BodyStation{mix(t.X, u.X, f), mix(t.Z, u.Z, f), mix(t.Width, u.Width, f), mix(t.Height, u.Height, f)}
}

// area returns that of the ellipse.
func (t BodyStation) area() unit.Area { return math.Pi / 4 * t.Width * t.Height }

// Length returns the distance from the first station to the last.
func (b Body) Length() unit.Length { return b.Stations[len(b.Stations)-1].X - b.Stations[0].X }

// At returns the cross-section at x, which is empty ahead of the body and behind it.
func (b Body) At(x unit.Length) BodyStation {
	for i := 1; i < len(b.Stations); i++ {
		a, c := b.Stations[i-1], b.Stations[i]
		if a.X <= x && x <= c.X {
			return a.to(c, (x-a.X)/(c.X-a.X))
		}
	}
	return BodyStation{X: x}
}

// largest returns the station of the largest cross-section.
func (b Body) largest() BodyStation {
	return slices.MaxFunc(b.Stations, func(t, u BodyStation) int {
		switch {
		case t.area() < u.area():
			return -1
		case t.area() > u.area():
			return 1
		}
		return 0
	})
}

// FrontalArea returns the area of the largest cross-section.
func (b Body) FrontalArea() unit.Area { return b.largest().area() }

// Width returns the greatest width.
func (b Body) Width() unit.Length {
	widest := 0.0
	for _, t := range b.Stations {
		widest = max(widest, t.Width)
	}
	return widest
}

// Diameter returns that of the circle of the frontal area.
func (b Body) Diameter() unit.Length { return math.Sqrt(4 / math.Pi * b.FrontalArea()) }

// Fineness returns length over diameter.
func (b Body) Fineness() unit.Ratio { return b.Length() / b.Diameter() }

// BaseArea returns the area of the last cross-section, which is not zero on a body that ends bluntly, as ahead of a spinner.
func (b Body) BaseArea() unit.Area { return b.Stations[len(b.Stations)-1].area() }

// Volume returns ∫ π/4 · width · height dx. Between stations the integrand is quadratic, for which Simpson's rule is exact.
func (b Body) Volume() unit.Volume {
	sum := 0.0
	for i := 1; i < len(b.Stations); i++ {
		t, u := b.Stations[i-1], b.Stations[i]
		sum += (t.area() + 4*t.to(u, 0.5).area() + u.area()) / 6 * (u.X - t.X)
	}
	return sum
}

// WettedArea returns the area of the skin, without flat ends:
//
//	S = ∫∫ |r_x × r_φ| dφ dx,   r = (x, w/2 cos φ, z + h/2 sin φ)
//
// by Gauss's rule along x and equal steps around, exact to about six figures for shapes of bodies. What wings cover is not taken off.
func (b Body) WettedArea() unit.Area {
	sum := 0.0
	for i := 1; i < len(b.Stations); i++ {
		t, u := b.Stations[i-1], b.Stations[i]
		length := u.X - t.X
		sum += length * quad.Fixed(func(f float64) float64 { return girth(t, u, f, length) }, 0, 1, 12, nil, 0)
	}
	return sum
}

// girth returns ∫ |r_x × r_φ| dφ around the section at fraction f between two stations.
func girth(t, u BodyStation, f unit.Ratio, length unit.Length) unit.Length {
	const steps = 96
	s := t.to(u, f)
	dw, dh, dz := (u.Width-t.Width)/2/length, (u.Height-t.Height)/2/length, (u.Z-t.Z)/length
	sum := 0.0
	for i := range steps {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / steps)
		ry, rz := -s.Width/2*sin, s.Height/2*cos // r_φ
		xy, xz := dw*cos, dz+dh*sin              // r_x, with 1 along x
		sum += math.Sqrt(square(xy*rz-xz*ry) + square(rz) + square(ry))
	}
	return sum * 2 * math.Pi / steps
}

func square(x float64) float64 { return x * x }

// inside reports whether a point lies within the body, or within its image.
func (b Body) inside(x, y, z unit.Length) bool {
	s := b.At(x)
	return s.Width > 0 && s.Height > 0 && square((math.Abs(y)-b.Y)/(s.Width/2))+square((z-s.Z)/(s.Height/2)) < 1
}
