package trim

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"sync"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/unit"
)

// StallSettings are the choices of the critical-section method. The zero value is the usual one.
type StallSettings struct {
	Wake   WakeRule              // along the free stream if empty
	Limits LimitSource           // stated ones if empty
	Factor map[string]unit.Ratio // by which limits of surfaces are multiplied, by their names; 1 for those not named
	Swept  bool                  // limits are those of sections across the sweep, cl_max cos²Λ of the quarter chord (simple sweep theory, cautious inboard)
	Dirt   Dirt                  // on one surface
	Rows   int                   // panels along the chord; 4 if 0
	Strips int                   // strips on the longest half span; 20 if 0
}

// Dirt is what rain, ice or insects leave of a surface. The zero value is a clean aeroplane.
type Dirt struct {
	Surface   string     // its name
	MaxLift   unit.Ratio // of the greatest lift of its sections
	LiftSlope unit.Ratio // of their lift slope; 1 if 0
}

// Stall is an aeroplane in trim at the lift at which the first strip reaches the greatest lift of its section, or the control that trims its stop. What happens beyond is not
// predicted.
type Stall struct {
	Aircraft   string
	Condition  Condition
	Settings   StallSettings
	Reference  aircraft.Reference
	CG         unit.Length
	Alpha      unit.Angle
	Deflection unit.Angle       // of the control that trims
	CL         unit.Coefficient // W/(qS), greatest in trim
	Speed      unit.TrueAirspeed
	Equivalent unit.EquivalentAirspeed
	AtStop     bool         // the control reaches its stop before any section its limit
	First      StallStrip   // nearest to its limit
	Others     []StallStrip // of each further surface that nearest to its limit, in that order
	Strips     []StallStrip // all, to starboard
	Notes      []string
	Caution    string
}

// StallStrip is what a strip uses of the lift that its section can bear.
type StallStrip struct {
	Surface string
	Role    aircraft.Role
	Y       unit.Length
	Chord   unit.Length
	Critical
}

// Margin returns what the second surface has left of its limit where the first is at it. Of a single surface it is infinite.
func (s Stall) Margin() unit.Ratio {
	return s.lead(func(t StallStrip) bool { return t.Surface == s.First.Surface })
}

// StallModel is an aeroplane's flow on its way to the stall under given settings. It factorises when an angle of attack is first met; other centres of gravity, powers and
// flap settings then cost little. It may be used by several goroutines at once.
type StallModel struct {
	aircraft aircraft.Aircraft
	settings StallSettings
	strips   []place
	flows    *flows
}

// flows are the approaches of an aeroplane over the grounds that were asked for.
type flows struct {
	aircraft     aircraft.Aircraft
	wake         WakeRule
	rows, strips int
	turned       string // surface that can be turned as a whole

	mu    sync.Mutex
	known map[groundRule]*approach
}

// groundRule says where the ground is: nowhere, at a height below the datum, or under the main wheels.
type groundRule struct {
	height unit.Length
	wheels bool
}

// Panels if none are stated.
const (
	usualRows   = 4
	usualStrips = 20
)

// NewStallModel describes the flow about an aeroplane. It returns an error for an aeroplane that does not pass [aircraft.Aircraft.Validate], a [*SectionDataError] where the
// greatest lift of a section is not known, and an error for settings that cannot be.
func NewStallModel(a aircraft.Aircraft, s StallSettings) (*StallModel, error) {
	if err := s.check(a); err != nil {
		return nil, err
	}
	f := &flows{
		aircraft: a.Clone(), wake: or(s.Wake, AlongStream), rows: or(s.Rows, usualRows), strips: or(s.Strips, usualStrips), turned: s.Dirt.Surface,
		known: map[groundRule]*approach{},
	}
	return f.model(s)
}

// model returns the one with settings that leave the flow as it is.
func (f *flows) model(s StallSettings) (*StallModel, error) {
	free, err := f.over(groundRule{})
	if err != nil {
		return nil, err
	}
	strips, err := free.places(f.aircraft.Lifting(), f.aircraft.Bodies, s)
	return &StallModel{f.aircraft, s, strips, f}, err
}

