package trim

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/drag"
	"foreplane/aerolib/prop"
	"foreplane/aerolib/unit"
)

// Solve trims an aeroplane by closed forms: lift is n times the weight, moments about the CG vanish, and thrust is the drag unless the condition says otherwise.
//
// It returns an error for bad input, for Mach numbers above 0.95, or 0.7 if no build-up of drag is stated, and for a control that cannot trim. If only the control's limits are
// exceeded it returns a [*LimitError] together with the result that would trim. Doubts that do not make the result meaningless are in its Notes.
func Solve(a aircraft.Aircraft, c Condition) (Result, error) {
	b, err := closedBalance(a, c)
	if err != nil {
		return Result{}, err
	}
	return b.solve(closedResult)
}

// closedResult is the beginning of a result of [Solve].
var closedResult = Result{Method: "closed form"}

func closedBalance(a aircraft.Aircraft, c Condition) (*balance, error) {
	b, err := newBalance(a, c)
	if err != nil {
		return nil, err
	}
	b.flow, err = newClosedForm(a, b.flight, b.trims)
	return b, err
}

// newBalance checks an aeroplane and a condition and works them out. The flow is missing yet.
func newBalance(a aircraft.Aircraft, c Condition) (*balance, error) {
	if err := a.Validate(); err != nil {
		return nil, err
	}
	f, err := flightOf(a, c)
	if err != nil {
		return nil, err
	}
	b := &balance{aeroplane: a, flight: f, plants: newPlants(a)}
	if b.trims, err = controlOf(a.Name, a.Lifting(), c.Control); err != nil {
		return nil, err
	}
	if err := settings(a, c, b.control().Name); err != nil {
		return nil, err
	}
	if b.skin = c.Buildup; b.skin == nil {
		skin, err := drag.Build(a, drag.Flight{Air: c.Air, Speed: f.Speed, GearUp: c.GearUp, PowerOff: c.Thrust == Off}, drag.Options{Surfaces: drag.Raymer})
		if err != nil {
			return nil, err
		}
		b.skin = &skin
	}
	return b, b.turnPropellers(f.Force / f.q)
}

// control returns the control that trims.
func (b *balance) control() aircraft.Control {
	c, _ := b.aeroplane.Lifting()[b.trims].PitchControl()
	return c
}

// turnPropellers finds the normal force of each propeller at a thrust over dynamic pressure.
func (b *balance) turnPropellers(t unit.Area) error {
	if b.flight.Omit.Propellers {
		return nil
	}
	for i := range b.plants {
		p := &b.plants[i]
		if p.Speed == 0 {
			continue
		}
		propeller, err := prop.Of(p.Plant)
		if err != nil {
			return err
		}
		n, err := propeller.NormalForce(b.flight.Air, b.flight.Speed, p.Speed, p.part*t*b.flight.q)
		if err != nil {
			return err
		}
		p.slope = n.Slope / b.flight.q
	}
	return nil
}

// solve balances and tells all.
func (b *balance) solve(r Result) (Result, error) {
	s, t, err := b.settle()
	if err != nil {
		return Result{}, err
	}
	b.found, b.pull = s, t
	b.start(&r)
	if err := b.fill(s, &r); err != nil {
		return Result{}, err
	}
	if err := b.flow.detail(s, &r); err != nil {
		return Result{}, err
	}
	r.Wake = b.flow.wakes()
	r.Alpha, r.Deflection, r.Thrust = s.alpha, s.delta, t*r.DynamicPressure
	if err := b.finish(s, t, &r); err != nil {
		return Result{}, err
	}
	r.Notes = append(r.Notes, notes(r, b.aeroplane.Lifting())...)
	if least, most := r.Limits[0], r.Limits[1]; r.Deflection < least || r.Deflection > most {
		return r, &LimitError{r.Aircraft, r.Loads[b.trims].Name, r.Deflection, least, most}
	}
	return r, nil
}

// settle finds the balance again until the normal force of the propellers is that at the thrust, and the flow that of the state.
func (b *balance) settle() (s state, t unit.Area, err error) {
	const passes, still = 12, 1e-7 // each pass changes thrust by some hundredths of what the one before did
	s.rate = b.flight.rate
	t = b.flight.Force / b.flight.q
	for range passes {
		before := t
		if s, t, err = b.find(s, t); err != nil {
			return s, t, err
		}
		again, err := b.flow.refine(s)
		if err != nil {
			return s, t, err
		}
		if !again && math.Abs(t-before) <= still*math.Abs(t) {
			return s, t, nil
		}
		if err := b.turnPropellers(t); err != nil {
			return s, t, err
		}
	}
	return s, t, fmt.Errorf("trim: %s: the flow has not settled after %d passes", b.aeroplane.Name, passes)
}

