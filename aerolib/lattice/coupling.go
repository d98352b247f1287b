package lattice

import (
	"fmt"
	"math"
	"slices"

	"foreplane/aerolib/internal/lu"
	"foreplane/aerolib/section"
	"foreplane/aerolib/unit"
)

// Settings of the iteration.
const (
	converged     unit.Coefficient = 1e-9 // greatest residual
	mostSteps                      = 100
	mostHalvings                   = 8
	underRelaxing unit.Ratio       = 0.2
	slopeOver     unit.Angle       = 1e-5
)

// stopped marks an error of the stop hook.
type stopped struct{ error }

// unknown is a strip with a section, on one side: +1 starboard, −1 port.
type unknown struct {
	strip int
	side  float64
}

// coupling is a state on its way to the lift of its sections.
type coupling struct {
	m        *Model
	state    State
	along    float64  // component of the stream along x
	base     [2]side  // without turns, starboard and port
	twists   [2]*part // of unit turns
	lateral  bool     // the mesh has one half, and the flow differs between both
	unknowns []unknown
	camber   []thin
	cl       []unit.Coefficient // without turns
	response [][]unit.PerRadian // dcl of one unknown by the turn of another
}

// attempt is what the sections say to given turns.
type attempt struct {
	turns, alpha []unit.Angle
	cl, residual []unit.Coefficient
	slope        []unit.PerRadian // dcl_s cos²Λ/d sin α_e
	samples      []section.Sample
	worst        unit.Coefficient
	steps        int
}

func (m *Model) newCoupling(s State) (*coupling, error) {
	amounts, err := m.amounts(s)
	if err != nil {
		return nil, err
	}
	wanted := slices.Clone(amounts)
	if slices.ContainsFunc(m.mesh.strips, func(t strip) bool { return m.central(t) && t.section != nil }) {
		wanted[alongY] = 1 // a fin with friction is no part of symmetric flow
	}
	parts, err := m.need(wanted)
	if err != nil {
		return nil, err
	}
	c := &coupling{m: m, state: s, along: s.stream().x, base: [2]side{m.side(parts, amounts, 1), m.side(parts, amounts, -1)}}
	c.lateral = m.lateral(wanted)
	if c.twists, err = m.needTwists(c.lateral); err != nil {
		return nil, err
	}
	c.list()
	if len(c.unknowns) == 0 {
		return nil, fmt.Errorf("lattice.Viscous: no surface has sections; give its stations a Section")
	}
	c.respond()
	return c, nil
}

// list lists the unknowns.
func (c *coupling) list() {
	mesh := c.m.mesh
	for i, t := range mesh.strips {
		if t.section == nil {
			continue
		}
		c.unknowns = append(c.unknowns, unknown{i, 1})
		if c.lateral && !c.m.central(t) {
			c.unknowns = append(c.unknowns, unknown{i, -1})
		}
	}
	for _, u := range c.unknowns {
		t := mesh.strips[u.strip]
		c.camber = append(c.camber, thinCamber(t, mesh.fixed[t.first:t.first+t.rows]))
	}
}

// lateral reports whether the flow differs from port to starboard, in a mesh that has only one half.
func (m *Model) lateral(amounts []unit.Ratio) bool {
	for k, a := range amounts {
		if a != 0 && m.bases[k].parity < 0 {
			return true
		}
	}
	return false
}

// central reports whether a strip is in the plane of symmetry of a mesh that has only one half.
func (m *Model) central(t strip) bool { return m.mesh.symmetric && t.first >= m.mesh.halves }

// needTwists returns the solutions for unit turns of all strips with sections, the antisymmetric ones only if wanted.
func (m *Model) needTwists(lateral bool) ([2]*part, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	for i, parity := range []unit.Ratio{1, -1} {
		if m.twists[i] != nil || i == 1 && !lateral {
			continue
		}
		p, err := m.newTwists(m.parts[i].lu, parity)
		if err != nil {
			return m.twists, err
		}
		m.twists[i] = p
	}
	return m.twists, nil
}

func (m *Model) newTwists(factors *lu.Factors, parity unit.Ratio) (*part, error) {
	n := m.unknowns(parity)
	p := &part{gamma: make([][]unit.Length, len(m.mesh.strips)), free: make([]func(vec) vec, len(m.mesh.strips))}
	var which []int
	var columns [][]unit.Ratio
	for k, t := range m.mesh.strips {
		if t.section == nil || t.first >= n {
			continue
		}
		column := make([]unit.Ratio, n)
		for r := range t.rows {
			column[t.first+r] = -1
		}
		which, columns = append(which, k), append(columns, column)
	}
	for c, g := range m.solutions(factors, n, columns) {
		p.gamma[which[c]] = g
	}
	return p, m.velocities(p, which, parity)
}

