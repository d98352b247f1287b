package lattice

import (
	"fmt"
	"math"
	"sync"

	"foreplane/aerolib/unit"
)

// Reference states what coefficients refer to.
type Reference struct {
	Area  unit.Area
	Chord unit.Length // of Cm and the pitch rate
	Span  unit.Length // of Cl, Cn, roll and yaw rate, and the span efficiency
}

// Wake is the direction of the trailing vortices behind the trailing edges. The zero value is along x; otherwise they follow the free stream of the given
// angles, whatever the angles of the State that is solved.
type Wake struct {
	Alpha, Beta unit.Angle
}

// String says how the wakes run.
func (w Wake) String() string {
	if w == (Wake{}) {
		return "wakes along x"
	}
	return fmt.Sprintf("wakes along the free stream at α %s, β %s", unit.Format(w.Alpha, "°"), unit.Format(w.Beta, "°"))
}

// Settings are the choices of the method.
type Settings struct {
	Reference Reference
	Mach      unit.MachNumber // 0 is incompressible
	Wake      Wake
	// Ground is the height of the datum above a ground parallel to the wakes; 0 is free air.
	Ground unit.Length
	Core   unit.Length // radius within which trailing vortices fade for surfaces other than their own; 0 is none
	Rows   int         // panels along the chord; 0 is 6
	Strips int         // strips on the longest half span; 0 is 24
	Even   bool        // strips of equal width, where the rule is by the cosine
	Whole  bool        // solve both halves even if they are images of each other

	// Stop is asked from time to time; an error ends the computation and is returned. The Err of a context fits. Nil never stops.
	Stop func() error
	// Progress, if not nil, is told which stage a computation has reached ("assembly", "factorisation", "velocities", "induced", "iteration", "sweep") and which part of it
	// is done.
	Progress func(stage string, done unit.Ratio)
}

// The stages that Progress is told.
const (
	stageAssembly      = "assembly"
	stageFactorisation = "factorisation"
	stageVelocities    = "velocities"
	stageInduced       = "induced"
	stageIteration     = "iteration"
	stageSweep         = "sweep"
)

// Default numbers of panels.
const (
	defaultRows   = 6
	defaultStrips = 24
)

// field is the flow of a mesh and its images, in coordinates stretched along x by the rule of Prandtl and Glauert.
type field struct {
	mesh    *mesh
	ground  *reflection
	stretch unit.Ratio // 1/√(1 − M²)
}

// at returns a place in the stretched coordinates.
func (f *field) at(p vec) vec { return vec{p.x * f.stretch, p.y, p.z} }

// Model is a geometry at one Mach number, factorised. It may be used by several goroutines at once.
type Model struct {
	settings Settings
	field    *field
	mesh     *mesh
	bases    []basis
	controls []string

	mu      sync.Mutex
	parts   [2]*part // symmetric and antisymmetric solutions, as needed
	twists  [2]*part // the same of unit turns of single strips
	factors int      // number of factorisations so far
	far     *trefftz
	sums    *forms
}

// basis is a part of the flow with its own right-hand side.
type basis struct {
	free   func(p vec) vec // velocity without the lattice; nil for a deflection
	effect []unit.Ratio    // of the boundary condition, besides
	parity unit.Ratio      // +1 symmetric, −1 antisymmetric
}

// The bases before those of the controls.
const (
	alongX = iota
	alongY
	alongZ
	aboutX
	aboutY
	aboutZ
	firstControl
)

// unitRate is the rate over the speed of the bases that rotate, so that amounts of all bases are plain numbers.
const unitRate unit.PerLength = 1

// New describes the flow about surfaces: a vortex lattice with wakes that are straight. It computes nothing yet; the first state that is solved costs one
// factorisation for symmetric flow, the first unsymmetric one a second, and no other state any more.
//
// Errors are a [*SpanError], a [*CrossingError], a [*CoincidentError], a [*WakeError], and a [*unit.RangeError] or [*unit.PositiveError] for a number outside
// its range, among them a Mach number of 1 and above, and what is not a number.
func New(surfaces []Surface, s Settings) (*Model, error) {
	if err := check(surfaces, &s); err != nil {
		return nil, err
	}
	a, b := s.Wake.Alpha, s.Wake.Beta
	wake := vec{math.Cos(a) * math.Cos(b), -math.Sin(b), math.Sin(a) * math.Cos(b)}
	symmetric := !s.Whole && b == 0
	for _, f := range surfaces {
		symmetric = symmetric && (f.Mirrored || f.central())
	}
	m := &Model{settings: s, mesh: build(surfaces, s, symmetric, wake)}
	if err := unit.CheckRange("lattice.New", "number of unknown circulations", float64(len(m.mesh.point)), 1, maxUnknowns, "1"); err != nil {
		return nil, err
	}
	if err := m.mesh.collisions(); err != nil {
		return nil, err
	}
	for i, v := range m.mesh.fixed {
		what := "angle of twist, zero lift and camber of the " + surfaces[m.mesh.ownerOf[i]].Name
		if err := unit.CheckRange("lattice.New", what, v, -maxSlope, maxSlope, "°"); err != nil {
			return nil, err
		}
	}
	m.addBases(surfaces)
	m.stretch(wake)
	return m, m.wakesClear()
}

