package cell

import (
	"bytes"
	"context"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"golang.org/x/tools/txtar"

	"foreplane/kernel"
	"foreplane/kernel/symbols"
)

var only = flag.String("only", "", "run the programs of the corpus whose names match")

// program is a case of the corpus: imports and declarations with a func main.
type program struct {
	name, text string
}

// TestCorpus runs every program of testdata/corpus compiled and as a cell, in two ways: with a call of main, and with the statements of main at top level.
// What they print must be equal. A program whose name ends in _refused must be refused.
func TestCorpus(t *testing.T) {
	programs := readCorpus(t)
	want := compileAll(t, programs)
	refused := 0
	for _, p := range programs {
		for _, way := range []func(string) string{calling, unwrapped} {
			got, err := runCell(t, way(p.text))
			switch {
			case strings.HasSuffix(p.name, "_refused"):
				if err == nil || err.Name != "Refused" {
					t.Errorf("%s: not refused: %v\n%s", p.name, err, got)
				}
				refused++
			case err != nil:
				t.Errorf("%s: %v\n%s", p.name, err, strings.Join(err.Traceback, "\n"))
			case got != want[p.name]:
				t.Errorf("%s:\ngot\n%swant\n%s", p.name, got, want[p.name])
			}
		}
	}
	t.Logf("%d programs, %d refused", len(programs), refused/2)
}

func readCorpus(t *testing.T) []program {
	files, err := filepath.Glob("testdata/corpus/*.txtar")
	if err != nil || len(files) == 0 {
		t.Fatal("no corpus", err)
	}
	pattern := regexp.MustCompile(*only)
	var out []program
	for _, file := range files {
		a, err := txtar.ParseFile(file)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range a.Files {
			if name := strings.TrimSuffix(filepath.Base(file), ".txtar") + "_" + f.Name; pattern.MatchString(name) {
				out = append(out, program{name, string(f.Data)})
			}
		}
	}
	return out
}

// compileAll returns what the programs print, all as packages of one executable.
func compileAll(t *testing.T, programs []program) map[string]string {
	dir := t.TempDir()
	write := func(name, text string) {
		path := filepath.Join(dir, name)
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	var imports, calls strings.Builder
	for i, p := range programs {
		if strings.HasSuffix(p.name, "_refused") {
			continue
		}

		write(fmt.Sprintf("p%d/p.go", i), fmt.Sprintf("package p%d\n%s\nfunc Run() { main() }\n", i, p.text))
		fmt.Fprintf(&imports, "import \"corpus/p%d\"\n", i)
		fmt.Fprintf(&calls, "\tp%d.Run()\n\tprint(%q)\n", i, separator+p.name+"\n")
	}
	write("go.mod", "module corpus\n\ngo 1.26.0\n")
	write("main.go", "package main\n\nimport \"os\"\n"+imports.String()+"\nfunc print(s string) { os.Stdout.WriteString(s) }\n\nfunc main() {\n"+calls.String()+"}\n")
	build := exec.Command("go", "build", "-trimpath", "-o", "corpus", ".")
	build.Dir = dir
	if out, err := build.CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	var errs bytes.Buffer
	run := exec.Command(filepath.Join(dir, "corpus"))
	run.Stderr = &errs
	out, err := run.Output()
	if err != nil {
		t.Fatalf("%v\n%s%s", err, out, errs.Bytes())
	}
	want := map[string]string{}
	rest := string(out)
	for rest != "" {
		text, after, _ := strings.Cut(rest, separator)
		name, next, _ := strings.Cut(after, "\n")
		want[name], rest = packageName.ReplaceAllString(text, "main."), next
	}
	return want
}

// packageName is what the packages of programs are called in the common executable.
var packageName = regexp.MustCompile(`\bp\d+\.`)

const separator = "\x00 end of "

// calling is the program as a cell that calls main.
func calling(text string) string { return text + "\nmain()\n" }

var mainFunc = regexp.MustCompile(`(?ms)^func main\(\) \{\n(.*?)^\}\n`)

// unwrapped is the program as a cell with the statements of main at top level, where that is possible.
func unwrapped(text string) string {
	if m := mainFunc.FindStringSubmatch(text); m == nil || regexp.MustCompile(`(?m)^\treturn|\bmain\(\)`).MatchString(m[1]) {
		return calling(text)
	}
	return mainFunc.ReplaceAllString(text, "$1\n")
}

// collector gathers what cells print and show.
type collector struct {
	noOutput
	mu  sync.Mutex
	buf strings.Builder
}

func (c *collector) Stream(name, text string) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.buf.WriteString(text)
}

// runCell runs one cell in a session of its own and returns what it printed.
func runCell(t *testing.T, code string) (string, *kernel.CellError) {
	runner, err := NewLocal(symbols.Library)
	if err != nil {
		t.Fatal(err)
	}
	e := NewEngine(NewFront(symbols.Library), runner)
	defer e.Close()
	ctx, cancel := context.WithTimeout(context.Background(), 20*time.Second)
	defer cancel()
	var out collector
	r := e.Run(ctx, kernel.Cell{Code: code, Number: 1}, &out)
	return out.buf.String(), r.Err
}
