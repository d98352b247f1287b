package perf

import (
	"errors"
	"fmt"
	"math"

	"foreplane/aerolib/atmos"
	"foreplane/aerolib/unit"
)

// Schedule says at what speed to fly, from the aeroplane with its momentary mass and the air around it.
type Schedule func(a Aeroplane, air atmos.Air) (unit.TrueAirspeed, error)

// HoldTrue holds a true airspeed.
func HoldTrue(V unit.TrueAirspeed) Schedule {
	return func(Aeroplane, atmos.Air) (unit.TrueAirspeed, error) { return V, nil }
}

// HoldEquivalent holds an equivalent airspeed, as pilots nearly do in a climb.
func HoldEquivalent(V unit.EquivalentAirspeed) Schedule {
	return func(_ Aeroplane, air atmos.Air) (unit.TrueAirspeed, error) { return air.TrueFromEquivalent(V), nil }
}

// HoldMach holds a Mach number.
func HoldMach(M unit.MachNumber) Schedule {
	return func(_ Aeroplane, air atmos.Air) (unit.TrueAirspeed, error) { return air.TrueFromMach(M), nil }
}

// HoldLift holds the lift coefficient of level flight, as the closed forms of Breguet do: the speed falls with weight.
func HoldLift(CL unit.Coefficient) Schedule {
	return func(a Aeroplane, air atmos.Air) (unit.TrueAirspeed, error) {
		if err := unit.CheckPositive("perf.HoldLift", "lift coefficient", CL, "1"); err != nil {
			return 0, err
		}
		return a.speedAt(air, 1, CL), nil
	}
}

// BestRate holds the speed of the fastest climb.
func BestRate(a Aeroplane, air atmos.Air) (unit.TrueAirspeed, error) {
	f, err := a.Fastest(air)
	return f.Speed, err
}

// Kind is what a leg of a mission is.
type Kind string

// Kinds of legs.
const (
	ClimbLeg   Kind = "climb"   // with full throttle to an altitude
	CruiseLeg  Kind = "cruise"  // level, for a distance, a time, an amount of fuel or of energy
	DescentLeg Kind = "descent" // to an altitude, at a rate or in a glide
)

// Leg is a part of a mission.
type Leg struct {
	Kind     Kind
	At       Schedule
	Headwind unit.Speed // negative from behind

	To   unit.GeopotentialAltitude // of a climb or a descent
	Rate unit.VerticalSpeed        // of a descent, positive; 0 for a glide without thrust

	// A cruise has one of these.
	Distance unit.Length // over the ground
	Time     unit.Time
	Fuel     unit.Mass
	Energy   unit.Energy
}

// Mission is a flight from the end of take-off on.
type Mission struct {
	Day    atmos.Day
	From   unit.GeopotentialAltitude
	Legs   []Leg
	Steps  int  // of each leg; 100 if zero
	Steady bool // leaves out what the change of true airspeed takes of a climb, as textbooks do
}

// Fix is a moment of a mission.
type Fix struct {
	Time     unit.Time
	Distance unit.Length // over the ground
	Altitude unit.GeopotentialAltitude
	Mass     unit.Mass
	Fuel     unit.Mass   // used
	Energy   unit.Energy // used
	Speed    unit.TrueAirspeed
}

// Log is a mission flown: where each leg ended, and all fixes between, the first of them the start.
type Log struct {
	Aeroplane string
	Kinds     []Kind
	Ends      []Fix
	Fixes     []Fix
	Caution   string
}

// End returns the last fix.
func (l Log) End() Fix { return l.Fixes[len(l.Fixes)-1] }

// Fly integrates a mission with weight, air and wind as they change, by the classical formula of Runge and Kutta: climbs and descents over altitude, cruises over what
// ends them. In climbs and descents
//
//	dh/dt = V (T − D)/W / (1 + V/g dV/dh)
//
// with dV/dh from the schedule and the drag of the unaccelerated path; in cruise the change of speed with weight is taken as slow. It returns an error for a leg
// that cannot be flown, says which, and returns the log until then; so it does when fuel or battery run out.
func (a Aeroplane) Fly(m Mission) (Log, error) {
	air, err := m.Day.At(m.From)
	if err := errors.Join(err, a.check("perf.Fly", air)); err != nil {
		return Log{}, err
	}
	if m.Steps == 0 {
		m.Steps = 100
	}
	log := Log{Aeroplane: a.name(), Caution: Caution, Fixes: []Fix{{Altitude: m.From, Mass: a.Mass}}}
	for i, leg := range m.Legs {
		if err := a.fly(m, leg, &log); err != nil {
			return log, fmt.Errorf("perf.Fly: leg %d, %s: %w", i+1, leg.Kind, err)
		}
		log.Kinds, log.Ends = append(log.Kinds, leg.Kind), append(log.Ends, log.End())
	}
	return log, nil
}