// over returns the approach over a ground.
func (f *flows) over(g groundRule) (*approach, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if p := f.known[g]; p != nil {
		return p, nil
	}
	p, err := newApproach(f.aircraft, f.wake, f.rows, f.strips, f.turned)
	if err != nil {
		return nil, err
	}
	if p.ground, err = heightOver(f.aircraft, g); err != nil {
		return nil, err
	}
	if err := p.addBodies(f.aircraft); err != nil {
		return nil, err
	}
	p.addDiscs(f.aircraft)
	f.known[g] = p
	return p, nil
}

// heightOver returns the height of the datum by angle of attack, or nil in free air.
func heightOver(a aircraft.Aircraft, g groundRule) (func(unit.Angle) unit.Length, error) {
	switch {
	case g.wheels:
		wheel, err := mainWheel(a)
		return func(alpha unit.Angle) unit.Length { return wheel.X*math.Sin(alpha) - wheel.Z*math.Cos(alpha) }, err
	case g.height > 0:
		return func(unit.Angle) unit.Length { return g.height }, nil
	}
	return nil, nil
}

// mainWheel returns the wheel on which an aeroplane lands.
func mainWheel(a aircraft.Aircraft) (aircraft.Wheel, error) {
	for _, w := range a.Wheels {
		if w.Main {
			return w, nil
		}
	}
	return aircraft.Wheel{}, fmt.Errorf("trim: %s has no main wheels", a.Name)
}

// or returns a value that is stated, or another.
func or[T comparable](value, otherwise T) T {
	var zero T
	if value == zero {
		return otherwise
	}
	return value
}

// check refuses settings that cannot be.
func (s StallSettings) check(a aircraft.Aircraft) error {
	if err := a.Validate(); err != nil {
		return err
	}
	if !slices.Contains([]WakeRule{"", AlongStream, AlongX}, s.Wake) || !slices.Contains([]LimitSource{"", Stated, Computed}, s.Limits) {
		return fmt.Errorf("trim.Stall: the wake is %q, must be AlongStream or AlongX; limits are %q, must be Stated or Computed", s.Wake, s.Limits)
	}
	for name, f := range s.Factor {
		if err := errors.Join(lifts(a, name), unit.CheckPositive("trim.Stall", "factor of the limits of the "+name, f, "1")); err != nil {
			return err
		}
	}
	if d := s.Dirt; d != (Dirt{}) {
		return errors.Join(lifts(a, d.Surface), unit.CheckRange("trim.Stall", "greatest lift that dirt leaves", d.MaxLift, 0.05, 1, "1"),
			unit.CheckRange("trim.Stall", "lift slope that dirt leaves", or(d.LiftSlope, 1), 0.2, 1, "1"))
	}
	return nil
}

// lifts refuses names of no lifting surface.
func lifts(a aircraft.Aircraft, name string) error {
	if !slices.ContainsFunc(a.Lifting(), func(s aircraft.Surface) bool { return s.Name == name }) {
		return fmt.Errorf("trim.Stall: %s has no lifting surface called %q", a.Name, name)
	}
	return nil
}

// FindStall raises the angle of attack in trim until the first strip reaches the greatest lift of its section at its own Reynolds number, by the critical-section method:
//
//	max |c_l(y)/c_l,max(y, Re)| = 1,   Cm = 0,   qS CL + T sin(α + τ) = W
//
// with c_l = 2Γ/(Vc) from the lattice. Speed, CL, manoeuvre and load factor of the condition do not count; the flight is level. Thrust that would balance the drag counts as none: the
// stall speed is that of the closed throttle. With a Height the lattice has the ground. It returns the errors of [NewStallModel] and [StallModel.Stall].
func FindStall(a aircraft.Aircraft, c Condition, s StallSettings) (Stall, error) {
	m, err := NewStallModel(a, s)
	if err != nil {
		return Stall{}, err
	}
	return m.Stall(c, a.CG)
}

// Stall returns the first stall with the CG at a station, at the height that the aeroplane's has. It returns a [*LimitError] if the control that trims is at its stop from the
// start, and errors for a condition that contradicts itself, for no control, and if no section reaches its limit.
func (m *StallModel) Stall(c Condition, cg unit.Length) (Stall, error) {
	return m.stall(c, cg, groundRule{height: c.Height})
}

func (m *StallModel) stall(c Condition, cg unit.Length, g groundRule) (Stall, error) {
	k, err := m.newCase(c, cg, g)
	if err != nil {
		return Stall{}, err
	}
	s, err := k.settled()
	if err != nil {
		return Stall{}, err
	}
	return m.tell(k, s, c), nil
}

