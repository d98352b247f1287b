package perf

import (
	"cmp"
	"errors"
	"fmt"
	"math"

	"foreplane/aerolib/unit"
)

// TakeOff is how to take off. Speeds are ratios to the stalling speed in trim; those not set are common practice, and for small aeroplanes about what [Part23], 23.51,
// asks for.
type TakeOff struct {
	Runway  Runway
	Ground  Ground
	Rotate  unit.Ratio // speed at which the pilot begins to raise the nose; 1.05 if zero
	LiftOff unit.Ratio // lift-off speed where rotation is left out; 1.1 if zero
	Climb   unit.Ratio // speed at the obstacle; 1.2 if zero
	Pull    unit.Ratio // load factor of the transition to the climb; 1.2 if zero
}

// TakeOff integrates a take-off with full throttle from rest to the obstacle:
//
//	run            on all wheels to the rotation speed: a = [T − D − μ (W cos φ − L)]/m − g sin φ
//	rotation       about the main wheels with the control fully nose up, from there or from the unstick speed if that is more, until lift bears the weight
//	acceleration   just above the runway, to the climbing speed
//	transition     at load factor Pull until the path is that of the steady climb
//	climb          at constant speed to the obstacle
//
// Where Ground.Wheels is nil the aeroplane runs to its lift-off speed and is off. Thrust is along the path, and its share of the lift is left out; height above the ground
// counts for induced drag only. It returns an [*ImpossibleError] if thrust does not suffice or the nose cannot be raised, a [*WindError] for a wind from ahead or
// behind of more than the lift-off speed, and errors for bad input.
func (a Aeroplane) TakeOff(t TakeOff) (Field, error) {
	f, err := a.onRunway("perf.TakeOff", t.Runway, t.Ground)
	if err != nil {
		return Field{}, err
	}
	if _, err := f.propulsion("take off"); err != nil {
		return Field{}, err
	}
	t.Rotate, t.LiftOff, t.Climb, t.Pull = or(t.Rotate, 1.05), or(t.LiftOff, 1.1), or(t.Climb, 1.2), or(t.Pull, 1.2)
	if err := t.check(); err != nil {
		return Field{}, err
	}
	out := f.result()
	off, err := f.onGround(t, &out)
	if err != nil {
		return out, err
	}
	err = f.climbOut(t, off, &out)
	return out, err
}

func (t TakeOff) check() error {
	return errors.Join(unit.CheckRange("perf.TakeOff", "rotation speed over stalling speed", t.Rotate, 0.5, 2, "1"),
		unit.CheckRange("perf.TakeOff", "lift-off speed over stalling speed", t.LiftOff, 1, 2, "1"),
		unit.CheckRange("perf.TakeOff", "speed at the obstacle over stalling speed", t.Climb, 1, 3, "1"),
		unit.CheckRange("perf.TakeOff", "load factor of the transition", t.Pull, 1.01, t.Climb*t.Climb, "1"))
}

// onGround adds the segments on the wheels and returns the lift-off.
func (f *field) onGround(t TakeOff, out *Field) (course, error) {
	off := t.LiftOff * f.stall
	if f.Ground.Wheels != nil {
		unstick, err := f.unstick()
		if err != nil {
			return course{}, err
		}
		if off = t.Rotate * f.stall; unstick > off {
			out.Notes = append(out.Notes, fmt.Sprintf("The nose cannot be raised below %s, %.2f times the stalling speed.", unit.FormatPair(unstick, "TrueAirspeed"), unstick/f.stall))
			off = unstick
		}
	}
	if math.Abs(f.Headwind) >= off {
		return course{}, &WindError{f.Aeroplane.name(), "take off", f.Headwind, off}
	}
	if err := f.stuck("take off", f.RollLift, f.Runway.Surface.Rolling, true, f.Headwind, off); err != nil {
		return course{}, err
	}
	now, err := f.add(out, f.rolling("run", f.RollLift, f.Runway.Surface.Rolling, true, off), course{speed: f.Headwind})
	if err != nil || f.Ground.Wheels == nil {
		return now, err
	}
	if now, err = f.add(out, f.rotating(), now); err != nil {
		return now, err
	}
	if f.borne(now.speed, now.angle) < -1e-6 {
		out.Notes = append(out.Notes, fmt.Sprintf("The nose is as high as it goes, %s, before lift bears the weight.", unit.Format(now.angle, "°")))
		return f.add(out, f.holding(now.angle), now)
	}
	return now, nil
}

