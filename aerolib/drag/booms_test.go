package drag

import (
	"math"
	"testing"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/unit"
)

// TestBooms: a body with an image has twice the skin, friction and base.
func TestBooms(t *testing.T) {
	f, err := At(0, 100*unit.Knot)
	if err != nil {
		t.Fatal(err)
	}
	build := func(y unit.Length) Buildup {
		a := aircraft.Bracken()
		a.Bodies[0].Y = y
		b, err := Build(a, f, Options{})
		if err != nil {
			t.Fatal(err)
		}
		return b
	}
	one, two := build(0), build(2)
	for _, name := range []string{"body", "aft end of the body"} {
		a, errA := one.Item(name)
		b, errB := two.Item(name)
		if errA != nil || errB != nil || !(a.CDA > 0) || math.Abs(b.CDA/a.CDA-2) > 1e-12 || a.Wetted > 0 && math.Abs(b.Wetted/a.Wetted-2) > 1e-12 {
			t.Errorf("%s: %v m², two of them %v m² (%v, %v)", name, a.CDA, b.CDA, errA, errB)
		}
	}
}
