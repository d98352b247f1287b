package atmos

import (
	"math"

	"foreplane/aerolib/unit"
)

// vapourRatio is the molar mass of water over that of air.
const vapourRatio unit.Ratio = 18.01528 / 28.9644

// Range of temperatures of the vapour pressure over water ([WMO8]).
const (
	minWet unit.Temperature = 228.15
	maxWet unit.Temperature = 333.15
)

// Moist returns the state of air of temperature T, pressure p and relative humidity φ (0 to 1, over water). With the partial pressure e of the vapour, x = e/p,
//
//	e = φ f e_w,   e_w = 611.2 Pa exp(17.62 t/(243.12 + t)),   f = 1.0016 + 3.15·10⁻⁸ p − 7.4/p    (t in °C, p in Pa)
//	ρ = p [1 − (1 − ε) x]/(R T),   ε = 18.015/28.964
//	a = √(γ p/ρ),   γ = (7 + x)/(5 + x)
//
// ([WMO8], annex 4.B; ρ is that of a mixture of perfect gases; γ: [Bohn]). The viscosity is that of dry air: vapour takes off less than 1 % below 30 °C (common
// practice). Density is within 0.05 % of [CIPM] at room temperature.
//
// It returns errors as [Measured] does, and a [*unit.RangeError] for φ outside 0 to 1, for T outside −45 °C to 60 °C if φ is not 0, and for vapour that would
// exceed the pressure.
func Moist(T unit.Temperature, p unit.Pressure, humidity unit.Ratio) (Air, error) {
	air, err := Measured(T, p)
	if err != nil {
		return Air{}, err
	}
	if err := unit.CheckRange("atmos.Moist", "relative humidity", humidity, 0, 1, "%"); err != nil {
		return Air{}, err
	}
	if humidity == 0 {
		return air, nil
	}
	if err := unit.CheckRange("atmos.Moist", "temperature", T, minWet, maxWet, "°C"); err != nil {
		return Air{}, err
	}
	vapour := humidity * enhancement(p) * saturation(T)
	if err := unit.CheckRange("atmos.Moist", "pressure", p, vapour, maxPressure, "Pa"); err != nil {
		return Air{}, err
	}
	x := vapour / p
	air.Density *= 1 - (1-vapourRatio)*x
	air.SpeedOfSound = math.Sqrt((7 + x) / (5 + x) * p / air.Density)
	return air, nil
}

// saturation returns the pressure of vapour over water ([WMO8]).
func saturation(T unit.Temperature) unit.Pressure {
	const (
		base  unit.Pressure    = 611.2
		shift unit.Temperature = 243.12
	)
	t := unit.ToCelsius(T)
	return base * math.Exp(17.62*t/(shift+t))
}

// enhancement is what saturated air holds over what pure vapour would ([WMO8]).
func enhancement(p unit.Pressure) unit.Ratio {
	hectopascals := p / unit.Hectopascal
	return 1.0016 + 3.15e-6*hectopascals - 0.074/hectopascals
}

// Humidity returns the relative humidity of air of temperature T and dew point T_d, e_w(T_d)/e_w(T); see [Moist]. It returns a [*unit.RangeError] for
// temperatures outside −45 °C to 60 °C and for a dew point above the temperature.
func Humidity(T, dewPoint unit.Temperature) (unit.Ratio, error) {
	if err := unit.CheckRange("atmos.Humidity", "temperature", T, minWet, maxWet, "°C"); err != nil {
		return 0, err
	}
	if err := unit.CheckRange("atmos.Humidity", "dew point", dewPoint, minWet, T, "°C"); err != nil {
		return 0, err
	}
	return saturation(dewPoint) / saturation(T), nil
}
