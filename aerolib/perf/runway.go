package perf

import (
	"cmp"
	"errors"
	"fmt"
	"math"

	"foreplane/aerolib/atmos"
	"foreplane/aerolib/drag"
	"foreplane/aerolib/solve"
	"foreplane/aerolib/unit"
)

// Surface is what wheels roll on.
type Surface struct {
	Name    string
	Rolling unit.Ratio // friction of free wheels over their load
	Braking unit.Ratio // the same with brakes on
}

// Surfaces of runways ([Raymer], table 17.1, about the middle of its ranges).
var (
	DryConcrete = Surface{"dry concrete", 0.04, 0.4}
	WetConcrete = Surface{"wet concrete", 0.05, 0.225}
	HardTurf    = Surface{"hard turf", 0.05, 0.4}
	SoftTurf    = Surface{"soft turf", 0.07, 0.2}
	WetGrass    = Surface{"wet grass", 0.08, 0.2}
)

// Runway is where an aeroplane takes off or lands, and in what air.
type Runway struct {
	Air      atmos.Air
	Surface  Surface     // DryConcrete if empty
	Slope    unit.Angle  // positive uphill in the direction of the run
	Headwind unit.Speed  // negative from behind
	Obstacle unit.Length // its height; 50 ft if zero
}

// Ground is what counts of an aeroplane on the ground and near it. The zero value takes all from the aeroplane and leaves out ground effect, lift in the run and rotation.
type Ground struct {
	Polar    Polar            // with wheels and flaps, in trim; nil for that of the aeroplane
	MaxLift  unit.Coefficient // in trim, with flaps; 0 for that of the aeroplane
	RollLift unit.Coefficient // on all wheels
	Height   unit.Length      // of the wing above the ground on all wheels; 0 leaves out ground effect
	Model    drag.GroundModel // of it; drag.ImageModel if empty
	Wheels   *Wheels          // nil leaves out rotation
}

// Segment is a part of a take-off or landing.
type Segment struct {
	Name         string
	Time         unit.Time
	Distance     unit.Length       // over the ground
	End          unit.TrueAirspeed // at its end
	Acceleration unit.Acceleration // mean, of the speed over the ground
	OnWheels     bool
}

// Field is a take-off or landing, part by part.
type Field struct {
	Aeroplane string
	Mass      unit.Mass
	Runway    Runway
	Stall     unit.TrueAirspeed
	MaxLift   unit.Coefficient
	Segments  []Segment
	Notes     []string
	Caution   string
}

// Sum returns time and distance of all segments.
func (f Field) Sum() Segment {
	sum := Segment{Name: "sum"}
	for _, s := range f.Segments {
		sum.Time += s.Time
		sum.Distance += s.Distance
		sum.End = s.End
	}
	return sum
}

// Get returns the segment of a name.
func (f Field) Get(name string) (Segment, error) {
	for _, s := range f.Segments {
		if s.Name == name {
			return s, nil
		}
	}
	return Segment{}, fmt.Errorf("perf.Field: %s has no segment called %q here", f.Aeroplane, name)
}

// GroundRun returns the distance on the wheels.
func (f Field) GroundRun() unit.Length {
	sum := 0.0
	for _, s := range f.Segments {
		if s.OnWheels {
			sum += s.Distance
		}
	}
	return sum
}

// WindError says that a runway is not to be used in such a wind.
type WindError struct {
	Aeroplane, Task string
	Headwind        unit.Speed
	Speed           unit.TrueAirspeed // of lift-off or touchdown
}

func (e *WindError) Error() string {
	wind, way := "headwind", e.Headwind
	if e.Headwind < 0 {
		wind, way = "tailwind", -e.Headwind
	}
	return fmt.Sprintf("perf: %s is not to %s in a %s of %s, more than its speed of %s there", e.Aeroplane, e.Task, wind, unit.FormatPair(way, "Speed"),
		unit.FormatPair(e.Speed, "TrueAirspeed"))
}

// field is an aeroplane on a runway.
type field struct {
	Aeroplane
	Runway
	Ground
	stall  unit.TrueAirspeed
	factor unit.Ratio // of ground effect with the wheels on the ground
	err    error      // the first in rates, which cannot return one
}

