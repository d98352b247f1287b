package perf

import (
	"errors"
	"math"

	"foreplane/aerolib/unit"
)

// Breguet holds what the closed forms of Breguet take as constant ([Anderson], ch. 5). The forms for a constant altitude need
// Density and Area too.
type Breguet struct {
	CL, CD  unit.Coefficient
	Density unit.Density
	Area    unit.Area
	From    unit.Mass // at the start
	To      unit.Mass // at the end
}

func (b Breguet) check(function string) error {
	if err := errors.Join(unit.CheckPositive(function, "lift coefficient", b.CL, "1"), unit.CheckPositive(function, "drag coefficient", b.CD, "1"),
		unit.CheckPositive(function, "mass at the end", b.To, "kg")); err != nil {
		return err
	}
	return unit.CheckRange(function, "mass at the start", b.From, b.To, math.Inf(1), "kg")
}

func (b Breguet) checkAir(function string) error {
	return errors.Join(b.check(function), unit.CheckPositive(function, "density", b.Density, "kg/m³"), unit.CheckPositive(function, "area", b.Area, "m²"))
}

// PropellerRange returns the distance through the air at constant CL,
//
//	R = η/(c g) · CL/CD · ln(m₀/m₁)
//
// for a propeller of efficiency η and an engine that takes c of fuel, at whatever altitude. It returns a [*unit.PositiveError] or [*unit.RangeError] for bad input.
func (b Breguet) PropellerRange(eta unit.Ratio, c unit.PowerConsumption) (unit.Length, error) {
	if err := errors.Join(b.check("perf.PropellerRange"), checkEngine("perf.PropellerRange", eta, c, "kg/(kW·h)")); err != nil {
		return 0, err
	}
	return eta / (c * g) * b.CL / b.CD * math.Log(b.From/b.To), nil
}

// PropellerEndurance returns the time aloft at constant CL and altitude,
//
//	E = η/(c g) · CL^1.5/CD · √(2 ρ S) · (W₁^−½ − W₀^−½)
//
// It returns errors as [Breguet.PropellerRange] does.
func (b Breguet) PropellerEndurance(eta unit.Ratio, c unit.PowerConsumption) (unit.Time, error) {
	if err := errors.Join(b.checkAir("perf.PropellerEndurance"), checkEngine("perf.PropellerEndurance", eta, c, "kg/(kW·h)")); err != nil {
		return 0, err
	}
	return eta / (c * g) * math.Pow(b.CL, 1.5) / b.CD * math.Sqrt(2*b.Density*b.Area) * (1/math.Sqrt(b.To*g) - 1/math.Sqrt(b.From*g)), nil
}

// JetRange returns the distance through the air at constant CL and altitude, while speed falls with weight,
//
//	R = 2/(c g) · √(2/(ρ S)) · CL^½/CD · (W₀^½ − W₁^½)
//
// for an engine that takes c of fuel. It returns errors as [Breguet.PropellerRange] does.
func (b Breguet) JetRange(c unit.ThrustConsumption) (unit.Length, error) {
	if err := errors.Join(b.checkAir("perf.JetRange"), checkEngine("perf.JetRange", 1, c, "g/(kN·s)")); err != nil {
		return 0, err
	}
	return 2 / (c * g) * math.Sqrt(2/(b.Density*b.Area)) * math.Sqrt(b.CL) / b.CD * (math.Sqrt(b.From*g) - math.Sqrt(b.To*g)), nil
}

// JetCruiseClimb returns the distance through the air at constant CL and speed, while the altitude rises as weight falls,
//
//	R = V/(c g) · CL/CD · ln(m₀/m₁)
//
// It returns errors as [Breguet.PropellerRange] does.
func (b Breguet) JetCruiseClimb(V unit.TrueAirspeed, c unit.ThrustConsumption) (unit.Length, error) {
	E, err := b.JetEndurance(c)
	if err := errors.Join(err, unit.CheckPositive("perf.JetCruiseClimb", "true airspeed", V, "m/s")); err != nil {
		return 0, err
	}
	return V * E, nil
}

// JetEndurance returns the time aloft at constant CL, E = 1/(c g) · CL/CD · ln(m₀/m₁). It returns errors as [Breguet.PropellerRange] does.
func (b Breguet) JetEndurance(c unit.ThrustConsumption) (unit.Time, error) {
	if err := errors.Join(b.check("perf.JetEndurance"), checkEngine("perf.JetEndurance", 1, c, "g/(kN·s)")); err != nil {
		return 0, err
	}
	return 1 / (c * g) * b.CL / b.CD * math.Log(b.From/b.To), nil
}

// ElectricRange returns the distance through the air on a battery, R = η E/W · CL/CD, with η from the battery to the thrust and the mass From throughout. It returns
// errors as [Breguet.PropellerRange] does.
func (b Breguet) ElectricRange(eta unit.Ratio, battery unit.Energy) (unit.Length, error) {
	if err := errors.Join(b.check("perf.ElectricRange"), checkEngine("perf.ElectricRange", eta, battery, "kWh")); err != nil {
		return 0, err
	}
	return eta * battery / (b.From * g) * b.CL / b.CD, nil
}

// ElectricEndurance returns the time aloft on a battery at constant altitude,
//
//	t = η E · CL^1.5/CD · √(ρ S/2) · W^−1.5
//
// It returns errors as [Breguet.PropellerRange] does.
func (b Breguet) ElectricEndurance(eta unit.Ratio, battery unit.Energy) (unit.Time, error) {
	if err := errors.Join(b.checkAir("perf.ElectricEndurance"), checkEngine("perf.ElectricEndurance", eta, battery, "kWh")); err != nil {
		return 0, err
	}
	return eta * battery * math.Pow(b.CL, 1.5) / b.CD * math.Sqrt(b.Density*b.Area/2) * math.Pow(b.From*g, -1.5), nil
}

// checkEngine checks an efficiency and what an engine takes, or what a battery has.
func checkEngine(function string, eta unit.Ratio, c float64, symbol string) error {
	arg := "consumption"
	if symbol == "kWh" {
		arg = "battery"
	}
	return errors.Join(unit.CheckRange(function, "efficiency", eta, 1e-3, 1, "1"), unit.CheckPositive(function, arg, c, symbol))
}
