package prop

import (
	"errors"
	"fmt"
	"math"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/atmos"
	"foreplane/aerolib/solve"
	"foreplane/aerolib/unit"
)

// Model gives the coefficients of a propeller in a flow: a [Propeller] by blade elements, a [Charted] one from a chart.
type Model interface {
	Point(Flow) (Point, error)
	Size() unit.Length // its diameter
}

// Size returns the diameter.
func (p Propeller) Size() unit.Length { return p.Diameter }

// Point returns the coefficients of [Propeller.Solve].
func (p Propeller) Point(f Flow) (Point, error) {
	s, err := p.Solve(f)
	return Point{f.Pitch, s.J, s.CT, s.CP}, err
}

// Charted is a propeller of which there is a chart.
type Charted struct {
	Chart    Chart
	Diameter unit.Length
}

// Size returns the diameter.
func (c Charted) Size() unit.Length { return c.Diameter }

// Point returns the coefficients of [Chart.At], at the mean of the inflow over the disc.
func (c Charted) Point(f Flow) (Point, error) {
	if err := unit.CheckPositive("prop.Charted.Point", "rotation", f.Rotation, "rpm"); err != nil {
		return Point{}, err
	}
	return c.Chart.At(f.V*f.meanInflow()/(f.Rotation*c.Diameter), f.Pitch)
}

// meanInflow returns 2 ∫ (V_in/V) x dx.
func (f Flow) meanInflow() unit.Ratio {
	if f.Inflow == nil {
		return 1
	}
	const rings = 64
	sum := 0.0
	for i := range rings {
		x := (float64(i) + 0.5) / rings
		sum += 2 * x * f.Inflow(x) / rings
	}
	return sum
}

// Drive is an engine with a propeller of fixed pitch or of constant speed. Perf takes it by [Drive.Thrust] and [Drive.For].
type Drive struct {
	Name   string
	Model  Model
	Engine Engine
	Low    unit.Angle                         // pitch at 75 % of the radius, or the low stop
	High   unit.Angle                         // the high stop of a propeller that keeps the rated speed of the engine; 0 if the pitch is fixed
	Inflow func(radius unit.Ratio) unit.Ratio // as in [Flow]
}

// Operating is what an engine and its propeller do at one speed.
type Operating struct {
	V          unit.TrueAirspeed
	Thrust     unit.Force    // below zero where the propeller brakes
	Power      unit.Power    // of the shaft; below zero where the air turns it
	FuelFlow   unit.MassFlow // 0 of an electric engine
	Electric   unit.Power    // from the battery; 0 of an engine with fuel
	Rotation   unit.RotationRate
	Pitch      unit.Angle // of the blades at 75 % of the radius
	Throttle   unit.Ratio // 0 closed, 1 fully open
	Efficiency unit.Ratio // T V/P, 0 where the power is not above zero
	Point      Point      // J, CT and CP
	Notes      []string   // what limits the result or is outside the range of a method
}

// SolutionError says that there is no state of engine and propeller that fits.
type SolutionError struct {
	Name   string
	V      unit.TrueAirspeed
	Reason string
}

func (e *SolutionError) Error() string {
	return fmt.Sprintf("prop: no solution for the %s at %s: %s", e.Name, unit.Format(e.V, "m/s"), e.Reason)
}

// Defaults of stops that a plant does not state (common practice).
const (
	defaultLow  unit.Angle = 12 * unit.Degree
	defaultHigh unit.Angle = 45 * unit.Degree
)

