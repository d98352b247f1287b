package against

import (
	"bytes"
	"flag"
	"go/format"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"

	"golang.org/x/tools/txtar"
)

var only = flag.String("only", "", "run only the programs of the corpus whose names match")

// TestCorpus runs each program of testdata/corpus in every way as cells, and compiled. The verdict on a program is the worst of its ways.
func TestCorpus(t *testing.T) {
	corpus := readCorpus(t)
	var units []unit
	for i, p := range corpus {
		units = append(units, p.asUnit(i))
	}
	x := build(t, units)
	verdicts := map[string]verdict{}
	var mu sync.Mutex
	each(len(corpus), func(h *host, i int) {
		v := inAllWays(h, x, corpus[i])
		mu.Lock()
		defer mu.Unlock()
		verdicts[corpus[i].name] = v
	})
	if *only != "" {
		summarise(t, verdicts)
		for name, v := range verdicts {
			if v.kind != pass {
				t.Errorf("%s is %s: %s", name, v.kind, v.reason)
			}
		}
		return
	}
	holdAgainstKnown(t, "corpus.txt", verdicts)
}

func inAllWays(h *host, x *executable, p program) verdict {
	want, err := x.run(p.name)
	if err != nil {
		return verdict{wrong, err.Error()}
	}
	worst := verdict{kind: pass}
	for _, way := range ways {
		v := judge(h, way.cells(p), want)
		if v.kind == wrong {
			return verdict{wrong, "as " + way.name + ": " + v.reason}
		}
		if v.kind == refused {
			worst = verdict{refused, v.reason}
		}
	}
	return worst
}

// readCorpus reads all programs. Each begins with a comment that says what it is about, is formatted, and is the same as no other.
func readCorpus(t *testing.T) []program {
	t.Helper()
	files, err := filepath.Glob("testdata/corpus/*.txtar")
	if err != nil {
		t.Fatal(err)
	}
	pattern := regexp.MustCompile(*only)
	var corpus []program
	seen := map[string]string{}
	for _, file := range files {
		archive, err := txtar.ParseFile(file)
		if err != nil {
			t.Fatal(err)
		}
		topic := strings.TrimSuffix(filepath.Base(file), ".txtar")
		for _, f := range archive.Files {
			name := topic + "/" + f.Name
			if !pattern.MatchString(name) {
				continue
			}
			p, err := parseProgram(name, string(f.Data))
			if err != nil {
				t.Fatal(err)
			}
			checkStyle(t, name, f.Data)
			if other := seen[p.decls+p.body]; other != "" || p.body == "" {
				t.Errorf("%s is empty, or the same as %s", name, other)
			}
			seen[p.decls+p.body] = name
			corpus = append(corpus, p)
		}
	}
	return corpus
}

func checkStyle(t *testing.T, name string, source []byte) {
	t.Helper()
	formatted, err := format.Source(source)
	if err != nil || !bytes.Equal(bytes.TrimSpace(formatted), bytes.TrimSpace(source)) {
		t.Errorf("gofmt would change %s (%v)", name, err)
	}
	if !bytes.HasPrefix(source, []byte("// ")) {
		t.Errorf("%s does not say what it is about", name)
	}
}
