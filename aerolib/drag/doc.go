// Package drag builds up the drag of an aeroplane: friction of each surface and body at its own Reynolds number, items that are stated, and what lift costs.
//
// [Build] gives the [Buildup] of an aeroplane in a [Flight]: items without lift, each with wetted area, Reynolds number, friction, form factor and interference, named by
// source. [Of] adds what lift costs, surface by surface: profile drag at the lift that each bears ([Load]), and the [Induced] drag that [FromLattice] takes from the Trefftz
// plane or [PrandtlMunk] from elliptic loads; the [Breakdown] says who contributes what. A [Polar] is drag over lift, for trim made by package trim and for a fixed
// deflection by [Untrimmed]; it interpolates, and fits a [Parabola] for its Oswald factor.
//
//	f, err := drag.At(6500*unit.Foot, 110*unit.Knot)
//	b, err := drag.Build(aircraft.Sedge(), f, drag.Options{})
//	fmt.Println(b.CDA, b.CD)    // without lift
//	p, err := drag.Untrimmed(aircraft.Sedge(), f, drag.Options{}, drag.Sweep{})
//	cd, err := p.CD(0.5)
//
// With several surfaces the drag due to lift is never CL²/(π A e) of the whole: profile drag is summed with each surface at its own lift, induced drag comes from all loads
// together. Two factors are kept apart: the span efficiency belongs to induced drag, the Oswald factor to a parabola through the whole polar, which also takes in the
// profile drag that grows with lift.
//
// Measured at 110 kt and 6500 ft with controls at rest, in counts of 0.0001 at CL 0.5 (tests hold them within 3 %): Sedge 237 without lift, 2 profile drag by
// lift, 88 induced; Bracken 237, 4 and 93; span efficiency 1.05 (with its tip fins) and 1.00, Oswald factor of a fit from CL 0.2 to 1.0 1.07 and 0.94. That is above the 0.75
// to 0.85 of flight tests (common practice) and above [RaymerOswald]: how the drag of bodies and junctions grows with lift is not here. Form factors of computed sections
// are −2 % to +5 % off Raymer's.
//
// A build-up takes some 25 ms, nearly all for the boundary layers of sections, and 0.2 ms with plates ([Options]).
//
// The formulas of friction are those of smooth flat plates; form and interference factors are regressions, not laws. What none of them has is stated as an item of drag
// of the aeroplane. Slipstream, drag of bodies that lift, and drag rise near the speed of sound are not in it.
//
// Sources: [Blasius] H. Blasius, The Boundary Layers in Fluids with Little Friction, NACA TM 1256, 1950 (translation of 1908). [Schlichting] H. Schlichting, Boundary-Layer
// Theory, 7th ed., McGraw-Hill 1979. [Schoenherr] K.E. Schoenherr, Resistance of Flat Surfaces Moving Through a Fluid, Trans. SNAME 40, 1932. [Hoerner] S.F. Hoerner,
// Fluid-Dynamic Drag, 1965. [Raymer] D.P. Raymer, Aircraft Design: A Conceptual Approach, AIAA. [Kroo] I. Kroo & R.S.
// Shevell, Aircraft Design: Synthesis and Analysis, lecture notes, Stanford 2001. [Munk] M.M. Munk, The Minimum Induced Drag of Aerofoils, NACA Report 121, 1921. [PrandtlTN182] L. Prandtl, The Induced Resistance of Multiplanes, NACA TN 182, 1924.
// [Milne] L.M. Milne-Thomson, Theoretical Aerodynamics, Macmillan. [Wieselsberger] C. Wieselsberger, Wing Resistance near the Ground, NACA TM 77, 1922. [McCormick]
// B.W. McCormick, Aerodynamics, Aeronautics and Flight Mechanics, Wiley 1979. Equations are recalled from these.
package drag
