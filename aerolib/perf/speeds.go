package perf

import (
	"errors"
	"math"

	"foreplane/aerolib/atmos"
	"foreplane/aerolib/solve"
	"foreplane/aerolib/unit"
)

// Named is a speed with a name.
type Named struct {
	Name, Symbol string
	Formula      string
	Speed        unit.TrueAirspeed
	Equivalent   unit.EquivalentAirspeed
	CL           unit.Coefficient
	Required     unit.Power // for level flight, D V
	Limited      bool       // by the greatest lift: the optimum would be slower
}

// Speeds are the speeds of an aeroplane in one state of the air.
type Speeds struct {
	Aeroplane string
	Mass      unit.Mass
	Air       atmos.Air
	Rows      []Named
	Notes     []string // what is left out, and why
	Caution   string
}

// Get returns the speed with a symbol, such as "V_Y".
func (s Speeds) Get(symbol string) (Named, error) {
	for _, n := range s.Rows {
		if n.Symbol == symbol {
			return n, nil
		}
	}
	return Named{}, errors.New("perf.Speeds: there is no " + symbol + " for " + s.Aeroplane)
}

// Speeds returns the speeds that pilots and designers name:
//
//	V_S    stall                    √(2W/(ρ S CL_max))
//	V_mp   least power, least sink  greatest CL^1.5/CD
//	V_md   least drag, best glide   greatest CL/CD
//	V_C    Carson's                 greatest CL^0.5/CD
//	V_X    steepest climb           greatest (T − D)/W, at the angle of climb
//	V_Y    fastest climb            greatest (T − D) V/W, at the angle of climb
//	V_H    fastest level flight     T = D
//
// Below the stalling speed none is looked for. What the aeroplane cannot do is left out with a note. It returns errors for bad input only.
func (a Aeroplane) Speeds(air atmos.Air) (Speeds, error) {
	if err := a.check("perf.Speeds", air); err != nil {
		return Speeds{}, err
	}
	s := Speeds{Aeroplane: a.name(), Mass: a.Mass, Air: air, Caution: Caution}
	if a.MaxLift > 0 {
		s.add(a.named("stall", "V_S", "√(2W/(ρ S CL_max))", air, a.speedAt(air, 1, a.MaxLift)))
	} else {
		s.Notes = append(s.Notes, "The greatest lift is not known: there is no stalling speed, and speeds below it may show.")
	}
	for _, o := range optima {
		CL, err := a.bestLift(o.power)
		if err != nil {
			return s, err
		}
		s.add(a.named(o.name, o.symbol, o.formula, air, a.speedAt(air, 1, CL)))
	}
	if a.Propulsion == nil {
		return s, nil
	}
	for _, c := range []struct {
		name, symbol, formula string
		find                  func(Aeroplane, atmos.Air) (Flight, error)
	}{
		{"steepest climb", "V_X", "greatest (T − D)/W", Aeroplane.Steepest},
		{"fastest climb", "V_Y", "greatest (T − D) V/W", Aeroplane.Fastest},
		{"fastest level flight", "V_H", "T = D", Aeroplane.TopSpeed},
	} {
		f, err := c.find(a, air)
		var cannot *ImpossibleError
		if errors.As(err, &cannot) {
			s.Notes = append(s.Notes, "No "+c.symbol+": "+err.Error()+".")
			continue
		}
		if err != nil {
			return s, err
		}
		s.add(a.named(c.name, c.symbol, c.formula, air, f.Speed))
	}
	return s, nil
}

// optima are the speeds that follow from the polar alone, by the power of CL in what is to be greatest, CL^n/CD.
var optima = []struct {
	name, symbol, formula string
	power                 unit.Ratio
}{
	{"least power, least sink", "V_mp", "greatest CL^1.5/CD", 1.5},
	{"least drag, best glide", "V_md", "greatest CL/CD", 1},
	{"Carson's", "V_C", "greatest CL^0.5/CD", 0.5},
}

