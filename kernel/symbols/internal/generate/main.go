// Command generate writes what kernel/symbols embeds: for every package of packages.txt the interpreter's table, the type data and the documentation.
//
// The packages fall into three sets (the standard library, gonum, foreplane itself), each with one Go file of tables and one zip archive of data, so that a
// change of aerolib touches only the small set. The output depends on nothing but the listed packages: no positions, no paths, no times.
//
// A package that does not build is left out, and the command then fails after it has written the rest.
package main

import (
	"bytes"
	_ "embed"
	"fmt"
	"log"
	"os"
	"slices"
	"strings"
)

//go:embed packages.txt
var packageList string

func main() {
	log.SetFlags(0)
	log.SetPrefix("generate: ")
	if _, err := os.Stat("symbols.go"); err != nil {
		log.Fatal("the files belong into kernel/symbols: run go generate ./kernel/symbols")
	}
	files, broken, err := generate()
	if err != nil {
		log.Fatal(err)
	}
	for name, data := range files {
		if err := writeChanged(name, data); err != nil {
			log.Fatal(err)
		}
	}
	if len(broken) > 0 {
		log.Fatalf("left out because they do not build:\n%s", strings.Join(broken, "\n"))
	}
}

// generate returns the contents of all generated files by name, and a line for each package that does not build.
func generate() (files map[string][]byte, broken []string, err error) {
	pkgs, broken, err := load(patterns(packageList))
	if err != nil {
		return nil, nil, err
	}
	files = map[string][]byte{}
	for _, set := range []string{"std", "gonum", "foreplane"} {
		members := slices.DeleteFunc(slices.Clone(pkgs), func(p *source) bool { return setOf(p.Path) != set })
		if files[set+".go"], err = tables(set, members); err != nil {
			return nil, nil, err
		}
		if files[set+".zip"], err = archive(members); err != nil {
			return nil, nil, err
		}
	}
	return files, broken, nil
}

// setOf names the set an import path belongs to.
func setOf(path string) string {
	first, _, _ := strings.Cut(path, "/")
	switch {
	case first == "foreplane":
		return first
	case strings.Contains(first, "."):
		return "gonum"
	}
	return "std"
}

// patterns returns the lines of a package list without comments and blank lines.
func patterns(list string) []string {
	var out []string
	for line := range strings.Lines(list) {
		line, _, _ = strings.Cut(line, "#")
		if line = strings.TrimSpace(line); line != "" {
			out = append(out, line)
		}
	}
	return out
}

// writeChanged leaves an up-to-date file alone, so that nothing is rebuilt for it.
func writeChanged(name string, data []byte) error {
	if old, err := os.ReadFile(name); err == nil && bytes.Equal(old, data) {
		return nil
	}
	fmt.Printf("%s: %d bytes\n", name, len(data))
	return os.WriteFile(name, data, 0o644)
}
