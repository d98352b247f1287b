package trim

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"sync"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/drag"
	"foreplane/aerolib/lattice"
	"foreplane/aerolib/unit"
)

// Mesh is how the vortex lattice is set up. The zero value has the numbers of panels of package lattice and wakes along x.
type Mesh struct {
	Rows, Strips   int         // see lattice.Settings
	FreeStream     bool        // wakes follow the free stream at the angle of attack that trims, within 0.05°
	Viscous        bool        // strips have the lift of their sections, see lattice.Model.Viscous
	Incompressible bool        // leave out the Mach number, so that one factorisation serves all speeds
	Core           unit.Length // see lattice.Settings
	Stop           func() error
}

// String describes the mesh.
func (m Mesh) String() string {
	rows, strips := m.Rows, m.Strips
	if rows == 0 {
		rows = 6
	}
	if strips == 0 {
		strips = 24
	}
	text := fmt.Sprintf("vortex lattice, %d rows and up to %d strips a side", rows, strips)
	if m.Viscous {
		text += ", with friction"
	}
	return text
}

// Lattice trims an aeroplane by the vortex lattice in many conditions. What has been factorised is kept: a condition at a Mach number, a height and a direction of the wakes
// that were there before costs little. It may be used by several goroutines at once.
type Lattice struct {
	aeroplane aircraft.Aircraft
	mesh      Mesh
	surfaces  []lattice.Surface
	kept      *kept
}

// kept holds models by what they are made for.
type kept struct {
	mu     sync.Mutex
	models map[modelKey]*lattice.Model
}

type modelKey struct {
	mach, wake, height float64
	surface            string // of a single one, or all
}

// NewLattice returns the vortex lattice of an aeroplane. It returns an error for an aeroplane that does not pass [aircraft.Aircraft.Validate].
func NewLattice(a aircraft.Aircraft, m Mesh) (*Lattice, error) {
	surfaces, err := a.Lattice()
	if err != nil {
		return nil, err
	}
	return &Lattice{aeroplane: a, mesh: m, surfaces: surfaces, kept: &kept{models: map[modelKey]*lattice.Model{}}}, nil
}

// Loaded returns the same lattice with another mass and CG. What has been factorised serves both.
func (l *Lattice) Loaded(mass unit.Mass, cg, height unit.Length) *Lattice {
	other := *l
	other.aeroplane.Mass, other.aeroplane.CG, other.aeroplane.CGHeight = mass, cg, height
	return &other
}

// SolveLattice trims an aeroplane as [Solve] does, with the air of a vortex lattice in place of closed forms. Use a [Lattice] for several conditions.
func SolveLattice(a aircraft.Aircraft, c Condition, m Mesh) (Result, error) {
	l, err := NewLattice(a, m)
	if err != nil {
		return Result{}, err
	}
	return l.Solve(c)
}

// Solve trims the aeroplane. Bodies are slices in the stream that the lattice gives along them, propellers have the mean of it over their discs; their apparent mass,
// normal force, and drag besides induced are as in [Solve]. It returns the errors of that and of package lattice.
func (l *Lattice) Solve(c Condition) (Result, error) {
	b, err := l.balance(c)
	if err != nil {
		return Result{}, err
	}
	return b.solve(Result{Method: l.mesh.String()})
}

func (l *Lattice) balance(c Condition) (*balance, error) {
	b, err := newBalance(l.aeroplane, c)
	if err != nil {
		return nil, err
	}
	b.flow, err = l.newFlow(b)
	return b, err
}

