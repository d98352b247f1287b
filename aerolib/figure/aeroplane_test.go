package figure

import (
	"math"
	"slices"
	"strings"
	"testing"

	"foreplane/aerolib/aircraft"
)

// TestAeroplane: bodies, propeller and wheels stand where the description has them, in every view.
func TestAeroplane(t *testing.T) {
	for _, a := range aircraft.Fleet() {
		f := Aeroplane(a, Station{NeutralPoint, "neutral point", a.CG + 0.2})
		svg, err := f.SVG()
		if err != nil || len(svg) == 0 {
			t.Fatal(err)
		}
		if text := f.AltText(); !strings.Contains(text, a.Name) || !strings.Contains(text, "propeller of the engine") || !strings.Contains(text, "main wheels") {
			t.Errorf("text %q", text)
		}
	}
	a := aircraft.Sedge()
	for _, p := range bodyPieces(a.Bodies[0], 0) {
		if got, want := slices.Max(p.y)-slices.Min(p.y), 1.12; !p.views[1] && math.Abs(got-want) > 1e-12 {
			t.Errorf("the body is %v wide", got)
		}
		if got, want := slices.Max(p.z), 0.18+0.60; !p.views[0] && math.Abs(got-want) > 1e-12 {
			t.Errorf("the body is %v high", got)
		}
	}
	for _, p := range discPieces(a.Plants[0]) {
		if slices.Min(p.x) != 4.65 || p.views[2] && math.Abs(slices.Min(p.z)-(0.26-0.85)) > 1e-12 {
			t.Errorf("propeller at %v, down to %v", p.x[0], slices.Min(p.z))
		}
	}
	main := wheelPieces(a.Wheels[1])
	if len(main) != 3 || math.Abs(slices.Min(main[0].z)+0.88) > 1e-12 || main[1].y[0]*main[2].y[0] >= 0 {
		t.Errorf("wheels %+v", main)
	}
	b := a.Clone()
	b.Bodies[0].Y = 1
	f, before := Aeroplane(b), len(Aeroplane(a).shapes)
	if len(f.shapes) != before+3 || len(slices.DeleteFunc(slices.Clone(f.shapes), func(s shape) bool { return s.label != "body" })) != 2 {
		t.Errorf("a body with an image takes %d shapes, one without %d", len(f.shapes), before)
	}
	for _, p := range bodyPieces(b.Bodies[0], -1) {
		if !slices.ContainsFunc(p.y, func(y float64) bool { return y < 0 }) || slices.Max(p.y) > 0 {
			t.Errorf("the image of the body lies at %v", p.y)
		}
	}
	a.Mass = -1
	if _, err := Aeroplane(a).SVG(); err == nil || !strings.Contains(err.Error(), "mass") {
		t.Errorf("error %v", err)
	}
}
