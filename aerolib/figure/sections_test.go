package figure

import (
	"math"
	"slices"
	"strings"
	"testing"

	"foreplane/aerolib/section"
	"foreplane/aerolib/unit"
)

// flowOf is the flow about a section with a thick trailing edge.
func flowOf(t *testing.T, name string) *section.Flow {
	t.Helper()
	naca, err := section.NACA(name)
	if err != nil {
		t.Fatal(err)
	}
	c, err := naca.Contour()
	if err != nil {
		t.Fatal(err)
	}
	f, err := section.Panels(c)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func pressuresAt(t *testing.T, f *section.Flow, alpha unit.Angle) section.Pressures {
	t.Helper()
	p, err := f.At(alpha)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// TestSection holds the outline to scale, and its measures in the caption: those along z, by which the greatest camber lies a little aft.
func TestSection(t *testing.T) {
	f := Section(flowOf(t, "2412").Contour)
	s, err := f.layout()
	if err != nil {
		t.Fatal(err)
	}
	along, up := s.pixel(1, 0).X-s.pixel(0, 0).X, s.pixel(0, 1).Y-s.pixel(0, 0).Y
	if math.Abs(float64(along/up)-1) > 1e-9 {
		t.Errorf("a chord is %g px along and %g px up", along, up)
	}
	text := strings.ReplaceAll(f.AltText(), noBreakSpace, " ")
	for _, want := range []string{"Thickness 12.0 % at 30 %", "camber 2.0 % at 41 %", "nose radius 1.6", "trailing edge 0.25 %"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not in %q", want, text)
		}
	}
	if Section(section.Contour{Name: "none"}).Err() == nil {
		t.Error("a contour without points is drawn")
	}
}

// TestPressures holds suction to point up, the surfaces to be told apart at the nose, and the section below them to scale, upright, and in no table.
func TestPressures(t *testing.T) {
	flow := flowOf(t, "2412")
	f := Pressures("NACA 2412", pressuresAt(t, flow, 6*unit.Degree))
	s, err := f.layout()
	if err != nil {
		t.Fatal(err)
	}
	if s.pixel(0, -1).Y <= s.pixel(0, 1).Y {
		t.Error("suction points down")
	}
	upper, lower := f.series[0], f.series[1]
	if upper.label != "upper surface" || slices.Min(upper.y) > slices.Min(lower.y) || slices.Min(upper.x) != lower.x[0] {
		t.Errorf("surfaces: least pressures %g and %g", slices.Min(upper.y), slices.Min(lower.y))
	}
	outline := s.shapes[0]
	var low, high float64 = math.Inf(1), 0
	for i := range outline.x {
		y := float64(s.pixel(outline.x[i], outline.y[i]).Y)
		low, high = min(low, y), max(high, y)
	}
	chord := float64(s.pixel(1, 0).X - s.pixel(0, 0).X)
	if thickness := (high - low) / chord; math.Abs(thickness/0.12-1) > 0.12 {
		t.Errorf("the section is drawn %g chords thick", thickness)
	}
	if i := len(outline.x) / 4; outline.y[i] >= outline.y[len(outline.y)-1-i] {
		t.Error("the section lies on its back")
	}
	if slices.Min(outline.y) <= slices.Max(lower.y) {
		t.Error("the section covers the curves")
	}
	if rows := len(f.Data().Rows); rows != len(upper.x)+len(lower.x) {
		t.Errorf("%d rows for %d values", rows, len(upper.x)+len(lower.x))
	}
	if strings.Contains(f.AltText(), "outline") {
		t.Errorf("text %q", f.AltText())
	}
	three := Pressures("NACA 2412", pressuresAt(t, flow, 0), pressuresAt(t, flow, 0.05), pressuresAt(t, flow, 0.1))
	if three.Err() != nil || len(three.series) != 3 || len(three.Data().Header) != 4 {
		t.Errorf("three angles: %v, %d series, header %q", three.Err(), len(three.series), three.Data().Header)
	}
	for _, bad := range []*Figure{Pressures("none"), Pressures("empty", section.Pressures{})} {
		if bad.Err() == nil {
			t.Errorf("%s is drawn", bad.Title)
		}
	}
}

// measured is an invented polar.
func measured(t *testing.T) section.Polar {
	t.Helper()
	at := func(alpha, cl, cd, cm float64) section.Sample {
		return section.Sample{Alpha: alpha * unit.Degree, CL: cl, CD: cd, CM: cm}
	}
	p, err := section.NewPolar("tunnel", 3e6, []section.Sample{at(-10, -0.9, 0.02, -0.04), at(0, 0.2, 0.006, -0.05), at(10, 1.2, 0.013, -0.05), at(30, 0.9, 0.4, -0.1)})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// TestPolars holds each figure to its two quantities, and what is beyond the stall to be told apart or left out.
func TestPolars(t *testing.T) {
	p := measured(t)
	extended, err := p.Extended()
	if err != nil {
		t.Fatal(err)
	}
	samples := p.Samples()
	for what, c := range map[string]struct {
		f    *Figure
		x, y float64
	}{
		"lift":   {LiftCurves(p), samples[2].Alpha, samples[2].CL},
		"drag":   {DragPolars(extended), samples[2].CD, samples[2].CL},
		"moment": {MomentCurves(extended), samples[2].CL, samples[2].CM},
	} {
		if len(c.f.series) != 1 || c.f.series[0].x[2] != c.x || c.f.series[0].y[2] != c.y || len(c.f.series[0].x) != 4 {
			t.Errorf("%s: %+v", what, c.f.series)
		}
		if !strings.Contains(c.f.Caption, "licensed engineers decide") {
			t.Errorf("%s: caption %q", what, c.f.Caption)
		}
	}
	f := LiftCurves(extended)
	if len(f.series) != 3 || f.series[1].label != f.series[2].label || !strings.Contains(f.series[1].label, "beyond stall") {
		t.Fatalf("%d series", len(f.series))
	}
	below, above := f.series[1].x, f.series[2].x
	if below[len(below)-1] != samples[0].Alpha || above[0] != samples[3].Alpha || above[len(above)-1] < 1.57 {
		t.Errorf("beyond the stall from %g and %g to %g", below[len(below)-1], above[0], above[len(above)-1])
	}
	if LiftCurves().Err() == nil {
		t.Error("no polars are drawn")
	}
}

// TestResiduals holds the differences to be data minus model, drag a hundredfold, and samples without a model to be counted.
func TestResiduals(t *testing.T) {
	p := measured(t)
	model, err := section.NewPolar("model", 2e6, []section.Sample{{Alpha: -0.2, CL: -1, CD: 0.01, CM: -0.05}, {Alpha: 0.2, CL: 1, CD: 0.01, CM: -0.05}})
	if err != nil {
		t.Fatal(err)
	}
	f := Residuals(p, model)
	for i, want := range []float64{0.2, -0.4, 0} { // at 0°
		if got := f.series[i].y[1]; math.Abs(got-want) > 1e-12 {
			t.Errorf("%s is %g, want %g", f.series[i].label, got, want)
		}
	}
	if text := strings.ReplaceAll(f.Caption, noBreakSpace, " "); !strings.Contains(text, "not computed: 1") || !strings.Contains(text, "Re 3·10^6 and Re 2·10^6") {
		t.Errorf("caption %q", text)
	}
	if _, err := f.SVG(); err != nil {
		t.Error(err)
	}
}
