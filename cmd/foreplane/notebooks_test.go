package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"foreplane/kernel/notebook"
	"foreplane/kernel/publish"
)

// notebooks are those of the folder that the README leads to.
func notebooks(t *testing.T) []string {
	t.Helper()
	paths, err := filepath.Glob("../../notebooks/*.ipynb")
	if err != nil || len(paths) < 5 {
		t.Fatalf("notebooks %q, %v", paths, err)
	}
	return paths
}

// TestNotebooks holds that every notebook of the folder runs, and that its links, references and pictures are whole. With -update those that hold
// outputs get new ones; that they still are what comes out is for foreplane check, in CI.
func TestNotebooks(t *testing.T) {
	for _, path := range notebooks(t) {
		t.Run(filepath.Base(path), func(t *testing.T) {
			doc, err := readNotebook(path)
			if err != nil {
				t.Fatal(err)
			}
			stored := doc.HasOutputs()
			report, err := runFresh(t.Context(), doc, path, runSettings{keepGoing: true})
			if err != nil {
				t.Fatal(err)
			}
			for _, f := range report.Failures {
				t.Errorf("cell %d (%s): %v", f.Cell, f.ID, f.Err)
			}
			for _, d := range publish.Lint(doc, os.DirFS(filepath.Dir(path))) {
				t.Error(d)
			}
			if *update && stored && !t.Failed() {
				if err := notebook.WriteFile(path, doc); err != nil {
					t.Fatal(err)
				}
			}
		})
	}
}

// TestAssignment hands the assignment of the folder out, and gives the answers of its solutions.
func TestAssignment(t *testing.T) {
	const path = "../../notebooks/assignment-trim.ipynb"
	dir := t.TempDir()
	var said strings.Builder
	if err := handout(t.Context(), &said, path, dir, runSettings{}); err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(said.String(), "8 questions") {
		t.Error(said.String())
	}
	target := filepath.Join(dir, "assignment-trim-handout.ipynb")
	doc, err := notebook.ReadFile(target)
	if err != nil {
		t.Fatal(err)
	}
	answers := map[string]string{
		"density": "0.9629 * KilogramPerCubicMetre", "speed": `"118.4 kt"`, "stall": "32.82 * MetrePerSecond", "lift": "0.4065",
		"share": "22.3 * Percent", "margin": "(3.55 - 3.40) / 1.09", "angle": "2.313 * Degree", "weight": "5333 * Newton",
	}
	for i := range doc.Cells {
		doc.Cells[i].Source += answers[doc.Cells[i].ID]
	}
	report, err := runFresh(t.Context(), doc, path, runSettings{})
	if err != nil || len(report.Failures) > 0 {
		t.Fatal(err, report.Failures)
	}
	for _, c := range doc.Cells {
		if answers[c.ID] == "" {
			continue
		}
		if got := c.Outputs[len(c.Outputs)-1].Data["text/plain"].(string); !strings.Contains(got, "\nRight, within ") {
			t.Errorf("%s: %s", c.ID, got)
		}
	}
}
