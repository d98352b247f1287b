package cell

import (
	"go/parser"
	"go/token"
	"path/filepath"
	"strings"
	"testing"

	"golang.org/x/tools/txtar"

	"foreplane/kernel"
)

// programs adds the programs of the corpus to a fuzz test.
func programs(f *testing.F) {
	archives, _ := filepath.Glob("internal/against/testdata/corpus/*.txtar")
	for _, path := range archives {
		archive, err := txtar.ParseFile(path)
		if err != nil {
			f.Fatal(err)
		}
		for _, file := range archive.Files {
			f.Add(string(file.Data))
		}
	}
}

// FuzzSplit verifies that the pieces of a cell follow each other, and that what lies between them are blanks and comments.
func FuzzSplit(f *testing.F) {
	programs(f)
	f.Fuzz(func(t *testing.T, code string) {
		pieces, bad := split(code)
		if bad != nil {
			return
		}
		last := 0
		for _, p := range pieces {
			if p.off < last || p.end < p.off || p.end > len(code) {
				t.Fatalf("piece %d to %d behind %d in %d bytes", p.off, p.end, last, len(code))
			}
			between(t, code[last:p.off])
			last = p.end
		}
		between(t, code[last:])
	})
}

// between fails if a text holds more than semicolons and comments.
func between(t *testing.T, text string) {
	for _, l := range scan(text) {
		if l.token != token.SEMICOLON && l.token != token.EOF {
			t.Fatalf("%v is in no piece: %q", l.token, text)
		}
	}
}

// FuzzPrepare verifies that no cell makes the front panic, and that what it lowers is Go.
func FuzzPrepare(f *testing.F) {
	programs(f)
	f.Fuzz(func(t *testing.T, code string) {
		front := NewFront(library())
		p, failed := front.Prepare(kernel.Cell{Code: code, Number: 1})
		switch {
		case failed != nil && strings.Contains(failed.Message, "cannot be checked"):
			t.Fatal(failed)
		case failed != nil:
		default:
			if _, err := parser.ParseFile(token.NewFileSet(), "lowered", "package main\n"+p.Program.Source, parser.SkipObjectResolution); err != nil {
				t.Fatalf("lowered to what is no Go: %v\n%s", err, p.Program.Source)
			}
		}
	})
}
