package lattice

import (
	"math"

	"foreplane/aerolib/unit"
)

// wakesClear returns a [*WakeError] if a trailing vortex passes too near to a control point of another surface, and no core radius is set.
func (m *Model) wakesClear() error {
	mesh := m.mesh
	if mesh.core > 0 {
		return nil
	}
	for _, s := range mesh.strips {
		for j := s.first; j < s.first+s.rows; j++ {
			for line := range mesh.lineY {
				for _, p := range m.images(mesh.point[j]) {
					if d := m.toWake(p, line); mesh.lineOf[line] != s.surface && d < nearWake*s.width {
						return &WakeError{
							Surface: mesh.surfaces[s.surface].Name, Wake: mesh.surfaces[mesh.lineOf[line]].Name, At: pointOf(mesh.point[j]),
							Distance: d, Least: nearWake * s.width,
						}
					}
				}
			}
		}
	}
	return nil
}

// nearWake is the least distance of a trailing vortex from a control point, in widths of the strip; matched strips have about a half.
const nearWake unit.Ratio = 0.05

// images returns a point and, in a symmetric mesh, its image.
func (m *Model) images(p vec) []vec {
	if m.mesh.symmetric {
		return []vec{p, p.mirror()}
	}
	return []vec{p}
}

// toWake returns the distance of a point from the trailing vortices of a line, in true scale.
func (m *Model) toWake(p vec, line int) unit.Length {
	te := m.trailing(line)
	r := p.sub(te)
	if r.x < 0 {
		first := m.mesh.x[m.mesh.lineStart[line]] / m.field.stretch
		r.x = min(0, p.x-first)
		return r.norm()
	}
	wake := vec{m.mesh.wake.x / m.field.stretch, m.mesh.wake.y, m.mesh.wake.z}.unit()
	return r.sub(wake.times(r.dot(wake))).norm()
}

func pointOf(v vec) Point { return Point{v.x, v.y, v.z} }

// ground returns the ground in true scale.
func (m *Model) ground() reflection {
	wake := vec{m.mesh.wake.x / m.field.stretch, m.mesh.wake.y, m.mesh.wake.z}.unit()
	return reflection{normal: wake.cross(vec{0, 1, 0}).unit(), distance: -m.settings.Ground}
}

// quad is a flat piece of a surface, its corners in order.
type quad struct {
	surface int
	corner  [4]vec
}

// quads returns the pieces of all surfaces, of mirrored ones both halves.
func quads(surfaces []Surface) []quad {
	var out []quad
	for i, s := range surfaces {
		for k := 1; k < len(s.Stations); k++ {
			a, b := s.Stations[k-1], s.Stations[k]
			p, q := a.LeadingEdge.vec(), b.LeadingEdge.vec()
			piece := quad{i, [4]vec{p, q, q.add(vec{b.Chord, 0, 0}), p.add(vec{a.Chord, 0, 0})}}
			out = append(out, piece)
			if s.Mirrored {
				for c := range piece.corner {
					piece.corner[c] = piece.corner[c].mirror()
				}
				out = append(out, piece)
			}
		}
	}
	return out
}

// collisions returns an error if surfaces coincide or pass through each other.
func (m *mesh) collisions() error {
	all := quads(m.surfaces)
	for _, a := range all {
		for _, b := range all {
			if a.surface != b.surface {
				if at, ok := a.crosses(b); ok {
					return &CrossingError{m.surfaces[a.surface].Name, m.surfaces[b.surface].Name, pointOf(at)}
				}
			}
		}
	}
	for j, p := range m.point {
		for _, q := range all {
			if q.surface != m.ownerOf[j] && q.contains(p) {
				return &CoincidentError{m.surfaces[m.ownerOf[j]].Name, m.surfaces[q.surface].Name, pointOf(p)}
			}
		}
	}
	return nil
}

// touch is the part of a length within which surfaces count as touching.
const touch unit.Ratio = 1e-6

// normal returns the normal of the quad; its corners are in one plane because chords are parallel.
func (q quad) normal() vec {
	return q.corner[2].sub(q.corner[0]).cross(q.corner[3].sub(q.corner[1])).unit()
}

// inside returns how far a point in the plane of the quad is within its edges, negative outside.
func (q quad) inside(p vec) unit.Length {
	n, least := q.normal(), unit.Length(math.Inf(1))
	for i, c := range q.corner {
		edge := q.corner[(i+1)%4].sub(c).unit()
		least = min(least, n.cross(edge).dot(p.sub(c)))
	}
	return least
}

func (q quad) contains(p vec) bool {
	scale := q.corner[2].sub(q.corner[0]).norm()
	d := p.sub(q.corner[0]).dot(q.normal())
	return -touch*scale < d && d < touch*scale && q.inside(p) > touch*scale
}

// crosses returns where an edge of q passes through o, if one does.
func (q quad) crosses(o quad) (vec, bool) {
	n, scale := o.normal(), o.corner[2].sub(o.corner[0]).norm()
	for i, a := range q.corner {
		b := q.corner[(i+1)%4]
		da, db := a.sub(o.corner[0]).dot(n), b.sub(o.corner[0]).dot(n)
		if da*db >= 0 || min(max(da, -da), max(db, -db)) < touch*scale {
			continue
		}
		if at := a.mix(b, da/(da-db)); o.inside(at) > touch*scale {
			return at, true
		}
	}
	return vec{}, false
}
