package perf

import (
	"cmp"
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
// Below the stalling speed none is looked for, nor beyond the lift that the polar covers. What the aeroplane cannot do is left out with a note. It returns errors for
// bad input only.
func (a Aeroplane) Speeds(air atmos.Air) (Speeds, error) {
	if err := a.check("perf.Speeds", air); err != nil {
		return Speeds{}, err
	}
	s := Speeds{Aeroplane: a.name(), Mass: a.Mass, Air: air, Caution: Caution}
	for _, k := range named {
		if k.powered && a.Propulsion == nil {
			continue
		}
		V, err := k.find(a, air)
		var cannot *ImpossibleError
		if errors.As(err, &cannot) {
			s.Notes = append(s.Notes, "No "+k.symbol+": "+err.Error()+".")
			continue
		}
		if err != nil {
			return s, err
		}
		s.add(a, Named{Name: k.name, Symbol: k.symbol, Formula: k.formula, Speed: V})
	}
	return s, nil
}

// named are the speeds with their names, and how they are found.
var named = []struct {
	name, symbol, formula string
	powered               bool
	find                  func(Aeroplane, atmos.Air) (unit.TrueAirspeed, error)
}{
	{"stall", "V_S", "√(2W/(ρ S CL_max))", false, Aeroplane.knownStall},
	{"least power, least sink", "V_mp", "greatest CL^1.5/CD", false, greatestLift(1.5)},
	{"least drag, best glide", "V_md", "greatest CL/CD", false, greatestLift(1)},
	{"Carson's", "V_C", "greatest CL^0.5/CD", false, greatestLift(0.5)},
	{"steepest climb", "V_X", "greatest (T − D)/W", true, speedOf(Aeroplane.Steepest)},
	{"fastest climb", "V_Y", "greatest (T − D) V/W", true, speedOf(Aeroplane.Fastest)},
	{"fastest level flight", "V_H", "T = D", true, speedOf(Aeroplane.TopSpeed)},
}

func (a Aeroplane) knownStall(air atmos.Air) (unit.TrueAirspeed, error) {
	if a.MaxLift == 0 {
		return 0, &ImpossibleError{a.name(), "be given a stalling speed", "has no greatest lift stated, and speeds may show that are below it"}
	}
	return a.StallSpeed(air, 1)
}

func greatestLift(n unit.Ratio) func(Aeroplane, atmos.Air) (unit.TrueAirspeed, error) {
	return func(a Aeroplane, air atmos.Air) (unit.TrueAirspeed, error) {
		CL, err := a.bestLift(n)
		return a.speedAt(air, 1, CL), err
	}
}

func speedOf(find func(Aeroplane, atmos.Air) (Flight, error)) func(Aeroplane, atmos.Air) (unit.TrueAirspeed, error) {
	return func(a Aeroplane, air atmos.Air) (unit.TrueAirspeed, error) {
		f, err := find(a, air)
		return f.Speed, err
	}
}

// add completes a row. Where the polar does not come up to the greatest lift the stall needs an unknown power.
func (s *Speeds) add(a Aeroplane, n Named) {
	n.Equivalent = s.Air.EquivalentFromTrue(n.Speed)
	CL, _, D, err := a.drag(s.Air, n.Speed, 1)
	if n.CL = CL; err != nil {
		s.Notes = append(s.Notes, "No power for "+n.Symbol+": "+err.Error()+".")
	} else {
		n.Required = D * n.Speed
	}
	_, most := a.lifts()
	n.Limited = n.Symbol != "V_S" && CL > most*(1-1e-6)
	s.Rows = append(s.Rows, n)
}

// lifts returns the range of lift coefficients in which speeds are looked for: up to the greatest, as far as the polar covers it.
func (a Aeroplane) lifts() (least, greatest unit.Coefficient) {
	least, greatest = 1e-3, lastLift
	if a.MaxLift > 0 {
		greatest = a.MaxLift
	}
	if p, ok := a.Polar.(interface {
		Limits() (least, greatest unit.Coefficient)
	}); ok {
		from, to := p.Limits()
		least, greatest = max(least, from), min(greatest, to)
	}
	return least, greatest
}

// bestLift returns the lift coefficient of greatest CL^n/CD in the range.
func (a Aeroplane) bestLift(n unit.Ratio) (unit.Coefficient, error) {
	var first error
	least, greatest := a.lifts()
	CL, err := solve.Maximum(func(CL unit.Coefficient) float64 {
		CD, err := a.cd(CL)
		if err != nil {
			first = cmp.Or(first, err)
			return math.NaN()
		}
		return n*math.Log(CL) - math.Log(CD)
	}, least, greatest)
	if greatest-CL < 1e-6*greatest {
		CL = greatest
	}
	return CL, cmp.Or(first, err)
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
	CD, err := a.cd(CL)
	return CL, CL / CD, err
}

// row returns speeds 6 % apart, from the greatest lift to six times the speed of least drag, the least lift or Mach 0.95, whichever comes first.
func (a Aeroplane) row(air atmos.Air) ([]unit.TrueAirspeed, error) {
	CL, err := a.bestLift(1)
	if err != nil {
		return nil, err
	}
	least, greatest := a.lifts()
	var row []unit.TrueAirspeed
	for V, end := a.speedAt(air, 1, greatest)*(1+1e-12), min(6*a.speedAt(air, 1, CL), a.speedAt(air, 1, least), maxMach*air.SpeedOfSound); V < end; V *= 1.06 {
		row = append(row, V)
	}
	if len(row) == 0 {
		return nil, &ImpossibleError{a.name(), "fly in air of " + unit.Format(air.Density, "kg/m³"), "would stall at Mach " + unit.Format(air.Mach(a.speedAt(air, 1, greatest)), "1")}
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
	f, err := a.climb(air, V)
	f.Angle, f.Rate = 0, 0 // but for rounding
	return f, err
}

func (a Aeroplane) noTop(air atmos.Air, last int) error {
	if last < 0 {
		return &ImpossibleError{a.name(), "fly level in air of " + unit.Format(air.Density, "kg/m³"), "has less thrust than drag at all speeds"}
	}
	return &ImpossibleError{a.name(), "be held to subsonic speed", "has more thrust than drag up to Mach 0.95, beyond which a polar without compressibility says nothing"}
}
