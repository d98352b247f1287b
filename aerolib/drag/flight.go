package drag

import (
	"maps"
	"slices"
	"strings"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/atmos"
	"foreplane/aerolib/unit"
)

// Flight is the state that drag without lift depends on. Without more than air and speed it is flight under power with the gear down and all controls at rest.
type Flight struct {
	Air         atmos.Air
	Speed       unit.TrueAirspeed
	GearUp      bool                  // items that retract do not count
	PowerOff    bool                  // the propeller does not hold the flow to a body ahead of it
	Deflections map[string]unit.Angle // of controls, by name; one that is not named stays at 0
}

// At returns the flight at pressure altitude h on a standard day. It returns a [*unit.RangeError] for an altitude outside the standard atmosphere.
func At(h unit.PressureAltitude, V unit.TrueAirspeed) (Flight, error) {
	air, err := atmos.OffStandard(h, 0)
	return Flight{Air: air, Speed: V}, err
}

// Mach returns the Mach number.
func (f Flight) Mach() unit.MachNumber { return f.Air.Mach(f.Speed) }

func (f Flight) check(function string) error {
	for _, err := range []error{
		unit.CheckPositive(function, "air density", f.Air.Density, "kg/m³"),
		unit.CheckPositive(function, "speed of sound", f.Air.SpeedOfSound, "m/s"),
		unit.CheckPositive(function, "viscosity", f.Air.Viscosity, "Pa·s"),
		unit.CheckPositive(function, "true airspeed", f.Speed, "m/s"),
	} {
		if err != nil {
			return err
		}
	}
	return unit.CheckRange(function, "Mach number", f.Mach(), 0, maxMach, "1")
}

// Options are the choices of the build-up. The zero value is: transition at a Reynolds number of 5·10⁵, smooth skin, sections for surfaces, Hoerner's factor for bodies.
type Options struct {
	Transition   Transition            // of everything that Transitions does not name
	Transitions  map[string]Transition // by the names of surfaces and bodies
	Roughness    unit.Length           // see [Plate]
	Law          Law
	Surfaces     Form                  // Sections, Raymer or Hoerner; "" is Sections
	Bodies       Form                  // Raymer or Hoerner; "" is Hoerner
	Interference map[string]unit.Ratio // by the names of surfaces and bodies; see [Build] for what is not named
}

// filled returns the options with what "" stands for, or an error for what is not known.
func (o Options) filled(a aircraft.Aircraft) (Options, error) {
	const f = "drag.Build"
	if o.Surfaces == "" {
		o.Surfaces = Sections
	}
	if o.Bodies == "" {
		o.Bodies = Hoerner
	}
	if !slices.Contains([]Form{Sections, Raymer, Hoerner}, o.Surfaces) {
		return o, &Error{f, "form of surfaces", "is " + string(o.Surfaces) + ", must be sections, Raymer or Hoerner"}
	}
	if !slices.Contains([]Form{Raymer, Hoerner}, o.Bodies) {
		return o, &Error{f, "form of bodies", "is " + string(o.Bodies) + ", must be Raymer or Hoerner"}
	}
	names := components(a)
	for _, name := range slices.Sorted(maps.Keys(o.Interference)) {
		if !slices.Contains(names, name) {
			return o, unknown("interference", name, names)
		}
		if err := unit.CheckRange(f, "interference factor of the "+name, o.Interference[name], 0.5, 3, "1"); err != nil {
			return o, err
		}
	}
	for _, name := range slices.Sorted(maps.Keys(o.Transitions)) {
		if !slices.Contains(names, name) {
			return o, unknown("transition", name, names)
		}
	}
	return o, nil
}

func unknown(what, name string, names []string) error {
	return &Error{"drag.Build", what, "is given for " + name + ", which the aeroplane does not have; it has " + strings.Join(names, ", ")}
}

// components returns the names of surfaces and bodies.
func components(a aircraft.Aircraft) []string {
	var names []string
	for _, s := range a.Surfaces {
		names = append(names, s.Name)
	}
	for _, b := range a.Bodies {
		names = append(names, b.Name)
	}
	return names
}

// transition returns that of a component.
func (o Options) transition(name string) Transition {
	if t, ok := o.Transitions[name]; ok {
		return t
	}
	return o.Transition
}

// interference is a factor with where it comes from.
type interference struct {
	value  unit.Ratio
	source string
}

// usual are the interference factors by role.
var usual = map[aircraft.Role]interference{
	aircraft.Wing:      {1, "well filleted (Raymer)"},
	aircraft.Foreplane: {1.05, "as of a tail (common practice)"},
	aircraft.Tailplane: {1.05, "conventional tail (Raymer)"},
	aircraft.Fin:       {1.05, "conventional tail (Raymer)"},
	aircraft.TipFin:    {1.05, "as of a tail (common practice)"},
}

// interferenceOf returns the factor of a component.
func (o Options) interferenceOf(name string, otherwise interference) interference {
	if q, ok := o.Interference[name]; ok {
		return interference{q, "given"}
	}
	return otherwise
}
