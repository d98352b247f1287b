package perf

import (
	"cmp"
	"errors"
	"fmt"
	"math"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/atmos"
	"foreplane/aerolib/drag"
	"foreplane/aerolib/prop"
	"foreplane/aerolib/solve"
	"foreplane/aerolib/trim"
	"foreplane/aerolib/unit"
)

// Setup says in what state [Of] takes an aeroplane. The zero value is the clean aeroplane at sea level.
type Setup struct {
	Air     atmos.Air             // whose Reynolds numbers and propeller charts serve in all air; the standard one at sea level if zero
	Speed   unit.TrueAirspeed     // of the Reynolds numbers; that of CL 0.4 if zero
	Flaps   map[string]unit.Angle // deflections of controls that do not trim, by their names
	Drag    drag.Options
	MaxLift unit.Coefficient // greatest in trim, if it is known better than by the closed form
}

// Of returns the aeroplane of a description, in trim: its polar goes through states that [trim.Solve] balances at the CG, with parasite and profile drag of package drag
// and the induced drag of all loads; its greatest lift is where in trim the first surface uses up what its sections bear, or the control comes to its stop; its plants have
// propellers of blade elements, put into a chart. Fuel is the item of that name in the list of masses.
//
// It returns the errors of these packages, and an [*ImpossibleError] for an aeroplane that cannot be trimmed over a range of lift.
func Of(a aircraft.Aircraft, s Setup) (Aeroplane, error) {
	s, err := s.complete(a)
	if err != nil {
		return Aeroplane{}, err
	}
	out := Aeroplane{Name: a.Name, Mass: a.Mass, Area: a.Reference.Area, Span: a.Reference.Span, MaxLift: s.MaxLift, Fuel: fuelOf(a)}
	if out.Polar, err = trimmedPolar(a, s); err != nil {
		return Aeroplane{}, err
	}
	out.Propulsion, err = drivenBy(a, s.Air)
	return out, err
}

// complete fills in what is not set.
func (s Setup) complete(a aircraft.Aircraft) (Setup, error) {
	if err := a.Validate(); err != nil {
		return s, err
	}
	if s.Air == (atmos.Air{}) {
		sea, err := atmos.Standard(0)
		if err != nil {
			return s, err
		}
		s.Air = sea
	}
	if err := checkAir("perf.Of", s.Air); err != nil {
		return s, err
	}
	if s.Speed == 0 {
		s.Speed = math.Sqrt(2 * a.Weight() / (s.Air.Density * a.Reference.Area * 0.4))
	}
	if s.MaxLift != 0 {
		return s, unit.CheckPositive("perf.Of", "greatest lift coefficient", s.MaxLift, "1")
	}
	var err error
	s.MaxLift, err = trimmedMaxLift(a, s)
	return s, err
}

func fuelOf(a aircraft.Aircraft) (sum unit.Mass) {
	for _, m := range a.Masses {
		if m.Name == "fuel" {
			sum += m.Mass
		}
	}
	return sum
}

func drivenBy(a aircraft.Aircraft, air atmos.Air) (Propulsion, error) {
	if len(a.Plants) == 0 {
		return nil, nil
	}
	var out Driven
	for _, p := range a.Plants {
		d, err := prop.DriveOf(p)
		if err != nil {
			return nil, err
		}
		if d, err = d.Tabulated(air); err != nil {
			return nil, err
		}
		out = append(out, d)
	}
	return out, nil
}

// trimmed returns the aeroplane in trim at a lift coefficient; a control beyond its stop is no error here.
func trimmed(a aircraft.Aircraft, s Setup, CL unit.Coefficient) (trim.Result, error) {
	r, err := trim.Solve(a, trim.Condition{Air: s.Air, CL: CL, Flaps: s.Flaps})
	var limit *trim.LimitError
	if errors.As(err, &limit) {
		return r, nil
	}
	return r, err
}

// trimmedMaxLift returns the lift coefficient at which the first surface uses up what its sections bear, or the control comes to its stop.
func trimmedMaxLift(a aircraft.Aircraft, s Setup) (unit.Coefficient, error) {
	const least, step, most = 0.3, 0.1, 4
	var first error
	over := func(CL unit.Coefficient) float64 {
		r, err := trimmed(a, s, CL)
		if err != nil {
			first = cmp.Or(first, err)
			return math.NaN()
		}
		return used(a, r) - 1
	}
	high := least // the first above; far beyond there is no trim to speak of
	for high < most && over(high) < 0 {
		high += step
	}
	CL, err := solve.Root(over, high-step, high)
	if err := cmp.Or(first, err); err != nil {
		return 0, fmt.Errorf("perf.Of: the greatest lift of %s in trim: %w", a.Name, err)
	}
	return CL, nil
}

// used returns what is used of section limits and control travel, of the part nearest to its end.
func used(a aircraft.Aircraft, r trim.Result) (most unit.Ratio) {
	for i, s := range a.Lifting() {
		most = max(most, r.Loads[i].Critical.Used)
		if c, ok := s.PitchControl(); ok && c.Name == r.Control {
			most = max(most, r.Deflection/c.Max, r.Deflection/c.Min)
		}
	}
	return most
}

// leastLift begins polars in trim: light aeroplanes fly at half the speed of sound there.
const leastLift unit.Coefficient = 0.03

// trimmedPolar returns the drag in trim through lift coefficients up to the greatest, as far as the data of the sections go.
func trimmedPolar(a aircraft.Aircraft, s Setup) (drag.Polar, error) {
	const points = 24
	build, err := drag.Build(a, drag.Flight{Air: s.Air, Speed: s.Speed}, s.Drag)
	if err != nil {
		return drag.Polar{}, err
	}
	var through []drag.Point
	var last error
	for i := range points + 1 {
		CL := max(s.MaxLift*(1e-9+unit.Ratio(i)/points), leastLift) // up to a little more than the greatest, for rounding
		r, err := trimmed(a, s, CL)
		if err != nil {
			return drag.Polar{}, err
		}
		b, err := drag.Of(build, loads(r), drag.Induced{CL: CL, CD: r.Drag.Induced, Method: r.Method})
		if err != nil {
			last = err
			continue
		}
		p := b.Point()
		p.CL, p.Alpha, p.Control = CL, r.Alpha, r.Deflection
		through = append(through, p)
	}
	if len(through) < 3 {
		return drag.Polar{}, cmp.Or(last, error(&ImpossibleError{a.Name, "be given a polar", "has drag at too few lift coefficients"}))
	}
	return drag.NewPolar(a.Name+" in trim", a.Reference.Span*a.Reference.Span/a.Reference.Area, through)
}

func loads(r trim.Result) (out []drag.Load) {
	for _, l := range r.Loads {
		out = append(out, drag.Load{Surface: l.Name, CL: l.CL})
	}
	return out
}
