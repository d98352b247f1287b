package atmos

import (
	"math"

	"foreplane/aerolib/unit"
)

// Speeds is one speed through the air in all its kinds. The methods of [Air] whose names begin with At make it from any of them.
type Speeds struct {
	True       unit.TrueAirspeed
	Equivalent unit.EquivalentAirspeed
	Calibrated unit.CalibratedAirspeed
	Mach       unit.MachNumber
	Dynamic    unit.DynamicPressure // q = ½ρV²
	Impact     unit.Pressure        // q_c: see [ImpactPressure]
}

// fastest is the speed up to which the subsonic relations hold: M = 1, or V_c = a₀ if that comes first, as it does below sea level.
func (a Air) fastest() unit.TrueAirspeed {
	return math.Min(1, machOf(rise(1)*SeaLevelPressure/a.Pressure)) * a.SpeedOfSound
}

// upTo returns the speeds of true airspeed V, unless the value that it was made from is below zero, beyond limit or NaN.
func (a Air) upTo(function, arg string, value, limit float64, symbol string, V unit.TrueAirspeed) (Speeds, error) {
	if err := unit.CheckRange("atmos.Air."+function, arg, value, 0, limit, symbol); err != nil {
		return Speeds{}, err
	}
	M := a.Mach(V)
	impact := a.Pressure * rise(M)
	return Speeds{
		True:       V,
		Equivalent: a.EquivalentFromTrue(V),
		Calibrated: machOf(impact/SeaLevelPressure) * seaLevelSound,
		Mach:       M,
		Dynamic:    a.DynamicPressure(V),
		Impact:     impact,
	}, nil
}

// AtTrue returns all kinds of the speed whose true airspeed is V. The relations are those of [Air.TrueFromCalibrated], exact for a perfect gas without a shock. It
// returns a [*unit.RangeError] for V below zero, or where the Mach number or V_c/a₀ exceeds 1; so do the methods that follow.
func (a Air) AtTrue(V unit.TrueAirspeed) (Speeds, error) {
	return a.upTo("AtTrue", "true airspeed", V, a.fastest(), "m/s", V)
}

// AtEquivalent is [Air.AtTrue] for an equivalent airspeed, V_e = V√σ.
func (a Air) AtEquivalent(V unit.EquivalentAirspeed) (Speeds, error) {
	return a.upTo("AtEquivalent", "equivalent airspeed", V, a.EquivalentFromTrue(a.fastest()), "m/s", a.TrueFromEquivalent(V))
}

// AtCalibrated is [Air.AtTrue] for a calibrated airspeed.
func (a Air) AtCalibrated(V unit.CalibratedAirspeed) (Speeds, error) {
	limit := machOf(rise(a.Mach(a.fastest()))*a.Pressure/SeaLevelPressure) * seaLevelSound
	return a.upTo("AtCalibrated", "calibrated airspeed", V, limit, "m/s", a.TrueFromMach(machOf(rise(V/seaLevelSound)*SeaLevelPressure/a.Pressure)))
}

// AtMach is [Air.AtTrue] for a Mach number, M = V/a.
func (a Air) AtMach(M unit.MachNumber) (Speeds, error) {
	return a.upTo("AtMach", "Mach number", M, a.Mach(a.fastest()), "1", a.TrueFromMach(M))
}

// AtDynamicPressure is [Air.AtTrue] for a dynamic pressure, V = √(2q/ρ).
func (a Air) AtDynamicPressure(q unit.DynamicPressure) (Speeds, error) {
	return a.upTo("AtDynamicPressure", "dynamic pressure", q, a.DynamicPressure(a.fastest()), "Pa", math.Sqrt(2*q/a.Density))
}

// AtImpactPressure is [Air.AtTrue] for an impact pressure, M = √(5 [(q_c/p + 1)^(2/7) − 1]).
func (a Air) AtImpactPressure(qc unit.Pressure) (Speeds, error) {
	limit := a.Pressure * rise(a.Mach(a.fastest()))
	return a.upTo("AtImpactPressure", "impact pressure", qc, limit, "Pa", a.TrueFromMach(machOf(qc/a.Pressure)))
}
