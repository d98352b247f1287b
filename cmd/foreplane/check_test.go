package main

import (
	"strings"
	"testing"

	"foreplane/kernel/notebook"
)

func TestCheck(t *testing.T) {
	path := code(t, "V := 95 * Knot\nV", "fmt.Println(1.25, 7)", "#varies time.Now()")
	doc, err := notebook.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := runFresh(t.Context(), doc, path, runSettings{}); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name   string
		change func(*notebook.Document)
		want   string
	}{
		{"nothing", func(*notebook.Document) {}, "as stored"},
		{"a number", func(d *notebook.Document) { d.Cells[1].Outputs[0].Text = "1.75 7\n" }, `cell 2 (b): output 1: "1.75 7" was stored, "1.25 7" is new`},
		{"an output", func(d *notebook.Document) { d.Cells[0].Outputs = nil }, "cell 1 (a): its outputs are missing"},
		{"the order", func(d *notebook.Document) { d.Cells[0].Count = 9 }, "cell 2 (b): it was run as [2], before a cell above it, run as [9]"},
		{"the source", func(d *notebook.Document) { d.Cells[1].Source = "panic(1)" }, "cell 2 (b): it fails: Panic"},
		{"no outputs at all", func(d *notebook.Document) {
			for i := range d.Cells {
				d.Cells[i].Outputs = nil
			}
		}, "as stored"},
		{"a text", func(d *notebook.Document) {
			d.Cells[1].Kind, d.Cells[1].Outputs, d.Cells[1].Source = notebook.Markdown, nil, "[x](y)"
		}, "cell 2 (b): the link to y leads nowhere"},
	} {
		if err := notebook.WriteFile(path, doc); err != nil {
			t.Fatal(err)
		}
		changed, err := notebook.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		c.change(changed)
		if err := notebook.WriteFile(path, changed); err != nil {
			t.Fatal(err)
		}
		var out strings.Builder
		err = checkAll(t.Context(), &out, []string{path}, 1e-6, runSettings{keepGoing: true})
		if !strings.Contains(out.String(), c.want) || (err == nil) != (c.want == "as stored") {
			t.Errorf("%s: %v, said %s", c.name, err, out.String())
		}
	}
	if err := checkAll(t.Context(), new(strings.Builder), []string{path}, 2, runSettings{}); err == nil || exitCode(err) != exitUsage {
		t.Errorf("a tolerance of 2: %v", err)
	}
}

func TestDiff(t *testing.T) {
	a, b := code(t, "x := 1"), code(t, "x := 2")
	var out strings.Builder
	if err := diff(&out, a, b); err == nil || out.String() != "~ code cell a: source\n- x := 1\n+ x := 2\n" {
		t.Errorf("%v, said %s", err, out.String())
	}
	if err := diff(&out, a, a); err != nil {
		t.Error(err)
	}
}
