package prop

import (
	"errors"
	"fmt"
	"math"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/atmos"
	"foreplane/aerolib/unit"
)

// Cooling is the air that cools an engine. Its drag is momentum that the air leaves behind after a fall of pressure through the engine,
//
//	ṁ = k P/(c_p ΔT),   V_out = √(V_in² − 2Δp/ρ),   Δp = Δp₀ (ṁ/ṁ₀)²ρ₀/ρ,   D = ṁ (V_in − V_out)
//
// with V_in the speed at the inlet: that of the stream, and behind a tractor propeller that of the slipstream, which helps where the stream is slow. Where V_in is not enough,
// a fan makes up for the rest with half of its power lost.
type Cooling struct {
	Heat unit.Ratio                 // k, heat to the air over shaft power
	Rise unit.TemperatureDifference // ΔT
	Drop unit.Pressure              // Δp₀, at the rated power and sea level
}

// Cooling of an engine that says nothing of it (common practice: an air-cooled piston engine gives half of its shaft power to the air, an electric one a tenth).
var (
	pistonCooling   = Cooling{Heat: 0.5, Rise: 70, Drop: 1.2e3}
	electricCooling = Cooling{Heat: 0.1, Rise: 30, Drop: 0.6e3}
)

// Installation is an engine with its propeller at its place on an aeroplane. Make it with [Install]; its parts may then be changed, such as the drag of [Part] values by
// that of a better build-up.
type Installation struct {
	Aircraft  string
	Plant     aircraft.Plant
	Propeller Propeller
	Drive     Drive // with the inflow of the surroundings
	Around    Surroundings
	Cooling   Cooling
	inflow    inflow
}

// Install puts a power plant of an aeroplane at its place. The friction that makes wakes and scrubbing drag is that at the given air and speed, and is kept at others.
//
// What it leaves out: the lift of wings, whose bound vortices turn and speed the flow at the disc; propeller tilt; what the propeller does to separation; the swirl that
// wings and tails take out of the slipstream.
func Install(a aircraft.Aircraft, plant aircraft.Plant, air atmos.Air, V unit.TrueAirspeed) (Installation, error) {
	around, err := Around(a, plant, air, V)
	if err != nil {
		return Installation{}, err
	}
	return InstallIn(a.Name, plant, around)
}

// InstallIn puts a power plant in surroundings of any make.
func InstallIn(name string, plant aircraft.Plant, around Surroundings) (Installation, error) {
	p, err := Of(plant)
	if err != nil {
		return Installation{}, err
	}
	d, err := DriveOf(plant)
	if err != nil {
		return Installation{}, err
	}
	i := Installation{Aircraft: name, Plant: plant, Propeller: p, Drive: d, Around: around, Cooling: pistonCooling}
	if plant.Electric {
		i.Cooling = electricCooling
	}
	i.inflow = sampled(p.Diameter/2, max(p.Stations[0].Radius, p.Spinner/p.Diameter)).inflow(around)
	i.Drive.Inflow = i.inflow.at
	return i, nil
}

// Blockage returns by how much the displacement of the aeroplane slows the flow at the disc, over V, mean of the disc: sources q of slender bodies and of the thickness of
// wings in a flow without friction,
//
//	−(1/A) ∫ Σ q (x − x_q)/(4π|r − r_q|³) dA
func (i Installation) Blockage() unit.Ratio { return i.inflow.mean(i.inflow.displacement) }

// WakeFraction returns by how much the wakes of what stands ahead of the disc slow the flow at it, over V, mean of the disc.
func (i Installation) WakeFraction() unit.Ratio { return i.inflow.mean(i.inflow.wake) }

// Installed is an installation at one speed. Thrust that the aeroplane has of it is Net.
type Installed struct {
	Operating            // with the thrust of the propeller at its place
	Net       unit.Force // Thrust less what the propeller adds to the drag of the aeroplane
	Added     Added
	Apparent  unit.Ratio // Thrust V/P
	Efficient unit.Ratio // Net V/P, the propulsive efficiency
	Slip      Slipstream
	Surfaces  []Wetting
	Unsteady  unit.Ratio // by which the lift of a blade falls or rises at 75 % of the radius when it passes the wake of a wing, over its mean; 0 if there is none
}

// Added is the drag that belongs to an installation.
type Added struct {
	Deduction        unit.Force // pressure drag of what the propeller's pressure field acts on
	Body, Wing, Tail unit.Force // friction of what the slipstream washes
	Cooling          unit.Force
}

// Total returns the sum.
func (a Added) Total() unit.Force { return a.Deduction + a.Body + a.Wing + a.Tail + a.Cooling }

