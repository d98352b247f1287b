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
	inBuild   = 200 // programs in one run of the compiler
	inPackage = 10  // of them in a package: compile time grows faster than a package
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
		u := p.asUnit(int(seed-from) / inPackage)
		u.entry = fmt.Sprintf("Main%d", seed)
		u.text = strings.Replace(u.text, "func Main()", "func "+u.entry+"()", 1)
		units = append(units, u)
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

// random is the program of a seed.
func random(seed uint64) program {
	p := progen.New(seed)
	return program{
		name:    fmt.Sprintf("seed %06d", seed),
		imports: "import (\n\t\"fmt\"\n\t\"math\"\n\t\"strings\"\n)\n\n",
		decls:   fmt.Sprintf("var _, _, _ = fmt.Sprint, math.Pi, strings.ToUpper\n\n%s\n%s", strings.Join(p.Types, "\n"), strings.Join(p.Funcs, "\n")),
		body:    "\n" + strings.Join(p.Body, "\n") + "\n",
	}
}
