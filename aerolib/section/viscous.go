package section

import (
	"math"

	"foreplane/aerolib/atmos"
	"foreplane/aerolib/unit"
)

// Conditions are those of the stream and of the surface. The zero value is incompressible flow on a clean section, with transition as in a quiet tunnel.
type Conditions struct {
	Trip      unit.Ratio // station where both layers become turbulent at the latest, such as 0.01 for rain or insects; 0 for none
	Turbulent unit.Ratio // n at which laminar layers become turbulent: 9 in quiet air and for 0, less in turbulence or noise ([Smith])
	Mach      unit.MachNumber
}

// Viscous is what the boundary layers say at one angle of attack.
type Viscous struct {
	Alpha        unit.Angle
	Lift         unit.Coefficient // cl
	Drag         unit.Coefficient // profile drag; doubtful where the suction side is separated by more than a tenth of the chord
	Moment       unit.Coefficient // of the flow without friction, about the quarter chord
	Upper, Lower Layer
	LeadingEdge  unit.Ratio // suction that the leading edge bears: above 1 the flow leaves it; see [Flow.MaxLift]
	Subsonic     bool       // the speed of sound is not reached on the surface
}

// Suction returns the layer of the side that lifts.
func (v Viscous) Suction() Layer {
	if v.Lift < 0 {
		return v.Lower
	}
	return v.Upper
}

// Range of Reynolds numbers of the boundary layers: below it long laminar bubbles rule, which the methods do not know. Mach numbers end where Prandtl and Glauert's rule
// does in practice.
const (
	minReynolds unit.ReynoldsNumber = 2e5
	maxReynolds unit.ReynoldsNumber = 5e7
	maxMach     unit.MachNumber     = 0.6
	maxAlpha    unit.Angle          = 25 * unit.Degree
)

// Viscous returns the boundary layers under the pressures of the frictionless flow, and what follows from them. The layers do not act back on the flow; profile drag
// comes from their state at 0.97 of the chord. Where the layer of the suction side leaves the surface at station f, lift falls and drag rises as behind a flat plate from which
// the flow separates there (Kirchhoff, in the form of [Thwaites]; f counts from the nose to where the layers end),
//
//	cl = 2π (α − α_L0) k,   k = ¼ (1 + √f)²,   Δcd = 2π (α − α_L0)² ¼ (1 − √f)²
//
// The slope 2π is that of a thin section: friction takes off about what thickness adds (common practice; measured slopes are 0.88 to 1.0 of it, [TR824]). A turbulent layer
// is taken to separate at H = 2.1, the middle of the range of [Cebeci]. At a Mach number, cl and cm are divided by √(1 − M²) (Prandtl, Glauert); drag is left.
//
// Against a measured polar of NACA 0012 with transition fixed at 0.05, Reynolds number 6·10⁶ ([Ladson]), cl is 0 to 0.06 too high up to stall, cd −6 % to +1 % off below
// cl 1.1 and 8 % to 15 % too high from there to stall. Against least drag of four smooth NACA sections of 12 % thickness at the same Reynolds number ([TR824], recalled) cd is
// 6 % to 10 % too low; with standard roughness, which the trip does not know the thickness of, 16 % to 18 %. A bubble is a simple criterion, not compared.
//
// It returns a [*unit.RangeError] for α outside ±25°, a Reynolds number outside 2·10⁵ to 5·10⁷, a trip outside 0 to 0.9, n outside 1 to 15 and a Mach number outside 0
// to 0.6, and a [*ContourError] where coordinates are too rough.
func (f *Flow) Viscous(alpha unit.Angle, reynolds unit.ReynoldsNumber, c Conditions) (Viscous, error) {
	s, err := c.surface(reynolds)
	if err != nil {
		return Viscous{}, err
	}
	if err := unit.CheckRange("section.Flow.Viscous", "angle of attack", alpha, -maxAlpha, maxAlpha, "°"); err != nil {
		return Viscous{}, err
	}
	return f.viscous(alpha, s, c.Mach)
}

// surface checks the conditions and fills in the values that stand for 0.
func (c Conditions) surface(reynolds unit.ReynoldsNumber) (surface, error) {
	s := surface{reynolds, c.Trip, c.Turbulent, (earlySeparation + lateSeparation) / 2}
	if s.trip == 0 {
		s.trip = math.Inf(1)
	}
	if s.critical == 0 {
		s.critical = 9
	}
	for _, check := range []error{
		unit.CheckRange("section.Flow.Viscous", "Reynolds number", reynolds, minReynolds, maxReynolds, "1"),
		unit.CheckRange("section.Flow.Viscous", "trip", c.Trip, 0, 0.9, "1"),
		unit.CheckRange("section.Flow.Viscous", "amplification n", s.critical, 1, 15, "1"),
		unit.CheckRange("section.Flow.Viscous", "Mach number", c.Mach, 0, maxMach, "1"),
	} {
		if check != nil {
			return surface{}, check
		}
	}
	return s, nil
}

func (f *Flow) viscous(alpha unit.Angle, s surface, mach unit.MachNumber) (Viscous, error) {
	p := f.pressures(alpha)
	above, below := p.sides()
	v := Viscous{Alpha: alpha, Upper: s.grow(above), Lower: s.grow(below)}
	lifting := alpha - f.zeroLift()
	suction := v.Upper
	if lifting < 0 {
		suction = v.Lower
	}
	root, glauert := math.Sqrt(min(1, max(0, suction.Separation/layerEnd))), 1/math.Sqrt(1-mach*mach)
	v.Lift = 2 * math.Pi * lifting * (1 + root) * (1 + root) / 4 * glauert
	v.Drag = v.Upper.Drag + v.Lower.Drag + 2*math.Pi*lifting*lifting*(1-root)*(1-root)/4
	v.Moment = p.CM * glauert
	peak, end := p.suction()
	v.LeadingEdge = (end - peak) * glauert / bearable(s.reynolds)
	v.Subsonic = mach == 0 || peak*glauert > sonic(mach)
	if sum := v.Lift + v.Drag + v.LeadingEdge; math.IsNaN(sum) || math.IsInf(sum, 0) {
		return Viscous{}, &ContourError{f.Contour.Name, "at " + unit.Format(alpha, "°") + " its speeds are too rough for a boundary layer: smooth its coordinates"}
	}
	return v, nil
}

// suction returns the least pressure, and that where the layers end.
func (p Pressures) suction() (peak, end unit.Coefficient) {
	for i, cp := range p.Cp {
		peak = min(peak, cp)
		if p.X[i] > layerEnd {
			end = cp
		}
	}
	return peak, end
}

// sonic returns the pressure coefficient at which the speed of sound is reached at Mach number M ([TR1135]),
//
//	cp = 2/(γM²) {[(1 + ½(γ−1)M²)/(½(γ+1))]^(γ/(γ−1)) − 1}
func sonic(mach unit.MachNumber) unit.Coefficient {
	const gamma = atmos.HeatRatio
	rise := (1 + (gamma-1)/2*mach*mach) / ((gamma + 1) / 2)
	return 2 / (gamma * mach * mach) * (math.Pow(rise, gamma/(gamma-1)) - 1)
}

// zeroLift returns the angle at which the frictionless flow has no circulation: its lift is A cos α + B sin α.
func (f *Flow) zeroLift() unit.Angle {
	return -math.Atan2(f.pressures(0).CL, f.pressures(math.Pi/2).CL)
}
