// Package trim balances an aeroplane with several lifting surfaces, and finds its neutral point, the limits of its CG, and which surface stalls first.
//
// [Solve] takes an aircraft and a [Condition] (air, speed or CL, manoeuvre, flaps, thrust, ground) and returns a [Result]: angle of attack, deflection of the control, for
// every surface a [Load] with its lift, its share, the wash it sees, its moment and its [Critical] strip, the [Drag], the linear model as [Derivatives], the [Neutral] point
// part by part and what a [Pull] takes. [SolveLattice], or a [Lattice] for many conditions, returns the same by a vortex lattice; [SideBySide] returns both as [Methods],
// with the causes of their difference. [CurveOf] is trim over speed as a [Curve].
//
//	c, err := trim.At(6500*unit.Foot, 110*unit.Knot)
//	r, err := trim.Solve(aircraft.Sedge(), c)
//	fmt.Println(r) // a table
//
// Beyond a single trim: [FindStall] and [FindSequence] say which surface stalls first ([StallModel], [SequenceModel] for many conditions) and [FindDirtEffect] what rain and insects
// change, [FindUnstick] when the nose rises in the take-off run, [FindLimits] where the CG may be ([LimitModel] for a [LimitChart] against mass), [FindYaw] what the fins do, and [Compare] which layout
// does better on a stated [Basis], with the reasons. [Optimise] runs a [Study] of a foreplane for drag and stall speed.
//
// # Methods
//
// Both methods share mechanics and no aerodynamics of the surfaces: a test holds that neither calls the other. They share the apparent mass of bodies, the normal force of
// propellers (package prop), and drag besides induced (package drag).
//
// In the closed form each surface has the lift slope of its aspect ratio and sweep ([LiftSlope]) and acts at the quarter point of its mean chord; a pitch rate counts at
// three quarters of it, and bends its flow. It stands in the wash of every other one, taken from an elliptic span loading: downwash inside the span of the generating surface,
// upwash outside ([FarWash]), grown with distance as behind a lifting line and reversed ahead of it ([DistanceFactor]), averaged over the receiving area in closed form. What
// is uneven in wash or twist along a swept surface makes a couple. The ground is an image of each surface; induced drag is Prandtl's and Munk's sum.
//
// The control that trims is the one for pitch: a whole surface that turns, or a hinged part of it with the effectiveness of thin-aerofoil theory
// ([aircraft.Surface.Effect]).
//
// A body has the moment of Munk's apparent masses ([MunkMoment]), slice by slice in the direction that the surfaces give the stream there, and none along the chords that it
// carries ([Multhopp]). A propeller has the normal force of its disc in the mean wash. Thrust acts along its line; at constant power it falls with speed, which moves the neutral
// point ([Neutral]), though not that at one speed ([Derivatives.NeutralPoint]) nor the manoeuvre point.
//
// # Limits
//
// The closed form is linear and holds before the stall, for surfaces of aspect ratio above about 3 with a chord or more of stagger, and wakes along the x axis; Mach
// number enters by the rule of Prandtl and Glauert and holds to about 0.7. Slipstream on surfaces, the lift of bodies, the height at which drag acts, hinge moments and stick-free
// stability are not in it. A neutral point from which bodies, propeller or thrust line are left out says that it is not for CG limits.
//
// The first stall is that of the critical section: sections stall each by itself, at the greatest lift of plane flow along the stream, without boundary layers that flow
// outwards; strips inside bodies do not count, and plain flaps have effectiveness and gain by common practice. Lattices are solved for wakes every 3° and interpolated, without
// Mach number. Beyond the first stall nothing is predicted.
//
// Against a vortex lattice of the bare surfaces (cases T10, T12, T13 of testdata) the closed form has:
//
//	                    neutral point    CLα     δ in trim   share of CL on the smaller surface
//	foreplane layout    +1.4 % chord    +4.5 %    +0.1°       +0.4 %
//	equal tandem        +3.3 % chord    +6.9 %    +0.1°
//	tail aft            −0.5 % chord    +3.7 %    −0.3°       −0.2 %
//
// For the four aeroplanes of the fleet the gap of both methods stands in testdata/gap-fleet.txt.
//
// Sources: [Anderson] J.D. Anderson, Aircraft Performance and Design, McGraw-Hill 1999. [Etkin] B. Etkin & L.D. Reid, Dynamics of Flight: Stability and
// Control, 3rd ed., Wiley 1996. [Glauert] H. Glauert, The Elements of Aerofoil and Airscrew Theory, Cambridge 1926 (recalled). [Munk] M.M. Munk, The Aerodynamic Forces on
// Airship Hulls, NACA Report 184, 1924 (recalled). [Multhopp] H. Multhopp, Aerodynamics of the Fuselage, NACA TM 1036, 1942 (recalled). [Perkins] C.D. Perkins & R.E. Hage,
// Airplane Performance, Stability and Control, Wiley 1949 (recalled).
package trim
