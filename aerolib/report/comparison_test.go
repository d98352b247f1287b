package report

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/trim"
)

// TestComparison: given, scaled and outcome follow each other, every layout has its columns, and the reasons that are written sum to what is written as the difference.
func TestComparison(t *testing.T) {
	c, err := trim.Compare(trim.Basis{Size: trim.EqualSpan}, aircraft.Bracken(), aircraft.Sedge(), aircraft.Yarrow())
	if err != nil {
		t.Fatal(err)
	}
	table := Comparison(c)
	if want := []string{"", "quantity", "unit", "Bracken", "Sedge", "Δ %", "because of", "Yarrow", "Δ %", "because of"}; !slices.Equal(table.Header, want) {
		t.Errorf("header %q", table.Header)
	}
	order := map[string]int{"given": 0, "scaled": 1, "outcome": 2}
	last, told := 0, 0
	for _, row := range table.Rows {
		if len(row) != len(table.Header) || order[row[0]] < last {
			t.Errorf("row %q", row)
		}
		last = order[row[0]]
		for _, at := range []int{5, 8} {
			if row[at+1] == "" {
				continue
			}
			told++
			sum := 0.0
			for term := range strings.SplitSeq(row[at+1], "; ") {
				sum += percentOf(t, term[strings.LastIndex(term, " ")+1:])
			}
			if n := strings.Count(row[at+1], ";") + 1; math.Abs(sum-percentOf(t, row[at])) > 0.05*float64(n+1) {
				t.Errorf("%s: %q sums to %.2f, written is %s", row[1], row[at+1], sum, row[at])
			}
		}
	}
	if told < 15 {
		t.Errorf("only %d reasons", told)
	}
	if !strings.Contains(table.Caption, "equal span") || !strings.Contains(table.Caption, trim.Caution) || !strings.Contains(table.Caption, "first limited by") {
		t.Errorf("caption %q", table.Caption)
	}
}

func percentOf(t *testing.T, text string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(strings.Replace(text, "−", "-", 1), 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func TestBecause(t *testing.T) {
	for want, reasons := range map[string][]trim.Reason{
		"b −12.0; a +3.4; rest +0.1": {{Name: "a", Part: 0.034}, {Name: "b", Part: -0.12}, {Name: "c", Part: 0.0006}, {Name: "d", Part: 0.0002}},
		"a +0.1":                     {{Name: "a", Part: 0.0011}, {Name: "b", Part: 0.0001}},
		"":                           {{Name: "a", Part: 1e-9}},
	} {
		if got := because(reasons); got != want {
			t.Errorf("%q, must be %q", got, want)
		}
	}
	for want, x := range map[string]float64{"0.051": 0.0512, "1.235": 1.2346, "12.35": 12.346, "12346": 12345.6, "more than 1 chord": math.Inf(1)} {
		if got := figures(x); got != want {
			t.Errorf("%v is written %q, must be %q", x, got, want)
		}
	}
}

func ExampleComparison() {
	c, err := trim.Compare(trim.Basis{Size: trim.EqualSpan}, aircraft.Bracken(), aircraft.Sedge())
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, row := range Comparison(c).Rows {
		if row[1] == "stall speed" || row[1] == "L/D in cruise" {
			fmt.Println(strings.Join(row, " | "))
		}
	}
	// Output:
	// outcome | stall speed | m/s | 29.25 | 34.66 | +18.5 | greatest lift coefficient in trim, CG forward +18.5
	// outcome | L/D in cruise |  | 14.11 | 14.21 | +0.7 | drag, largest surface +1.8; drag, fins −1.6; drag, bodies +1.1; drag, induced −1.0; drag, gear, cooling and the rest +0.7; drag, other lifting surfaces −0.3
}

func ExampleFront() {
	r := trim.StudyResult{Aircraft: "Sedge"} // as Optimise has it
	r.Front = []trim.Design{{Number: 7, Stall: 32.5, Drag: 496, Lead: 0.12, Values: map[trim.Variable]float64{trim.AreaShare: 0.25, trim.SpanRatio: 0.5}}}
	for _, row := range Front(r).Rows {
		fmt.Println(strings.Join(row, " "))
	}
	// Output:
	// 7 32.50 496.0 0.00 12 0.500 25.0 0.000 0.00 0.000
	// as drawn 0.00 0.0 0.00 0 0.000 0.0 0.000 0.00 0.000
}
