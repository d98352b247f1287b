package trim

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"text/tabwriter"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/unit"
)

var update = flag.Bool("update", false, "write the golden tables anew")

// golden compares a table with its file, which -update writes anew.
func golden(t *testing.T, name, got string) {
	t.Helper()
	file := filepath.Join("testdata", name)
	if *update {
		if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if got != string(want) {
		t.Errorf("%s has changed; it is now\n%s", name, got)
	}
}

// TestFleetStalls holds the first stall of the four aeroplanes over their CGs, with closed throttle and at full power; of the variants without those of mesh and source of limits.
func TestFleetStalls(t *testing.T) {
	var b strings.Builder
	w := tabwriter.NewWriter(&b, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintln(w, "aeroplane\tCG\tthrust\tfirst\tη\tCL\tV_S\tδ\tlead\tband\tverdict\t")
	fmt.Fprintln(w, "\tm\tN\t\t\t\tkt\t°\t%\t%\t\t")
	for _, a := range aircraft.Fleet() {
		m := need[*SequenceModel](t)(newSequenceModel(a, StallSettings{}, true))
		for _, shift := range []float64{-0.15, 0, 0.15} {
			for _, power := range []bool{false, true} {
				c := seaLevel(t)
				if power {
					c.Thrust, c.Force = Given, need[float64](t)(fullThrust(a.Plants, c.Air, 60*unit.Knot))
				}
				s := need[Sequence](t)(m.Sequence(c, a.CG+shift*a.Reference.Chord))
				fmt.Fprintf(w, "%s\t%.3f\t%.0f\t%s\t%.2f\t%.3f\t%.1f\t%.1f\t%.0f\t%.0f to %.0f\t%s\t\n", s.Aircraft, s.CG, c.Force, s.First.Surface, s.First.Eta, s.CL, s.Speed/unit.Knot,
					s.Deflection/unit.Degree, 100*s.Margin(), 100*s.Low, 100*s.High, s.Verdict)
			}
		}
	}
	w.Flush()
	golden(t, "stall-fleet.txt", b.String())
}
