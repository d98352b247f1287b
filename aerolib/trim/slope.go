package trim

import (
	"math"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/unit"
)

// LiftSlope returns dCL/dα of a surface by itself, from its section slope a₀, aspect ratio A, sweep Λ of the half-chord line and Mach number:
//
//	a = a₀ cos Λ / [√(1 − M² cos² Λ + k²) + k],   k = a₀ cos Λ / (π A)
//
// the formula of Helmbold, for swept wings by Küchemann ([Anderson], eq. 2.19), with the rule of Prandtl and Glauert. At M = 0 and Λ = 0 it goes from πA/2 for
// slender surfaces to a₀. For light-aircraft planforms a vortex lattice has 2 to 5 % less. It returns an error for a₀ or A not above zero, Λ outside ±75° and
// M outside 0 to 0.95.
func LiftSlope(section unit.PerRadian, aspect unit.Ratio, sweep unit.Angle, mach unit.MachNumber) (unit.PerRadian, error) {
	if err := unit.CheckPositive("trim.LiftSlope", "section slope", section, "1/rad"); err != nil {
		return 0, err
	}
	if err := unit.CheckPositive("trim.LiftSlope", "aspect ratio", aspect, "1"); err != nil {
		return 0, err
	}
	if err := unit.CheckRange("trim.LiftSlope", "sweep", sweep, -75*unit.Degree, 75*unit.Degree, "°"); err != nil {
		return 0, err
	}
	if err := unit.CheckRange("trim.LiftSlope", "Mach number", mach, 0, maxMach, "1"); err != nil {
		return 0, err
	}
	normal := section * math.Cos(sweep)
	k := normal / (math.Pi * aspect)
	return normal / (math.Hypot(compressibility(mach, sweep), k) + k), nil
}

const maxMach unit.MachNumber = 0.95

// compressibility returns √(1 − M² cos² Λ).
func compressibility(mach unit.MachNumber, sweep unit.Angle) unit.Ratio {
	normal := mach * math.Cos(sweep)
	return math.Sqrt(1 - normal*normal)
}

// slope returns the lift slope of s. Dihedral takes cos Γ, since part of each strip's force points sideways.
func slope(s aircraft.Surface, mach unit.MachNumber) (unit.PerRadian, error) {
	a, err := LiftSlope(s.Section().LiftSlope, s.AspectRatio(), s.SweepAt(0.5), mach)
	return a * math.Cos(s.Dihedral()), err
}

// unevenSlope returns the slope with which a strip of s answers to the part of its angle that differs from the mean. Such a loading has the form of the
// third harmonic of the elliptic lifting line, a₀/(1 + 3 a₀/(πA)) ([Glauert], ch. XI), here with sweep and Mach number as in [LiftSlope].
func unevenSlope(s aircraft.Surface, mach unit.MachNumber) unit.PerRadian {
	sweep := s.SweepAt(0.5)
	normal := s.Section().LiftSlope * math.Cos(sweep)
	return normal * math.Cos(s.Dihedral()) / (compressibility(mach, sweep) + 3*normal/(math.Pi*s.AspectRatio()))
}
