package lattice

import (
	"math"
	"slices"

	"foreplane/aerolib/unit"
)

// mesh is the lattice: horseshoe vortices, of which the parts are kept in arrays of their own so that the loops over them run through memory in order.
//
// A line is the edge of a strip: vertices one behind the other at one y and z, the ends of bound vortices, from which trailing vortices run along x to the
// trailing edge and on along the wake. Neighbouring strips share a line where their rows agree. If the mesh is symmetric it holds the starboard half, and
// last the surfaces in the plane of symmetry.
type mesh struct {
	surfaces  []Surface
	symmetric bool
	core      unit.Length // of the wakes, between surfaces
	snap      unit.Length // step of the coordinates across x
	wake      vec         // direction of the wakes

	// Lines.
	lineStart      []int // first vertex; one more entry than lines
	lineY, lineZ   []unit.Length
	lineTE         []unit.Length // x of the trailing edge
	lineChord      []unit.Length // in true scale
	lineOf         []int         // surface
	vertexLine     []int         // line of each vertex
	x              []unit.Length // of the vertices
	strips         []strip
	point, normal  []vec        // control points and normals of the panels
	bound, segment []vec        // point of the bound vortex where the flow acts, and the vortex from port to starboard
	fixed          []unit.Angle // part of the boundary condition from twist, camber and zero-lift angle
	ownerOf        []int        // surface of each panel
	halves         int          // panels off the plane of symmetry; they come first
}

// strip is a column of panels.
type strip struct {
	surface      int
	first, rows  int // panels
	left, right  int // first vertices of the lines
	lineL, lineR int
	middle       vec // of the leading edge, at the control points
	chord, width unit.Length
	normal       vec
	along        unit.Ratio // fraction of the way along the surface
	edges        []unit.Ratio
	twist        unit.Angle
	quarter      vec        // direction of the quarter chord, to starboard
	cosSweep     unit.Ratio // of it
	section      Section
}

// end is a chord where a strip begins or ends.
type end struct {
	Station
	along unit.Ratio
}

// build makes the mesh. Lengths along x are in true scale.
func build(surfaces []Surface, s Settings, symmetric bool, wake vec) *mesh {
	m := &mesh{surfaces: surfaces, symmetric: symmetric, core: s.Core, wake: wake}
	g := newGrid(surfaces, s.Strips, s.Even)
	m.snap = 1e-12 * g.step * float64(s.Strips)
	for _, middle := range []bool{false, true} {
		for i := range surfaces {
			if (symmetric && surfaces[i].central()) == middle {
				m.addSurface(i, g, s.Rows)
			}
		}
		if !middle {
			m.halves = len(m.point)
		}
	}
	m.lineStart = append(m.lineStart, len(m.x))
	return m
}

func (m *mesh) addSurface(i int, g grid, rows int) {
	s := m.surfaces[i]
	if s.Rows > 0 {
		rows = s.Rows
	}
	ends, middles := g.divide(s)
	if s.Mirrored && !m.symmetric {
		m.addStrips(i, reflected(ends), reflected(middles), rows)
	}
	m.addStrips(i, ends, middles, rows)
}

// reflected returns the chords of the port half, from the tip to the plane of symmetry.
func reflected(ends []end) []end {
	port := slices.Clone(ends)
	slices.Reverse(port)
	for i := range port {
		port[i].LeadingEdge.Y = -port[i].LeadingEdge.Y
	}
	return port
}

func (m *mesh) addStrips(surface int, ends, middles []end, rows int) {
	edges := chordEdges(m.surfaces[surface].Controls, rows)
	m.addLine(surface, ends[0], edges)
	for k, middle := range middles {
		m.addLine(surface, ends[k+1], edges)
		m.addStrip(surface, ends[k], ends[k+1], middle, edges)
	}
}

