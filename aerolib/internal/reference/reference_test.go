package reference

import (
	"math"
	"testing"

	"foreplane/aerolib/unit"
)

// TestFile holds that every case is complete and readable.
func TestFile(t *testing.T) {
	seen := map[string]bool{}
	for _, c := range All(t) {
		if seen[c.ID] {
			t.Errorf("%s stands twice", c.ID)
		}
		seen[c.ID] = true
		for field, text := range map[string]string{
			"title": c.Title, "source": c.Source, "location": c.Location, "basis": c.Basis, "tolerance": c.Tolerance,
		} {
			if text == "" {
				t.Errorf("%s: no %s", c.ID, field)
			}
		}
		c.Read(t)
		for name := range c.Expected {
			if e := c.Want(t, name); !(e.Tolerance >= 0) {
				t.Errorf("%s: %s has tolerance %v", c.ID, name, e.Tolerance)
			}
		}
	}
	if len(seen) == 0 {
		t.Error("no cases")
	}
}

func TestExpectation(t *testing.T) {
	for text, want := range map[string]Expectation{
		"100 ft ± 2":    {30.48, 2 * unit.Foot},
		"-200 Pa ± 1 %": {-200, 2},
		"15 °C ± 0.5":   {288.15, 0.5},
		"0.45 ± 0.01":   {0.45, 0.01},
	} {
		got, err := expectation(text)
		if err != nil || math.Abs(got.Value-want.Value) > 1e-12 || math.Abs(got.Tolerance-want.Tolerance) > 1e-12 {
			t.Errorf("%q is %v, %v", text, got, err)
		}
	}
	for _, text := range []string{"", "1 m", "1 m ± x", "1 ktt ± 1"} {
		if e, err := expectation(text); err == nil {
			t.Errorf("%q is %v", text, e)
		}
	}
}
