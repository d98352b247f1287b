package atmos

import (
	"math"

	"foreplane/aerolib/unit"
)

// Constants of the standard atmosphere ([USSA], tables 1 and 2; [ISO2533] has the same values).
const (
	SeaLevelTemperature unit.Temperature = 288.15
	SeaLevelPressure    unit.Pressure    = 101325
	SeaLevelDensity     unit.Density     = SeaLevelPressure / (GasConstant * SeaLevelTemperature)
	GasConstant         unit.GasConstant = 8314.32 / 28.9644 // universal, over the molar mass of air
	HeatRatio           unit.Ratio       = 1.4
	EarthRadius         unit.Length      = 6356766 // of the geopotential

	// MinAltitude and MaxAltitude bound the layers, in geopotential altitude.
	MinAltitude unit.GeopotentialAltitude = -5000
	MaxAltitude unit.GeopotentialAltitude = 84852

	g0 = unit.StandardGravity
	r  = GasConstant
)

// layer is a part of the atmosphere with a constant temperature gradient. Its lowest state follows from the layer below.
type layer struct {
	bottom      unit.GeopotentialAltitude
	lapse       unit.LapseRate
	temperature unit.Temperature
	pressure    unit.Pressure
}

// layers are those of [USSA], table 4; up to 32 km also of [ISO2533].
var layers = stack([]layer{
	{bottom: 0, lapse: -6.5e-3},
	{bottom: 11000, lapse: 0},
	{bottom: 20000, lapse: 1e-3},
	{bottom: 32000, lapse: 2.8e-3},
	{bottom: 47000, lapse: 0},
	{bottom: 51000, lapse: -2.8e-3},
	{bottom: 71000, lapse: -2e-3},
})

// stack fills in the lowest state of each layer.
func stack(layers []layer) []layer {
	layers[0].temperature, layers[0].pressure = SeaLevelTemperature, SeaLevelPressure
	for i := 1; i < len(layers); i++ {
		layers[i].temperature, layers[i].pressure = layers[i-1].at(layers[i].bottom)
	}
	return layers
}

// at returns temperature and pressure of the layer at h.
func (b layer) at(h unit.GeopotentialAltitude) (unit.Temperature, unit.Pressure) {
	t := b.temperature + b.lapse*(h-b.bottom)
	if b.lapse == 0 {
		return t, b.pressure * math.Exp(-g0*(h-b.bottom)/(r*b.temperature))
	}
	return t, b.pressure * math.Pow(t/b.temperature, -g0/(r*b.lapse))
}

// density returns the density at the bottom of the layer.
func (b layer) density() unit.Density { return b.pressure / (r * b.temperature) }

// layerOf returns the last layer that below accepts by its bottom, or the lowest one.
func layerOf(below func(layer) bool) layer {
	found := layers[0]
	for _, b := range layers[1:] {
		if below(b) {
			found = b
		}
	}
	return found
}

// Standard returns the state of the standard atmosphere at geopotential altitude h.
//
// With T₀, p₀ at the bottom H₀ of the layer and lapse rate λ = dT/dH,
//
//	T = T₀ + λ (h − H₀)
//	p = p₀ (T/T₀)^(−g₀/(R λ))          λ ≠ 0
//	p = p₀ exp(−g₀ (h − H₀)/(R T₀))    λ = 0
//	ρ = p / (R T)
//
// ([ISO2533], sec. 2). Above 80 km T is the molecular-scale temperature of [USSA], less than 0.1 % above the kinetic one. It returns a [*unit.RangeError] if h
// is below [MinAltitude], above [MaxAltitude], or NaN.
func Standard(h unit.GeopotentialAltitude) (Air, error) {
	return OffStandard(unit.PressureAltitude(h), 0)
}