func (a Aeroplane) fly(m Mission, leg Leg, log *Log) error {
	clock, length, err := leg.clock(log.End())
	if err != nil {
		return err
	}
	step := length / float64(m.Steps)
	for range m.Steps {
		next, err := a.step(m, leg, log.End(), clock, step)
		if err != nil {
			return err
		}
		log.Fixes = append(log.Fixes, next)
		if next.Fuel > a.Fuel*(1+1e-9) {
			return &ImpossibleError{a.name(), "go on", fmt.Sprintf("has used its %s of fuel after %s", unit.Format(a.Fuel, "kg"), unit.Format(next.Time, "min"))}
		}
		if next.Energy > a.Battery*(1+1e-9) {
			return &ImpossibleError{a.name(), "go on", fmt.Sprintf("has used its %s of battery after %s", unit.Format(a.Battery, "kWh"), unit.Format(next.Time, "min"))}
		}
	}
	return nil
}

// clock returns what a leg is integrated over, and how far.
func (l Leg) clock(from Fix) (clock func(rates) float64, length float64, err error) {
	if err := errors.Join(checkWind("perf.Leg", "headwind", l.Headwind), unit.CheckRange("perf.Leg", "rate of descent", l.Rate, 0, 100, "m/s")); err != nil {
		return nil, 0, err
	}
	if l.At == nil {
		return nil, 0, errors.New("it has no schedule: set At")
	}
	switch l.Kind {
	case ClimbLeg:
		return rates.climb, l.To - from.Altitude, unit.CheckRange("perf.Leg", "altitude to climb to", l.To, from.Altitude, atmos.MaxAltitude, "ft")
	case DescentLeg:
		return rates.climb, l.To - from.Altitude, unit.CheckRange("perf.Leg", "altitude to descend to", l.To, atmos.MinAltitude, from.Altitude, "ft")
	case CruiseLeg:
		return l.cruise()
	}
	return nil, 0, fmt.Errorf("there is no such kind of leg: it must be %s, %s or %s", ClimbLeg, CruiseLeg, DescentLeg)
}

func (l Leg) cruise() (clock func(rates) float64, length float64, err error) {
	ends := 0
	for _, end := range []struct {
		value  float64
		clock  func(rates) float64
		name   string
		symbol string
	}{
		{l.Distance, rates.distance, "distance", "km"}, {l.Time, rates.time, "time", "min"}, {l.Fuel, rates.fuel, "fuel", "kg"}, {l.Energy, rates.energy, "energy", "kWh"},
	} {
		if end.value == 0 {
			continue
		}
		if err := unit.CheckPositive("perf.Leg", end.name, end.value, end.symbol); err != nil {
			return nil, 0, err
		}
		ends++
		clock, length = end.clock, end.value
	}
	if ends != 1 {
		return nil, 0, fmt.Errorf("a cruise has one of Distance, Time, Fuel and Energy; %d are set", ends)
	}
	return clock, length, nil
}

// rates are what changes in a second.
type rates struct {
	way   unit.Speed // over the ground
	up    unit.VerticalSpeed
	burn  unit.MassFlow
	draw  unit.Power
	speed unit.TrueAirspeed
}

func (r rates) distance() float64 { return r.way }
func (r rates) climb() float64    { return r.up }
func (r rates) time() float64     { return 1 }
func (r rates) fuel() float64     { return r.burn }
func (r rates) energy() float64   { return r.draw }

// step goes on by one step of what the leg is integrated over.
func (a Aeroplane) step(m Mission, leg Leg, from Fix, clock func(rates) float64, step float64) (Fix, error) {
	var sum, last Fix // of the weighted changes
	for _, stage := range []struct{ at, weight float64 }{{0, 1. / 6}, {0.5, 1. / 3}, {0.5, 1. / 3}, {1, 1. / 6}} {
		r, err := a.rates(m, leg, from.plus(last, stage.at))
		if err != nil {
			return Fix{}, err
		}
		per := clock(r)
		if step*per <= 0 {
			return Fix{}, a.stuck(leg, r)
		}
		last = r.over(step / per)
		sum = sum.plus(last, stage.weight)
		if stage.at == 0 {
			sum.Speed = r.speed
		}
	}
	speed := sum.Speed
	end := from.plus(sum, 1)
	end.Speed = speed
	return end, nil
}

// plus adds part of a change.
func (f Fix) plus(d Fix, part unit.Ratio) Fix {
	return Fix{f.Time + part*d.Time, f.Distance + part*d.Distance, f.Altitude + part*d.Altitude, f.Mass + part*d.Mass, f.Fuel + part*d.Fuel, f.Energy + part*d.Energy, f.Speed}
}

