package unit

// Offsets of the scales whose zero is not absolute, in K ([SP811], B.8).
const (
	celsiusZero    = 273.15
	fahrenheitZero = 459.67 * 5.0 / 9
)

// FromCelsius returns the absolute temperature T = t + 273.15 of t degrees Celsius.
func FromCelsius(t float64) Temperature { return t + celsiusZero }

// ToCelsius returns T in degrees Celsius.
func ToCelsius(T Temperature) float64 { return T - celsiusZero }

// FromFahrenheit returns the absolute temperature T = (t + 459.67)·5/9 of t degrees Fahrenheit.
func FromFahrenheit(t float64) Temperature { return (t + 459.67) * 5 / 9 }

// ToFahrenheit returns T in degrees Fahrenheit.
func ToFahrenheit(T Temperature) float64 { return T*9/5 - 459.67 }
