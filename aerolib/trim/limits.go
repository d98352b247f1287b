package trim

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/atmos"
	"foreplane/aerolib/unit"
)

// Requirements are what a CG must leave. [UsualRequirements] has values of common practice.
type Requirements struct {
	StaticMargin    unit.Ratio     // least, controls fixed, in reference chords
	ManoeuvreMargin unit.Ratio     // least, in reference chords
	StallLead       unit.Ratio     // least lead of the surface that must stall first, in all variants
	YawStiffness    unit.PerRadian // least Cnβ
	LiftLoss        unit.Ratio     // greatest loss of trimmed CLmax against that at the aft limit
	Touchdown       unit.Ratio     // speed over the stall speed at which the aeroplane must be trimmed near the ground
	Unstick         unit.Ratio     // speed over the stall speed at which the nose must have risen
	LeastNose       unit.Ratio     // load of the nose wheel over the weight
	MostNose        unit.Ratio
	TipBack         unit.Angle // least angle of the CG ahead of the main wheels' contact
}

// UsualRequirements returns values of common practice: static margin 5 %, manoeuvre margin 10 % of the chord, Cnβ 0.02 (light aeroplanes have 0.05 to 0.1), a loss of 25 % of CLmax (15 % in stall speed; an assumption), touchdown and rotation at
// 1.05 times the stall speed, 5 % to 20 % on the nose wheel, and 10° to tip back. The stall must have its order in all variants.
func UsualRequirements() Requirements {
	return Requirements{
		StaticMargin: 0.05, ManoeuvreMargin: 0.10, YawStiffness: 0.02, LiftLoss: 0.25, Touchdown: 1.05, Unstick: 1.05, LeastNose: 0.05, MostNose: 0.20, TipBack: 10 * unit.Degree,
	}
}

// LimitSettings are the choices of [FindLimits]. The zero value is standard air at sea level, no flaps, and the usual requirements.
type LimitSettings struct {
	Air     atmos.Air
	Control string                // that trims; may be empty if only one is for pitch
	Cruise  unit.TrueAirspeed     // at which margins must be kept; 1.6 times the stall speed if 0
	Landing map[string]unit.Angle // deflections of flaps
	TakeOff map[string]unit.Angle
	Stall   StallSettings
	Roll    Roll
	Require Requirements // all usual ones if none is stated
	Quick   bool         // the order of stall without the variants of mesh and source of limits
	Omit    Omit         // of bodies and power: the result then is not for CG limits
}

// Side says which limit a constraint belongs to.
type Side string

// Sides.
const (
	Forward Side = "forward"
	Aft     Side = "aft"
)

// Constraint is one bound on the CG.
type Constraint struct {
	Name          string
	Configuration string
	Side          Side
	Bound         bool        // false if it is met wherever it was looked for; it has no X then
	Unmet         bool        // met nowhere; X then is where the search ended
	X             unit.Length // station
	Fraction      unit.Ratio  // of the reference chord, behind its leading edge
	Active        bool        // it makes the limit of its side
	Slack         unit.Length // by which the limit of its side could move before this were reached
}

// Limits are the CG limits of an aeroplane at its mass.
type Limits struct {
	Aircraft     string
	Mass         unit.Mass
	CG           unit.Length // of the aeroplane as it stands
	Reference    aircraft.Reference
	Require      Requirements
	Forward, Aft unit.Length
	Constraints  []Constraint // forward ones first
	Notes        []string
	Caution      string
}

// Range returns the length between the limits; below zero there is no CG that meets all constraints.
func (l Limits) Range() unit.Length { return l.Aft - l.Forward }

// RangeFraction returns the range in reference chords.
func (l Limits) RangeFraction() unit.Ratio { return l.Range() / l.Reference.Chord }

// ActiveOn returns the constraint that makes the limit of a side.
func (l Limits) ActiveOn(side Side) Constraint {
	i := slices.IndexFunc(l.Constraints, func(c Constraint) bool { return c.Side == side && c.Active })
	return l.Constraints[i]
}

// Holds reports whether a CG is within the limits.
func (l Limits) Holds(cg unit.Length) bool { return l.Forward <= cg && cg <= l.Aft }