// over returns the change in a time.
func (r rates) over(t unit.Time) Fix {
	return Fix{Time: t, Distance: r.way * t, Altitude: r.up * t, Mass: -r.burn * t, Fuel: r.burn * t, Energy: r.draw * t}
}

// stuck says why a leg does not come nearer to its end.
func (a Aeroplane) stuck(leg Leg, r rates) error {
	if leg.Kind == CruiseLeg && leg.Distance > 0 {
		return &ImpossibleError{a.name(), "get ahead", "flies at " + unit.FormatPair(r.speed, "TrueAirspeed") + " into a headwind of " + unit.FormatPair(leg.Headwind, "Speed")}
	}
	if leg.Kind == CruiseLeg {
		return &ImpossibleError{a.name(), "use what the leg is to use", "takes no fuel or energy"}
	}
	return &ImpossibleError{a.name(), "complete the " + string(leg.Kind), "changes height by " + unit.FormatPair(r.up, "VerticalSpeed") + " at " +
		unit.FormatPair(r.speed, "TrueAirspeed")}
}

func (a Aeroplane) rates(m Mission, leg Leg, at Fix) (rates, error) {
	a.Mass = at.Mass
	air, err := m.Day.At(at.Altitude)
	if err != nil {
		return rates{}, err
	}
	V, err := leg.At(a, air)
	if err := errors.Join(err, checkSpeed("perf.Fly", air, V)); err != nil {
		return rates{}, err
	}
	inertia := 1.0
	if leg.Kind != CruiseLeg && !m.Steady {
		if inertia, err = a.inertia(m.Day, leg, at.Altitude, V); err != nil {
			return rates{}, err
		}
	}
	f, err := a.flown(leg, air, V, inertia)
	return rates{V*math.Cos(f.Angle) - leg.Headwind, f.Rate, f.Plant.Fuel, f.Plant.Electric, V}, err
}

// flown returns the flight of a moment of a leg.
func (a Aeroplane) flown(leg Leg, air atmos.Air, V unit.TrueAirspeed, inertia unit.Ratio) (f Flight, err error) {
	switch {
	case leg.Kind == CruiseLeg:
		return a.level(air, V)
	case leg.Kind == ClimbLeg:
		f, err = a.climb(air, V)
	case leg.Rate == 0:
		f, err = a.glide(air, V)
	default:
		return a.descend(air, V, leg.Rate, inertia)
	}
	f.Rate /= inertia
	f.Angle = math.Asin(f.Rate / V)
	return f, err
}

// descend returns a descent at a rate, with what thrust it takes.
func (a Aeroplane) descend(air atmos.Air, V unit.TrueAirspeed, rate unit.VerticalSpeed, inertia unit.Ratio) (Flight, error) {
	plant, err := a.propulsion("descend under power")
	if err != nil {
		return Flight{}, err
	}
	if err := unit.CheckRange("perf.Leg", "rate of descent over speed", rate/V, 0, 0.99, "1"); err != nil {
		return Flight{}, err
	}
	f, err := a.inclined(air, V, -math.Asin(rate/V))
	if err != nil {
		return f, err
	}
	thrust := f.Drag - a.Weight()*rate/V*inertia
	if thrust < 0 {
		return f, &ImpossibleError{a.name(), "descend at " + unit.FormatPair(rate, "VerticalSpeed"),
			"sinks less without thrust at " + unit.FormatPair(V, "TrueAirspeed")}
	}
	f.Plant, err = plant.For(air, V, thrust)
	return f, err
}

// inertia returns 1 + V/g dV/dh of a schedule: what part of the power goes into speed.
func (a Aeroplane) inertia(day atmos.Day, leg Leg, h unit.GeopotentialAltitude, V unit.TrueAirspeed) (unit.Ratio, error) {
	step := 10 * unit.Metre
	if leg.Kind == DescentLeg {
		step = -step
	}
	air, err := day.At(h + step)
	if err != nil {
		return 0, err
	}
	next, err := leg.At(a, air)
	return 1 + V/g*(next-V)/step, err
}

// LinearClimb returns the time to climb to a height at a rate that falls linearly to zero at the absolute ceiling,
//
//	t = H/RC₀ · ln(H/(H − h))
//
// ([Anderson], ch. 5). It returns a [*unit.PositiveError] or [*unit.RangeError] for bad input.
func LinearClimb(rate unit.VerticalSpeed, ceiling, h unit.Length) (unit.Time, error) {
	if err := errors.Join(unit.CheckPositive("perf.LinearClimb", "rate of climb", rate, "m/s"), unit.CheckPositive("perf.LinearClimb", "ceiling", ceiling, "m"),
		unit.CheckRange("perf.LinearClimb", "height", h, 0, math.Nextafter(ceiling, 0), "m")); err != nil {
		return 0, err
	}
	return ceiling / rate * math.Log(ceiling/(ceiling-h)), nil
}
