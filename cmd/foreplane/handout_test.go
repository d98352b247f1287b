package main

import (
	"path/filepath"
	"strings"
	"testing"

	"foreplane/kernel/notebook"
)

// TestHandout hands an assignment out, answers it and reads the feedback.
func TestHandout(t *testing.T) {
	path := code(t, "W := 650 * Kilogram * StandardGravity", "#solution rho := 1.225 * KilogramPerCubicMetre",
		"//foreplane:question speed 0.5 %\nV := math.Sqrt(2 * W / (rho * 9.45 * Metre * Metre * 1.2))\npitfall(\"Without the 2.\", V/math.Sqrt2)\nV", "//foreplane:question first\n\"foreplane\"")
	dir := t.TempDir()
	var said strings.Builder
	if err := handout(t.Context(), &said, path, dir, runSettings{}); err != nil {
		t.Fatal(err)
	}
	target := filepath.Join(dir, "cells-handout.ipynb")
	if !strings.Contains(said.String(), target+" with 2 questions") {
		t.Errorf("said %s", said.String())
	}
	doc, err := notebook.ReadFile(target)
	if err != nil {
		t.Fatal(err)
	}
	text := string(read(t, target))
	for _, secret := range []string{"rho", "Without", "\"foreplane\\\"", "30.", "pitfall"} {
		if strings.Contains(text, secret) {
			t.Errorf("the handout tells %q", secret)
		}
	}
	if len(doc.Cells) != 4 || doc.Cells[0].Kind != notebook.Markdown || !doc.Cells[2].HasTag("answer") || !strings.HasPrefix(doc.Cells[2].Source, "//foreplane:answer speed 0.5 % ") {
		t.Fatalf("cells %+v", doc.Cells)
	}
	doc.Cells[2].Source += "math.Sqrt(W / (1.225 * KilogramPerCubicMetre * 9.45 * Metre * Metre * 1.2))"
	doc.Cells[3].Source += "\"Foreplane\""
	if err := notebook.WriteFile(target, doc); err != nil {
		t.Fatal(err)
	}
	if code, said := runFile(t.Context(), target, runSettings{}); code != 0 {
		t.Fatal(said)
	}
	done, err := notebook.ReadFile(filepath.Join(dir, "cells-handout.out.ipynb"))
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range map[int]string{2: "speed: 21.4 m/s (41.6 kt)\nWithout the 2.", 3: "first: Foreplane\nRight."} {
		if got := done.Cells[i].Outputs[0].Data["text/plain"]; got != want {
			t.Errorf("%s\nwant %s", got, want)
		}
	}
}

func TestBadHandout(t *testing.T) {
	for _, c := range []struct {
		cells []string
		code  int
		want  string
	}{
		{[]string{"1"}, exitInput, "the notebook asks nothing"},
		{[]string{"//foreplane:question a\n1", "//foreplane:question a\n2"}, exitInput, "cell 2 (b): the question \"a\" was asked before"},
		{[]string{"//foreplane:question a\nx := 1"}, exitCellFailed, "the last expression of the cell of a question"},
		{[]string{"//foreplane:question a\nmath.NaN()"}, exitCellFailed, "the expected value is NaN"},
		{[]string{"#solution x := 1.0", "//foreplane:question a\nx", "x + 1"}, exitCellFailed, "without its solutions the notebook does not run: cell 3 of the notebook failed"},
		{[]string{"#skip-execution //foreplane:question a\n1"}, exitInput, "it was not run to its end"},
	} {
		err := handout(t.Context(), new(strings.Builder), code(t, c.cells...), t.TempDir(), runSettings{})
		if err == nil || exitCode(err) != c.code || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%q: %v", c.cells, err)
		}
	}
}