// DriveOf returns engine and propeller of a power plant: electric, or a piston engine whose power falls with altitude by [GaggFerrar], with a turbocharger if a critical
// altitude is stated. A plant that says nothing of its pitch is of constant speed between 12° and 45°. Errors are those of [Of], and a [*unit.PositiveError] for power or
// speed not above zero.
func DriveOf(plant aircraft.Plant) (Drive, error) {
	p, err := Of(plant)
	if err != nil {
		return Drive{}, err
	}
	if err := checkRating("prop.DriveOf", plant.Power, plant.Speed); err != nil {
		return Drive{}, err
	}
	d := Drive{Name: plant.Name, Model: p, Low: plant.Pitch, High: plant.PitchHigh}
	if d.Low == 0 && d.High == 0 {
		d.Low, d.High = defaultLow, defaultHigh
	}
	if plant.Electric {
		d.Engine = Electric{Power: plant.Power, Speed: plant.Speed}
	} else {
		d.Engine = Piston{Power: plant.Power, Speed: plant.Speed, Critical: plant.Critical, Consumption: plant.Consumption}
	}
	return d, nil
}

// Thrust returns what full throttle gives.
func (d Drive) Thrust(air atmos.Air, V unit.TrueAirspeed) (Operating, error) {
	return d.At(air, V, 1)
}

// At returns what a throttle from 0 to 1 gives. With fixed pitch the rotation is that at which the propeller takes the torque of the engine; with constant speed the pitch is
// the one that takes its power at the rated speed, unless that is beyond a stop, where the pitch is fixed. With the throttle closed the air turns a piston engine, and the
// thrust is a drag: the glide with the engine off.
//
// It returns a [*SolutionError] where engine and propeller do not come to terms, such as at rest with the throttle closed, and errors of [Propeller.Solve] or [Chart.At].
func (d Drive) At(air atmos.Air, V unit.TrueAirspeed, throttle unit.Ratio) (Operating, error) {
	if err := d.check(air, V); err != nil {
		return Operating{}, err
	}
	c := situation{d, air, V, throttle}
	if d.High == 0 {
		return c.fixed(d.Low)
	}
	return c.governed()
}

// governed returns the state at the rated speed. Going up from the low stop, as a governor does, the first pitch that takes the power is taken: stalled blades can take
// the same power at a larger one.
func (c situation) governed() (Operating, error) {
	_, n := c.Engine.Rating()
	surplus := func(pitch unit.Angle) (unit.Moment, error) { return c.surplus(n, pitch) }
	switch s, err := surplus(c.Low); {
	case err != nil:
		return Operating{}, err
	case s <= 0: // the engine cannot turn it that fast
		return c.fixed(c.Low)
	}
	const step = 2 * unit.Degree
	for pitch := c.Low; pitch < c.High; pitch += step {
		coarser := min(pitch+step, c.High)
		s, err := surplus(coarser)
		if err != nil {
			return Operating{}, err
		}
		if s <= 0 {
			if pitch, err = root(surplus, pitch, coarser); err != nil {
				return Operating{}, err
			}
			return c.operating(n, pitch)
		}
	}
	return c.fixed(c.High) // the engine turns it faster
}

func (d Drive) check(air atmos.Air, V unit.TrueAirspeed) error {
	if d.Model == nil || d.Engine == nil {
		return errors.New("prop.Drive: it needs a model of the propeller and an engine")
	}
	power, speed := d.Engine.Rating()
	if err := errors.Join(checkAir("prop.Drive", air, V), checkRating("prop.Drive", power, speed)); err != nil {
		return err
	}
	if err := unit.CheckRange("prop.Drive", "pitch", d.Low, minPitch, maxPitch, "°"); err != nil || d.High == 0 {
		return err
	}
	return unit.CheckRange("prop.Drive", "pitch at the high stop", d.High, d.Low, maxPitch, "°")
}

// root is solve.Root for functions with errors, of which it returns the first.
func root(f func(float64) (float64, error), a, b float64) (float64, error) {
	var failed error
	x, err := solve.Root(func(x float64) float64 {
		y, err := f(x)
		if err != nil && failed == nil {
			failed = err
		}
		return y
	}, a, b)
	if failed != nil {
		return 0, failed
	}
	return x, err
}

