package perf

import (
	"cmp"
	"errors"
	"math"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/atmos"
	"foreplane/aerolib/drag"
	"foreplane/aerolib/prop"
	"foreplane/aerolib/trim"
	"foreplane/aerolib/unit"
)

// Setup says in what state [Of] takes an aeroplane. The zero value is the clean aeroplane at sea level.
type Setup struct {
	Air     atmos.Air             // whose Reynolds numbers and propeller charts serve in all air; the standard one at sea level if zero
	Speed   unit.TrueAirspeed     // of the Reynolds numbers; that of CL 0.4 if zero
	Flaps   map[string]unit.Angle // deflections of controls that do not trim, by their names
	Drag    drag.Options
	MaxLift unit.Coefficient // greatest in trim; that of [trim.FindStall] with closed throttle if zero
}

// Of returns the aeroplane of a description, in trim: its polar goes through states that [trim.Solve] balances at the CG, with parasite and profile drag of package drag
// and the induced drag of all loads; its greatest lift is that of [trim.FindStall], so that what its foreplane or tailplane does to it counts; its plants are
// [prop.Installation] values with propellers put into a chart. Where sections have no data the polar ends below the greatest lift. Fuel is the item of that name in
// the list of masses.
//
// It returns the errors of these packages.
func Of(a aircraft.Aircraft, s Setup) (Aeroplane, error) {
	s, err := s.complete(a)
	if err != nil {
		return Aeroplane{}, err
	}
	out := Aeroplane{Name: a.Name, Mass: a.Mass, Area: a.Reference.Area, Span: a.Reference.Span, MaxLift: s.MaxLift, Fuel: fuelOf(a)}
	if out.Polar, err = trimmedPolar(a, s); err != nil {
		return Aeroplane{}, err
	}
	out.Propulsion, err = drivenBy(a, s)
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
	stall, err := trim.FindStall(a, trim.Condition{Air: s.Air, Flaps: s.Flaps, Thrust: trim.Off}, trim.StallSettings{})
	s.MaxLift = stall.CL
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

func drivenBy(a aircraft.Aircraft, s Setup) (Propulsion, error) {
	if len(a.Plants) == 0 {
		return nil, nil
	}
	var out Driven
	for _, p := range a.Plants {
		i, err := prop.Install(a, p, s.Air, s.Speed)
		if err != nil {
			return nil, err
		}
		if i.Drive, err = i.Drive.Tabulated(s.Air); err != nil {
			return nil, err
		}
		out = append(out, i)
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

// leastLift begins polars in trim: light aeroplanes fly at half the speed of sound there.
const leastLift unit.Coefficient = 0.03

// trimmedPolar returns the drag in trim through lift coefficients up to the greatest, as far as the data of the sections go.
func trimmedPolar(a aircraft.Aircraft, s Setup) (drag.Polar, error) {
	const points = 24
	build, err := drag.Build(a, drag.Flight{Air: s.Air, Speed: s.Speed, Deflections: s.Flaps}, s.Drag)
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
