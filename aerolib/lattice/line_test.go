package lattice

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"foreplane/aerolib/internal/reference"
	"foreplane/aerolib/unit"
)

// trapezoidLine is a tapered wing of unit mean chord; a taper of 0 is a chord that vanishes only at the very tip.
func trapezoidLine(aspect, taper float64) Line {
	root := 2 / (1 + taper)
	return Line{Span: aspect, Chord: Tapered(root, taper*root), Terms: 400}
}

// glauert returns τ and δ of a line whose sections have the slope a0.
func glauert(t *testing.T, l Line, a0 float64) (tau, delta float64) {
	r := need[LineResult](t)(l.Solve(0.1))
	return math.Pi*r.AspectRatio*(1/r.Slope-1/a0) - 1, 1/r.SpanEfficiency - 1
}

func TestLine(t *testing.T) {
	reference.Check(t, "W1", 0, func(in reference.Inputs) reference.Values {
		b := math.Pi / 4 * in.Get("AR") // of unit root chord
		l := Line{Span: b, Chord: Elliptic(1), Slope: Constant(in.Get("a0"))}
		a := need[LineResult](t)(l.Solve(0.1))
		r := need[LineResult](t)(l.Solve(in.Get("CL") / a.Slope))
		return reference.Values{"CL_alpha": r.Slope, "CDi": r.CDi, "e": r.SpanEfficiency}
	})
	reference.Check(t, "W2", 0, func(in reference.Inputs) reference.Values {
		out := reference.Values{}
		for _, at := range []string{"0.5", "0.75", "1.0", "1.25", "1.5", "1.75"} {
			var ratio float64
			fmt.Sscan(at, &ratio)
			tau, delta := glauert(t, trapezoidLine(2*math.Pi*ratio, in.Get("taper")), 2*math.Pi)
			out["tau@AR/a0="+at], out["delta@AR/a0="+at] = tau, delta
		}
		return out
	})
	reference.Check(t, "W3", 0, func(in reference.Inputs) reference.Values {
		out := reference.Values{}
		for _, at := range []string{"1.0", "0.75", "0.5", "0.25", "0.0"} {
			var taper float64
			fmt.Sscan(at, &taper)
			_, out["delta@taper="+at] = glauert(t, trapezoidLine(in.Get("AR"), taper), 2*math.Pi)
		}
		return out
	})
	// The example takes τ and δ from a chart; it is the formulas of the slope and the drag that are checked.
	reference.Check(t, "W4", 0, func(in reference.Inputs) reference.Values {
		a0, aspect := in.Get("a0"), in.Get("AR")
		CL := a0 / (1 + a0*(1+in.Get("tau"))/(math.Pi*aspect)) * in.Get("alpha")
		return reference.Values{"CL": CL, "CDi": CL * CL * (1 + in.Get("delta")) / (math.Pi * aspect)}
	})
}

// TestLineFull compares with the figures that the note of case W4 gives for the full theory.
func TestLineFull(t *testing.T) {
	r := need[LineResult](t)(trapezoidLine(8, 0.8).Solve(5 * unit.Degree))
	near(t, "CL", r.CL, 0.4269, 5e-5)
	near(t, "CDi", r.CDi, 0.00757, 5e-6)
}

// TestLineShape: an elliptic wing has uniform downwash, and twist that follows the sections' zero-lift angle cancels it.
func TestLineShape(t *testing.T) {
	l := Line{Span: 6, Chord: Elliptic(1.2)}
	r := need[LineResult](t)(l.Solve(0.1))
	for _, eta := range []float64{-0.9, 0, 0.5, 1} {
		near(t, "downwash", r.Downwash(eta), r.CL/(math.Pi*r.AspectRatio), 1e-9)
		if math.Abs(eta) < 1 {
			near(t, "local CL", r.LocalCL(eta), r.CL, 1e-9)
		}
	}
	near(t, "circulation at the tip", r.Circulation(1), 0, 1e-9)
	l.Twist = func(eta unit.Ratio) float64 { return 0.03 * eta }
	l.ZeroLift = func(eta unit.Ratio) float64 { return 0.03*eta - 0.02 }
	shifted := need[LineResult](t)(l.Solve(0.08))
	near(t, "CL", shifted.CL, r.CL, 1e-12)
	l.ZeroLift = nil
	if rolled := need[LineResult](t)(l.Solve(0)); !(rolled.Cl < 0) || math.Abs(rolled.CL) > 1e-12 {
		t.Errorf("more lift to starboard gives Cl %v, CL %v", rolled.Cl, rolled.CL)
	}
}

// TestLineSections: at every station the lift is that of the section in the downwash there.
func TestLineSections(t *testing.T) {
	l := Line{Span: 9, Chord: Tapered(1.4, 0.6), Slope: Constant(5.6), Twist: Tapered(0.02, -0.03), ZeroLift: Constant(-0.04)}
	r := need[LineResult](t)(l.Solve(0.08))
	for _, eta := range []float64{-0.8, -0.31, 0.22, 0.6, 0.95} {
		near(t, "cl", r.LocalCL(eta), 5.6*(0.08+l.Twist(eta)+0.04-r.Downwash(eta)), 1e-3)
	}
}

// TestLineRoll compares with the roll damping of the elliptic lifting line, −πA/(4(A + 4)) per pb/2V at a₀ = 2π; theory by Glauert, recalled.
func TestLineRoll(t *testing.T) {
	const p = 0.01 // pb/2V, starboard wing down: its angle grows by p η
	l := Line{Span: 8, Chord: Elliptic(4 / math.Pi), Twist: func(eta unit.Ratio) float64 { return p * eta }}
	r := need[LineResult](t)(l.Solve(0))
	near(t, "Clp", r.Cl/p, -math.Pi*8/(4*(8+4)), 1e-9)
}

func TestLineErrors(t *testing.T) {
	for name, l := range map[string]Line{
		"span": {Chord: Constant(1)}, "chord": {Span: 5}, "NaN": {Span: 5, Chord: Constant(math.NaN())},
		"slope": {Span: 5, Chord: Constant(1), Slope: Constant(0)}, "twist": {Span: 5, Chord: Constant(1), Twist: Constant(math.Inf(1))},
		"terms": {Span: 5, Chord: Constant(1), Terms: -1},
	} {
		if r, err := l.Solve(0); err == nil {
			t.Errorf("%s: %v", name, r.CL)
		}
	}
	if _, err := (Line{Span: 5, Chord: Constant(1)}).Solve(math.NaN()); err == nil {
		t.Error("α is not a number")
	}
}

// TestLineHooks: the hook ends the computation, a short wing carries a note, and a series without solution says so.
func TestLineHooks(t *testing.T) {
	l := Line{Span: 3, Chord: Constant(1), Stop: func() error { return errStop }}
	if _, err := l.Solve(0.1); err != errStop {
		t.Errorf("%v", err)
	}
	l.Stop = nil
	if r := need[LineResult](t)(l.Solve(0.1)); len(r.Notes) != 1 {
		t.Errorf("notes %q", r.Notes)
	}
	l.Span = 8
	if r := need[LineResult](t)(l.Solve(0.1)); len(r.Notes) != 0 {
		t.Errorf("notes %q", r.Notes)
	}
	l.Terms = 2
	if _, err := l.series([]float64{1, 2, 2, 4}, make([]float64, 4)); err == nil || !strings.Contains(err.Error(), "no solution") {
		t.Errorf("%v", err)
	}
}