// add integrates a phase and adds its segment.
func (f *field) add(out *Field, p phase, from course) (course, error) {
	end, segment, err := f.advance(p, from)
	if err == nil {
		out.Segments = append(out.Segments, segment)
	}
	return end, err
}

// climbOut adds the segments in the air.
func (f *field) climbOut(t TakeOff, now course, out *Field) error {
	now = course{way: now.way, speed: now.speed}
	if climb := t.Climb * f.stall; now.speed < climb {
		var err error
		if now, err = f.add(out, f.skim("acceleration", true, climb), now); err != nil {
			return err
		}
	}
	p, err := f.point(f.Air, now.speed, 1)
	if err != nil {
		return err
	}
	if p.Thrust <= p.Drag {
		return &ImpossibleError{f.Aeroplane.name(), "climb after take-off", "has " + unit.Format(p.Thrust, "N") + " of thrust and " + unit.Format(p.Drag, "N") +
			" of drag at " + unit.FormatPair(now.speed, "TrueAirspeed")}
	}
	transition := f.pull("transition", t.Pull, true)
	transition.until = func(_ unit.Time, c course) float64 {
		over, err := f.steeper(c.speed, c.angle)
		f.err = cmp.Or(f.err, err)
		return max(over, (c.height-f.Obstacle)/f.Obstacle)
	}
	if now, err = f.add(out, transition, now); err != nil {
		return err
	}
	if left := f.Obstacle - now.height; left > 1e-9*f.Obstacle {
		out.Segments = append(out.Segments, f.straight("climb", now.speed, now.angle, left))
	}
	return nil
}

// skim returns the phase of level flight just above the runway up to a speed, or with closed throttle down to it.
func (f *field) skim(name string, throttle bool, to unit.TrueAirspeed) phase {
	return phase{name, false, func(c course) (changes, error) {
		a, err := f.alongPath(c.speed, 0, 1, 0, throttle)
		return changes{way: c.speed - f.Headwind, speed: a}, err
	}, reaching(to, throttle)}
}

// alongPath returns the acceleration along a path at an angle, at load factor n, with the wheels at a height.
func (f *field) alongPath(V unit.TrueAirspeed, angle unit.Angle, n unit.Ratio, h unit.Length, throttle bool) (unit.Acceleration, error) {
	T, err := f.thrustInAir(V, throttle)
	if err != nil {
		return 0, err
	}
	CL := n * f.Weight() / (f.Air.DynamicPressure(V) * f.Area)
	D, err := f.dragAt(V, CL, h)
	return (T-D)/f.Mass - g*math.Sin(angle), cmp.Or(err, f.stalled(f.Air, V, n, CL))
}

// steeper returns by how much the sine of a path exceeds that of the steady climb.
func (f *field) steeper(V unit.TrueAirspeed, angle unit.Angle) (unit.Ratio, error) {
	a, err := f.alongPath(V, angle, math.Cos(angle), math.Inf(1), true)
	return -a / g, err
}

// pull returns the phase of a path curved upwards at load factor n, until it is level.
func (f *field) pull(name string, n unit.Ratio, throttle bool) phase {
	return phase{name, false, func(c course) (changes, error) {
		sin, cos := math.Sincos(c.angle)
		a, err := f.alongPath(c.speed, c.angle, n, max(c.height, 0), throttle)
		return changes{way: c.speed*cos - f.Headwind, speed: a, height: c.speed * sin, angle: g * (n - cos) / c.speed}, err
	}, func(_ unit.Time, c course) float64 { return c.angle }}
}

// straight returns the segment of a straight path through a height at constant speed.
func (f *field) straight(name string, V unit.TrueAirspeed, angle unit.Angle, height unit.Length) Segment {
	t := height / (V * math.Sin(angle))
	return Segment{Name: name, Time: t, Distance: t * (V*math.Cos(angle) - f.Headwind), End: V}
}
