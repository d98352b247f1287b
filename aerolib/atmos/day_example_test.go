package atmos_test

import (
	"fmt"

	"foreplane/aerolib/atmos"
	"foreplane/aerolib/unit"
)

func ExampleMoist() {
	dry, _ := atmos.Measured(unit.FromCelsius(30), 1000*unit.Hectopascal)
	moist, _ := atmos.Moist(unit.FromCelsius(30), 1000*unit.Hectopascal, 0.9)
	fmt.Printf("at 30 °C and 90 %% humidity the air is %.1f %% thinner than dry\n", 100*(1-moist.Density/dry.Density))
	// Output: at 30 °C and 90 % humidity the air is 1.4 % thinner than dry
}

func ExampleHumidity() {
	humidity, _ := atmos.Humidity(unit.FromCelsius(20), unit.FromCelsius(10))
	fmt.Printf("20 °C, dew point 10 °C: %.0f %%\n", 100*humidity)
	// Output: 20 °C, dew point 10 °C: 53 %
}

func ExampleStation() {
	day, _ := atmos.Station(1600*unit.Foot, 955*unit.Hectopascal, unit.FromCelsius(32), 0.4)
	air, _ := day.At(1600 * unit.Foot)
	h, _ := atmos.DensityAltitude(air.Density)
	fmt.Printf("density altitude at the field: %.0f ft\n", h/unit.Foot)
	// Output: density altitude at the field: 4180 ft
}

func ExampleDay_PressureAltitude() {
	cold := atmos.Day{Offset: -30}
	h, _ := cold.PressureAltitude(5000 * unit.Foot)
	fmt.Printf("on a day 30 K cold, 5000 ft above sea level, an altimeter shows %.0f ft\n", h/unit.Foot)
	// Output: on a day 30 K cold, 5000 ft above sea level, an altimeter shows 5594 ft
}

func ExampleDay_Geopotential() {
	cold := atmos.Day{Offset: -30}
	H, _ := cold.Geopotential(5000 * unit.Foot)
	fmt.Printf("where the altimeter shows 5000 ft the height is %.0f ft\n", H/unit.Foot)
	// Output: where the altimeter shows 5000 ft the height is 4470 ft
}

func ExampleDay_At() {
	air, _ := atmos.Day{Offset: 15}.At(1000)
	fmt.Println(unit.Format(air.Density, "kg/m³"))
	// Output: 1.061 kg/m³
}

func ExampleDay_AtPressure() {
	air, _ := atmos.Day{Offset: 15, Humidity: 0.6}.AtPressure(1000)
	fmt.Println(unit.Format(air.Density, "kg/m³"))
	// Output: 1.048 kg/m³
}

func ExampleStationPressure() {
	p, _ := atmos.StationPressure(1600*unit.Foot, 1020*unit.Hectopascal)
	fmt.Println(unit.Format(p, "hPa"))
	// Output: 962 hPa
}

func ExampleAltimeterSetting() {
	p, _ := atmos.AltimeterSetting(1600*unit.Foot, 962*unit.Hectopascal)
	fmt.Println(unit.Format(p, "hPa"))
	// Output: 1020 hPa
}

func ExampleAir_AtCalibrated() {
	air, _ := atmos.Standard(10000 * unit.Foot)
	s, _ := air.AtCalibrated(250 * unit.Knot)
	fmt.Printf("TAS %.1f kt, EAS %.1f kt, Mach %.3f, q %.0f Pa, q_c %.0f Pa\n", s.True/unit.Knot, s.Equivalent/unit.Knot, s.Mach, s.Dynamic, s.Impact)
	// Output: TAS 288.7 kt, EAS 248.1 kt, Mach 0.452, q 9977 Pa, q_c 10498 Pa
}

func ExampleAir_AtDynamicPressure() {
	air, _ := atmos.Standard(6500 * unit.Foot)
	s, _ := air.AtDynamicPressure(1204)
	fmt.Println(unit.FormatPair(s.True, "TrueAirspeed"))
	// Output: 48.9 m/s (95.0 kt)
}

func ExampleAir_AtTrue() {
	air, _ := atmos.Standard(6500 * unit.Foot)
	s, _ := air.AtTrue(95 * unit.Knot)
	fmt.Printf("CAS %.1f kt\n", s.Calibrated/unit.Knot)
	// Output: CAS 86.2 kt
}

func ExampleAir_AtEquivalent() {
	air, _ := atmos.Standard(6500 * unit.Foot)
	s, _ := air.AtEquivalent(86 * unit.Knot)
	fmt.Printf("TAS %.1f kt\n", s.True/unit.Knot)
	// Output: TAS 94.8 kt
}

func ExampleAir_AtMach() {
	air, _ := atmos.Standard(11000)
	s, _ := air.AtMach(0.6)
	fmt.Printf("TAS %.0f kt, CAS %.0f kt\n", s.True/unit.Knot, s.Calibrated/unit.Knot)
	// Output: TAS 344 kt, CAS 194 kt
}

func ExampleAir_AtImpactPressure() {
	air, _ := atmos.Standard(3000)
	s, _ := air.AtImpactPressure(2 * unit.Kilopascal)
	fmt.Printf("CAS %.0f kt\n", s.Calibrated/unit.Knot)
	// Output: CAS 111 kt
}
