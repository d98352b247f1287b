package perf

import (
	"fmt"
	"math"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/drag"
	"foreplane/aerolib/trim"
	"foreplane/aerolib/unit"
)

// GroundOf returns what counts of an aeroplane with a nose wheel on the ground and near it, with the flaps of the setup: the polar and the greatest lift of [Of], so that
// what flaps cost in trim counts; ground effect at the height of the wing; and for rotation lift and moment of the linear model of [trim.Solve] above the ground without
// thrust, with the control for pitch where [trim.FindUnstick] has it, at its stop or where its surface bears no more.
//
// It returns the errors of [Of] and of [trim.FindUnstick], and an error for an aeroplane that does not stand on a nose wheel and a pair of main wheels.
func GroundOf(a aircraft.Aircraft, s Setup) (Ground, error) {
	s, err := s.complete(a)
	if err != nil {
		return Ground{}, err
	}
	stands, err := standingOf(a)
	if err != nil {
		return Ground{}, err
	}
	unstick, err := trim.FindUnstick(a, trim.Condition{Air: s.Air, Flaps: s.Flaps}, trim.Roll{})
	if err != nil {
		return Ground{}, err
	}
	polar, err := trimmedPolar(a, s)
	if err != nil {
		return Ground{}, err
	}
	model, err := stands.model(a, s)
	if err != nil {
		return Ground{}, err
	}
	wheels, err := stands.wheels(a)
	if err != nil {
		return Ground{}, err
	}
	wheels.CL, wheels.Cm = model.At(stands.attitude, unstick.Deflection)
	wheels.CLAlpha, wheels.CmAlpha, wheels.CmQ = model.CLAlpha, model.CmAlpha, model.CmQ
	roll, _ := model.At(stands.attitude, 0)
	low, err := lowLift(polar)
	if err != nil {
		return Ground{}, err
	}
	return Ground{Polar: low, MaxLift: s.MaxLift, RollLift: roll, Height: stands.heightOf(a), Wheels: &wheels}, nil
}

// groundPolar is a polar in trim, carried on below its least lift, where an aeroplane may be that runs on its wheels and is not in trim, by the parabola that fits its lower
// half, moved so that the two meet.
type groundPolar struct {
	drag.Polar
	below drag.Parabola
}

func lowLift(p drag.Polar) (groundPolar, error) {
	least, greatest := p.Limits()
	fit, err := p.Fit(least, (least+greatest)/2)
	if err != nil {
		return groundPolar{}, err
	}
	at, err := p.CD(least)
	return groundPolar{p, drag.Parabola{CD0: at - fit.K*least*least, K: fit.K}}, err
}

// CD returns the drag coefficient.
func (p groundPolar) CD(CL unit.Coefficient) (unit.Coefficient, error) {
	if least, _ := p.Limits(); CL < least {
		return p.below.CD(CL)
	}
	return p.Polar.CD(CL)
}

// standing is an aeroplane on its wheels.
type standing struct {
	main     aircraft.Wheel
	attitude unit.Angle // of the x axis to the ground
	scrape   unit.Angle
}

func standingOf(a aircraft.Aircraft) (standing, error) {
	stance, err := a.Stand()
	if err != nil {
		return standing{}, err
	}
	if stance.Wheelbase < 0 {
		return standing{}, fmt.Errorf("perf.GroundOf: %s has a tail wheel; rotation about the main wheels is for nose wheels", a.Name)
	}
	var main, nose aircraft.Wheel
	for _, w := range a.Wheels {
		if w.Main {
			main = w
		} else {
			nose = w
		}
	}
	return standing{main, math.Atan2(main.Z-nose.Z, main.X-nose.X), stance.Scrape}, nil
}

// above returns the height of a point above the ground.
func (s standing) above(x, z unit.Length) unit.Length {
	sin, cos := math.Sincos(s.attitude)
	return (z-s.main.Z)*cos - (x-s.main.X)*sin
}

// heightOf returns the height of the wing.
func (s standing) heightOf(a aircraft.Aircraft) unit.Length {
	height, area := 0.0, 0.0
	for _, w := range a.Lifting() {
		if w.Role == aircraft.Wing {
			height += w.Area() * s.above(w.QuarterChord(), w.Height())
			area += w.Area()
		}
	}
	return height / area
}

// model returns lift and moment near the ground without thrust.
func (s standing) model(a aircraft.Aircraft, setup Setup) (trim.Derivatives, error) {
	const lift unit.Coefficient = 0.5 // the model is linear: any would do
	r, err := trim.Solve(a, trim.Condition{Air: setup.Air, CL: lift, Flaps: setup.Flaps, Thrust: trim.Off, Height: s.above(0, 0)})
	return r.Model, err
}

// wheels returns the geometry and the inertia of rotation.
func (s standing) wheels(a aircraft.Aircraft) (Wheels, error) {
	balance, err := aircraft.Weigh(a.Masses)
	if err != nil {
		return Wheels{}, err
	}
	sin, cos := math.Sincos(s.attitude)
	w := Wheels{
		Arm: (s.main.X-a.CG)*cos - (a.CGHeight-s.main.Z)*sin, Height: s.above(a.CG, a.CGHeight), Inertia: balance.Inertia.YY * a.Mass / balance.Mass,
		Chord: a.Reference.Chord, Most: s.scrape,
	}
	for _, p := range a.Plants {
		w.Thrust -= p.ThrustArm(s.main.X, s.main.Z) * p.Power / a.Power()
	}
	return w, nil
}
