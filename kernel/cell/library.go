package cell

import (
	"bytes"
	"fmt"
	"go/types"
	"path"
	"slices"
	"strings"

	"golang.org/x/tools/go/gcexportdata"
)

// importer makes packages known to the checker, each once: of compiled ones it reads the type data.
type importer struct {
	lib      Library
	files    *files
	compiled map[string]*types.Package // by path, some incomplete
	packages map[string]*types.Package // what Import has returned
	sources  []*sourcePackage
	begun    bool
	folder   folder
}

func newImporter(lib Library, files *files) *importer {
	return &importer{lib: lib, files: files, compiled: map[string]*types.Package{}, packages: map[string]*types.Package{},
		folder: folder{dir: ".", packages: map[string]*localPackage{}}}
}

// Import implements types.Importer.
func (i *importer) Import(path string) (*types.Package, error) {
	if p := i.packages[path]; p != nil {
		return p, nil
	}
	if local, ok := i.local(path); ok {
		p, err := i.load(local)
		if err != nil {
			return nil, err
		}
		return p.pkg, nil
	}
	if !i.begun { // iterators in type data are to be of the types that cells see
		i.begun = true
		if p, err := i.Import(iterPath); err == nil {
			i.compiled[iterPath] = p
		}
	}
	if _, ok := i.lib.ExportData(path); !ok {
		return nil, fmt.Errorf("package %q is not on offer here", path)
	}
	p, err := i.generic(path)
	switch {
	case err != nil:
		return nil, err
	case p != nil:
		i.sources = append(i.sources, p)
		i.packages[path] = p.pkg
	default:
		raw, err := i.raw(path)
		if err != nil {
			return nil, err
		}
		i.packages[path] = raw
	}
	return i.packages[path], nil
}

// raw reads the type data of a package.
func (i *importer) raw(path string) (*types.Package, error) {
	if p := i.compiled[path]; p != nil && p.Complete() {
		return p, nil
	}
	data, ok := i.lib.ExportData(path)
	if !ok {
		return nil, fmt.Errorf("package %q is not on offer here", path)
	}
	return gcexportdata.Read(bytes.NewReader(data), i.files.set, i.compiled, path)
}

const iterPath = "iter"

// function returns the source of a function of a package, or nil if there is none.
func (i *importer) function(f *types.Func) *declaredFunc {
	for _, p := range i.sources {
		if d := p.functions[f]; d != nil {
			return d
		}
	}
	return nil
}

// Prelude says what cells may use without importing it. A name that a cell declares or imports hides the prelude's.
type Prelude struct {
	Packages map[string]string // package paths by the name that cells use
	Dot      []string          // packages whose exported names need no qualifier
}

// preludePaths are the packages at hand without import, as far as the library has them; in case of equal names the first wins.
var preludePaths = []string{
	"fmt", "math", "strings", "sort", "strconv", "errors", "time", "os",
	"gonum.org/v1/gonum/mat", "gonum.org/v1/gonum/floats", "gonum.org/v1/gonum/stat", "gonum.org/v1/gonum/optimize",
	"gonum.org/v1/gonum/integrate", "gonum.org/v1/gonum/integrate/quad", "gonum.org/v1/gonum/interp",
	"gonum.org/v1/plot", "gonum.org/v1/plot/plotter", "gonum.org/v1/plot/vg", "foreplane/kernel/display",
}

const (
	aerolibPath = "foreplane/aerolib/"
	unitPath    = "foreplane/aerolib/unit"
)

// NewPrelude returns the standard prelude, as far as lib has its packages.
func NewPrelude(lib Library) Prelude {
	p := Prelude{Packages: map[string]string{}}
	on := lib.Paths()
	paths := slices.DeleteFunc(slices.Clone(preludePaths), func(path string) bool { return !slices.Contains(on, path) })
	for _, path := range on {
		if strings.HasPrefix(path, aerolibPath) {
			paths = append(paths, path)
		}
	}
	for _, full := range paths {
		if name := path.Base(full); p.Packages[name] == "" {
			p.Packages[name] = full
		}
	}
	if slices.Contains(on, unitPath) {
		p.Dot = []string{unitPath}
	}
	return p
}
