package drag

import (
	"fmt"
	"math"

	"foreplane/aerolib/unit"
)

// Range of Reynolds numbers of the laws of friction: below it plates are laminar throughout, above it nothing was measured.
const (
	minReynolds unit.ReynoldsNumber = 1e4
	maxReynolds unit.ReynoldsNumber = 1e10
)

// maxMach is where drag begins to rise with shocks, which nothing here knows (common practice).
const maxMach unit.MachNumber = 0.7

func checkReynolds(function string, reynolds unit.ReynoldsNumber) error {
	return unit.CheckRange(function, "Reynolds number", reynolds, minReynolds, maxReynolds, "1")
}

// Laminar returns the mean friction coefficient of one side of a flat plate in laminar flow,
//
//	Cf = 1.328/√Re
//
// ([Blasius]). It returns a [*unit.RangeError] for a Reynolds number outside 10⁴ to 10¹⁰; beyond some 3·10⁶ only very smooth plates in quiet air stay laminar.
func Laminar(reynolds unit.ReynoldsNumber) (unit.Coefficient, error) {
	return laminar(reynolds), checkReynolds("drag.Laminar", reynolds)
}

func laminar(reynolds unit.ReynoldsNumber) unit.Coefficient { return 1.328 / math.Sqrt(reynolds) }

// Law is a law of turbulent friction.
type Law string

// Laws of turbulent friction.
const (
	PrandtlSchlichting Law = "Prandtl-Schlichting" // see [Turbulent]
	SchoenherrLine     Law = "Schoenherr"          // see [Schoenherr]
)

// Turbulent returns the mean friction coefficient of one side of a smooth flat plate with a turbulent layer from its leading edge,
//
//	Cf = 0.455/(log₁₀ Re)^2.58 · (1 + 0.144 M²)^(−0.65)
//
// (Prandtl and Schlichting, [Schlichting]; the factor of the Mach number from [Raymer]). It returns a [*unit.RangeError] for a Reynolds number outside 10⁴ to 10¹⁰ and a
// Mach number outside 0 to 0.7.
func Turbulent(reynolds unit.ReynoldsNumber, mach unit.MachNumber) (unit.Coefficient, error) {
	if err := checkReynolds("drag.Turbulent", reynolds); err != nil {
		return 0, err
	}
	return turbulent(reynolds) * compressible(mach), unit.CheckRange("drag.Turbulent", "Mach number", mach, 0, maxMach, "1")
}

func turbulent(reynolds unit.ReynoldsNumber) unit.Coefficient {
	return 0.455 / math.Pow(math.Log10(reynolds), 2.58)
}

// compressible returns what a Mach number leaves of turbulent friction.
func compressible(mach unit.MachNumber) unit.Ratio { return math.Pow(1+0.144*mach*mach, -0.65) }

// Schoenherr returns the mean friction coefficient of a smooth turbulent plate in incompressible flow by the line of Schoenherr,
//
//	0.242/√Cf = log₁₀(Re Cf)
//
// ([Schoenherr]), 1 % to 3 % below [Turbulent] at the Reynolds numbers of aeroplanes. It returns a [*unit.RangeError] for a Reynolds number outside 10⁴ to 10¹⁰.
func Schoenherr(reynolds unit.ReynoldsNumber) (unit.Coefficient, error) {
	return schoenherr(reynolds), checkReynolds("drag.Schoenherr", reynolds)
}

// schoenherr iterates x = 1/√Cf = (log₁₀ Re − 2 log₁₀ x)/0.242, by Newton's method from a value near the solution.
func schoenherr(reynolds unit.ReynoldsNumber) unit.Coefficient {
	x := 1 / math.Sqrt(turbulent(reynolds))
	for range 6 {
		f := 0.242*x - math.Log10(reynolds) + 2*math.Log10(x)
		x -= f / (0.242 + 2/(math.Ln10*x))
	}
	return 1 / (x * x)
}

// Transition says where the layer of a surface or body becomes turbulent. The zero value is at a Reynolds number of 5·10⁵, as on a flat plate ([Schlichting]) and much
// as on a well-kept light aeroplane (common practice). At most one of its fields is set.
type Transition struct {
	Reynolds  unit.ReynoldsNumber // of the length from the nose
	Fraction  unit.Ratio          // of the length from the nose; 0.5 needs a section and a skin made for it
	Turbulent bool                // from the nose
}

// plateTransition is the Reynolds number of transition that the zero value stands for.
const plateTransition unit.ReynoldsNumber = 5e5

// at returns the Reynolds number of transition on a length with the given Reynolds number.
func (t Transition) at(reynolds unit.ReynoldsNumber) unit.ReynoldsNumber {
	switch {
	case t.Turbulent:
		return 0
	case t.Fraction > 0:
		return t.Fraction * reynolds
	case t.Reynolds > 0:
		return t.Reynolds
	}
	return plateTransition
}

