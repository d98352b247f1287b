package against

import (
	"bytes"
	"flag"
	"go/ast"
	"go/build/constraint"
	"go/format"
	"go/importer"
	"go/parser"
	"go/token"
	"go/types"
	"io/fs"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"strings"
	"sync"
	"testing"
)

// TestDistribution runs the programs that the Go distribution tests its compiler with. They print nothing and end if all is well, or print what
// stands in a file beside them. Some distributions come without them: then there is nothing to hold cells against.
func TestDistribution(t *testing.T) {
	root, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		t.Fatal(err)
	}
	dir := filepath.Join(strings.TrimSpace(string(root)), "test")
	if _, err := os.Stat(dir); err != nil {
		t.Logf("this Go distribution has no tests of its compiler: nothing is compared (%v)", err)
		return
	}
	tests, excluded := findDistribution(t, dir)
	for _, reason := range slices.Sorted(maps.Keys(excluded)) {
		t.Logf("excluded: %4d %s", excluded[reason], reason)
	}
	verdicts := map[string]verdict{}
	var mu sync.Mutex
	check := newChecker()
	each(len(tests), func(h *host, i int) {
		v := tests[i].run(h, check)
		mu.Lock()
		defer mu.Unlock()
		verdicts[tests[i].name] = v
	})
	holdAgainstKnown(t, "distribution.txt", verdicts)
}

// distributionTest is one program, and what it prints.
type distributionTest struct {
	name, source, want string
}

var runLine = regexp.MustCompile(`(?m)^// run( .*)?$`)

// findDistribution reads the programs marked to be run, and counts by reason those that say nothing about the language.
func findDistribution(t *testing.T, dir string) (tests []distributionTest, excluded map[string]int) {
	excluded = map[string]int{}
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.Contains(path, ".dir/") {
			return err
		}
		text, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		mark := runLine.FindStringSubmatch(string(text))
		if mark == nil {
			return nil
		}
		name, _ := filepath.Rel(dir, path)
		if less := scaled[name]; !*full && less[0] != "" {
			if !strings.Contains(string(text), less[0]) {
				t.Errorf("%s has no %q to replace", name, less[0])
			}
			text = []byte(strings.Replace(string(text), less[0], less[1], 1))
		}
		if reason := exclusion(name, mark[1], string(text)); reason != "" {
			excluded[reason]++
			return nil
		}
		want, _ := os.ReadFile(strings.TrimSuffix(path, ".go") + ".out")
		tests = append(tests, distributionTest{name, string(text), string(want)})
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return tests, excluded
}

// excludedImports are packages that no cell can import, with what a program that does is about.
var excludedImports = map[string]string{
	"unsafe": "memory layout (unsafe)", "syscall": "the system (syscall)", "C": "cgo", "runtime": "the runtime", "runtime/debug": "the runtime",
	"runtime/cgo": "cgo", "runtime/trace": "the runtime", "runtime/pprof": "the runtime", "runtime/metrics": "the runtime", "os/exec": "running other programs", "os/signal": "the system (os/signal)",
	"testing": "measuring (testing)", "plugin": "build mechanics", "go/build": "build mechanics", "go/types": "build mechanics", "go/ast": "build mechanics",
	"go/parser": "build mechanics", "go/token": "build mechanics", "debug/elf": "build mechanics", "debug/macho": "build mechanics",
}

// excludedPrograms say nothing about the language either, but no rule tells.
var excludedPrograms = map[string]string{
	"sigchld.go": "the system (signals)",
}

// scaled are programs that compiled code is through with in a second, and an interpreter in minutes: here they do the same less often. With -full they run
// as they are.
var scaled = map[string][2]string{
	"copy.go":                 {"length < N; length++", "length < N; length += 10"},
	"divmod.go":               {"gen2(2, 64, 1, 64, checkdiv1)", "gen2(1, 24, 1, 24, checkdiv1)"},
	"fixedbugs/issue13169.go": {"const n = 100000", "const n = 100"},
	"fixedbugs/issue16249.go": {"i < 1000", "i < 30"},
	"fixedbugs/issue59680.go": {"recur(10101)", "recur(301)"},
	"ken/divconst.go":         {"Count = 1e5", "Count = 1e3"},
	"ken/modconst.go":         {"Count = 1e5", "Count = 1e3"},
}

var full = flag.Bool("full", false, "run the programs of the Go distribution as they are, also those that take minutes")

// exclusion says why a program is not eligible, or nothing.
func exclusion(name, options, source string) string {
	if reason := excludedPrograms[name]; reason != "" {
		return reason
	}
	switch {
	case strings.HasPrefix(name, "abi/"):
		return "calling conventions (folder abi)"
	case strings.HasPrefix(name, "dwarf/"):
		return "debug information (folder dwarf)"
	case strings.HasPrefix(strings.TrimSpace(options), "-"), strings.Contains(options, "go-run"), strings.Contains(options, "arg1"), strings.HasSuffix(options, ".go"):
		return "build mechanics (flags of its run line)"
	case strings.Contains(source, "//go:linkname"):
		return "build mechanics (linkname)"
	case strings.Contains(source, "os.Exit(0)"), strings.Contains(source, "os.Args"):
		return "the process (exit, arguments)"
	}
	for line := range strings.Lines(source) {
		if x, err := constraint.Parse(strings.TrimSpace(line)); err == nil && !x.Eval(satisfied) {
			return "other systems (build constraint)"
		}
	}
	file, err := parser.ParseFile(token.NewFileSet(), name, source, parser.ImportsOnly)
	if err != nil {
		return "" // a cell has to say so
	}
	for _, i := range file.Imports {
		if reason := excludedImports[strings.Trim(i.Path.Value, "\"`")]; reason != "" {
			return reason
		}
	}
	return ""
}

