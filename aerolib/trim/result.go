package trim

import (
	"fmt"
	"math"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/drag"
	"foreplane/aerolib/unit"
)

// Result is an aeroplane in trim, by either method.
type Result struct {
	Aircraft        string
	Condition       Condition // with the speed, if it followed from CL
	Method          string    // closed form, or vortex lattice with its mesh
	Wake            string    // how the wakes run
	Weight          unit.Weight
	LoadFactor      unit.Ratio
	Equivalent      unit.EquivalentAirspeed
	DynamicPressure unit.DynamicPressure
	Mach            unit.MachNumber
	PitchRate       unit.AngularRate
	Reference       aircraft.Reference
	CG, CGHeight    unit.Length

	CL         unit.Coefficient // n W/(q S), on the reference area
	Alpha      unit.Angle       // of the x axis
	Control    string           // that trims
	Deflection unit.Angle       // of the control
	Limits     [2]unit.Angle    // least and greatest deflection that it has
	Stick      Stick            // where the deflection has the pilot hold the stick
	Loads      []Load           // of the lifting surfaces, in the order of the aircraft
	Others     []Load           // of bodies, propellers, thrust and fins, as far as they are counted
	Thrust     unit.Force       // of all engines together
	Drag       Drag
	Model      Derivatives // at this speed and thrust
	Neutral    Neutral
	Stable     bool // the CG is ahead of the neutral point
	Pull       Pull // what a pull-up takes

	ForceResidual  unit.Force  // sum of lift less n times the weight
	MomentResidual unit.Moment // about the CG
	ThrustResidual unit.Force  // along the path, where thrust balances the drag

	Notes   []string // where the result is outside the limits of the method, and what to mind
	Caution string
}

// Load is what one surface does in trim, or another part of the aeroplane.
type Load struct {
	Name       string
	Role       aircraft.Role // none of what is no surface
	Area       unit.Area
	Incidence  unit.Angle // of the root, at rest
	Deflection unit.Angle
	Downwash   unit.Angle       // of the other surfaces, averaged over the area; upwash is negative
	LocalAlpha unit.Angle       // mean angle of the chord to the local flow; a hinged control counts as what it turns the zero-lift line by
	CL         unit.Coefficient // on its own area
	CLShare    unit.Coefficient // on the reference area; they sum to CL
	Lift       unit.Force
	Share      unit.Ratio  // of n times the weight
	Arm        unit.Length // from the CG to where the lift acts, positive aft
	Moment     unit.Moment // about the CG, nose up, with the part's own couple
	Critical   Critical
}

// Critical is the strip of a surface that is nearest to the greatest lift of its section. The closed form knows no strips: it compares the mean, at the mean chord.
type Critical struct {
	Eta      unit.Ratio // 2y/b
	CL       unit.Coefficient
	Limit    unit.Coefficient // greatest cl of the section there, of the least if CL is below zero; 0 if it is not known
	Used     unit.Ratio       // CL over Limit
	Reynolds unit.ReynoldsNumber
	Reached  unit.Coefficient // CL of the aeroplane in trim with which it reaches Limit, if cl goes on as it does here; 0 if none above does
}

// Drag is the drag in trim, as coefficients on the reference area.
type Drag struct {
	Parasite unit.Coefficient // of the build-up, without lift
	Profile  unit.Coefficient // what lift adds to the friction of the surfaces, each at its own
	Induced  unit.Coefficient
	Total    unit.Coefficient
	Force    unit.Force
	Ratio    unit.Ratio  // L/D
	Parts    []drag.Part // who contributes what
}

// Stick says where a control for pitch has the pilot hold the stick, against that of no deflection.
type Stick string

// Positions of the stick.
const (
	StickAft     Stick = "aft"
	StickForward Stick = "forward"
	StickCentral Stick = "central"
)

// stickOf returns where the stick is: aft for what raises the nose.
func stickOf(deflection unit.Angle, moment unit.PerRadian) Stick {
	switch by := deflection * moment; {
	case by > 0:
		return StickAft
	case by < 0:
		return StickForward
	}
	return StickCentral
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
