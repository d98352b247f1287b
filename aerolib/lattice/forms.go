package lattice

import (
	"math"
	"slices"

	"foreplane/aerolib/unit"
)

// forms are the force and the induced drag of the whole as quadratic forms in the amounts of the bases: what the circulation of basis a bears in the velocity
// of basis b. With them a state costs a few hundred multiplications, whatever the number of panels.
type forms struct {
	parts [2]*part // that went into them
	pairs []pair
}

type pair struct {
	a, b  int
	force force
	drag  unit.Area // D/q in the Trefftz plane
}

// quadratic returns the forms for all bases that have been solved.
func (m *Model) quadratic() *forms {
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.sums != nil && m.sums.parts == m.parts {
		return m.sums
	}
	f := &forms{parts: m.parts}
	for b, basis := range m.bases {
		wash := m.washOf(b)
		for a := range m.bases {
			if p, q := m.partOf(a), m.partOf(b); p != nil && q != nil {
				s := side{p.gamma[a], q.bound[b], q.chord[b]}
				f.pairs = append(f.pairs, m.newPair(a, b, s, wash, m.bases[a].parity*basis.parity))
			}
		}
	}
	m.sums = f
	return f
}

// partOf returns the solution that a basis belongs to, or nil.
func (m *Model) partOf(basis int) *part {
	if m.bases[basis].parity > 0 {
		return m.parts[0]
	}
	return m.parts[1]
}

// washOf returns the normal velocity in the Trefftz plane that a basis gives at the strips, or nil if it has not been solved.
func (m *Model) washOf(basis int) []unit.Ratio {
	p := m.partOf(basis)
	if p == nil {
		return nil
	}
	s := side{gamma: p.gamma[basis]}
	same, other := make([]unit.Length, len(m.mesh.strips)), make([]unit.Length, len(m.mesh.strips))
	for i, t := range m.mesh.strips {
		same[i] = s.circulation(t)
		if m.mesh.symmetric && t.first < m.mesh.halves {
			other[i] = m.bases[basis].parity * same[i]
		}
	}
	return m.far.normalwash(same, other)
}

// newPair sums over the strips of both sides; on the port side bases of unlike parity act with the other sign.
func (m *Model) newPair(a, b int, s side, wash []unit.Ratio, parity unit.Ratio) pair {
	out := pair{a: a, b: b}
	for i, t := range m.mesh.strips {
		f := m.onStrip(s, t)
		drag := -s.circulation(t) * wash[i] * m.far.width[i]
		out.force, out.drag = out.force.plus(f), out.drag+drag
		if m.mesh.symmetric && t.first < m.mesh.halves {
			port := f.mirror()
			out.force = out.force.plus(force{port.f.times(parity), port.m.times(parity)})
			out.drag += parity * drag
		}
	}
	return out
}

// Coefficients returns what [Model.Solve] does for the whole aeroplane, without the surfaces and strips and much faster: for sweeps and trim.
func (m *Model) Coefficients(s State) (Coefficients, error) {
	_, amounts, err := m.solved(s)
	if err != nil {
		return Coefficients{}, err
	}
	var sum force
	var drag unit.Area
	for _, p := range m.quadratic().pairs {
		if c := amounts[p.a] * amounts[p.b]; c != 0 {
			sum.f = sum.f.add(p.force.f.times(c))
			sum.m = sum.m.add(p.force.m.times(c))
			drag += c * p.drag
		}
	}
	return m.coefficients(sum, drag/m.settings.Reference.Area, s), nil
}

// Derivatives are the slopes of all coefficients at a state: by radian, and by the rates pb/2V, qc/2V and rb/2V.
type Derivatives struct {
	State       State
	At          Coefficients // in the state itself
	Alpha, Beta Coefficients
	P, Q, R     Coefficients
	Controls    map[string]Coefficients
	// NeutralPoint is the station about which Cm does not change with α, x − c Cmα/CLα.
	NeutralPoint unit.Length
}