// respond computes the lift without turns, and what a turn adds: the even part that it makes on both sides and the odd part of opposite signs, half of each.
func (c *coupling) respond() {
	mesh := c.m.mesh
	c.cl, c.response = make([]unit.Coefficient, len(c.unknowns)), make([][]unit.PerRadian, len(c.unknowns))
	for k, u := range c.unknowns {
		t := mesh.strips[u.strip]
		c.cl[k] = 2 * c.base[sideIndex(u.side)].circulation(t) / t.chord
		c.response[k] = make([]unit.PerRadian, len(c.unknowns))
		for j, by := range c.unknowns {
			even, odd := c.shares(by, u.side)
			c.response[k][j] = 2 / t.chord * (even*c.twists[0].circulation(by.strip, t) + odd*c.twists[1].circulation(by.strip, t))
		}
	}
}

// shares returns how much of the even and odd solutions a unit turn has, as seen on a side.
func (c *coupling) shares(by unknown, side unit.Ratio) (even, odd float64) {
	if !c.lateral {
		return 1, 0
	}
	if c.m.central(c.m.mesh.strips[by.strip]) {
		return 0, side
	}
	return 0.5, 0.5 * side * by.side
}

func sideIndex(side unit.Ratio) int {
	if side > 0 {
		return 0
	}
	return 1
}

// circulation returns that of a strip in the solution for a right-hand side; it is zero for one of other parity.
func (p *part) circulation(rhs int, t strip) unit.Length {
	if p == nil || p.gamma[rhs] == nil {
		return 0
	}
	return side{gamma: p.gamma[rhs]}.circulation(t)
}

// thinSlope returns a₀ of a strip.
func (c *coupling) thinSlope(t strip) unit.PerRadian {
	normal := c.m.settings.Mach * t.cosSweep
	return 2 * math.Pi * t.cosSweep / math.Sqrt(1-normal*normal)
}

// try asks the sections.
func (c *coupling) try(turns []unit.Angle) (attempt, error) {
	n := len(turns)
	a := attempt{
		turns: turns, alpha: make([]unit.Angle, n), slope: make([]unit.PerRadian, n),
		cl: make([]unit.Coefficient, n), residual: make([]unit.Coefficient, n),
	}
	for k, u := range c.unknowns {
		t := c.m.mesh.strips[u.strip]
		a.cl[k] = c.cl[k]
		for j, d := range turns {
			a.cl[k] += c.response[k][j] * d
		}
		sine := (a.cl[k]/c.thinSlope(t) - c.camber[k].angle*c.along - turns[k]) / t.cosSweep
		a.alpha[k] = math.Asin(sine)
		sample, slope, err := sectionAt(t.section, a.alpha[k])
		if err != nil {
			middle := t.middle
			middle.y *= u.side
			return a, &SectionError{Surface: c.m.mesh.surfaces[t.surface].Name, At: pointOf(middle), Alpha: a.alpha[k], Err: err}
		}
		a.samples = append(a.samples, sample)
		a.residual[k] = sample.CL*t.cosSweep*t.cosSweep - a.cl[k]
		a.slope[k] = slope * t.cosSweep / math.Cos(a.alpha[k])
		a.worst = max(a.worst, math.Abs(a.residual[k]))
	}
	return a, nil
}

// iterate returns the best attempt.
func (c *coupling) iterate(start attempt) (best attempt, err error) {
	best = start
	now := start
	for step := 0; best.worst > converged && step < mostSteps; step++ {
		if err := c.m.pause(stageIteration, float64(step)/mostSteps); err != nil {
			return best, &stopped{err}
		}
		if now, err = c.step(now); err != nil {
			return best, err
		}
		if now.worst < best.worst {
			best = now
		}
		best.steps = step + 1
	}
	return best, nil
}