// model returns the lattice for a key, of all surfaces or of one.
func (l *Lattice) model(k modelKey) (*lattice.Model, error) {
	l.kept.mu.Lock()
	defer l.kept.mu.Unlock()
	if m := l.kept.models[k]; m != nil {
		return m, nil
	}
	surfaces := l.surfaces
	if k.surface != "" {
		for _, s := range l.surfaces {
			if s.Name == k.surface {
				surfaces = []lattice.Surface{s}
			}
		}
	}
	m, err := lattice.New(surfaces, lattice.Settings{
		Reference: l.aeroplane.LatticeReference(), Mach: k.mach, Wake: lattice.Wake{Alpha: k.wake}, Ground: k.height, Core: l.mesh.Core,
		Rows: l.mesh.Rows, Strips: l.mesh.Strips, Stop: l.mesh.Stop,
	})
	if err == nil {
		l.kept.models[k] = m
	}
	return m, err
}

// latticeFlow is the air of the vortex lattice about an aeroplane.
type latticeFlow struct {
	l      *Lattice
	b      *balance
	key    modelKey
	model  *lattice.Model
	along  []probeLine // bodies, then discs
	moves  string      // name of the control that trims
	rubbed [2]float64  // what friction adds to CL and Cm
}

func (l *Lattice) newFlow(b *balance) (*latticeFlow, error) {
	f := &latticeFlow{l: l, b: b, moves: b.control().Name, key: modelKey{mach: b.flight.mach, height: b.flight.Height}}
	if l.mesh.Incompressible {
		f.key.mach = 0
	}
	if !b.flight.Omit.Bodies {
		for _, body := range l.aeroplane.Bodies {
			line, err := bodyLine(body, l.aeroplane.Lifting(), l.aeroplane.CG)
			if err != nil {
				return nil, err
			}
			f.along = append(f.along, line)
		}
	}
	for _, p := range b.plants {
		f.along = append(f.along, discLine(p.Plant))
	}
	return f, f.build()
}

// build makes the model for the key, and with it the stream along bodies and discs.
func (f *latticeFlow) build() (err error) {
	if f.model, err = f.l.model(f.key); err != nil {
		return err
	}
	return f.probe()
}

// at returns the state of the lattice.
func (f *latticeFlow) at(s state) lattice.State {
	d := maps.Clone(f.b.flight.Flaps)
	if d == nil {
		d = map[string]unit.Angle{}
	}
	if f.moves != "" {
		d[f.moves] = s.delta
	}
	return lattice.State{Alpha: s.alpha, Q: s.rate, Deflections: d, Point: lattice.Point{X: f.l.aeroplane.CG, Z: f.l.aeroplane.CGHeight}}
}

func (f *latticeFlow) wakes() string { return lattice.Wake{Alpha: f.key.wake}.String() }

func (f *latticeFlow) total(s state) (CL, Cm unit.Coefficient, err error) {
	c, err := f.model.Coefficients(f.at(s))
	return c.CL + f.rubbed[0], c.Cm + f.rubbed[1], err
}

// wakeNear is how far wakes may be from the free stream.
const wakeNear unit.Angle = 0.05 * unit.Degree

// refine turns the wakes into the stream of a state and takes friction there into account, and reports whether that changed anything.
func (f *latticeFlow) refine(s state) (bool, error) {
	changed := false
	if f.l.mesh.FreeStream && math.Abs(f.key.wake-s.alpha) > wakeNear {
		f.key.wake, changed = s.alpha, true
		if err := f.build(); err != nil {
			return false, err
		}
	}
	if !f.l.mesh.Viscous {
		return changed, nil
	}
	v, err := f.model.Viscous(f.at(s))
	if err != nil {
		return false, err
	}
	c, err := f.model.Coefficients(f.at(s))
	added := [2]float64{v.CL - c.CL, v.Cm - c.Cm}
	changed = changed || math.Hypot(added[0]-f.rubbed[0], added[1]-f.rubbed[1]) > rounded
	f.rubbed = added
	return changed, err
}

// solved returns loads and strips of a state.
func (f *latticeFlow) solved(s state) (lattice.Result, error) {
	if f.l.mesh.Viscous {
		v, err := f.model.Viscous(f.at(s))
		return v.Result, err
	}
	return f.model.Solve(f.at(s))
}