func (t Transition) check(function string) error {
	set := 0
	for _, is := range []bool{t.Turbulent, t.Fraction != 0, t.Reynolds != 0} {
		if is {
			set++
		}
	}
	if set > 1 {
		return &Error{function, "transition", "has more than one of Reynolds, Fraction and Turbulent: set one"}
	}
	if err := unit.CheckRange(function, "laminar fraction", t.Fraction, 0, 0.9, "1"); err != nil {
		return err
	}
	return unit.CheckRange(function, "Reynolds number of transition", t.Reynolds, 0, 1e8, "1")
}

// String says where transition is.
func (t Transition) String() string {
	switch {
	case t.Turbulent:
		return "turbulent from the nose"
	case t.Fraction > 0:
		return "laminar to " + unit.Format(t.Fraction, "%") + " of the length"
	}
	return fmt.Sprintf("transition at Re %.2f·10⁶", t.at(0)/1e6)
}

// Plate is a skin that air rubs along.
type Plate struct {
	Length     unit.Length // along the stream
	Reynolds   unit.ReynoldsNumber
	Mach       unit.MachNumber
	Transition Transition
	Roughness  unit.Length // height of its grains; 0 is smooth
	Law        Law         // of turbulent friction; "" is PrandtlSchlichting
}

// Heights of grains that are as rough as finished skins, for [Plate] and [Options] ([Raymer]).
const (
	MouldedComposite unit.Length = 0.052e-5
	PolishedMetal    unit.Length = 0.152e-5
	ProductionMetal  unit.Length = 0.405e-5
	SmoothPaint      unit.Length = 0.634e-5
	MattPaint        unit.Length = 1.015e-5
)

// Friction returns the mean friction coefficient of one side, laminar up to transition and turbulent behind it: with turbulent friction Ct, laminar friction Cl and the
// Reynolds number Re_tr of the length up to transition,
//
//	Cf = Ct(Re) − (Re_tr/Re) (Ct(Re_tr) − Cl(Re_tr)),   at least 0 taken off
//
// (Prandtl, [Schlichting]; his table of A = Re_tr (Ct − Cl), 1700 at Re_tr = 5·10⁵, is met within 8 %). A plate whose transition lies behind its end is laminar. Where
// roughness of height k rules, Ct is that at
//
//	Re_cut = 38.21 (l/k)^1.053
//
// ([Raymer]). It returns a [*unit.RangeError] for a Reynolds number outside 10⁴ to 10¹⁰, a Mach number outside 0 to 0.7, and roughness outside 0 to a thousandth of the
// length, and an [*Error] for a law that is not known or a transition that is said twice.
func (p Plate) Friction() (unit.Coefficient, error) {
	if err := p.check(); err != nil {
		return 0, err
	}
	transition := p.Transition.at(p.Reynolds)
	if transition >= p.Reynolds {
		return laminar(p.Reynolds), nil
	}
	all := p.turbulent(p.Reynolds)
	if transition < minReynolds {
		return all, nil
	}
	return all - transition/p.Reynolds*max(0, p.turbulent(transition)-laminar(transition)), nil
}

// turbulent returns friction as if turbulent from the nose.
func (p Plate) turbulent(reynolds unit.ReynoldsNumber) unit.Coefficient {
	if p.Roughness > 0 {
		reynolds = min(reynolds, p.cutoff())
	}
	if p.Law == SchoenherrLine {
		return schoenherr(reynolds) * compressible(p.Mach)
	}
	return turbulent(reynolds) * compressible(p.Mach)
}

// cutoff returns the Reynolds number beyond which roughness keeps friction from falling.
func (p Plate) cutoff() unit.ReynoldsNumber {
	return 38.21 * math.Pow(p.Length/p.Roughness, 1.053)
}

func (p Plate) check() error {
	const f = "drag.Plate.Friction"
	if p.Law != "" && p.Law != PrandtlSchlichting && p.Law != SchoenherrLine {
		return &Error{f, "law of friction", "is " + string(p.Law) + ", must be " + string(PrandtlSchlichting) + " or " + string(SchoenherrLine)}
	}
	for _, err := range []error{
		unit.CheckPositive(f, "length", p.Length, "m"),
		checkReynolds(f, p.Reynolds),
		unit.CheckRange(f, "Mach number", p.Mach, 0, maxMach, "1"),
		unit.CheckRange(f, "roughness", p.Roughness, 0, p.Length/1000, "mm"),
		p.Transition.check(f),
	} {
		if err != nil {
			return err
		}
	}
	return nil
}
