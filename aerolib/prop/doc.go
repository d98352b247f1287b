// Package prop computes propellers.
//
// A [Propeller] is a diameter, a number of blades and the chord and twist of a blade at stations of the radius; [Of] makes one from the power plant of an aeroplane.
// [NormalForceOf] is the force across the shaft of a propeller that meets the air at an angle, which a neutral point needs:
//
//	n, err := prop.NormalForceOf(aircraft.Bracken().Plants[0], air, 60*unit.MetrePerSecond, 1000*unit.Newton)
//	fmt.Println(n.Slope, n.CNAlpha) // N/rad, and on disc area and q
//
// Coefficients of the propeller are those of the trade, n in rev/s and D the diameter, while T_c is thrust over dynamic pressure and disc area:
//
//	J = V/(nD),   CT = T/(ρn²D⁴),   CP = P/(ρn³D⁵),   η = J CT/CP,   T_c = T/(qA)
//
// Blade angles are those of the chord to the plane of rotation. Forces are those of the air on the aeroplane: thrust forward along the shaft, the normal force along
// +α at the disc.
//
// Sources: [Glauert] H. Glauert, Airplane Propellers, Div. L in W.F. Durand (ed.), Aerodynamic Theory IV, Springer 1935. [TR819] H.S. Ribner, Formulas for Propellers in
// Yaw and Charts of the Side-Force Derivative, NACA Report 819, 1945. [TR820] H.S. Ribner, Propellers in Yaw, NACA Report 820, 1945. [Viterna] L.A. Viterna & R.D. Corrigan, Fixed
// Pitch Rotor Performance of Large Horizontal Axis Wind Turbines, NASA CP-2230, 1981. Equations are recalled from these.
package prop
