package trim

import (
	"fmt"
	"math"
	"math/cmplx"

	"gonum.org/v1/gonum/mathext"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/unit"
)

// FarDownwash returns the downwash angle far behind a wing with elliptic loading, inside its span:
//
//	ε = 2 CL / (π A)
//
// ([Glauert], ch. XI). It returns a [*unit.PositiveError] for A not above zero, and a [*unit.RangeError] for a coefficient that is not finite.
func FarDownwash(lift unit.Coefficient, aspect unit.Ratio) (unit.Angle, error) {
	if err := unit.CheckPositive("trim.FarDownwash", "aspect ratio", aspect, "1"); err != nil {
		return 0, err
	}
	if err := unit.CheckRange("trim.FarDownwash", "lift coefficient", lift, math.Inf(-1), math.Inf(1), "1"); err != nil {
		return 0, err
	}
	return 2 * lift / (math.Pi * aspect), nil
}

// FarWash returns the wash far behind a wing with elliptic loading over [FarDownwash], at η = 2y/b to starboard of its wake and ζ = 2z/b above it:
//
//	w/w₀ = Re[1 − t/√(t² − 1)],   t = η + iζ
//
// which in the plane of the wake is 1 inside the span and 1 − η/√(η² − 1), an upwash, outside ([Glauert], ch. XI). It returns an error at the tips
// themselves, where it has no value.
func FarWash(eta, zeta unit.Ratio) (unit.Ratio, error) {
	t := complex(math.Abs(eta), math.Abs(zeta))
	w := real(1 - t/root(t))
	if math.IsNaN(w) || math.IsInf(w, 0) {
		return 0, fmt.Errorf("trim.FarWash: η = %v, ζ = %v is at a tip of the wake or not a number", eta, zeta)
	}
	return w, nil
}

// root returns √(t² − 1) with its branch cut along the wake, −1 to 1.
func root(t complex128) complex128 { return cmplx.Sqrt(t-1) * cmplx.Sqrt(t+1) }

// DistanceFactor returns the wash in the plane of symmetry at ξ = 2x/b behind a straight wing with elliptic loading, over that far behind:
//
//	f = ½ [1 + (2/π) √(1 + ξ²)/ξ · E(1/(1 + ξ²))]
//
// with E the complete elliptic integral of the second kind, of the parameter. The half is that of the trailing vortices; the rest, odd in ξ, comes with the
// bound vortex. Behind, f falls to 1; ahead, with ξ below zero, f is an upwash and vanishes. (The law of Biot and Savart over the lifting line, integrated
// in closed form.) It returns an error at ξ = 0, on the bound vortex.
func DistanceFactor(xi unit.Ratio) (unit.Ratio, error) {
	if xi == 0 || math.IsNaN(xi) {
		return 0, fmt.Errorf("trim.DistanceFactor: ξ = %v is on the bound vortex or not a number", xi)
	}
	if math.IsInf(xi, 0) {
		return max(0, math.Copysign(1, xi)), nil
	}
	m := 1 / (1 + xi*xi)
	return 0.5 * (1 + 2/math.Pi*math.Hypot(1, xi)/xi*mathext.CompleteE(m)), nil
}

// wash is what one surface does to another, for unit lift coefficient of the generating surface.
type wash struct {
	mean   unit.Angle  // downwash averaged over the receiving area
	moment unit.Length // mean of downwash times (x − x̄) over the receiving area, along its quarter-chord line
}

// washOn returns the wash of generator on receiver, with that of its image in the ground, which has the opposite lift: far wash, averaged in closed form, times the factor
// of distance between the quarter points of the mean chords. It returns an error if two surfaces stand so close that the bound vortex may not be taken as a line.
func washOn(generator, receiver aircraft.Surface, mach unit.MachNumber, height unit.Length) (wash, error) {
	distance, gap := receiver.QuarterChord()-generator.QuarterChord(), receiver.Height()-generator.Height()
	var w wash
	if generator.Name != receiver.Name {
		if least := (receiver.MeanChord() + generator.MeanChord()) / 2; math.Abs(distance) < least {
			return wash{}, fmt.Errorf("trim: %s and %s are %s apart lengthwise; the closed form needs at least %s",
				generator.Name, receiver.Name, unit.Format(math.Abs(distance), "m"), unit.Format(least, "m"))
		}
		factor, err := DistanceFactor(distance / generator.Semispan() / compressibility(mach, 0))
		if err != nil {
			return wash{}, err
		}
		w = farWashOn(generator, receiver, gap, factor)
	}
	if height > 0 {
		below := receiver.Height() + generator.Height() + 2*height
		image := farWashOn(generator, receiver, below, offPlaneFactor(distance/compressibility(mach, 0), below, generator.Semispan()))
		w.mean, w.moment = w.mean-image.mean, w.moment-image.moment
	}
	return w, nil
}

