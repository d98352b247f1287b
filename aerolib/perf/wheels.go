package perf

import (
	"cmp"
	"errors"
	"math"

	"foreplane/aerolib/solve"
	"foreplane/aerolib/unit"
)

// Wheels is what rotation about the main wheels of an aeroplane with a nose wheel takes. Lift and moment are those near the ground with the control for pitch fully nose
// up, on the reference area, and grow from those on all wheels with the angle θ by which the nose has risen:
//
//	CL(θ) = CL + CLAlpha θ,   Cm(θ) = Cm + CmAlpha θ   about the CG
type Wheels struct {
	Arm     unit.Length          // of the contact of the main wheels behind the CG, on all wheels
	Height  unit.Length          // of the CG above the ground
	Thrust  unit.Length          // of the thrust line above the ground
	Inertia unit.MomentOfInertia // in pitch, about the CG
	Chord   unit.Length          // of Cm
	CL, Cm  unit.Coefficient
	CLAlpha unit.PerRadian
	CmAlpha unit.PerRadian
	CmQ     unit.PerRadian // damping, by q c/(2V); 0 to leave it out
	Most    unit.Angle     // by which the nose can rise until something touches the ground
}

func (w Wheels) check(function string) error {
	return errors.Join(unit.CheckPositive(function, "arm of the main wheels behind the CG", w.Arm, "m"), unit.CheckPositive(function, "height of the CG", w.Height, "m"),
		unit.CheckRange(function, "height of the thrust line", w.Thrust, -10, 10, "m"), unit.CheckPositive(function, "inertia in pitch", w.Inertia, "kg·m²"),
		unit.CheckPositive(function, "chord", w.Chord, "m"), unit.CheckPositive(function, "lift slope", w.CLAlpha, "1/rad"),
		unit.CheckRange(function, "angle until something touches the ground", w.Most, 0, math.Pi/2, "°"),
		unit.CheckRange(function, "moment coefficient", w.Cm, -5, 5, "1"), unit.CheckRange(function, "lift coefficient", w.CL, -5, 5, "1"))
}

// moment returns the moment nose up about the contact of the main wheels, with the nose wheel free, at an angle θ of the nose and its rate, and the acceleration along
// the runway. All of it:
//
//	M = qS (c Cm + x CL) + z D − z_T T + z m a − x W cos φ + z W sin φ
//
// with x and z the distance of the CG ahead of the contact and above it. Inertia m a acts backward at the CG, as drag is taken to do.
func (f *field) moment(V unit.TrueAirspeed, angle unit.Angle, rate unit.AngularRate) (unit.Moment, unit.Acceleration, error) {
	w := f.Ground.Wheels
	sin, cos := math.Sincos(angle)
	x, z := w.Arm*cos-w.Height*sin, w.Height*cos+w.Arm*sin
	CL, Cm := w.CL+w.CLAlpha*angle, w.Cm+w.CmAlpha*angle
	if V > 0 {
		Cm += w.CmQ * rate * w.Chord / (2 * V)
	}
	a, err := f.run(V, CL, f.Runway.Surface.Rolling, true)
	if err != nil {
		return 0, 0, err
	}
	T, err := f.thrust(V)
	if err != nil {
		return 0, 0, err
	}
	D, err := f.dragAt(V, CL, 0)
	qS := f.Air.DynamicPressure(V) * f.Area
	sinSlope, cosSlope := math.Sincos(f.Slope)
	return qS*(w.Chord*Cm+x*CL) + z*D - w.Thrust*T + z*f.Mass*a - x*f.Weight()*cosSlope + z*f.Weight()*sinSlope, a, err
}

// Unstick returns the speed at which the control for pitch, fully nose up, can first raise the nose wheel in the take-off run. It returns an [*ImpossibleError] if
// it cannot at three times the stalling speed, and errors for bad input.
func (a Aeroplane) Unstick(t TakeOff) (unit.TrueAirspeed, error) {
	f, err := a.onRunway("perf.Unstick", t.Runway, t.Ground)
	if err != nil {
		return 0, err
	}
	if f.Ground.Wheels == nil {
		return 0, errors.New("perf.Unstick: what the wheels are like is not known: set Ground.Wheels")
	}
	if _, err := f.propulsion("take off"); err != nil {
		return 0, err
	}
	return f.unstick()
}

func (f *field) unstick() (unit.TrueAirspeed, error) {
	if err := f.Ground.Wheels.check("perf.Wheels"); err != nil {
		return 0, err
	}
	f.err = nil
	moment := func(V unit.TrueAirspeed) float64 {
		M, _, err := f.moment(V, 0, 0)
		f.err = cmp.Or(f.err, err)
		return M
	}
	step, most := 0.05*f.stall, 3*f.stall
	if moment(step) >= 0 {
		return 0, f.err // it sits on its tail from the start
	}
	for V := 2 * step; V <= most && f.err == nil; V += step {
		if moment(V) >= 0 {
			unstick, err := solve.Root(moment, V-step, V)
			return unstick, cmp.Or(f.err, err)
		}
	}
	return 0, cmp.Or(f.err, error(&ImpossibleError{f.Aeroplane.name(), "raise its nose wheel", "lacks " + unit.Format(-moment(most), "N·m") +
		" about the main wheels even at " + unit.FormatPair(most, "TrueAirspeed")}))
}

// rotating returns the phase in which the nose rises with the control fully nose up, until lift bears the weight or the nose can rise no further.
func (f *field) rotating() phase {
	w := f.Ground.Wheels
	inertia := w.Inertia + f.Mass*(w.Arm*w.Arm+w.Height*w.Height) // about the contact
	return phase{"rotation", true, func(c course) (changes, error) {
		M, a, err := f.moment(c.speed, c.angle, c.turn)
		out := changes{way: c.speed - f.Headwind, speed: a, angle: c.turn, turn: M / inertia}
		if c.angle <= 0 && c.turn <= 0 && M < 0 { // the nose wheel bears what is missing
			out.angle, out.turn = 0, 0
		}
		return out, err
	}, func(_ unit.Time, c course) float64 {
		return max(f.borne(c.speed, c.angle), c.angle-w.Most, c.angle-f.stallRise())
	}}
}

// stallRise returns the angle of the nose at which the greatest lift is reached.
func (f *field) stallRise() unit.Angle {
	w := f.Ground.Wheels
	return (f.Aeroplane.MaxLift - w.CL) / w.CLAlpha
}

// borne returns lift over weight, less one.
func (f *field) borne(V unit.TrueAirspeed, angle unit.Angle) unit.Ratio {
	w := f.Ground.Wheels
	return f.Air.DynamicPressure(V)*f.Area*(w.CL+w.CLAlpha*angle)/(f.Weight()*math.Cos(f.Slope)) - 1
}

// holding returns the phase in which the aeroplane runs on with its nose as high as it goes until it is borne.
func (f *field) holding(angle unit.Angle) phase {
	w := f.Ground.Wheels
	p := f.rolling("run on the main wheels", w.CL+w.CLAlpha*angle, f.Runway.Surface.Rolling, true, 0)
	p.until = func(_ unit.Time, c course) float64 { return f.borne(c.speed, angle) }
	return p
}
