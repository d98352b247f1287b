package perf

import (
	"errors"
	"math"

	"foreplane/aerolib/atmos"
	"foreplane/aerolib/solve"
	"foreplane/aerolib/unit"
)

// Turn is a level turn without slip at constant speed.
type Turn struct {
	Point      // needed and available at the load factor
	LoadFactor unit.Ratio
	Bank       unit.Angle
	Radius     unit.Length // through the air
	Rate       unit.AngularRate
	Excess     unit.VerticalSpeed // specific excess power (T − D) V/W: what rate of climb or loss of speed the turn allows
}

// TurnAt returns the level turn at a speed and an angle of bank,
//
//	n = 1/cos φ,   R = V²/(g √(n² − 1)),   ω = g √(n² − 1)/V
//
// A bank of 0 has an infinite radius. It returns a [*unit.RangeError] for a bank outside 0 to 89°, and a [*StallError] if the turn takes more lift than there is.
func (a Aeroplane) TurnAt(air atmos.Air, V unit.TrueAirspeed, bank unit.Angle) (Turn, error) {
	if err := errors.Join(a.check("perf.TurnAt", air), checkSpeed("perf.TurnAt", air, V), unit.CheckRange("perf.TurnAt", "bank", bank, 0, 89*unit.Degree, "°")); err != nil {
		return Turn{}, err
	}
	return a.turn(air, V, 1/math.Cos(bank))
}

func (a Aeroplane) turn(air atmos.Air, V unit.TrueAirspeed, n unit.Ratio) (Turn, error) {
	p, err := a.point(air, V, n)
	if err != nil {
		return Turn{}, err
	}
	across := g * math.Sqrt(n*n-1) // centripetal acceleration
	return Turn{p, n, math.Acos(1 / n), V * V / across, across / V, p.Excess(a.Weight())}, nil
}

// SustainedTurn returns the tightest level turn at a speed that full throttle holds, T = D(n), or that lift allows, whichever is less. It returns an
// [*ImpossibleError] if not even level flight can be held.
func (a Aeroplane) SustainedTurn(air atmos.Air, V unit.TrueAirspeed) (Turn, error) {
	level, err := a.TurnAt(air, V, 0)
	if err != nil {
		return Turn{}, err
	}
	if level.Thrust < level.Drag {
		return Turn{}, &ImpossibleError{a.name(), "hold a level turn at " + unit.FormatPair(V, "TrueAirspeed"),
			"has " + unit.Format(level.Thrust, "N") + " of thrust and needs " + unit.Format(level.Drag, "N") + " without bank"}
	}
	_, most := a.lifts()
	most /= level.CL
	if tight, err := a.turn(air, V, most); err == nil && tight.Thrust >= tight.Drag {
		return tight, nil
	}
	n, err := solve.Root(func(n unit.Ratio) float64 {
		_, _, D, err := a.drag(air, V, n)
		if err != nil {
			return math.NaN()
		}
		return level.Thrust - D
	}, 1, most)
	if err != nil {
		return Turn{}, err
	}
	return a.turn(air, V, n)
}

// ExcessPower returns the specific excess power (T − D) V/W in flight at load factor n, in m/s: the rate of climb at that speed, or V/g times the acceleration. It
// returns a [*StallError] where lift does not suffice.
func (a Aeroplane) ExcessPower(air atmos.Air, V unit.TrueAirspeed, n unit.Ratio) (unit.VerticalSpeed, error) {
	if err := errors.Join(a.check("perf.ExcessPower", air), checkSpeed("perf.ExcessPower", air, V), unit.CheckRange("perf.ExcessPower", "load factor", n, 0, 20, "1")); err != nil {
		return 0, err
	}
	p, err := a.point(air, V, n)
	return p.Excess(a.Weight()), err
}

// CornerSpeed returns the speed at which lift just gives the limit load factor, the design manoeuvring speed V_A = V_S √n ([Part23], 23.335(c)). It is at once the
// stalling speed at load factor n, as in a turn with a bank of arccos 1/n. It returns a [*unit.PositiveError] for arguments not above zero.
func CornerSpeed(VS unit.EquivalentAirspeed, n unit.Ratio) (unit.EquivalentAirspeed, error) {
	err := errors.Join(unit.CheckPositive("perf.CornerSpeed", "stalling speed", VS, "kt"), unit.CheckPositive("perf.CornerSpeed", "load factor", n, "1"))
	if err != nil {
		return 0, err
	}
	return VS * math.Sqrt(n), nil
}

// LimitLoadFactor returns the positive limit manoeuvring load factor of the normal category,
//
//	n = 2.1 + 24 000/(W + 10 000)   W in lb, and 3.8 where that is more
//
// ([Part23], 23.337(a)(1), before amendment 64). It returns a [*unit.PositiveError] for a mass not above zero and a [*unit.RangeError] for one of the commuter
// category, above 12 500 lb.
func LimitLoadFactor(m unit.Mass) (unit.Ratio, error) {
	if err := errors.Join(unit.CheckPositive("perf.LimitLoadFactor", "mass", m, "kg"), unit.CheckRange("perf.LimitLoadFactor", "mass", m, 0, 12500*unit.Pound, "kg")); err != nil {
		return 0, err
	}
	return min(2.1+24000/(m/unit.Pound+10000), 3.8), nil
}
