package perf

import (
	"errors"
	"fmt"
	"math"

	"foreplane/aerolib/atmos"
	"foreplane/aerolib/unit"
)

const (
	g        unit.Acceleration = unit.StandardGravity
	maxMach  unit.MachNumber   = 0.95 // no polar of this package knows of the speed of sound
	lastLift unit.Coefficient  = 3    // where the greatest lift is not known, speeds are looked for up to here
)

// Polar is the drag of the whole aeroplane over its lift, on the same area, in trim if what follows from it is to be so. [drag.Polar] and [drag.Parabola] are ones.
type Polar interface {
	CD(CL unit.Coefficient) (unit.Coefficient, error)
}

// Propulsion is all that drives the aeroplane.
type Propulsion interface {
	// Full returns what full throttle gives, and what it takes.
	Full(air atmos.Air, V unit.TrueAirspeed) (Output, error)
	// For returns what it takes to give a thrust, a [*ThrustError] if that is more than full throttle gives.
	For(air atmos.Air, V unit.TrueAirspeed, thrust unit.Force) (Output, error)
}

// Output is what a plant gives and takes.
type Output struct {
	Thrust   unit.Force
	Shaft    unit.Power // of the engines; 0 of a jet
	Fuel     unit.MassFlow
	Electric unit.Power // drawn from the battery
}

// Aeroplane is what performance needs to know of an aeroplane. [Of] makes one from its description; a literal serves for textbook cases. Lift and drag
// coefficients are on Area.
type Aeroplane struct {
	Name       string
	Mass       unit.Mass
	Area       unit.Area
	Span       unit.Length // for ground effect
	Polar      Polar
	Propulsion Propulsion       // nil of a glider
	MaxLift    unit.Coefficient // greatest in trim; 0 if not known
	Fuel       unit.Mass        // usable, part of Mass
	Battery    unit.Energy      // usable
}

// Weight returns the weight at standard gravity.
func (a Aeroplane) Weight() unit.Weight { return a.Mass * g }

// check is the door of all methods.
func (a Aeroplane) check(function string, air atmos.Air) error {
	if a.Polar == nil {
		return errors.New(function + ": " + a.name() + " has no polar")
	}
	if err := errors.Join(unit.CheckPositive(function, "mass", a.Mass, "kg"), unit.CheckPositive(function, "area", a.Area, "m²"),
		unit.CheckRange(function, "greatest lift coefficient", a.MaxLift, 0, math.Inf(1), "1"), unit.CheckRange(function, "fuel", a.Fuel, 0, a.Mass, "kg"),
		unit.CheckRange(function, "battery", a.Battery, 0, math.Inf(1), "J")); err != nil {
		return err
	}
	return checkAir(function, air)
}

func checkAir(function string, air atmos.Air) error {
	return errors.Join(unit.CheckPositive(function, "air density", air.Density, "kg/m³"), unit.CheckPositive(function, "speed of sound", air.SpeedOfSound, "m/s"))
}

func checkSpeed(function string, air atmos.Air, V unit.TrueAirspeed) error {
	if err := unit.CheckPositive(function, "true airspeed", V, "m/s"); err != nil {
		return err
	}
	return unit.CheckRange(function, "Mach number", air.Mach(V), 0, maxMach, "1")
}

func (a Aeroplane) name() string {
	if a.Name == "" {
		return "the aeroplane"
	}
	return a.Name
}

func (a Aeroplane) propulsion(task string) (Propulsion, error) {
	if a.Propulsion == nil {
		return nil, &ImpossibleError{a.name(), task, "has no engine"}
	}
	return a.Propulsion, nil
}

// drag returns lift coefficient, drag coefficient and drag at load factor n, measured across the path.
func (a Aeroplane) drag(air atmos.Air, V unit.TrueAirspeed, n unit.Ratio) (CL, CD unit.Coefficient, D unit.Force, err error) {
	qS := air.DynamicPressure(V) * a.Area
	CL = n * a.Weight() / qS
	if CD, err = a.cd(CL); err != nil {
		return CL, CD, 0, err
	}
	return CL, CD, qS * CD, nil
}

func (a Aeroplane) cd(CL unit.Coefficient) (unit.Coefficient, error) {
	CD, err := a.Polar.CD(CL)
	if err != nil {
		return CD, fmt.Errorf("perf: the polar of %s at CL %.4g: %w", a.name(), CL, err)
	}
	if !(CD > 0) || math.IsInf(CD, 1) {
		return CD, &PolarError{a.name(), CL, CD}
	}
	return CD, nil
}

// StallSpeed returns the true airspeed of greatest trimmed lift at load factor n,
//
//	V_S = √(2 n W/(ρ S CL_max))
//
// It returns an error if the greatest lift of the aeroplane is not known, and a [*unit.PositiveError] for n not above zero.
func (a Aeroplane) StallSpeed(air atmos.Air, n unit.Ratio) (unit.TrueAirspeed, error) {
	if err := errors.Join(a.check("perf.StallSpeed", air), unit.CheckPositive("perf.StallSpeed", "load factor", n, "1"),
		unit.CheckPositive("perf.StallSpeed", "greatest lift coefficient", a.MaxLift, "1")); err != nil {
		return 0, err
	}
	return a.speedAt(air, n, a.MaxLift), nil
}

// speedAt returns the speed at which load factor n takes a lift coefficient.
func (a Aeroplane) speedAt(air atmos.Air, n unit.Ratio, CL unit.Coefficient) unit.TrueAirspeed {
	return math.Sqrt(2 * n * a.Weight() / (air.Density * a.Area * CL))
}

// stalled returns a [*StallError] if CL is more than the aeroplane has.
func (a Aeroplane) stalled(air atmos.Air, V unit.TrueAirspeed, n unit.Ratio, CL unit.Coefficient) error {
	if a.MaxLift == 0 || CL <= a.MaxLift*(1+1e-9) {
		return nil
	}
	return &StallError{a.name(), V, a.speedAt(air, n, a.MaxLift), n}
}