func satisfied(tag string) bool {
	return tag == runtime.GOOS || tag == runtime.GOARCH || tag == "unix" || tag == "gc" || tag == "cgo" || strings.HasPrefix(tag, "go1.")
}

// run runs a program as one cell.
func (d distributionTest) run(h *host, check *checker) verdict {
	code, err := check.adapt(d.name, d.source)
	if err != nil {
		return verdict{wrong, "adapter: " + err.Error()}
	}
	h.joined = true
	a, err := h.run(order{Fresh: true, Code: plain + code, Number: 1})
	switch {
	case err != nil:
		return verdict{wrong, err.Error()}
	case a.Err != nil && a.Err.Name == "Refused":
		return verdict{refused, a.Err.Message}
	case a.Err != nil:
		return verdict{wrong, a.Err.Error()}
	case a.Stdout != d.want:
		return verdict{wrong, difference(end{stdout: a.Stdout}, end{stdout: d.want})}
	}
	return verdict{kind: pass}
}

// checker type-checks programs for the adapter.
type checker struct {
	mu  sync.Mutex
	set *token.FileSet
	imp types.Importer
}

func newChecker() *checker {
	set := token.NewFileSet()
	return &checker{set: set, imp: importer.ForCompiler(set, "source", nil)}
}

// adapt makes a cell of a file: main and init get other names and are called at the end, since a cell cannot declare them, and variables stand in the
// order in which Go initialises them, since the statements of a cell run from top to bottom.
func (c *checker) adapt(name, source string) (string, error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	file, err := parser.ParseFile(c.set, name, source, parser.SkipObjectResolution)
	if err != nil {
		return "", err
	}
	info := &types.Info{Defs: map[*ast.Ident]types.Object{}, Uses: map[*ast.Ident]types.Object{}}
	config := types.Config{Importer: c.imp, Error: func(error) {}}
	config.Check("main", c.set, []*ast.File{file}, info)
	calls := renameEntries(file, info)
	var parts [3]bytes.Buffer // imports, other declarations, variables
	for _, d := range slices.Concat(slices.DeleteFunc(slices.Clone(file.Decls), isVar), variables(file.Decls, info)) {
		n := 1
		if g, ok := d.(*ast.GenDecl); ok && g.Tok == token.IMPORT {
			n = 0
		} else if ok && g.Tok == token.VAR {
			n = 2
		}
		if err := format.Node(&parts[n], c.set, d); err != nil {
			return "", err
		}
		parts[n].WriteString("\n\n")
	}
	return parts[0].String() + parts[1].String() + parts[2].String() + strings.Join(calls, "\n"), nil
}

// renameEntries gives main and each init another name, and returns the calls of them.
func renameEntries(file *ast.File, info *types.Info) (calls []string) {
	var entry types.Object
	for _, d := range file.Decls {
		f, ok := d.(*ast.FuncDecl)
		if !ok || f.Recv != nil {
			continue
		}
		switch f.Name.Name {
		case "main":
			entry = info.Defs[f.Name]
			f.Name.Name = "programMain"
		case "init":
			f.Name.Name = "programInit" + string(rune('A'+len(calls)))
			calls = append(calls, f.Name.Name+"()")
		}
	}
	for id, o := range info.Uses {
		if o == entry && entry != nil {
			id.Name = "programMain"
		}
	}
	return append(calls, "programMain()")
}

func isVar(d ast.Decl) bool {
	g, ok := d.(*ast.GenDecl)
	return ok && g.Tok == token.VAR
}

// variables returns the declarations of variables, one for each, in the order in which a program sets them.
func variables(decls []ast.Decl, info *types.Info) []ast.Decl {
	var first, rest []ast.Decl
	specs := map[types.Object]*ast.ValueSpec{}
	for _, d := range decls {
		if !isVar(d) {
			continue
		}
		for _, s := range d.(*ast.GenDecl).Specs {
			v := s.(*ast.ValueSpec)
			if len(v.Values) == 0 {
				first = append(first, &ast.GenDecl{Tok: token.VAR, Specs: []ast.Spec{v}})
			}
			for _, id := range v.Names {
				specs[info.Defs[id]] = v
			}
		}
	}
	for _, i := range info.InitOrder {
		v := &ast.ValueSpec{Type: specs[i.Lhs[0]].Type, Values: []ast.Expr{i.Rhs}}
		for _, o := range i.Lhs {
			v.Names = append(v.Names, ast.NewIdent(o.Name()))
		}
		rest = append(rest, &ast.GenDecl{Tok: token.VAR, Specs: []ast.Spec{v}})
	}
	return append(first, rest...)
}
