package lattice

import (
	"math"

	"foreplane/aerolib/unit"
)

// scratch is the work space of one goroutine.
type scratch struct {
	r, dx []unit.Length    // per vertex
	leg   []unit.PerLength // the same
	row   []unit.PerLength // per panel
	sum   []vec            // per right-hand side
}

func (m *mesh) scratch() *scratch {
	n := len(m.x)
	return &scratch{r: make([]float64, n), dx: make([]float64, n), leg: make([]float64, n), row: make([]float64, len(m.point))}
}

// tinyCore keeps a vortex that passes exactly through a probe from dividing zero by zero, as a fraction of squares; it changes nothing else.
const tinyCore unit.Ratio = 1e-12

// tiniest does the same where squares have a length.
const tiniest unit.Area = 1e-18

// probe is a place at which velocities are wanted, in the coordinates of the field. Trailing vortices of its own surface have no core, and if it lies on the
// bound vortex of a panel that one, whose velocity there is a matter of rounding, is left out.
type probe struct {
	vec
	surface int
	panel   int // on whose bound vortex it lies
}

// nowhere is the surface or panel of a probe that lies on none.
const nowhere = -1

// row adds sign·n·v for each panel to out, v being the velocity at p that the horseshoe vortex of the panel gives for unit circulation.
//
// A trailing vortex from a vertex, with r from the vertex to p and h the part of r across x, gives (1/4π) (x̂ × r)/h² (1 + r_x/r); a bound vortex from A
// to B gives (1/4π) (a × b)(|a| + |b|)/(|a||b|(|a||b| + a·b)), with a and b from its ends to p ([Katz], sec. 10.4.5). What both share is computed once for
// each vertex.
func (m *mesh) row(p probe, n vec, sign unit.Ratio, out []unit.PerLength, w *scratch) {
	m.legs(p, n, w)
	sign /= 4 * math.Pi
	for i := range m.strips {
		s := &m.strips[i]
		ya, za := p.y-m.lineY[s.lineL], p.z-m.lineZ[s.lineL]
		yb, zb := p.y-m.lineY[s.lineR], p.z-m.lineZ[s.lineR]
		xx, yz := n.x*(ya*zb-za*yb), ya*yb+za*zb
		ca, cb := n.z*yb-n.y*zb, n.y*za-n.z*ya // n·(a × b) = xx + x_a ca + x_b cb
		l, r := s.left, s.right
		ra, xa, la := w.r[l:l+s.rows], w.dx[l:l+s.rows], w.leg[l:l+s.rows]
		rb, xb, lb := w.r[r:r+s.rows], w.dx[r:r+s.rows], w.leg[r:r+s.rows]
		row := out[s.first : s.first+s.rows]
		for j := range row {
			product := ra[j] * rb[j]
			triple := xx + xa[j]*ca + xb[j]*cb
			b := triple * (ra[j] + rb[j]) / (product * (product*(1+tinyCore) + xa[j]*xb[j] + yz))
			if s.first+j == p.panel {
				b = 0
			}
			row[j] += sign * (b + lb[j] - la[j])
		}
	}
}

// legs computes for each vertex its distance from p and the normal velocity of the trailing vortex that starts there, without the factor 1/4π.
func (m *mesh) legs(p probe, n vec, w *scratch) {
	tilted := m.wake.y != 0 || m.wake.z != 0
	for e := range m.lineY {
		y, z := p.y-m.lineY[e], p.z-m.lineZ[e]
		var core unit.Area
		if m.lineOf[e] != p.surface {
			core = m.core * m.core
		}
		h := y*y + z*z
		k := (n.z*y - n.y*z) / (h + core + tiniest)
		var beyond unit.PerLength
		if tilted {
			beyond = m.beyond(vec{p.x - m.lineTE[e], y, z}, n, k, core)
		}
		from, to := m.lineStart[e], m.lineStart[e+1]
		x, r, dx, leg := m.x[from:to], w.r[from:to], w.dx[from:to], w.leg[from:to]
		for v := range x {
			d := p.x - x[v]
			q := math.Sqrt(d*d + h)
			r[v], dx[v], leg[v] = q, d, k*(1+d/q)+beyond
		}
	}
}

// beyond returns what changes if a trailing vortex turns from the x axis to the direction of the wake at the trailing edge, seen at r from there.
func (m *mesh) beyond(r, n vec, k unit.PerLength, core unit.Area) unit.PerLength {
	length := r.norm()
	along := r.dot(m.wake)
	turned := m.wake.cross(r)
	return n.dot(turned)/(turned.dot(turned)+core+tiniest)*(1+along/length) - k*(1+r.x/length)
}

// reflection is a plane in which the flow has an image: through the datum with the given unit normal, at the given distance along it.
type reflection struct {
	normal   vec
	distance unit.Length
}

func (r reflection) point(p vec) vec {
	return p.sub(r.normal.times(2 * (p.dot(r.normal) - r.distance)))
}

func (r reflection) direction(d vec) vec { return d.sub(r.normal.times(2 * d.dot(r.normal))) }

// flow adds all images to out, which must be zero: row for the vortices themselves, their images on the port side with the given parity (+1 for a symmetric
// flow, −1 for an antisymmetric one), and the images of both below the ground.
//
// The image of a horseshoe in a plane through which nothing flows turns the other way, so its velocity at p is the reflection of what the horseshoe itself
// gives at the reflection of p. Surfaces in the plane of symmetry are their own images and are counted once.
func (f *field) flow(p probe, n vec, parity unit.Ratio, out []unit.PerLength, w *scratch) {
	m := f.mesh
	if m.symmetric {
		f.grounded(probe{p.mirror(), p.surface, nowhere}, n.mirror(), parity, out, w)
		clear(out[m.halves:])
	}
	f.grounded(p, n, 1, out, w)
}

func (f *field) grounded(p probe, n vec, sign unit.Ratio, out []unit.PerLength, w *scratch) {
	f.mesh.row(p, n, sign, out, w)
	if f.ground != nil {
		f.mesh.row(probe{f.ground.point(p.vec), nowhere, nowhere}, f.ground.direction(n), sign, out, w)
	}
}
