package main

import (
	"errors"
	"os"
	"os/exec"
	"strings"
	"testing"
)

func TestVet(t *testing.T) {
	for _, c := range []struct {
		pattern string
		options vetOptions
		code    int
		said    []string
	}{
		{"./testdata/vet", vetOptions{}, exitCellFailed, []string{
			"vet.go:7:7: error: Rate is exported and does not name its quantity", "vet.go:10:9: error: m + m/s: a length and a speed cannot be added"}},
		{"./testdata/vet", vetOptions{unknown: true}, exitCellFailed, []string{"vet.go:13:46: not known: float64(h)"}},
		{"../../aerolib/...", vetOptions{least: 95}, exitOK, []string{"foreplane/aerolib/atmos", "dimension known"}},
		{"../../kernel/display", vetOptions{least: 100}, exitCellFailed, []string{"less than 100 %"}},
		{"./testdata/none", vetOptions{}, exitInput, []string{"go list"}},
	} {
		var out strings.Builder
		err := vet(&out, []string{c.pattern}, c.options)
		code := exitOK
		if e := (*exitError)(nil); errors.As(err, &e) {
			code = e.code
			out.WriteString(err.Error())
		}
		if code != c.code {
			t.Errorf("%s: exit code %d, want %d: %s", c.pattern, code, c.code, out.String())
		}
		for _, text := range c.said {
			if !strings.Contains(out.String(), text) {
				t.Errorf("%s: no %q in\n%s", c.pattern, text, out.String())
			}
		}
	}
}

// TestVetTool runs the check inside go vet. This test stands in for the command; see TestMain.
func TestVetTool(t *testing.T) {
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command("go", "vet", "-vettool="+self, "./testdata/vettool").CombinedOutput()
	if err == nil || strings.Count(string(out), "vettool.go:") != 1 || !strings.Contains(string(out), "vettool.go:4:39: 1 / 2 divides whole numbers and gives 0") {
		t.Errorf("%v\n%s", err, out)
	}
}
