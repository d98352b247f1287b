package report

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/atmos"
	"foreplane/aerolib/prop"
	"foreplane/aerolib/unit"
)

func booksOf(t testing.TB, a aircraft.Aircraft) prop.Books {
	t.Helper()
	air, err := atmos.Standard(0)
	if err != nil {
		t.Fatal(err)
	}
	i, err := prop.Install(a, a.Plants[0], air, 60)
	if err != nil {
		t.Fatal(err)
	}
	b, err := i.Books(air, 60, 1)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// TestBookkeeping holds that the columns add up as they are printed, to the rounding of their digits, and that Δ is pusher less tractor.
func TestBookkeeping(t *testing.T) {
	b, s := booksOf(t, aircraft.Bracken()), booksOf(t, aircraft.Sedge())
	table := Bookkeeping(b, s)
	value := func(row, column int) float64 {
		v, err := strconv.ParseFloat(table.Rows[row][column], 64)
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	if len(table.Rows) != 16 {
		t.Fatalf("%d rows", len(table.Rows))
	}
	for column := 1; column <= 6; column++ {
		sum := 0.0
		for row := range 12 {
			if row != 5 { // the output of the disc is a sum itself
				sum += value(row, column)
			}
		}
		if net := value(12, column); math.Abs(sum-net) > 0.06 {
			t.Errorf("column %d adds up to %.2f, net is %.2f", column, sum, net)
		}
	}
	for row := range 13 {
		if d := value(row, 3) - value(row, 1); math.Abs(d-value(row, 5)) > 0.011 {
			t.Errorf("row %q: Δ %g, want %g", table.Rows[row], value(row, 5), d)
		}
	}
	if table.Rows[15][1] != "0.00" || table.Rows[15][3] != "0.00" || table.Rows[14][2] != fixed(100*b.Net, 2) || table.Rows[13][4] != fixed(100*s.Apparent, 2) {
		t.Errorf("%q", table.Rows[13:])
	}
	if !strings.Contains(table.Caption, "passes the wake of a wing") || !strings.Contains(table.Caption, "licensed engineers") {
		t.Errorf("caption %q", table.Caption)
	}
}

func TestPropellerTables(t *testing.T) {
	b := booksOf(t, aircraft.Bracken()).Installed
	p, s := Propeller(b.Operating), Slipstream(b)
	want := []string{"117", fixed(b.Thrust, 0), "85.0", "2450"}
	if got := p.Rows[0]; len(got) != len(p.Header) || len(p.Header) != len(p.Units) || strings.Join(got[:4], " ") != strings.Join(want, " ") {
		t.Errorf("%q, want %q", got, want)
	}
	for _, row := range s.Rows {
		if len(row) != len(s.Header) || len(s.Header) != len(s.Units) {
			t.Errorf("%q", row)
		}
	}
	if len(s.Rows) != 4 || s.Rows[0][0] != "body" || s.Rows[0][1] != "100.0" {
		t.Errorf("%q", s.Rows)
	}
}

func ExampleBookkeeping() {
	air, _ := atmos.Standard(0)
	var books []prop.Books
	for _, a := range []aircraft.Aircraft{aircraft.Bracken(), aircraft.Sedge()} {
		i, _ := prop.Install(a, a.Plants[0], air, 60*unit.MetrePerSecond)
		b, _ := i.Books(air, 60*unit.MetrePerSecond, 1)
		books = append(books, b)
	}
	t := Bookkeeping(books[0], books[1])
	fmt.Println(t.Header[1], "|", t.Header[3])
	for _, row := range t.Rows {
		fmt.Printf("%s: %s %% | %s %%\n", row[0], row[2], row[4])
	}
	// Output:
	// Bracken, tractor | Sedge, pusher
	// shaft power: 100.00 % | 100.00 %
	// induced: -4.71 % | -4.92 %
	// swirl: -1.86 % | -2.03 %
	// profile: -4.70 % | -4.45 %
	// tip and Mach: -2.50 % | -2.84 %
	// disc output: 86.23 % | 85.76 %
	// blockage or wake gain: 5.04 % | 4.07 %
	// thrust deduction: -5.41 % | -3.64 %
	// scrubbing, body: -1.63 % | -0.11 %
	// scrubbing, wing: -0.29 % | -0.06 %
	// scrubbing, tail: -0.43 % | 0.00 %
	// cooling: -0.77 % | -0.83 %
	// net thrust power: 82.74 % | 85.19 %
	// η apparent: 91.27 % | 89.83 %
	// η net: 82.74 % | 85.19 %
	// sum less net: 0.00 % | 0.00 %
}

func ExamplePropeller() {
	d, _ := prop.DriveOf(aircraft.Bracken().Plants[0])
	air, _ := atmos.Standard(0)
	o, _ := d.Thrust(air, 100*unit.Knot)
	fmt.Println(Propeller(o).Rows[0])
	// Output: [100 1379 85.0 2450 19.5 0.720 0.0720 0.0621 0.835 25.5 0.0]
}

func ExampleSlipstream() {
	a := aircraft.Bracken()
	air, _ := atmos.Standard(0)
	i, _ := prop.Install(a, a.Plants[0], air, 40*unit.MetrePerSecond)
	s, _ := i.At(air, 40*unit.MetrePerSecond, 1)
	for _, row := range Slipstream(s).Rows {
		fmt.Println(row)
	}
	// Output:
	// [body 100.0 1.671 4.61]
	// [wing 10.2 1.693 4.58]
	// [tailplane 48.2 1.715 4.55]
	// [fin 48.0 1.715 4.55]
}
