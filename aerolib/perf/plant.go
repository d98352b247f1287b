package perf

import (
	"cmp"
	"errors"
	"math"

	"foreplane/aerolib/atmos"
	"foreplane/aerolib/prop"
	"foreplane/aerolib/unit"
)

// PowerLaw returns the lapse σⁿ: n = 0 for none, 1 for the engines of textbooks, about 0.6 for turbofans ([Anderson], ch. 3).
func PowerLaw(n unit.Ratio) prop.Lapse {
	return func(sigma unit.Ratio) unit.Ratio { return math.Pow(sigma, n) }
}

// Propeller is an engine with a propeller of constant efficiency, or of constant efficiency besides that of its disc if a diameter is given:
//
//	T V = η P                                  without: no thrust is defined at rest
//	T (V + v) = η P,   T = 2 ρ A (V + v) v     with it ([prop.Disc])
//
// [Driven] has propellers with blades.
type Propeller struct {
	Power       unit.Power // at the shaft at sea level
	Efficiency  unit.Ratio
	Diameter    unit.Length // 0 to leave it out
	Consumption unit.PowerConsumption
	Lapse       prop.Lapse // nil stands for [prop.GaggFerrar]
}

// Full returns what full throttle gives. It returns a [*unit.PositiveError] for power or efficiency not above zero, and for rest without a disc.
func (p Propeller) Full(air atmos.Air, V unit.TrueAirspeed) (Output, error) {
	if err := errors.Join(unit.CheckPositive("perf.Propeller", "power", p.Power, "kW"), unit.CheckRange("perf.Propeller", "efficiency", p.Efficiency, 1e-3, 1, "1"),
		unit.CheckRange("perf.Propeller", "diameter", p.Diameter, 0, math.Inf(1), "m"), checkAir("perf.Propeller", air)); err != nil {
		return Output{}, err
	}
	lapse := p.Lapse
	if lapse == nil {
		lapse = prop.GaggFerrar
	}
	power := max(p.Power*lapse(air.DensityRatio()), 0)
	thrust, err := p.thrust(air, V, p.Efficiency*power)
	return Output{Thrust: thrust, Shaft: power, Fuel: p.Consumption * power}, err
}

// thrust returns that of a power in the air.
func (p Propeller) thrust(air atmos.Air, V unit.TrueAirspeed, power unit.Power) (unit.Force, error) {
	if p.Diameter > 0 {
		return prop.Disc{Diameter: p.Diameter}.Thrust(air, V, power)
	}
	return power / V, unit.CheckPositive("perf.Propeller", "true airspeed without a diameter", V, "m/s")
}

// For returns what a thrust takes.
func (p Propeller) For(air atmos.Air, V unit.TrueAirspeed, thrust unit.Force) (Output, error) {
	full, err := p.Full(air, V)
	if err := cmp.Or(err, checkThrust(V, thrust, full.Thrust)); err != nil {
		return Output{}, err
	}
	v := 0.0
	if p.Diameter > 0 {
		if v, err = (prop.Disc{Diameter: p.Diameter}).Induced(air, V, thrust); err != nil {
			return Output{}, err
		}
	}
	power := thrust * (V + v) / p.Efficiency
	return Output{Thrust: thrust, Shaft: power, Fuel: p.Consumption * power}, nil
}

// Electric is a motor with a propeller, as [Propeller], whose power does not fall with density.
type Electric struct {
	Power      unit.Power // at the shaft
	Efficiency unit.Ratio // of the propeller, as in Propeller
	Diameter   unit.Length
	Drive      unit.Ratio // shaft power over that drawn from the battery
}

func (e Electric) propeller() Propeller {
	return Propeller{Power: e.Power, Efficiency: e.Efficiency, Diameter: e.Diameter, Lapse: PowerLaw(0)}
}

// Full returns what full power gives.
func (e Electric) Full(air atmos.Air, V unit.TrueAirspeed) (Output, error) {
	return e.drawn(e.propeller().Full(air, V))
}

// For returns what a thrust takes.
func (e Electric) For(air atmos.Air, V unit.TrueAirspeed, thrust unit.Force) (Output, error) {
	return e.drawn(e.propeller().For(air, V, thrust))
}

func (e Electric) drawn(out Output, err error) (Output, error) {
	if err := errors.Join(err, unit.CheckRange("perf.Electric", "drive efficiency", e.Drive, 1e-3, 1, "1")); err != nil {
		return Output{}, err
	}
	out.Electric = out.Shaft / e.Drive
	return out, nil
}

// Jet is an engine whose thrust does not depend on speed.
type Jet struct {
	Thrust      unit.Force // at sea level, of all engines
	Consumption unit.ThrustConsumption
	Lapse       prop.Lapse // nil for none
}

// Full returns what full throttle gives. It returns a [*unit.PositiveError] for thrust not above zero.
func (j Jet) Full(air atmos.Air, V unit.TrueAirspeed) (Output, error) {
	if err := errors.Join(unit.CheckPositive("perf.Jet", "thrust", j.Thrust, "N"), checkAir("perf.Jet", air)); err != nil {
		return Output{}, err
	}
	thrust := j.Thrust
	if j.Lapse != nil {
		thrust *= j.Lapse(air.DensityRatio())
	}
	return Output{Thrust: thrust, Fuel: j.Consumption * thrust}, nil
}

// For returns what a thrust takes.
func (j Jet) For(air atmos.Air, V unit.TrueAirspeed, thrust unit.Force) (Output, error) {
	full, err := j.Full(air, V)
	if err != nil {
		return Output{}, err
	}
	return Output{Thrust: thrust, Fuel: j.Consumption * thrust}, checkThrust(V, thrust, full.Thrust)
}

// checkThrust refuses a thrust that is negative, or more than full throttle gives.
func checkThrust(V unit.TrueAirspeed, thrust, full unit.Force) error {
	if err := unit.CheckRange("perf.For", "thrust", thrust, 0, math.Inf(1), "N"); err != nil {
		return err
	}
	if thrust > full*(1+1e-9) {
		return &ThrustError{thrust, full, V}
	}
	return nil
}
