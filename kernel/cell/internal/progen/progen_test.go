package progen

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
)

func TestSameSeedSameProgram(t *testing.T) {
	if a, b := New(7), New(7); !reflect.DeepEqual(a, b) {
		t.Errorf("seed 7 gave two programs:\n%v\n%v", a, b)
	}
}

// TestCompiles holds that programs compile: a generator that the compiler refuses tests nothing.
func TestCompiles(t *testing.T) {
	var src strings.Builder
	src.WriteString("package main\n\nimport (\n\t\"" + strings.Join(Imports, "\"\n\t\"") + "\"\n)\n\n" + Uses + Prelude)
	for seed := range uint64(60) {
		p := New(seed)
		src.WriteString(strings.Join(p.Types, "\n") + strings.Join(p.Funcs, "\n"))
		fmt.Fprintf(&src, "func main%d() {\n%s}\n\n", seed, indent(p.Body))
	}
	src.WriteString("func main() {}\n")
	file := filepath.Join(t.TempDir(), "main.go")
	if err := os.WriteFile(file, []byte(src.String()), 0o644); err != nil {
		t.Fatal(err)
	}
	if out, err := exec.Command("go", "build", "-gcflags=-e", "-o", os.DevNull, file).CombinedOutput(); err != nil {
		t.Errorf("%v\n%.4000s", err, out)
	}
}
