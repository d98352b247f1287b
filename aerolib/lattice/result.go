package lattice

import (
	"fmt"
	"math"
	"strings"

	"foreplane/aerolib/unit"
)

// State is a condition of flight. Angles and rates are those of the aeroplane, positive as in the root package: q nose up, p starboard wing down, r nose to
// starboard, β with the wind from starboard.
type State struct {
	Alpha, Beta unit.Angle
	P, Q, R     unit.PerLength        // rates over the speed, in rad/m
	Deflections map[string]unit.Angle // by the names of the controls; one that is not named stays at 0
	Point       Point                 // of moments and of rotation, as a rule the centre of gravity
}

// Coefficients refer to the Reference. Lift is normal to the free stream in the plane of symmetry and drag along it; CY, Cl, Cm and Cn are in the axes of
// the body, positive to starboard, starboard wing down, nose up, nose to starboard.
type Coefficients struct {
	CL, CD, CY unit.Coefficient // CD is the induced drag of the near field
	Cl, Cm, Cn unit.Coefficient
	CDi        unit.Coefficient // induced drag from the Trefftz plane, over all surfaces together; for small β
}

// Strip is what a column of panels bears.
type Strip struct {
	Surface     string
	Middle      Point       // of its leading edge
	Chord       unit.Length // there
	Width       unit.Length
	Circulation unit.Length      // Γ/V
	CL          unit.Coefficient // force normal to its plane over qS of the strip
	Downwash    unit.Angle       // −w/V in the Trefftz plane, normal to the trace of the strip
	InducedDrag unit.Area        // D/q, from the Trefftz plane
	Share       Coefficients     // what the strip adds to those of the whole
}

// Load is the share of one surface in the coefficients, on the Reference of the whole.
type Load struct {
	Surface string
	Coefficients
	OwnCL   unit.Coefficient // on the surface's own area
	OwnArea unit.Area
}

// Result is the answer for one State.
type Result struct {
	State     State
	Reference Reference
	Mach      unit.MachNumber
	Wake      Wake
	Ground    unit.Length
	Coefficients
	SpanEfficiency unit.Ratio // CL²/(π A CDi), with A = b²/S of the Reference
	Loads          []Load
	Strips         []Strip
	Notes          []string
}

// force is a force and its moment about the datum, over the dynamic pressure.
type force struct{ f, m vec }

func (a *force) add(f, at vec) {
	a.f = a.f.add(f)
	a.m = a.m.add(at.cross(f))
}

func (a force) plus(b force) force { return force{a.f.add(b.f), a.m.add(b.m)} }

// mirror returns the force on the other side.
func (a force) mirror() force { return force{a.f.mirror(), a.m.mirrorAxial()} }

// coefficients refers a force to s.Point and the reference.
func (m *Model) coefficients(a force, CDi unit.Coefficient, s State) Coefficients {
	r := m.settings.Reference
	moment := a.m.sub(s.Point.vec().cross(a.f))
	sin, cos := math.Sincos(s.Alpha)
	return Coefficients{
		CL: (a.f.z*cos - a.f.x*sin) / r.Area,
		CD: a.f.dot(s.stream()) / r.Area,
		CY: a.f.y / r.Area,
		Cl: -moment.x / (r.Area * r.Span),
		Cm: moment.y / (r.Area * r.Chord),
		Cn: -moment.z / (r.Area * r.Span), CDi: CDi,
	}
}

// stream returns the direction of the free stream.
func (s State) stream() vec {
	sa, ca := math.Sincos(s.Alpha)
	sb, cb := math.Sincos(s.Beta)
	return vec{ca * cb, -sb, sa * cb}
}

// amounts returns how much of each basis a state has. Rotation about Point is one about the datum and a uniform velocity Ω × Point.
func (m *Model) amounts(s State) ([]unit.Ratio, error) {
	if err := s.check(); err != nil {
		return nil, err
	}
	omega := vec{-s.P, s.Q, -s.R} // p and r are about axes that point forward and down
	v := s.stream()
	u := v.x
	v = v.add(omega.cross(s.Point.vec()))
	out := make([]unit.Ratio, len(m.bases))
	copy(out, []unit.Ratio{v.x, v.y, v.z, omega.x / unitRate, omega.y / unitRate, omega.z / unitRate})
	named := 0
	for i, name := range m.controls {
		d, ok := s.Deflections[name]
		if !ok {
			continue
		}
		if err := unit.CheckRange("lattice.Solve", "deflection of the "+name, d, -maxSmall, maxSmall, "°"); err != nil {
			return nil, err
		}
		out[firstControl+i] = d * u
		named++
	}
	if named < len(s.Deflections) {
		return nil, fmt.Errorf("lattice.Solve: the deflections %v name a control that does not exist; there are %q", s.Deflections, m.controls)
	}
	return out, nil
}

