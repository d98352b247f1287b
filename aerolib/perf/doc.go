// Package perf computes what an aeroplane can do: level flight, climb, range, glide, turns, take-off and landing.
//
// An [Aeroplane] is a mass, an area, a [Polar] and a [Propulsion]. [Of] makes one of the description of an aircraft; a literal with [Parabola] and [Propeller],
// [Electric] or [Jet] serves for the cases of textbooks:
//
//	a := perf.Aeroplane{Mass: 750 * unit.Kilogram, Area: 9.45, Polar: perf.Parabola{CD0: 0.028, K: 0.042}, MaxLift: 1.4,
//		Propulsion: perf.Propeller{Power: 85 * unit.Kilowatt, Efficiency: 0.8}}
//	f, err := a.Fastest(air)  // f.Speed is V_Y, f.Rate the rate of climb
//
// [Aeroplane.Level], [Aeroplane.Climb] and [Aeroplane.Glide] return a [Flight] at one speed, [Aeroplane.Point] and [Aeroplane.Curve] thrust and power needed and
// available. [Aeroplane.Speeds] lists the speeds with names; Fastest, Steepest, TopSpeed, BestGlide, LeastSink, BestRange and BestEndurance look for one of them.
// [Aeroplane.Ceiling] asks where a rate of climb is left. [Aeroplane.TurnAt] and [Aeroplane.SustainedTurn] return a [Turn], [Aeroplane.ExcessPower] is the specific
// excess power. [Aeroplane.Fly] integrates a [Mission] of climbs, cruises and descents with weight, air and wind as they change; [Breguet] has the closed forms.
//
// Flight is steady and without sideslip, thrust acts along the path, and the drag of a lift coefficient does not depend on speed or height, so that neither the Reynolds
// nor the Mach number acts on it; beyond Mach 0.95 every door is shut. Optima are looked for numerically above the stalling speed, whatever the polar.
//
// Sources: [Anderson] J.D. Anderson, Aircraft Performance and Design, McGraw-Hill 1999. [Gagg] R.F. Gagg & E.V. Farrar, Altitude Performance of Aircraft Engines
// Equipped with Gear-Driven Superchargers, SAE Trans. 29, 1934. [Glauert] H. Glauert, Airplane Propellers, in W.F. Durand (ed.), Aerodynamic Theory IV, Springer 1935.
// [Part23] 14 CFR 23 before amendment 64. Equations are recalled from these.
package perf
