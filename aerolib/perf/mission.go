package perf

import (
	"cmp"
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

// Fly integrates a mission with weight, air and wind as they change, by the midpoint rule: climbs and descents over altitude, cruises over what ends them. In climbs and
// descents
//
//	dh/dt = V (T − D)/W / (1 + V/g dV/dh)
//
// with the drag of the unaccelerated path; the schedule is asked at the ends of eight parts of the height, and between them true airspeed runs linearly. In cruise it is asked
// at each step, and the change of speed with weight is taken as slow. It returns an error for a leg that cannot be flown, says which, and returns the log until then;
// so it does when fuel or battery run out.
func (a Aeroplane) Fly(m Mission) (Log, error) {
	air, err := m.Day.At(m.From)
	if err := errors.Join(err, a.check("perf.Fly", air)); err != nil {
		return Log{}, err
	}
	if m.Steps = or(m.Steps, 100); m.Steps < 1 {
		return Log{}, fmt.Errorf("perf.Fly: %d steps of a leg, must be at least 1", m.Steps)
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
	l := legState{Mission: m, Leg: leg, clock: clock, step: length / float64(m.Steps)}
	for i := range m.Steps {
		if err := l.plan(a, log.End(), length, i); err != nil {
			return err
		}
		next, err := a.step(l, log.End())
		if err != nil {
			return err
		}
		log.Fixes = append(log.Fixes, next)
		if err := a.empty(next); err != nil {
			return err
		}
	}
	return nil
}

// empty returns an error if more is used than there is.
func (a Aeroplane) empty(f Fix) error {
	if f.Fuel > a.Fuel*(1+1e-9) {
		return &ImpossibleError{a.name(), "go on", fmt.Sprintf("has used its %s of fuel after %s", unit.Format(a.Fuel, "kg"), unit.Format(f.Time, "min"))}
	}
	if f.Energy > a.Battery*(1+1e-9) {
		return &ImpossibleError{a.name(), "go on", fmt.Sprintf("has used its %s of battery after %s", unit.Format(a.Battery, "kWh"), unit.Format(f.Time, "min"))}
	}
	return nil
}

// legState is a leg being flown.
type legState struct {
	Mission
	Leg
	clock func(rates) float64 // what it is integrated over
	step  float64
	ramp  ramp
}

// ramp is a part of the height of a climb or descent, in which true airspeed runs linearly.
type ramp struct {
	from, to      unit.GeopotentialAltitude
	start, finish unit.TrueAirspeed
}

func (r ramp) slope() unit.Rate { return (r.finish - r.start) / (r.to - r.from) }

func (r ramp) speed(h unit.GeopotentialAltitude) unit.TrueAirspeed {
	return r.start + r.slope()*(h-r.from)
}

// plan asks the schedule when a step begins a new part of the height.
func (l *legState) plan(a Aeroplane, at Fix, height unit.Length, step int) error {
	const parts = 8
	long := (l.Steps + parts - 1) / parts // steps of a part
	if l.Kind == CruiseLeg || step%long != 0 {
		return nil
	}
	a.Mass = at.Mass
	end := at.Altitude + height*unit.Ratio(min(long, l.Steps-step))/unit.Ratio(l.Steps)
	next := ramp{from: at.Altitude, to: end, start: l.ramp.finish}
	var err error
	if step == 0 {
		if next.start, err = l.asked(a, at.Altitude); err != nil {
			return err
		}
	}
	next.finish, err = l.asked(a, end)
	l.ramp = next
	return err
}

// asked returns the speed of the schedule at an altitude.
func (l *legState) asked(a Aeroplane, h unit.GeopotentialAltitude) (unit.TrueAirspeed, error) {
	air, err := l.Day.At(h)
	if err != nil {
		return 0, err
	}
	V, err := l.At(a, air)
	return V, cmp.Or(err, checkSpeed("perf.Fly", air, V))
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

// step goes on by one step, with the rates of its middle.
func (a Aeroplane) step(l legState, from Fix) (Fix, error) {
	var change Fix
	for _, part := range []unit.Ratio{0, 0.5} {
		r, err := a.rates(l, from.plus(change, part))
		if err != nil {
			return Fix{}, err
		}
		per := l.clock(r)
		if l.step*per <= 0 {
			return Fix{}, a.stuck(l.Leg, r)
		}
		change = r.over(l.step / per)
		from.Speed = r.speed
	}
	return from.plus(change, 1), nil
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

func (a Aeroplane) rates(l legState, at Fix) (rates, error) {
	a.Mass = at.Mass
	air, err := l.Day.At(at.Altitude)
	if err != nil {
		return rates{}, err
	}
	V, inertia := l.ramp.speed(at.Altitude), 1.0
	if l.Kind == CruiseLeg {
		V, err = l.At(a, air)
	} else if !l.Steady {
		inertia += V / g * l.ramp.slope()
	}
	if err := cmp.Or(err, checkSpeed("perf.Fly", air, V)); err != nil {
		return rates{}, err
	}
	f, err := a.flown(l.Leg, air, V, inertia)
	return rates{V*math.Cos(f.Angle) - l.Headwind, f.Rate, f.Plant.Fuel, f.Plant.Electric, V}, err
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
