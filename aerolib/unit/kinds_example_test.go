package unit_test

import (
	"fmt"

	"foreplane/aerolib/unit"
)

func ExampleToCelsius() {
	fmt.Printf("%.2f °C\n", unit.ToCelsius(288.15))
	// Output: 15.00 °C
}

func ExampleToFahrenheit() {
	fmt.Printf("%.1f °F\n", unit.ToFahrenheit(288.15))
	// Output: 59.0 °F
}

func ExampleLookupKind() {
	k, _ := unit.LookupKind("TrueAirspeed")
	knot, _ := unit.Lookup("kt")
	fmt.Println(k.Dimension, k.SI, k.Customary, k.Root().Name, k.Accepts(knot))
	// Output: m/s m/s kt Speed true
}

func ExampleKinds() {
	for _, k := range unit.Kinds()[:3] {
		fmt.Println(k.Name)
	}
	// Output:
	// Ratio
	// Coefficient
	// MachNumber
}

func ExampleAll() {
	for _, u := range unit.All() {
		if u.Name == "Knot" {
			fmt.Println(u, u.Factor == unit.Knot)
		}
	}
	// Output: kt true
}

func ExampleCheckRange() {
	fmt.Println(unit.CheckRange("loads.Gust", "gust speed", 40, 0, 20, "m/s"))
	// Output: loads.Gust: gust speed is 40.0 m/s, must be 0 m/s to 20 m/s
}

func ExampleCheckPositive() {
	fmt.Println(unit.CheckPositive("aircraft.Load", "mass", -3, "kg"))
	// Output: aircraft.Load: mass is -3.00 kg, must be above zero and finite
}

func ExampleDimension() {
	speed, _ := unit.LookupKind("Speed")
	density, _ := unit.LookupKind("Density")
	q := density.Dimension.Mul(speed.Dimension.Pow(unit.Frac(2, 1)))
	fmt.Println(q, "over", density.Dimension, "is", q.Div(density.Dimension))
	// Output: kg/(m·s²) over kg/m³ is m²/s²
}

func ExampleFrac() {
	half, third := unit.Frac(1, 2), unit.Frac(2, 6)
	fmt.Println(half.Add(third), half.Mul(third), third.Neg(), third.Num(), third.Den())
	// Output: 5/6 1/6 -1/3 1 3
}

func ExampleUnit_Format() {
	knot, _ := unit.Lookup("kt")
	fmt.Println(knot.Format(48.87), "or exactly", knot.FormatExact(95*unit.Knot))
	// Output: 95.0 kt or exactly 95 kt
}
