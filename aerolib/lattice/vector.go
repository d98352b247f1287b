package lattice

import "math"

// vec is a vector in the axes of the aeroplane.
type vec struct{ x, y, z float64 }

func (a vec) add(b vec) vec            { return vec{a.x + b.x, a.y + b.y, a.z + b.z} }
func (a vec) sub(b vec) vec            { return vec{a.x - b.x, a.y - b.y, a.z - b.z} }
func (a vec) times(s float64) vec      { return vec{s * a.x, s * a.y, s * a.z} }
func (a vec) dot(b vec) float64        { return a.x*b.x + a.y*b.y + a.z*b.z }
func (a vec) norm() float64            { return math.Sqrt(a.dot(a)) }
func (a vec) unit() vec                { return a.times(1 / a.norm()) }
func (a vec) mix(b vec, f float64) vec { return a.add(b.sub(a).times(f)) }

func (a vec) cross(b vec) vec {
	return vec{a.y*b.z - a.z*b.y, a.z*b.x - a.x*b.z, a.x*b.y - a.y*b.x}
}

// mirror returns the image in the plane of symmetry.
func (a vec) mirror() vec { return vec{a.x, -a.y, a.z} }

// mirrorAxial returns the image of an axial vector, such as a moment, in the plane of symmetry.
func (a vec) mirrorAxial() vec { return vec{-a.x, a.y, -a.z} }

func (p Point) vec() vec { return vec{p.X, p.Y, p.Z} }
