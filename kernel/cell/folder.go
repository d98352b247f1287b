package cell

import (
	"bytes"
	"cmp"
	"crypto/sha256"
	"fmt"
	"go/ast"
	"go/build"
	"go/token"
	"go/types"
	"maps"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"golang.org/x/mod/modfile"
)

// Packages kept beside the notebook. The notebook's folder is like the root of a module: the path ./gear names the package in its folder gear, in cells and in
// such packages alike. If a go.mod stands in the folder, paths that begin with its module path name the same packages, and the compiler can build them.

// folder finds and checks these packages.
type folder struct {
	dir      string
	packages map[string]*localPackage // by path
	loading  []string                 // paths of packages that are being checked, each imported by the one before
}

// localPackage is a package in the folder.
type localPackage struct {
	*sourcePackage
	sum     [sha256.Size]byte // of its files
	imports []*localPackage
	order   []*types.Initializer
	inits   []*types.Func
}

// localPrefix begins the paths of packages in the folder, for go/types too.
const localPrefix = "./"

func isLocal(p *types.Package) bool { return strings.HasPrefix(p.Path(), localPrefix) }

// packageError tells what is wrong with the files of a package.
type packageError struct{ problems }

func (e packageError) Error() string { return e.problems[0].String() }

// SetFolder says where the packages are that cells import by paths that begin with ./; it is the current folder if nothing is said.
func (f *Front) SetFolder(dir string) {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.importer.folder.dir = dir
}

// local returns the path of a package in the folder that an import path means.
func (i *importer) local(importPath string) (string, bool) {
	if strings.HasPrefix(importPath, "./") || strings.HasPrefix(importPath, "../") || importPath == "." || importPath == ".." {
		return localPrefix + path.Clean(importPath), true
	}
	if _, ok := i.lib.ExportData(importPath); ok {
		return "", false
	}
	if module := i.folder.module(); module != "" && strings.HasPrefix(importPath, module+"/") {
		return localPrefix + path.Clean(strings.TrimPrefix(importPath, module+"/")), true
	}
	return "", false
}

// module returns the module path of the folder, or nothing.
func (d *folder) module() string {
	text, err := os.ReadFile(filepath.Join(d.dir, "go.mod"))
	if err != nil {
		return ""
	}
	return modfile.ModulePath(text)
}

// load returns the package at a path, checked.
func (i *importer) load(local string) (*localPackage, error) {
	d := &i.folder
	switch at := slices.Index(d.loading, local); {
	case local == "./." || strings.HasPrefix(local, "./.."):
		return nil, fmt.Errorf("%q is not a folder below the notebook's: packages are kept in such", strings.TrimPrefix(local, localPrefix))
	case at >= 0:
		return nil, fmt.Errorf("import cycle: %s imports %s", strings.Join(d.loading[at:], " imports "), local)
	case d.packages[local] != nil:
		return d.packages[local], nil
	}
	d.loading = append(d.loading, local)
	defer func() { d.loading = d.loading[:len(d.loading)-1] }()
	p, err := i.check(local)
	if err != nil {
		return nil, err
	}
	d.packages[local] = p
	i.sources = append(i.sources, p.sourcePackage)
	return p, nil
}

// check reads and checks a package.
func (i *importer) check(local string) (*localPackage, error) {
	texts, sum, err := i.folder.read(local)
	if err != nil {
		return nil, err
	}
	p := &localPackage{sum: sum}
	c := &sourceChecker{files: i.files, path: local}
	c.importer = importerFunc(func(path string) (*types.Package, error) { return i.importFor(p, c, path) })
	for _, t := range texts {
		if c.add(strings.TrimPrefix(local, localPrefix), t.name, t.text); len(c.found) == 0 {
			refuseInFile(c, c.syntax[len(c.syntax)-1])
		}
	}
	if len(c.found) > 0 {
		return nil, packageError{c.found}
	}
	p.sourcePackage = c.check(c.syntax[0].Name.Name, nil)
	if len(c.found) > 0 {
		return nil, packageError{c.found}
	}
	p.order = p.info.InitOrder
	for _, f := range c.syntax {
		p.addInits(f)
	}
	return p, nil
}

// importerFunc is a function that imports.
type importerFunc func(string) (*types.Package, error)

func (f importerFunc) Import(path string) (*types.Package, error) { return f(path) }

// importFor imports for a package in the folder. What is wrong with another such package is told of its own files.
func (i *importer) importFor(p *localPackage, c *sourceChecker, path string) (*types.Package, error) {
	local, ok := i.local(path)
	if !ok {
		return i.Import(path)
	}
	imported, err := i.load(local)
	if inner, ok := err.(packageError); ok {
		c.found = append(c.found, inner.problems...)
	}
	if err != nil {
		return nil, err
	}
	p.imports = append(p.imports, imported)
	return imported.pkg, nil
}

// addInits notes the functions init of a file.
func (p *localPackage) addInits(f *ast.File) {
	for _, d := range f.Decls {
		if d, ok := d.(*ast.FuncDecl); ok && d.Recv == nil && d.Name.Name == "init" {
			if o, ok := p.info.Defs[d.Name].(*types.Func); ok {
				p.inits = append(p.inits, o)
			}
		}
	}
}