// addLine adds the vertices of one edge of a strip, at the quarter points of its panels.
func (m *mesh) addLine(surface int, e end, edges []unit.Ratio) {
	m.lineStart = append(m.lineStart, len(m.x))
	m.lineY, m.lineZ = append(m.lineY, m.snapped(e.LeadingEdge.Y)), append(m.lineZ, m.snapped(e.LeadingEdge.Z))
	m.lineTE, m.lineChord = append(m.lineTE, e.LeadingEdge.X+e.Chord), append(m.lineChord, e.Chord)
	m.lineOf = append(m.lineOf, surface)
	for r := range len(edges) - 1 {
		m.vertexLine = append(m.vertexLine, len(m.lineY)-1)
		m.x = append(m.x, e.LeadingEdge.X+e.Chord*(edges[r]+(edges[r+1]-edges[r])/4))
	}
}

// snapped rounds a coordinate so that the lines of surfaces that touch coincide exactly and do not see each other as vortices at the distance of a rounding
// error.
func (m *mesh) snapped(v unit.Length) unit.Length { return math.Round(v/m.snap) * m.snap }

// addStrip adds the panels between the last two lines: bound vortex at a quarter of the panel, control point at three quarters, both at the middle chord.
func (m *mesh) addStrip(surface int, a, b, middle end, edges []unit.Ratio) {
	lines, rows := len(m.lineY), len(edges)-1
	s := strip{
		surface: surface, first: len(m.point), rows: rows, lineL: lines - 2, lineR: lines - 1, chord: middle.Chord, along: middle.along,
		left: m.lineStart[lines-2], right: m.lineStart[lines-1], middle: middle.LeadingEdge.vec(), edges: edges,
	}
	side := b.LeadingEdge.vec().sub(a.LeadingEdge.vec())
	side.x = 0
	s.width = side.norm()
	s.normal = vec{1, 0, 0}.cross(side.times(1 / s.width))
	f := vec{0, middle.LeadingEdge.Y - a.LeadingEdge.Y, middle.LeadingEdge.Z - a.LeadingEdge.Z}.norm() / s.width
	for r := range rows {
		size := edges[r+1] - edges[r]
		p := vec{m.x[s.left+r], a.LeadingEdge.Y, a.LeadingEdge.Z}
		q := vec{m.x[s.right+r], b.LeadingEdge.Y, b.LeadingEdge.Z}
		at := edges[r] + 0.75*size
		point := s.middle
		point.x += at * s.chord
		m.point, m.normal = append(m.point, point), append(m.normal, s.normal)
		m.bound, m.segment = append(m.bound, p.mix(q, f)), append(m.segment, q.sub(p))
		m.ownerOf = append(m.ownerOf, surface)
		m.fixed = append(m.fixed, middle.Twist-middle.ZeroLift-middle.slope(at))
	}
	s.twist, s.section, s.quarter = middle.Twist, middle.Section, m.chordLine(s, 0.25).unit()
	s.cosSweep = math.Hypot(s.quarter.y, s.quarter.z)
	m.strips = append(m.strips, s)
}

// sameHinge is the part of the chord within which hinges are one: of panels much shorter than that, rounding leaves nothing.
const sameHinge unit.Ratio = 1e-6

// chordEdges returns where panels meet along the chords of a surface: equal panels, or equal ones ahead of each hinge and behind it. Hinges divide strips
// beside their control, too: where the panels of neighbours did not line up, vortices of one could end on those of the other, where there is no velocity.
func chordEdges(controls []Control, rows int) []unit.Ratio {
	breaks := []unit.Ratio{0}
	for _, c := range controls {
		if !c.all() {
			breaks = append(breaks, 1-c.Chord)
		}
	}
	breaks = append(breaks, 1)
	slices.Sort(breaks)
	breaks = slices.CompactFunc(breaks, func(a, b unit.Ratio) bool { return math.Abs(b-a) < sameHinge })
	edges := []unit.Ratio{0}
	for i := 1; i < len(breaks); i++ {
		part := breaks[i] - breaks[i-1]
		n := max(1, int(math.Round(part*float64(rows))))
		for k := 1; k < n; k++ {
			edges = append(edges, breaks[i-1]+part*float64(k)/float64(n))
		}
		edges = append(edges, breaks[i])
	}
	return edges
}

