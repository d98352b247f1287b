package main

import (
	"encoding/json"
	"os/exec"
	"slices"
	"strings"
	"testing"
)

// mayImport holds the arrows between our own packages: what each may import directly. A package that is not listed may not exist.
var mayImport = map[string]string{
	"kernel/wire":      "",
	"kernel/display":   "",
	"kernel/transport": "kernel/wire",
	"kernel":           "kernel/wire kernel/display",
	"kernel/dimension": "",
	"kernel/answer":    "",
	"kernel/cell":      "kernel kernel/answer kernel/display kernel/dimension",
	"kernel/worker":    "kernel kernel/cell kernel/display",
	"kernel/notebook":  "kernel kernel/display",
	"kernel/publish":   "kernel/notebook kernel/display",
	"kernel/course":    "kernel/answer kernel/notebook",

	"aerolib":          "",
	"aerolib/unit":     "",
	"aerolib/solve":    "",
	"aerolib/atmos":    "aerolib/unit",
	"aerolib/section":  "aerolib/unit aerolib/atmos aerolib/solve",
	"aerolib/lattice":  "aerolib/unit aerolib/section aerolib/solve aerolib/internal/lu",
	"aerolib/aircraft": "aerolib/unit aerolib/lattice aerolib/section",
	"aerolib/drag":     "aerolib/unit aerolib/atmos aerolib/section aerolib/lattice aerolib/aircraft",
	"aerolib/prop":     "aerolib/unit aerolib/atmos aerolib/solve aerolib/section aerolib/aircraft",
	"aerolib/trim":     "aerolib/unit aerolib/solve aerolib/atmos aerolib/section aerolib/lattice aerolib/aircraft aerolib/drag aerolib/prop",
	"aerolib/perf":     "aerolib/unit aerolib/atmos aerolib/aircraft aerolib/drag aerolib/prop aerolib/trim aerolib/solve",
	"aerolib/figure":   "aerolib/*",
	"aerolib/report":   "aerolib/*",
}

// onlyImporters names the packages that may import a module; everybody else goes through them.
var onlyImporters = map[string]string{
	"github.com/traefik/yaegi":     "kernel/cell",
	"github.com/go-zeromq/zmq4":    "kernel/transport",
	"gonum.org/v1/plot":            "aerolib/figure kernel/symbols",
	"github.com/dop251/goja":       "kernel/publish",
	"github.com/pelletier/go-toml": "aerolib/aircraft",
	"github.com/spf13/cobra":       "cmd/foreplane",
	"github.com/spf13/pflag":       "cmd/foreplane",
	"foreplane/aerolib/internal/":  "aerolib/*",
}

// free lists the packages that may import any of ours: the wiring, the generated tables, and what only tests use.
var free = []string{"cmd/foreplane", "kernel/symbols", "kernel/symbols/*", "kernel/kerneltest", "kernel/cell/internal/*", "aerolib/internal/*"}

type listed struct {
	ImportPath string
	Imports    []string
}

func TestArrows(t *testing.T) {
	for _, p := range packages(t) {
		name := strings.TrimPrefix(p.ImportPath, "foreplane/")
		allowed, known := mayImport[name]
		if !known && !matches(name, free) {
			t.Errorf("package %s has no place in the layout: add it to mayImport, with its arrows, and to DEVELOPERS.md", name)
			continue
		}
		for _, imp := range p.Imports {
			checkOwn(t, name, imp, strings.Fields(allowed), known)
			checkModule(t, name, imp)
		}
	}
}

func checkOwn(t *testing.T, name, imp string, allowed []string, known bool) {
	own, isOwn := strings.CutPrefix(imp, "foreplane/")
	if !isOwn || !known || matches(own, allowed) || strings.HasPrefix(own, name+"/internal/") {
		return
	}
	t.Errorf("%s may not import %s: the arrows are %s → %v", name, own, name, allowed)
}

func checkModule(t *testing.T, name, imp string) {
	for prefix, importers := range onlyImporters {
		inside := imp == prefix || strings.HasPrefix(imp, strings.TrimSuffix(prefix, "/")+"/")
		if inside && !matches(name, strings.Fields(importers)) {
			t.Errorf("%s imports %s: only %s may", name, imp, importers)
		}
	}
}

// matches reports whether name is in the list, in which a trailing /* stands for everything below.
func matches(name string, list []string) bool {
	return slices.ContainsFunc(list, func(entry string) bool {
		below, wild := strings.CutSuffix(entry, "/*")
		return name == entry || wild && strings.HasPrefix(name, below+"/")
	})
}

func packages(t *testing.T) []listed {
	t.Helper()
	out, err := exec.Command("go", "list", "-json=ImportPath,Imports", "foreplane/...").Output()
	if err != nil {
		t.Fatalf("go list: %v", err)
	}
	var all []listed
	for dec := json.NewDecoder(strings.NewReader(string(out))); dec.More(); {
		var p listed
		if err := dec.Decode(&p); err != nil {
			t.Fatal(err)
		}
		all = append(all, p)
	}
	return all
}
