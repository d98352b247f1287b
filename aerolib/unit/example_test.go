package unit_test

import (
	"fmt"

	"foreplane/aerolib/unit"
)

func Example() {
	h := 6500 * unit.Foot
	V := 95 * unit.Knot
	fmt.Printf("%.1f m, %.2f m/s\n", h, V)
	// Output: 1981.2 m, 48.87 m/s
}

func ExampleParse() {
	V, err := unit.Parse("95 kt", "Speed")
	fmt.Println(unit.FormatPair(V, "Speed"), err)
	_, err = unit.Parse("1500 lb", "Weight")
	fmt.Println(err)
	// Output:
	// 48.9 m/s (95.0 kt) <nil>
	// "1500 lb" as Weight: lb is a unit of Mass, not of Weight: write N or lbf (lb is a mass, its weight at standard gravity is 1 lbf)
}

func ExampleParseAny() {
	value, u, _ := unit.ParseAny("160 hp")
	fmt.Printf("%.0f W, written in %s\n", value, u.Name)
	// Output: 119312 W, written in Horsepower
}

func ExampleParseUnit() {
	u, _ := unit.ParseUnit("lb/(bhp hr)")
	fmt.Println(u, u.Dimension)
	// Output: lb/(hp·h) s²/m²
}

func ExampleLookup() {
	u, ok := unit.Lookup("knots")
	fmt.Println(u.Symbol, u.Name, u.Kind, u.Dimension, ok)
	// Output: kt Knot Speed m/s true
}

func ExampleFormat() {
	fmt.Println(unit.Format(101325*unit.Pascal, "inHg"))
	// Output: 29.9 inHg
}

func ExampleFormatExact() {
	fmt.Println(unit.FormatExact(120*unit.Knot, "kt"))
	// Output: 120 kt
}

func ExampleFormatPair() {
	fmt.Println(unit.FormatPair(15000*unit.Foot, "PressureAltitude"))
	// Output: 4572 m (15000 ft)
}

func ExampleFromCelsius() {
	fmt.Println(unit.FromCelsius(15), "K")
	// Output: 288.15 K
}

func ExampleFromFahrenheit() {
	fmt.Printf("%.2f K, %.1f °F\n", unit.FromFahrenheit(59), unit.ToFahrenheit(288.15))
	// Output: 288.15 K, 59.0 °F
}
