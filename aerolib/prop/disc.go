package prop

import (
	"fmt"
	"math"

	"foreplane/aerolib/atmos"
	"foreplane/aerolib/solve"
	"foreplane/aerolib/unit"
)

// Disc is an actuator disc: a propeller without friction, swirl and tips, the best that a diameter allows.
type Disc struct{ Diameter unit.Length }

// Area returns π D²/4.
func (d Disc) Area() unit.Area { return math.Pi / 4 * d.Diameter * d.Diameter }

// IdealEfficiency returns what a disc of load T_c = T/(qA) makes useful of its power ([Glauert]):
//
//	η = 2/(1 + √(1 + T_c))
//
// It returns a [*unit.RangeError] for a load of −1 and below, which would stop the air.
func IdealEfficiency(load unit.Ratio) (unit.Ratio, error) {
	if !(load > -1) || math.IsInf(load, 1) {
		return 0, &unit.RangeError{Func: "prop.IdealEfficiency", Arg: "disc load", Value: load, Min: -1, Max: math.Inf(1), Unit: "1"}
	}
	return 2 / (1 + math.Sqrt(1+load)), nil
}

// Induced returns the speed v that a disc adds to the air that passes it, for a thrust at true airspeed V from 0 on:
//
//	T = 2ρA (V + v) v,   v = ½(√(V² + 2T/(ρA)) − V)
//
// ([Glauert]). It returns an error for a drag beyond qA.
func (d Disc) Induced(air atmos.Air, V unit.TrueAirspeed, thrust unit.Force) (unit.Speed, error) {
	if err := d.check("prop.Disc.Induced", air, V); err != nil {
		return 0, err
	}
	rise := 2 * thrust / (air.Density * d.Area())
	if !(V*V+rise >= 0) || math.IsInf(rise, 0) {
		return 0, fmt.Errorf("prop.Disc.Induced: thrust is %s, must be at least %s: more drag would stop the air behind the disc",
			unit.Format(thrust, "N"), unit.Format(-air.DynamicPressure(V)*d.Area(), "N"))
	}
	return (math.Sqrt(V*V+rise) - V) / 2, nil
}

// Thrust returns the thrust of a power, which solves P = T (V + v); at V = 0 it is (2ρAP²)^(1/3) ([Glauert]). It returns an error for a power below zero.
func (d Disc) Thrust(air atmos.Air, V unit.TrueAirspeed, power unit.Power) (unit.Force, error) {
	if err := d.check("prop.Disc.Thrust", air, V); err != nil {
		return 0, err
	}
	if err := unit.CheckRange("prop.Disc.Thrust", "power", power, 0, math.Inf(1), "kW"); err != nil {
		return 0, err
	}
	static := math.Cbrt(2 * air.Density * d.Area() * power * power)
	if static == 0 || V == 0 {
		return static, nil
	}
	return solve.Root(func(thrust float64) float64 {
		v := (math.Sqrt(V*V+2*thrust/(air.Density*d.Area())) - V) / 2
		return thrust*(V+v) - power
	}, 0, static)
}

func (d Disc) check(caller string, air atmos.Air, V unit.TrueAirspeed) error {
	if err := unit.CheckPositive(caller, "propeller diameter", d.Diameter, "m"); err != nil {
		return err
	}
	return checkAir(caller, air, V)
}

// checkAir checks what every state of a propeller needs.
func checkAir(caller string, air atmos.Air, V unit.TrueAirspeed) error {
	if err := unit.CheckPositive(caller, "density", air.Density, "kg/m³"); err != nil {
		return err
	}
	return unit.CheckRange(caller, "true airspeed", V, 0, math.Inf(1), "m/s")
}

// Slipstream is the air that a disc has set in motion, on and about its axis.
type Slipstream struct {
	V      unit.TrueAirspeed
	Added  unit.Speed  // v at the disc; 2v far behind
	Radius unit.Length // of the disc
}

// Slipstream returns that of a thrust. Errors are those of [Disc.Induced].
func (d Disc) Slipstream(air atmos.Air, V unit.TrueAirspeed, thrust unit.Force) (Slipstream, error) {
	v, err := d.Induced(air, V, thrust)
	return Slipstream{V, v, d.Diameter / 2}, err
}

// Speed returns the speed on the axis at a distance behind the disc, or ahead of it where that is below zero. The vortices of the edge of the slipstream form a half-infinite
// cylinder, whose contraction is left out here and follows in [Slipstream.RadiusAt]:
//
//	V + v (1 + s/√(s² + R²))
//
// ([Glauert]; exact for light loads).
func (s Slipstream) Speed(distance unit.Length) unit.Speed {
	return s.V + s.Added*(1+distance/math.Hypot(distance, s.Radius))
}

// RadiusAt returns the radius at a distance behind the disc of the air that passes it, by continuity: R √((V + v)/Speed).
func (s Slipstream) RadiusAt(distance unit.Length) unit.Length {
	speed := s.Speed(distance)
	if speed <= 0 {
		return s.Radius
	}
	return s.Radius * math.Sqrt((s.V+s.Added)/speed)
}

// Pressure returns the dynamic pressure of [Slipstream.Speed].
func (s Slipstream) Pressure(air atmos.Air, distance unit.Length) unit.DynamicPressure {
	return air.DynamicPressure(s.Speed(distance))
}
