package trim

import (
	"fmt"
	"math"
	"testing"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/unit"
)

// TestFleetYaw: fins hold the bodies of the fleet with what light aeroplanes have (common practice: 0.05 to 0.1 with the body).
func TestFleetYaw(t *testing.T) {
	for _, a := range aircraft.Fleet() {
		y := need[Yaw](t)(FindYaw(a))
		t.Logf("%-8s Cnβ %.3f, of bodies %.3f", a.Name, y.Sum, y.Bodies)
		if y.Sum < 0.05 || y.Sum > 0.1 {
			t.Errorf("%s: Cnβ %.3f, bodies %.3f, fins %+v", a.Name, y.Sum, y.Bodies, y.Fins)
		}
	}
}

// TestYaw holds the formula against numbers by hand, and what must follow from it: arms count from the CG, pairs and images count twice, a fin ahead of the CG destabilises.
func TestYaw(t *testing.T) {
	section := aircraft.Section{Name: "s", LiftSlope: 2 * math.Pi, Thickness: 0.1}
	wing := aircraft.Trapezoid{Name: "wing", Role: aircraft.Wing, Span: 10, RootChord: 1, TipChord: 1, X: 2, Z: -0.5, Section: section}.Surface()
	fin := aircraft.Trapezoid{Name: "fin", Role: aircraft.Fin, Span: 1.5, RootChord: 1, TipChord: 1, X: 5.75, Section: section}.Surface()
	a := aircraft.Aircraft{Name: "a", Mass: 600, CG: 2.5, Surfaces: []aircraft.Surface{wing, fin}, Reference: aircraft.ReferenceOf(wing)}
	yaw := func() Yaw { t.Helper(); return need[Yaw](t)(FindYaw(a)) }
	near := func(what string, got, want float64) {
		t.Helper()
		if math.Abs(got-want) > 1e-9*math.Abs(want) {
			t.Errorf("%s: %.12g, must be %.12g", what, got, want)
		}
	}
	slope := need[unit.PerRadian](t)(LiftSlope(2*math.Pi, 2.25, 0, 0))
	y := yaw()
	factor := 0.724 + 3.06*(1.5/10)/2 + 0.009*10
	near("fin", y.Sum, factor*slope*1.5*3.5/100)
	near("its factor", y.Fins[0].Factor, factor)
	a.Bodies = []aircraft.Body{{Name: "body", Stations: []aircraft.BodyStation{{Width: 1, Height: 2}, {X: 6, Width: 1, Height: 2}}}}
	y = yaw()
	near("body", y.Bodies, -1.3*(math.Pi/4*2*6)/100*2)
	near("low wing", y.Fins[0].Factor, factor+0.4*0.5/2)
	a.Bodies[0].Stations[0].Height, a.Bodies[0].Stations[1] = 1, aircraft.BodyStation{X: 5, Width: 1, Height: 3}
	near("depth at the middle of the root", yaw().Fins[0].Factor, factor+0.4*0.5/2)
	a.Bodies[0].Stations = []aircraft.BodyStation{{Width: 1, Height: 2}, {X: 6, Width: 1, Height: 2}}
	a.Bodies[0].Y = 3
	near("two of them", yaw().Bodies, -2*1.3*(math.Pi/4*2*6)/100*2)
	near("no body at the root", yaw().Fins[0].Factor, factor)
	a.Bodies = nil
	a.Surfaces[1] = aircraft.Trapezoid{Name: "fin", Role: aircraft.TipFin, Span: 1.5, RootChord: 1, TipChord: 1, X: 5.75, Y: 5, Section: section}.Surface()
	a.CG = 6.5
	y = yaw()
	near("pair ahead of the CG", y.Sum, -slope*3*0.5/100)
	near("area of the pair", y.FinArea, 3)
	a.Mass = -1
	if _, err := FindYaw(a); err == nil {
		t.Error("an aeroplane without mass passed")
	}
}

func ExampleFindYaw() {
	y, err := FindYaw(aircraft.Sedge())
	fmt.Printf("Cnβ %.3f: fins of %.2f m² at %.2f m give %.3f, the body takes %.3f %v\n", y.Sum, y.FinArea, y.Fins[0].Arm, y.Fins[0].Cn, y.Bodies, err)
	// Output: Cnβ 0.062: fins of 1.39 m² at 2.11 m give 0.110, the body takes -0.048 <nil>
}
