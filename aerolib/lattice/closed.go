package lattice

import "foreplane/aerolib/unit"

// BiplaneInterference returns Prandtl's factor σ of the mutual drag of two wings of equal span with elliptic loads, a gap of G apart:
//
//	σ ≈ (1 − 0.66 G/b)/(1.05 + 3.7 G/b)     1/15 ≤ G/b ≤ 1/4
//	D_i = (L₁² + 2σ L₁L₂ + L₂²)/(π q b²)
//
// ([PrandtlTN182]), within 0.012 of the exact integral. It returns a [*unit.RangeError] outside that range.
func BiplaneInterference(gapOverSpan unit.Ratio) (unit.Ratio, error) {
	if err := unit.CheckRange("lattice.BiplaneInterference", "gap over span", gapOverSpan, 1.0/15, 1.0/4, "1"); err != nil {
		return 0, err
	}
	return (1 - 0.66*gapOverSpan) / (1.05 + 3.7*gapOverSpan), nil
}

// BoxDrag returns the least induced drag of two wings of equal span whose tips are joined by plates, over that of one wing of this span with all the lift:
//
//	k ≈ (1 + 0.45 h/b)/(1.04 + 2.81 h/b)     0.05 ≤ h/b ≤ 0.5
//
// ([PrandtlTN182]), within 0.012 of the exact solution. It returns a [*unit.RangeError] outside that range.
func BoxDrag(heightOverSpan unit.Ratio) (unit.Ratio, error) {
	if err := unit.CheckRange("lattice.BoxDrag", "height over span", heightOverSpan, 0.05, 0.5, "1"); err != nil {
		return 0, err
	}
	return (1 + 0.45*heightOverSpan) / (1.04 + 2.81*heightOverSpan), nil
}

// GroundInterference returns Wieselsberger's factor σ_g of a wing with elliptic load at the height h above the ground, that of a biplane with a gap of 2h:
//
//	σ_g ≈ (1 − 1.32 h/b)/(1.05 + 7.4 h/b)     1/30 ≤ h/b ≤ 1/8
//	CDi = (1 − σ_g) CL²/(π A e)
//
// ([Wieselsberger]), within 0.012 of the exact integral. [GroundFactor] takes only the tip vortices and gives up to 40 % more drag. It returns a
// [*unit.RangeError] outside that range; [Settings].Ground knows no such limit.
func GroundInterference(heightOverSpan unit.Ratio) (unit.Ratio, error) {
	if err := unit.CheckRange("lattice.GroundInterference", "height over span", heightOverSpan, 1.0/30, 1.0/8, "1"); err != nil {
		return 0, err
	}
	return BiplaneInterference(2 * heightOverSpan)
}

// GroundFactor returns McCormick's factor of the induced drag at the height h above the ground, from two tip vortices and their images:
//
//	φ = (16 h/b)²/(1 + (16 h/b)²)
//
// ([McCormick]). At h/b = 0.1 it is 0.72, where an elliptic load has 0.52. It returns a [*unit.PositiveError] for a height that is not above zero.
func GroundFactor(heightOverSpan unit.Ratio) (unit.Ratio, error) {
	if err := unit.CheckPositive("lattice.GroundFactor", "height over span", heightOverSpan, "1"); err != nil {
		return 0, err
	}
	square := 16 * heightOverSpan * 16 * heightOverSpan
	return square / (1 + square), nil
}
