package drag

import (
	"fmt"
	"math"
	"math/cmplx"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/lattice"
	"foreplane/aerolib/unit"
)

// MutualFactor returns Prandtl's factor σ of the mutual drag of two surfaces with elliptic loads, one above the other with a gap G,
//
//	D₁₂ = 2σ L₁L₂/(π q b₁b₂)
//	σ = (b₁/b₂) (2/π) ∫₀^π sin²θ [1 − Re ζ/√(ζ² − 1)] dθ,   ζ = (b₁ cos θ + 2iG)/b₂,   b₁ ≤ b₂
//
// from the velocity behind an elliptic load ([Milne]), averaged over the load of the shorter span. It is exact for elliptic loads whatever their stagger ([Munk]); without gap
// it is b₁/b₂. The sign of the gap and the order of the spans do not matter. Prandtl's approximation for equal spans is [lattice.BiplaneInterference]. It returns a
// [*unit.PositiveError] for a span that is not above zero and a [*unit.RangeError] for a gap that is not finite.
func MutualFactor(b1, b2, gap unit.Length) (unit.Ratio, error) {
	const f = "drag.MutualFactor"
	for _, err := range []error{
		unit.CheckPositive(f, "first span", b1, "m"),
		unit.CheckPositive(f, "second span", b2, "m"),
		unit.CheckRange(f, "gap", gap, math.Inf(-1), math.Inf(1), "m"),
	} {
		if err != nil {
			return 0, err
		}
	}
	return mutual(b1, b2, gap), nil
}

// mutualSteps is the number of midpoints of the integral of [MutualFactor]: five figures for gaps from 1 % of the span.
const mutualSteps = 400

func mutual(b1, b2, gap unit.Length) unit.Ratio {
	short, long := min(b1, b2), max(b1, b2)
	if gap == 0 {
		return short / long
	}
	sum := 0.0
	for i := range mutualSteps {
		sin, cos := math.Sincos((float64(i) + 0.5) / mutualSteps * math.Pi)
		sum += sin * sin * inWake(complex(short*cos, 2*math.Abs(gap))/complex(long, 0))
	}
	return short / long * sum * 2 / mutualSteps
}

// inWake returns the downwash far behind an elliptic load over that within its span, at a place in half spans.
func inWake(at complex128) unit.Ratio {
	return 1 - real(at/(cmplx.Sqrt(at-1)*cmplx.Sqrt(at+1)))
}

// CoplanarPenalty returns induced drag over that of one surface with all the lift, for two surfaces in one plane with elliptic loads, of which the shorter has the span
// ratio μ and bears the fraction f of the lift,
//
//	k = 1 + f² (1/μ² − 1)
//
// ([Munk], without gap). The sign of f does not matter: up or down, what the short surface bears costs the same. It returns a [*unit.RangeError] for a ratio outside 0.01
// to 1 and a fraction outside ±10.
func CoplanarPenalty(fraction, spanRatio unit.Ratio) (unit.Ratio, error) {
	if err := unit.CheckRange("drag.CoplanarPenalty", "span ratio", spanRatio, 0.01, 1, "1"); err != nil {
		return 0, err
	}
	if err := unit.CheckRange("drag.CoplanarPenalty", "fraction of the lift", fraction, -10, 10, "1"); err != nil {
		return 0, err
	}
	return 1 + fraction*fraction*(1/(spanRatio*spanRatio)-1), nil
}

// EllipticLoad is the elliptic load of a surface.
type EllipticLoad struct {
	Surface string
	Span    unit.Length
	Height  unit.Length      // z of the surface, above the datum
	CL      unit.Coefficient // on the reference area
}

