package figure

import (
	"math"
	"slices"
	"strings"
	"testing"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/trim"
	"foreplane/aerolib/unit"
)

// result is a made-up result of trim at a speed in kt.
func result(name string, knots, deflection, alpha float64, loads ...trim.Load) trim.Result {
	return trim.Result{
		Aircraft: name, Condition: trim.Condition{Speed: knots * unit.Knot}, Deflection: deflection, Alpha: alpha, Loads: loads, Stable: true,
		CG: 3.25, Neutral: trim.Neutral{X: 3.5, StaticMargin: 0.25},
		Model: trim.Derivatives{CL0: 0.1, CLAlpha: 5, CLDelta: 1, Cm0: 0.02, CmAlpha: -1.25, CmDelta: 0.5},
	}
}

var (
	wingLoad      = trim.Load{Name: "wing", Role: aircraft.Wing, Share: 0.75}
	foreplaneLoad = trim.Load{Name: "foreplane", Role: aircraft.Foreplane, Share: 0.25}
	bigWingLoad   = trim.Load{Name: "wing", Role: aircraft.Wing, Share: 1.04}
	tailLoad      = trim.Load{Name: "tailplane", Role: aircraft.Tailplane, Share: -0.04}
)

// TestTrimCurves holds the results of each aeroplane together, by rising speed, in knots and degrees.
func TestTrimCurves(t *testing.T) {
	one := TrimCurves(result("Sedge", 120, 0, 0.02, wingLoad), result("Sedge", 60, 0.1, 0.2, wingLoad))
	if one.Title != "Trim of Sedge" || one.series[0].label != "deflection δ" {
		t.Errorf("title %q, first curve %q", one.Title, one.series[0].label)
	}
	if row := one.Data().Rows[0]; !slices.Equal(row, []string{"60", "5.7296", "11.459"}) {
		t.Errorf("first row %q, want 60 kt, 0.1 and 0.2 radians in degrees", row)
	}
	bad := result("Bracken", 90, -0.1, 0.1, wingLoad)
	bad.Stable = false
	both := TrimCurves(result("Sedge", 60, 0.1, 0.2, wingLoad), bad)
	if both.Title != "Trim of Sedge and Bracken" || len(both.series) != 4 || both.series[3].label != "Bracken α" {
		t.Errorf("title %q, %d series, last %q", both.Title, len(both.series), both.series[3].label)
	}
	if !strings.HasPrefix(both.Caption, "Bracken is unstable") || !strings.Contains(both.Caption, "flight manual") {
		t.Errorf("caption %q", both.Caption)
	}
}

// TestMoments holds lines to the linear model, with slope −h, and their trimmed points to no moment:
// Cm = 0 at α = (0.02 + 0.5 δ)/1.25, where CL = 0.1 + 5 α + δ.
func TestMoments(t *testing.T) {
	f := Moments(result("Sedge", 90, 0, 0, wingLoad), []float64{-0.1, 0.2}, []float64{0, 0.1})
	if err := f.Err(); err != nil {
		t.Fatal(err)
	}
	line := f.series[1]
	if slope := (line.y[1] - line.y[0]) / (line.x[1] - line.x[0]); math.Abs(slope+0.25) > 1e-12 || line.label != "δ = 5.73°" {
		t.Errorf("%s has slope %g, want −0.25", line.label, slope)
	}
	trimmed := f.series[2]
	for i, want := range []float64{0.1 + 5*0.016, 0.1 + 5*0.056 + 0.1} {
		if math.Abs(trimmed.x[i]-want) > 1e-12 || trimmed.y[i] != 0 {
			t.Errorf("trimmed point %d at (%g, %g), want CL = %g", i, trimmed.x[i], trimmed.y[i], want)
		}
	}
	if want := "CG 3.25 m, neutral point 3.50 m, static margin 25.0 % of MAC. Not for CG limits."; !strings.HasPrefix(
		strings.ReplaceAll(f.Caption, noBreakSpace, " "), want) {
		t.Errorf("caption %q", f.Caption)
	}
	if out := Moments(result("Sedge", 90, 0, 0, wingLoad), []float64{0.1, 0.2}, []float64{0}); len(out.series) != 1 {
		t.Error("a trimmed point is marked outside the angles of attack")
	}
}

// TestLiftShares holds bars to the shares, with the download at the left and the wing first.
func TestLiftShares(t *testing.T) {
	f := LiftShares(result("Sedge", 95, 0, 0, foreplaneLoad, wingLoad), result("Bracken", 95, 0, 0, bigWingLoad, tailLoad))
	want := [][]string{{"Sedge", "75", "25", ""}, {"Bracken", "104", "", "−4"}}
	if d := f.Data(); !slices.EqualFunc(d.Rows, want, slices.Equal) || !slices.Equal(d.Header[1:], []string{"wing", "foreplane", "tailplane"}) {
		t.Errorf("table %v", d)
	}
	tail := f.shapes[3]
	if tail.label != "tailplane" || slices.Min(tail.x) >= 0 || slices.Max(tail.x) != 0 {
		t.Errorf("the download is drawn from %g to %g", slices.Min(tail.x), slices.Max(tail.x))
	}
	forward := result("Sedge", 95, 0, 0, wingLoad)
	forward.CG = 3.1
	names := LiftShares(result("Sedge", 95, 0, 0, wingLoad), forward).Y.names
	if got := strings.ReplaceAll(strings.Join(names, "; "), noBreakSpace, " "); got != "Sedge, CG 3.25 m; Sedge, CG 3.10 m" {
		t.Errorf("bars called %q", got)
	}
}

func TestTrimFiguresRefuse(t *testing.T) {
	good := result("Sedge", 90, 0, 0, wingLoad)
	for want, f := range map[string]*Figure{
		"no results of trim":                   TrimCurves(),
		"result 1 is empty":                    TrimCurves(good, trim.Result{}),
		"LiftShares \"\": result 0 is empty":   LiftShares(trim.Result{}),
		"no names of bars":                     LiftShares(),
		"result 0 is empty":                    Moments(trim.Result{}, []float64{0, 1}, []float64{0}),
		"1 angles of attack and 1 deflections": Moments(good, []float64{0}, []float64{0}),
		"2 angles of attack and 0 deflections": Moments(good, []float64{0, 1}, nil),
	} {
		if _, err := f.SVG(); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("error %v, want %q", err, want)
		}
	}
}
