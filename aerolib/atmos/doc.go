// Package atmos models the static state of the Earth's atmosphere, and the kinds of airspeed that follow from it.
//
// [Standard] evaluates the standard atmosphere at a geopotential altitude and returns an [Air]; other packages take an Air, so that a measured day
// ([Measured], [OffStandard]) can stand in for the standard one:
//
//	air, err := atmos.Standard(6500 * unit.Foot)
//	q := air.DynamicPressure(95 * unit.Knot) // the argument is a true airspeed
//
// Altitudes are of four kinds. The layers are defined in geopotential altitude; [Geopotential] and [Geometric] convert; [PressureAltitude] and
// [DensityAltitude] ask where the standard atmosphere has a given pressure or density.
//
// Airspeeds are of three kinds, and methods of Air convert between them and Mach number, with the isentropic relations of subsonic flow.
//
// Sources: [ISO2533] ISO 2533:1975, Standard Atmosphere. [USSA] U.S. Standard Atmosphere, 1976, NOAA-S/T 76-1562. [TR837] W.S. Aiken, Standard Nomenclature
// for Airspeeds with Tables and Charts for Use in Calculation of Airspeed, NACA Report 837, 1946. [TR1135] Ames Research Staff, Equations, Tables, and Charts
// for Compressible Flow, NACA Report 1135, 1953. Numbers of equations are recalled.
package atmos