func (s State) check() error {
	const f = "lattice.Solve"
	for _, err := range []error{
		unit.CheckRange(f, "α", s.Alpha, -math.Pi/2, math.Pi/2, "°"),
		unit.CheckRange(f, "β", s.Beta, -math.Pi/2, math.Pi/2, "°"),
		checkFinite(f, "p/V", s.P, "1/m"),
		checkFinite(f, "q/V", s.Q, "1/m"),
		checkFinite(f, "r/V", s.R, "1/m"),
		checkFinite(f, "x of the point", s.Point.X, "m"),
		checkFinite(f, "y of the point", s.Point.Y, "m"),
		checkFinite(f, "z of the point", s.Point.Z, "m"),
	} {
		if err != nil {
			return err
		}
	}
	return nil
}

// solved returns the solutions that a state is made of, and how much of each it has.
func (m *Model) solved(s State) (parts [2]*part, amounts []unit.Ratio, err error) {
	if amounts, err = m.amounts(s); err == nil {
		parts, err = m.need(amounts)
	}
	return parts, amounts, err
}

// need returns the solutions, among them those for the given amounts.
func (m *Model) need(amounts []unit.Ratio) ([2]*part, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	for i, parity := range []unit.Ratio{1, -1} {
		wanted := false
		for k, b := range m.bases {
			wanted = wanted || b.parity == parity && amounts[k] != 0
		}
		if !wanted || m.parts[i] != nil {
			continue
		}
		p, err := m.newPart(parity)
		if err != nil {
			return m.parts, err
		}
		m.parts[i] = p
	}
	if m.far == nil {
		m.far = m.newTrefftz()
	}
	return m.parts, nil
}

// side is the flow on one half.
type side struct {
	gamma []unit.Length
	bound []vec
	chord []vec
}

// side superposes the bases; those of odd parity count with the given sign.
func (m *Model) side(parts [2]*part, amounts []unit.Ratio, sign unit.Ratio) side {
	mesh := m.mesh
	s := side{make([]unit.Length, len(mesh.point)), make([]vec, len(mesh.point)), make([]vec, len(mesh.x))}
	s.add(parts[0], amounts, 1)
	s.add(parts[1], amounts, sign)
	return s
}

// add adds the solutions of a part, by the given amounts, to s.
func (s side) add(p *part, amounts []unit.Ratio, sign unit.Ratio) {
	for k, a := range amounts {
		if p == nil || a == 0 || p.gamma[k] == nil {
			continue
		}
		a *= sign
		for j, g := range p.gamma[k] {
			s.gamma[j] += a * g
			s.bound[j] = s.bound[j].add(p.bound[k][j].times(a))
		}
		for j, v := range p.chord[k] {
			s.chord[j] = s.chord[j].add(v.times(a))
		}
	}
}

// circulation returns the sum of a strip's panels.
func (s side) circulation(t strip) unit.Length {
	sum := 0.0
	for _, g := range s.gamma[t.first : t.first+t.rows] {
		sum += g
	}
	return sum
}

// onStrip returns the force on the bound vortices of a strip and on those along its chords, 2 Γ v × l over the dynamic pressure (law of Kutta and Joukowski).
func (m *Model) onStrip(s side, t strip) force {
	var sum force
	mesh := m.mesh
	cumulated := 0.0
	for r := range t.rows {
		j := t.first + r
		sum.add(s.bound[j].cross(mesh.segment[j]).times(2*s.gamma[j]), mesh.bound[j])
		cumulated += s.gamma[j]
		m.onChord(&sum, s, t.left+r, -cumulated)
		m.onChord(&sum, s, t.right+r, cumulated)
	}
	return sum
}

func (m *Model) onChord(sum *force, s side, vertex int, gamma unit.Length) {
	at, _ := m.mesh.chordMiddle(vertex, m.field.stretch)
	length := (m.mesh.next(vertex, m.mesh.vertexLine[vertex]) - m.mesh.x[vertex]) / m.field.stretch
	sum.add(s.chord[vertex].cross(vec{length, 0, 0}).times(2*gamma), at)
}

// Solve returns loads and induced drag of a state.
//
// The free stream has its exact direction; twist, camber, zero-lift angle and deflections turn the normals to first order. It returns a [*unit.RangeError]
// for a number outside its range, an error for a control that does not exist, and what the stop hook returned.
func (m *Model) Solve(s State) (Result, error) {
	parts, amounts, err := m.solved(s)
	if err != nil {
		return Result{}, err
	}
	none := make([]force, len(m.mesh.strips))
	return m.result(s, m.side(parts, amounts, 1), m.side(parts, amounts, -1), none, none), nil
}

