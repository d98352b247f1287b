// Package report arranges results as tables for reading. It computes no aeronautics.
//
// [Trim] shows what each surface of an aeroplane does in trim, [Neutral] where its neutral point comes from, and [Compare] several aeroplanes side by
// side. [Drag], [Forms], [Closures], [Contributions], [Polar] and [Stretches] show who contributes
// what to drag; [Stalls], [StallVariants] and [Dirt] show first stalls, [Limits] and [Rotation] what bounds the CG, [Comparison] layouts on a
// basis with the reasons of their differences, [Front] what a study has found, [Bookkeeping], [Propeller] and
// [Slipstream] what a propeller does at its place. [Explain] lists the equations behind a result with its numbers. All others return
// a [Table], which a notebook shows as such when it is the last expression of a cell:
//
//	report.Compare(must(trim.Solve(aircraft.Sedge(), c)), must(trim.Solve(aircraft.Bracken(), c)))
//
// [Speeds], [Field], [Mission] and [FlightTest] are for performance.
//
// Tables carry the caution of the results they show.
package report
