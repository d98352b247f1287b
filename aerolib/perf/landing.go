package perf

import (
	"errors"
	"math"

	"foreplane/aerolib/unit"
)

// Landing is how to land. Speeds are ratios to the stalling speed in trim; those not set are common practice.
type Landing struct {
	Runway    Runway
	Ground    Ground
	Approach  unit.Ratio // speed over the obstacle; 1.3 if zero
	Touchdown unit.Ratio // speed at touchdown, or what the flare leaves if that is less; 1.15 if zero
	Angle     unit.Angle // of the approach, positive; 3° if zero
	Pull      unit.Ratio // load factor of the flare; 1.2 if zero
	Delay     unit.Time  // from touchdown to the brakes; 1 s if zero, none if negative
}

// Land integrates a landing from over the obstacle to rest:
//
//	approach   straight at constant speed, down to where the flare begins
//	flare      at load factor Pull with closed throttle, down to the runway
//	float      level just above it, until touchdown speed
//	free roll  on all wheels without brakes
//	braking    a = −[D + μ (W cos φ − L)]/m − g sin φ
//
// A closed throttle gives no thrust. It returns an [*ImpossibleError] if the approach is steeper than the glide or brakes do not hold the slope, a [*WindError] for a
// wind of more than the touchdown speed, and errors for bad input.
func (a Aeroplane) Land(l Landing) (Field, error) {
	f, err := a.onRunway("perf.Land", l.Runway, l.Ground)
	if err != nil {
		return Field{}, err
	}
	l.Approach, l.Touchdown, l.Angle = or(l.Approach, 1.3), or(l.Touchdown, 1.15), or(l.Angle, 3*unit.Degree)
	l.Pull, l.Delay = or(l.Pull, 1.2), max(or(l.Delay, unit.Second), 0)
	if err := l.check(); err != nil {
		return Field{}, err
	}
	if touchdown := l.Touchdown * f.stall; math.Abs(f.Headwind) >= touchdown {
		return Field{}, &WindError{f.Aeroplane.name(), "land", f.Headwind, touchdown}
	}
	out := f.result()
	state, err := f.comeDown(l, &out)
	if err != nil {
		return out, err
	}
	return out, f.stop(l, state, &out)
}

func (l Landing) check() error {
	return errors.Join(unit.CheckRange("perf.Land", "approach speed over stalling speed", l.Approach, 1, 3, "1"),
		unit.CheckRange("perf.Land", "touchdown speed over stalling speed", l.Touchdown, 1, l.Approach, "1"),
		unit.CheckRange("perf.Land", "angle of the approach", l.Angle, 0.1*unit.Degree, 30*unit.Degree, "°"),
		unit.CheckRange("perf.Land", "load factor of the flare", l.Pull, 1.01, l.Approach*l.Approach, "1"),
		unit.CheckRange("perf.Land", "delay of the brakes", l.Delay, 0, 60, "s"))
}

// comeDown adds the segments in the air and returns distance and speed at touchdown. The flare is integrated first, since it says how high it begins.
func (f *field) comeDown(l Landing, out *Field) ([]float64, error) {
	V := l.Approach * f.stall
	slowing, err := f.alongPath(V, -l.Angle, math.Cos(l.Angle), math.Inf(1), false)
	if err != nil {
		return nil, err
	}
	if slowing > 0 {
		return nil, &ImpossibleError{f.Aeroplane.name(), "approach at " + unit.Format(l.Angle, "°"), "gets faster there without thrust; more drag or a flatter path would do"}
	}
	state, flare, err := f.advance(f.pull("flare", l.Pull, false, func(y []float64) float64 { return y[3] }), []float64{0, V, 0, -l.Angle})
	if err != nil {
		return nil, err
	}
	if left := f.Obstacle + state[2]; left > 0 {
		out.Segments = append(out.Segments, f.straight("approach", V, -l.Angle, -left))
	} else {
		return nil, &ImpossibleError{f.Aeroplane.name(), "approach over the obstacle", "begins to flare at " + unit.Format(-state[2], "m") + ", above it"}
	}
	out.Segments = append(out.Segments, flare)
	state = state[:2]
	if touchdown := l.Touchdown * f.stall; state[1] > touchdown {
		return f.add(out, f.skim("float", false, touchdown), state)
	}
	return state, nil
}

// stop adds the segments on the wheels.
func (f *field) stop(l Landing, state []float64, out *Field) error {
	if l.Delay > 0 {
		free := f.rolling("free roll", f.RollLift, f.Runway.Surface.Rolling, false, f.Headwind)
		free.rates = clocked(free.rates)
		free.until = func(y []float64) float64 { return y[2] - l.Delay }
		var err error
		if state, err = f.add(out, free, append(state[:2:2], 0)); err != nil {
			return err
		}
	}
	if err := f.stuck("stop", f.RollLift, f.Runway.Surface.Braking, false, state[1], f.Headwind); err != nil {
		return err
	}
	_, err := f.add(out, f.rolling("braking", f.RollLift, f.Runway.Surface.Braking, false, f.Headwind), state[:2])
	return err
}

// clocked adds the time to a state.
func clocked(of func(y, rates []float64) error) func(y, rates []float64) error {
	return func(y, rates []float64) error {
		rates[2] = 1
		return of(y, rates)
	}
}
