package report

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/drag"
	"foreplane/aerolib/unit"
)

func buildup(t testing.TB, a aircraft.Aircraft) drag.Buildup {
	t.Helper()
	f, err := drag.At(6500*unit.Foot, 110*unit.Knot)
	if err != nil {
		t.Fatal(err)
	}
	b, err := drag.Build(a, f, drag.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// lifting is an aeroplane whose wing and other surface lift.
func lifting(t testing.TB, b drag.Buildup, other string) drag.Breakdown {
	t.Helper()
	w, err := drag.Of(b, []drag.Load{{Surface: "wing", CL: 0.45}, {Surface: other, CL: 0.6}}, drag.Induced{CL: 0.55, CD: 0.011, Parts: []drag.Share{{Name: "wing", CD: 0.012}, {Name: other, CD: -0.001}}})
	if err != nil {
		t.Fatal(err)
	}
	return w
}

// column returns the numbers of a column, and the last of them, which is their sum.
func column(t testing.TB, table Table, header string) (values []float64, sum float64) {
	t.Helper()
	for i, h := range table.Header {
		if h != header {
			continue
		}
		for _, row := range table.Rows {
			if row[i] == "" {
				continue
			}
			v, err := strconv.ParseFloat(row[i], 64)
			if err != nil {
				t.Fatal(err)
			}
			values = append(values, v)
		}
		return values[:len(values)-1], values[len(values)-1]
	}
	t.Fatalf("no column %q", header)
	return nil, 0
}

// TestDragSums: what is shown adds up to the last row, to half a unit of the last digit for each row.
func TestDragSums(t *testing.T) {
	for _, a := range aircraft.Fleet() {
		b := buildup(t, a)
		for header, digit := range map[string]float64{"S_wet": 0.01, "CDA": 1e-4, "CD": 0.1, "share": 0.1} {
			adds(t, Drag(b), header, digit)
		}
		if caption := Drag(b).Caption; !strings.Contains(caption, a.Name) || !strings.Contains(caption, "110.0 kt") {
			t.Errorf("caption %q", caption)
		}
	}
	w := lifting(t, buildup(t, aircraft.Sedge()), "foreplane")
	for header, digit := range map[string]float64{"without lift": 0.1, "profile, by lift": 0.1, "induced": 0.1, "CD": 0.1, "CDA": 1e-4, "share": 0.1} {
		adds(t, Contributions(w), header, digit)
	}
	_, counts := column(t, Contributions(w), "CD")
	if math.Abs(counts-w.CD*1e4) > 0.05 {
		t.Errorf("%g counts for CD %g", counts, w.CD)
	}
}

func adds(t testing.TB, table Table, header string, digit float64) {
	t.Helper()
	values, want := column(t, table, header)
	sum := 0.0
	for _, v := range values {
		sum += v
	}
	if math.Abs(sum-want) > digit/2*float64(len(values)+1) {
		t.Errorf("%s: column %s adds up to %g, its last row is %g", table.Caption, header, sum, want)
	}
}

// TestDragTables holds the shape of the tables, and what they say about the body of Sedge, which is too short for one of the factors.
func TestDragTables(t *testing.T) {
	b := buildup(t, aircraft.Sedge())
	points := []drag.Point{{CL: 0.6, CD: 0.03, Induced: 0.01}, {CL: 0, CD: 0.02}, {CL: 0.3, CD: 0.0225, Induced: 0.0025, Alpha: 0.1}}
	p, err := drag.NewPolar("Straw", 10, points)
	if err != nil {
		t.Fatal(err)
	}
	f, err := drag.At(0, 100*unit.Knot)
	if err != nil {
		t.Fatal(err)
	}
	body, err := drag.Stretched(aircraft.Sedge().Bodies[0], nil, []unit.Length{3.5, 8}, f, drag.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if short, long := Stretches(body).Rows[0], Stretches(body).Rows[1]; short[7] != "no" || long[7] != "yes" || !strings.HasSuffix(short[4], "*") || strings.HasSuffix(short[5]+long[4], "*") {
		t.Errorf("%q\n%q", short, long)
	}
	for _, table := range []Table{Drag(b), Forms(b), Closures(b), Contributions(lifting(t, b, "foreplane")), Polar(p), Stretches(body)} {
		if len(table.Units) != len(table.Header) {
			t.Errorf("%d units for %d columns of %q", len(table.Units), len(table.Header), table.Caption)
		}
		for _, row := range table.Rows {
			if len(row) != len(table.Header) {
				t.Errorf("row %q does not fit header %q", row, table.Header)
			}
		}
	}
	text := Forms(b).Text()
	for _, want := range []string{"body   fineness  3.925    Raymer  2.002       6 to 20        no  0.0678    no", "body   fineness  3.925   Hoerner  1.309     2.5 to 20       yes  0.0443   yes"} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q in\n%s", want, text)
		}
	}
	if row := Polar(p).Rows[0]; row[0] != "0.000" || row[8] != "" {
		t.Errorf("without lift: %q", row)
	}
	if row := Polar(p).Rows[1]; fmt.Sprint(row) != "[0.300 5.73 0.00 200.0 0.0 25.0 225.0 13.33 1.146]" {
		t.Errorf("row %q", row)
	}
	if caption := Polar(p).Caption; !strings.Contains(caption, "Oswald factor 1.146") {
		t.Errorf("caption %q", caption)
	}
}

func ExampleContributions() {
	f, _ := drag.At(6500*unit.Foot, 110*unit.Knot)
	b, _ := drag.Build(aircraft.Bracken(), f, drag.Options{Surfaces: drag.Raymer})
	whole, _ := drag.Of(b, []drag.Load{{Surface: "wing", CL: 0.45}}, drag.Induced{CL: 0.45, CD: 0.0074})
	t := Contributions(whole)
	fmt.Printf("%q\n%q\n", t.Header[:5], t.Rows[len(t.Rows)-2][:5])
	// Output:
	// ["component" "without lift" "profile, by lift" "induced" "CD"]
	// ["all surfaces" "" "" "74.0" "74.0"]
}

func ExampleDrag() {
	f, _ := drag.At(6500*unit.Foot, 110*unit.Knot)
	b, _ := drag.Build(aircraft.Sedge(), f, drag.Options{})
	t := Drag(b)
	for _, row := range t.Rows[:2] {
		fmt.Printf("%s: %s m², FF %s, Q %s\n", row[0], row[1], row[5], row[6])
	}
	// Output:
	// wing: 17.60 m², FF 1.306, Q 1.00
	// foreplane: 3.50 m², FF 1.323, Q 1.05
}

func ExampleForms() {
	f, _ := drag.At(6500*unit.Foot, 110*unit.Knot)
	b, _ := drag.Build(aircraft.Sedge(), f, drag.Options{})
	for _, row := range Forms(b).Rows {
		if row[0] == "body" {
			fmt.Printf("%s: FF %s, in its range of %s: %s\n", row[3], row[4], row[5], row[6])
		}
	}
	// Output:
	// Raymer: FF 2.002, in its range of 6 to 20: no
	// Hoerner: FF 1.309, in its range of 2.5 to 20: yes
}

func ExampleClosures() {
	f, _ := drag.At(6500*unit.Foot, 110*unit.Knot)
	b, _ := drag.Build(aircraft.Sedge(), f, drag.Options{})
	row := Closures(b).Rows[0]
	fmt.Printf("steepest %s°, limit %s°, attached: %s\n", row[3], row[4], row[5])
	// Output: steepest 21.1°, limit 30°, attached: yes
}

func ExamplePolar() {
	p, _ := drag.NewPolar("measured", 8.6, []drag.Point{{CL: 0, CD: 0.024}, {CL: 0.3, CD: 0.028}, {CL: 0.6, CD: 0.040}})
	fmt.Println(Polar(p).Caption)
	// Output: measured: CD = 0.02400 + 0.0444 CL², Oswald factor 0.833; from CL 0.00 to 0.60 within 0.00000 (rms 0.00000).
}

func ExampleStretches() {
	f, _ := drag.At(0, 100*unit.Knot)
	s, _ := drag.Stretched(aircraft.Sedge().Bodies[0], nil, []unit.Length{4.5, 7}, f, drag.Options{})
	for _, row := range Stretches(s).Rows {
		fmt.Printf("%s m closes at %s°, attached: %s\n", row[0], row[6], row[7])
	}
	// Output:
	// 4.50 m closes at 21.4°, attached: no
	// 7.00 m closes at 14.1°, attached: yes
}
