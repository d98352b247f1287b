package cell

import (
	"strings"
	"testing"

	"foreplane/kernel"
	"foreplane/kernel/symbols"
)

func inspected(t *testing.T, f *Front, code string) string {
	t.Helper()
	b, found := f.Inspect(code, len(code), 0)
	if !found {
		t.Fatalf("%s: nothing found", code)
	}
	return b.Data["text/markdown"].(string)
}

// TestInspectFunction: what a function takes and returns is said with units, its equations are typeset, and its source is spelled out.
func TestInspectFunction(t *testing.T) {
	f := newTestFront(t)
	got := inspected(t, f, "atmos.Standard")
	for _, want := range []string{
		"```go\nfunc atmos.Standard(h GeopotentialAltitude) (atmos.Air, error)\n```\n",
		"$$\n\\begin{aligned}\nT &= T_{0} + \\lambda  (h - H_{0}) \\\\\n",
		"**Takes:** `h` geopotential altitude in m\n",
		"**Source:** \\[ISO2533\\] ISO 2533:1975, Standard Atmosphere.",
		"MinAltitude", // the limits of validity are in the text
	} {
		if !strings.Contains(got, want) {
			t.Errorf("no %q in\n%s", want, got)
		}
	}
	if got := inspected(t, f, "atmos.DensityAltitude"); !strings.Contains(got, "**Returns:** density altitude in m") {
		t.Error(got)
	}
	if got := inspected(t, f, "atmos.Air"); !strings.Contains(got, "// in kg/m³") {
		t.Error(got)
	}
	if got := inspected(t, f, "air := must(atmos.Standard(0))\nair.Density"); !strings.Contains(got, "**Holds:** `Density` density in kg/m³") {
		t.Error(got)
	}
}

// TestInspectVariable: a variable is shown with what it holds, in which unit, and which cell set it.
func TestInspectVariable(t *testing.T) {
	f := NewFront(symbols.Library)
	p, err := f.Prepare(kernel.Cell{Code: "speed := 50 * MetrePerSecond", Number: 3})
	if err != nil {
		t.Fatal(err)
	}
	f.Commit(p, Outcome{Bound: 1, Values: []Snapshot{{Name: "speed", Value: "50"}}})
	got := inspected(t, f, "speed")
	for _, want := range []string{"var speed float64", "**Value:** 50 m/s\n", "**Set:** by cell 3 at "} {
		if !strings.Contains(got, want) {
			t.Errorf("no %q in\n%s", want, got)
		}
	}
}
