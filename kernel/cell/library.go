package cell

import (
	"bytes"
	"fmt"
	"go/token"
	"go/types"
	"path"
	"slices"
	"strings"

	"golang.org/x/tools/go/gcexportdata"
)

// importer reads type data of packages from a library, each once.
type importer struct {
	lib      Library
	fset     *token.FileSet
	packages map[string]*types.Package
}

func newImporter(lib Library, fset *token.FileSet) *importer {
	return &importer{lib, fset, map[string]*types.Package{}}
}

// Import implements types.Importer.
func (i *importer) Import(path string) (*types.Package, error) {
	if p := i.packages[path]; p != nil && p.Complete() {
		return p, nil
	}
	data, ok := i.lib.ExportData(path)
	if !ok {
		return nil, fmt.Errorf("package %q is not on offer here", path)
	}
	return gcexportdata.Read(bytes.NewReader(data), i.fset, i.packages, path)
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