// PrandtlMunk returns the induced drag of surfaces with elliptic loads,
//
//	CDi = S_ref/π Σᵢ Σⱼ σᵢⱼ CLᵢ CLⱼ/(bᵢ bⱼ),   σᵢᵢ = 1
//
// ([Munk], [PrandtlTN182]), with σ by [MutualFactor]. A ground at the given distance below the datum, 0 for none, adds the images: σᵢⱼ less that for the gap hᵢ + hⱼ, h the
// height above the ground. Mutual drag is a part of its own for each pair, since only the sum is fixed. Loads that differ from the ellipse cost more by themselves; a wing
// in the wash of a foreplane sheds some of the mutual drag again, which the lattice knows. It returns an [*Error] without surfaces, and errors for numbers outside their range.
func PrandtlMunk(loads []EllipticLoad, r aircraft.Reference, ground unit.Length) (Induced, error) {
	if err := checkElliptic(loads, r, ground); err != nil {
		return Induced{}, err
	}
	out := Induced{Method: "Prandtl and Munk, elliptic loads"}
	for i, a := range loads {
		out.CL += a.CL
		for _, b := range loads[:i] {
			out.part(a.Surface+" with "+b.Surface, 2*pair(a, b, r, ground))
		}
		out.part(a.Surface, pair(a, a, r, ground))
	}
	return out, nil
}

func (i *Induced) part(name string, CD unit.Coefficient) {
	i.CD += CD
	i.Parts = append(i.Parts, Share{name, CD})
}

// pair returns one term of the sum.
func pair(a, b EllipticLoad, r aircraft.Reference, ground unit.Length) unit.Coefficient {
	factor := mutual(a.Span, b.Span, a.Height-b.Height)
	if ground > 0 {
		factor -= mutual(a.Span, b.Span, a.Height+b.Height+2*ground)
	}
	return r.Area / math.Pi * factor * a.CL * b.CL / (a.Span * b.Span)
}

func checkElliptic(loads []EllipticLoad, r aircraft.Reference, ground unit.Length) error {
	const f = "drag.PrandtlMunk"
	if len(loads) == 0 {
		return &Error{f, "list of loads", "is empty"}
	}
	if err := unit.CheckPositive(f, "reference area", r.Area, "m²"); err != nil {
		return err
	}
	inf := math.Inf(1)
	if err := unit.CheckRange(f, "height of the datum above the ground", ground, 0, inf, "m"); err != nil {
		return err
	}
	for _, l := range loads {
		for _, err := range []error{
			unit.CheckPositive(f, "span of the "+l.Surface, l.Span, "m"),
			unit.CheckRange(f, "height of the "+l.Surface, l.Height, -inf, inf, "m"),
			unit.CheckRange(f, "lift coefficient of the "+l.Surface, l.CL, -inf, inf, "1"),
		} {
			if err != nil {
				return err
			}
		}
		if ground > 0 && l.Height+ground <= 0 {
			return &Error{f, "height of the " + l.Surface, fmt.Sprintf("is %s, below the ground at %s", unit.Format(l.Height, "m"), unit.Format(-ground, "m"))}
		}
	}
	return nil
}

// GroundModel is a way to estimate what the ground leaves of induced drag.
type GroundModel string

// Models of ground effect.
const (
	ImageModel         GroundModel = "image of an elliptic load" // exact for such a load, at any height
	WieselsbergerModel GroundModel = "Wieselsberger"             // its approximation, see [lattice.GroundInterference]
	McCormickModel     GroundModel = "McCormick"                 // tip vortices and their images, see [lattice.GroundFactor]
)

// GroundFactor returns induced drag near the ground over that far from it, for one surface at the height h. The models differ: at h/b = 0.1 they leave 0.516, 0.517 and 0.719.
// Errors are an [*Error] for a model that is not known, a [*unit.PositiveError] for a height that is not above zero, and those of the model for its range.
func GroundFactor(model GroundModel, heightOverSpan unit.Ratio) (unit.Ratio, error) {
	const f = "drag.GroundFactor"
	switch model {
	case ImageModel:
		if err := unit.CheckPositive(f, "height over span", heightOverSpan, "1"); err != nil {
			return 0, err
		}
		return 1 - mutual(unit.Metre, unit.Metre, 2*heightOverSpan*unit.Metre), nil
	case WieselsbergerModel:
		sigma, err := lattice.GroundInterference(heightOverSpan)
		return 1 - sigma, err
	case McCormickModel:
		return lattice.GroundFactor(heightOverSpan)
	}
	return 0, &Error{f, "model", fmt.Sprintf("%q is not known: there are %q, %q and %q", model, ImageModel, WieselsbergerModel, McCormickModel)}
}
