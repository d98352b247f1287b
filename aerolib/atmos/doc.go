// Package atmos models the static state of the Earth's atmosphere, and the kinds of airspeed that follow from it.
//
// [Standard] evaluates the standard atmosphere at a geopotential altitude and returns an [Air]; other packages take an Air, so that a measured day
// ([Measured], [Moist], [OffStandard], or all heights of a [Day]) can stand in for the standard one:
//
//	air, err := atmos.Standard(6500 * unit.Foot)
//	q := air.DynamicPressure(95 * unit.Knot) // the argument is a true airspeed
//
// Altitudes are of four kinds. The layers are defined in geopotential altitude; [Geopotential] and [Geometric] convert; [PressureAltitude] and
// [DensityAltitude] ask where the standard atmosphere has a given pressure or density.
//
// Airspeeds are of three kinds, and methods of Air convert between them, Mach number, dynamic and impact pressure ([Speeds]), with the isentropic relations of
// subsonic flow, up to Mach 1 and a calibrated airspeed of a₀.
//
// Sources: [ISO2533] ISO 2533:1975, Standard Atmosphere. [USSA] U.S. Standard Atmosphere, 1976, NOAA-S/T 76-1562. [TR837] W.S. Aiken, Standard Nomenclature
// for Airspeeds with Tables and Charts for Use in Calculation of Airspeed, NACA Report 837, 1946. [TR1135] Ames Research Staff, Equations, Tables, and Charts
// for Compressible Flow, NACA Report 1135, 1953. [WMO8] Guide to Meteorological Instruments and Methods of Observation, WMO-No. 8, 2008. [CIPM] A. Picard,
// R.S. Davis, M. Gläser & K. Fujii, Revised formula for the density of moist air (CIPM-2007), Metrologia 45, 2008. [Bohn] D.A. Bohn, Environmental Effects on
// the Speed of Sound, J. Audio Eng. Soc. 36, 1988. Equations and their numbers are recalled.
package atmos
