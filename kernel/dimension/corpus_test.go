package dimension_test

import (
	"fmt"
	"go/ast"
	"go/importer"
	"go/parser"
	"go/token"
	"go/types"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"

	"golang.org/x/tools/txtar"

	"foreplane/aerolib/unit"
	"foreplane/kernel/dimension"
)

const unitPath = "foreplane/aerolib/unit"

// table is the table of quantities as the command makes it.
func table() dimension.Table {
	t := dimension.Table{Package: unitPath}
	for _, k := range unit.Kinds() {
		exact := k.Name == "Pressure" || k.Name == "Temperature"
		d := k.Dimension
		t.Kinds = append(t.Kinds, dimension.Kind{Name: k.Name, Angle: k.Angle, Of: k.Of, Exact: exact, SI: k.SI,
			Dimension: dimension.Dimension{frac(d.Mass), frac(d.Length), frac(d.Time), frac(d.Temperature)}})
	}
	return t
}

func frac(r unit.Rational) dimension.Rational { return dimension.Frac(r.Num(), r.Den()) }

var packages = strings.Fields("fmt math sort slices time errors foreplane/aerolib/atmos foreplane/aerolib/aircraft foreplane/aerolib/trim " +
	"gonum.org/v1/gonum/floats gonum.org/v1/gonum/stat gonum.org/v1/gonum/mat gonum.org/v1/gonum/interp gonum.org/v1/gonum/integrate " +
	"gonum.org/v1/gonum/integrate/quad")

// exported returns the files of export data of the packages that cells use, by path.
var exported = sync.OnceValues(func() (map[string]string, error) {
	out, err := exec.Command("go", append(strings.Fields("list -export -deps -f {{.ImportPath}}={{.Export}}"), packages...)...).Output()
	files := map[string]string{}
	for line := range strings.Lines(string(out)) {
		path, file, _ := strings.Cut(strings.TrimSpace(line), "=")
		files[path] = file
	}
	return files, err
})

// imports reads type data; all sessions share it, as they do in a kernel.
var imports = sync.OnceValue(func() types.Importer {
	return importer.ForCompiler(token.NewFileSet(), "gc", func(path string) (io.ReadCloser, error) {
		files, err := exported()
		if err != nil {
			return nil, err
		}
		return os.Open(files[path])
	})
})

// must is in scope of every cell.
const prelude = "package prelude\nfunc must[T any](v T, err error) T { return v }\nfunc show(v ...any) {}"

// session checks cells one after the other, as a kernel does.
type session struct {
	checker *dimension.Checker
	fset    *token.FileSet
	names   map[string]types.Object
	count   int
}

func newSession(t testing.TB) *session {
	t.Helper()
	s := &session{dimension.New(table()), token.NewFileSet(), map[string]types.Object{}, 0}
	file, err := parser.ParseFile(s.fset, "prelude", prelude, 0)
	if err != nil {
		t.Fatal(err)
	}
	builtins, err := new(types.Config).Check("foreplane", s.fset, []*ast.File{file}, nil)
	if err != nil {
		t.Fatal(err)
	}
	s.dot(builtins)
	for _, path := range packages {
		p := imported(t, path)
		s.names[p.Name()] = types.NewPkgName(0, nil, p.Name(), p)
	}
	s.dot(imported(t, unitPath))
	return s
}

// dot makes the names of a package known without qualifier.
func (s *session) dot(p *types.Package) {
	for _, name := range p.Scope().Names() {
		s.names[name] = p.Scope().Lookup(name)
	}
}