func (a Aeroplane) onRunway(function string, r Runway, g Ground) (*field, error) {
	if g.Polar != nil {
		a.Polar = g.Polar
	}
	if g.MaxLift != 0 {
		a.MaxLift = g.MaxLift
	}
	if r.Surface == (Surface{}) {
		r.Surface = DryConcrete
	}
	r.Obstacle, g.Model = or(r.Obstacle, 50*unit.Foot), or(g.Model, drag.ImageModel)
	err := errors.Join(a.check(function, r.Air), checkWind(function, "headwind", r.Headwind), unit.CheckRange(function, "slope", r.Slope, -0.2, 0.2, "°"),
		unit.CheckRange(function, "rolling friction", r.Surface.Rolling, 0, 1, "1"), unit.CheckRange(function, "braking friction", r.Surface.Braking, 0, 2, "1"),
		unit.CheckRange(function, "height of the obstacle", r.Obstacle, 0, 1000, "m"), unit.CheckRange(function, "height of the wing", g.Height, 0, math.Inf(1), "m"),
		unit.CheckRange(function, "lift coefficient on all wheels", g.RollLift, -1, 3, "1"))
	if g.Height > 0 {
		err = errors.Join(err, unit.CheckPositive(function, "span, for ground effect,", a.Span, "m"))
	}
	if err != nil {
		return nil, err
	}
	f := &field{Aeroplane: a, Runway: r, Ground: g, factor: 1}
	if g.Height > 0 {
		if f.factor, err = drag.GroundFactor(g.Model, g.Height/a.Span); err != nil {
			return nil, err
		}
	}
	f.stall, err = a.StallSpeed(r.Air, 1)
	return f, err
}

func or[T comparable](value, otherwise T) T {
	var zero T
	if value == zero {
		return otherwise
	}
	return value
}

// result returns what describes a field before its segments.
func (f *field) result() Field {
	return Field{Aeroplane: f.Aeroplane.name(), Mass: f.Mass, Runway: f.Runway, Stall: f.stall, MaxLift: f.Aeroplane.MaxLift, Caution: Caution}
}

// dragAt returns the drag with the wheels at a height above the ground. Of the drag due to lift the ground takes that part which an elliptic load would have,
//
//	CD = CD(CL) − (1 − φ) CL²/(π A)
func (f *field) dragAt(V unit.TrueAirspeed, CL unit.Coefficient, h unit.Length) (unit.Force, error) {
	CD, err := f.cd(CL)
	if err != nil {
		return 0, err
	}
	factor := f.factor
	if f.Ground.Height > 0 && h > 0 {
		if factor, err = f.factorAt(h); err != nil {
			return 0, err
		}
	}
	if f.Ground.Height > 0 {
		CD -= (1 - factor) * CL * CL * f.Area / (math.Pi * f.Span * f.Span)
	}
	return f.Air.DynamicPressure(V) * f.Area * CD, nil
}

func (f *field) factorAt(h unit.Length) (unit.Ratio, error) {
	if math.IsInf(h, 1) {
		return 1, nil
	}
	return drag.GroundFactor(f.Model, (f.Ground.Height+h)/f.Span)
}

// Idler is a propulsion that knows what a closed throttle does in the air: a windmilling propeller brakes.
type Idler interface {
	Idle(air atmos.Air, V unit.TrueAirspeed) (Output, error)
}

// thrust returns that of full throttle. Before the run has caught up with a tailwind it is that at rest.
func (f *field) thrust(V unit.TrueAirspeed) (unit.Force, error) {
	out, err := f.Propulsion.Full(f.Air, max(V, 0))
	return out.Thrust, err
}

// thrustInAir returns that of full throttle, or of a closed one.
func (f *field) thrustInAir(V unit.TrueAirspeed, throttle bool) (unit.Force, error) {
	if throttle {
		return f.thrust(V)
	}
	if p, ok := f.Propulsion.(Idler); ok {
		out, err := p.Idle(f.Air, V)
		return out.Thrust, err
	}
	return 0, nil
}

