package figure

import (
	"math"
	"strings"
	"testing"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/unit"
)

// canard is an aeroplane with round numbers.
func canard() aircraft.Aircraft {
	section := aircraft.Section{Name: "plate", LiftSlope: 2 * math.Pi, MaxLift: 1.4}
	wing := aircraft.Trapezoid{
		Name: "wing", Role: aircraft.Wing, Span: 8, RootChord: 1.2, TipChord: 0.6, Sweep: math.Atan(0.25), X: 3, Section: section,
	}.Surface()
	return aircraft.Aircraft{
		Name: "Sedge", Mass: 600, CG: 2.5, Reference: aircraft.ReferenceOf(wing),
		Surfaces: []aircraft.Surface{
			wing,
			aircraft.Trapezoid{Name: "foreplane", Role: aircraft.Foreplane, Span: 3, RootChord: 0.6, TipChord: 0.6, X: 0.5, Section: section}.Surface(),
			aircraft.Trapezoid{Name: "fin", Role: aircraft.Fin, Span: 1.2, RootChord: 0.9, TipChord: 0.5, Sweep: 30 * unit.Degree, X: 4.4, Section: section}.Surface(),
		},
	}
}

// TestPlanform holds the drawing to scale and every corner of the wing where geometry puts it.
func TestPlanform(t *testing.T) {
	f := Planform(canard(), Station{NeutralPoint, "neutral point", 2.75})
	s, err := f.layout()
	if err != nil {
		t.Fatal(err)
	}
	across, along := s.pixel(1, 3).X-s.pixel(0, 3).X, s.pixel(0, 3).Y-s.pixel(0, 4).Y
	if across <= 0 || math.Abs(float64(along/across)-1) > 1e-9 {
		t.Errorf("a metre is %.2f px to starboard and %.2f px aft", across, along)
	}
	wing := f.shapes[0]
	for i, want := range [][2]float64{{-4, 4}, {0, 3}, {4, 4}, {4, 4.6}, {0, 4.2}, {-4, 4.6}} {
		if math.Abs(wing.x[i]-want[0]) > 1e-12 || math.Abs(wing.y[i]-want[1]) > 1e-12 {
			t.Errorf("corner %d of the wing is at (%g, %g), want %v", i, wing.x[i], wing.y[i], want)
		}
	}
	for _, x := range f.shapes[2].x {
		if x != 0 {
			t.Error("the fin is not in the plane of symmetry")
		}
	}
	if text := strings.ReplaceAll(f.AltText(), noBreakSpace, " "); !strings.Contains(text, "neutral point 2.75 m (−74 % of MAC)") || !strings.Contains(text, "nose up") {
		t.Errorf("text %q", text)
	}
}

func TestPlanformRefusesIncomplete(t *testing.T) {
	a := canard()
	a.Surfaces[0].Stations[1].Y = math.NaN()
	if _, err := Planform(a).SVG(); err == nil || !strings.Contains(err.Error(), "station 2 of the wing: y is NaN m") {
		t.Errorf("error %v", err)
	}
}