func (f *latticeFlow) load(s state, r *Result) ([]drag.Load, drag.Induced, error) {
	result, err := f.solved(s)
	if err != nil {
		return nil, drag.Induced{}, err
	}
	q := r.DynamicPressure * r.Reference.Area
	r.Others = nil
	for _, l := range result.Loads {
		lift, moment := q*l.CL, q*r.Reference.Chord*l.Cm
		if i := f.index(l.Surface); i >= 0 {
			to := &r.Loads[i]
			to.CL, to.Lift, to.Moment = lift/(r.DynamicPressure*to.Area), lift, moment
			to.Arm = f.l.aeroplane.Lifting()[i].QuarterChord() - r.CG
			continue
		}
		r.Others = append(r.Others, Load{Name: l.Surface, Lift: lift, Moment: moment})
	}
	loads, induced := drag.FromLattice(result)
	return loads, induced, nil
}

// index returns that of a lifting surface, or −1.
func (f *latticeFlow) index(name string) int {
	for i, s := range f.l.aeroplane.Lifting() {
		if s.Name == name {
			return i
		}
	}
	return -1
}

// detail fills in wash and local angles.
func (f *latticeFlow) detail(s state, r *Result) error {
	wash, err := f.model.Interference(f.at(s))
	if err != nil {
		return err
	}
	for i, surface := range f.l.aeroplane.Lifting() {
		l := &r.Loads[i]
		k := slices.IndexFunc(f.l.surfaces, func(t lattice.Surface) bool { return t.Name == surface.Name })
		for j, w := range wash[k] {
			if j != k {
				l.Downwash += w
			}
		}
		if l.LocalAlpha, err = f.chordAngle(s, surface, i == f.b.trims); err != nil {
			return err
		}
		l.LocalAlpha -= l.Downwash
	}
	return nil
}

func (f *latticeFlow) criticals(s state, _ []unit.Coefficient) ([]Critical, []string, error) {
	result, err := f.solved(s)
	if err != nil {
		return nil, nil, err
	}
	var out []Critical
	var notes []string
	for _, surface := range f.l.aeroplane.Lifting() {
		worst, note := critical(surface, result.Strips, f.b.flight.Condition)
		if out = append(out, worst); note != "" {
			notes = append(notes, note)
		}
	}
	return out, notes, nil
}

// chordAngle returns the mean angle of the chords of a surface to the path, with what hinged controls turn its zero-lift line by.
func (f *latticeFlow) chordAngle(s state, surface aircraft.Surface, trims bool) (unit.Angle, error) {
	angle := s.alpha + surface.Incidence + surface.MeanTwist() + s.rate*(surface.QuarterChord()+surface.MeanChord()/2-f.l.aeroplane.CG)
	for _, c := range surface.Controls {
		by := f.b.flight.Flaps[c.Name]
		if trims && c.Name == f.moves {
			by = s.delta
		}
		if by == 0 {
			continue
		}
		turn, _, err := surface.Effect(c)
		if err != nil {
			return 0, err
		}
		angle += turn * by
	}
	return angle, nil
}

// alone returns the lift and moment of each surface by itself.
func (f *latticeFlow) alone(s state) ([]Derivatives, error) {
	var out []Derivatives
	for _, surface := range f.l.aeroplane.Lifting() {
		key := f.key
		key.surface = surface.Name
		m, err := f.l.model(key)
		if err != nil {
			return nil, err
		}
		d, err := slopesOf(func(s state) (unit.Coefficient, unit.Coefficient, error) {
			c, err := m.Coefficients(own(m, f.at(s)))
			return c.CL, c.Cm, err
		}, s, f.l.aeroplane.Reference, f.l.aeroplane.CG)
		if err != nil {
			return nil, err
		}
		out = append(out, d)
	}
	return out, nil
}

// own leaves to a state only the controls that a model has.
func own(m *lattice.Model, s lattice.State) lattice.State {
	all := s.Deflections
	s.Deflections = map[string]unit.Angle{}
	for _, name := range m.Controls() {
		s.Deflections[name] = all[name]
	}
	return s
}
