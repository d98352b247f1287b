package main

import (
	"strings"
	"testing"

	"foreplane/kernel/notebook"
)

// texts writes a notebook of a code cell between text cells and returns its path.
func texts(t *testing.T, before, source, after string) string {
	t.Helper()
	path := code(t, source)
	doc, err := notebook.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	doc.Cells = []notebook.Cell{{ID: "before", Kind: notebook.Markdown, Source: before}, doc.Cells[0], {ID: "after", Kind: notebook.Markdown, Source: after}}
	if err := notebook.WriteFile(path, doc); err != nil {
		t.Fatal(err)
	}
	return path
}

func TestLiveNumbers(t *testing.T) {
	path := texts(t, "At `{{.V}}` nothing is known yet.", "V := 95 * Knot", "It flies at {{.V | in \"kt\"}}, $V = {{.V}}$.")
	if code, said := runFile(t.Context(), path, runSettings{}); code != 0 {
		t.Fatalf("exit code %d: %s", code, said)
	}
	doc, err := notebook.ReadFile(strings.TrimSuffix(path, "ipynb") + "out.ipynb")
	if err != nil {
		t.Fatal(err)
	}
	last := doc.Cells[2]
	if want := `It flies at 95.0 kt, $V = 48.9\,\mathrm{m/s}$.`; last.Text() != want || !strings.Contains(last.Source, "{{.V}}") {
		t.Errorf("the text is %q with the source %q", last.Text(), last.Source)
	}
	page := string(read(t, strings.TrimSuffix(path, "ipynb")+"html"))
	for _, want := range []string{"flies at 95.0 kt", "<code>{{.V}}</code>"} {
		if !strings.Contains(page, want) {
			t.Errorf("the page lacks %q", want)
		}
	}
}

func TestUnknownLiveNumber(t *testing.T) {
	for _, c := range []struct{ before, source, after, want string }{
		{"", "V := 95 * Knot", "one\n\n{{.Speed0}}", "cell 3 of the notebook failed: Check: line 3: {{.Speed0}}: there is no Speed0 here"},
		{"{{.V}}", "V := 95 * Knot", "", "cell 1 of the notebook failed: Check: line 1: {{.V}}: there is no V here"},
		{"", "V := 95 * Knot", "{{.V | in \"kg\"}}", "cell 3 of the notebook failed: Error: line 1: {{.V | in \"kg\"}}: it is in m/s, which cannot be written in kg"},
	} {
		if code, said := runFile(t.Context(), texts(t, c.before, c.source, c.after), runSettings{}); code != exitCellFailed || !strings.Contains(said, c.want) {
			t.Errorf("exit code %d: %s\nwant %s", code, said, c.want)
		}
	}
}