// slopeStep is the step of the central differences; coefficients are quadratic in all but the sines of α and β, so their error is below 1e-8 of them.
const slopeStep = 1e-4

// Derivatives returns the slopes at a state. They cost no factorisation beyond the two of the model.
func (m *Model) Derivatives(s State) (Derivatives, error) {
	d := Derivatives{State: s, Controls: map[string]Coefficients{}}
	ref := m.settings.Reference
	var err error
	slope := func(change func(s *State, by float64)) (c Coefficients) {
		if err == nil {
			c, err = m.slope(s, change)
		}
		return c
	}
	d.Alpha = slope(func(s *State, by float64) { s.Alpha += by })
	d.Beta = slope(func(s *State, by float64) { s.Beta += by })
	d.P = slope(func(s *State, by float64) { s.P += by * 2 / ref.Span })
	d.Q = slope(func(s *State, by float64) { s.Q += by * 2 / ref.Chord })
	d.R = slope(func(s *State, by float64) { s.R += by * 2 / ref.Span })
	for _, name := range m.controls {
		d.Controls[name] = slope(func(s *State, by float64) { *s = s.deflected(name, by) })
	}
	if err != nil {
		return d, err
	}
	d.At, err = m.Coefficients(s)
	d.NeutralPoint = s.Point.X - ref.Chord*d.Alpha.Cm/d.Alpha.CL
	return d, err
}

func (m *Model) slope(s State, change func(s *State, by float64)) (Coefficients, error) {
	up, down := s, s
	change(&up, slopeStep)
	change(&down, -slopeStep)
	a, err := m.Coefficients(down)
	if err != nil {
		return a, err
	}
	b, err := m.Coefficients(up)
	by := func(x, y unit.Coefficient) unit.Coefficient { return (y - x) / (2 * slopeStep) }
	return Coefficients{
		CL: by(a.CL, b.CL), CD: by(a.CD, b.CD), CY: by(a.CY, b.CY), CDi: by(a.CDi, b.CDi),
		Cl: by(a.Cl, b.Cl), Cm: by(a.Cm, b.Cm), Cn: by(a.Cn, b.Cn),
	}, err
}

// Velocity is a velocity over that of the free stream.
type Velocity struct{ X, Y, Z unit.Ratio }

// Induced returns the velocities that the lattice adds to the free stream at the given points, with Z the upwash. It returns an error for a point on a
// vortex.
func (m *Model) Induced(s State, points []Point) ([]Velocity, error) {
	parts, amounts, err := m.solved(s)
	if err != nil {
		return nil, err
	}
	for _, p := range points {
		if v := p.X + p.Y + p.Z; math.IsNaN(v) || math.IsInf(v, 0) {
			return nil, &unit.RangeError{Func: "lattice.Induced", Arg: "a coordinate of the point", Value: v, Min: math.Inf(-1), Max: math.Inf(1), Unit: "m"}
		}
	}
	starboard, port := m.side(parts, amounts, 1), m.side(parts, amounts, -1)
	even, odd := make([]unit.Length, len(starboard.gamma)), make([]unit.Length, len(starboard.gamma))
	for i := range even {
		even[i], odd[i] = (starboard.gamma[i]+port.gamma[i])/2, (starboard.gamma[i]-port.gamma[i])/2
	}
	unsymmetric := slices.ContainsFunc(odd, func(g unit.Length) bool { return g != 0 })
	out := make([]Velocity, len(points))
	err = m.parallel(stageInduced, len(points), func(i int, w *scratch) {
		at := probe{points[i].vec(), nowhere, nowhere}
		m.induced(at, 1, []int{0}, [][]unit.Length{even}, w)
		v := w.sum[0]
		if unsymmetric {
			m.induced(at, -1, []int{0}, [][]unit.Length{odd}, w)
			v = v.add(w.sum[0])
		}
		out[i] = Velocity{v.x, v.y, v.z}
	})
	for i, v := range out {
		if sum := v.X + v.Y + v.Z; err == nil && (math.IsNaN(sum) || math.IsInf(sum, 0)) {
			err = &VortexError{At: points[i]}
		}
	}
	return out, err
}

