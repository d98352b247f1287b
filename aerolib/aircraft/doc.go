// Package aircraft describes aeroplanes: surfaces with their roles, sections and controls, bodies, landing gear, power plants, masses, and reference quantities.
//
// An [Aircraft] is plain data: take one of the invented fleet ([Sedge], [Bracken], [Fleet]), read a file ([ReadFile]), or write a literal; change what you study, and
// hand it to the packages that compute. A [Surface] is a row of [Station] values, mirrored about the plane of symmetry unless it is a fin; a [Trapezoid] makes one with
// straight edges. Methods give areas, mean chords, volumes and wetted areas; [Weigh] sums a list of [MassItem] to a [Balance] with its [Inertia]; [Aircraft.Stand]
// tells how the aeroplane stands on its wheels; a [DragItem] states drag that has no shape here; [Aircraft.Lattice] gives its surfaces to the vortex lattice.
//
//	a := aircraft.Sedge()
//	a.CG = 3.40 * unit.Metre
//	wing, _ := a.Surface("wing")
//	fmt.Println(wing.Area(), wing.AspectRatio())
//
// The file is TOML with units in the text, read by [Read] and written by [Aircraft.Write]; FORMAT.md lists its keys. Errors are [*Error] values with line and key.
//
//	[[surfaces]]
//	name = "wing"
//	role = "wing"
//	mirrored = true
//	stations = [
//	  { x = "3.20 m", y = "0 m", z = "0 m", chord = "1.40 m", section = "root" },
//	  { x = "5.02 m", y = "14 ft 9 in", z = "0 m", chord = "0.70 m", twist = "-1.5°", section = "tip" },
//	]
//
// Axes: x aft, y to starboard, z up, from one datum. Angles of incidence, twist and deflection are positive where they add lift.
//
// Sources: [Perkins] C.D. Perkins & R.E. Hage, Airplane Performance, Stability and Control, Wiley 1949. [Raymer] D.P. Raymer, Aircraft Design: A Conceptual Approach,
// AIAA.
package aircraft
