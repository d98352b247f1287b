// Package perf computes what an aeroplane can do: level flight, climb, range, glide, turns, take-off and landing.
//
// An [Aeroplane] is a mass, an area, a [Polar] and a [Propulsion]. [Of] makes one of the description of an aircraft, in trim and on installed propellers; a literal with
// [drag.Parabola] and [Propeller], [Electric] or [Jet] serves for the cases of textbooks:
//
//	a, err := perf.Of(aircraft.Sedge(), perf.Setup{})
//	f, err := a.Fastest(air)  // f.Speed is V_Y, f.Rate the rate of climb
//
// [Aeroplane.Level], [Aeroplane.Climb] and [Aeroplane.Glide] return a [Flight] at one speed, [Aeroplane.Point] and [Aeroplane.Curve] thrust and power needed and
// available. [Aeroplane.Speeds] lists the speeds with names; Fastest, Steepest, TopSpeed, BestGlide, LeastSink, BestRange and BestEndurance look for one of them.
// [Aeroplane.Ceiling] asks where a rate of climb is left. [Aeroplane.TurnAt] and [Aeroplane.SustainedTurn] return a [Turn], [Aeroplane.ExcessPower] is the specific
// excess power. [Aeroplane.Fly] integrates a [Mission] of climbs, cruises and descents with weight, air and wind as they change; [Breguet] has the closed forms.
//
// [Aeroplane.TakeOff] and [Aeroplane.Land] integrate a [Field] part by part on a [Runway]. [GroundOf] says what of an aircraft counts there: its [Ground], with the [Wheels]
// that it rotates about, which [Aeroplane.Unstick] asks when the nose can be raised. Field lengths go with the square of the stalling speed, and so with the inverse of the
// greatest lift in trim. [ReadMeasured] and [Aeroplane.Residuals] hold flight tests against all this; Climbs, Sinks, ExcessMap and TakeOffs are rows for figures.
//
// Flight is steady and without sideslip, thrust acts along the path, and the drag of a lift coefficient does not depend on speed or height, so that neither the Reynolds
// nor the Mach number acts on it; beyond Mach 0.95 every door is shut. Optima are looked for numerically above the stalling speed, whatever the polar.
//
// Sedge and Bracken, a foreplane with a pusher and a tailplane with a tractor on the same mass, power, wing and total area, come out so (testdata/sedge-bracken.txt has
// more, with reasons that a test checks):
//
//	                                      Sedge  Bracken
//	net efficiency at 60 and 140 kt, %    66, 90   64, 86   no slipstream on body and wing, and their wake at the disc
//	greatest lift in trim                   1.03     1.41   the foreplane stalls before the wing has used its own lift
//	best L/D                                14.9     16.7   the foreplane bears much lift on a short span
//	climb at sea level, ft/min              1332     1322   the one less the other
//	take-off to 50 ft, m                     545      404   the square of the stalling speed
//	landing from 50 ft, m                    777      677   634 with flaps, which the foreplane cannot hold
//
// Sources: [Anderson] J.D. Anderson, Aircraft Performance and Design, McGraw-Hill 1999. [Raymer] D.P. Raymer, Aircraft Design: A Conceptual Approach, AIAA. [Part23]
// 14 CFR 23 before amendment 64. Equations and numbers are recalled from these.
package perf
