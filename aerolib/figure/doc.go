// Package figure draws results: line charts, stacked bars and planforms, as SVG and PNG, with an alternative text and a table of the data.
//
// A [Figure] is built in a chain and shown by being the last expression of a cell:
//
//	figure.New("Trim of Sedge", figure.Axis{Label: "Speed V", Unit: "kt"}, figure.Axis{Label: "Deflection δ", Unit: "°"}).
//		Curve("foreplane", speeds, deflections).
//		Limit("V_S", stall)
package figure