// Wetting is what a slipstream does to a part of the aeroplane behind it: input for its trim.
type Wetting struct {
	Name     string
	Fraction unit.Ratio // of its wetted area in the slipstream
	Pressure unit.Ratio // dynamic pressure there over that of the stream
	Swirl    unit.Angle // of the slipstream, mean, clockwise seen from behind where the propeller turns so
}

// At returns what a throttle gives. The books are kept so that nothing counts twice:
//
//   - the propeller works in the flow at its place, which bodies and wings slow; the thrust it gains so is in Thrust;
//   - the same pressures act on the aeroplane: the sources of its displacement in the speed v that the propeller adds feel 2ρvVA b for a blockage b (Lagally), the deduction,
//     which without friction takes back the gain. Both are of the first order in v/V: at rest they are left out, where they would cancel too;
//   - what the slipstream washes has more friction, by its drag area times the rise of dynamic pressure at its distance;
//   - the wake that a pusher propeller works in is paid for by the drag of the aeroplane without propeller, and its gain is not taken back.
//
// All vanish without body, wing and tail. Errors are those of [Drive.At] and [Disc.Induced].
func (i Installation) At(air atmos.Air, V unit.TrueAirspeed, throttle unit.Ratio) (Installed, error) {
	o, err := i.Drive.At(air, V, throttle)
	if err != nil {
		return Installed{}, err
	}
	return i.around(air, o)
}

// Thrust returns what full throttle gives, the net thrust as Thrust, and so does [Installation.For] with a thrust: an installation stands in for its [Drive].
func (i Installation) Thrust(air atmos.Air, V unit.TrueAirspeed) (Operating, error) {
	s, err := i.At(air, V, 1)
	return s.net(), err
}

// For returns the throttle, and all that follows, that gives a net thrust.
func (i Installation) For(air atmos.Air, V unit.TrueAirspeed, thrust unit.Force) (Operating, error) {
	gross := thrust
	for range 30 { // what is added is a small part of the thrust, so that this closes in quickly
		o, err := i.Drive.For(air, V, gross)
		if err != nil {
			return Operating{}, err
		}
		s, err := i.around(air, o)
		if err != nil {
			return Operating{}, err
		}
		if math.Abs(s.Net-thrust) <= 1e-6*max(1, math.Abs(thrust)) {
			return s.net(), nil
		}
		gross += thrust - s.Net
	}
	return Operating{}, &SolutionError{i.Plant.Name, V, fmt.Sprintf("no throttle for a net thrust of %s", unit.Format(thrust, "N"))}
}

// net returns the operating state with the net thrust.
func (s Installed) net() Operating {
	o := s.Operating
	o.Thrust, o.Efficiency = s.Net, s.Efficient
	return o
}

// around adds to a state of the propeller what it does to the aeroplane.
func (i Installation) around(air atmos.Air, o Operating) (Installed, error) {
	slip, err := Disc{i.Propeller.Diameter}.Slipstream(air, o.V, o.Thrust)
	if err != nil {
		return Installed{}, err
	}
	s := Installed{Operating: o, Slip: slip, Apparent: o.Efficiency}
	s.Added.Deduction = i.deduction(air, slip)
	s.scrub(air, i.Around.Parts)
	if s.Added.Cooling, err = i.cooling(air, s); err != nil {
		return Installed{}, err
	}
	s.Net = o.Thrust - s.Added.Total()
	if o.Power > 0 {
		s.Efficient = s.Net * o.V / o.Power
	}
	s.wet(air, i.Around.Parts, o.Power/(2*math.Pi*o.Rotation))
	i.unsteady(air, &s)
	return s, nil
}

// deduction returns the force of the pressures of the propeller on the aeroplane. By reciprocity it needs no second sum: the disc moves the air at a source q as sinks of 2v on
// its area would, the source moves the air at the disc as [Installation.Blockage] has it, and each feels what the other does,
//
//	D = −ρV Σ q u(r_q) = 2ρ v V A b
func (i Installation) deduction(air atmos.Air, slip Slipstream) unit.Force {
	area := 0.0
	for k := range i.inflow.x {
		area += i.inflow.area(k)
	}
	return 2 * air.Density * slip.Added * slip.V * area * i.Blockage()
}

// washes reports whether a place is behind the disc and inside the slipstream.
func (s Slipstream) washes(x, y, z unit.Length) bool {
	return x > 0 && math.Hypot(y, z) < s.RadiusAt(x)
}

