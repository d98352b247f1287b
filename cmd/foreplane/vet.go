package main

import (
	"bytes"
	"encoding/json"
	"errors"
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
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"golang.org/x/tools/go/analysis"
	"golang.org/x/tools/go/analysis/unitchecker"

	"foreplane/kernel/dimension"
	"foreplane/kernel/symbols"
)

// analyzer is the check in the form that go vet runs.
var analyzer = &analysis.Analyzer{
	Name: "dimension",
	Doc:  "report arithmetic whose physical dimensions do not fit, and exported floats that do not name their quantity",
	Run: func(pass *analysis.Pass) (any, error) {
		_, found := vetPackage(pass.Pkg, pass.Fset, pass.Files, pass.TypesInfo)
		for _, f := range found {
			if f.Severity == dimension.Note { // go vet knows failures only
				continue
			}
			pass.Report(analysis.Diagnostic{Pos: f.Pos, End: f.End, Message: f.Message})
		}
		return nil, nil
	},
}

// isVetTool reports whether go vet has started this program as its -vettool.
func isVetTool(args []string) bool {
	return len(args) > 0 && (args[0] == "-V=full" || args[0] == "-flags" || strings.HasSuffix(args[len(args)-1], ".cfg"))
}

// vetTool serves go vet; it does not return.
func vetTool() { unitchecker.Main(analyzer) }

func vetCommand() *cobra.Command {
	var options vetOptions
	cmd := &cobra.Command{
		Use:   "vet [PACKAGE]...",
		Short: "Check the dimensions in Go packages",
		Long: `Vet checks the arithmetic of Go packages that use the quantities of aerolib, and tells of how many floating-point expressions the
dimension is known. It needs the Go toolchain. The same check runs inside go vet -vettool=$(which foreplane).`,
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(args) == 0 {
				args = []string{"."}
			}
			return vet(cmd.OutOrStdout(), args, options)
		},
	}
	cmd.Flags().Float64Var(&options.least, "least", 0, "fail if the dimension is known for less than `PERCENT` of the expressions")
	cmd.Flags().BoolVar(&options.unknown, "unknown", false, "list the expressions whose dimension is not known")
	return cmd
}

type vetOptions struct {
	least   float64
	unknown bool
}

// share writes how much is known, in percent of the expressions.
func share(s dimension.Share) string {
	percent := func(n int) float64 { return 100 * float64(n) / float64(max(s.All, 1)) }
	return fmt.Sprintf("%5.1f %% of %5d, %4.1f %% by the caller", percent(s.Known), s.All, percent(s.ByCaller))
}

func vet(out io.Writer, patterns []string, options vetOptions) error {
	listed, err := goList(patterns)
	if err != nil {
		return failed(exitInput, err)
	}
	total, problems := dimension.Share{}, 0
	for _, p := range listed {
		if p.DepOnly || len(p.GoFiles) == 0 {
			continue
		}
		s, n, err := p.vet(out, listed, options)
		if err != nil {
			return failed(exitInput, err)
		}
		fmt.Fprintf(out, "%-36s %s\n", p.ImportPath, share(s))
		total.All, total.Known, total.ByCaller, problems = total.All+s.All, total.Known+s.Known, total.ByCaller+s.ByCaller, problems+n
	}
	fmt.Fprintf(out, "%-36s %s\n", "dimension known", share(total))
	switch {
	case problems > 0:
		return failed(exitCellFailed, fmt.Errorf("vet: %d findings", problems))
	case 100*float64(total.Known+total.ByCaller) < options.least*float64(total.All):
		return failed(exitCellFailed, fmt.Errorf("vet: dimension known of less than %g %%", options.least))
	}
	return nil
}

// goPackage is what go list tells of a package.
type goPackage struct {
	ImportPath, Dir, Export string
	GoFiles                 []string
	DepOnly                 bool
}

func goList(patterns []string) (map[string]goPackage, error) {
	args := append([]string{"list", "-export", "-deps", "-json=ImportPath,Dir,Export,GoFiles,DepOnly"}, patterns...)
	text, err := exec.Command("go", args...).Output()
	if exit := (*exec.ExitError)(nil); errors.As(err, &exit) {
		return nil, fmt.Errorf("go list: %s", bytes.TrimSpace(exit.Stderr))
	} else if err != nil {
		return nil, err
	}
	listed := map[string]goPackage{}
	for dec := json.NewDecoder(bytes.NewReader(text)); dec.More(); {
		var p goPackage
		if err := dec.Decode(&p); err != nil {
			return nil, err
		}
		listed[p.ImportPath] = p
	}
	return listed, nil
}

// vet checks one package and writes what it finds.
func (p goPackage) vet(out io.Writer, listed map[string]goPackage, options vetOptions) (dimension.Share, int, error) {
	fset := token.NewFileSet()
	var files []*ast.File
	for _, name := range p.GoFiles {
		f, err := parser.ParseFile(fset, filepath.Join(p.Dir, name), nil, parser.ParseComments|parser.SkipObjectResolution)
		if err != nil {
			return dimension.Share{}, 0, err
		}
		files = append(files, f)
	}
	info := &types.Info{Types: map[ast.Expr]types.TypeAndValue{}, Defs: map[*ast.Ident]types.Object{}, Uses: map[*ast.Ident]types.Object{},
		Selections: map[*ast.SelectorExpr]*types.Selection{}, Implicits: map[ast.Node]types.Object{}}
	config := types.Config{Importer: importer.ForCompiler(fset, "gc", func(path string) (io.ReadCloser, error) { return os.Open(listed[path].Export) })}
	pkg, err := config.Check(p.ImportPath, fset, files, info)
	if err != nil {
		return dimension.Share{}, 0, err
	}
	result, found := vetPackage(pkg, fset, files, info)
	for _, f := range found {
		fmt.Fprintf(out, "%s: %s: %s\n", fset.Position(f.Pos), f.Severity, f.Message)
	}
	if options.unknown {
		for _, e := range result.Unknown() {
			fmt.Fprintf(out, "%s: not known: %s\n", fset.Position(e.Pos()), types.ExprString(e))
		}
	}
	return result.Share(), len(found), nil
}

// vetPackage checks a package, whose bare numbers are SI.
func vetPackage(pkg *types.Package, fset *token.FileSet, files []*ast.File, info *types.Info) (*dimension.Result, []dimension.Finding) {
	src := dimension.Source{Fset: fset, Info: info, SI: true}
	for _, f := range files {
		src.Nodes = append(src.Nodes, f)
	}
	checker := dimension.New(symbols.Library.Quantities())
	result := checker.Package(pkg, src)
	return result, slices.Concat(result.Findings, checker.Unnamed(src))
}
