// Package prop computes propellers.
//
// A [Propeller] is a diameter, a number of blades and the chord and twist of a blade at stations of the radius; [Of] makes one from the power plant of an aeroplane.
// [NormalForceOf] is the force across the shaft of a propeller that meets the air at an angle, which a neutral point needs:
//
//	n, err := prop.NormalForceOf(aircraft.Bracken().Plants[0], air, 60*unit.MetrePerSecond, 1000*unit.Newton)
//	fmt.Println(n.Slope, n.CNAlpha) // N/rad, and on disc area and q
//
// A [Disc] is the best that a diameter allows, with its [Slipstream]. [Propeller.Solve] is blade-element momentum theory in a [Flow], from rest to windmilling: a [State] with its
// [Losses] and every [Element]. A [Chart] holds coefficients from measurements or from the elements. An [Engine], [Piston] or [Electric], and a [Model] of a propeller make a
// [Drive], of fixed pitch or constant speed; what perf takes are [Drive.Thrust] and [Drive.For], which return an [Operating] state with thrust, power and fuel flow:
//
//	d, err := prop.DriveOf(aircraft.Bracken().Plants[0])
//	o, err := d.Thrust(air, 60*unit.MetrePerSecond)             // full throttle
//	o, err = d.For(air, 60*unit.MetrePerSecond, 700*unit.Newton) // a thrust; [Drive.Tabulated] is a hundred times as fast
//
// [Install] puts a plant at its place on an aeroplane, with what stands about it as [Surroundings]: an [Installation] has the inflow that bodies and wings leave to the disc and
// the drag that the propeller adds, and stands in for its drive with the net thrust. [Installation.Books] is the bookkeeping from shaft to net thrust power as [Books]:
//
//	i, err := prop.Install(a, a.Plants[0], air, 60*unit.MetrePerSecond)
//	b, err := i.Books(air, 60*unit.MetrePerSecond, 1) // b.Apparent, b.Net, b.Rows
//
// [TipDiameter] and [ClearanceDiameter] limit the diameter.
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
// Pitch Rotor Performance of Large Horizontal Axis Wind Turbines, NASA CP-2230, 1981. [TR651] A. Silverstein, S. Katzoff & W.K. Bullivant, Downwash and Wake behind Plain
// and Flapped Airfoils, NACA Report 651, 1939. [Gagg] R.F. Gagg & E.V. Ferrar, Altitude Performance of Aircraft Engines Equipped
// with Gear-Driven Superchargers, SAE Journal 34, 1934. Equations are recalled from these.
package prop