// newCase puts the aeroplane into a condition.
func (m *StallModel) newCase(c Condition, cg unit.Length, g groundRule) (*stallCase, error) {
	a := m.aircraft
	trims, err := m.checkCondition(c, cg)
	if err != nil {
		return nil, err
	}
	flow, err := m.flows.over(g)
	if err != nil {
		return nil, err
	}
	k := &stallCase{
		approach: flow, name: a.Name, surfaces: a.Lifting(), reference: a.Reference, strips: m.strips, factors: m.factors(),
		air: c.Air, weight: a.Weight(), cg: cg, z: a.CGHeight,
	}
	k.trims = trims
	k.limit, _ = k.surfaces[trims].PitchControl()
	k.control, k.set = flow.index(k.limit.Name), make([]unit.Angle, len(flow.controls))
	for _, s := range k.surfaces {
		for _, d := range s.Controls {
			if by, ok := c.Flaps[d.Name]; ok {
				k.set[flow.index(d.Name)-2] = acting(d, by)
			}
		}
	}
	if m.settings.Dirt.Surface != "" {
		k.dirt = m.dirt(flow)
	}
	m.addFurther(k, c)
	return k, k.findAft()
}

// checkCondition returns the surface whose control trims.
func (m *StallModel) checkCondition(c Condition, cg unit.Length) (int, error) {
	a := m.aircraft
	trims, err := controlOf(a.Name, a.Lifting(), c.Control)
	if err != nil {
		return 0, err
	}
	control, _ := a.Lifting()[trims].PitchControl()
	return trims, cmp.Or(checkAir(c.Air), unit.CheckPositive("trim.Stall", "viscosity of the air", c.Air.Viscosity, "Pa s"), checkThrust(c), settings(a, c, control.Name),
		unit.CheckRange("trim.Stall", "station of the CG", cg, math.Inf(-1), math.Inf(1), "m"), unit.CheckPositive("trim.Stall", "mass", a.Mass, "kg"),
		unit.CheckRange("trim.Stall", "height above the ground", c.Height, 0, math.Inf(1), "m"))
}

// factors of the limits of each surface.
func (m *StallModel) factors() []unit.Ratio {
	var out []unit.Ratio
	for _, s := range m.aircraft.Lifting() {
		f := or(m.settings.Factor[s.Name], 1)
		if s.Name == m.settings.Dirt.Surface {
			f *= m.settings.Dirt.MaxLift
		}
		out = append(out, f)
	}
	return out
}

func (m *StallModel) dirt(p *approach) dirt {
	d := m.settings.Dirt
	i := slices.IndexFunc(m.aircraft.Lifting(), func(s aircraft.Surface) bool { return s.Name == d.Surface })
	return dirt{amount: p.index(turnOf(d.Surface)), surface: i, loss: (1/or(d.LiftSlope, 1) - 1) / (2 * math.Pi)}
}

// addFurther adds bodies, propellers and thrust as far as the condition counts them.
func (m *StallModel) addFurther(k *stallCase, c Condition) {
	if !c.Omit.Bodies {
		k.further.bodies = sumOf(k.bodies)
	}
	k.further.discs = slices.Clone(k.discs)
	if k.further.aside = c.Omit.ThrustLine; c.Thrust == Given {
		k.further.thrust = c.Force
	}
	k.turning = !c.Omit.Propellers
}

// tell says what was found.
func (m *StallModel) tell(k *stallCase, s instant, c Condition) Stall {
	out := Stall{
		Aircraft: k.name, Condition: c, Settings: m.settings, Reference: k.reference, CG: k.cg, Alpha: s.alpha, Deflection: actual(k.limit, s.delta), CL: k.lift(s),
		Speed: s.speed, Equivalent: c.Air.EquivalentFromTrue(s.speed), AtStop: k.stop(s) > -1e-9, Caution: caution(k.missing()),
	}
	for _, p := range k.strips {
		out.Strips = append(out.Strips, k.strip(s, p))
	}
	_, which := k.nearest(s)
	for _, i := range which {
		out.Others = append(out.Others, out.Strips[i])
	}
	slices.SortStableFunc(out.Others, func(a, b StallStrip) int { return cmp.Compare(b.Used, a.Used) })
	out.First, out.Others = out.Others[0], out.Others[1:]
	out.Notes = k.notes(out)
	return out
}