// run returns the acceleration along the runway on the wheels, with a lift coefficient and friction,
//
//	a = [T − D − μ (W cos φ − L)]/m − g sin φ
//
// Air that comes from behind pushes, and does not lift.
func (f *field) run(V unit.TrueAirspeed, CL unit.Coefficient, friction unit.Ratio, throttle bool) (unit.Acceleration, error) {
	sin, cos := math.Sincos(f.Slope)
	D, err := f.dragAt(V, CL, 0)
	T := 0.0
	if err == nil && throttle {
		T, err = f.thrust(V)
	}
	L := f.Air.DynamicPressure(V) * f.Area * CL
	if V < 0 {
		D, L = -D, 0
	}
	return (T-D-friction*max(f.Weight()*cos-L, 0))/f.Mass - g*sin, err
}

// course is a state of a take-off or landing.
type course struct {
	way    unit.Length // over the ground
	speed  unit.TrueAirspeed
	height unit.Length
	angle  unit.Angle // of the path, or by which the nose has risen in rotation
	turn   unit.AngularRate
}

// changes are the rates of a course.
type changes struct {
	way    unit.Speed
	speed  unit.Acceleration
	height unit.VerticalSpeed
	angle  unit.AngularRate
	turn   unit.AngularAcceleration
}

func (c course) state() []float64 { return []float64{c.way, c.speed, c.height, c.angle, c.turn} }

func courseOf(y []float64) course { return course{y[0], y[1], y[2], y[3], y[4]} }

// phase is a part of a take-off or landing that ends when until becomes zero.
type phase struct {
	name     string
	onWheels bool
	rates    func(course) (changes, error)
	until    func(unit.Time, course) float64
}

// advance integrates a phase and returns its end.
func (f *field) advance(p phase, from course) (course, Segment, error) {
	const tolerance = 1e-8
	path := solve.Path{Relative: tolerance, Absolute: tolerance, First: 1e-2, Rates: func(_ float64, y, rates []float64) {
		c, err := p.rates(courseOf(y))
		if err != nil {
			f.err, c.speed = cmp.Or(f.err, err), math.NaN()
		}
		copy(rates, []float64{c.way, c.speed, c.height, c.angle, c.turn})
	}}
	f.err = nil
	state, err := path.Until(solve.State{Y: from.state()}, func(t float64, y []float64) float64 { return p.until(t, courseOf(y)) })
	if err != nil {
		return course{}, Segment{}, cmp.Or(f.err, error(&ImpossibleError{f.Aeroplane.name(), "complete the " + p.name, "comes to no end of it: " + err.Error()}))
	}
	end, t := courseOf(state.Y), state.T
	segment := Segment{Name: p.name, Time: t, Distance: end.way - from.way, End: end.speed, OnWheels: p.onWheels}
	if t > 0 {
		segment.Acceleration = (end.speed - from.speed) / t
	}
	return end, segment, nil
}

// rolling returns the phase of a run on the wheels up to a speed, or with closed throttle down to it.
func (f *field) rolling(name string, CL unit.Coefficient, friction unit.Ratio, throttle bool, to unit.TrueAirspeed) phase {
	return phase{name, true, func(c course) (changes, error) {
		a, err := f.run(c.speed, CL, friction, throttle)
		return changes{way: c.speed - f.Headwind, speed: a}, err
	}, reaching(to, throttle)}
}

// reaching ends a phase at a speed, from below or from above.
func reaching(to unit.TrueAirspeed, up bool) func(unit.Time, course) float64 {
	if up {
		return func(_ unit.Time, c course) float64 { return c.speed - to }
	}
	return func(_ unit.Time, c course) float64 { return to - c.speed }
}

// stuck returns an error if the run does not get faster, or slower, everywhere between two speeds.
func (f *field) stuck(task string, CL unit.Coefficient, friction unit.Ratio, throttle bool, from, to unit.TrueAirspeed) error {
	const steps = 100
	for i := range steps + 1 {
		V := from + (to-from)*unit.Ratio(i)/steps
		a, err := f.run(V, CL, friction, throttle)
		if err != nil {
			return err
		}
		if (a <= 0) == throttle {
			return &ImpossibleError{f.Aeroplane.name(), task, fmt.Sprintf("accelerates by %s at %s, and must come from there to %s", unit.Format(a, "m/s²"),
				unit.FormatPair(V, "TrueAirspeed"), unit.FormatPair(to, "TrueAirspeed"))}
		}
	}
	return nil
}