// start fills in what is known before.
func (b *balance) start(r *Result) {
	a, f := b.aeroplane, b.flight
	r.Aircraft, r.Condition, r.Weight, r.LoadFactor = a.Name, f.Condition, a.Weight(), f.n
	r.DynamicPressure, r.Mach, r.PitchRate, r.CL = f.q, f.mach, f.rate*f.Speed, f.CL
	r.Equivalent = f.Air.EquivalentFromTrue(f.Speed)
	r.Reference, r.CG, r.CGHeight, r.Control = a.Reference, a.CG, a.CGHeight, b.control().Name
	r.Limits = [2]unit.Angle{b.control().Min, b.control().Max}
	r.Loads = make([]Load, len(a.Lifting()))
	for i, s := range a.Lifting() {
		r.Loads[i] = Load{Name: s.Name, Role: s.Role, Area: s.Area(), Incidence: s.Incidence}
	}
}

// fill computes loads and drag from the angles alone, so that their sums check the balance.
func (b *balance) fill(s state, r *Result) error {
	r.Loads[b.trims].Deflection = s.delta
	loads, induced, err := b.flow.load(s, r)
	if err != nil {
		return err
	}
	for _, loads := range [][]Load{r.Loads, r.Others} {
		for i := range loads {
			loads[i].CLShare = loads[i].Lift / (r.DynamicPressure * r.Reference.Area)
		}
	}
	loads, notes := b.covered(loads)
	r.Notes = append(r.Notes, notes...)
	d, err := drag.Of(*b.skin, loads, induced)
	r.Drag = Drag{Parasite: d.Parasite, Profile: d.Profile, Induced: d.Induced, Total: d.CD, Parts: d.Parts}
	return err
}

// covered returns loads that profile drag is known for, and where they are other than those there are.
func (b *balance) covered(loads []drag.Load) ([]drag.Load, []string) {
	out := slices.Clone(loads)
	var notes []string
	for i, l := range out {
		p, err := b.skin.Profile(l.Surface)
		if err != nil {
			continue // drag.Of says so
		}
		most := l.CL
		within := func(cl unit.Coefficient) unit.Coefficient {
			if math.Abs(cl) > math.Abs(most) {
				most = cl
			}
			return min(max(cl, p.Min), p.Max)
		}
		out[i].CL, out[i].Strips = within(l.CL), slices.Clone(l.Strips)
		for k := range out[i].Strips {
			out[i].Strips[k].CL = within(l.Strips[k].CL)
		}
		if !(p.Min <= most && most <= p.Max) {
			notes = append(notes, fmt.Sprintf("The profile drag of the %s is known from cl %.2f to %.2f; for up to %.2f it counts as at the end of that, which is too little.",
				l.Surface, p.Min, p.Max, most))
		}
	}
	return out, notes
}

// finish adds bodies, propellers and thrust, and what follows from all together.
func (b *balance) finish(s state, t unit.Area, r *Result) (err error) {
	b.others(s, t, r)
	lift := r.LoadFactor * r.Weight
	for _, loads := range [][]Load{r.Loads, r.Others} {
		for i := range loads {
			l := &loads[i]
			l.Share = l.Lift / lift
			r.ForceResidual += l.Lift
			r.MomentResidual += l.Moment
		}
	}
	r.ForceResidual -= lift
	r.Drag.Force = r.Drag.Total * r.DynamicPressure * r.Reference.Area
	r.Drag.Ratio = r.CL / r.Drag.Total
	if r.Condition.Thrust == Balanced {
		normal, thrust := b.pushes(s, t)
		r.ThrustResidual = r.DynamicPressure*(normal.along+thrust.along) - r.Drag.Force
	}
	if r.Model, err = b.model(s, t); err != nil {
		return err
	}
	if err := b.limits(s, r); err != nil {
		return err
	}
	level := r.CL / r.LoadFactor
	r.Stick = stickOf(r.Deflection, r.Model.CmDelta)
	r.Pull = r.Model.Manoeuvre(b.aeroplane.Mass, r.Condition.Air.Density, level)
	if r.Neutral, err = b.neutral(s, t, level); err != nil {
		return err
	}
	r.Stable, r.Caution = r.Neutral.StaticMargin > 0, r.Neutral.Caution
	return nil
}

