package cell

import (
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"golang.org/x/tools/txtar"

	"foreplane/kernel"
	"foreplane/kernel/symbols"
)

// TestNoFalseAlarm runs the checker of dimensions over every cell there is in this repository: those of notebooks, and programs whose only fault may be that
// they mean quotients of whole numbers and ^ as written.
func TestNoFalseAlarm(t *testing.T) {
	for _, file := range glob(t, "../../notebooks/*.ipynb") {
		for _, complaint := range complaints(notebookCells(t, file)...) {
			t.Errorf("%s: %s", file, complaint)
		}
	}
	for _, file := range glob(t, "internal/against/testdata/corpus/*.txtar") {
		archive, err := txtar.ParseFile(file)
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range archive.Files {
			for _, complaint := range complaints(string(p.Data)) {
				if !strings.Contains(complaint, "divides whole numbers") && !strings.Contains(complaint, "^ combines bits") {
					t.Errorf("%s, %s: %s", file, p.Name, complaint)
				}
			}
		}
	}
	for _, file := range glob(t, "internal/against/testdata/sessions/*.txtar") {
		archive, err := txtar.ParseFile(file)
		if err != nil {
			t.Fatal(err)
		}
		var cells []string
		for _, f := range archive.Files {
			if f.Name == "cell" {
				cells = append(cells, string(f.Data))
			}
		}
		for _, complaint := range complaints(cells...) {
			t.Errorf("%s: %s", file, complaint)
		}
	}
}

func glob(t *testing.T, pattern string) []string {
	files, err := filepath.Glob(pattern)
	if err != nil || len(files) == 0 {
		t.Fatal(pattern, err)
	}
	return files
}

func notebookCells(t *testing.T, file string) (cells []string) {
	var doc struct {
		Cells []struct {
			Type     string `json:"cell_type"`
			Source   any    `json:"source"` // a string, or a list of them
			Metadata struct {
				Tags []string `json:"tags"`
			} `json:"metadata"`
		} `json:"cells"`
	}
	data, err := os.ReadFile(file)
	if err == nil {
		err = json.Unmarshal(data, &doc)
	}
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range doc.Cells {
		text, _ := c.Source.(string)
		if lines, ok := c.Source.([]any); ok {
			for _, line := range lines {
				text += line.(string)
			}
		}
		if c.Type == "code" && !slices.Contains(c.Metadata.Tags, "raises-exception") { // which shows a mistake on purpose
			cells = append(cells, text)
		}
	}
	return cells
}

// complaints prepares cells one after the other, as if all of them had run, and returns what is said about their dimensions.
func complaints(cells ...string) (found []string) {
	f := NewFront(symbols.Library)
	for i, code := range cells {
		p, err := f.Prepare(kernel.Cell{Code: code, Number: i + 1})
		switch {
		case err != nil && err.Name == "Dimension":
			found = append(found, err.Traceback...)
		case err == nil:
			found = append(found, p.Notes...)
			f.Commit(p, Outcome{Bound: len(p.Program.Binds)})
		}
	}
	return found
}

// The checker works inside a kernel: what a cell finds wrong stops it, and what earlier cells have said counts.
func TestDimensions(t *testing.T) {
	for _, c := range []struct {
		cells []string
		want  string
	}{
		{[]string{"h := 6500 * Foot", "V := 95 * Knot\nV + h"}, "cell 2, line 2, column 1: m/s + m: a speed and a length cannot be added"},
		{[]string{"h := 3 * Metre", "h := 3 * Second", "h + 2*Second"}, ""},
		{[]string{"total := 0.0", "total += 3 * Metre", "total += 2 * Second"}, "cell 3, line 1, column 1: m += s: a length and a time cannot be added"},
		{[]string{"func f(V Speed) Pressure { return V * V }"}, "cell 1, line 1, column 35: the result of the function: a pressure (Pa) is expected, not a quantity in m²/s²"},
		{[]string{"atmos.Standard(95 * Knot)"}, "cell 1, line 1, column 16: argument h of atmos.Standard: a geopotential altitude (m) is expected, not a speed (m/s)"},
		{[]string{"math.Sin(5)"}, "note: cell 1, line 1, column 10: math.Sin: 5 is a bare number where an angle is expected"},
		{[]string{"//foreplane:plain\nx := 1/2*3.0"}, "note: cell 1, line 2, column 6: 1 / 2 divides whole numbers and gives 0: write 1.0/2"},
		{[]string{"x := 3.0\nx^2"}, ""},
		{[]string{"xs := []float64{1,5, 2,5}"}, "note: cell 1, line 1, column 17: the comma between these digits parts two numbers"},
		{[]string{"xs := []float64{1,5,2,5}\nmath.Pow(1,5)\nmath.Pow(1, 5)"}, ""},
	} {
		got := complaints(c.cells...)
		if c.want == "" && len(got) > 0 || c.want != "" && (len(got) != 1 || !strings.HasPrefix(got[0], c.want)) {
			t.Errorf("%q\ngot  %q\nwant %q", c.cells, got, c.want)
		}
	}
}
