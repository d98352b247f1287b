package section

import (
	"math"
	"testing"
)

// TestSides: from the stagnation point the speed rises at the same rate on both sides, which run to the end of the layers.
func TestSides(t *testing.T) {
	naca, _ := NACA("2412")
	c, _ := naca.Sharp().Contour()
	f, _ := Panels(c)
	p, err := f.At(0.05)
	if err != nil {
		t.Fatal(err)
	}
	upper, lower := p.sides()
	if a, b := upper[0].u/upper[0].s, lower[0].u/lower[0].s; math.Abs(a/b-1) > 1e-9 {
		t.Errorf("rates %g and %g", a, b)
	}
	for _, side := range [][]station{upper, lower} {
		if end := side[len(side)-1].x; end > layerEnd || end < layerEnd-0.02 {
			t.Errorf("ends at %g", end)
		}
	}
}

// TestShape: the two correlations of Head's method are inverses but for the small jump of the published constants at H = 1.6.
func TestShape(t *testing.T) {
	for _, h := range []float64{1.2, 1.4, 1.59, 1.65, 2, 2.4} {
		if got := shape(entrainmentShape(h)); math.Abs(got-h) > 0.01 {
			t.Errorf("H %g comes back as %g", h, got)
		}
	}
}
