package against

import (
	"flag"
	"fmt"
	"strings"
	"sync"
	"testing"

	"foreplane/kernel/cell/internal/progen"
)

var (
	programs = flag.Int("programs", 40, "how many random programs to compare")
	first    = flag.Uint64("first", 1, "seed of the first random program")
)

const (
	inBuild   = 1000 // programs in one run of the compiler
	inPackage = 25   // of them in a package: compile time grows faster than a package
)

// TestRandom runs random programs as cells and compiled.
func TestRandom(t *testing.T) {
	verdicts := map[string]verdict{}
	for from := *first; from < *first+uint64(*programs); from += inBuild {
		compareRandom(t, from, min(inBuild, *first+uint64(*programs)-from), verdicts)
	}
	if *first == 1 && *programs == 40 {
		holdAgainstKnown(t, "random.txt", verdicts)
		return
	}
	summarise(t, verdicts)
	for name, v := range verdicts {
		if v.kind == wrong {
			t.Errorf("%s: %s", name, v.reason)
		}
	}
}

// compareRandom adds the verdicts on n programs.
func compareRandom(t *testing.T, from, n uint64, verdicts map[string]verdict) {
	var units []unit
	var parts []program
	for seed := from; seed < from+n; seed++ {
		p := random(seed)
		parts = append(parts, p)
		units = append(units, randomUnit(p, seed, int(seed-from)))
	}
	x := build(t, units)
	var mu sync.Mutex
	each(len(parts), func(h *host, i int) {
		want, err := x.run(parts[i].name)
		v := verdict{wrong, fmt.Sprint(err)}
		if err == nil {
			v = judge(h, ways[i%len(ways)].cells(parts[i]), want)
		}
		mu.Lock()
		defer mu.Unlock()
		verdicts[parts[i].name] = v
	})
}

// randomUnit is program i of a build. Those of a package share the prelude.
func randomUnit(p program, seed uint64, i int) unit {
	if i%inPackage > 0 {
		p.decls = strings.TrimPrefix(p.decls, progen.Prelude)
	}
	p.decls = progen.Uses + p.decls
	u := p.asUnit(i / inPackage)
	u.entry = fmt.Sprintf("Main%d", seed)
	u.text = strings.Replace(u.text, "func Main()", "func "+u.entry+"()", 1)
	return u
}

// random is the program of a seed.
func random(seed uint64) program {
	p := progen.New(seed)
	return program{
		name:    fmt.Sprintf("seed %06d", seed),
		imports: "import (\n\t\"" + strings.Join(progen.Imports, "\"\n\t\"") + "\"\n)\n\n",
		decls:   fmt.Sprintf("%s\n%s\n%s", progen.Prelude, strings.Join(p.Types, "\n"), strings.Join(p.Funcs, "\n")),
		body:    "\n" + strings.Join(p.Body, "\n") + "\n",
	}
}
