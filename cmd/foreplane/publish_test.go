package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"foreplane/kernel/notebook"
)

func TestPublish(t *testing.T) {
	first := texts(t, "# One\n\nThe first page, after [](#ref:munk).", "V := 95 * Knot\nV", "V is {{.V}}.")
	second := code(t, "#solution 6 * 7")
	if err := os.Rename(second, filepath.Join(filepath.Dir(second), "two.ipynb")); err != nil {
		t.Fatal(err)
	}
	second = filepath.Join(filepath.Dir(second), "two.ipynb")
	bib := filepath.Join(t.TempDir(), "list.bib")
	if err := os.WriteFile(bib, []byte("@book{munk, author={Munk, Max}, title={On Biplanes}, year=1921}"), 0o644); err != nil {
		t.Fatal(err)
	}
	dir := filepath.Join(t.TempDir(), "site")
	var said strings.Builder
	s := publishSettings{to: dir, title: "A course", bibliography: bib, units: "us", solutions: "fold"}
	if err := publishAll(t.Context(), &said, []string{first, second}, s); err != nil {
		t.Fatal(err)
	}
	for name, wants := range map[string][]string{
		"index.html": {"<h1>A course</h1>", `<a href="cells.html">One</a>`, `<a href="two.html">`, "The first page"},
		"cells.html": {`<a href="index.html">A course</a>`, `<a rel="next" href="two.html">`, "V = 95.0 kt", "V is 48.9 m/s.", `<li id="ref:munk">Munk, Max.`},
		"two.html":   {`<a rel="prev" href="cells.html">← One</a>`, "<summary>Solution</summary>", "42"},
	} {
		page := string(read(t, filepath.Join(dir, name)))
		for _, want := range wants {
			if !strings.Contains(page, want) {
				t.Errorf("%s lacks %s", name, want)
			}
		}
	}
	if stored, err := notebook.ReadFile(first); err != nil || stored.HasOutputs() {
		t.Errorf("the notebook was changed: %v", err)
	}
}

func TestBadPublish(t *testing.T) {
	one := code(t, "1")
	broken := texts(t, "[](#fig:none)", "1", "")
	file := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(file, nil, 0o644); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		paths []string
		s     publishSettings
		code  int
		want  string
	}{
		{[]string{one}, publishSettings{units: "imperial", solutions: "show"}, exitUsage, `--units is "imperial"; it is si, us or both`},
		{[]string{one}, publishSettings{units: "si", solutions: "hide"}, exitUsage, `--solutions is "hide"`},
		{[]string{one, one}, publishSettings{}, exitInput, "its page would be cells.html, which there is already"},
		{[]string{"none.ipynb"}, publishSettings{}, exitInput, "none.ipynb"},
		{[]string{broken}, publishSettings{}, exitInput, "nothing is called #fig:none"},
		{[]string{code(t, "panic(1)")}, publishSettings{}, exitCellFailed, "Panic"},
		{[]string{one}, publishSettings{bibliography: "none.bib"}, exitInput, "none.bib"},
		{[]string{one}, publishSettings{to: filepath.Join(file, "site")}, exitOutput, "no folder for the site"},
	} {
		s := c.s
		if s.units == "" {
			s.units, s.solutions = "both", "show"
		}
		if s.to == "" {
			s.to = t.TempDir()
		}
		err := publishAll(t.Context(), new(strings.Builder), c.paths, s)
		if err == nil || exitCode(err) != c.code || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%v: %v", c.paths, err)
		}
	}
}
