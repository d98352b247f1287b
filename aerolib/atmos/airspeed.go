package atmos

import (
	"math"

	"foreplane/aerolib/unit"
)

// seaLevelSound is the speed of sound that airspeed indicators are calibrated with.
var seaLevelSound unit.Speed = math.Sqrt(HeatRatio * r * SeaLevelTemperature)

// Stagnation holds static over stagnation values of a perfect gas brought to rest without losses.
type Stagnation struct {
	Pressure, Temperature, Density unit.Ratio
}

// Isentropic returns the ratios at Mach number M,
//
//	T/T_t = 1 / (1 + (γ−1)/2 M²),   p/p_t = (T/T_t)^(γ/(γ−1)),   ρ/ρ_t = (T/T_t)^(1/(γ−1))
//
// ([TR1135], eqs. 43 to 45). It returns a [*unit.RangeError] for M below zero or not finite.
func Isentropic(M unit.MachNumber) (Stagnation, error) {
	if err := unit.CheckRange("atmos.Isentropic", "Mach number", M, 0, math.Inf(1), "1"); err != nil {
		return Stagnation{}, err
	}
	t := 1 / (1 + (HeatRatio-1)/2*M*M)
	return Stagnation{Pressure: math.Pow(t, HeatRatio/(HeatRatio-1)), Temperature: t, Density: math.Pow(t, 1/(HeatRatio-1))}, nil
}

// ImpactPressure returns what a pitot tube measures above static pressure p at Mach number M without a shock, M ≤ 1:
//
//	q_c = p [(1 + 0.2 M²)^3.5 − 1]
//
// ([TR837]). It returns a [*unit.RangeError] for M outside 0 to 1 and a [*unit.PositiveError] for p not above zero.
func ImpactPressure(p unit.Pressure, M unit.MachNumber) (unit.Pressure, error) {
	if err := unit.CheckPositive("atmos.ImpactPressure", "pressure", p, "Pa"); err != nil {
		return 0, err
	}
	if err := unit.CheckRange("atmos.ImpactPressure", "Mach number", M, 0, 1, "1"); err != nil {
		return 0, err
	}
	return p * rise(M), nil
}

// rise returns q_c/p at Mach number M. Expm1 and Log1p keep low speeds exact.
func rise(M unit.MachNumber) unit.Ratio {
	return math.Expm1(HeatRatio / (HeatRatio - 1) * math.Log1p((HeatRatio-1)/2*M*M))
}

// machOf is the inverse of rise.
func machOf(rise unit.Ratio) unit.MachNumber {
	return math.Sqrt(2 / (HeatRatio - 1) * math.Expm1((HeatRatio-1)/HeatRatio*math.Log1p(rise)))
}

// Mach returns the Mach number of true airspeed V.
func (a Air) Mach(V unit.TrueAirspeed) unit.MachNumber { return V / a.SpeedOfSound }

// TrueFromMach returns the true airspeed of Mach number M.
func (a Air) TrueFromMach(M unit.MachNumber) unit.TrueAirspeed { return M * a.SpeedOfSound }

// EquivalentFromTrue returns the equivalent airspeed V√σ, which has the same dynamic pressure at sea level.
func (a Air) EquivalentFromTrue(V unit.TrueAirspeed) unit.EquivalentAirspeed {
	return V * math.Sqrt(a.DensityRatio())
}

// TrueFromEquivalent returns the true airspeed of equivalent airspeed V.
func (a Air) TrueFromEquivalent(V unit.EquivalentAirspeed) unit.TrueAirspeed {
	return V / math.Sqrt(a.DensityRatio())
}

// TrueFromCalibrated returns the true airspeed at which an indicator without error shows V. The impact pressure is the same as at sea level,
//
//	q_c = p₀ [(1 + 0.2 (V/a₀)²)^3.5 − 1],   M = √(5 [(q_c/p + 1)^(2/7) − 1])
//
// ([TR837]). It returns a [*unit.RangeError] for V below zero, and where M or V/a₀ exceeds 1.
func (a Air) TrueFromCalibrated(V unit.CalibratedAirspeed) (unit.TrueAirspeed, error) {
	limit := math.Min(1, machOf(rise(1)*a.Pressure/SeaLevelPressure)) * seaLevelSound
	if err := unit.CheckRange("atmos.TrueFromCalibrated", "calibrated airspeed", V, 0, limit, "m/s"); err != nil {
		return 0, err
	}
	return a.TrueFromMach(machOf(rise(V/seaLevelSound) * SeaLevelPressure / a.Pressure)), nil
}

// CalibratedFromTrue returns the calibrated airspeed of true airspeed V, the inverse of [Air.TrueFromCalibrated]. It returns a [*unit.RangeError] for V below
// zero, and where the Mach number or the result over a₀ exceeds 1.
func (a Air) CalibratedFromTrue(V unit.TrueAirspeed) (unit.CalibratedAirspeed, error) {
	if err := unit.CheckRange("atmos.CalibratedFromTrue", "true airspeed", V, 0, a.fastest(), "m/s"); err != nil {
		return 0, err
	}
	return machOf(rise(a.Mach(V))*a.Pressure/SeaLevelPressure) * seaLevelSound, nil
}
