package section

import (
	"math"

	"foreplane/aerolib/unit"
)

// Flap is what thin-aerofoil theory says of a plain flap without gap. Friction takes 10 to 30 % off the effectiveness, more at large deflections, and a third
// or more off the hinge moments, which depend on the shape of the trailing edge (common practice).
type Flap struct {
	Chord         unit.Ratio     // E, chord of the flap over chord
	Effectiveness unit.Ratio     // τ = −dα_L0/dδ: angle of attack that one unit of deflection is worth
	Lift          unit.PerRadian // dcl/dδ = 2πτ
	Moment        unit.PerRadian // dcm_c/4/dδ at constant α
	HingeAlpha    unit.PerRadian // dch/dα; ch refers to the chord of the flap and is positive where it moves the trailing edge down
	HingeDelta    unit.PerRadian // dch/dδ
}

// PlainFlap returns the derivatives of a plain flap of chord fraction E. With x = (1 − cos θ)/2, the hinge at θ_h and h = cos θ_h = 2E − 1,
//
//	τ      = 1 − (θ_h − sin θ_h)/π
//	dcm/dδ = −2 √(E (1−E)³)
//	dch/dα = −[(h − ½)(π − θ_h) + (1 − h) sin θ_h + ½ h sin θ_h]/E²
//	dch/dδ = −(1/E²) ∫ (dΔcp/dδ) (x − x_h) dx    over the flap, with
//	dΔcp/dδ = 4 [(1 − θ_h/π) cot(θ/2) + (1/π) ln |sin((θ+θ_h)/2)/sin((θ−θ_h)/2)|]
//
// ([Glauert27]; the hinge moments integrate the load of [Glauert26]). It returns a [*unit.RangeError] for E outside 0.02 to 1.
func PlainFlap(E unit.Ratio) (Flap, error) {
	if err := unit.CheckRange("section.PlainFlap", "flap chord", E, 0.02, 1, "1"); err != nil {
		return Flap{}, err
	}
	h := 2*E - 1
	hinge := math.Acos(h)
	tau := 1 - (hinge-math.Sin(hinge))/math.Pi
	return Flap{
		Chord:         E,
		Effectiveness: tau,
		Lift:          2 * math.Pi * tau,
		Moment:        -2 * math.Sqrt(E*(1-E)*(1-E)*(1-E)),
		HingeAlpha:    -((h-0.5)*(math.Pi-hinge) + (1-h)*math.Sin(hinge) + h*math.Sin(hinge)/2) / (E * E),
		HingeDelta:    -integrate(func(theta unit.Angle) float64 { return flapMoment(theta, hinge) }, hinge, math.Pi) / (E * E),
	}, nil
}

// flapMoment returns dΔcp/dδ (x − x_h) dx/dθ of a flap with its hinge at θ_h.
func flapMoment(theta, hinge unit.Angle) float64 {
	load := (1 - hinge/math.Pi) / math.Tan(theta/2)
	if hinge > 0 {
		load += math.Log(math.Abs(math.Sin((theta+hinge)/2)/math.Sin((theta-hinge)/2))) / math.Pi
	}
	return 4 * load * (math.Cos(hinge) - math.Cos(theta)) / 2 * math.Sin(theta) / 2
}
