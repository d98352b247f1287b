package report_test

import (
	"flag"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "write the table of claims anew")

// claim is something commonly taught about aeroplanes with a foreplane, with the numbers that speak to it.
type claim struct {
	number  int
	text    string
	verdict string // true, false, or when
	numbers []number
	holds   []condition // on which the verdict stands
	how     string      // the numbers were computed
}

// number is one computed value. Where the same was computed before by an independent vortex lattice, linear in the angles, it is compared with that.
type number struct {
	what      string
	value     float64
	symbol    string
	decimals  int
	want      float64 // of the independent computation
	tolerance float64 // 0 if there is none
}

// condition is what must be so for a verdict to stand.
type condition struct {
	what string
	so   bool
}

func (n number) String() string {
	text := fmt.Sprintf("%s: %.*f", n.what, n.decimals, n.value)
	if n.tolerance > 0 {
		text += fmt.Sprintf(" (%.*f)", n.decimals, n.want)
	}
	return strings.TrimSpace(text + " " + n.symbol)
}

// check fails where a number is not what the independent computation has, or a verdict has lost its ground.
func (c claim) check(t *testing.T) {
	t.Helper()
	for _, n := range c.numbers {
		if math.IsNaN(n.value) || n.tolerance > 0 && !(math.Abs(n.value-n.want) <= n.tolerance) {
			t.Errorf("claim %d: %s is %.5g, independently %.5g ± %.2g", c.number, n.what, n.value, n.want, n.tolerance)
		}
	}
	for _, h := range c.holds {
		if !h.so {
			t.Errorf("claim %d: %q does not hold, on which its verdict stands: %s", c.number, h.what, c.verdict)
		}
	}
}

func (c claim) row() string {
	var numbers, ground []string
	for _, n := range c.numbers {
		numbers = append(numbers, n.String())
	}
	for _, h := range c.holds {
		ground = append(ground, h.what)
	}
	return fmt.Sprintf("| %d | %s | %s | %s | %s | %s |\n", c.number, c.text, c.verdict, strings.Join(ground, "<br>"), strings.Join(numbers, "<br>"), c.how)
}

// TestClaims computes what is said about foreplanes and writes it to testdata/claims.md.
func TestClaims(t *testing.T) {
	var table strings.Builder
	table.WriteString(claimsHead)
	for _, claim := range []func(*testing.T) claim{lessInducedDrag, cleanAir, stallsFirst, smallerRange, longerFields, pusher, shortBody, cgAhead, tipFins, loadedForeplane, tandemHalves} {
		c := claim(t)
		c.check(t)
		table.WriteString(c.row())
	}
	const name = "testdata/claims.md"
	if *update {
		if err := os.WriteFile(name, []byte(table.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if golden, err := os.ReadFile(name); err != nil || string(golden) != table.String() {
		t.Errorf("%s differs from what is computed (%v): look, and run go test ./aerolib/report -update", name, err)
	}
}

const claimsHead = `# What is said about foreplanes, computed

Written by ` + "`go test ./aerolib/report -run Claims -update`" + `. A number in brackets is the same from an independent vortex lattice that is linear in the angles (computed for this
project, not published; the test holds the difference within what each claim states). The aeroplane, unless another is named, is the one of case T10: a swept wing of 8.4 m span and
8.82 m², a foreplane of 3.8 m and 1.52 m², 0.20 m above it; thin surfaces, no body and no propeller, wakes along x. "Tail aft" is the same wing with the same small surface behind
it at the same distance between quarter chords. It is one fair pairing, not a proof: change the geometry and compute again. SM is the static margin in chords of the wing.

For study and preliminary work; the approved flight manual, the certified weighing record, local regulations and licensed engineers decide.

| | claim | verdict | because | numbers | computed by |
| --- | --- | --- | --- | --- | --- |
`
