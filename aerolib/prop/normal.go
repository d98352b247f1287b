package prop

import (
	"errors"
	"fmt"
	"math"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/atmos"
	"foreplane/aerolib/unit"
)

// NormalForce is what a propeller does that meets the air at an angle of attack α of its shaft. With sideslip the same acts sideways: a force to port for wind from
// starboard.
type NormalForce struct {
	Slope   unit.Force     // dN/dα in N/rad, along +α at the disc
	CNAlpha unit.PerRadian // the same over q and disc area
	Couple  unit.Moment    // dM/dα in N m/rad: about the axis across shaft and force, nose to port for a propeller that turns clockwise seen from behind
	Pitch   unit.Angle     // blade angle at 75 % of the radius that was used
	Inflow  unit.Ratio     // a of the disc
}

// PitchMoment returns the moment nose up about a point aft of the datum by x per radian of α, of a disc at station disc: normal force times arm.
//
//	dM/dα = (x − x_disc) dN/dα
//
// It is positive, unstable, for a disc ahead of the point.
func (n NormalForce) PitchMoment(disc, x unit.Length) unit.Moment { return (x - disc) * n.Slope }

// Constants of Ribner's theory.
const (
	bladeSlope unit.PerRadian = 0.95 * 2 * math.Pi // of blade sections
	sidewash   unit.Ratio     = 0.4                // k_a, average of his propellers
	bodyFactor unit.Ratio     = 0.9                // apparent mass of the body behind a spinner across the stream, of fineness 5 to 6
)

// NormalForceOf returns the normal force of the propeller of a power plant at its stated speed of rotation ([Of], [Propeller.NormalForce]).
func NormalForceOf(plant aircraft.Plant, air atmos.Air, V unit.TrueAirspeed, thrust unit.Force) (NormalForce, error) {
	p, err := Of(plant)
	if err != nil {
		return NormalForce{}, err
	}
	return p.NormalForce(air, V, plant.Speed, thrust)
}

// NormalForce returns the normal force of a propeller that turns at n and has a thrust, by the theory of [TR819], whose charts agree with tests for two to six
// blades at blade angles from 15° to 60° without stall (recalled):
//
//	CN_α = k_s f(a) C/(1 + k_a C),   C = σI₁ − (σI₂)²/(1 + σI₃),   N_α = q A CN_α
//	f(a) = (1+a) [(1+a) + (1+2a)²]/[1 + (1+2a)²],   a = ½(√(1+T_c) − 1)
//	σI₁ = (B/π) m₀ ∫ (c/D) sin β dx,   σI₂ = (B/π) m₀ ∫ (c/D) x cos β dx,   σI₃ = (B/π) m₀ ∫ (c/D) x² cos²β/sin β dx
//
// with x = r/R, m₀ = 0.95·2π and k_a = 0.4. The blades act as a fin of their area seen from the side; I₂ is the relief by the inflow that changes around the disc. A
// spinner of radius x₀ makes the flow across the shaft faster, at x by 1 + 0.9 (x₀/x)², of which k_s is the mean in I₁. The couple is q (1+a) A R σI₂/(1+σI₃) times
// k_s/(1 + k_a C). Upwash and downwash of wings at the disc are the caller's: they multiply α.
//
// The blade angle is what the section at 75 % of the radius needs for the thrust. It returns an error for a speed or rotation not above zero, and for a
// drag of the propeller beyond qA, for which the disc has no solution.
func (p Propeller) NormalForce(air atmos.Air, V unit.TrueAirspeed, n unit.RotationRate, thrust unit.Force) (NormalForce, error) {
	if err := p.check("prop.NormalForce"); err != nil {
		return NormalForce{}, err
	}
	if err := errors.Join(
		unit.CheckPositive("prop.NormalForce", "true airspeed", V, "m/s"),
		unit.CheckPositive("prop.NormalForce", "rotation", n, "rpm"),
		unit.CheckPositive("prop.NormalForce", "density", air.Density, "kg/m³"),
	); err != nil {
		return NormalForce{}, err
	}
	q := air.DynamicPressure(V)
	load := thrust / (q * p.DiscArea())
	if !(load > -1) || math.IsInf(load, 0) {
		return NormalForce{}, fmt.Errorf("prop.NormalForce: thrust is %s, must be above %s: the disc would stop the air",
			unit.Format(thrust, "N"), unit.Format(-q*p.DiscArea(), "N"))
	}
	if p.Blades == 0 {
		return NormalForce{}, nil
	}
	a := (math.Sqrt(1+load) - 1) / 2
	pitch, err := p.pitchFor(V*(1+a), n, thrust/air.Density)
	if err != nil {
		return NormalForce{}, err
	}
	i1, i2, i3 := p.sideIntegrals(pitch)
	relief := i2 / (1 + i3)
	c := i1 - i2*relief
	side := p.spinnerFactor(pitch, i1) / (1 + sidewash*c)
	out := NormalForce{CNAlpha: yawInflow(a) * c * side, Pitch: pitch, Inflow: a}
	out.Slope = q * p.DiscArea() * out.CNAlpha
	out.Couple = q * (1 + a) * p.DiscArea() * p.Diameter / 2 * relief * side
	return out, nil
}

