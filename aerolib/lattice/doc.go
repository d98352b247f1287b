// Package lattice computes the flow about lifting surfaces: a vortex lattice for any number of them.
//
// A [Surface] is a row of [Station] with [Control] parts; [New] makes a [Model] of several surfaces under [Settings]; [Model.Solve] answers for a [State] with
// a [Result]: coefficients, loads of surfaces and strips, and the induced drag in the Trefftz plane. [Model.Coefficients] is the fast way for many states, [Model.Sweep] for a list of them,
// [Model.Derivatives] gives slopes and the neutral point, [Model.Trim] finds α and a deflection for lift and moment, [Model.Induced] and [Model.Wash] give the flow at
// any point, [Model.Interference] and [Model.InducedDrags] what surfaces do to each other, and [Model.Viscous] lets each strip have the lift and drag of its [Section].
//
//	wing := lattice.Trapezoid("wing", lattice.Point{}, 8, 1, 1, 0, 0, 0)
//	m, err := lattice.New([]lattice.Surface{wing}, lattice.Settings{Reference: lattice.Reference{Area: 8, Chord: 1, Span: 8}})
//	r, err := m.Solve(lattice.State{Alpha: 5 * unit.Degree}) // r.CL, r.CDi, r.SpanEfficiency
//
// # Method
//
// Horseshoe vortices lie at a quarter of each panel, with no flow through the panel at three quarters ([Weissinger], [Katz] ch. 12). The lattice lies along x;
// twist, camber, zero-lift angle and deflections turn the normals only. Every component of the stream, every rate and every deflection is a right-hand side of
// its own, so a geometry at one Mach number is factorised once for symmetric and once for antisymmetric flow, and states are superpositions. Forces follow
// from the law of Kutta and Joukowski with the local velocity on bound vortices and on those along the chords; induced drag from the wakes of all surfaces far
// behind ([Munk]). Compressibility follows Prandtl and Glauert: x is stretched by 1/√(1 − M²).
//
// # Limits
//
// Thin surfaces, attached flow, no bodies, wakes straight, Mach below about 0.7, angles below about 15°. The near-field drag of swept wings converges slowly:
// use CDi. Section lift slopes are those of thin aerofoils, 2π, except in [Model.Viscous]. How fast results converge with the mesh stands in testdata/convergence-*.txt.
//
// [Line] is the lifting line of a single unswept wing, for comparison and for sections of any slope.
//
// Sources: [Katz] J. Katz & A. Plotkin, Low-Speed Aerodynamics, 2nd ed., 2001. [Weissinger] J. Weissinger, The Lift Distribution of Swept-Back Wings, NACA
// TM 1120, 1947. [Munk] M.M. Munk, The Minimum Induced Drag of Aerofoils, NACA Report 121, 1921. [Glauert] H. Glauert, The Elements of Aerofoil and Airscrew Theory, 2nd ed., 1947.
// [PrandtlTN182] L. Prandtl, Induced Drag of Multiplanes, NACA TN 182, 1924. [Wieselsberger] C. Wieselsberger, Wing Resistance near the Ground, NACA TM 77, 1922.
// [McCormick] B.W. McCormick, Aerodynamics, Aeronautics and Flight Mechanics, 1979. [Mukherjee] R. Mukherjee & A. Gopalarathnam, Poststall Prediction of
// Multiple-Lifting-Surface Configurations Using a Decambering Approach, J. Aircraft 43, 2006. Chapters, sections and formulas are recalled.
package lattice
