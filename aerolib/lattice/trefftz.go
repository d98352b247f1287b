package lattice

import (
	"math"

	"foreplane/aerolib/unit"
)

// trefftz is the plane far behind, across the wakes: wash[i][j] is the normal velocity at the trace of strip i for unit circulation of strip j, and image that
// of its image on the port side.
type trefftz struct {
	wash, image [][]unit.PerLength
	width       []unit.Length // of the traces
}

// newTrefftz computes the influences between strips, in true scale: the rule of Prandtl and Glauert leaves them as they are.
func (m *Model) newTrefftz() *trefftz {
	mesh, n := m.mesh, len(m.mesh.strips)
	t := &trefftz{wash: make([][]unit.PerLength, n), image: make([][]unit.PerLength, n), width: make([]unit.Length, n)}
	wake := vec{mesh.wake.x / m.field.stretch, mesh.wake.y, mesh.wake.z}.unit()
	flat := func(p vec) vec { return p.sub(wake.times(p.dot(wake))) }
	left, right := make([]vec, n), make([]vec, n)
	for i, s := range mesh.strips {
		left[i], right[i] = flat(m.trailing(s.lineL)), flat(m.trailing(s.lineR))
	}
	for i, s := range mesh.strips {
		side := right[i].sub(left[i])
		t.width[i] = side.norm()
		normal := wake.cross(side.times(1 / t.width[i]))
		f := mesh.bound[s.first].sub(vec{mesh.bound[s.first].x, mesh.lineY[s.lineL], mesh.lineZ[s.lineL]}).norm() / s.width
		p := left[i].mix(right[i], f)
		t.wash[i], t.image[i] = make([]unit.PerLength, n), make([]unit.PerLength, n)
		for j := range n {
			pair := func(p, n vec) unit.PerLength { return n.dot(vortex(p, right[j], wake).sub(vortex(p, left[j], wake))) }
			t.wash[i][j] = m.withGround(p, normal, pair)
			t.image[i][j] = m.withGround(p.mirror(), normal.mirror(), pair)
		}
	}
	return t
}

func (m *Model) withGround(p, n vec, of func(p, n vec) unit.PerLength) unit.PerLength {
	v := of(p, n)
	if m.field.ground != nil {
		g := m.ground()
		v += of(g.point(p), g.direction(n))
	}
	return v
}

// trailing returns the end of a line at the trailing edge.
func (m *Model) trailing(line int) vec {
	return vec{m.mesh.lineTE[line] / m.field.stretch, m.mesh.lineY[line], m.mesh.lineZ[line]}
}

// vortex returns the velocity at p of a straight vortex of unit circulation through a along the unit vector d.
func vortex(p, a, d vec) vec {
	r := p.sub(a)
	return d.cross(r).times(1 / (2 * math.Pi * (r.dot(r) + tiniest)))
}

// normalwash returns the normal velocity in the Trefftz plane at the strips of one side, for the circulations of strips of that side and of the other.
func (t *trefftz) normalwash(same, other []unit.Length) []unit.Ratio {
	w := make([]unit.Ratio, len(same))
	for i := range w {
		for j := range same {
			w[i] += t.wash[i][j]*same[j] + t.image[i][j]*other[j]
		}
	}
	return w
}
