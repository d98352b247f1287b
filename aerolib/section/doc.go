// Package section computes aerofoil sections in plane flow.
//
// A section starts as a [Profile] (NACA families, or their thickness on any mean line) or as a [Contour] (coordinates of a file, or one's own). [ThinTheory] and
// [PlainFlap] are closed forms for the mean line, without thickness or friction; [Panels] finds the pressures on the contour without friction; [Flow.Viscous] runs
// boundary layers under them for drag, [Flow.MaxLift] estimates the greatest lift, and [Flow.Polar] is both over the angle of attack:
//
//	naca, err := section.NACA("2412")
//	contour, err := naca.Sharp().Contour()
//	flow, err := section.Panels(contour)
//	p, err := flow.At(4 * unit.Degree)    // p.CL, p.CM, p.Cp
//	v, err := flow.Viscous(4*unit.Degree, 3e6, section.Conditions{}) // v.Drag
//
// Own, measured and computed data are a [Polar], and polars at several Reynolds numbers a [Family], which interpolates; [ReadPolars] reads them, [Polar.Residuals] compares.
//
// Lengths are in chords: x aft from the leading edge, z up; cl and cm refer to the chord, cm to the quarter chord, positive nose up. Flow is steady and
// incompressible: below Mach 0.3 the error is within 5 % of cl (common practice); [Conditions] has a Mach number for what the layers give.
//
// Sources: [TR460] E.N. Jacobs, K.E. Ward & R.M. Pinkerton, The Characteristics of 78 Related Airfoil Sections from Tests in the Variable-Density Wind Tunnel,
// NACA Report 460, 1933. [TR537] E.N. Jacobs & R.M. Pinkerton, Tests in the Variable-Density Wind Tunnel of Related Airfoils Having the Maximum Camber Unusually
// Far Forward, NACA Report 537, 1935. [TR824] I.H. Abbott, A.E. von Doenhoff & L.S. Stivers, Summary of Airfoil Data, NACA Report 824, 1945. [Glauert26]
// H. Glauert, The Elements of Aerofoil and Airscrew Theory, Cambridge 1926. [Glauert27] H. Glauert, Theoretical Relationships for an Aerofoil with Hinged Flap,
// ARC R&M 1095, 1927. [Kennedy]
// J.L. Kennedy & D.J. Marsden, Potential Flow Velocity Distributions on Multi-Component Airfoil Sections, Canadian Aeronautics and Space Journal 22, 1976. [Katz] J. Katz &
// A. Plotkin, Low-Speed Aerodynamics, McGraw-Hill 1991. [Moran] J. Moran, An Introduction to Theoretical and Computational Aerodynamics, Wiley 1984. [Cebeci] T. Cebeci &
// P. Bradshaw, Momentum Transfer in Boundary Layers, Hemisphere 1977. [White] F.M. White, Viscous Fluid Flow, McGraw-Hill 1974. [Smith] A.M.O. Smith & N. Gamberoni,
// Transition, Pressure Gradient and Stability Theory, Douglas ES 26388, 1956. [Giles] M. Drela & M.B. Giles, Viscous-Inviscid Analysis of Transonic and Low Reynolds Number
// Airfoils, AIAA J. 25, 1987. [Horton] H.P. Horton, A Semi-Empirical Theory for the Growth and Bursting of Laminar Separation Bubbles, ARC CP 1073, 1969. [Owen] P.R. Owen &
// L. Klanfer, On the Laminar Boundary Layer Separation from the Leading Edge of a Thin Aerofoil, ARC CP 220, 1953. [Crabtree] L.F. Crabtree, Effects of Leading-Edge Separation on Thin Wings in Two-Dimensional Incompressible
// Flow, J. Aeronautical Sciences 24, 1957. [Squire] H.B. Squire & A.D. Young, The Calculation of the
// Profile Drag of Aerofoils, ARC R&M 1838, 1937. [Thwaites] B. Thwaites (ed.), Incompressible Aerodynamics, Oxford 1960. [Valarezo] W.O. Valarezo & V.D. Chin, Method for the
// Prediction of Wing Maximum Lift, J. Aircraft 31, 1994. [TR1135] Ames Research Staff, Equations, Tables, and Charts for Compressible Flow, NACA Report 1135, 1953. [Ladson]
// C.L. Ladson, Effects of Independent Variation of Mach and Reynolds Numbers on the Low-Speed Aerodynamic Characteristics of the NACA 0012 Airfoil Section, NASA TM 4074, 1988.
// [Viterna] L.A. Viterna & R.D. Corrigan, Fixed Pitch Rotor Performance of Large Horizontal Axis Wind Turbines, NASA CP-2230, 1981. [Sheldahl] R.E. Sheldahl &
// P.C. Klimas, Aerodynamic Characteristics of Seven Symmetrical Airfoil Sections Through 180-Degree Angle of Attack, Sandia SAND80-2114, 1981. Equations are recalled from these.
package section
