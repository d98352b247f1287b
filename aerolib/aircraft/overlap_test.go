package aircraft_test

import (
	"strings"
	"testing"

	"foreplane/aerolib/aircraft"
)

// TestFinThroughWing: a fin may stand on a wing, hang below it, stand at its tip or between its halves, but not pass through it.
func TestFinThroughWing(t *testing.T) {
	plate := aircraft.Section{Name: "plate", LiftSlope: 6, Thickness: 0.1}
	wing := aircraft.Trapezoid{Name: "wing", Role: aircraft.Wing, Span: 8, RootChord: 2, TipChord: 2, X: 1, Z: 3, Section: plate}.Surface()
	fin := func(x, y, z, height float64) aircraft.Surface {
		return aircraft.Trapezoid{Name: "fin", Role: aircraft.Fin, Span: height, RootChord: 1, TipChord: 1, X: x, Y: y, Z: z, Section: plate}.Surface()
	}
	for _, c := range []struct {
		name   string
		fin    aircraft.Surface
		passes bool
	}{
		{"through the middle of a half", fin(1.5, 2, 2, 2), true},
		{"through its leading edge", fin(0.1, 2, 2, 2), true},
		{"just ahead of it", fin(-0.01, 2, 2, 2), false},
		{"just behind it", fin(3.01, 2, 2, 2), false},
		{"standing on it", fin(1.5, 2, 3, 1), false},
		{"with its foot in it", fin(1.5, 2, 2.91, 1), false},
		{"with its foot below it", fin(1.5, 2, 2.8, 2), true},
		{"hanging below it", fin(1.5, 2, 1, 2), false},
		{"with its head above it", fin(1.5, 2, 1, 2.2), true},
		{"high above it", fin(1.5, 2, 5, 1), false},
		{"across its tip", fin(1.5, 4, 2, 2), false},
		{"just inside its tip", fin(1.5, 3.9, 2, 2), true},
		{"beyond its tip", fin(1.5, 4.5, 2, 2), false},
		{"between its halves", fin(1.5, 0, 2, 2), false},
		{"just beside the plane of symmetry", fin(1.5, 0.06, 2, 2), true},
	} {
		for _, surfaces := range [][]aircraft.Surface{{wing, c.fin}, {c.fin, wing}} {
			a := aircraft.Aircraft{Name: "a", Mass: 1, CG: 1.5, Reference: aircraft.ReferenceOf(wing), Surfaces: surfaces}
			err := a.Validate()
			if (err != nil) != c.passes || err != nil && !strings.Contains(err.Error(), "the fin passes through the wing at x ") {
				t.Errorf("%s: %v", c.name, err)
			}
			if key := map[string]string{"wing": "surfaces[2]", "fin": "surfaces[1]"}[surfaces[0].Name]; err != nil && !strings.Contains(err.Error(), key) {
				t.Errorf("%s: %v, the fin is %s", c.name, err, key)
			}
		}
	}
	raised := wing // by 1 m at the tips: 0.5 m where the fin is
	raised.Stations = []aircraft.Station{wing.Stations[0], wing.Stations[1]}
	raised.Stations[1].Z++
	for _, y := range []float64{2, -2} {
		for z, passes := range map[float64]bool{2.2: true, 2.6: true, 3.5: false, 1.4: false} {
			a := aircraft.Aircraft{Name: "a", Mass: 1, CG: 1.5, Reference: aircraft.ReferenceOf(wing), Surfaces: []aircraft.Surface{raised, fin(1.5, y, z, 2)}}
			a.Surfaces[1].Mirrored = false
			if err := a.Validate(); (err != nil) != passes {
				t.Errorf("from z %v at y %v, the wing at 3.5: %v", z, y, err)
			}
		}
	}
	swept := aircraft.Trapezoid{Name: "fin", Role: aircraft.Fin, Span: 2, RootChord: 1, TipChord: 1, X: 0, Y: 2, Z: 2, Sweep: 0.9, Section: plate}.Surface()
	a := aircraft.Aircraft{Name: "a", Mass: 1, CG: 1.5, Reference: aircraft.ReferenceOf(wing), Surfaces: []aircraft.Surface{wing, swept}}
	if err := a.Validate(); err == nil || !strings.Contains(err.Error(), "at x 1.260 m, y 2.00 m, z 3.00 m") {
		t.Errorf("a swept fin meets the wing at half its height: %v", err)
	}
}

// TestBooms: a body beside the plane of symmetry has an image, and surfaces stand out of both.
func TestBooms(t *testing.T) {
	boom := body(aircraft.BodyStation{Width: 0.4, Height: 0.6}, aircraft.BodyStation{X: 6, Width: 0.4, Height: 0.6})
	boom.Y = 1.5
	near(t, "how many", boom.Count(), 2, 0)
	near(t, "how many in the middle", body().Count(), 1, 0)
	a := aircraft.Sedge()
	a.Bodies = []aircraft.Body{boom}
	again, err := aircraft.Read(strings.NewReader(a.String()))
	if err != nil || again.Bodies[0].Y != 1.5 {
		t.Errorf("%v, y %v", err, again.Bodies)
	}
	fin := aircraft.Trapezoid{Name: "fins", Role: aircraft.TipFin, Span: 1, RootChord: 1, TipChord: 1, X: 3, Y: 1.5}.Surface()
	near(t, "fins on booms", a.ExposedArea(fin), 2*0.7, 1e-9)
	near(t, "fins beside the booms", a.ExposedArea(fin.Moved(0, 0.21, 0)), 2, 1e-12)
	for i := range fin.Stations {
		fin.Stations[i].Y = -1.5
	}
	fin.Mirrored = false
	near(t, "one fin on the image", a.ExposedArea(fin), 0.7, 1e-9)
	wing := aircraft.Trapezoid{Name: "wing", Role: aircraft.Wing, Span: 8, RootChord: 1, TipChord: 1, X: 2}.Surface()
	near(t, "booms further out", a.ExposedArea(wing), 8, 1e-12)
	a.Bodies = append(a.Bodies, body(aircraft.BodyStation{Width: 1, Height: 1}, aircraft.BodyStation{X: 6, Width: 1, Height: 1}))
	near(t, "body and booms", a.ExposedArea(wing), 7, 1e-9)
	a.Bodies[0].Y = -1
	if err := a.Validate(); err == nil || !strings.Contains(err.Error(), "bodies[1].y: body: y of the centre line is -1.000 m") {
		t.Errorf("error %v", err)
	}
}

// TestOnePitchControl: two controls for pitch on one surface are refused, one on each of two are not.
func TestOnePitchControl(t *testing.T) {
	a := aircraft.Sedge()
	flap := aircraft.Control{Name: "trim", Purpose: aircraft.Pitch, From: 0.2, To: 0.4, Chord: 0.2, Min: -0.2, Max: 0.2}
	a.Surfaces[0].Controls = append(a.Surfaces[0].Controls, flap)
	if err := a.Validate(); err != nil {
		t.Errorf("on another surface: %v", err)
	}
	flap.Name = "tab"
	a.Surfaces[1].Controls = append(a.Surfaces[1].Controls, flap)
	want := "surfaces[2].controls[2].purpose: the foreplane has two controls for pitch, pitch and tab: one surface may have one"
	if err := a.Validate(); err == nil || !strings.Contains(err.Error(), want) {
		t.Errorf("error %v", err)
	}
}
