package perf

import (
	"cmp"
	"errors"
	"math"

	"foreplane/aerolib/atmos"
	"foreplane/aerolib/unit"
)

// Flight is steady flight along a straight line, level or inclined:
//
//	L = W cos γ,   T = D + W sin γ
//
// with thrust along the path.
type Flight struct {
	Air        atmos.Air
	Speed      unit.TrueAirspeed
	Equivalent unit.EquivalentAirspeed
	CL, CD     unit.Coefficient
	Drag       unit.Force
	Plant      Output
	Angle      unit.Angle // γ of the path through the air, positive in a climb
	Rate       unit.VerticalSpeed
}

// Point is one speed of level flight: what it needs, and what there is.
type Point struct {
	Speed               unit.TrueAirspeed
	Equivalent          unit.EquivalentAirspeed
	CL, CD              unit.Coefficient
	Drag, Thrust        unit.Force // needed, and available at full throttle
	Required, Available unit.Power // D V and T V
}

// Excess returns the specific excess power (T − D) V/W of level flight at a weight.
func (p Point) Excess(weight unit.Weight) unit.VerticalSpeed {
	return (p.Available - p.Required) / weight
}

// Point returns thrust and power needed and available in level flight at one speed. Without an engine nothing is available. It returns a [*StallError] below the
// stalling speed, and a [*unit.RangeError] beyond Mach 0.95.
func (a Aeroplane) Point(air atmos.Air, V unit.TrueAirspeed) (Point, error) {
	if err := errors.Join(a.check("perf.Point", air), checkSpeed("perf.Point", air, V)); err != nil {
		return Point{}, err
	}
	return a.point(air, V, 1)
}

func (a Aeroplane) point(air atmos.Air, V unit.TrueAirspeed, n unit.Ratio) (Point, error) {
	CL, CD, D, err := a.drag(air, V, n)
	if err := cmp.Or(err, a.stalled(air, V, n, CL)); err != nil {
		return Point{}, err
	}
	p := Point{Speed: V, Equivalent: air.EquivalentFromTrue(V), CL: CL, CD: CD, Drag: D, Required: D * V}
	if a.Propulsion != nil {
		full, err := a.Propulsion.Full(air, V)
		if err != nil {
			return p, err
		}
		p.Thrust, p.Available = full.Thrust, full.Thrust*V
	}
	return p, nil
}

// Curve returns n points from one speed to another, as [Aeroplane.Point] does.
func (a Aeroplane) Curve(air atmos.Air, from, to unit.TrueAirspeed, n int) ([]Point, error) {
	points := make([]Point, n)
	for i := range points {
		V := from
		if n > 1 {
			V += (to - from) * unit.Ratio(i) / unit.Ratio(n-1)
		}
		var err error
		if points[i], err = a.Point(air, V); err != nil {
			return nil, err
		}
	}
	return points, nil
}

// Level returns level flight at one speed with what it takes of fuel. It returns a [*StallError] below the stalling speed, a [*ThrustError] if the plant cannot
// hold the speed, and a [*unit.RangeError] beyond Mach 0.95.
func (a Aeroplane) Level(air atmos.Air, V unit.TrueAirspeed) (Flight, error) {
	if err := errors.Join(a.check("perf.Level", air), checkSpeed("perf.Level", air, V)); err != nil {
		return Flight{}, err
	}
	return a.level(air, V)
}

func (a Aeroplane) level(air atmos.Air, V unit.TrueAirspeed) (Flight, error) {
	plant, err := a.propulsion("fly level")
	if err != nil {
		return Flight{}, err
	}
	f, err := a.inclined(air, V, 0)
	if err != nil {
		return f, err
	}
	f.Plant, err = plant.For(air, V, f.Drag)
	return f, err
}

// inclined returns flight along a line at an angle, without what drives it.
func (a Aeroplane) inclined(air atmos.Air, V unit.TrueAirspeed, angle unit.Angle) (Flight, error) {
	sin, cos := math.Sincos(angle)
	CL, CD, D, err := a.drag(air, V, cos)
	if err := cmp.Or(err, a.stalled(air, V, cos, CL)); err != nil {
		return Flight{}, err
	}
	return Flight{Air: air, Speed: V, Equivalent: air.EquivalentFromTrue(V), CL: CL, CD: CD, Drag: D, Angle: angle, Rate: V * sin}, nil
}

// Climb returns the climb with full throttle at one speed, a descent where the rate is negative. It returns errors as [Aeroplane.Level] does, and an
// [*ImpossibleError] for a path steeper than the vertical.
func (a Aeroplane) Climb(air atmos.Air, V unit.TrueAirspeed) (Flight, error) {
	if err := errors.Join(a.check("perf.Climb", air), checkSpeed("perf.Climb", air, V)); err != nil {
		return Flight{}, err
	}
	return a.climb(air, V)
}

func (a Aeroplane) climb(air atmos.Air, V unit.TrueAirspeed) (Flight, error) {
	plant, err := a.propulsion("climb")
	if err != nil {
		return Flight{}, err
	}
	out, err := plant.Full(air, V)
	if err != nil {
		return Flight{}, err
	}
	return a.with(air, V, out)
}

// Glide returns flight without thrust at one speed: the rate is that of sink, negative. It returns errors as [Aeroplane.Climb] does.
func (a Aeroplane) Glide(air atmos.Air, V unit.TrueAirspeed) (Flight, error) {
	if err := errors.Join(a.check("perf.Glide", air), checkSpeed("perf.Glide", air, V)); err != nil {
		return Flight{}, err
	}
	return a.glide(air, V)
}

func (a Aeroplane) glide(air atmos.Air, V unit.TrueAirspeed) (Flight, error) {
	return a.with(air, V, Output{})
}

// with returns flight with a thrust: sin γ = (T − D(γ))/W, iterated from level flight. The angle changes only the induced drag, by cos² γ, so this converges at once.
func (a Aeroplane) with(air atmos.Air, V unit.TrueAirspeed, out Output) (Flight, error) {
	const enough = 1e-14
	angle := 0.0
	for range 100 {
		_, _, D, err := a.drag(air, V, math.Cos(angle))
		if err != nil {
			return Flight{}, err
		}
		sin := (out.Thrust - D) / a.Weight()
		if !(math.Abs(sin) < 1) {
			break
		}
		last := angle
		if angle = math.Asin(sin); math.Abs(angle-last) < enough {
			f, err := a.inclined(air, V, angle)
			f.Plant = out
			return f, err
		}
	}
	return Flight{}, &ImpossibleError{a.name(), "fly steadily at " + unit.FormatPair(V, "TrueAirspeed"),
		"weighs " + unit.Format(a.Weight(), "N") + ", for " + unit.Format(out.Thrust, "N") + " of thrust"}
}