// refuseInFile refuses what a file of a package must not have.
func refuseInFile(c *sourceChecker, f *ast.File) {
	refuse := func(pos token.Pos, why string) {
		c.found = append(c.found, problem{place: c.files.place(pos), message: why})
	}
	if first := c.syntax[0].Name.Name; f.Name.Name != first {
		refuse(f.Name.Pos(), "package "+f.Name.Name+", but the files before it in this folder are of package "+first)
	}
	if f.Name.Name == "main" {
		refuse(f.Name.Pos(), "package main is a program: it cannot be imported")
	}
	for _, s := range f.Imports {
		switch {
		case s.Path.Value == `"C"`:
			refuse(s.Path.Pos(), "cgo cannot be used here: there is no C compiler")
		case s.Name != nil && s.Name.Name == "." && strings.HasPrefix(s.Path.Value, `"./`):
			refuse(s.Path.Pos(), "a package of this folder is imported by name")
		}
	}
	for _, g := range f.Comments {
		for _, line := range g.List {
			if strings.HasPrefix(line.Text, "//go:embed ") {
				refuse(line.Pos(), "//go:embed cannot be used here: read the file with os.ReadFile")
			}
		}
	}
	for _, d := range f.Decls {
		if fn, ok := d.(*ast.FuncDecl); ok && fn.Body == nil {
			refuse(fn.Name.Pos(), "func "+fn.Name.Name+" has no body")
		}
	}
}

// fileText is a file of a package.
type fileText struct{ name, text string }

// read returns the files of the package at a path that are built on this system, without tests, and what tells their contents from others.
func (d *folder) read(local string) (files []fileText, sum [sha256.Size]byte, err error) {
	dir := filepath.Join(d.dir, filepath.FromSlash(strings.TrimPrefix(local, localPrefix)))
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil, sum, fmt.Errorf("there is no folder %s beside the notebook", strings.TrimPrefix(local, localPrefix))
	}
	context := build.Default
	context.CgoEnabled = true // a file that needs it is to be refused, not left out
	hash := sha256.New()
	for _, e := range entries {
		name := e.Name()
		if e.IsDir() || !strings.HasSuffix(name, ".go") || strings.HasSuffix(name, "_test.go") {
			continue
		}
		if match, err := context.MatchFile(dir, name); err != nil || !match {
			continue
		}
		text, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil {
			return nil, sum, err
		}
		fmt.Fprintf(hash, "%s\x00%d\x00%s", name, len(text), text)
		files = append(files, fileText{name, string(text)})
	}
	if len(files) == 0 {
		return nil, sum, fmt.Errorf("there are no Go files for this system in the folder %s", strings.TrimPrefix(local, localPrefix))
	}
	return files, [sha256.Size]byte(hash.Sum(nil)), nil
}

// refresh forgets the packages whose files have changed since they were read, and those that import them.
func (d *folder) refresh() {
	fresh := map[*localPackage]bool{}
	var isFresh func(local string, p *localPackage) bool
	isFresh = func(local string, p *localPackage) bool {
		if known, ok := fresh[p]; ok {
			return known
		}
		_, sum, err := d.read(local)
		fresh[p] = err == nil && bytes.Equal(sum[:], p.sum[:])
		for _, i := range p.imports {
			fresh[p] = isFresh(i.pkg.Path(), i) && fresh[p]
		}
		return fresh[p]
	}
	for local, p := range d.packages {
		if !isFresh(local, p) {
			delete(d.packages, local)
		}
	}
}

// renew imports the packages again that the session knows by name and whose files have changed. What is wrong with one is a problem of the cells that mention
// it; to others it stays as it was.
func (c *check) renew() {
	mentioned := map[string]bool{}
	for _, n := range []ast.Node{c.source.decls, c.source.body} {
		ast.Inspect(n, func(n ast.Node) bool {
			if id, ok := n.(*ast.Ident); ok {
				mentioned[id.Name] = true
			}
			return true
		})
	}
	for _, name := range sortedKeys(c.front.session.names) {
		old, ok := c.front.session.names[name].(*types.PkgName)
		if !ok || !isLocal(old.Imported()) || c.names[name] != nil {
			continue
		}
		if p := c.front.importer.folder.packages[old.Imported().Path()]; p != nil && p.pkg == old.Imported() {
			continue
		}
		p, err := c.front.importer.load(old.Imported().Path())
		switch {
		case err == nil:
			c.names[name] = types.NewPkgName(old.Pos(), nil, name, p.pkg)
		case mentioned[name]:
			c.importProblem(token.NoPos, name, err)
		}
	}
}

// importProblem tells why a package could not be imported.
func (c *check) importProblem(pos token.Pos, name string, err error) {
	place := c.front.files.place(pos)
	if e, ok := err.(packageError); ok {
		c.found = append(c.found, e.problems...)
		return
	}
	if !pos.IsValid() {
		place = Place{Cell: c.source.number, Line: 1, Column: 1}
	}
	c.found = append(c.found, problem{place: place, message: cmp.Or(err.Error(), name)})
}

// renewedScope is a scope with the packages of the folder as they are now.
func (c *check) renewedScope(scope map[string]types.Object) map[string]types.Object {
	out := maps.Clone(scope)
	for name, o := range out {
		if p, ok := o.(*types.PkgName); ok {
			out[name] = types.NewPkgName(p.Pos(), nil, name, c.renewed(p))
		}
	}
	return out
}

// renewed returns the package that a name of a package of the folder means now.
func (c *check) renewed(p *types.PkgName) *types.Package {
	if now := c.front.importer.folder.packages[p.Imported().Path()]; isLocal(p.Imported()) && now != nil {
		return now.pkg
	}
	return p.Imported()
}
