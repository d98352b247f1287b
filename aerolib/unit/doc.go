// Package unit names the quantities of flight mechanics, their units, and how both are written and read.
//
// Quantities are plain numbers in SI. Each has an alias of float64 ([Length], [Speed], [TrueAirspeed], [DynamicPressure]) which says what a number is,
// and each unit is a constant of such an alias, so that
//
//	h := 6500 * unit.Foot
//	V := 95 * unit.Knot
//	knots := V / unit.Knot
//
// is ordinary arithmetic. Temperatures have an offset and go through functions: [FromCelsius], [ToCelsius], [FromFahrenheit], [ToFahrenheit].
//
// One table, read with [Lookup] and [All], holds the units; a second one, read with [LookupKind] and [Kinds], holds the quantities by the name of their
// alias. [Parse] and [ParseUnit] read text, [Format], [FormatExact] and [FormatPair] write it:
//
//	V, err := unit.Parse("95 kt", "Speed")     // 48.87… m/s
//	unit.FormatPair(V, "Speed")                // "48.9 m/s (95.0 kt)"
//
// Factors are exact by definition unless their comment says otherwise.
//
// Sources: [SP811] A. Thompson & B.N. Taylor, Guide for the Use of the International System of Units, NIST Special Publication 811, 2008, appendix B.
package unit