// effect returns the part of the boundary condition that unit deflection of a control adds at each panel.
//
// Turning the normal n about the unit axis a gives a × n, of which the stream along x sees the x component.
func (m *mesh) effect(surface int, c Control) []unit.Ratio {
	out := make([]unit.Ratio, len(m.point))
	from, to := c.span()
	for _, s := range m.strips {
		if s.surface != surface || s.along < from || s.along > to {
			continue
		}
		sign := 1.0
		if c.Opposite && s.middle.y < 0 {
			sign = -1
		}
		turn := sign * m.axis(s, c).cross(s.normal).x
		for r := range s.rows {
			if c.all() || (s.edges[r]+s.edges[r+1])/2 > 1-c.Chord {
				out[s.first+r] = turn
			}
		}
	}
	return out
}

// axis returns the unit vector about which a control turns at a strip.
func (m *mesh) axis(s strip, c Control) vec {
	across := s.normal.cross(vec{1, 0, 0})
	if c.all() {
		a := c.Axis.vec()
		if a == (vec{}) {
			return across
		}
		if s.middle.y < 0 && m.surfaces[s.surface].Mirrored { // the image of the axis, still towards starboard
			a = a.mirror().times(-1)
		}
		return a.unit()
	}
	return m.chordLine(s, 1-c.Chord).unit()
}

// chordLine returns the vector from port to starboard across a strip at a fraction of the chord, before the mesh is stretched.
func (m *mesh) chordLine(s strip, fraction unit.Ratio) vec {
	l, r := s.lineL, s.lineR
	x := func(line int) float64 { return m.lineTE[line] - (1-fraction)*m.lineChord[line] }
	return vec{x(r) - x(l), m.lineY[r] - m.lineY[l], m.lineZ[r] - m.lineZ[l]}
}

// area returns the area of a strip in its own plane.
func (m *mesh) area(s strip) unit.Area {
	return (m.lineChord[s.lineL] + m.lineChord[s.lineR]) / 2 * s.width
}

// grid holds the places across the flow that all surfaces share, so that the trailing vortices of one pass along the edges of the strips of another.
type grid struct {
	knots []unit.Length // y, sorted
	step  float64       // target width of a strip
	even  bool          // strips of equal width
}

// newGrid gathers the y of all stations and ends of controls. The longest half span is divided into the given number of strips.
func newGrid(surfaces []Surface, strips int, even bool) grid {
	longest := 0.0
	g := grid{even: even}
	for _, s := range surfaces {
		length := s.along(len(s.Stations) - 1)
		if !s.Mirrored && !s.central() {
			length /= 2
		}
		longest = max(longest, length)
		for _, f := range s.breaks() {
			g.knots = append(g.knots, s.at(f).LeadingEdge.Y)
			if s.Mirrored {
				g.knots = append(g.knots, -g.knots[len(g.knots)-1])
			}
		}
	}
	g.step = longest / float64(strips)
	slices.Sort(g.knots)
	g.knots = slices.CompactFunc(g.knots, func(a, b float64) bool { return math.Abs(b-a) < 1e-6*longest })
	return g
}

// breaks returns the fractions of the way along the surface where a station stands or a control ends.
func (s Surface) breaks() []float64 {
	total := s.along(len(s.Stations) - 1)
	var f []float64
	for i := range s.Stations {
		f = append(f, s.along(i)/total)
	}
	for _, c := range s.Controls {
		from, to := c.span()
		f = append(f, from, to)
	}
	return tidy(f)
}

func tidy(f []float64) []float64 {
	slices.Sort(f)
	return slices.CompactFunc(f, func(a, b float64) bool { return math.Abs(b-a) < 1e-6 })
}