// step returns the next attempt: a step of Newton, halved until the residual falls, or else a small one of each strip by itself.
func (c *coupling) step(from attempt) (attempt, error) {
	if by, ok := c.newton(from); ok {
		for range mostHalvings {
			next, err := c.try(moved(from.turns, by))
			if err == nil && next.worst < from.worst {
				return next, nil
			}
			for k := range by {
				by[k] /= 2
			}
		}
	}
	by := make([]unit.Angle, len(from.turns))
	for k, u := range c.unknowns {
		by[k] = underRelaxing * from.residual[k] / c.thinSlope(c.m.mesh.strips[u.strip])
	}
	return c.try(moved(from.turns, by))
}

func moved(from, by []unit.Angle) []unit.Angle {
	out := make([]unit.Angle, len(from))
	for k, v := range from {
		out[k] = v + by[k]
	}
	return out
}

// newton returns the step that would bring the residual to zero if all were linear, if there is one.
func (c *coupling) newton(from attempt) ([]unit.Angle, bool) {
	n := len(from.turns)
	matrix, rhs := make([]unit.PerRadian, n*n), make([]unit.Coefficient, n)
	for k, u := range c.unknowns {
		a0 := c.thinSlope(c.m.mesh.strips[u.strip])
		for j, r := range c.response[k] {
			matrix[k*n+j] = from.slope[k]*r/a0 - r
		}
		matrix[k*n+k] -= from.slope[k]
		rhs[k] = -from.residual[k]
	}
	f, err := lu.Factorise(n, matrix, nil)
	if err != nil {
		return nil, false
	}
	return f.Solve(rhs, 1), true
}

// result adds the turns, the profile drag and the moments of the sections.
func (c *coupling) result(a attempt) ViscousResult {
	m := c.m
	r := ViscousResult{Iterations: a.steps, Residual: a.worst}
	further := [2][]force{make([]force, len(m.mesh.strips)), make([]force, len(m.mesh.strips))}
	for k, u := range c.unknowns {
		sides := []float64{u.side}
		if m.mesh.symmetric && !c.lateral {
			sides = []float64{1, -1}
		}
		for _, side := range sides {
			further[sideIndex(side)][u.strip] = c.friction(k, side, a.samples[k])
			strip := c.viscousStrip(k, side, a)
			r.Sections = append(r.Sections, strip)
			r.CDp += strip.CD * strip.area / m.settings.Reference.Area
		}
	}
	starboard, port := c.turned(a.turns)
	r.Result = m.result(c.state, starboard, port, further[0], further[1])
	r.Drag = r.CDi + r.CDp
	r.Notes = append(r.Notes, r.stallNotes()...)
	return r
}

// turned returns both sides with the turns.
func (c *coupling) turned(turns []unit.Angle) (starboard, port side) {
	strips := len(c.m.mesh.strips)
	even, odd := make([]unit.Angle, strips), make([]unit.Angle, strips)
	for k, u := range c.unknowns {
		e, o := c.shares(u, 1)
		even[u.strip] += e * turns[k]
		odd[u.strip] += o * turns[k]
	}
	for i, sign := range []unit.Ratio{1, -1} {
		c.base[i].add(c.twists[0], even, 1)
		c.base[i].add(c.twists[1], odd, sign)
	}
	return c.base[0], c.base[1]
}

// friction returns profile drag and the moment of the section, less that which its camber has in the lattice, as of a strip to starboard.
func (c *coupling) friction(k int, side unit.Ratio, sample section.Sample) force {
	t, stream := c.m.mesh.strips[c.unknowns[k].strip], c.state.stream()
	if side < 0 {
		stream = stream.mirror()
	}
	area := c.m.mesh.area(t)
	var f force
	f.add(stream.times(sample.CD*area), t.middle.add(vec{t.chord / 4, 0, 0}))
	cm := sample.CM*math.Pow(t.cosSweep, 3) - c.camber[k].moment*c.along*c.thinSlope(t)/(2*math.Pi)*t.cosSweep
	f.m = f.m.add(t.quarter.times(cm * t.chord * area))
	return f
}

func (c *coupling) viscousStrip(k int, side unit.Ratio, a attempt) ViscousStrip {
	t := c.m.mesh.strips[c.unknowns[k].strip]
	middle := t.middle
	middle.y *= side
	return ViscousStrip{
		Surface: c.m.mesh.surfaces[t.surface].Name, Middle: pointOf(middle), Alpha: a.alpha[k], CL: a.cl[k], CD: a.samples[k].CD, Turn: a.turns[k],
		Beyond: a.slope[k]*a.cl[k] <= 0 && a.cl[k] != 0, PostStall: a.samples[k].PostStall, area: c.m.mesh.area(t),
	}
}
