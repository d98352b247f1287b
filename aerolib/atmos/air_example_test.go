package atmos_test

import (
	"fmt"

	"foreplane/aerolib/atmos"
	"foreplane/aerolib/unit"
)

func ExampleAir_DensityRatio() {
	air, _ := atmos.Standard(6500 * unit.Foot)
	fmt.Printf("σ %.4f, ν %.3g m²/s\n", air.DensityRatio(), air.KinematicViscosity())
	// Output: σ 0.8232, ν 1.71e-05 m²/s
}

func ExampleAir_Reynolds() {
	air, _ := atmos.Standard(6500 * unit.Foot)
	fmt.Printf("a chord of 0.4 m at 95 kt: Re %.2g\n", air.Reynolds(95*unit.Knot, 0.4))
	// Output: a chord of 0.4 m at 95 kt: Re 1.1e+06
}

func ExampleAir_EquivalentFromTrue() {
	air, _ := atmos.Standard(6500 * unit.Foot)
	V := air.EquivalentFromTrue(95 * unit.Knot)
	fmt.Printf("TAS 95 kt is EAS %.1f kt, and back %.1f kt\n", V/unit.Knot, air.TrueFromEquivalent(V)/unit.Knot)
	// Output: TAS 95 kt is EAS 86.2 kt, and back 95.0 kt
}

func ExampleAir_CalibratedFromTrue() {
	air, _ := atmos.Standard(10000 * unit.Foot)
	V, _ := air.CalibratedFromTrue(288.7 * unit.Knot)
	fmt.Printf("%.0f kt\n", V/unit.Knot)
	// Output: 250 kt
}

func ExampleAir_Mach() {
	air, _ := atmos.Standard(11000)
	fmt.Printf("Mach %.2f; Mach 0.6 is %.0f m/s\n", air.Mach(200), air.TrueFromMach(0.6))
	// Output: Mach 0.68; Mach 0.6 is 177 m/s
}

func ExampleGeometric() {
	Z, _ := atmos.Geometric(11000)
	fmt.Printf("the tropopause is %.0f m above the sea\n", Z)
	// Output: the tropopause is 11019 m above the sea
}