// within reports whether a place is in the air that passes the disc, ahead of it or behind.
func (s Slipstream) within(p Part) bool { return math.Hypot(p.Y, p.Z) < s.RadiusAt(p.X) }

// scrub adds the friction of what is in the air that passes the disc.
func (s *Installed) scrub(air atmos.Air, parts []Part) {
	q := air.DynamicPressure(s.V)
	for _, p := range parts {
		if !s.Slip.within(p) {
			continue
		}
		drag := p.DragArea * (s.Slip.Pressure(air, p.X) - q)
		switch p.Group {
		case BodyGroup:
			s.Added.Body += drag
		case WingGroup:
			s.Added.Wing += drag
		case TailGroup:
			s.Added.Tail += drag
		}
	}
}

// airHeat is c_p of air, in J/(kg K).
const airHeat unit.GasConstant = 1005

// fanEfficiency is that of a fan in a duct (common practice).
const fanEfficiency unit.Ratio = 0.5

// cooling returns the drag of the cooling air. A fan takes its power from the shaft, and counts as the part of the thrust that goes with it.
func (i Installation) cooling(air atmos.Air, s Installed) (unit.Force, error) {
	c := i.Cooling
	if s.Power <= 0 || c.Heat == 0 {
		return 0, nil
	}
	if err := errors.Join(unit.CheckPositive("prop.Cooling", "rise of temperature", c.Rise, "K"), unit.CheckRange("prop.Cooling", "drop of pressure", c.Drop, 0, math.Inf(1), "Pa"),
		unit.CheckRange("prop.Cooling", "heat over power", c.Heat, 0, math.Inf(1), "1")); err != nil {
		return 0, err
	}
	flow := c.Heat * s.Power / (airHeat * c.Rise)
	load := s.Power / i.Plant.Power
	drop := c.Drop * load * load * atmos.SeaLevelDensity / air.Density
	in := s.V
	if !i.Plant.Pusher {
		in = s.Slip.Speed(0)
	}
	ram := air.DynamicPressure(in)
	if ram >= drop {
		return flow * (in - math.Sqrt(2*(ram-drop)/air.Density)), nil
	}
	fan := flow / air.Density * (drop - ram) / fanEfficiency
	return flow*in + s.Thrust*fan/s.Power, nil
}

// wet collects what the slipstream does to parts behind the disc.
func (s *Installed) wet(air atmos.Air, parts []Part, torque unit.Moment) {
	if s.V == 0 || s.Slip.Added+s.V <= 0 {
		return
	}
	r := s.Slip.Radius
	around := 3 * torque / (2 * math.Pi * air.Density * r * r * r * (s.V + s.Slip.Added)) // the even speed that carries the torque
	var names []string
	sums := map[string]*[4]float64{} // wetted area in all and in the slipstream, and the latter times pressure and swirl
	for _, p := range parts {
		if sums[p.Name] == nil {
			names, sums[p.Name] = append(names, p.Name), new([4]float64)
		}
		sum := sums[p.Name]
		sum[0] += p.Wetted
		if !s.Slip.washes(p.X, p.Y, p.Z) {
			continue
		}
		sum[1] += p.Wetted
		sum[2] += p.Wetted * s.Slip.Pressure(air, p.X) / air.DynamicPressure(s.V)
		sum[3] += p.Wetted * math.Atan(around/s.Slip.Speed(p.X))
	}
	for _, name := range names {
		if m := sums[name]; m[1] > 0 {
			s.Surfaces = append(s.Surfaces, Wetting{name, m[1] / m[0], m[2] / m[1], m[3] / m[1]})
		}
	}
}

// unsteady says what the wakes of wings do to a blade.
func (i Installation) unsteady(air atmos.Air, s *Installed) {
	deepest := 0.0
	for _, w := range i.Around.Sheets {
		if math.Hypot(w.Y, w.Z) < i.Propeller.Diameter/2 {
			deepest = max(deepest, w.depth())
		}
	}
	if deepest == 0 || s.Power <= 0 {
		return
	}
	turning := 2 * math.Pi * s.Rotation * stated * i.Propeller.Diameter / 2
	u := s.V + s.Slip.Added
	kick := bladeSlope * deepest * s.V * turning / (u*u + turning*turning) // slower air is a larger angle of attack, by δu Ωr/W²
	mean := math.Abs(s.Thrust) / (air.Density * i.Propeller.load(u, s.Rotation))
	s.Unsteady = kick / mean
	s.Notes = append(s.Notes, fmt.Sprintf("Each blade passes the wake of a wing twice per revolution, where its lift changes by %.0f %%: an unsteady load, a cause of noise and fatigue.", 100*s.Unsteady))
}
