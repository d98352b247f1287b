package atmos_test

import (
	"fmt"

	"foreplane/aerolib/atmos"
	"foreplane/aerolib/unit"
)

func ExampleStandard() {
	air, err := atmos.Standard(10000 * unit.Foot)
	if err != nil {
		panic(err)
	}
	fmt.Printf("density ratio at 10 000 ft: %.4f\n", air.DensityRatio())
	// Output: density ratio at 10 000 ft: 0.7385
}

func ExampleOffStandard() {
	air, _ := atmos.OffStandard(4000*unit.Foot, 20)
	h, _ := atmos.DensityAltitude(air.Density)
	fmt.Printf("4000 ft on a day 20 K warm feels like %.0f ft\n", h/unit.Foot)
	// Output: 4000 ft on a day 20 K warm feels like 6273 ft
}

func ExampleMeasured() {
	air, _ := atmos.Measured(unit.FromCelsius(30), 29.92*unit.InchOfMercury)
	fmt.Println(unit.Format(air.Density, "kg/m³"))
	// Output: 1.164 kg/m³
}

func ExamplePressureAltitude() {
	h, _ := atmos.PressureAltitude(850 * unit.Hectopascal)
	fmt.Printf("850 hPa: %.0f ft\n", h/unit.Foot)
	// Output: 850 hPa: 4781 ft
}

func ExampleDensityAltitude() {
	h, _ := atmos.DensityAltitude(0.7385 * atmos.SeaLevelDensity)
	fmt.Printf("σ 0.7385: %.0f m\n", h)
	// Output: σ 0.7385: 3048 m
}

func ExampleGeopotential() {
	H, _ := atmos.Geopotential(20000)
	Z, _ := atmos.Geometric(H)
	fmt.Printf("H %.0f m, Z %.0f m\n", H, Z)
	// Output: H 19937 m, Z 20000 m
}

func ExampleAir_TrueFromCalibrated() {
	air, _ := atmos.Standard(10000 * unit.Foot)
	V, _ := air.TrueFromCalibrated(250 * unit.Knot)
	fmt.Printf("CAS 250 kt at 10 000 ft: TAS %.1f kt, EAS %.1f kt, Mach %.3f\n", V/unit.Knot, air.EquivalentFromTrue(V)/unit.Knot, air.Mach(V))
	// Output: CAS 250 kt at 10 000 ft: TAS 288.7 kt, EAS 248.1 kt, Mach 0.452
}

func ExampleAir_DynamicPressure() {
	air, _ := atmos.Standard(6500 * unit.Foot)
	fmt.Println(unit.FormatPair(air.DynamicPressure(95*unit.Knot), "DynamicPressure"))
	// Output: 1204 Pa (25.2 psf)
}

func ExampleIsentropic() {
	s, _ := atmos.Isentropic(0.5)
	fmt.Printf("p/pt %.3f\n", s.Pressure)
	// Output: p/pt 0.843
}

func ExampleImpactPressure() {
	qc, _ := atmos.ImpactPressure(atmos.SeaLevelPressure, 0.2)
	fmt.Println(unit.Format(qc, "Pa"))
	// Output: 2866 Pa
}
