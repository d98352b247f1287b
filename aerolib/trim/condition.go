package trim

import (
	"errors"
	"fmt"
	"maps"
	"math"
	"slices"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/atmos"
	"foreplane/aerolib/drag"
	"foreplane/aerolib/unit"
)

// Condition is a state of steady flight. The zero value of what is not stated is level flight in free air with thrust that balances the drag.
//
//	trim.Condition{Air: air, Speed: 45 * unit.MetrePerSecond, Manoeuvre: trim.PullUp, LoadFactor: 2}
type Condition struct {
	Air     atmos.Air
	Speed   unit.TrueAirspeed // or CL; of the two one is stated
	CL      unit.Coefficient  // n W/(q S_ref)
	Control string            // name of the control that trims, or of its surface; may be empty if only one is for pitch

	Manoeuvre  Manoeuvre
	LoadFactor unit.Ratio            // n of a manoeuvre; level flight has 1 and needs none stated
	Flaps      map[string]unit.Angle // deflections of further controls by their names: flaps, and controls for pitch that do not trim

	Thrust Thrust
	Force  unit.Force  // thrust of all engines together, if that is given
	Height unit.Length // of the datum above the ground; 0 is free air
	GearUp bool        // drag of gear that retracts does not count

	// Buildup is the drag without lift; nil builds it up with Raymer's form factors, at the speed. Stating it saves time where many states of one aeroplane are trimmed.
	Buildup *drag.Buildup

	Omit Omit
}

// Manoeuvre says which path goes with the load factor.
type Manoeuvre int

// Manoeuvres. The pitch rate is 0 in level flight, g(n−1)/V in a pull-up and g(n−1/n)/V in a turn.
const (
	Level Manoeuvre = iota
	PullUp
	Turn
)

func (m Manoeuvre) String() string { return nameOf(int(m), "level flight", "pull-up", "turn") }

// Thrust says where thrust comes from.
type Thrust int

// Kinds of thrust.
const (
	Balanced Thrust = iota // with the drag: the speed is steady
	Given                  // as Force says; the speed changes, or the path is inclined
	Off                    // none; the propeller turns at its rated speed
)

func (t Thrust) String() string { return nameOf(int(t), "thrust as drag", "thrust given", "no thrust") }

func nameOf(i int, names ...string) string {
	if i < 0 || i >= len(names) {
		return fmt.Sprintf("no kind known, number %d", i)
	}
	return names[i]
}

// Omit leaves something out that is counted otherwise. No result that lacks one of them is for CG limits, and it says so.
type Omit struct {
	Bodies     bool
	Propellers bool // their normal force
	ThrustLine bool // thrust then acts along the path through the CG
}

// Bare leaves out all but the lifting surfaces.
var Bare = Omit{Bodies: true, Propellers: true, ThrustLine: true}

// At returns the condition at pressure altitude h on a standard day. It returns a [*unit.RangeError] for an altitude outside the standard atmosphere.
func At(h unit.PressureAltitude, V unit.TrueAirspeed) (Condition, error) {
	air, err := atmos.OffStandard(h, 0)
	return Condition{Air: air, Speed: V}, err
}

// flight is a condition worked out for an aeroplane.
type flight struct {
	Condition // with the speed
	n         unit.Ratio
	q         unit.DynamicPressure
	mach      unit.MachNumber
	CL        unit.Coefficient
	rate      unit.PerLength // pitch rate over speed
}

// flightOf works out speed, load factor and pitch rate, and refuses what contradicts itself.
func flightOf(a aircraft.Aircraft, c Condition) (flight, error) {
	f := flight{Condition: c, n: 1}
	if err := errors.Join(checkAir(c.Air), f.load(), checkThrust(c)); err != nil {
		return f, err
	}
	weight := f.n * a.Weight()
	switch {
	case c.Speed != 0 && c.CL != 0:
		return f, fmt.Errorf("trim: both speed %s and CL %.4g are stated; one follows from the other, leave it 0", unit.Format(c.Speed, "m/s"), c.CL)
	case c.CL != 0:
		if err := unit.CheckPositive("trim.Solve", "load factor over CL", f.n/c.CL, "1"); err != nil {
			return f, err
		}
		f.Speed = math.Sqrt(2 * weight / (c.Air.Density * a.Reference.Area * c.CL))
		f.Condition.CL = 0
	}
	if err := unit.CheckPositive("trim.Solve", "true airspeed", f.Speed, "m/s"); err != nil {
		return f, err
	}
	f.mach = c.Air.Mach(f.Speed)
	if err := unit.CheckRange("trim.Solve", "Mach number", f.mach, 0, maxMach, "1"); err != nil {
		return f, err
	}
	f.q = c.Air.DynamicPressure(f.Speed)
	f.CL = weight / (f.q * a.Reference.Area)
	f.rate = unit.StandardGravity * f.excess() / (f.Speed * f.Speed)
	return f, f.ground(a)
}