// InducedDrags returns the induced drag of each surface in the wake of each, in the Trefftz plane, as a coefficient on the Reference: the element i, j is what surface
// i has in the wake of surface j. The sum is CDi; the elements i, j and j, i together are the mutual drag 2σL₁L₂/(π q b₁b₂) of Prandtl.
func (m *Model) InducedDrags(s State) ([][]unit.Coefficient, error) {
	parts, amounts, err := m.solved(s)
	if err != nil {
		return nil, err
	}
	out := make([][]unit.Coefficient, len(m.mesh.surfaces))
	for i := range out {
		out[i] = make([]unit.Coefficient, len(out))
	}
	starboard, port := m.side(parts, amounts, 1), m.side(parts, amounts, -1)
	if m.mesh.symmetric {
		clear(port.gamma[m.mesh.halves:])
		m.addDrags(out, port, starboard, true)
	} else {
		clear(port.gamma)
	}
	m.addDrags(out, starboard, port, false)
	return out, nil
}

// addDrags adds the drags of the strips of one half.
func (m *Model) addDrags(out [][]unit.Coefficient, s, opposite side, port bool) {
	strips := m.mesh.strips
	for j := range out {
		same, other := make([]unit.Length, len(strips)), make([]unit.Length, len(strips))
		for i, t := range strips {
			if t.surface == j {
				same[i], other[i] = s.circulation(t), opposite.circulation(t)
			}
		}
		for i, w := range m.far.normalwash(same, other) {
			if t := strips[i]; !port || !m.central(t) {
				out[t.surface][j] -= s.circulation(t) * w * m.far.width[i] / m.settings.Reference.Area
			}
		}
	}
}

// Interference returns what each surface does to each: the mean downwash w/V, normal to the panels of surface i, that surface j induces at its control
// points, as the element i, j. Both halves of mirrored surfaces count; the diagonal is what a surface does to itself.
func (m *Model) Interference(s State) ([][]unit.Angle, error) {
	parts, amounts, err := m.solved(s)
	if err != nil {
		return nil, err
	}
	flux, area, err := m.flux(m.side(parts, amounts, 1), m.side(parts, amounts, -1))
	if err != nil {
		return nil, err
	}
	out := make([][]unit.Angle, len(flux))
	for i, row := range flux {
		out[i] = make([]unit.Angle, len(row))
		for j, f := range row {
			out[i][j] = f / area[i]
		}
	}
	return out, nil
}

// flux returns the sum of downwash times area over the panels of each surface, by the surface that makes it, and the areas of one half.
func (m *Model) flux(starboard, port side) (sum [][]unit.Area, area []unit.Area, err error) {
	mesh, n := m.mesh, len(m.mesh.surfaces)
	sum, area = make([][]unit.Area, n), make([]unit.Area, n)
	for i := range sum {
		sum[i] = make([]unit.Area, n)
	}
	w := mesh.scratch()
	for i, t := range mesh.strips {
		if err := m.pause(stageInduced, float64(i)/float64(len(mesh.strips))); err != nil {
			return nil, nil, err
		}
		var parity, sign unit.Ratio = 1, 1
		if m.central(t) { // only the odd part has a wash there; elsewhere the mean of both sides is the even part
			parity, sign = -1, -1
		}
		for r := range t.rows {
			j := t.first + r
			clear(w.row)
			m.field.flow(probe{m.field.at(mesh.point[j]), t.surface, nowhere}, mesh.normal[j], parity, w.row, w)
			size := t.chord * t.width * (t.edges[r+1] - t.edges[r])
			area[t.surface] += size
			for k, v := range w.row {
				sum[t.surface][mesh.ownerOf[k]] -= size * v * (starboard.gamma[k] + sign*port.gamma[k]) / 2
			}
		}
	}
	return sum, area, nil
}
