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
// A closed throttle gives no thrust, or in the air that of an [Idler]. It returns an [*ImpossibleError] if the approach is steeper than the glide or brakes do not hold the slope, a [*WindError] for a
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
	down, err := f.comeDown(l, &out)
	if err != nil {
		return out, err
	}
	err = f.stop(l, down, &out)
	return out, err
}

func (l Landing) check() error {
	return errors.Join(unit.CheckRange("perf.Land", "approach speed over stalling speed", l.Approach, 1, 3, "1"),
		unit.CheckRange("perf.Land", "touchdown speed over stalling speed", l.Touchdown, 1, l.Approach, "1"),
		unit.CheckRange("perf.Land", "angle of the approach", l.Angle, 0.1*unit.Degree, 30*unit.Degree, "°"),
		unit.CheckRange("perf.Land", "load factor of the flare", l.Pull, 1.01, l.Approach*l.Approach, "1"),
		unit.CheckRange("perf.Land", "delay of the brakes", l.Delay, 0, 60, "s"))
}

// comeDown adds the segments in the air and returns the touchdown. The flare is integrated first, since it says how high it begins.
func (f *field) comeDown(l Landing, out *Field) (course, error) {
	V := l.Approach * f.stall
	slowing, err := f.alongPath(V, -l.Angle, math.Cos(l.Angle), math.Inf(1), false)
	if err != nil {
		return course{}, err
	}
	if slowing > 0 {
		return course{}, &ImpossibleError{f.Aeroplane.name(), "approach at " + unit.Format(l.Angle, "°"), "gets faster there without thrust; more drag or a flatter path would do"}
	}
	now, flare, err := f.advance(f.pull("flare", l.Pull, false), course{speed: V, angle: -l.Angle})
	if err != nil {
		return course{}, err
	}
	left := f.Obstacle + now.height
	if left < 0 {
		return course{}, &ImpossibleError{f.Aeroplane.name(), "approach over the obstacle", "begins to flare at " + unit.Format(-now.height, "m") + ", above it"}
	}
	out.Segments = append(out.Segments, f.straight("approach", V, -l.Angle, -left), flare)
	now = course{way: now.way, speed: now.speed}
	if touchdown := l.Touchdown * f.stall; now.speed > touchdown {
		return f.add(out, f.skim("float", false, touchdown), now)
	}
	return now, nil
}

// stop adds the segments on the wheels.
func (f *field) stop(l Landing, now course, out *Field) (err error) {
	if l.Delay > 0 {
		free := f.rolling("free roll", f.RollLift, f.Runway.Surface.Rolling, false, 0)
		free.until = func(t unit.Time, _ course) float64 { return t - l.Delay }
		if now, err = f.add(out, free, now); err != nil {
			return err
		}
	}
	if err := f.stuck("stop", f.RollLift, f.Runway.Surface.Braking, false, now.speed, f.Headwind); err != nil {
		return err
	}
	_, err = f.add(out, f.rolling("braking", f.RollLift, f.Runway.Surface.Braking, false, f.Headwind), now)
	return err
}
