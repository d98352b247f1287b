// Package section computes aerofoil sections in plane flow.
//
// A section starts as a [Profile] (NACA families, or their thickness on any mean line) or as a [Contour] (coordinates of a file, or one's own). [ThinTheory] and
// [PlainFlap] are closed forms for the mean line, without thickness or friction; [Panels] finds the pressures on the contour without friction, and [Flow.Viscous] and
// [Flow.MaxLift] run boundary layers under them for drag and an estimate of the greatest lift:
//
//	naca, err := section.NACA("2412")
//	contour, err := naca.Sharp().Contour()
//	flow, err := section.Panels(contour)
//	p, err := flow.At(4 * unit.Degree)    // p.CL, p.CM, p.Cp
//	v, err := flow.Viscous(4*unit.Degree, 3e6, section.Conditions{}) // v.Drag
//
// Own or measured data are a [Polar], and polars at several Reynolds numbers a [Family], which interpolates; [ReadPolars] reads them.
//
// Lengths are in chords: x aft from the leading edge, z up; cl and cm refer to the chord, cm to the quarter chord, positive nose up. Flow is steady and
// incompressible: below Mach 0.3 the error is within 5 % of cl (common practice); above, correct cl elsewhere.
//
// Sources: [TR460] E.N. Jacobs, K.E. Ward & R.M. Pinkerton, The Characteristics of 78 Related Airfoil Sections from Tests in the Variable-Density Wind Tunnel,
// NACA Report 460, 1933. [TR537] E.N. Jacobs & R.M. Pinkerton, Tests in the Variable-Density Wind Tunnel of Related Airfoils Having the Maximum Camber Unusually
// Far Forward, NACA Report 537, 1935. [TR824] I.H. Abbott, A.E. von Doenhoff & L.S. Stivers, Summary of Airfoil Data, NACA Report 824, 1945. [Glauert26]
// H. Glauert, The Elements of Aerofoil and Airscrew Theory, Cambridge 1926. [Glauert27] H. Glauert, Theoretical Relationships for an Aerofoil with Hinged Flap,
// ARC R&M 1095, 1927. [Hess] J.L. Hess & A.M.O. Smith, Calculation of Potential Flow about Arbitrary Bodies, Progress in Aeronautical Sciences 8, 1967.
// [Moran] J. Moran, An Introduction to Theoretical and Computational Aerodynamics, Wiley 1984. [Cebeci] T. Cebeci & P. Bradshaw,
// Momentum Transfer in Boundary Layers, Hemisphere 1977. [Michel] R. Michel, Étude de la transition sur les profils d'aile, ONERA Report 1/1578A, 1951. [Squire] H.B. Squire &
// A.D. Young, The Calculation of the Profile Drag of Aerofoils, ARC R&M 1838, 1937. [Ladson] C.L. Ladson, Effects of Independent Variation of Mach and Reynolds Numbers on the
// Low-Speed Aerodynamic Characteristics of the NACA 0012 Airfoil Section, NASA TM 4074, 1988. [Viterna] L.A. Viterna & R.D. Corrigan,
// Fixed Pitch Rotor Performance of Large Horizontal Axis Wind Turbines, NASA CP-2230, 1981. Equations are recalled from these.
package section