// limits finds the critical strips, and by a state that trims a little more lift, where they reach their limits.
func (b *balance) limits(s state, r *Result) error {
	const more unit.Coefficient = 0.05
	var next Result
	b.start(&next)
	alpha, delta, err := r.Model.solve(more, 0)
	if err != nil {
		return err
	}
	further := s.plus(state{alpha: alpha, delta: delta}, 1)
	if _, _, err := b.flow.load(further, &next); err != nil {
		return err
	}
	now, notes, err := b.flow.criticals(s, ownLift(r.Loads))
	if err != nil {
		return err
	}
	then, _, err := b.flow.criticals(further, ownLift(next.Loads))
	if err != nil {
		return err
	}
	r.Notes = append(r.Notes, notes...)
	for i, k := range now {
		if slope := (then[i].CL - k.CL) / more; k.Limit > 0 && slope > 0 && k.CL < k.Limit {
			k.Reached = r.CL + (k.Limit-k.CL)/slope
		}
		r.Loads[i].Critical = k
	}
	return nil
}

func ownLift(loads []Load) []unit.Coefficient {
	out := make([]unit.Coefficient, len(loads))
	for i, l := range loads {
		out[i] = l.CL
	}
	return out
}

// others adds the loads of what is no surface.
func (b *balance) others(s state, t unit.Area, r *Result) {
	q, refer := r.DynamicPressure, r.DynamicPressure*r.Reference.Area
	add := func(name string, p push, arm unit.Length) {
		r.Others = append(r.Others, Load{Name: name, Lift: q * p.lift, CLShare: q * p.lift / refer, Moment: q * p.moment, Arm: arm})
	}
	for i, m := range b.flow.bodyMoments(s) {
		add(b.aeroplane.Bodies[i].Name, push{moment: m}, 0)
	}
	wash := b.flow.discWash(s)
	for i, p := range b.plants {
		if p.slope != 0 {
			add(propellerName(b.plants, p), b.normal(p, s, wash[i]), p.X-r.CG)
		}
	}
	if b.onLine() && t != 0 {
		_, thrust := b.pushes(s, t)
		add("thrust", thrust, 0)
	}
}

// propellerName tells several propellers apart.
func propellerName(plants []plant, p plant) string {
	if len(plants) == 1 {
		return "propeller"
	}
	return "propeller of the " + p.Name
}

// missing lists what a neutral point leaves out.
func (b *balance) missing() []string {
	var out []string
	if b.flight.Omit.Bodies || len(b.aeroplane.Bodies) == 0 {
		out = append(out, "bodies")
	}
	turning := len(b.plants) > 0
	for _, p := range b.plants {
		turning = turning && p.slope != 0
	}
	if !turning {
		out = append(out, "propeller")
	}
	if !b.onLine() {
		out = append(out, "thrust line")
	}
	return out
}

// caution is what a neutral point carries that leaves something out, or nothing.
func caution(missing []string) string {
	if len(missing) == 0 {
		return Caution
	}
	return fmt.Sprintf("NOT FOR CG LIMITS: the neutral point leaves out %s, which may move it by more than the whole static margin. %s", enumerate(missing), Caution)
}

// enumerate writes a list in words.
func enumerate(items []string) string {
	if n := len(items); n > 1 {
		return strings.Join(items[:n-1], ", ") + " and " + items[n-1]
	}
	return strings.Join(items, "")
}

// Bounds of the method beyond which a result carries a note.
const (
	doubtfulMach   unit.MachNumber = 0.7
	doubtfulAngle  unit.Angle      = 15 * unit.Degree // mean angle to the zero-lift line; common practice
	doubtfulAspect unit.Ratio      = 3
)

// notes says what to mind about a result.
func notes(r Result, surfaces []aircraft.Surface) []string {
	var notes []string
	add := func(format string, args ...any) { notes = append(notes, fmt.Sprintf(format, args...)) }
	if !r.Stable {
		add("Unstable: the CG is %s behind the neutral point.", unit.Format(r.CG-r.Neutral.X, "m"))
	}
	if r.Mach > doubtfulMach {
		add("Mach %.2f is above %.1f, where the rule of Prandtl and Glauert is doubtful.", r.Mach, doubtfulMach)
	}
	for i, l := range r.Loads {
		s := surfaces[i]
		if limit := s.Section().MaxLift; limit > 0 && math.Abs(l.CL) > limit {
			add("The %s would need CL %.2f on its own area, but its section gives %.2f: it has stalled before, and the result does not hold.", l.Name, l.CL, limit)
		} else if angle := l.LocalAlpha - s.Section().ZeroLift; math.Abs(angle) > doubtfulAngle {
			add("The %s stands at %s to its zero-lift line, where lift is hardly linear any more.", l.Name, unit.Format(angle, "°"))
		}
		if s.AspectRatio() < doubtfulAspect {
			add("The %s has aspect ratio %.1f, below %.0f: its lift slope and wash are doubtful.", l.Name, s.AspectRatio(), doubtfulAspect)
		}
	}
	return notes
}
