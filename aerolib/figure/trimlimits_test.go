package figure_test

import (
	"fmt"
	"strings"
	"testing"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/figure"
	"foreplane/aerolib/trim"
	"foreplane/aerolib/unit"
)

func speeds() []unit.EquivalentAirspeed {
	var all []unit.EquivalentAirspeed
	for V := 65 * unit.Knot; V < 140*unit.Knot; V += 15 * unit.Knot {
		all = append(all, V)
	}
	return all
}

func TestDeflections(t *testing.T) {
	c, _ := trim.At(6500*unit.Foot, 0)
	one, err := trim.CurveOf(aircraft.Sedge(), c, speeds())
	if err != nil {
		t.Fatal(err)
	}
	f := figure.Deflections(one)
	if _, err := f.SVG(); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"stick aft, as a pilot expects", "licensed engineers decide"} {
		if !strings.Contains(f.Caption, want) {
			t.Errorf("no %q in %q", want, f.Caption)
		}
	}
	if d := f.Data(); len(d.Rows) != len(speeds())+2 || d.Rows[0][0] != "65" || d.Units[1] != "°" {
		t.Errorf("%q", d)
	}
	tail := aircraft.Bracken()
	tail.CG += 0.4
	two, err := trim.CurveOf(tail, c, speeds())
	if err != nil {
		t.Fatal(err)
	}
	if f := figure.Deflections(one, two); f.Err() != nil || !strings.Contains(f.Caption, "Bracken: Slower takes the pitch further trailing edge down: stick forward") {
		t.Errorf("%v %q", f.Err(), f.Caption)
	}
	if figure.Deflections().Err() == nil || figure.Deflections(trim.Curve{}).Err() == nil {
		t.Error("a figure without curves")
	}
}

// TestMomentLimits: the lines of the limits are there for each surface.
func TestMomentLimits(t *testing.T) {
	c, _ := trim.At(0, 90*unit.Knot)
	for _, a := range aircraft.Fleet() {
		r, err := trim.Solve(a, c)
		if err != nil {
			t.Fatal(err)
		}
		f := figure.MomentLimits(r)
		if _, err := f.SVG(); err != nil {
			t.Fatal(err)
		}
		limits := 0
		for _, row := range f.Data().Rows {
			for _, cell := range row {
				if strings.HasPrefix(cell, "section limit of the") {
					limits++
				}
			}
		}
		if limits == 0 || limits > len(a.Lifting()) || !strings.Contains(f.Caption, "static margin") {
			t.Errorf("%s: %d limits, %q", a.Name, limits, f.Caption)
		}
	}
	if figure.MomentLimits(trim.Result{}).Err() == nil {
		t.Error("a figure of nothing")
	}
}

func TestTrimPoints(t *testing.T) {
	c, _ := trim.At(0, 90*unit.Knot)
	a := aircraft.Teasel()
	r, err := trim.Solve(a, c)
	if err != nil {
		t.Fatal(err)
	}
	f := figure.TrimPoints(a, r)
	if _, err := f.SVG(); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"CG 2.", "neutral point 3.", "manoeuvre point 3.", "centre of the wing 3.", "centre of the foreplane 0.", "centre of the tailplane 6."} {
		if !strings.Contains(strings.ReplaceAll(f.Alt, "\u00a0", " "), want) {
			t.Errorf("no %q in %q", want, f.Alt)
		}
	}
	if figure.TrimPoints(a, trim.Result{}).Err() == nil {
		t.Error("a figure of nothing")
	}
}

func ExampleDeflections() {
	c, _ := trim.At(0, 0)
	curve, _ := trim.CurveOf(aircraft.Sedge(), c, []float64{70 * unit.Knot, 120 * unit.Knot})
	fmt.Println(figure.Deflections(curve).Title)
	// Output: Deflection that trims
}

func ExampleMomentLimits() {
	c, _ := trim.At(0, 90*unit.Knot)
	r, _ := trim.Solve(aircraft.Sedge(), c)
	fmt.Println(figure.MomentLimits(r).Title)
	// Output: Pitching moment of Sedge
}

func ExampleTrimPoints() {
	c, _ := trim.At(0, 90*unit.Knot)
	r, _ := trim.Solve(aircraft.Sedge(), c)
	fmt.Println(figure.TrimPoints(aircraft.Sedge(), r).Title)
	// Output: Sedge from three sides
}