// farWashOn averages the far wash over the area of the receiver.
func farWashOn(generator, receiver aircraft.Surface, gap unit.Length, factor unit.Ratio) wash {
	far := 2 / (math.Pi * generator.AspectRatio()) // [FarDownwash] at unit lift coefficient
	mean, first := farAverages(receiver, generator.Semispan(), gap)
	uneven := (first - mean*receiver.MeanChordStation()) * math.Tan(receiver.SweepAt(0.25))
	return wash{mean: factor * far * mean, moment: factor * far * uneven}
}

// offPlaneFactor is [DistanceFactor] at a gap above or below the bound vortex, whose part then is less by x²/(x² + gap²): right close to the vortex and far from it.
func offPlaneFactor(x, gap, semi unit.Length) unit.Ratio {
	factor, err := DistanceFactor(x / semi)
	if err != nil { // right above the vortex
		return 0.5
	}
	return 0.5 + (factor-0.5)*x*x/(x*x+gap*gap)
}

// washAt returns the downwash at a point for unit lift coefficient of surface j, with that of its image in the ground. In the plane of symmetry the bound vortex passes through
// the quarter point of the root chord; that counts for points beside it, too.
func (c *closedForm) washAt(j int, x, y, z unit.Length) (unit.Angle, error) {
	s := c.surfaces[j]
	semi, behind := s.Semispan(), (x-s.Root().X-s.Root().Chord/4)/compressibility(c.mach, 0)
	far := 2 / (math.Pi * s.AspectRatio())
	w, err := FarWash(y/semi, (z-s.Height())/semi)
	if err != nil {
		return 0, err
	}
	w *= offPlaneFactor(behind, z-s.Height(), semi)
	if c.height > 0 {
		below := z + s.Height() + 2*c.height
		image, err := FarWash(y/semi, below/semi)
		if err != nil {
			return 0, err
		}
		w -= image * offPlaneFactor(behind, below, semi)
	}
	return far * w, nil
}

// farAverages returns the averages of w/w₀ and of y w/w₀ over the area of s, for a wake of the given semispan that passes at a distance gap below or above.
//
// With t = (y + i gap)/semi, both are sums of real parts of ∫tⁿ (1 − t/√(t² − 1)) dt, which have closed forms ([antiderivatives]); the singular peak at the
// tip of a wake in the same plane integrates to a finite value.
func farAverages(s aircraft.Surface, semi, gap unit.Length) (mean unit.Ratio, first unit.Length) {
	zeta := math.Abs(gap) / semi
	var area, sum, moment float64
	for i := 1; i < len(s.Stations); i++ {
		a, b := s.Stations[i-1], s.Stations[i]
		from, to := s.Along(a)/semi, s.Along(b)/semi
		k := farIntegrals(from, to, zeta)
		slope := (b.Chord - a.Chord) / (to - from) // chord = root + slope η
		root := a.Chord - slope*from
		area += (a.Chord + b.Chord) / 2 * (to - from)
		sum += root*k[0] + slope*k[1]
		moment += root*k[1] + slope*k[2]
	}
	return sum / area, semi * moment / area
}

// farIntegrals returns ∫ ηⁿ w/w₀ dη for n = 0, 1, 2 at a distance ζ from the wake.
func farIntegrals(from, to, zeta unit.Ratio) [3]unit.Ratio {
	inner, outer := antiderivatives(complex(from, zeta)), antiderivatives(complex(to, zeta))
	var k [3]complex128 // of tⁿ
	for n := range k {
		k[n] = outer[n] - inner[n]
	}
	return [3]unit.Ratio{ // η = t − iζ
		real(k[0]),
		real(k[1] - complex(0, zeta)*k[0]),
		real(k[2] - complex(0, 2*zeta)*k[1] - complex(zeta*zeta, 0)*k[0]),
	}
}

// antiderivatives returns the antiderivatives of tⁿ (1 − t/√(t² − 1)) for n = 0, 1, 2.
func antiderivatives(t complex128) [3]complex128 {
	s := root(t)
	return [3]complex128{
		t - s,
		t*t/2 - (t*s+cmplx.Log(t+s))/2,
		t*t*t/3 - s*(t*t+2)/3,
	}
}
