package symbols

import (
	"archive/zip"
	"encoding/json"
	"io"
	"reflect"
	"slices"
	"strings"
	"sync"

	"golang.org/x/tools/txtar"
)

// table is one package: its path, the names a cell can use, and a function that builds the interpreter's values.
type table struct {
	path   string
	names  string // separated by spaces: static data, which costs no memory until it is read
	values func() map[string]reflect.Value
}

// Library is every package that cells can import.
var Library Packages

// Packages gives access to the embedded tables. All methods may be called concurrently.
type Packages struct{}

// Paths lists the import paths of all packages, sorted.
func (Packages) Paths() []string {
	var paths []string
	for _, set := range sets() {
		for _, t := range set {
			paths = append(paths, t.path)
		}
	}
	slices.Sort(paths)
	return paths
}

// ExportData returns the type data of a package in the format of golang.org/x/tools/go/gcexportdata.
func (Packages) ExportData(path string) ([]byte, bool) { return read(path + ".types") }

// Has reports whether cells can use an exported name. Generic functions and types, and constraints, have no value that the interpreter could be given:
// the type data knows them, Has does not.
func (Packages) Has(path, name string) bool {
	for n := range strings.SplitSeq(index()[path].names, " ") {
		if n == name {
			return n != ""
		}
	}
	return false
}

// Source returns the files of a package that is all generic, by name: slices, maps and cmp of the standard library.
func (Packages) Source(path string) map[string]string {
	data, ok := read(path + ".source")
	if !ok {
		return nil
	}
	files := map[string]string{}
	for _, f := range txtar.Parse(data).Files {
		files[f.Name] = string(f.Data)
	}
	return files
}

// Doc returns the documentation of a package (name empty), a name, or a member written Type.Member; empty if there is none.
func (Packages) Doc(path, name string) string { return docs(path)[name] }

// Values builds the interpreter's table for a package: functions, variables by address, types as nil pointers, interface wrappers as _Name. Constants
// have no place in it, since cells are checked and folded before the interpreter sees them. Unknown packages have none.
func (Packages) Values(path string) map[string]reflect.Value {
	if t, ok := index()[path]; ok {
		return t.values()
	}
	return nil
}

var index = sync.OnceValue(func() map[string]table {
	m := map[string]table{}
	for _, set := range sets() {
		for _, t := range set {
			m[t.path] = t
		}
	}
	return m
})

func sets() [][]table { return [][]table{stdTables, gonumTables, foreplaneTables} }

// archive indexes the files of the embedded archives; their contents stay compressed.
var archive = sync.OnceValue(func() map[string]*zip.File {
	m := map[string]*zip.File{}
	for _, data := range []string{stdZip, gonumZip, foreplaneZip} {
		z, err := zip.NewReader(strings.NewReader(data), int64(len(data)))
		if err != nil {
			panic("symbols: embedded archive: " + err.Error())
		}
		for _, f := range z.File {
			m[f.Name] = f
		}
	}
	return m
})

func read(name string) ([]byte, bool) {
	f, ok := archive()[name]
	if !ok {
		return nil, false
	}
	r, err := f.Open()
	if err != nil {
		panic("symbols: " + err.Error())
	}
	defer r.Close()
	data, err := io.ReadAll(r)
	if err != nil {
		panic("symbols: " + name + ": " + err.Error())
	}
	return data, true
}

var decoded sync.Map // import path to map[string]string

// docs returns the documentation of a package by name, decoded once.
func docs(path string) map[string]string {
	if m, ok := decoded.Load(path); ok {
		return m.(map[string]string)
	}
	data, ok := read(path + ".json")
	if !ok {
		return nil
	}
	var m map[string]string
	if err := json.Unmarshal(data, &m); err != nil {
		panic("symbols: " + path + ": " + err.Error())
	}
	decoded.Store(path, m)
	return m
}
