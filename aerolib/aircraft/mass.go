package aircraft

import (
	"errors"

	"foreplane/aerolib/unit"
)

// MassItem is one entry of the mass list. An item of loading, such as fuel or an occupant, has a greatest mass Max.
type MassItem struct {
	Name     string
	Mass     unit.Mass
	X, Y, Z  unit.Length // of its centre of gravity
	Min, Max unit.Mass   // of an item of loading
	Box      Box         // extent, if it is as inert as an even box; a rod is a box with two sides of 0
	Own      Inertia     // about its own centre of gravity, if stated
}

// Box is the extent of something along the axes.
type Box struct{ X, Y, Z unit.Length }

// Loading reports whether the item changes from flight to flight.
func (m MassItem) Loading() bool { return m.Max > 0 }

// inertia returns that about its own centre of gravity: of a box,
//
//	I_xx = m (b² + c²)/12   and so on
func (m MassItem) inertia() Inertia {
	k := m.Mass / 12
	x, y, z := m.Box.X*m.Box.X, m.Box.Y*m.Box.Y, m.Box.Z*m.Box.Z
	return m.Own.plus(Inertia{XX: k * (y + z), YY: k * (x + z), ZZ: k * (x + y)})
}

// Inertia is the inertia of a body about the axes through a point, in the axes of the library: x aft, y to starboard, z up. Products are ∫xy dm and so on, with
// their sign; the tensor has them negative. In the axes of flight dynamics, x forward and z down, they are the same but for XY and YZ, which change sign.
type Inertia struct {
	XX, YY, ZZ unit.MomentOfInertia // ∫(y² + z²) dm, ∫(x² + z²) dm, ∫(x² + y²) dm
	XY, YZ, XZ unit.MomentOfInertia // ∫xy dm, ∫yz dm, ∫xz dm
}

func (i Inertia) plus(j Inertia) Inertia {
	return Inertia{i.XX + j.XX, i.YY + j.YY, i.ZZ + j.ZZ, i.XY + j.XY, i.YZ + j.YZ, i.XZ + j.XZ}
}

// Tensor returns the matrix that turns an angular velocity into angular momentum.
func (i Inertia) Tensor() [3][3]unit.MomentOfInertia {
	return [3][3]float64{{i.XX, -i.XY, -i.XZ}, {-i.XY, i.YY, -i.YZ}, {-i.XZ, -i.YZ, i.ZZ}}
}

// Balance is what a mass list sums to.
type Balance struct {
	Mass    unit.Mass
	X, Y, Z unit.Length // centre of gravity
	Inertia Inertia     // about it
}

// Weigh sums a mass list. With r_i from the common centre of gravity, by the theorem of parallel axes,
//
//	x_cg = Σ m_i x_i/Σ m_i,   I_xx = Σ (I_xx,i + m_i (y_i² + z_i²)),   ∫xz dm = Σ (∫xz dm_i + m_i x_i z_i)
//
// and so on. It returns an error for a list without mass.
func Weigh(items []MassItem) (Balance, error) {
	var b Balance
	var x, y, z unit.MassMoment
	for _, m := range items {
		b.Mass += m.Mass
		x += m.Mass * m.X
		y += m.Mass * m.Y
		z += m.Mass * m.Z
	}
	if !(b.Mass > 0) {
		return Balance{}, errors.New("aircraft.Weigh: the list of masses has no mass")
	}
	b.X, b.Y, b.Z = x/b.Mass, y/b.Mass, z/b.Mass
	for _, m := range items {
		x, y, z := m.X-b.X, m.Y-b.Y, m.Z-b.Z
		b.Inertia = b.Inertia.plus(m.inertia()).plus(Inertia{
			XX: m.Mass * (y*y + z*z), YY: m.Mass * (x*x + z*z), ZZ: m.Mass * (x*x + y*y),
			XY: m.Mass * x * y, YZ: m.Mass * y * z, XZ: m.Mass * x * z,
		})
	}
	return b, nil
}

// Balance returns the sum of the mass list as it stands, whatever Mass and CG say.
func (a Aircraft) Balance() (Balance, error) { return Weigh(a.Masses) }
