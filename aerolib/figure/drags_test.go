package figure

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/drag"
	"foreplane/aerolib/unit"
)

// straw is a polar of round numbers.
func straw(t testing.TB, name string) drag.Polar {
	t.Helper()
	var points []drag.Point
	for cl := -0.2; cl < 1.3; cl += 0.1 {
		points = append(points, drag.Point{CL: cl, CD: 0.02 + 0.05*cl*cl, Profile: 0.01 * cl * cl, Induced: 0.04 * cl * cl})
	}
	p, err := drag.NewPolar(name, 9, points)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func breakdown(t testing.TB, a aircraft.Aircraft, cl float64) drag.Breakdown {
	t.Helper()
	f, err := drag.At(6500*unit.Foot, 110*unit.Knot)
	if err != nil {
		t.Fatal(err)
	}
	b, err := drag.Build(a, f, drag.Options{Surfaces: drag.Raymer})
	if err != nil {
		t.Fatal(err)
	}
	whole, err := drag.Of(b, []drag.Load{{Surface: "wing", CL: cl}}, drag.Induced{CL: cl, CD: 0.01, Parts: []drag.Share{{Name: "wing", CD: 0.012}, {Name: b.Items[1].Name, CD: -0.002}}})
	if err != nil {
		t.Fatal(err)
	}
	return whole
}

func TestAeroplanePolars(t *testing.T) {
	f := Polars(straw(t, "trimmed"), straw(t, "untrimmed"))
	if f.Err() != nil || len(f.series) != 2 || f.series[1].label != "untrimmed" || f.series[0].x[0] != -0.2 || math.Abs(f.series[0].y[0]-0.022) > 1e-12 {
		t.Errorf("error %v, series %+v", f.Err(), f.series)
	}
	if err := Polars().Err(); err == nil {
		t.Error("no polars are no error")
	}
	parts := PolarParts(straw(t, "Straw"))
	if len(parts.series) != 3 {
		t.Fatalf("%d series: %v", len(parts.series), parts.Err())
	}
	for i, s := range parts.series { // bands lie upon each other up to the whole
		for k := range s.x {
			low, high := [...]float64{0, 0.02, 0.02 + 0.01*s.x[k]*s.x[k]}[i], [...]float64{0.02, 0.02 + 0.01*s.x[k]*s.x[k], 0.02 + 0.05*s.x[k]*s.x[k]}[i]
			if math.Abs(s.low[k]-low)+math.Abs(s.y[k]-high) > 1e-12 {
				t.Errorf("%s at %g from %g to %g, want %g to %g", s.label, s.x[k], s.low[k], s.y[k], low, high)
			}
		}
	}
}

// TestDragBars: bars are as long as the whole drag.
func TestDragBars(t *testing.T) {
	a, b := breakdown(t, aircraft.Sedge(), 0.4), breakdown(t, aircraft.Bracken(), 0.5)
	for _, f := range []*Figure{DragShares(a, b), DragParts(a)} {
		if _, err := f.SVG(); err != nil {
			t.Fatal(err)
		}
		if text := f.AltText(); !strings.Contains(text, "counts") || !strings.Contains(text, "flight manual") {
			t.Errorf("text %q", text)
		}
	}
	lengths := map[int]float64{}
	for _, s := range DragShares(a, b).shapes {
		lengths[s.bar] += s.value
	}
	if math.Abs(lengths[0]-a.CD)+math.Abs(lengths[1]-b.CD) > 1e-12 {
		t.Errorf("bars of %v, drag %g and %g", lengths, a.CD, b.CD)
	}
	sum, wing := 0.0, 0.0
	f := DragParts(a)
	for _, s := range f.shapes {
		sum += s.value
		if f.Y.names[s.bar] == "wing" {
			wing += s.value
		}
	}
	if math.Abs(sum-a.CD) > 1e-12 || math.Abs(wing-a.By()[0].CD) > 1e-12 {
		t.Errorf("parts of %g, of the wing %g, drag %g", sum, wing, a.CD)
	}
	again := DragShares(a, breakdown(t, aircraft.Sedge(), 0.8))
	if again.Y.names[0] != "Sedge, C_L 0.40" || again.Y.names[1] != "Sedge, C_L 0.80" {
		t.Errorf("names %q", again.Y.names)
	}
}

func ExamplePolars() {
	f, _ := drag.At(6500*unit.Foot, 110*unit.Knot)
	p, err := drag.Untrimmed(aircraft.Bracken(), f, drag.Options{Surfaces: drag.Raymer}, drag.Sweep{})
	if err != nil {
		panic(err)
	}
	fmt.Println(len(Polars(p).Data().Rows), "points")
	// Output: 15 points
}

func ExamplePolarParts() {
	p, _ := drag.NewPolar("Straw", 9, []drag.Point{{CL: 0, CD: 0.02}, {CL: 0.5, CD: 0.03, Induced: 0.009}, {CL: 1, CD: 0.06, Induced: 0.036}})
	fmt.Println(PolarParts(p).Title)
	// Output: What drag is made of: Straw
}

// exampleBreakdown is Bracken with the load of its wing alone.
func exampleBreakdown() drag.Breakdown {
	f, _ := drag.At(6500*unit.Foot, 110*unit.Knot)
	b, _ := drag.Build(aircraft.Bracken(), f, drag.Options{Surfaces: drag.Raymer})
	whole, _ := drag.Of(b, []drag.Load{{Surface: "wing", CL: 0.45}}, drag.Induced{CL: 0.45, CD: 0.0074})
	return whole
}

func ExampleDragShares() {
	fmt.Println(DragShares(exampleBreakdown()).Data().Header)
	// Output: [ surfaces bodies gear cooling, protuberances profile, by lift induced]
}

func ExampleDragParts() {
	fmt.Println(DragParts(exampleBreakdown()).Data().Header)
	// Output: [ without lift profile, by lift induced]
}
