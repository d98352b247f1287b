// Package aircraft describes aeroplanes: lifting surfaces with their roles, controls and sections, mass, centre of gravity and reference quantities.
//
// An [Aircraft] is plain data and a value: take one of the invented fleet ([Sedge], [Bracken]) or write a literal, change what you study, and hand it to the
// packages that compute. A [Surface] is a trapezoid, mirrored about the plane of symmetry unless it is a fin; its methods give area, mean chord and the like.
//
//	a := aircraft.Sedge()
//	a.CG = 3.40 * unit.Metre
//	wing, _ := a.Surface("wing")
//	fmt.Println(wing.Area(), wing.AspectRatio())
//
// Axes: x aft, y to starboard, z up, from one datum. Angles of incidence, twist and deflection are positive where they add lift.
//
// Sources: [Perkins] C.D. Perkins & R.E. Hage, Airplane Performance, Stability and Control, Wiley 1949.
package aircraft