func checkAir(air atmos.Air) error {
	return errors.Join(unit.CheckPositive("trim.Solve", "air density", air.Density, "kg/m³"), unit.CheckPositive("trim.Solve", "speed of sound", air.SpeedOfSound, "m/s"))
}

// load sets the load factor.
func (f *flight) load() error {
	switch least := math.Inf(-1); f.Manoeuvre {
	case Level:
		if f.LoadFactor != 0 && f.LoadFactor != 1 {
			return fmt.Errorf("trim: level flight has load factor 1, not %.4g: say PullUp or Turn", f.LoadFactor)
		}
	case PullUp, Turn:
		if f.n = f.LoadFactor; f.Manoeuvre == Turn {
			least = 1
		}
		return unit.CheckRange("trim.Solve", "load factor of the "+f.Manoeuvre.String(), f.n, least, math.Inf(1), "1")
	default:
		return fmt.Errorf("trim: the manoeuvre is %v", f.Manoeuvre)
	}
	return nil
}

// excess returns what of the load factor bends the path upwards as the aeroplane sees it, V q/g.
func (f flight) excess() unit.Ratio {
	switch f.Manoeuvre {
	case PullUp:
		return f.n - 1
	case Turn:
		return f.n - 1/f.n
	}
	return 0
}

func checkThrust(c Condition) error {
	switch c.Thrust {
	case Balanced, Off:
		if c.Force != 0 {
			return fmt.Errorf("trim: a thrust of %s is stated, but the kind of thrust is %q: say Given", unit.Format(c.Force, "N"), c.Thrust)
		}
		return nil
	case Given:
		return unit.CheckRange("trim.Solve", "thrust", c.Force, math.Inf(-1), math.Inf(1), "N")
	}
	return fmt.Errorf("trim: the thrust is %v", c.Thrust)
}

// ground refuses surfaces in the ground.
func (f flight) ground(a aircraft.Aircraft) error {
	if err := unit.CheckRange("trim.Solve", "height above the ground", f.Height, 0, math.Inf(1), "m"); err != nil || f.Height == 0 {
		return err
	}
	for _, s := range a.Lifting() {
		for _, t := range s.Stations {
			if !(f.Height+t.Z > 0) {
				return fmt.Errorf("trim: with the datum %s above the ground the %s stands in it, at z %s", unit.Format(f.Height, "m"), s.Name, unit.Format(t.Z, "m"))
			}
		}
	}
	return nil
}

// settings returns the deflections of the controls of a surface that are set, and refuses those of names that do not exist, or beyond their limits.
func settings(a aircraft.Aircraft, c Condition, trims string) error {
	known := map[string]aircraft.Control{}
	for _, s := range a.Lifting() {
		for _, d := range s.Controls {
			known[d.Name] = d
		}
	}
	for _, name := range slices.Sorted(maps.Keys(c.Flaps)) {
		d, ok := known[name]
		switch {
		case !ok:
			return fmt.Errorf("trim: %s has no control called %q on its lifting surfaces to set", a.Name, name)
		case name == trims:
			return fmt.Errorf("trim: the %s of %s trims, so it cannot be set as well", name, a.Name)
		case d.Purpose != aircraft.Flap && d.Purpose != aircraft.Pitch:
			return fmt.Errorf("trim: the %s of %s are for %s: only flaps and controls for pitch can be set in trim", name, a.Name, d.Purpose)
		}
		if err := unit.CheckRange("trim.Solve", "deflection of the "+name, c.Flaps[name], d.Min, d.Max, "°"); err != nil {
			return err
		}
	}
	return nil
}
