package main

import (
	"archive/zip"
	"bytes"
	"compress/flate"
	"encoding/json"
	"fmt"
	"go/types"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"golang.org/x/tools/go/gcexportdata"
	"golang.org/x/tools/go/packages"
	"golang.org/x/tools/txtar"
)

// source is a package as the generator sees it.
type source struct {
	Path  string
	Types *types.Package
	Files []string
}

// load reads the types of the packages from the export data of the go command, sorted by path. The platform is fixed, so that every machine writes the same.
func load(patterns []string) (found []*source, broken []string, err error) {
	pkgs, err := packages.Load(&packages.Config{
		Mode: packages.NeedName | packages.NeedFiles | packages.NeedImports | packages.NeedDeps | packages.NeedTypes | packages.NeedExportFile,
		Env:  append(os.Environ(), "CGO_ENABLED=0", "GOOS=linux", "GOARCH=amd64"),
	}, patterns...)
	if err != nil {
		return nil, nil, err
	}
	for _, p := range pkgs {
		switch {
		case strings.Contains(p.PkgPath+"/", "/internal/"):
		case p.IllTyped || len(p.Errors) > 0:
			broken = append(broken, fmt.Sprintf("%s: %v", p.PkgPath, p.Errors))
		default:
			found = append(found, &source{Path: p.PkgPath, Types: p.Types, Files: p.GoFiles})
		}
	}
	slices.SortFunc(found, func(a, b *source) int { return strings.Compare(a.Path, b.Path) })
	return found, broken, nil
}

// sourceOnly are the packages of which there is no compiled code: cells are given their source.
var sourceOnly = []string{"cmp", "maps", "slices"}

// archive holds for each package PATH.types, the type data, PATH.json, the documentation by name, and of those that are all generic PATH.source.
func archive(pkgs []*source) ([]byte, error) {
	var buf bytes.Buffer
	z := zip.NewWriter(&buf)
	z.RegisterCompressor(zip.Deflate, func(w io.Writer) (io.WriteCloser, error) { return flate.NewWriter(w, flate.BestCompression) })
	for _, p := range pkgs {
		w, err := z.Create(p.Path + ".types")
		if err != nil {
			return nil, err
		}
		if err := gcexportdata.Write(w, nil, p.Types); err != nil { // no file set: no positions
			return nil, fmt.Errorf("%s: %w", p.Path, err)
		}
		docs, err := documentation(p)
		if err != nil {
			return nil, err
		}
		if w, err = z.Create(p.Path + ".json"); err != nil {
			return nil, err
		}
		if err := json.NewEncoder(w).Encode(docs); err != nil {
			return nil, err
		}
		if slices.Contains(sourceOnly, p.Path) {
			if err := addSource(z, p); err != nil {
				return nil, err
			}
		}
	}
	err := z.Close()
	return buf.Bytes(), err
}

// addSource adds the files of a package.
func addSource(z *zip.Writer, p *source) error {
	var files txtar.Archive
	for _, file := range p.Files {
		text, err := os.ReadFile(file)
		if err != nil {
			return err
		}
		files.Files = append(files.Files, txtar.File{Name: filepath.Base(file), Data: text})
	}
	w, err := z.Create(p.Path + ".source")
	if err != nil {
		return err
	}
	_, err = w.Write(txtar.Format(&files))
	return err
}
