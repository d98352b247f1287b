package figure

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"gonum.org/v1/plot/vg"
)

// randomFigure has curves that end anywhere, limits, levels, points and notes, with labels of any length.
func randomFigure(r *rand.Rand) *Figure {
	label := func() string { return strings.Repeat("label ", 1+r.IntN(6)) + fmt.Sprint(r.IntN(1000)) }
	f := New("Random", Axis{Label: "x"}, Axis{Label: "y"})
	for range 1 + r.IntN(7) {
		x := span(r.Float64()*0.5, 0.5+r.Float64(), 2+r.IntN(40))
		a, b, c := r.NormFloat64(), r.NormFloat64(), 3*r.NormFloat64()
		y := values(x, func(x float64) float64 { return a + b*x + math.Sin(c*x) })
		if r.IntN(5) == 0 {
			f.Points(label(), x, y)
		} else {
			f.Curve(label(), x, y)
		}
	}
	for range r.IntN(4) {
		f.Limit(label(), r.Float64())
	}
	for range r.IntN(4) {
		f.Level(label(), r.NormFloat64())
	}
	for range r.IntN(5) {
		f.Point(label(), r.Float64(), r.NormFloat64())
	}
	for range r.IntN(3) {
		f.Note(label(), r.Float64(), r.NormFloat64())
	}
	f.Width = 300 + 500*r.Float64()
	return f
}

// TestLabelsDoNotOverlap holds over random figures: no label covers another or leaves the sheet, none inside the frame covers a curve or a
// marker, and every label is there.
func TestLabelsDoNotOverlap(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	drawn := 0
	for n := range 150 {
		f := randomFigure(r)
		s, err := f.layout()
		if err != nil {
			t.Fatal(err)
		}
		drawn += len(s.tags)
		if got, want := len(s.tags)+len(s.legend), len(f.series)+len(f.limits)+len(f.points); got != want {
			t.Fatalf("figure %d: %d labels of %d", n, got, want)
		}
		checkTags(t, s, n)
	}
	if drawn < 600 {
		t.Errorf("only %d labels", drawn)
	}
}

func checkTags(t *testing.T, s *sheet, n int) {
	t.Helper()
	o := s.obstacles()
	for i, a := range s.tags {
		b := a.box()
		if b.Min.X < 0 || b.Max.X > s.w || b.Min.Y < 0 || b.Max.Y > s.h {
			t.Errorf("figure %d: %q leaves the sheet: %v", n, a.text, b)
		}
		if !a.margin && o.hit(b, a) {
			t.Errorf("figure %d: %q covers a curve", n, a.text)
		}
		for _, other := range s.tags[:i] {
			if overlap(b, other.box()) {
				t.Errorf("figure %d: %q and %q overlap", n, a.text, other.text)
			}
		}
	}
}

// TestSpread holds boxes apart and in order, between the limits if there is room, and unmoved if nothing is in their way.
func TestSpread(t *testing.T) {
	same := spread([]float64{1, 5, 9}, []float64{2, 2, 2}, 0, 12)
	for i, want := range []float64{1, 5, 9} {
		if same[i] != want {
			t.Errorf("moved without need: %v", same)
		}
	}
	pushed := spread([]float64{4, 4}, []float64{2, 2}, 0, 10)
	if pushed[0] != 3 || pushed[1] != 5 {
		t.Errorf("two boxes at the same place went to %v, want 3 and 5", pushed)
	}
	r := rand.New(rand.NewPCG(7, 8))
	for range 1000 {
		n := 1 + r.IntN(8)
		wanted, heights, y := make([]float64, n), make([]float64, n), 0.0
		for i := range wanted {
			y += r.Float64() * 10
			wanted[i], heights[i] = y-5, 1+10*r.Float64()
		}
		got := spread(wanted, heights, 0, 100)
		for i := range got {
			if got[i] < -1e-9 || got[i]+heights[i] > 100+1e-9 || i > 0 && got[i] < got[i-1]+heights[i-1]-1e-9 {
				t.Fatalf("%v of heights %v went to %v", wanted, heights, got)
			}
		}
	}
}

