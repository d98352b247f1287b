// Package trim balances an aeroplane with several lifting surfaces in straight, level flight, and finds its neutral point.
//
// [Solve] takes an aircraft and a [Condition] and returns a [Result]: angle of attack, deflection of the control, and for every surface its lift, its share,
// the wash it sees and its moment. [Derive] returns the linear model behind it as [Derivatives]; [FindNeutralPoint] returns the [NeutralPoint] part by part.
//
//	c, err := trim.At(6500*unit.Foot, 110*unit.Knot)
//	r, err := trim.Solve(aircraft.Sedge(), c)
//	fmt.Println(r) // a table
//
// The method is closed form. Each surface has the lift slope of its aspect ratio and sweep ([LiftSlope]) and acts at the quarter point of its mean chord. It
// stands in the wash of every other one, taken from an elliptic span loading: downwash inside the span of the generating surface, upwash outside
// ([FarWash]), grown with distance as behind a lifting line and reversed ahead of it ([DistanceFactor]), averaged over the receiving area in closed form. What
// is uneven in wash or twist along a swept surface makes a couple.
//
// The control that trims is the one for pitch: a whole surface that turns, or a hinged part of it with the effectiveness of thin-aerofoil theory
// ([aircraft.Surface.Effect]).
//
// It is linear and holds before the stall, for surfaces of aspect ratio above about 3 with a chord or more of stagger, and wakes along the x axis; Mach
// number enters by the rule of Prandtl and Glauert and holds to about 0.7. Bodies, propellers, drag and the height of forces are left out. So no result is
// for CG limits, and every result says so.
//
// Against a vortex lattice of the bare surfaces (cases T10, T12, T13 of testdata) the closed form has:
//
//	                    neutral point    CLα     δ in trim   share of CL on the smaller surface
//	foreplane layout    +1.4 % chord    +4.5 %    +0.1°       +0.4 %
//	equal tandem        +3.3 % chord    +6.9 %    +0.1°
//	tail aft            −0.5 % chord    +3.7 %    −0.3°       −0.2 %
//
// Sources: [Anderson] J.D. Anderson, Aircraft Performance and Design, McGraw-Hill 1999. [Etkin] B. Etkin & L.D. Reid, Dynamics of Flight: Stability and
// Control, 3rd ed., Wiley 1996. [Glauert] H. Glauert, The Elements of Aerofoil and Airscrew Theory, Cambridge 1926 (recalled).
package trim
