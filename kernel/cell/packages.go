package cell

import (
	"embed"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"go/types"
	"io/fs"
	"maps"
	"path"
	"slices"
	"strings"
)

// Packages that are lowered as cells are. The generic functions and types of the standard library are such: there is no compiled code of them. Their source
// is the distribution's, as far as the library has it, and what stands in the folder internal/generic in place of it.

//go:embed internal/generic
var genericFiles embed.FS

const genericFolder = "internal/generic"

// sourcePath is in front of the import path in what go/types takes for the path of the generic part of a package of the standard library. Only iter has its
// own path, by which type data refers to it.
const sourcePath = "source:"

// sourcePackage is a package with the source of its functions.
type sourcePackage struct {
	pkg       *types.Package
	info      *types.Info
	functions map[*types.Func]*declaredFunc
}

// sourceChecker checks the files of one package.
type sourceChecker struct {
	files    *files
	importer types.Importer
	path     string // for go/types
	syntax   []*ast.File
	found    problems
}

// check checks the package in a scope that also knows the given objects.
func (c *sourceChecker) check(name string, known []types.Object) *sourcePackage {
	p := &sourcePackage{pkg: types.NewPackage(c.path, name), info: newInfo(), functions: map[*types.Func]*declaredFunc{}}
	for _, o := range known {
		p.pkg.Scope().Insert(o)
	}
	config := types.Config{Importer: c.importer, Error: c.report}
	types.NewChecker(&config, c.files.set, p.pkg, p.info).Files(c.syntax)
	p.pkg.MarkComplete()
	for _, f := range c.syntax {
		for _, d := range f.Decls {
			if d, ok := d.(*ast.FuncDecl); ok {
				p.declare(d)
			}
		}
	}
	return p
}

func (c *sourceChecker) report(err error) {
	e := err.(types.Error)
	c.found = append(c.found, problem{place: c.files.place(e.Pos), message: e.Msg})
}

// declare notes a function or method. To the lowering, a receiver is the first parameter.
func (p *sourcePackage) declare(d *ast.FuncDecl) {
	f, ok := p.info.Defs[d.Name].(*types.Func)
	if !ok {
		return
	}
	sig := f.Signature()
	var params []*types.Var
	if r := sig.Recv(); r != nil {
		params = append(params, r)
	}
	params = append(params, slices.Collect(sig.Params().Variables())...)
	body := types.NewSignatureType(nil, nil, nil, types.NewTuple(params...), sig.Results(), sig.Variadic())
	p.functions[f] = &declaredFunc{decl: d, object: f, body: types.NewFunc(f.Pos(), f.Pkg(), "_", body), info: p.info}
}

// generic returns the package of the standard library with its generic part as source, or nil if it has none. Of a package that is not all generic the rest
// is compiled.
func (i *importer) generic(importPath string) (*sourcePackage, error) {
	own, err := fs.ReadDir(genericFiles, path.Join(genericFolder, importPath))
	own = slices.DeleteFunc(own, func(e fs.DirEntry) bool { return e.IsDir() || strings.HasSuffix(e.Name(), "_test.go") })
	text := i.lib.Source(importPath)
	if (err != nil || len(own) == 0) && len(text) == 0 {
		return nil, nil
	}
	c := &sourceChecker{files: i.files, importer: rawImporter{i, importPath}, path: sourcePath + importPath}
	if importPath == iterPath {
		c.path = iterPath
	}
	replaced := map[string]bool{}
	for _, e := range own {
		b, err := genericFiles.ReadFile(path.Join(genericFolder, importPath, e.Name()))
		if err != nil {
			return nil, err
		}
		c.add(importPath, e.Name(), string(b))
		for name := range declaredNames(c.syntax[len(c.syntax)-1]) {
			replaced[name] = true
		}
	}
	for _, name := range slices.Sorted(maps.Keys(text)) {
		c.add(importPath, name, text[name])
		removeReplaced(c.syntax[len(c.syntax)-1], replaced)
	}
	var known []types.Object
	if len(text) == 0 && importPath != iterPath {
		raw, err := i.raw(importPath)
		if err != nil {
			return nil, err
		}
		known = exportedExcept(raw, replaced)
	}
	p := c.check(path.Base(strings.TrimSuffix(importPath, "/v2")), known)
	if len(c.found) > 0 {
		return nil, fmt.Errorf("package %s: %v", importPath, c.found[0])
	}
	return p, nil
}

func (c *sourceChecker) add(folder, name, text string) {
	file, found := c.files.parsePackageFile(path.Join(folder, name), text)
	c.syntax = append(c.syntax, file)
	c.found = append(c.found, found...)
}

func exportedExcept(p *types.Package, names map[string]bool) []types.Object {
	var out []types.Object
	for _, name := range p.Scope().Names() {
		if token.IsExported(name) && !names[name] {
			out = append(out, p.Scope().Lookup(name))
		}
	}
	return out
}

// declaredNames are the names of the functions and types that a file declares.
func declaredNames(f *ast.File) map[string]bool {
	names := map[string]bool{}
	for _, d := range f.Decls {
		switch d := d.(type) {
		case *ast.FuncDecl:
			if d.Recv == nil {
				names[d.Name.Name] = true
			}
		case *ast.GenDecl:
			for _, s := range d.Specs {
				if t, ok := s.(*ast.TypeSpec); ok {
					names[t.Name.Name] = true
				}
			}
		}
	}
	return names
}

// removeReplaced takes from a file the functions that another file has in their place, those that have no body, and the import of unsafe that they need.
func removeReplaced(f *ast.File, replaced map[string]bool) {
	f.Decls = slices.DeleteFunc(f.Decls, func(d ast.Decl) bool {
		fn, ok := d.(*ast.FuncDecl)
		return ok && (fn.Body == nil || fn.Recv == nil && replaced[fn.Name.Name])
	})
	for _, d := range f.Decls {
		if g, ok := d.(*ast.GenDecl); ok && g.Tok == token.IMPORT {
			g.Specs = slices.DeleteFunc(g.Specs, func(s ast.Spec) bool { return s.(*ast.ImportSpec).Path.Value == `"unsafe"` })
		}
	}
}

// rawImporter imports for the generic part of a package, which sees the rest of it as an import of the package itself.
type rawImporter struct {
	*importer
	self string
}

func (i rawImporter) Import(path string) (*types.Package, error) {
	if path == i.self {
		return i.raw(path)
	}
	return i.importer.Import(path)
}

// parsePackageFile parses a file of a package; positions in it bear its name.
func (f *files) parsePackageFile(name, text string) (*ast.File, problems) {
	s := &source{path: name, text: text}
	file, err := parser.ParseFile(f.set, name, text, parser.AllErrors|parser.SkipObjectResolution|parser.ParseComments)
	if file != nil && file.FileStart.IsValid() {
		f.origins[f.set.File(file.FileStart)] = origin{s, 0}
	}
	return file, s.syntaxErrors(err, 0)
}

// importPath is the path by which a package is imported.
func importPath(p *types.Package) string { return strings.TrimPrefix(p.Path(), sourcePath) }