// For returns the throttle, and all that follows, that gives a thrust. It returns a [*SolutionError] for more than full throttle or less than a closed one gives.
func (d Drive) For(air atmos.Air, V unit.TrueAirspeed, thrust unit.Force) (Operating, error) {
	if err := unit.CheckRange("prop.Drive.For", "thrust", thrust, math.Inf(-1), math.Inf(1), "N"); err != nil {
		return Operating{}, err
	}
	full, err := d.At(air, V, 1)
	if err != nil {
		return Operating{}, err
	}
	if thrust > full.Thrust*(1+1e-9) {
		return Operating{}, &SolutionError{d.Name, V, fmt.Sprintf("a thrust of %s is more than full throttle gives, %s", unit.Format(thrust, "N"), unit.Format(full.Thrust, "N"))}
	}
	least, low, err := d.least(air, V)
	if err != nil {
		return Operating{}, err
	}
	if thrust < low {
		return Operating{}, &SolutionError{d.Name, V, fmt.Sprintf("a thrust of %s is less than a closed throttle gives, %s", unit.Format(thrust, "N"), unit.Format(low, "N"))}
	}
	throttle, err := root(func(t float64) (float64, error) {
		o, err := d.At(air, V, t)
		return o.Thrust - thrust, err
	}, least, 1)
	if err != nil {
		return Operating{}, err
	}
	return d.At(air, V, throttle)
}

// least returns the least throttle that keeps the propeller turning, and its thrust. It is 0 where the air turns the engine.
func (d Drive) least(air atmos.Air, V unit.TrueAirspeed) (throttle unit.Ratio, thrust unit.Force, err error) {
	for step := range 20 {
		throttle = float64(step) / 20
		o, err := d.At(air, V, throttle)
		var none *SolutionError
		if !errors.As(err, &none) {
			return throttle, o.Thrust, err
		}
	}
	o, err := d.At(air, V, 1)
	return 1, o.Thrust, err
}

// situation is a drive at one speed and throttle.
type situation struct {
	Drive
	air      atmos.Air
	V        unit.TrueAirspeed
	throttle unit.Ratio
}

func (c situation) flow(n unit.RotationRate, pitch unit.Angle) Flow {
	return Flow{Air: c.air, V: c.V, Rotation: n, Pitch: pitch, Inflow: c.Inflow}
}

// surplus returns the torque of the engine less that of the propeller, both times 2π.
func (c situation) surplus(n unit.RotationRate, pitch unit.Angle) (unit.Moment, error) {
	p, err := c.Model.Point(c.flow(n, pitch))
	if err != nil {
		return 0, err
	}
	out, err := c.Engine.Run(c.air, n, c.throttle)
	d := c.Model.Size()
	return out.Power/n - p.CP*c.air.Density*n*n*d*d*d*d*d, err
}

// Rotation is looked for from where the tips are as fast as sound, or at this multiple of the rated speed, downwards in such steps to this fraction of the rated speed.
const (
	fastest     unit.Ratio = 1.6
	slowest     unit.Ratio = 0.05
	slowingStep unit.Ratio = 0.88
)

// fixed returns the state in which a propeller of a pitch turns steadily: the fastest if there are several.
func (c situation) fixed(pitch unit.Angle) (Operating, error) {
	_, rated := c.Engine.Rating()
	sound := 0.999 * maxTipMach * c.air.SpeedOfSound
	if c.V >= sound {
		return Operating{}, &SolutionError{c.Name, c.V, "the tips are faster than sound"}
	}
	n := min(fastest*rated, math.Sqrt(sound*sound-c.V*c.V)/(math.Pi*c.Model.Size()))
	surplus := func(n unit.RotationRate) (unit.Moment, error) { return c.surplus(n, pitch) }
	s, err := surplus(n)
	if err != nil {
		return Operating{}, err
	}
	if s > 0 {
		return Operating{}, &SolutionError{c.Name, c.V, fmt.Sprintf("at %s the engine still turns the propeller faster", unit.Format(n, "rpm"))}
	}
	for n > slowest*rated {
		slower := n * slowingStep
		s, err := surplus(slower)
		var beyond *unit.RangeError
		if errors.As(err, &beyond) { // the end of a chart
			return Operating{}, &SolutionError{c.Name, c.V, "no rotation at which the torques agree: " + err.Error()}
		}
		if err != nil {
			return Operating{}, err
		}
		if s > 0 {
			balanced, err := root(surplus, slower, n)
			if err != nil {
				return Operating{}, err
			}
			return c.operating(balanced, pitch)
		}
		n = slower
	}
	return Operating{}, &SolutionError{c.Name, c.V, "neither engine nor air keep the propeller turning"}
}