// yawInflow returns f(a) ([TR819]).
func yawInflow(a unit.Ratio) unit.Ratio {
	jet := (1 + 2*a) * (1 + 2*a)
	return (1 + a) * ((1 + a) + jet) / (1 + jet)
}

// sideIntegrals returns σI₁, σI₂ and σI₃.
func (p Propeller) sideIntegrals(pitch unit.Angle) (i1, i2, i3 unit.Ratio) {
	k := p.Blades / math.Pi * bladeSlope
	i1 = k * p.along(func(s Station) float64 { return s.Chord * math.Sin(pitch+s.Twist) })
	i2 = k * p.along(func(s Station) float64 { return s.Chord * s.Radius * math.Cos(pitch+s.Twist) })
	i3 = k * p.along(func(s Station) float64 {
		sin, cos := math.Sincos(pitch + s.Twist)
		return s.Chord * s.Radius * s.Radius * cos * cos / sin
	})
	return i1, i2, i3
}

// spinnerFactor returns k_s, which is 1 without a spinner.
func (p Propeller) spinnerFactor(pitch unit.Angle, i1 unit.Ratio) unit.Ratio {
	radius := p.Spinner / p.Diameter
	return 1 + bodyFactor*p.Blades/math.Pi*bladeSlope/i1*p.along(func(s Station) float64 {
		return s.Chord * math.Sin(pitch+s.Twist) * radius * radius / (s.Radius * s.Radius)
	})
}

// pitchFor returns the blade angle with which the section at 75 % of the radius, with axial speed u at the disc, carries a thrust over density that is spread as on a
// blade of even lift coefficient:
//
//	β = φ + cl/m₀,   tan φ = u/(2πn·0.75R),   T = ½ρ cl B ∫ W² c cos φ dr
func (p Propeller) pitchFor(u unit.Speed, n unit.RotationRate, thrust float64) (unit.Angle, error) {
	phi := math.Atan2(u, stated*math.Pi*n*p.Diameter)
	pitch := phi + thrust/p.load(u, n)/bladeSlope
	if err := unit.CheckRange("prop.NormalForce", "blade angle that the thrust needs", pitch, minPitch, maxPitch, "°"); err != nil {
		return 0, err
	}
	return pitch, nil
}

// load returns ½ B ∫ W² c cos φ dr, the thrust over density of blades with a lift coefficient of 1.
func (p Propeller) load(u unit.Speed, n unit.RotationRate) float64 {
	tips := math.Pi * n * p.Diameter
	return p.Diameter * p.Diameter / 4 * p.Blades * p.along(func(s Station) float64 {
		return s.Chord * s.Radius * tips * math.Hypot(u, s.Radius*tips)
	})
}
