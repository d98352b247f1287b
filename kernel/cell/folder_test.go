package cell

import (
	"context"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"golang.org/x/tools/txtar"

	"foreplane/kernel"
)

// place writes files into a folder; an empty one is removed.
func place(t *testing.T, dir, archive string) {
	t.Helper()
	for _, f := range txtar.Parse([]byte(archive)).Files {
		path := filepath.Join(dir, f.Name)
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if len(f.Data) == 0 {
			if err := os.Remove(path); err != nil {
				t.Fatal(err)
			}
			continue
		}
		if err := os.WriteFile(path, f.Data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// notebook is an engine with a folder, and what its cells have printed.
type notebook struct {
	*Engine
	printed printed
	number  int
}

func openNotebook(t *testing.T, dir string) *notebook {
	t.Helper()
	runner, err := NewLocal(library())
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { runner.Close() })
	front := NewFront(library())
	front.SetFolder(dir)
	return &notebook{Engine: NewEngine(front, runner)}
}

// cell runs a cell and returns what it printed and its value, or its error.
func (n *notebook) cell(code string) string {
	n.number++
	n.printed.text.Reset()
	r := n.Run(context.Background(), kernel.Cell{Code: code, Number: n.number}, &n.printed)
	switch {
	case r.Err != nil:
		return r.Err.Name + ": " + r.Err.Message + "\n" + strings.Join(r.Err.Traceback, "\n")
	case r.Value != nil:
		return n.printed.text.String() + r.Value.Text()
	}
	return n.printed.text.String()
}

// printed is an output that keeps what is printed.
type printed struct {
	silence
	text strings.Builder
}

func (p *printed) Stream(_, text string) { p.text.WriteString(text) }

const gearFiles = `
-- gear/gear.go --
package gear

import (
	"errors"
	"fmt"

	"./gear/teeth"
)

const Ratio = 2

var Count = start()
var ErrNone = errors.New("gear: none")

func start() int {
	fmt.Println("gear starts")
	return teeth.Number
}

func init() { Count++ }

type Wheel struct {
	Name  string
	teeth int
}

func New(name string) *Wheel { Count++; return &Wheel{name, teeth.Number} }

func (w *Wheel) String() string { return fmt.Sprintf("%s/%d", w.Name, w.teeth) }

func At(xs []int, i int) int {
	return xs[i]
}

func Largest[T int | float64](xs ...T) (most T) {
	for _, x := range xs {
		most = max(most, x)
	}
	return most
}
-- gear/gear_test.go --
package gear_test

import "nothing"
-- gear/gear_windows.go --
package gear

func At() {}
-- gear/teeth/teeth.go --
// Package teeth is imported by gear.
package teeth

var Number = 12
`

// TestFolder runs cells that import packages kept beside the notebook, in a session in which their files change.
func TestFolder(t *testing.T) {
	dir := t.TempDir()
	place(t, dir, gearFiles)
	n := openNotebook(t, dir)
	for _, step := range []struct{ files, code, want string }{
		{"", `import "./gear"`, "^gear starts\n$"},
		{"", `gear.Count`, "^13$"},
		{"", "w := gear.New(\"first\")\nfmt.Printf(\"%v %T\", w, w)\ngear.Count", `^first/12 \*gear.Wheel14$`},
		{"", `func doubled(x int) int { return x * gear.Ratio }`, "^$"},
		{"", `func made() *gear.Wheel { return gear.New("made") }`, "^$"},
		{"", `func name(w *gear.Wheel) string { return w.Name }`, "^$"},
		{"", `gear.Largest(1, 5, 3) + doubled(4)`, "^13$"},
		{"", `w.teeth`, `^Check: cell 8, line 1, column 3: `},
		{"", `gear.At([]int{1}, 3)`, `^Panic: gear/gear.go:32:\d+: index out of range[^\n]*\n(.*\n)*gear/gear.go:32:\d+, in At\ncell 9, line 1, column 1$`},
		{"", `gear.Count`, "^14$"},
		{"-- gear/teeth/teeth.go --\npackage teeth\n\nvar Number = 20\n", `doubled(1)`, "^gear starts\n2$"},
		{"", `gear.Count`, "^21$"},
		{"", `made(), w`, `first/12`},
		{"-- gear/ratio.go --\npackage gear\n\nfunc Half(x float64) float64 { return x / Ratio }\n", `gear.Half(5)`, "^gear starts\n2.5$"},
		{"-- gear/ratio.go --\npackage gear\n\nfunc Half(x float64) float64 { return y }\n", `gear.Half(5)`, `^Check: gear/ratio.go:3:39: undefined: y\n`},
		{"", `1 + 1`, "^2$"},
		{"-- gear/ratio.go --\n", `gear.Half(5)`, `^Check: cell 17, line 1, column 6: .*Half`},
		{"-- gear/gear.go --\npackage gear\n\nconst Ratio = 10\n\ntype Wheel struct{ Label string }\n", `doubled(4)`, "^40$"},
		{"", `made()`, `made of cell 5 does not fit since cell 18 ran: cell 5, line 1, column \d+: .*New`},
		{"", `name(&gear.Wheel{Label: "x"})`, `^Check: cell 20, line 1, column 1: name of cell 6 does not fit since cell 18 ran: cell 6, line 1, column \d+: .*Name`},
		{"", `w.Name`, "^first$"},
	} {
		if step.files != "" {
			place(t, dir, step.files)
		}
		code := step.code
		if code == "made(), w" {
			code = "made()\nw"
		}
		if got := n.cell(code); !regexp.MustCompile(step.want).MatchString(got) {
			t.Errorf("cell %d: %s\ngives %q\nwant  %q", n.number, step.code, got, step.want)
		}
	}
}

// TestFolderRefusals imports packages that cannot be.
func TestFolderRefusals(t *testing.T) {
	dir := t.TempDir()
	place(t, dir, `
-- go.mod --
module marrow.example/course

go 1.26
-- fine/fine.go --
package fine

const X = 7
-- first/first.go --
package first

import _ "./second"
-- second/second.go --
package second

import "marrow.example/course/first"

var _ = first.X
-- c/c.go --
package c

import "C"
-- program/program.go --
package main

func main() {}
-- mixed/a.go --
package a
-- mixed/b.go --
package b
-- embedding/embedding.go --
package embedding

import _ "embed"

//go:embed x.txt
var text string
-- empty/readme.txt --
nothing
-- unused/unused.go --
package unused

import "fmt"
-- syntax/syntax.go --
package syntax

func f( {
-- loose/loose.go --
package loose

func Outside()
-- panics/panics.go --
package panics

var X = []int{1}[len(data)]
var data = []int{1, 2}
`)
	for _, c := range []struct{ code, want string }{
		{`import "marrow.example/course/fine"; fine.X`, `^7$`},
		{`import "./fine"; import other "marrow.example/course/fine"; fine.X + other.X`, `^14$`},
		{`import "./first"`, `^Check: second/second.go:3:8: .*import cycle: \./first imports \./second imports \./first`},
		{`import "./c"`, `^Check: c/c.go:3:8: cgo cannot be used here`},
		{`import "./program"`, `^Check: program/program.go:1:9: package main is a program`},
		{`import "./mixed"`, `^Check: mixed/b.go:1:9: package b, but the files before it`},
		{`import "./embedding"`, `^Check: embedding/embedding.go:5:1: //go:embed cannot be used here`},
		{`import "./empty"`, `^Check: cell 1, line 1, column 8: there are no Go files`},
		{`import "./nothing"`, `^Check: cell 1, line 1, column 8: there is no folder nothing beside the notebook`},
		{`import "../fine"`, `^Check: cell 1, line 1, column 8: "../fine" is not a folder below the notebook's`},
		{`import . "./fine"`, `^Check: cell 1, line 1, column 8: a package of the notebook's folder is imported by name`},
		{`import "./unused"`, `^Check: unused/unused.go:3:8: "fmt" imported and not used`},
		{`import "./syntax"`, `^Check: syntax/syntax.go:3:9: `},
		{`import "./loose"`, `^Check: loose/loose.go:3:6: func Outside has no body`},
		{`import "./panics"`, `^Panic: panics/panics.go:3:\d+: index out of range`},
	} {
		if got := openNotebook(t, dir).cell(c.code); !regexp.MustCompile(c.want).MatchString(got) {
			t.Errorf("%s\ngives %q\nwant  %q", c.code, got, c.want)
		}
	}
}