// stretch puts the mesh into the coordinates of the field.
func (m *Model) stretch(wake vec) {
	k := 1 / math.Sqrt(1-m.settings.Mach*m.settings.Mach)
	m.field = &field{mesh: m.mesh, stretch: k}
	for i := range m.mesh.x {
		m.mesh.x[i] *= k
	}
	for i := range m.mesh.lineTE {
		m.mesh.lineTE[i] *= k
	}
	m.mesh.wake = vec{wake.x * k, wake.y, wake.z}.unit()
	if h := m.settings.Ground; h > 0 {
		normal := m.mesh.wake.cross(vec{0, 1, 0}).unit()
		m.field.ground = &reflection{normal: normal, distance: -h}
	}
}

func (m *Model) addBases(surfaces []Surface) {
	fixed := m.mesh.fixed
	uniform := func(v vec) func(vec) vec { return func(vec) vec { return v } }
	about := func(axis vec) func(vec) vec { return func(p vec) vec { return p.cross(axis) } } // −Ω × r
	m.bases = []basis{
		alongX: {uniform(vec{1, 0, 0}), fixed, 1}, alongY: {uniform(vec{0, 1, 0}), nil, -1}, alongZ: {uniform(vec{0, 0, 1}), nil, 1},
		aboutX: {about(vec{unitRate, 0, 0}), fixed, -1}, aboutY: {about(vec{0, unitRate, 0}), fixed, 1}, aboutZ: {about(vec{0, 0, unitRate}), fixed, -1},
	}
	for i, s := range surfaces {
		for _, c := range s.Controls {
			b := basis{effect: m.mesh.effect(i, c), parity: 1}
			if c.Opposite || s.central() {
				b.parity = -1
			}
			m.bases = append(m.bases, b)
			m.controls = append(m.controls, c.Name)
		}
	}
	if !m.mesh.symmetric {
		for i := range m.bases {
			m.bases[i].parity = 1
		}
	}
}

// Controls returns the names of the controls.
func (m *Model) Controls() []string { return append([]string(nil), m.controls...) }

// Panels returns the number of panels of the whole aeroplane, and the number of unknowns of the largest system that is factorised.
func (m *Model) Panels() (panels, unknowns int) {
	n := len(m.mesh.point)
	if m.mesh.symmetric {
		return n + m.mesh.halves, n
	}
	return n, n
}

// Factorisations returns how many matrices have been factorised so far: at most two, whatever has been solved.
func (m *Model) Factorisations() int {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.factors
}

// rhs returns the right-hand side of a basis: minus the velocity through the panels without vortices. The camber, twist and zero-lift angle turn the normal,
// which sees the velocity along x.
func (m *Model) rhs(b basis, n int) []unit.Ratio {
	out := make([]unit.Ratio, n)
	for i := range out {
		along := 1.0
		if b.free != nil {
			v := b.free(m.mesh.point[i])
			out[i] -= v.dot(m.mesh.normal[i])
			along = v.x
		}
		if b.effect != nil {
			out[i] -= along * b.effect[i]
		}
	}
	return out
}

// check validates the input and fills in the defaults.
func check(surfaces []Surface, s *Settings) error {
	if len(surfaces) == 0 {
		return fmt.Errorf("lattice.New: there is no surface")
	}
	if s.Rows == 0 {
		s.Rows = defaultRows
	}
	if s.Strips == 0 {
		s.Strips = defaultStrips
	}
	const f = "lattice.New"
	inf := unit.Length(math.Inf(1))
	for _, err := range []error{
		unit.CheckPositive(f, "reference area", s.Reference.Area, "m²"),
		unit.CheckPositive(f, "reference chord", s.Reference.Chord, "m"),
		unit.CheckPositive(f, "reference span", s.Reference.Span, "m"),
		unit.CheckRange(f, "Mach number", s.Mach, 0, maxMach, "1"),
		unit.CheckRange(f, "α of the wake", s.Wake.Alpha, -maxSmall, maxSmall, "°"),
		unit.CheckRange(f, "β of the wake", s.Wake.Beta, -maxSmall, maxSmall, "°"),
		unit.CheckRange(f, "height above the ground", s.Ground, 0, inf, "m"),
		unit.CheckRange(f, "core radius", s.Core, 0, inf, "m"),
		unit.CheckRange(f, "number of rows", float64(s.Rows), 1, maxRows, "1"),
		unit.CheckRange(f, "number of strips", float64(s.Strips), 1, maxStrips, "1"),
	} {
		if err != nil {
			return err
		}
	}
	names := map[string]bool{}
	for _, surface := range surfaces {
		if err := surface.validate(); err != nil {
			return err
		}
		for _, name := range append([]string{surface.Name}, controlNames(surface)...) {
			if names[name] {
				return fmt.Errorf("lattice.New: two surfaces or controls are called %q", name)
			}
			names[name] = true
		}
	}
	return nil
}

func controlNames(s Surface) []string {
	var names []string
	for _, c := range s.Controls {
		names = append(names, c.Name)
	}
	return names
}

// maxUnknowns bounds the matrix, which takes 8 bytes for the square of it: 1.2 GB.
const maxUnknowns unit.Ratio = 12000

// maxSlope bounds the local angle of a mean line, which may be steep at its ends.
const maxSlope unit.Angle = 2

// maxMach is where the rule of Prandtl and Glauert has lost all meaning for thin surfaces; well before, results carry a note.
const maxMach unit.MachNumber = 0.95