// result sums the strips of both halves. Further forces, of friction, may act on the strips.
func (m *Model) result(s State, starboard, port side, onStarboard, onPort []force) Result {
	c := m.settings
	r := Result{State: s, Reference: c.Reference, Mach: c.Mach, Wake: c.Wake, Ground: c.Ground}
	r.Loads = make([]Load, len(m.mesh.surfaces))
	total := make([]force, len(r.Loads))
	if !m.mesh.symmetric {
		clear(port.gamma)
	} else {
		clear(port.gamma[m.mesh.halves:])
		m.addSide(&r, total, port, starboard, onPort, true)
	}
	m.addSide(&r, total, starboard, port, onStarboard, false)
	m.total(&r, total)
	r.Notes = m.notes(s)
	return r
}

// addSide adds the strips of one half to the result. The other half induces with its circulations. Further forces are those of the half as if it were starboard.
func (m *Model) addSide(r *Result, total []force, s, opposite side, further []force, port bool) {
	mesh := m.mesh
	same, other := make([]unit.Length, len(mesh.strips)), make([]unit.Length, len(mesh.strips))
	for i, t := range mesh.strips {
		same[i], other[i] = s.circulation(t), opposite.circulation(t)
	}
	wash := m.far.normalwash(same, other)
	for i, t := range mesh.strips {
		if port && m.central(t) {
			continue
		}
		f := m.onStrip(s, t)
		out := Strip{
			Surface: mesh.surfaces[t.surface].Name, Middle: Point{t.middle.x, t.middle.y, t.middle.z}, Chord: t.chord, Width: t.width,
			Circulation: same[i], CL: f.f.dot(t.normal) / (t.chord * t.width), Downwash: -wash[i], InducedDrag: -same[i] * wash[i] * m.far.width[i],
		}
		f = f.plus(further[i])
		if port {
			f, out.Middle.Y = f.mirror(), -out.Middle.Y
		}
		out.Share = m.coefficients(f, out.InducedDrag/r.Reference.Area, r.State)
		total[t.surface] = total[t.surface].plus(f)
		r.Loads[t.surface].CDi += out.InducedDrag / r.Reference.Area
		r.Strips = append(r.Strips, out)
	}
}

// total sums the surfaces.
func (m *Model) total(r *Result, forces []force) {
	var all force
	drag := 0.0
	for i, s := range m.mesh.surfaces {
		l := &r.Loads[i]
		drag += l.CDi
		l.Surface, l.OwnArea, l.Coefficients = s.Name, s.Area(), m.coefficients(forces[i], l.CDi, r.State)
		l.OwnCL = l.CL * r.Reference.Area / l.OwnArea
		all = all.plus(forces[i])
	}
	r.Coefficients = m.coefficients(all, drag, r.State)
	r.SpanEfficiency = r.CL * r.CL * r.Reference.Area / (math.Pi * r.Reference.Span * r.Reference.Span * r.CDi)
}

// Bounds beyond which a result carries a note; common practice.
const (
	doubtfulMach  unit.MachNumber = 0.7
	doubtfulAngle unit.Angle      = 15 * unit.Degree
)

func (m *Model) notes(s State) []string {
	var notes []string
	if m.settings.Mach > doubtfulMach {
		notes = append(notes, fmt.Sprintf("Mach %.2f is above %.1f, where the rule of Prandtl and Glauert is doubtful.", m.settings.Mach, doubtfulMach))
	}
	if math.Abs(s.Alpha) > doubtfulAngle || math.Abs(s.Beta) > doubtfulAngle {
		notes = append(notes, "The stream is inclined by more than 15°: real surfaces stall, the lattice does not.")
	}
	if w := m.settings.Wake; w != (Wake{}) && (math.Abs(w.Alpha-s.Alpha) > unit.Degree || math.Abs(w.Beta-s.Beta) > unit.Degree) {
		notes = append(notes, fmt.Sprintf("The wakes follow another stream than that of the state: %s.", w))
	}
	return notes
}

// String writes the coefficients, the surfaces, how the wakes run, and the notes.
func (r Result) String() string {
	var b strings.Builder
	fmt.Fprintf(&b, "α %s, β %s, Mach %.2f, %s", unit.Format(r.State.Alpha, "°"), unit.Format(r.State.Beta, "°"), r.Mach, r.Wake)
	if r.Ground > 0 {
		fmt.Fprintf(&b, ", ground %s below the datum", unit.Format(r.Ground, "m"))
	}
	fmt.Fprintf(&b, "\nCL %.4f, CDi %.5f, e %.3f, Cm %.4f\n", r.CL, r.CDi, r.SpanEfficiency, r.Cm)
	for _, l := range r.Loads {
		fmt.Fprintf(&b, "%12s: CL %.4f (%.4f on its own area), CDi %.5f, Cm %.4f\n", l.Surface, l.CL, l.OwnCL, l.CDi, l.Cm)
	}
	for _, n := range r.Notes {
		b.WriteString(n + "\n")
	}
	return b.String()
}
