package report

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"testing"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/trim"
	"foreplane/aerolib/unit"
)

func compareAt(t testing.TB, a aircraft.Aircraft) trim.Methods {
	t.Helper()
	c, err := trim.At(4000*unit.Foot, 90*unit.Knot)
	if err != nil {
		t.Fatal(err)
	}
	k, err := trim.SideBySide(a, c, trim.Mesh{Rows: 2, Strips: 8})
	if err != nil {
		t.Fatal(err)
	}
	return k
}

// rows returns the cells of the row that begins so.
func rowOf(t *testing.T, table Table, begin ...string) []string {
	t.Helper()
	for _, row := range table.Rows {
		if slices.Equal(row[:len(begin)], begin) {
			return row
		}
	}
	t.Fatalf("no row %q in %q", begin, table.Rows)
	return nil
}

// TestTrimBoth: the sum rows are the weight and no moment in both methods, every Δ is the difference of its columns, and every part has its rows.
func TestTrimBoth(t *testing.T) {
	for _, a := range aircraft.Fleet() {
		table := TrimBoth(compareAt(t, a))
		weight := fixed(a.Weight(), 0)
		if got := rowOf(t, table, "sum", "lift"); !slices.Equal(got[3:], []string{weight, weight, "0"}) {
			t.Errorf("%s: %q", a.Name, got)
		}
		if got := rowOf(t, table, "sum", "moment"); !slices.Equal(got[3:], []string{"0", "0", "0"}) {
			t.Errorf("%s: %q", a.Name, got)
		}
		for _, row := range table.Rows {
			x, y, d := number(t, row[3]), number(t, row[4]), number(t, row[5])
			step := 1.0
			if _, decimals, ok := strings.Cut(row[5], "."); ok {
				for range decimals {
					step /= 10
				}
			}
			if off := y - x - d; off > 1.01*step || off < -1.01*step {
				t.Errorf("%s: %q: Δ is not the difference", a.Name, row)
			}
		}
		for _, s := range a.Lifting() {
			rowOf(t, table, s.Name, "wash ε")
			rowOf(t, table, s.Name, "cl/cl_max")
		}
		rowOf(t, table, "body", "moment")
		rowOf(t, table, "thrust", "lift")
	}
}

func number(t *testing.T, text string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// TestBasis: everything that a reader needs to compute again is there, with its kinds told apart.
func TestBasis(t *testing.T) {
	c, _ := trim.At(6500*unit.Foot, 80*unit.Knot)
	c.Flaps, c.Thrust, c.Force, c.GearUp, c.Height = map[string]unit.Angle{"flaps": 15 * unit.Degree}, trim.Given, 700, true, 2
	c.Omit.Bodies = true
	r, err := trim.Solve(aircraft.Bracken(), c)
	if err != nil {
		t.Fatal(err)
	}
	text := Basis(r).Text()
	for _, want := range []string{"Bracken, level flight", "S of the tailplane", "80.0 (41.2)", "72.6 (37.3)", "gear up, flaps 15.0°, thrust given, 700 N", "2.00 m above the ground",
		"closed form", "wakes along x", "35.5  % of the chord of the wing", "left out", "bodies", "NOT FOR CG LIMITS"} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q in\n%s", want, text)
		}
	}
	plain, _ := trim.At(0, 90*unit.Knot)
	r, _ = trim.Solve(aircraft.Sedge(), plain)
	if text := Basis(r).Text(); strings.Contains(text, "left out") || !strings.Contains(text, "gear down, no flaps set, thrust as drag") || !strings.Contains(text, "free air") {
		t.Error(text)
	}
}

// TestDifferences: the last row is the sum of the others, and the difference of both methods.
func TestDifferences(t *testing.T) {
	k := compareAt(t, aircraft.Sedge())
	table := Differences(k)
	if last := table.Rows[len(table.Rows)-1]; last[1] != degree(k.Lattice.Alpha-k.Closed.Alpha, 2) || last[2] != degree(k.Lattice.Deflection-k.Closed.Deflection, 2) {
		t.Errorf("%q", last)
	}
	if len(table.Rows) != len(k.Terms)+1 {
		t.Errorf("%d rows", len(table.Rows))
	}
}

// TestTabular: each row ends, nothing that LaTeX takes otherwise is left, and Greek stands as mathematics.
func TestTabular(t *testing.T) {
	text := Table{Caption: "CG_max 5 % & more", Header: []string{"part", "ΔCmα"}, Units: []string{"", "% MAC"}, Rows: [][]string{{"wing", "-1.5"}}}.Tabular()
	for _, want := range []string{"\\begin{tabular}{lr}", "part & $\\Delta$Cm$\\alpha$ \\\\\n", " & \\% MAC \\\\\n", "wing & -1.5 \\\\\n", "\\caption{CG\\_max 5 \\% \\& more}"} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q in\n%s", want, text)
		}
	}
}

func ExampleTrimBoth() {
	c, _ := trim.At(0, 90*unit.Knot)
	c.Omit, c.Thrust = trim.Bare, trim.Off
	k, _ := trim.SideBySide(aircraft.Bracken(), c, trim.Mesh{})
	for _, row := range TrimBoth(k).Rows {
		if row[1] == "lift" {
			fmt.Printf("%s: %s N and %s N\n", row[0], row[3], row[4])
		}
	}
	// Output:
	// wing: 6829 N and 6802 N
	// tailplane: 36 N and 62 N
	// fin: 0 N and 0 N
	// sum: 6865 N and 6865 N
}

func ExampleBasis() {
	c, _ := trim.At(0, 90*unit.Knot)
	r, _ := trim.Solve(aircraft.Sedge(), c)
	for _, row := range Basis(r).Rows[6:8] {
		fmt.Println(row)
	}
	// Output:
	// [b 9.000 m]
	// [x_ref 4.0080 m, leading edge of c_ref]
}

func ExampleDifferences() {
	c, _ := trim.At(0, 90*unit.Knot)
	k, _ := trim.SideBySide(aircraft.Sedge(), c, trim.Mesh{})
	fmt.Println(Differences(k).Rows[0][0])
	// Output: lift slope of the wing
}

func ExampleTable_Tabular() {
	fmt.Print(Table{Header: []string{"part", "Δ"}, Units: []string{"", "%"}, Rows: [][]string{{"wing", "7.1"}}, Caption: "Shift"}.Tabular())
	// Output:
	// \begin{table}
	// \begin{tabular}{lr}
	// \toprule
	// part & $\Delta$ \\
	//  & \% \\
	// \midrule
	// wing & 7.1 \\
	// \bottomrule
	// \end{tabular}
	// \caption{Shift}
	// \end{table}
}
