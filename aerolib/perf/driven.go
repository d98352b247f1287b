package perf

import (
	"errors"
	"fmt"

	"foreplane/aerolib/atmos"
	"foreplane/aerolib/prop"
	"foreplane/aerolib/unit"
)

// Driven is propellers on engines at their places on the aeroplane, each with an equal part of the thrust. Thrust is net: what a propeller adds to the drag of the
// aeroplane is taken off, so that the polar is that of the aeroplane without propellers.
type Driven []prop.Installation

// Full returns what all give at full throttle. It returns the errors of [prop.Installation.Thrust].
func (d Driven) Full(air atmos.Air, V unit.TrueAirspeed) (Output, error) {
	return d.sum(func(one prop.Installation) (prop.Operating, error) { return one.Thrust(air, V) })
}

// Idle returns what all give with the throttle closed: a drag, at usual speeds.
func (d Driven) Idle(air atmos.Air, V unit.TrueAirspeed) (Output, error) {
	return d.sum(func(one prop.Installation) (prop.Operating, error) {
		at, err := one.At(air, V, 0)
		at.Operating.Thrust = at.Net
		return at.Operating, err
	})
}

// For returns what a thrust takes. It returns a [*ThrustError] if that is more than full throttle gives, and the errors of [prop.Installation.For].
func (d Driven) For(air atmos.Air, V unit.TrueAirspeed, thrust unit.Force) (Output, error) {
	out, err := d.sum(func(one prop.Installation) (prop.Operating, error) { return one.For(air, V, thrust/unit.Ratio(len(d))) })
	var none *prop.SolutionError
	if !errors.As(err, &none) {
		return out, err
	}
	full, fullErr := d.Full(air, V)
	if fullErr == nil && thrust > full.Thrust {
		return Output{}, &ThrustError{thrust, full.Thrust, V}
	}
	return Output{}, err
}

func (d Driven) sum(of func(prop.Installation) (prop.Operating, error)) (Output, error) {
	if len(d) == 0 {
		return Output{}, errors.New("perf.Driven: there is no engine")
	}
	var sum Output
	for _, one := range d {
		o, err := of(one)
		if err != nil {
			return Output{}, fmt.Errorf("perf.Driven: %w", err)
		}
		sum.Thrust += o.Thrust
		sum.Shaft += o.Power
		sum.Fuel += o.FuelFlow
		sum.Electric += o.Electric
	}
	return sum, nil
}
