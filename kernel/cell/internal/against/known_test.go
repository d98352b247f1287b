package against

import (
	"bytes"
	"flag"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "write the lists of what is known not to pass")

// holdAgainstKnown compares verdicts by name with testdata/known/list: lines of name, verdict and reason, of which the reason is for people.
func holdAgainstKnown(t *testing.T, list string, verdicts map[string]verdict) {
	t.Helper()
	summarise(t, verdicts)
	path := filepath.Join("testdata", "known", list)
	if *update {
		if err := os.WriteFile(path, known(verdicts), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	expected, reasons := readKnown(t, path)
	for _, name := range slices.Sorted(maps.Keys(verdicts)) {
		v, kind := verdicts[name], expected[name]
		switch {
		case kind == "" && v.kind != pass:
			t.Errorf("%s is %s: %s", name, v.kind, v.reason)
		case v.kind == pass && strings.Contains(reasons[name], "hangs"): // whether a race is lost depends on the machine
			t.Logf("%s: %s names it, and it passed this time", name, path)
		case kind != "" && kind != v.kind:
			t.Errorf("%s: %s says %s, but it is %s now: %s", name, path, kind, v.kind, v.reason)
		}
		delete(expected, name)
	}
	for name := range expected {
		t.Errorf("%s: %s names it, but there is no such program", name, path)
	}
}

// known is the text of a list.
func known(verdicts map[string]verdict) []byte {
	var b bytes.Buffer
	for _, name := range slices.Sorted(maps.Keys(verdicts)) {
		if v := verdicts[name]; v.kind != pass {
			fmt.Fprintf(&b, "%s\t%s\t%.160s\n", name, v.kind, strings.ReplaceAll(v.reason, "\n", " "))
		}
	}
	return b.Bytes()
}

// readKnown returns the verdicts and the reasons of a list by name.
func readKnown(t *testing.T, path string) (kinds, reasons map[string]string) {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	kinds, reasons = map[string]string{}, map[string]string{}
	for line := range strings.Lines(string(text)) {
		if fields := strings.SplitN(line, "\t", 3); len(fields) == 3 {
			kinds[fields[0]], reasons[fields[0]] = fields[1], fields[2]
		}
	}
	return kinds, reasons
}

// summarise logs how many programs got each verdict, and the reasons of refusals and errors, the most frequent first.
func summarise(t *testing.T, verdicts map[string]verdict) {
	t.Helper()
	kinds, reasons := map[string]int{}, map[string][]string{}
	for _, name := range slices.Sorted(maps.Keys(verdicts)) {
		v := verdicts[name]
		kinds[v.kind]++
		if v.kind != pass {
			r := v.kind + ": " + construct(v.reason)
			reasons[r] = append(reasons[r], name)
		}
	}
	t.Logf("%d: %d pass, %d refused, %d wrong", len(verdicts), kinds[pass], kinds[refused], kinds[wrong])
	order := slices.SortedFunc(maps.Keys(reasons), func(a, b string) int {
		if d := len(reasons[b]) - len(reasons[a]); d != 0 {
			return d
		}
		return strings.Compare(a, b)
	})
	for _, r := range order {
		names := reasons[r]
		t.Logf("%4d %s (%s)", len(names), r, strings.Join(names[:min(4, len(names))], ", "))
	}
}

var particular = regexp.MustCompile(`cell \d+, line \d+, column \d+: |\b[0-9]+:[0-9]+: |0x[0-9a-f]+|\d+`)

// construct is a reason without what belongs to one program, to count by.
func construct(reason string) string {
	return fmt.Sprintf("%.120s", particular.ReplaceAllStringFunc(reason, func(s string) string {
		if strings.HasSuffix(s, ": ") {
			return ""
		}
		return "N"
	}))
}