func TestCrosses(t *testing.T) {
	box := vg.Rectangle{Min: vg.Point{X: 1, Y: 1}, Max: vg.Point{X: 3, Y: 2}}
	for _, c := range []struct {
		a, b vg.Point
		want bool
	}{
		{vg.Point{X: 0, Y: 0}, vg.Point{X: 4, Y: 3}, true},
		{vg.Point{X: 0, Y: 1.5}, vg.Point{X: 4, Y: 1.5}, true},
		{vg.Point{X: 2, Y: 0}, vg.Point{X: 2, Y: 9}, true},
		{vg.Point{X: 1.5, Y: 1.5}, vg.Point{X: 2, Y: 1.6}, true},
		{vg.Point{X: 0, Y: 0}, vg.Point{X: 4, Y: 0.9}, false},
		{vg.Point{X: 0, Y: 2.5}, vg.Point{X: 4, Y: 2.5}, false},
		{vg.Point{X: 4, Y: 0}, vg.Point{X: 4, Y: 9}, false},
		{vg.Point{X: 0, Y: 2}, vg.Point{X: 0.9, Y: 9}, false},
	} {
		if crosses(c.a, c.b, box) != c.want {
			t.Errorf("line from %v to %v: %v", c.a, c.b, !c.want)
		}
	}
}

// TestSecondAxis holds the ticks of a second axis to stand where the first one has the value that belongs to them.
func TestSecondAxis(t *testing.T) {
	s, err := New("", Axis{Unit: "kt"}, Axis{}).Curve("", []float64{20, 60}, []float64{0, 1}).
		Top(Axis{Unit: "km/h"}, func(v float64) float64 { return 1.25 * v }).layout()
	if err != nil {
		t.Fatal(err)
	}
	ticks := s.top.ticks(s.plot.X, 5)
	if len(ticks) < 5 {
		t.Fatalf("ticks %v", ticks)
	}
	for _, tick := range ticks {
		if tick.Label == "100" { // km/h TAS, so 80 km/h EAS
			if want := 80 / 1.852; math.Abs(tick.Value-want) > 1e-9 {
				t.Errorf("100 km/h stands at %g kt, want %g", tick.Value, want)
			}
			return
		}
	}
	t.Errorf("no tick at 100 km/h in %v", ticks)
}

// TestSimplify holds a line to stay within a twentieth of a pixel, with its ends and corners, and a straight one to become two points.
func TestSimplify(t *testing.T) {
	straight := make([]vg.Point, 100)
	wave := make([]vg.Point, 2000)
	for i := range straight {
		straight[i] = vg.Point{X: vg.Length(i), Y: vg.Length(2 * i)}
	}
	for i := range wave {
		wave[i] = vg.Point{X: vg.Length(i) / 4, Y: vg.Length(100 * math.Sin(float64(i)/200))}
	}
	if got := simplify(straight); len(got) != 2 || got[0] != straight[0] || got[1] != straight[99] {
		t.Errorf("straight line became %v", got)
	}
	got := simplify(wave)
	if len(got) > 200 {
		t.Errorf("%d points left of a smooth line", len(got))
	}
	for _, p := range wave {
		nearest := math.Inf(1)
		for i := 1; i < len(got); i++ {
			nearest = min(nearest, distanceTo(p, got[i-1], got[i]))
		}
		if nearest > 0.05 {
			t.Fatalf("%v is %.3f pixels off the line", p, nearest)
		}
	}
	if d := distanceTo(vg.Point{X: 3, Y: 4}, vg.Point{}, vg.Point{}); d != 5 {
		t.Errorf("distance to a point is %g", d)
	}
}

// TestSecondAxisOffset holds a second axis beside one with an offset to its values in SI: 0 °C stands at 273.15 K.
func TestSecondAxisOffset(t *testing.T) {
	s, err := New("", Axis{Unit: "°C"}, Axis{}).Curve("", []float64{263.15, 283.15}, []float64{0, 1}).
		Top(Axis{Unit: "K"}, func(v float64) float64 { return v }).layout()
	if err != nil {
		t.Fatal(err)
	}
	if got := s.top.from(0); math.Abs(got-273.15) > 1e-9 {
		t.Errorf("0 °C is shown as %g K", got)
	}
}
