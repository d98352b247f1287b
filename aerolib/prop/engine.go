package prop

import (
	"errors"
	"math"

	"foreplane/aerolib/atmos"
	"foreplane/aerolib/unit"
)

// Engine is what turns a propeller.
type Engine interface {
	// Run returns what the engine does with its propeller turning at n, throttle from 0 (closed) to 1 (fully open).
	Run(air atmos.Air, n unit.RotationRate, throttle unit.Ratio) (Output, error)
	// Rating returns the power at sea level and the rotation of the propeller that belongs to it.
	Rating() (unit.Power, unit.RotationRate)
}

// Output is what an engine gives and takes.
type Output struct {
	Power    unit.Power // of the shaft; below zero where the engine has to be turned
	FuelFlow unit.MassFlow
	Electric unit.Power // from the battery
}

// Lapse gives the power of a piston engine over that at sea level from the density ratio of the air in its manifold over that at sea level and full throttle.
type Lapse func(density unit.Ratio) unit.Ratio

// GaggFerrar returns the power over that at sea level of an engine whose friction stays what it is,
//
//	P/P₀ = σ − (1 − σ)/7.55
//
// ([Gagg]), which is −0.13 without air: that of an engine that is turned with its throttle closed.
func GaggFerrar(density unit.Ratio) unit.Ratio { return density - (1-density)/7.55 }

// DensityLapse returns σ itself, the rule of textbooks. It is 5 % optimistic at 10 000 ft and knows no friction.
func DensityLapse(density unit.Ratio) unit.Ratio { return density }

// Piston is a piston engine. Its torque does not depend on its speed (common practice near the rated speed), and its power is that of a manifold with air of the density
// throttle times that outside:
//
//	P = P₀ (n/n₀) lapse(throttle · min(1, σ/σ_c))
//
// σ_c is 1, or the density ratio at the critical altitude of a turbocharger, up to which the manifold is as at sea level.
type Piston struct {
	Power       unit.Power            // P₀, at sea level and Speed
	Speed       unit.RotationRate     // n₀, of the propeller
	Lapse       Lapse                 // nil for GaggFerrar
	Critical    unit.PressureAltitude // of a turbocharger; 0 for none
	Consumption unit.PowerConsumption // fuel flow over power; 0 for 0.30 kg/(kW h), a carburetted engine at cruise (common practice)
}

// defaultConsumption is that of common carburetted engines.
const defaultConsumption = 0.30 * unit.KilogramPerKilowattHour

// Rating returns power and speed.
func (e Piston) Rating() (unit.Power, unit.RotationRate) { return e.Power, e.Speed }

// Run returns power and fuel flow; the fuel of an engine that gives no power is left out. It returns an error for a rated power or speed not above zero, a throttle
// outside 0 to 1, and a critical altitude outside the standard atmosphere.
func (e Piston) Run(air atmos.Air, n unit.RotationRate, throttle unit.Ratio) (Output, error) {
	if err := checkEngine("prop.Piston.Run", e, air, n, throttle); err != nil {
		return Output{}, err
	}
	density := air.DensityRatio()
	if e.Critical != 0 {
		critical, err := atmos.Standard(unit.GeopotentialAltitude(e.Critical))
		if err != nil {
			return Output{}, err
		}
		density = min(1, density/critical.DensityRatio())
	}
	lapse, consumption := e.Lapse, e.Consumption
	if lapse == nil {
		lapse = GaggFerrar
	}
	if consumption == 0 {
		consumption = defaultConsumption
	}
	power := e.Power * n / e.Speed * lapse(throttle*density)
	return Output{Power: power, FuelFlow: consumption * max(power, 0)}, nil
}

func checkEngine(caller string, e Engine, air atmos.Air, n unit.RotationRate, throttle unit.Ratio) error {
	power, speed := e.Rating()
	return errors.Join(
		checkRating(caller, power, speed),
		unit.CheckPositive(caller, "density", air.Density, "kg/m³"),
		unit.CheckRange(caller, "rotation", n, 0, math.Inf(1), "rpm"),
		unit.CheckRange(caller, "throttle", throttle, 0, 1, "1"),
	)
}

func checkRating(caller string, power unit.Power, speed unit.RotationRate) error {
	return errors.Join(unit.CheckPositive(caller, "rated power", power, "kW"), unit.CheckPositive(caller, "rated rotation", speed, "rpm"))
}

// Electric is an electric engine with its controller. Up to Speed its torque, beyond it its power is limited, whatever the air. Its losses are
//
//	P_el − P = P₀ [k_c (Q/Q₀)² + k_i n/n₀ + k_0],   Q₀ = P₀/(2πn₀)
//
// in windings, iron and controller.
type Electric struct {
	Power  unit.Power        // P₀, of the shaft, at Speed and beyond
	Speed  unit.RotationRate // n₀, of the propeller
	Losses [3]unit.Ratio     // k_c, k_i, k_0; all 0 for 0.04, 0.03, 0.01 (common practice: 93 % at full power)
}

// Rating returns power and speed.
func (e Electric) Rating() (unit.Power, unit.RotationRate) { return e.Power, e.Speed }

// Run returns power and what the battery gives for it. An engine that is switched off turns freely. Errors are those of [Piston.Run].
func (e Electric) Run(air atmos.Air, n unit.RotationRate, throttle unit.Ratio) (Output, error) {
	if err := checkEngine("prop.Electric.Run", e, air, n, throttle); err != nil || throttle == 0 {
		return Output{}, err
	}
	k := e.Losses
	if k == [3]unit.Ratio{} {
		k = [3]unit.Ratio{0.04, 0.03, 0.01}
	}
	speed := n / e.Speed
	torque := throttle / max(1, speed)
	power := e.Power * torque * speed
	return Output{Power: power, Electric: power + e.Power*(k[0]*torque*torque+k[1]*speed+k[2])}, nil
}
