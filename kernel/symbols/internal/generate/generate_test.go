package main

import (
	"bytes"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// TestFresh fails when the committed files are not what the generator writes now.
func TestFresh(t *testing.T) {
	files, broken, err := generate()
	if err != nil {
		t.Fatal(err)
	}
	if len(broken) > 0 {
		t.Errorf("do not build: %s", strings.Join(broken, "\n"))
	}
	for name, want := range files {
		if got, err := os.ReadFile(filepath.Join("..", "..", name)); err != nil || !bytes.Equal(got, want) {
			t.Errorf("kernel/symbols/%s is stale (%v): run go generate ./kernel/symbols", name, err)
		}
	}
}

// TestReproducible generates the small set twice, from fresh type universes.
func TestReproducible(t *testing.T) {
	var runs [2][]byte
	for i := range runs {
		pkgs, _, err := load([]string{"math", "strings", "gonum.org/v1/gonum/mat"})
		if err != nil {
			t.Fatal(err)
		}
		if runs[i], err = archive(pkgs); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(runs[0], runs[1]) {
		t.Error("two runs differ")
	}
	wd, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	if bytes.Contains(runs[0], []byte(wd)) {
		t.Error("the archive contains a path of this machine")
	}
}

// TestBrokenPackage verifies that a package that does not build is named and costs the others nothing.
func TestBrokenPackage(t *testing.T) {
	pkgs, broken, err := load([]string{"math", "foreplane/no/such/package"})
	if err != nil {
		t.Fatal(err)
	}
	if len(pkgs) != 1 || pkgs[0].Path != "math" {
		t.Errorf("found %v", pkgs)
	}
	if len(broken) != 1 || !strings.HasPrefix(broken[0], "foreplane/no/such/package: ") {
		t.Errorf("broken %q", broken)
	}
}

func TestTables(t *testing.T) {
	pkgs, _, err := load([]string{"io", "slices", "text/template/parse", "time"})
	if err != nil {
		t.Fatal(err)
	}
	src, err := tables("std", pkgs)
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{
		`"Copy":`, `reflect.ValueOf(io.Copy)`, `reflect.ValueOf(&io.EOF).Elem()`, `reflect.ValueOf((*io.Reader)(nil))`,
		"type _io_Reader struct {\n\tIValue any\n\tWRead  func(a0 []byte) (int, error)\n}", `"Compact`,
	} {
		if bytes.Contains(src, []byte(want)) == strings.HasPrefix(want, `"Compact`) { // slices.Compact is generic
			t.Errorf("tables: %q", want)
		}
	}
	if bytes.Contains(src, []byte("_text_template_parse_Node struct")) {
		t.Error("an interface with hidden methods is wrapped")
	}
}

func TestDocumentation(t *testing.T) {
	name := filepath.Join(t.TempDir(), "a.go")
	src := `// Package a is documented.
package a

// F computes
//
//	y = x²
func F() {}

// Names of a group.
const (
	A = 1
	B = 2 // the second
	c = 3
)

// T is a type.
type T[P any] struct {
	// X is a field.
	X, Y float64
	Z    int // at the end
	w    int // hidden
}

// M is a method.
func (t *T[P]) M() {}

func (t T[P]) Bare() {}

// hidden is not.
func (t T[P]) hidden() {}

// I is an interface.
type I interface {
	N() // a method
}
`
	if err := os.WriteFile(name, []byte(src), 0o600); err != nil {
		t.Fatal(err)
	}
	got, err := documentation(&source{Files: []string{name}})
	if err != nil {
		t.Fatal(err)
	}
	want := docs{
		"": "Package a is documented.", "F": "F computes\n\n\ty = x²", "A": "Names of a group.", "B": "the second", "T": "T is a type.",
		"T.X": "X is a field.", "T.Y": "X is a field.", "T.Z": "at the end", "T.M": "M is a method.", "I": "I is an interface.", "I.N": "a method",
	}
	if !maps.Equal(got, want) {
		t.Errorf("got %q", got)
	}
}

func TestPatterns(t *testing.T) {
	got := patterns("# a comment\n\nfmt\nmath # the end\n")
	if want := []string{"fmt", "math"}; !slices.Equal(got, want) {
		t.Errorf("got %q", got)
	}
}
