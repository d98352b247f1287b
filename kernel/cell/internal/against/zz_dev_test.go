package against

import (
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
)

func TestOneDist(t *testing.T) {
	name := os.Getenv("FOREPLANE_ONE")
	if name == "" {
		return
	}
	dir := filepath.Join(runtime.GOROOT(), "test")
	text, err := os.ReadFile(filepath.Join(dir, name))
	if err != nil {
		t.Fatal(err)
	}
	code, err := newChecker().adapt(name, string(text))
	os.WriteFile("/tmp/fp/cellx/one.cell", []byte(code), 0o644)
	h := new(host)
	defer h.end()
	a, err := h.run(order{Fresh: true, Code: code, Number: 1})
	fmt.Println("ERR", err)
	if a.Err != nil {
		fmt.Println(strings.Join(a.Err.Traceback, "\n"))
		for _, l := range a.Err.Traceback {
			var c, n, k int
			if _, err := fmt.Sscanf(l, "cell %d, line %d, column %d", &c, &n, &k); err == nil {
				fmt.Println(n, strings.Split(code, "\n")[n-1])
			}
		}
	}
	fmt.Println("OUT", a.Stdout)
	fmt.Println("ERROUT", a.Stderr)
}

func TestAllDist(t *testing.T) {
	out := os.Getenv("FOREPLANE_ALL")
	if out == "" {
		return
	}
	tests, _ := findDistribution(t, filepath.Join(runtime.GOROOT(), "test"))
	check := newChecker()
	verdicts := make([]verdict, len(tests))
	each(len(tests), func(h *host, i int) { verdicts[i] = tests[i].run(h, check) })
	f, _ := os.Create(out)
	n := map[string]int{}
	for i, v := range verdicts {
		n[v.kind]++
		if v.kind != pass {
			fmt.Fprintf(f, "%s\t%s\t%.150q\n", tests[i].name, v.kind, v.reason)
		}
	}
	f.Close()
	fmt.Println(n)
}
