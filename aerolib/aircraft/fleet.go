package aircraft

import "foreplane/aerolib/unit"

// Section data of the fleet are common practice for light aircraft: slopes somewhat below 2π, and lower maximum lift on the short chords of foreplane and
// tailplane, whose Reynolds number is below a million near the stall.
var (
	wingSection      = Section{LiftSlope: 6.1, ZeroLift: -2.5 * unit.Degree, Moment: -0.05, MaxLift: 1.50}
	sweptSection     = Section{LiftSlope: 6.1, ZeroLift: -2 * unit.Degree, Moment: -0.03, MaxLift: 1.45} // less camber: its nose-down moment loads the foreplane
	foreplaneSection = Section{LiftSlope: 6.0, ZeroLift: -4 * unit.Degree, Moment: -0.08, MaxLift: 1.35}
	tailSection      = Section{LiftSlope: 6.0, MaxLift: 1.10} // symmetrical
	finSection       = Section{LiftSlope: 6.0, MaxLift: 1.10}
)

// Sedge returns an invented two-seat aeroplane with a foreplane and a pusher propeller: swept wing with tip fins, all-moving foreplane. Mass, power, wing
// span, wing area and total area are those of [Bracken].
func Sedge() Aircraft {
	wing := Surface{
		Name: "wing", Role: Wing, Span: 9.00, RootChord: 1.40, TipChord: 0.70, Sweep: 22 * unit.Degree, X: 3.20,
		Incidence: 1.0 * unit.Degree, Twist: -1.5 * unit.Degree, Section: sweptSection,
	}
	foreplane := Surface{
		Name: "foreplane", Role: Foreplane, Span: 4.10, RootChord: 0.55, TipChord: 0.45, Sweep: 3 * unit.Degree, X: 0.40, Z: 0.20,
		Incidence: 0.5 * unit.Degree, Section: foreplaneSection,
		Control: Control{AllMoving: true, Min: -10 * unit.Degree, Max: 12 * unit.Degree},
	}
	fins := Surface{
		Name: "tip fins", Role: Fin, Span: 1.05, RootChord: 0.65, TipChord: 0.40, Sweep: 30 * unit.Degree, X: 5.02, Y: 4.50, Section: finSection,
	}
	return Aircraft{
		Name: "Sedge", Surfaces: []Surface{wing, foreplane, fins}, Mass: 700, CG: 3.38, Power: 85 * unit.Kilowatt, Reference: ReferenceOf(wing),
	}
}

// Bracken returns an invented two-seat aeroplane with its tailplane behind and a tractor propeller: straight low wing, all-moving tailplane. Mass, power, wing
// span, wing area and total area are those of [Sedge].
func Bracken() Aircraft {
	wing := Surface{
		Name: "wing", Role: Wing, Span: 9.00, RootChord: 1.20, TipChord: 0.90, Sweep: 2 * unit.Degree, X: 1.95,
		Dihedral: 5 * unit.Degree, Incidence: 1.5 * unit.Degree, Twist: -2.0 * unit.Degree, Section: wingSection,
	}
	tailplane := Surface{
		Name: "tailplane", Role: Tailplane, Span: 3.28, RootChord: 0.70, TipChord: 0.55, Sweep: 5 * unit.Degree, X: 5.30, Z: 0.45,
		Section: tailSection, Control: Control{AllMoving: true, Min: -14 * unit.Degree, Max: 8 * unit.Degree},
	}
	fin := Surface{
		Name: "fin", Role: Fin, Span: 1.15, RootChord: 0.85, TipChord: 0.45, Sweep: 35 * unit.Degree, X: 5.35, Z: 0.40, Section: finSection,
	}
	return Aircraft{
		Name: "Bracken", Surfaces: []Surface{wing, tailplane, fin}, Mass: 700, CG: 2.40, Power: 85 * unit.Kilowatt, Reference: ReferenceOf(wing),
	}
}