// at returns the chord at a fraction of the way along the surface.
func (s Surface) at(f float64) Station {
	total := s.along(len(s.Stations) - 1)
	for i := 1; ; i++ {
		from, to := s.along(i-1)/total, s.along(i)/total
		if f <= to || i == len(s.Stations)-1 {
			return lerp(s.Stations[i-1], s.Stations[i], (f-from)/(to-from))
		}
	}
}

// divide returns the chords between the strips of a surface, and those at the middles of the strips. Between two knots a strip begins at the cosine of
// equal angles and has its middle at the cosine of the middle angle, which gives the drag of an elliptic load without error; in the plane of symmetry, where
// nothing ends, the cosine goes on to the other side.
func (g grid) divide(s Surface) (ends, middles []end) {
	f := g.knotsOn(s)
	add := func(list *[]end, at float64) { *list = append(*list, end{s.at(at), at}) }
	add(&ends, f[0])
	for i := 1; i < len(f); i++ {
		a, b := f[i-1], f[i]
		start, n := math.Pi, g.strips(s, a, b)
		if s.Mirrored && i == 1 && s.Stations[0].LeadingEdge.Y == 0 {
			start = math.Pi / 2
		}
		place := func(k float64) float64 { // from a to b
			if g.even {
				return a + (b-a)*k/float64(n)
			}
			theta := start * (1 - k/float64(n))
			return a + (b-a)*(math.Cos(theta)-math.Cos(start))/(1-math.Cos(start))
		}
		for k := range n {
			add(&middles, place(float64(k)+0.5))
			add(&ends, place(float64(k)+1))
		}
	}
	return ends, middles
}

// knotsOn returns the breaks of a surface and, where it runs sideways, the shared knots within it, as fractions of the way along it.
func (g grid) knotsOn(s Surface) []float64 {
	f := s.breaks()
	total := s.along(len(s.Stations) - 1)
	for i := 1; i < len(s.Stations); i++ {
		a, b := s.Stations[i-1], s.Stations[i]
		dy := b.LeadingEdge.Y - a.LeadingEdge.Y
		if math.Abs(dy) < 0.1*across(a, b) {
			continue // upright: wakes of others do not pass along it
		}
		from, to := s.along(i-1)/total, s.along(i)/total
		for _, y := range g.knots {
			if t := (y - a.LeadingEdge.Y) / dy; t > 0 && t < 1 {
				f = append(f, from+t*(to-from))
			}
		}
	}
	return tidy(f)
}

// strips returns the number of strips from fraction a to b: by y where the surface runs sideways, so that surfaces above each other agree.
func (g grid) strips(s Surface, a, b float64) int {
	p, q := s.at(a).LeadingEdge, s.at(b).LeadingEdge
	width := math.Abs(q.Y - p.Y)
	if height := math.Abs(q.Z - p.Z); width < 0.1*height {
		width = height
	}
	return max(leastStrips, int(math.Ceil(width/g.step-1e-6)))
}

// leastStrips is the least number of strips between two knots, enough for the load to fall off to both.
const leastStrips = 3

// maxRows and maxStrips bound the mesh; beyond them it is an accident.
const (
	maxRows   unit.Ratio = 200
	maxStrips unit.Ratio = 2000
)

// chordMiddle returns the middle of the vortex along the chord that begins at a vertex, in true scale, and the surface it is on.
func (m *mesh) chordMiddle(vertex int, stretch unit.Ratio) (vec, int) {
	e := m.vertexLine[vertex]
	x, next := m.x[vertex], m.next(vertex, e)
	return vec{(x + next) / 2 / stretch, m.lineY[e], m.lineZ[e]}, m.lineOf[e]
}

// next returns x of the next vertex behind on a line, or of the trailing edge.
func (m *mesh) next(vertex, line int) float64 {
	if vertex+1 < m.lineStart[line+1] {
		return m.x[vertex+1]
	}
	return m.lineTE[line]
}
