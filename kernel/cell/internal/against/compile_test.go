package against

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// unit is a program as part of an executable with many: a file of a package, with a function to call. Its package has a name of four letters that
// the output is searched for: it must read main there, and keep its width.
type unit struct {
	name  string
	pkg   string
	entry string
	text  string
}

// asUnit is a program in a package of its own.
func (p program) asUnit(number int) unit {
	pkg := fmt.Sprintf("m%c%c%c", 'a'+number/260%26, 'a'+number/10%26, '0'+number%10)
	return unit{p.name, pkg, "Main", "package " + pkg + "\n\n" + p.imports + p.decls + "func Main() {" + p.body + "}\n"}
}

// executable holds compiled programs.
type executable struct {
	path  string
	units map[string]unit
}

// home is the package that programs are compiled in. It is nowhere on disk: the compiler is shown it by an overlay. So paths do not change from run to
// run, the build cache knows what it has seen, and programs can import what this module can.
const home = "foreplane/kernel/cell/internal/against/programs"

// build compiles programs in one run of the compiler.
func build(t *testing.T, units []unit) *executable {
	t.Helper()
	dir, overlay := t.TempDir(), map[string]string{}
	put := func(name, text string) {
		path, err := filepath.Abs(filepath.Join(filepath.Base(home), name))
		if err != nil {
			t.Fatal(err)
		}
		overlay[path] = filepath.Join(dir, name)
		write(t, overlay[path], text)
	}
	x := &executable{filepath.Join(dir, "programs"), map[string]unit{}}
	var imports, table strings.Builder
	imported := map[string]bool{}
	for i, u := range units {
		put(filepath.Join(u.pkg, fmt.Sprintf("f%d.go", i)), u.text)
		if !imported[u.pkg] {
			fmt.Fprintf(&imports, "\t%q\n", home+"/"+u.pkg)
			imported[u.pkg] = true
		}
		fmt.Fprintf(&table, "\t%q: %s.%s,\n", u.name, u.pkg, u.entry)
		x.units[u.name] = u
	}
	put("main.go", fmt.Sprintf(driver, imports.String(), table.String(), begins))
	replace, err := json.Marshal(map[string]any{"Replace": overlay})
	if err != nil {
		t.Fatal(err)
	}
	write(t, filepath.Join(dir, "overlay.json"), string(replace))
	cmd := exec.Command("go", "build", "-overlay", filepath.Join(dir, "overlay.json"), "-gcflags=-e", "-o", x.path, home)
	cmd.Env = append(os.Environ(), "GOWORK=off", "GOFLAGS=", "CGO_ENABLED=0")
	if out, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("go build: %v\n%.4000s", err, out)
	}
	return x
}

// begins is printed to both streams before the program: what comes before is of the variables of other programs.
const begins = "\x00program\n"

const driver = `package main

import (
	"os"

%s)

var programs = map[string]func(){
%s}

func main() {
	os.Stdout.WriteString(%[3]q)
	os.Stderr.WriteString(%[3]q)
	programs[os.Args[1]]()
}
`

func write(t *testing.T, path, text string) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}

// run runs one program.
func (x *executable) run(name string) (end, error) {
	ctx, cancel := context.WithTimeout(context.Background(), patience)
	defer cancel()
	var stdout, stderr bytes.Buffer
	cmd := exec.CommandContext(ctx, x.path, name)
	cmd.Stdout, cmd.Stderr = &stdout, &stderr
	err := cmd.Run()
	e := end{stdout: x.clean(name, stdout.String()), stderr: x.clean(name, stderr.String())}
	if err == nil {
		return e, nil
	}
	before, after, ok := strings.Cut(e.stderr, "panic: ")
	if exit := (*exec.ExitError)(nil); !ok || !errors.As(err, &exit) {
		return e, fmt.Errorf("compiled, %s: %w\n%s", name, err, e.stderr)
	}
	message, _, _ := strings.Cut(after, "\n\ngoroutine ")
	message, _, _ = strings.Cut(message, "\n[signal ")
	e.stderr, e.panic = before, bare(strings.ReplaceAll(message, "\n\t", "\n")) // the run time indents all lines but the first
	return e, nil
}

func (x *executable) clean(name, printed string) string {
	_, printed, _ = strings.Cut(printed, begins)
	pkg := x.units[name].pkg + "."
	printed = strings.ReplaceAll(printed, home+"/"+pkg, "main.") // in front of type arguments
	printed = strings.ReplaceAll(printed, strings.ToUpper(pkg), "MAIN.")
	return strings.ReplaceAll(printed, pkg, "main.")
}
