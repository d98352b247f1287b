package main

import (
	"bytes"
	"context"
	"errors"
	"flag"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/spf13/cobra"

	"foreplane/kernel/notebook"
)

const canardTrim = "../../notebooks/canard-trim.ipynb"

// picture is the figure of the notebook that the README shows.
const picture = "../../notebooks/canard-trim.svg"

var update = flag.Bool("update", false, "write the picture of the README anew")

// TestPicture holds that the README shows what the notebook makes.
func TestPicture(t *testing.T) {
	var made string
	for _, c := range runDocument(t, original(t)).Cells {
		if c.ID == "margin" {
			made, _ = c.Outputs[0].Data["image/svg+xml"].(string)
		}
	}
	if *update {
		if err := os.WriteFile(picture, []byte(made), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if made == "" || made != string(read(t, picture)) {
		t.Error("the picture is not what the notebook makes now: run go test ./cmd/foreplane -update")
	}
}

// TestMain lets the test binary be the worker that the engine starts from its own executable, and the kernel that a test starts.
func TestMain(m *testing.M) {
	if isVetTool(os.Args[1:]) {
		vetTool()
	}
	if command := asCommand(os.Args[1:]); command != nil {
		os.Exit(exitCode(command.Execute()))
	}
	os.Exit(m.Run())
}

// asCommand returns the command that the test binary is started for, or nil.
func asCommand(args []string) *cobra.Command {
	for _, cmd := range []*cobra.Command{workerCommand(), kernelCommand()} {
		if len(args) > 0 && args[0] == cmd.Name() {
			cmd.SetArgs(args[1:])
			return cmd
		}
	}
	return nil
}

// runFile runs a notebook into a folder and returns the exit code with what was said.
func runFile(ctx context.Context, path string, s runSettings) (code int, said string) {
	var messages strings.Builder
	err := run(ctx, &messages, path, s)
	if err == nil {
		return exitOK, messages.String()
	}
	var e *exitError
	if !errors.As(err, &e) {
		return exitUsage, err.Error()
	}
	return e.code, messages.String() + err.Error()
}

// runDocument runs a notebook given as a document and returns it executed.
func runDocument(t *testing.T, doc *notebook.Document) *notebook.Document {
	t.Helper()
	dir := t.TempDir()
	path := filepath.Join(dir, "case.ipynb")
	if err := notebook.WriteFile(path, doc); err != nil {
		t.Fatal(err)
	}
	if code, said := runFile(t.Context(), path, runSettings{}); code != exitOK {
		t.Fatalf("exit code %d: %s", code, said)
	}
	out, err := notebook.ReadFile(filepath.Join(dir, "case.out.ipynb"))
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func read(t *testing.T, path string) []byte {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func original(t *testing.T) *notebook.Document {
	t.Helper()
	doc, err := notebook.ReadFile(canardTrim)
	if err != nil {
		t.Fatal(err)
	}
	return doc
}

// TestMainJob runs the notebook of the README twice: both results are there, nothing failed, and the bytes are the same.
func TestMainJob(t *testing.T) {
	first, second := t.TempDir(), t.TempDir()
	before := read(t, canardTrim)
	for _, dir := range []string{first, second} {
		if code, said := runFile(t.Context(), canardTrim, runSettings{to: dir}); code != exitOK {
			t.Fatalf("exit code %d: %s", code, said)
		}
	}
	for _, name := range []string{"canard-trim.out.ipynb", "canard-trim.html"} {
		a, b := read(t, filepath.Join(first, name)), read(t, filepath.Join(second, name))
		if !bytes.Equal(a, b) {
			t.Errorf("%s differs from run to run", name)
		}
		if bytes.Count(a, []byte("<svg")) < 6 {
			t.Errorf("%s holds fewer figures than the notebook makes", name)
		}
	}
	if !bytes.Equal(before, read(t, canardTrim)) {
		t.Error("the notebook itself was changed")
	}
}

// TestCaseMatters changes one input of the notebook at a time: every cell whose result depends on it must show something else, and no other.
func TestCaseMatters(t *testing.T) {
	// Neutral points move with mass, altitude and CG by what the thrust that balances the drag does to them.
	altitude := []string{"aeroplanes", "sedge", "bracken", "shares", "verdict", "margin", "neutral-sedge", "neutral-bracken", "planform-sedge", "planform-bracken", "diagram", "moments",
		"compare"}
	base := outputsOf(runDocument(t, original(t)))
	for _, c := range []struct {
		from, to string
		changes  []string
	}{
		{"700 * Kilogram", "650 * Kilogram", []string{"aeroplanes", "sedge", "bracken", "shares", "verdict", "margin", "neutral-sedge", "neutral-bracken", "planform-sedge", "planform-bracken", "diagram", "moments",
			"compare"}},
		{"6500 * Foot", "1500 * Foot", altitude},
		{"3.38 * Metre", "3.42 * Metre", []string{"sedge", "shares", "verdict", "margin", "neutral-sedge", "planform-sedge", "diagram", "moments", "compare"}},
		{"2.40 * Metre", "2.50 * Metre", []string{"bracken", "shares", "verdict", "margin", "neutral-bracken", "planform-bracken", "diagram", "compare"}},
	} {
		doc := original(t)
		for i := range doc.Cells {
			doc.Cells[i].Source = strings.Replace(doc.Cells[i].Source, c.from, c.to, 1)
		}
		got := outputsOf(runDocument(t, doc))
		for id := range base {
			changed, wanted := got[id] != base[id], slices.Contains(c.changes, id)
			if changed != wanted && id != "check" {
				t.Errorf("%s for %s: cell %q changed is %v, want %v", c.to, c.from, id, changed, wanted)
			}
		}
	}
}

// outputsOf returns what each code cell shows, by its id.
func outputsOf(doc *notebook.Document) map[string]string {
	shown := map[string]string{}
	for _, c := range doc.Cells {
		var b strings.Builder
		for _, o := range c.Outputs {
			b.WriteString(o.Text)
			for _, kind := range []string{"text/html", "image/svg+xml", "text/plain"} {
				if s, ok := o.Data[kind].(string); ok {
					b.WriteString(s)
				}
			}
		}
		if c.Kind == notebook.Code {
			shown[c.ID] = b.String()
		}
	}
	return shown
}

func TestBadInput(t *testing.T) {
	dir := t.TempDir()
	file := func(name, text string) string {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		return path
	}
	good := file("good.ipynb", `{"nbformat":4,"nbformat_minor":5,"metadata":{},"cells":[]}`)
	for _, c := range []struct {
		name, path, to string
		code           int
		says           string
	}{
		{"missing", filepath.Join(dir, "none.ipynb"), "", exitInput, "no such file"},
		{"a folder", dir, "", exitInput, "directory"},
		{"not JSON", file("text.ipynb", "# notes\n"), "", exitInput, "line 1"},
		{"cut off", file("half.ipynb", `{"nbformat":4,"cells":[`), "", exitInput, "half.ipynb"},
		{"old format", file("old.ipynb", `{"nbformat":3,"nbformat_minor":0,"metadata":{},"worksheets":[]}`), "", exitInput, "nbformat 3"},
		{"new format", file("new.ipynb", `{"nbformat":5,"nbformat_minor":0,"metadata":{},"cells":[]}`), "", exitInput, "nbformat 5"},
		{"other language", file("py.ipynb", `{"nbformat":4,"nbformat_minor":5,"metadata":{"language_info":{"name":"python"}},"cells":[]}`), "", exitInput, "python"},
		{"no folder", good, filepath.Join(good, "results"), exitOutput, "good.ipynb"},
		{"read-only folder", good, readOnly(t), exitOutput, "cannot write results"},
	} {
		t.Run(c.name, func(t *testing.T) {
			code, said := runFile(t.Context(), c.path, runSettings{to: c.to})
			if code != c.code || !strings.Contains(said, c.says) {
				t.Errorf("exit code %d, want %d: %s (want a word about %q)", code, c.code, said, c.says)
			}
		})
	}
}

// readOnly is a folder that exists and cannot be written to. Permissions do not hold root back, the system's own files do.
func readOnly(t *testing.T) string {
	if os.Getuid() == 0 {
		return "/sys/kernel"
	}
	dir := t.TempDir()
	if err := os.Chmod(dir, 0o555); err != nil {
		t.Fatal(err)
	}
	return dir
}

// cells is a notebook with these code cells; one that begins with "#TAG " has that tag.
func cells(sources ...string) *notebook.Document {
	doc := &notebook.Document{Minor: notebook.Minor}
	for i, s := range sources {
		c := notebook.Cell{ID: string(rune('a' + i)), Kind: notebook.Code, Source: s, Metadata: notebook.Object{}}
		if tag, rest, ok := strings.Cut(s, " "); ok && strings.HasPrefix(tag, "#") {
			c.Source, c.Metadata["tags"] = rest, []any{tag[1:]}
		}
		doc.Cells = append(doc.Cells, c)
	}
	return doc
}

// code writes a notebook with these code cells and returns its path.
func code(t *testing.T, sources ...string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "cells.ipynb")
	if err := notebook.WriteFile(path, cells(sources...)); err != nil {
		t.Fatal(err)
	}
	return path
}

// TestOrder holds that a run names the cells whose results depend on the order of runs.
func TestOrder(t *testing.T) {
	path := code(t, "n := 1\nm := 2", "n = n * 3", "n + m", "m")
	_, said := runFile(t.Context(), path, runSettings{})
	if want := "note: n is set by cells 1, 2: what cells 2, 3 come to depends on the order in which they run\n"; !strings.HasSuffix(said, want) {
		t.Errorf("said %q, not %q", said, want)
	}
}

func TestFailingCell(t *testing.T) {
	for _, c := range []struct {
		keepGoing bool
		want      []string // output of each cell
	}{
		{false, []string{"1\n", "", ""}},
		{true, []string{"1\n", "", "3\n"}},
	} {
		path := code(t, "fmt.Println(1)", "var s string = 2", "fmt.Println(3)")
		exit, said := runFile(t.Context(), path, runSettings{keepGoing: c.keepGoing})
		if exit != exitCellFailed || !strings.Contains(said, "cell 2") {
			t.Errorf("keepGoing %v: exit code %d: %s", c.keepGoing, exit, said)
		}
		doc, err := notebook.ReadFile(strings.TrimSuffix(path, ".ipynb") + ".out.ipynb")
		if err != nil {
			t.Fatal(err)
		}
		for i, cell := range doc.Cells {
			text := ""
			for _, o := range cell.Outputs {
				text += o.Text
			}
			if text != c.want[i] {
				t.Errorf("keepGoing %v: cell %d shows %q, want %q", c.keepGoing, i+1, text, c.want[i])
			}
		}
	}
}

// TestInterrupted ends a run in its second cell: what the first one showed is written.
// TestLimit holds that a cell without end fails, and that the cells behind it can go on.
func TestLimit(t *testing.T) {
	path := code(t, "n := 0", "for { n++ }", "n > 0")
	code, said := runFile(t.Context(), path, runSettings{limit: 200 * time.Millisecond, keepGoing: true})
	if want := "cell 2 of the notebook failed: TimeLimit: it took longer than 200ms and was interrupted"; code != exitCellFailed || !strings.HasSuffix(said, want) {
		t.Errorf("exit code %d: %s", code, said)
	}
	if doc, err := notebook.ReadFile(strings.TrimSuffix(path, "ipynb") + "out.ipynb"); err != nil || doc.Cells[2].Outputs[0].Data["text/plain"] != "true" {
		t.Errorf("the cell behind it: %v, %v", doc.Cells[2].Outputs, err)
	}
}

func TestInterrupted(t *testing.T) {
	path := code(t, "fmt.Println(1)", "for {\n}", "fmt.Println(3)")
	ctx, cancel := context.WithTimeout(t.Context(), 2*time.Second)
	defer cancel()
	exit, said := runFile(ctx, path, runSettings{})
	if exit != exitInterrupted {
		t.Errorf("exit code %d: %s", exit, said)
	}
	doc, err := notebook.ReadFile(strings.TrimSuffix(path, ".ipynb") + ".out.ipynb")
	if err != nil {
		t.Fatal(err)
	}
	if o := doc.Cells[0].Outputs; len(o) != 1 || o[0].Text != "1\n" {
		t.Errorf("first cell: %+v", o)
	}
	if len(doc.Cells[2].Outputs) != 0 {
		t.Error("a cell that was not run has outputs")
	}
}

func TestVersion(t *testing.T) {
	var out strings.Builder
	cmd := versionCommand()
	cmd.SetOut(&out)
	cmd.SetErr(io.Discard)
	if err := cmd.Execute(); err != nil || !strings.HasPrefix(out.String(), "foreplane ") {
		t.Errorf("%q, %v", out.String(), err)
	}
}
