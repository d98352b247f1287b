package trim

import (
	"fmt"
	"math"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/atmos"
	"foreplane/aerolib/unit"
)

// Condition is a state of straight, level flight.
type Condition struct {
	Air     atmos.Air
	Speed   unit.TrueAirspeed
	Control string // name of the control that trims, or of its surface; may be empty if only one is for pitch
}

// At returns the condition at pressure altitude h on a standard day. It returns a [*unit.RangeError] for an altitude outside the standard atmosphere.
func At(h unit.PressureAltitude, V unit.TrueAirspeed) (Condition, error) {
	air, err := atmos.OffStandard(h, 0)
	return Condition{Air: air, Speed: V}, err
}

// Result is an aeroplane in trim.
type Result struct {
	Aircraft        string
	Condition       Condition
	Weight          unit.Weight
	DynamicPressure unit.DynamicPressure
	Mach            unit.MachNumber
	Reference       aircraft.Reference
	CG              unit.Length

	CL         unit.Coefficient // on the reference area
	Alpha      unit.Angle       // of the x axis
	Deflection unit.Angle       // of the control
	Loads      []Load           // of the lifting surfaces, in the order of the aircraft
	Model      Derivatives
	Neutral    Neutral
	Stable     bool // the CG is ahead of the neutral point

	ForceResidual  unit.Force  // sum of lift less weight
	MomentResidual unit.Moment // about the CG

	Notes   []string // where the result is outside the limits of the method, and what to mind
	Caution string
}

// Load is what one surface does in trim.
type Load struct {
	Name       string
	Role       aircraft.Role
	Area       unit.Area
	Incidence  unit.Angle // of the root, at rest
	Deflection unit.Angle
	Downwash   unit.Angle       // of the other surfaces, averaged over the area; upwash is negative
	LocalAlpha unit.Angle       // mean angle of the chord to the local flow; a hinged control counts as what it turns the zero-lift line by
	CL         unit.Coefficient // on its own area
	CLShare    unit.Coefficient // on the reference area; they sum to CL
	Lift       unit.Force
	Share      unit.Ratio  // of the weight
	Arm        unit.Length // from the CG to where the lift acts, positive aft
	Moment     unit.Moment // about the CG, nose up, with the surface's own couple
}

// LimitError says that trim needs more deflection than the control has.
type LimitError struct {
	Aircraft, Surface string
	Needed            unit.Angle
	Min, Max          unit.Angle
}

func (e *LimitError) Error() string {
	limit := e.Max
	if e.Needed < e.Min {
		limit = e.Min
	}
	return fmt.Sprintf("trim: %s needs %s of its %s, %s beyond the limit of %s", e.Aircraft, unit.Format(e.Needed, "°"), e.Surface,
		unit.Format(math.Abs(e.Needed-limit), "°"), unit.Format(limit, "°"))
}

// Solve trims an aeroplane: the sum of the lifts is the weight and their moment about the CG is zero. Thrust and drag are taken to balance through the CG.
//
// It returns an error for bad input, for Mach numbers above 0.95 and for a control that cannot trim. If only the control's limits are exceeded it returns a
// [*LimitError] together with the result that would trim. Doubts that do not make the result meaningless are in its Notes.
func Solve(a aircraft.Aircraft, c Condition) (Result, error) {
	if err := check(a, c); err != nil {
		return Result{}, err
	}
	surfaces := a.Lifting()
	control, err := controlOf(a.Name, surfaces, c.Control)
	if err != nil {
		return Result{}, err
	}
	s, err := newSystem(surfaces, c.Air.Mach(c.Speed))
	if err != nil {
		return Result{}, err
	}
	r, err := s.solve(a, c, control)
	if err != nil {
		return Result{}, err
	}
	r.Notes = notes(r, surfaces)
	if limit, _ := surfaces[control].PitchControl(); r.Deflection < limit.Min || r.Deflection > limit.Max {
		return r, &LimitError{a.Name, surfaces[control].Name, r.Deflection, limit.Min, limit.Max}
	}
	return r, nil
}

func check(a aircraft.Aircraft, c Condition) error {
	if err := a.Validate(); err != nil {
		return err
	}
	if err := unit.CheckPositive("trim.Solve", "air density", c.Air.Density, "kg/m³"); err != nil {
		return err
	}
	if err := unit.CheckPositive("trim.Solve", "speed of sound", c.Air.SpeedOfSound, "m/s"); err != nil {
		return err
	}
	if err := unit.CheckPositive("trim.Solve", "true airspeed", c.Speed, "m/s"); err != nil {
		return err
	}
	return unit.CheckRange("trim.Solve", "Mach number", c.Air.Mach(c.Speed), 0, maxMach, "1")
}

func (s system) solve(a aircraft.Aircraft, c Condition, control int) (Result, error) {
	r := Result{
		Aircraft: a.Name, Condition: c, Weight: a.Weight(), DynamicPressure: c.Air.DynamicPressure(c.Speed), Mach: c.Air.Mach(c.Speed),
		Reference: a.Reference, CG: a.CG, Caution: Caution,
	}
	r.CL = r.Weight / (r.DynamicPressure * r.Reference.Area)
	var err error
	if r.Model, err = s.derivatives(a.Reference, a.CG, control); err != nil {
		return r, err
	}
	if r.Alpha, r.Deflection, err = r.Model.Trim(r.CL); err != nil {
		return r, err
	}
	if r.Neutral, err = s.neutral(a); err != nil {
		return r, err
	}
	r.Stable = r.Neutral.StaticMargin > 0
	return r, s.load(&r, a.Lifting(), control)
}

// load computes the loads from the angles alone, so that their sums check the linear model.
func (s system) load(r *Result, surfaces []aircraft.Surface, control int) error {
	r.Loads = make([]Load, len(surfaces))
	angles := make([]unit.Angle, len(surfaces))
	for i, e := range s.elements {
		angles[i] = r.Alpha + e.fixed
		if i == control {
			angles[i] += e.turn * r.Deflection
			r.Loads[i].Deflection = r.Deflection
		}
	}
	lift, err := s.lift(angles)
	if err != nil {
		return err
	}
	downwash, couples := s.downwash(lift), s.couples(lift, true)
	couples[control] += s.elements[control].turnCouple * r.Deflection
	q := r.DynamicPressure
	for i, e := range s.elements {
		l, surface := &r.Loads[i], surfaces[i]
		l.Name, l.Role, l.Area, l.Incidence = surface.Name, surface.Role, e.area, surface.Incidence
		l.Downwash = downwash[i]
		l.LocalAlpha = angles[i] + surface.Section().ZeroLift - l.Downwash
		l.CL = lift[i]
		l.CLShare = l.CL * e.area / r.Reference.Area
		l.Lift = q * e.area * l.CL
		l.Share = l.Lift / r.Weight
		l.Arm = e.x - r.CG
		l.Moment = q*couples[i] - l.Lift*l.Arm
		r.ForceResidual += l.Lift
		r.MomentResidual += l.Moment
	}
	r.ForceResidual -= r.Weight
	return nil
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