// FindLimits returns the CG limits of an aeroplane at its mass, with every constraint. Going aft:
//
//   - static and manoeuvre margin, at cruise speed and, the static one, slow at full power, with bodies and propellers;
//   - the order of stall, clean and with landing flaps at closed throttle, and clean at full power: the foreplane first if there is one, else the wing;
//   - stiffness in yaw, with bodies and propellers;
//   - load of the nose wheel, and tipping back.
//
// Going forward:
//
//   - loss of trimmed CLmax in the landing configuration against that at the aft limit;
//   - trim at touchdown near the ground: stop of the control, and sections of the surface that trims;
//   - the nose must rise in time in the take-off run at full power;
//   - load of the nose wheel.
//
// Wheels that are missing, and a tail wheel, leave out what belongs to a nose wheel, with a note. Margins come from [Lattice.Solve], stalls from [SequenceModel], rotation from
// [StallModel.Unstick], yaw from [FindYaw]. It returns the errors of these, and one for requirements that cannot be.
func FindLimits(a aircraft.Aircraft, s LimitSettings) (Limits, error) {
	m, err := NewLimitModel(a, s)
	if err != nil {
		return Limits{}, err
	}
	return m.Limits(a.Mass)
}

// LimitModel finds CG limits of an aeroplane at several masses; what has been factorised serves all.
type LimitModel struct {
	aircraft aircraft.Aircraft
	settings LimitSettings
	stalls   *SequenceModel
	lattice  *Lattice      // for margins
	first    aircraft.Role // that must stall first
}

// NewLimitModel returns the model for [LimitModel.Limits]. It returns the errors of [FindLimits].
func NewLimitModel(a aircraft.Aircraft, s LimitSettings) (*LimitModel, error) {
	if s.Require == (Requirements{}) {
		s.Require = UsualRequirements()
	}
	if s.Air == (atmos.Air{}) {
		c, err := At(0, 0)
		if err != nil {
			return nil, err
		}
		s.Air = c.Air
	}
	if err := s.Require.check(); err != nil {
		return nil, err
	}
	m := &LimitModel{aircraft: a.Clone(), settings: s, first: aircraft.Wing}
	for _, surface := range a.Lifting() {
		if surface.Role == aircraft.Foreplane {
			m.first = aircraft.Foreplane
		}
	}
	var err error
	if m.lattice, err = NewLattice(m.aircraft, Mesh{Rows: or(s.Stall.Rows, usualRows), Strips: or(s.Stall.Strips, usualStrips), Incompressible: true}); err != nil {
		return nil, err
	}
	m.stalls, err = newSequenceModel(a, s.Stall, s.Quick)
	return m, err
}

// check refuses requirements that cannot be.
func (r Requirements) check() error {
	const f = "trim.FindLimits"
	return cmp.Or(
		unit.CheckRange(f, "least static margin", r.StaticMargin, -1, 1, "1"),
		unit.CheckRange(f, "least manoeuvre margin", r.ManoeuvreMargin, -1, 1, "1"),
		unit.CheckRange(f, "least lead in the stall", r.StallLead, -1, 1, "1"),
		unit.CheckRange(f, "least Cnβ", r.YawStiffness, -1, 1, "1/rad"),
		unit.CheckRange(f, "loss of CLmax", r.LiftLoss, 0, 0.9, "1"),
		unit.CheckRange(f, "touchdown over stall speed", r.Touchdown, 1, 2, "1"),
		unit.CheckRange(f, "rotation over stall speed", r.Unstick, 0.3, 2, "1"),
		unit.CheckRange(f, "least load of the nose wheel", r.LeastNose, 0, 1, "1"),
		unit.CheckRange(f, "greatest load of the nose wheel", r.MostNose, r.LeastNose, 1, "1"),
		unit.CheckRange(f, "angle to tip back", r.TipBack, -45*unit.Degree, 45*unit.Degree, "°"),
	)
}

// Limits returns the CG limits at a mass, with the CG at the height that the aeroplane has.
func (m *LimitModel) Limits(mass unit.Mass) (Limits, error) {
	if err := unit.CheckPositive("trim.Limits", "mass", mass, "kg"); err != nil {
		return Limits{}, err
	}
	b := m.at(mass)
	out := Limits{Aircraft: m.aircraft.Name, Mass: mass, CG: m.aircraft.CG, Reference: m.aircraft.Reference, Require: m.settings.Require}
	aft, err := b.aftRules()
	if err != nil {
		return out, err
	}
	start, err := aft[0].place()
	if err != nil {
		return out, err
	}
	backs, err := b.bounds(aft, Aft, start)
	if err != nil {
		return out, err
	}
	out.Aft = settle(backs)
	forward, err := b.forwardRules(out.Aft)
	if err != nil {
		return out, err
	}
	fronts, err := b.bounds(forward, Forward, out.Aft)
	if err != nil {
		return out, err
	}
	out.Forward = settle(fronts)
	out.Constraints = append(fronts, backs...)
	for i := range out.Constraints {
		c := &out.Constraints[i]
		c.Fraction = out.Reference.Fraction(c.X)
	}
	out.Notes, out.Caution = b.tell(out), caution(b.missing)
	return out, nil
}