func (s *Speeds) add(n Named) { s.Rows = append(s.Rows, n) }

func (a Aeroplane) named(name, symbol, formula string, air atmos.Air, V unit.TrueAirspeed) Named {
	CL := a.Weight() / (air.DynamicPressure(V) * a.Area)
	D := air.DynamicPressure(V) * a.Area * a.Polar.CD(CL)
	return Named{name, symbol, formula, V, air.EquivalentFromTrue(V), CL, D * V, symbol != "V_S" && CL > a.topLift()*(1-1e-6)}
}

// bestLift returns the lift coefficient of greatest CL^n/CD up to the greatest there is.
func (a Aeroplane) bestLift(n unit.Ratio) (unit.Coefficient, error) {
	CL, err := solve.Maximum(func(CL unit.Coefficient) float64 { return n*math.Log(CL) - math.Log(a.Polar.CD(CL)) }, 1e-3*a.topLift(), a.topLift())
	var bad *solve.ValueError
	if errors.As(err, &bad) {
		return 0, &PolarError{a.name(), bad.X, a.Polar.CD(bad.X)}
	}
	if math.Abs(CL-a.topLift()) < 1e-6*a.topLift() {
		CL = a.topLift()
	}
	return CL, err
}

// LiftToDrag returns the greatest CL/CD up to the greatest lift, and its lift coefficient.
func (a Aeroplane) LiftToDrag() (CL unit.Coefficient, ratio unit.Ratio, err error) {
	sea, err := atmos.Standard(0)
	if err := errors.Join(err, a.check("perf.LiftToDrag", sea)); err != nil {
		return 0, 0, err
	}
	if CL, err = a.bestLift(1); err != nil {
		return 0, 0, err
	}
	return CL, CL / a.Polar.CD(CL), nil
}

// row returns speeds from the stall, 6 % apart, to where level flight takes six times the speed of least drag or comes to Mach 0.95.
func (a Aeroplane) row(air atmos.Air) ([]unit.TrueAirspeed, error) {
	CL, err := a.bestLift(1)
	if err != nil {
		return nil, err
	}
	var row []unit.TrueAirspeed
	slowest := a.speedAt(air, 1, a.topLift())
	for V, end := slowest, min(6*a.speedAt(air, 1, CL), maxMach*air.SpeedOfSound); V < end; V *= 1.06 {
		row = append(row, V)
	}
	return row, nil
}

// TopSpeed returns the fastest level flight with full throttle, at V_H. It returns an [*ImpossibleError] if no speed can be held, or if thrust is still more than
// drag at Mach 0.95.
func (a Aeroplane) TopSpeed(air atmos.Air) (Flight, error) {
	if _, err := a.propulsion("fly level"); err != nil {
		return Flight{}, err
	}
	if err := a.check("perf.TopSpeed", air); err != nil {
		return Flight{}, err
	}
	row, err := a.row(air)
	if err != nil {
		return Flight{}, err
	}
	last := -1 // the fastest that can be held
	for i, V := range row {
		if p, err := a.point(air, V, 1); err == nil && p.Thrust >= p.Drag {
			last = i
		}
	}
	if last < 0 || last == len(row)-1 {
		return Flight{}, a.noTop(air, last)
	}
	V, err := solve.Root(func(V unit.TrueAirspeed) float64 {
		p, err := a.point(air, V, 1)
		if err != nil {
			return math.NaN()
		}
		return p.Thrust - p.Drag
	}, row[last], row[last+1])
	if err != nil {
		return Flight{}, err
	}
	return a.climb(air, V)
}

func (a Aeroplane) noTop(air atmos.Air, last int) error {
	if last < 0 {
		return &ImpossibleError{a.name(), "fly level in air of " + unit.Format(air.Density, "kg/m³"), "has less thrust than drag at all speeds"}
	}
	return &ImpossibleError{a.name(), "be held to subsonic speed", "has more thrust than drag up to Mach 0.95, beyond which a polar without compressibility says nothing"}
}
