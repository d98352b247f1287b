package report

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/trim"
	"foreplane/aerolib/unit"
)

func solve(t testing.TB, a aircraft.Aircraft) trim.Result {
	t.Helper()
	c, err := trim.At(6500*unit.Foot, 110*unit.Knot)
	if err != nil {
		t.Fatal(err)
	}
	r, err := trim.Solve(a, c)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// TestSums holds that the last row of a trim table is the weight, the whole share and no moment, to the digits shown.
func TestSums(t *testing.T) {
	for _, a := range []aircraft.Aircraft{aircraft.Sedge(), aircraft.Bracken()} {
		r := solve(t, a)
		table := Trim(r)
		sum := table.Rows[len(table.Rows)-1]
		want := []string{"sum", "", "", "", "", "", "", fmt.Sprintf("%.3f", r.CL), fmt.Sprintf("%.0f", a.Weight()), "100.0", "", "0", "", ""}
		if !slices.Equal(sum, want) {
			t.Errorf("%s: sum row %q, want %q", a.Name, sum, want)
		}
	}
}

func TestShape(t *testing.T) {
	s, b := solve(t, aircraft.Sedge()), solve(t, aircraft.Bracken())
	for _, table := range []Table{Trim(s), Neutral(s.Neutral), Compare(s, b)} {
		if len(table.Units) != len(table.Header) {
			t.Errorf("%d units for %d columns", len(table.Units), len(table.Header))
		}
		for _, row := range table.Rows {
			if len(row) != len(table.Header) {
				t.Errorf("row %q does not fit header %q", row, table.Header)
			}
		}
		if !strings.Contains(table.Caption, trim.Caution) {
			t.Errorf("no caution in %q", table.Caption)
		}
	}
}

// TestCompare holds that each aeroplane fills the rows of its own surfaces only.
func TestCompare(t *testing.T) {
	for _, row := range Compare(solve(t, aircraft.Sedge()), solve(t, aircraft.Bracken())).Rows {
		if own := strings.Contains(row[0], "foreplane"); own && (row[2] == "" || row[3] != "") {
			t.Errorf("%q", row)
		}
		if own := strings.Contains(row[0], "tailplane"); own && (row[2] != "" || row[3] == "") {
			t.Errorf("%q", row)
		}
	}
}

func TestFixed(t *testing.T) {
	for _, c := range []struct {
		x        float64
		decimals int
		want     string
	}{{-0.0004, 3, "0.000"}, {-0.0006, 3, "-0.001"}, {1234.5678, 1, "1234.6"}, {-0.4, 0, "0"}} {
		if got := fixed(c.x, c.decimals); got != c.want {
			t.Errorf("fixed(%v, %d) = %q, want %q", c.x, c.decimals, got, c.want)
		}
	}
}

func ExampleCompare() {
	c, _ := trim.At(6500*unit.Foot, 110*unit.Knot)
	c.Omit, c.Thrust = trim.Bare, trim.Off
	sedge, _ := trim.Solve(aircraft.Sedge(), c)
	bracken, _ := trim.Solve(aircraft.Bracken(), c)
	t := Compare(sedge, bracken)
	for _, row := range t.Rows[5:8] {
		fmt.Printf("%s (%s): %s with a foreplane, %s with a tailplane\n", row[0], row[1], row[2], row[3])
	}
	// Output:
	// neutral point (m): 3.598 with a foreplane, 2.613 with a tailplane
	// static margin (% chord): 20.0 with a foreplane, 20.2 with a tailplane
	// CG behind the ¼ chord of the wing (m): -0.900 with a foreplane, 0.111 with a tailplane
}

func ExampleTrim() {
	c, _ := trim.At(6500*unit.Foot, 110*unit.Knot)
	c.Omit, c.Thrust = trim.Bare, trim.Off
	sedge, _ := trim.Solve(aircraft.Sedge(), c)
	t := Trim(sedge)
	for _, row := range t.Rows {
		fmt.Printf("%s carries %s %%\n", row[0], row[9])
	}
	// Output:
	// wing carries 71.7 %
	// foreplane carries 28.3 %
	// sum carries 100.0 %
}
