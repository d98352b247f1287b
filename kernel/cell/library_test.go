package cell

import (
	"bytes"
	"errors"
	"fmt"
	"go/build"
	"go/types"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"strings"
	"sync"
	"testing"

	"github.com/traefik/yaegi/stdlib"
	"golang.org/x/tools/go/gcexportdata"

	"foreplane/kernel/answer"
	"foreplane/kernel/dimension"
)

// testLibrary is a library of the standard packages made from the toolchain that runs the test.
type testLibrary struct {
	data map[string][]byte
}

var library = sync.OnceValue(func() *testLibrary {
	lib := &testLibrary{map[string][]byte{}}
	out, err := exec.Command("go", "list", "-export", "-deps", "-f", "{{.ImportPath}}={{.Export}}", "fmt", "math", "strings", "sort", "strconv", "errors",
		"time", "os", "bufio", "io", "slices", "maps", "sync", "math/rand", "math/big", "math/cmplx", "encoding/json", "log", "regexp", "bytes").Output()
	if err != nil {
		panic(err)
	}
	for line := range strings.Lines(string(out)) {
		path, file, _ := strings.Cut(strings.TrimSpace(line), "=")
		if file == "" {
			continue
		}
		f, err := os.Open(file)
		if err != nil {
			panic(err)
		}
		//lint:ignore SA1019 the toolchain writes archives until Go 1.29
		r, err := gcexportdata.NewReader(f)
		if err != nil {
			panic(err)
		}
		if lib.data[path], err = io.ReadAll(r); err != nil {
			panic(err)
		}
		f.Close()
	}
	return lib
})

func (l *testLibrary) Paths() []string {
	var out []string
	for p := range l.data {
		out = append(out, p)
	}
	return out
}

func (l *testLibrary) ExportData(path string) ([]byte, bool) {
	d, ok := l.data[path]
	return d, ok
}

func (l *testLibrary) Has(path, name string) bool {
	_, ok := l.Values(path)[name]
	return ok
}

func (l *testLibrary) Source(path string) map[string]string {
	if path != "slices" && path != "maps" && path != "cmp" {
		return nil
	}
	dir := filepath.Join(build.Default.GOROOT, "src", path)
	p, err := build.ImportDir(dir, 0)
	if err != nil {
		panic(err)
	}
	out := map[string]string{}
	for _, name := range p.GoFiles {
		b, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil {
			panic(err)
		}
		out[name] = string(b)
	}
	return out
}

func (l *testLibrary) Doc(path, name string) string { return "" }

func (l *testLibrary) Like(string) []answer.Unit             { return nil }
func (l *testLibrary) Parse(string) (float64, string, error) { return 0, "", errors.New("no units") }
func (l *testLibrary) FormatIn(value float64, symbol, _ string, _ int) (string, error) {
	return l.Format(value, "", symbol), nil
}
func (l *testLibrary) Quantities() dimension.Table { return dimension.Table{} }

func (l *testLibrary) Format(value float64, kind, symbol string) string { return fmt.Sprint(value) }

func (l *testLibrary) Values(path string) map[string]reflect.Value {
	return stdlib.Symbols[path+"/"+path[strings.LastIndexByte(path, '/')+1:]]
}

// The library is what the checker needs.
func TestLibrary(t *testing.T) {
	data, ok := library().ExportData("math")
	if !ok {
		t.Fatal("no math")
	}
	pkg, err := gcexportdata.Read(bytes.NewReader(data), newFiles().set, map[string]*types.Package{}, "math")
	if err != nil || pkg.Scope().Lookup("Sqrt") == nil {
		t.Fatal(err, pkg)
	}
}
