package perf

import (
	"fmt"

	"foreplane/aerolib/unit"
)

// Caution goes with every result that a flight could be planned by.
const Caution = "For study and preliminary work; the approved flight manual, the certified weighing record, local regulations and licensed engineers decide."

// StallError says that flight needs more lift than the aeroplane has in trim.
type StallError struct {
	Aeroplane    string
	Speed, Stall unit.TrueAirspeed
	LoadFactor   unit.Ratio
}

func (e *StallError) Error() string {
	return fmt.Sprintf("perf: %s at %s is below its stalling speed of %s at load factor %.3g", e.Aeroplane, unit.FormatPair(e.Speed, "TrueAirspeed"),
		unit.FormatPair(e.Stall, "TrueAirspeed"), e.LoadFactor)
}

// ImpossibleError says what an aeroplane cannot do, and what it lacks.
type ImpossibleError struct {
	Aeroplane string
	Task      string // "climb at 14.2 km"
	Lack      string // "needs 2.1 kN of thrust and has 1.9 kN"
}

func (e *ImpossibleError) Error() string {
	return fmt.Sprintf("perf: %s cannot %s: it %s", e.Aeroplane, e.Task, e.Lack)
}

// PolarError says where a polar gives no drag.
type PolarError struct {
	Aeroplane string
	CL, CD    unit.Coefficient
}

func (e *PolarError) Error() string {
	return fmt.Sprintf("perf: the polar of %s gives CD %g at CL %.4g, must be above zero and finite", e.Aeroplane, e.CD, e.CL)
}

// ThrustError says that more thrust is wanted of a plant than it has.
type ThrustError struct {
	Want, Have unit.Force
	Speed      unit.TrueAirspeed
}

func (e *ThrustError) Error() string {
	return fmt.Sprintf("perf: %s of thrust is wanted at %s, full throttle gives %s", unit.Format(e.Want, "N"), unit.FormatPair(e.Speed, "TrueAirspeed"),
		unit.Format(e.Have, "N"))
}
