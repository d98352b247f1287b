package trim

import (
	"math"

	"foreplane/aerolib/unit"
)

// MutualFactor returns Prandtl's factor σ of the mutual drag of two surfaces with elliptic loads, of spans b₁ and b₂ and a gap G apart across the stream:
//
//	D_i = (1/πq) [L₁²/b₁² + 2σ L₁L₂/(b₁b₂) + L₂²/b₂²]
//	σ = (b₂/b₁) · mean of w/w₀ of the longer at the shorter, weighted with its load     b₂ ≤ b₁
//
// with w/w₀ of [FarWash]; how far one stands behind the other does not matter ([Munk121]). At no gap σ = b₂/b₁. It returns a [*unit.PositiveError] for a span not above
// zero, and a [*unit.RangeError] for a gap below zero.
func MutualFactor(b1, b2, gap unit.Length) (unit.Ratio, error) {
	for name, b := range map[string]float64{"first span": b1, "second span": b2} {
		if err := unit.CheckPositive("trim.MutualFactor", name, b, "m"); err != nil {
			return 0, err
		}
	}
	if err := unit.CheckRange("trim.MutualFactor", "gap", gap, 0, math.Inf(1), "m"); err != nil {
		return 0, err
	}
	return mutual(b1, b2, gap), nil
}

// mutual integrates by Gauss's rule with the elliptic load as its weight (Chebyshev, second kind).
func mutual(b1, b2, gap unit.Length) unit.Ratio {
	long, short := max(b1, b2), min(b1, b2)
	const n = 64
	zeta := gap / (long / 2)
	sum := 0.0
	for k := 1; k <= n; k++ {
		theta := math.Pi * float64(k) / (n + 1)
		sin, cos := math.Sincos(theta)
		t := complex(math.Abs(cos)*short/long, zeta)
		sum += sin * sin * real(1-t/root(t))
	}
	return short / long * 2 / (n + 1) * sum
}

// induced returns the induced drag over dynamic pressure, of elliptic loads in each other's wake and that of the images in the ground:
//
//	D_i/q = (1/π) Σ_i Σ_j (σ_ij − σ_ij') S_i CL_i S_j CL_j/(b_i b_j)
func (c *closedForm) induced(lift []unit.Coefficient) unit.Area {
	sum := 0.0
	for i, s := range c.surfaces {
		for j, t := range c.surfaces[:i+1] {
			sigma := 1.0
			if i != j {
				sigma = mutual(s.Span(), t.Span(), math.Abs(s.Height()-t.Height()))
			}
			if c.height > 0 {
				sigma -= mutual(s.Span(), t.Span(), s.Height()+t.Height()+2*c.height)
			}
			twice := 2.0
			if i == j {
				twice = 1
			}
			sum += twice * sigma * c.elements[i].area * lift[i] * c.elements[j].area * lift[j] / (s.Span() * t.Span())
		}
	}
	return sum / math.Pi
}
