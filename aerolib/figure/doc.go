// Package figure draws results as SVG and PNG: curves, stacked bars, planforms. It computes no aeronautics.
//
// A [Figure] is built in a chain and shown by being the last expression of a cell. Values are in SI; each [Axis] names the unit that is shown:
//
//	figure.New("Trim of Sedge", figure.Axis{Label: "Speed V", Unit: "kt"}, figure.Axis{Label: "Deflection δ", Unit: "°"}).
//		Curve("foreplane", speeds, deflections).
//		Limit("V_S", stallSpeed)
//
// [New] makes a chart with two axes and [Bars] one with bars; [Of] shows a plot made with gonum/plot. [Planform], [TrimCurves], [Moments] and
// [LiftShares] make figures from aeroplanes and results of trim, [Section], [Pressures], [LiftCurves], [DragPolars], [MomentCurves] and [Residuals]
// from sections, [Loading], [LocalLift], [WashMap] and [ThreeView] from a lattice, [Polars], [PolarParts], [DragShares] and [DragParts] from drag, [StallLift], [StallLoading], [StallSpeeds],
// [CGChart] and [RangeAgainstSize] from first stalls and CG limits, [Front] from studies, [Waterfall], [PropellerEfficiency], [PropellerThrust],
// [PropellerPower] and [BladeLoad] from propellers; they are built on in the same way. A figure gives its picture ([Figure.SVG],
// [Figure.PNG]), its alternative text ([Figure.AltText]) and its data as a table ([Figure.Table], [Figure.Data]). Wrong data make an error that the
// picture returns; a NaN leaves a gap, which the alternative text mentions.
//
// [Powers], [ClimbRates], [SinkPolar], [ExcessPower], [TakeOffs] and [FlightTest] are for performance.
//
// Labels are set from a light markup: C_L, C_{Lα}, x_np, m^2, \alpha. Series are named where they end, and in a legend only where there is no room;
// no label covers another one or a curve.
//
// Text is text in an SVG; fonts are named with fallbacks that share the widths used for layout, never embedded. Colours are told apart by every kind of
// sight and have a contrast of 3:1 or more to white and to dark pages ([WCAG21], criterion 1.4.11); dashes and markers say the same without colour.
//
// Sources: [WCAG21] Web Content Accessibility Guidelines 2.1, W3C Recommendation, 2018.
package figure
