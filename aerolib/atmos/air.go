package atmos

import (
	"math"

	"foreplane/aerolib/unit"
)

// Air is the state of the air at one place.
type Air struct {
	Temperature  unit.Temperature
	Pressure     unit.Pressure
	Density      unit.Density
	SpeedOfSound unit.Speed
	Viscosity    unit.DynamicViscosity
}

// Range of temperatures and pressures that are taken for measured air.
const (
	minTemperature unit.Temperature = 100
	maxTemperature unit.Temperature = 400
	maxPressure    unit.Pressure    = 200e3
)

// Measured returns the state of dry air of temperature T and pressure p, with
//
//	ρ = p / (R T)
//	a = √(γ R T)
//	μ = 1.458·10⁻⁶ T^1.5 / (T + 110.4)    (Sutherland; T in K, μ in Pa s)
//
// ([USSA], eqs. 42, 50, 51). It returns a [*unit.RangeError] for T outside 100 K to 400 K or p above 200 kPa, and a [*unit.PositiveError] for p not above zero.
func Measured(T unit.Temperature, p unit.Pressure) (Air, error) {
	if err := unit.CheckRange("atmos.Measured", "temperature", T, minTemperature, maxTemperature, "K"); err != nil {
		return Air{}, err
	}
	if err := unit.CheckPositive("atmos.Measured", "pressure", p, "Pa"); err != nil {
		return Air{}, err
	}
	if err := unit.CheckRange("atmos.Measured", "pressure", p, 0, maxPressure, "Pa"); err != nil {
		return Air{}, err
	}
	return Air{
		Temperature:  T,
		Pressure:     p,
		Density:      p / (r * T),
		SpeedOfSound: math.Sqrt(HeatRatio * r * T),
		Viscosity:    sutherland(T),
	}, nil
}

// Sutherland's law for air ([USSA], eq. 51). The constant β has the unit Pa s/K^½.
const (
	sutherlandBeta        unit.DynamicViscosity = 1.458e-6
	sutherlandTemperature unit.Temperature      = 110.4
)

func sutherland(T unit.Temperature) unit.DynamicViscosity {
	return sutherlandBeta * math.Sqrt(T/unit.Kelvin) * T / (T + sutherlandTemperature)
}

// DensityRatio returns σ, the density over that of the standard atmosphere at sea level.
func (a Air) DensityRatio() unit.Ratio { return a.Density / SeaLevelDensity }

// KinematicViscosity returns ν = μ/ρ.
func (a Air) KinematicViscosity() unit.KinematicViscosity { return a.Viscosity / a.Density }

// DynamicPressure returns q = ½ρV² of true airspeed V.
func (a Air) DynamicPressure(V unit.TrueAirspeed) unit.DynamicPressure {
	return 0.5 * a.Density * V * V
}

// Reynolds returns the Reynolds number ρ V l/μ of length l at true airspeed V.
func (a Air) Reynolds(V unit.TrueAirspeed, l unit.Length) unit.ReynoldsNumber {
	return a.Density * V * l / a.Viscosity
}