// OffStandard returns the state on a day whose temperature differs from the standard one by dT at every pressure:
//
//	p = p_standard(h),  T = T_standard(h) + dT,  ρ = p / (R T)
//
// h is the pressure altitude, which on such a day is not the geopotential altitude: [Day] knows both, and humidity. It returns a [*unit.RangeError] as [Standard] does, and if the temperature
// would leave the range that [Measured] accepts.
func OffStandard(h unit.PressureAltitude, dT unit.TemperatureDifference) (Air, error) {
	if err := unit.CheckRange("atmos.Standard", "altitude", h, MinAltitude, MaxAltitude, "m"); err != nil {
		return Air{}, err
	}
	t, p := standardAt(unit.GeopotentialAltitude(h)) // where the standard atmosphere has the pressure
	return Measured(t+dT, p)
}

// PressureAltitude returns the geopotential altitude at which the standard atmosphere has pressure p; the way back is [Standard]. It returns a [*unit.RangeError] if there is none
// between [MinAltitude] and [MaxAltitude].
func PressureAltitude(p unit.Pressure) (unit.PressureAltitude, error) {
	_, highest := layers[0].at(MinAltitude)
	_, lowest := layers[len(layers)-1].at(MaxAltitude)
	if err := unit.CheckRange("atmos.PressureAltitude", "pressure", p, lowest, highest, "Pa"); err != nil {
		return 0, err
	}
	b := layerOf(func(b layer) bool { return p <= b.pressure })
	return unit.PressureAltitude(b.height(p/b.pressure, 0)), nil
}

// DensityAltitude returns the geopotential altitude at which the standard atmosphere has density rho; the way back is [Standard]. In the lowest layer, with λ the lapse rate dT/dH,
//
//	h = (T₀/λ) [(ρ/ρ₀)^(−1/(1 + g₀/(R λ))) − 1]
//
// It returns a [*unit.RangeError] if there is none between [MinAltitude] and [MaxAltitude].
func DensityAltitude(rho unit.Density) (unit.DensityAltitude, error) {
	highest, lowest := standardDensity(layers[0], MinAltitude), standardDensity(layers[len(layers)-1], MaxAltitude)
	if err := unit.CheckRange("atmos.DensityAltitude", "density", rho, lowest, highest, "kg/m³"); err != nil {
		return 0, err
	}
	b := layerOf(func(b layer) bool { return rho <= b.density() })
	return unit.DensityAltitude(b.height(rho/b.density(), 1)), nil
}

func standardDensity(b layer, h unit.GeopotentialAltitude) unit.Density {
	t, p := b.at(h)
	return p / (r * t)
}

// height returns where (T/T₀)^(−g₀/(R λ) − extra) = ratio: the inverse of the pressure ratio for extra 0, of the density ratio for extra 1.
func (b layer) height(ratio, extra unit.Ratio) unit.GeopotentialAltitude {
	if b.lapse == 0 {
		return b.bottom - r*b.temperature/g0*math.Log(ratio)
	}
	return b.bottom + b.temperature/b.lapse*(math.Pow(ratio, -1/(g0/(r*b.lapse)+extra))-1)
}

// Geopotential returns the geopotential altitude of geometric altitude Z,
//
//	H = r₀ Z / (r₀ + Z),   r₀ = 6 356 766 m
//
// ([USSA], eq. 18). It returns a [*unit.RangeError] if H would not be in the standard atmosphere.
func Geopotential(Z unit.GeometricAltitude) (unit.GeopotentialAltitude, error) {
	if err := unit.CheckRange("atmos.Geopotential", "altitude", Z, geometric(MinAltitude), geometric(MaxAltitude), "m"); err != nil {
		return 0, err
	}
	return EarthRadius * Z / (EarthRadius + Z), nil
}

// Geometric returns the geometric altitude of geopotential altitude H, the inverse of [Geopotential]. It returns a [*unit.RangeError] if H is not in the
// standard atmosphere.
func Geometric(H unit.GeopotentialAltitude) (unit.GeometricAltitude, error) {
	if err := unit.CheckRange("atmos.Geometric", "altitude", H, MinAltitude, MaxAltitude, "m"); err != nil {
		return 0, err
	}
	return geometric(H), nil
}

func geometric(H unit.GeopotentialAltitude) unit.GeometricAltitude {
	return EarthRadius * H / (EarthRadius - H)
}
