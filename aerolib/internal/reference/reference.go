// Package reference compares computed values with the check values kept in testdata/cases.json at the root of the module.
//
// A case names its source, where in it the values stand, whether they were read there, recalled or computed, and why its tolerances are what they are.
// Quantities are text with units, and an expected value carries its tolerance: "89876 Pa ± 0.01 %", "23.36 °F ± 0.006". Tests see SI only:
//
//	reference.Check(t, "A1 A3", 0, func(in reference.Inputs) reference.Values {
//		air, _ := atmos.Standard(atmos.Geopotential(in.Get("Z")))
//		return reference.Values{"T": air.Temperature, "p": air.Pressure}
//	})
package reference

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"foreplane/aerolib/unit"
)

// Case is one row of the file.
type Case struct {
	ID        string            `json:"id"`
	Title     string            `json:"title"`
	Source    string            `json:"source"`    // author, title, year
	Location  string            `json:"location"`  // page, table or equation
	Basis     string            `json:"basis"`     // read, recalled, or computed for this project
	Inputs    map[string]string `json:"inputs"`    // name to quantity
	Expected  map[string]string `json:"expected"`  // name to quantity ± tolerance
	Tolerance string            `json:"tolerance"` // why the tolerances are what they are
	Note      string            `json:"note,omitempty"`
}

// Values are computed results in SI by the names of the case.
type Values map[string]float64

// Inputs are the inputs of a case in SI.
type Inputs struct {
	tb     testing.TB
	id     string
	values Values
}

// Get returns an input; a missing one ends the test.
func (in Inputs) Get(name string) float64 {
	in.tb.Helper()
	v, ok := in.values[name]
	if !ok {
		in.tb.Fatalf("%s: no input %q", in.id, name)
	}
	return v
}

// All returns every input by name.
func (in Inputs) All() Values { return in.values }

// Expectation is an expected value in SI with its absolute tolerance.
type Expectation struct{ Value, Tolerance float64 }

// Check runs compute on each case of a blank-separated list and compares every expected value. A tolerance of 0 takes the one that the case states for the
// value; any other is the relative tolerance of the method under test, to be explained where Check is called.
func Check(t *testing.T, ids string, tolerance float64, compute func(Inputs) Values) {
	t.Helper()
	for _, id := range strings.Fields(ids) {
		t.Run(id, func(t *testing.T) {
			c := Load(t, id)
			got := compute(c.Read(t))
			for name := range got {
				if _, ok := c.Expected[name]; !ok {
					t.Errorf("the case expects no %q", name)
				}
			}
			for name := range c.Expected {
				want := c.Want(t, name)
				if tolerance != 0 {
					want.Tolerance = tolerance * math.Abs(want.Value)
				}
				value, ok := got[name]
				if !ok {
					t.Errorf("%s was not computed", name)
				} else if !(math.Abs(value-want.Value) <= want.Tolerance) {
					t.Errorf("%s is %.9g, want %.9g ± %.2g (SI); %s", name, value, want.Value, want.Tolerance, c.Source)
				}
			}
		})
	}
}

// Load returns a case; one that does not exist ends the test.
func Load(tb testing.TB, id string) Case {
	tb.Helper()
	for _, c := range All(tb) {
		if c.ID == id {
			return c
		}
	}
	tb.Fatalf("no case %q", id)
	return Case{}
}

// All returns every case of the file.
func All(tb testing.TB) []Case {
	tb.Helper()
	text, err := os.ReadFile(filepath.Join(root(tb), "testdata", "cases.json"))
	if err != nil {
		tb.Fatal(err)
	}
	var cases []Case
	if err := json.Unmarshal(text, &cases); err != nil {
		tb.Fatal(err)
	}
	return cases
}

// root finds the folder of the module from that of the test.
func root(tb testing.TB) string {
	folder, err := os.Getwd()
	if err != nil {
		tb.Fatal(err)
	}
	for dir := folder; ; dir = filepath.Dir(dir) {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			return dir
		}
		if dir == filepath.Dir(dir) {
			tb.Fatal("no go.mod above " + folder)
		}
	}
}

// Read returns the inputs of c in SI.
func (c Case) Read(tb testing.TB) Inputs {
	tb.Helper()
	in := Inputs{tb, c.ID, Values{}}
	for name, text := range c.Inputs {
		value, _, err := unit.ParseAny(text)
		if err != nil {
			tb.Fatalf("%s: %s: %v", c.ID, name, err)
		}
		in.values[name] = value
	}
	return in
}

// Want returns an expected value of c.
func (c Case) Want(tb testing.TB, name string) Expectation {
	tb.Helper()
	text, ok := c.Expected[name]
	if !ok {
		tb.Fatalf("%s: expects no %q", c.ID, name)
	}
	e, err := expectation(text)
	if err != nil {
		tb.Fatalf("%s: %s: %v", c.ID, name, err)
	}
	return e
}

// expectation reads "value unit ± tolerance"; the tolerance is in the same unit or in per cent of the value.
func expectation(text string) (Expectation, error) {
	main, band, found := strings.Cut(text, "±")
	value, u, err := unit.ParseAny(main)
	if err != nil || !found {
		return Expectation{}, fmt.Errorf("%q is not of the form value unit ± tolerance: %v", text, err)
	}
	scale := u.Factor
	if part, percent := strings.CutSuffix(strings.TrimSpace(band), "%"); percent {
		band, scale = part, math.Abs(value)*unit.Percent
	}
	tolerance, err := unit.Parse(band, "Ratio")
	return Expectation{value, tolerance * scale}, err
}