func (c situation) operating(n unit.RotationRate, pitch unit.Angle) (Operating, error) {
	p, err := c.Model.Point(c.flow(n, pitch))
	if err != nil {
		return Operating{}, err
	}
	out, err := c.Engine.Run(c.air, n, c.throttle)
	if err != nil {
		return Operating{}, err
	}
	d := c.Model.Size()
	p.J = c.V / (n * d) // of the undisturbed flow, also where the inflow is slower
	o := Operating{
		V: c.V, Thrust: p.CT * c.air.Density * n * n * d * d * d * d, Power: p.CP * c.air.Density * n * n * n * d * d * d * d * d,
		FuelFlow: out.FuelFlow, Electric: out.Electric, Rotation: n, Pitch: pitch, Throttle: c.throttle, Point: p, Efficiency: p.Efficiency(),
	}
	if _, rated := c.Engine.Rating(); n > rated*1.001 {
		o.Notes = append(o.Notes, fmt.Sprintf("The rotation of %s is above the rated %s.", unit.Format(n, "rpm"), unit.Format(rated, "rpm")))
	}
	return o, nil
}

// Tabulated returns the drive with a chart of its propeller in place of the blade elements, computed in the given air at the rated speed: a hundred times as fast, for
// integrations. Reynolds and Mach numbers are then those
// of the rated speed: where a fixed pitch turns more slowly, thrust is up to 2 % less than by the elements. Errors are those of [Propeller.Chart], and one for a drive that has a chart.
func (d Drive) Tabulated(air atmos.Air) (Drive, error) {
	p, ok := d.Model.(Propeller)
	if !ok || d.Engine == nil {
		return Drive{}, errors.New("prop.Drive.Tabulated: it needs a propeller with blades and an engine")
	}
	pitches := []unit.Angle{d.Low}
	if steps := math.Ceil((d.High - d.Low) / (2 * unit.Degree)); d.High != 0 {
		for i := range int(steps) {
			pitches = append(pitches, d.Low+(d.High-d.Low)*float64(i+1)/steps)
		}
	}
	_, n := d.Engine.Rating()
	tips, sound := math.Pi*n*p.Diameter, 0.99*maxTipMach*air.SpeedOfSound
	if err := unit.CheckRange("prop.Drive.Tabulated", "speed of the blade tips at rest", tips, 0, 0.9*sound, "m/s"); err != nil {
		return Drive{}, err
	}
	var points []Point
	for _, pitch := range pitches {
		end := 1.7 * math.Pi * stated * math.Tan(pitch+6*unit.Degree) // beyond where the air turns an engine
		end = min(end, math.Sqrt(sound*sound-tips*tips)/(n*p.Diameter))
		J := make([]unit.Ratio, 61)
		for i := range J {
			J[i] = end * float64(i) / float64(len(J)-1)
		}
		c, err := p.Chart(air, n, J, []unit.Angle{pitch})
		if err != nil {
			return Drive{}, err
		}
		points = append(points, c.Points()...)
	}
	chart, err := NewChart(p.Name, points)
	d.Model = Charted{chart, p.Diameter}
	return d, err
}