func imported(t testing.TB, path string) *types.Package {
	t.Helper()
	p, err := imports().Import(path)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// checked is a cell that go/types has accepted.
type checked struct {
	source dimension.Source
	pkg    *types.Package
	fn     *ast.FuncDecl // has the statements
	errs   []error
}

// parse takes functions, types and constants out of a cell, which stand at the start of a line and end at the next bracket that does, and makes the rest the
// body of a function.
func (s *session) parse(t testing.TB, text string) (decls, body *ast.File) {
	var d, b strings.Builder
	inside := false
	for line := range strings.Lines(text) {
		starts := strings.HasPrefix(line, "func ") || strings.HasPrefix(line, "type ") || strings.HasPrefix(line, "const ")
		if inside || starts {
			code, _, _ := strings.Cut(line, "//")
			code = strings.TrimSpace(code)
			open := strings.HasSuffix(code, "{") || strings.HasSuffix(code, "(")
			inside = (inside || open) && line[0] != '}' && line[0] != ')'
			d.WriteString(line)
			b.WriteString("\n")
			continue
		}
		d.WriteString("\n")
		b.WriteString(line)
	}
	s.count++
	decls, err := parser.ParseFile(s.fset, fmt.Sprintf("cell%d", s.count), "package cell;"+d.String(), parser.ParseComments)
	if err != nil {
		t.Fatalf("%v in\n%s", err, text)
	}
	body, err = parser.ParseFile(s.fset, fmt.Sprintf("cell%d", s.count), "package cell;func _(){"+b.String()+"\n}", parser.ParseComments)
	if err != nil {
		t.Fatalf("%v in\n%s", err, text)
	}
	return decls, body
}

// check runs go/types over a cell: the declarations, and then the statements.
func (s *session) check(t testing.TB, text string) checked {
	decls, body := s.parse(t, text)
	pkg := types.NewPackage("main", "cell")
	info := &types.Info{Types: map[ast.Expr]types.TypeAndValue{}, Defs: map[*ast.Ident]types.Object{}, Uses: map[*ast.Ident]types.Object{},
		Selections: map[*ast.SelectorExpr]*types.Selection{}, Implicits: map[ast.Node]types.Object{}, Scopes: map[ast.Node]*types.Scope{}}
	out := checked{pkg: pkg}
	declared := map[string]bool{}
	for _, d := range decls.Decls {
		for _, name := range declaredNames(d) {
			declared[name] = true
		}
	}
	for name, o := range s.names {
		if p, ok := o.(*types.PkgName); ok {
			o = types.NewPkgName(0, pkg, name, p.Imported())
		}
		if !declared[name] {
			pkg.Scope().Insert(o)
		}
	}
	conf := types.Config{Importer: imports(), DisableUnusedImportCheck: true, Error: func(err error) {
		if !strings.Contains(err.Error(), "declared and not used") && !strings.Contains(err.Error(), "is not used") {
			out.errs = append(out.errs, err)
		}
	}}
	types.NewChecker(&conf, s.fset, pkg, info).Files([]*ast.File{decls, body})
	f := body.Decls[0].(*ast.FuncDecl)
	out.fn = f
	out.source = dimension.Source{Fset: s.fset, Info: info, Plain: dimension.IsPlain(text)}
	for _, d := range decls.Decls {
		out.source.Nodes = append(out.source.Nodes, d)
	}
	for _, stmt := range f.Body.List {
		out.source.Nodes = append(out.source.Nodes, stmt)
	}
	return out
}

func declaredNames(d ast.Decl) []string {
	var out []string
	switch d := d.(type) {
	case *ast.FuncDecl:
		if d.Recv == nil {
			out = append(out, d.Name.Name)
		}
	case *ast.GenDecl:
		for _, s := range d.Specs {
			switch s := s.(type) {
			case *ast.TypeSpec:
				out = append(out, s.Name.Name)
			case *ast.ValueSpec:
				for _, n := range s.Names {
					out = append(out, n.Name)
				}
			}
		}
	}
	return out
}

// commit makes the names of a cell known to the next ones.
func (s *session) commit(c checked) {
	for _, name := range c.pkg.Scope().Names() {
		s.names[name] = c.pkg.Scope().Lookup(name)
	}
	top := c.source.Info.Scopes[c.fn.Type]
	for _, name := range top.Names() {
		s.names[name] = top.Lookup(name)
	}
}

// run checks a cell and returns what was found, as "line: error: text".
func (s *session) run(t testing.TB, text string) []dimension.Finding {
	c := s.check(t, text)
	if len(c.errs) > 0 {
		found := dimension.Slips(c.source.Info, c.source.Nodes...)
		if len(found) == 0 {
			t.Errorf("%v in\n%s", c.errs, text)
		}
		return found
	}
	found := s.checker.Check(c.source).Findings
	if !slices.ContainsFunc(found, func(f dimension.Finding) bool { return f.Severity == dimension.Error }) {
		s.commit(c)
	}
	return found
}

var expectation = regexp.MustCompile("(ERROR|NOTE) (\"[^\"]*\"|`[^`]*`)")

// compare holds what was found in a cell against its comments.
func (s *session) compare(t *testing.T, text string, found []dimension.Finding) {
	t.Helper()
	byLine := map[int][]string{}
	for _, f := range found {
		line := s.fset.Position(f.Pos).Line
		byLine[line] = append(byLine[line], strings.ToUpper(string(f.Severity))+" "+f.Message)
	}
	for i, line := range strings.Split(text, "\n") {
		got := byLine[i+1]
		for _, m := range expectation.FindAllStringSubmatch(line, -1) {
			pattern := m[2][1 : len(m[2])-1]
			at := -1
			for j, g := range got {
				if ok, err := regexp.MatchString("^"+m[1]+" .*"+pattern, g); err != nil {
					t.Fatal(err)
				} else if ok {
					at = j
				}
			}
			if at < 0 {
				t.Errorf("line %d: %s\nwant %s %s\ngot  %q", i+1, strings.TrimSpace(line), m[1], pattern, got)
				continue
			}
			got = append(got[:at:at], got[at+1:]...)
		}
		for _, g := range got {
			t.Errorf("line %d: %s\nnot expected: %s", i+1, strings.TrimSpace(line), g)
		}
	}
}

// TestCorpus runs the cells in testdata. A case is a session, whose cells are separated by lines of three dashes; what is to be found in a line stands in
// a comment of it.
func TestCorpus(t *testing.T) {
	files, err := filepath.Glob("testdata/*.txtar")
	if err != nil || len(files) == 0 {
		t.Fatal("no cases", err)
	}
	silent, telling := 0, 0
	for _, file := range files {
		archive, err := txtar.ParseFile(file)
		if err != nil {
			t.Fatal(err)
		}
		for _, c := range archive.Files {
			t.Run(c.Name, func(t *testing.T) {
				s := newSession(t)
				for cell := range strings.SplitSeq(string(c.Data), "---\n") {
					if expectation.MatchString(cell) {
						telling++
					} else {
						silent++
					}
					s.compare(t, cell, s.run(t, cell))
				}
			})
		}
	}
	t.Logf("%d cells with findings, %d silent", telling, silent)
	if telling < 150 || silent < 150 {
		t.Error("the corpus has shrunk")
	}
}
