package prop

import (
	"cmp"
	"math"
	"slices"

	"foreplane/aerolib/section"
	"foreplane/aerolib/unit"
)

// Section is what a blade element is made of. At returns its curve at a Reynolds and a Mach number.
type Section interface {
	At(reynolds unit.ReynoldsNumber, mach unit.MachNumber) Curve
}

// Curve gives lift and drag at an angle of attack of the chord from −90° to 90°.
type Curve func(alpha unit.Angle) (cl, cd unit.Coefficient)

// Linear is a section in numbers: a lift line up to the stall, a parabola of drag, and what rotors do beyond.
type Linear struct {
	LiftSlope unit.PerRadian // at low speed
	ZeroLift  unit.Angle
	MaxLift   unit.Coefficient
	MinLift   unit.Coefficient
	MinDrag   unit.Coefficient // at a Reynolds number of 10⁶
	DragLift  unit.Coefficient // cl of the least drag
	DragRise  unit.Ratio       // cd = MinDrag + DragRise (cl − DragLift)²
	Thickness unit.Ratio
}

// FlatFaced returns a section of the kind common on propellers, flat below and with the angle of attack counted from there, of a thickness over chord from 0.05 on.
// Its numbers are common practice: zero lift at −0.82 rad of thickness (−5.6° at 12 %), cl up to 1.5, least drag of 0.008 (1 + 2t + 60t⁴). Beyond 25 % it turns into a round
// shank that lifts a fifth as much.
func FlatFaced(t unit.Ratio) Linear {
	lifts := max(1-(max(t, 0.25)-0.25)/0.45, 0.2)
	camber := min(t, 0.25)
	return Linear{
		LiftSlope: bladeSlope * lifts, ZeroLift: -0.82 * camber * lifts, MaxLift: lifts * (1.5 - 10*(camber-0.12)*(camber-0.12)), MinLift: -0.8 * lifts,
		MinDrag: 0.008 * (1 + 2*t + 60*t*t*t*t), DragLift: 3.3 * camber * lifts, DragRise: 0.008, Thickness: t,
	}
}

// broadside is cd of a blade across the air, 1.11 + 0.018 times its aspect ratio, for one of 8 ([Viterna]).
const broadside unit.Coefficient = 1.25

// At returns the curve, with α counted from zero lift,
//
//	cl = m α/√(1 − M²),   cd = cd₀ (Re/10⁶)^−0.2 + k (cl − cl_d)²                            between MinLift and MaxLift, reached at α_s
//	cl = ½ B sin 2α + A cos²α/sin α,   cd = B sin²α + D cos α                                beyond, meeting the former at α_s
//	cd + 20 (M − M_cr)⁴,   M_cr = M_dd − (0.1/80)^⅓,   M_dd = 0.87 − t/c − cl/10             above M_cr
//
// with B = 1.25 and the Mach number of the lift held at M_dd of cl 0.5. (Rule of Prandtl and Glauert; drag divergence after Korn, its rise after Lock, both recalled; friction
// law of a turbulent layer; stalled rotors after [Viterna].)
func (s Linear) At(reynolds unit.ReynoldsNumber, mach unit.MachNumber) Curve {
	slope := s.LiftSlope / compressible(mach, s.Thickness)
	friction := s.MinDrag * math.Pow(max(reynolds, leastReynolds)/1e6, -0.2)
	up, down := s.stall(s.MaxLift, slope, friction), s.stall(s.MinLift, slope, friction)
	return func(alpha unit.Angle) (cl, cd unit.Coefficient) {
		alpha -= s.ZeroLift
		switch {
		case alpha > up.alpha:
			cl, cd = up.at(alpha)
		case alpha < down.alpha:
			cl, cd = down.at(alpha)
		default:
			cl = slope * alpha
			cd = friction + s.DragRise*(cl-s.DragLift)*(cl-s.DragLift)
		}
		return cl, cd + waveDrag(mach, s.Thickness, cl)
	}
}

// stall is the end of the lift line with what follows.
type stall struct {
	alpha unit.Angle       // from zero lift
	a, d  unit.Coefficient // A and D
}

func (s Linear) stall(cl unit.Coefficient, slope unit.PerRadian, friction unit.Coefficient) stall {
	alpha := cl / slope
	sin, cos := math.Sincos(alpha)
	cd := friction + s.DragRise*(cl-s.DragLift)*(cl-s.DragLift)
	return stall{alpha, (cl - broadside*sin*cos) * sin / (cos * cos), (cd - broadside*sin*sin) / cos}
}

func (s stall) at(alpha unit.Angle) (cl, cd unit.Coefficient) {
	sin, cos := math.Sincos(alpha)
	return broadside*sin*cos + s.a*cos*cos/sin, max(broadside*sin*sin+s.d*cos, 0)
}

// leastReynolds is where the friction law ends.
const leastReynolds unit.ReynoldsNumber = 1e4

// divergence returns M_dd of a section without special shape.
func divergence(thickness unit.Ratio, cl unit.Coefficient) unit.MachNumber {
	return 0.87 - thickness - math.Abs(cl)/10
}

// compressible returns √(1 − M²), M held at that of drag divergence.
func compressible(mach unit.MachNumber, thickness unit.Ratio) unit.Ratio {
	m := min(mach, max(divergence(thickness, 0.5), 0.3))
	return math.Sqrt(1 - m*m)
}

// riseBefore is how far below M_dd, where the drag rises by 0.1 per Mach number, M_cr lies.
var riseBefore unit.MachNumber = math.Cbrt(0.1 / 80)

// waveDrag returns 20 (M − M_cr)⁴ above M_cr. Below Mach 0.3 there is none, whatever the lift.
func waveDrag(mach unit.MachNumber, thickness unit.Ratio, cl unit.Coefficient) unit.Coefficient {
	above := mach - divergence(thickness, cl) + riseBefore
	if above <= 0 || mach <= 0.3 {
		return 0
	}
	return 20 * above * above * above * above
}

// polarSection is a polar carried on to ±90°.
type polarSection struct {
	samples   []section.Sample
	thickness unit.Ratio
}

// FromPolar returns the section of a polar, carried on beyond the stall as by [section.Polar.Extended], with the compressibility of [Linear.At] for a thickness over chord.
// The Reynolds number is that of the polar. Errors are those of Extended, and a [*unit.RangeError] for a thickness outside 0 to 0.4.
func FromPolar(p section.Polar, thickness unit.Ratio) (Section, error) {
	if err := unit.CheckRange("prop.FromPolar", "thickness over chord", thickness, 0, 0.4, "1"); err != nil {
		return nil, err
	}
	whole, err := p.Extended()
	if err != nil {
		return nil, err
	}
	return polarSection{whole.Samples(), thickness}, nil
}

// At returns the curve, linear between samples.
func (s polarSection) At(_ unit.ReynoldsNumber, mach unit.MachNumber) Curve {
	root := compressible(mach, s.thickness)
	return func(alpha unit.Angle) (cl, cd unit.Coefficient) {
		i, _ := slices.BinarySearchFunc(s.samples, alpha, func(a section.Sample, angle unit.Angle) int { return cmp.Compare(a.Alpha, angle) })
		i = min(max(i, 1), len(s.samples)-1)
		a, b := s.samples[i-1], s.samples[i]
		f := (alpha - a.Alpha) / (b.Alpha - a.Alpha)
		cl, cd = a.CL+f*(b.CL-a.CL), a.CD+f*(b.CD-a.CD)
		if !a.PostStall && !b.PostStall {
			cl /= root
		}
		return cl, cd + waveDrag(mach, s.thickness, cl)
	}
}