// settle marks the constraint that makes the limit of a side and tells the others their slack.
func settle(constraints []Constraint) unit.Length {
	sign := 1.0
	if constraints[0].Side == Forward {
		sign = -1
	}
	active := -1
	for i, c := range constraints {
		if (c.Bound || c.Unmet) && (active < 0 || sign*c.X < sign*constraints[active].X) {
			active = i
		}
	}
	if active < 0 {
		return constraints[0].X
	}
	constraints[active].Active = true
	for i := range constraints {
		if c := &constraints[i]; c.Bound || c.Unmet {
			c.Slack = math.Abs(c.X - constraints[active].X)
		}
	}
	return constraints[active].X
}

// rule is a constraint that can be asked for a CG: what it leaves there, below zero if it is not met. One with a place of its own has that.
type rule struct {
	name, configuration string
	leaves              func(x unit.Length) (float64, error)
	place               func() (unit.Length, error)
}

// bounds finds where each rule ends, going from a start.
func (b *bounding) bounds(rules []rule, side Side, start unit.Length) ([]Constraint, error) {
	var out []Constraint
	for _, r := range rules {
		c := Constraint{Name: r.name, Configuration: r.configuration, Side: side}
		var err error
		if r.place != nil {
			c.X, err = r.place()
			c.Bound = true
		} else {
			err = b.search(r, &c, start)
		}
		if err != nil {
			return nil, fmt.Errorf("%s (%s): %w", r.name, r.configuration, err)
		}
		out = append(out, c)
	}
	return out, nil
}

// search goes from a start in steps until a rule is broken, and closes in on where. If it is broken from the start, the way back is gone to where it is met.
func (b *bounding) search(r rule, c *Constraint, start unit.Length) error {
	end := b.hindmost
	if c.Side == Forward {
		end = b.foremost
	}
	now, err := b.ask(r, start)
	if err != nil {
		return err
	}
	met := now.met()
	if !met { // looked for on the other side of the start
		end = b.foremost + b.hindmost - end
	}
	steps := max(1, int(math.Ceil(math.Abs(end-start)/(b.chord*searchStep))))
	for i := 1; i <= steps; i++ {
		next, err := b.ask(r, start+(end-start)*float64(i)/float64(steps))
		if err != nil {
			return err
		}
		if next.met() != met {
			c.Bound = true
			c.X, err = b.close(r, now, next)
			return err
		}
		now = next
	}
	c.X, c.Unmet = end, !met
	return nil
}

// Steps of the search and what it ends at, in reference chords.
const (
	searchStep unit.Ratio = 0.1
	searchEnd  unit.Ratio = 1e-5
)

// answered is what a rule leaves at a CG; it is not a number where the aeroplane cannot be trimmed or rotated at all.
type answered struct {
	x      unit.Length
	leaves float64
}

func (a answered) met() bool { return a.leaves >= 0 }

// ask asks a rule.
func (b *bounding) ask(r rule, x unit.Length) (answered, error) {
	leaves, err := r.leaves(x)
	var stop *LimitError
	var rises *RotationError
	var stalled *StalledError
	if errors.As(err, &stop) || errors.As(err, &stalled) || errors.As(err, &rises) && rises.At.Moment() < 0 {
		return answered{x, math.NaN()}, nil
	}
	return answered{x, leaves}, err
}

// close narrows the place between two answers where a rule begins to be met: along the chord, with the end that stays weighed less each time, and by halves where one is not a number.
func (b *bounding) close(r rule, p, q answered) (unit.Length, error) {
	for math.Abs(q.x-p.x) > searchEnd*b.chord {
		part := q.leaves / (q.leaves - p.leaves) // of the way from q
		if math.IsNaN(part) {
			part = 0.5
		}
		now, err := b.ask(r, q.x+min(max(part, 0.02), 0.98)*(p.x-q.x))
		if err != nil {
			return 0, err
		}
		if math.Abs(now.leaves) < enough {
			return now.x, nil
		}
		if now.met() != q.met() {
			p = q
		} else {
			p.leaves /= 2
		}
		q = now
	}
	return (p.x + q.x) / 2, nil
}

// enough is how nearly nothing a rule leaves at its bound.
const enough = 1e-7
