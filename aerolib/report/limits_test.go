package report

import (
	"fmt"
	"strings"
	"testing"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/trim"
	"foreplane/aerolib/unit"
)

// coarse keeps tests quick.
var coarse = trim.StallSettings{Rows: 2, Strips: 10}

// made returns a value, or ends the test.
func made[T any](t testing.TB) func(T, error) T {
	return func(v T, err error) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

// TestLimitTables: shapes agree, sums are those of the results, and the caution stands under each.
func TestLimitTables(t *testing.T) {
	a := aircraft.Sedge()
	c := made[trim.Condition](t)(trim.At(0, 0))
	l := made[trim.Limits](t)(trim.FindLimits(a, trim.LimitSettings{Quick: true, Stall: coarse}))
	s := made[trim.Sequence](t)(trim.FindSequence(a, c, coarse))
	d := made[trim.DirtEffect](t)(trim.FindDirtEffect(a, c, coarse, trim.Dirt{Surface: "foreplane", MaxLift: 0.8}))
	r := made[trim.Rotation](t)(trim.FindUnstick(a, c, trim.Roll{}))
	for _, table := range []Table{Limits(l), Stalls(s, s), StallVariants(s), Dirt(d), Rotation(r)} {
		if len(table.Header) != len(table.Units) || !strings.Contains(table.Caption, "flight manual") {
			t.Errorf("%q %q: %s", table.Header, table.Units, table.Caption)
		}
		for _, row := range table.Rows {
			if len(row) != len(table.Header) {
				t.Errorf("row %q for %q", row, table.Header)
			}
		}
	}
	active := 0
	for i, row := range Limits(l).Rows {
		k := l.Constraints[i]
		if (row[3] == "none") == (k.Bound || k.Unmet) || k.Bound && row[3] != fmt.Sprintf("%.3f", k.X) {
			t.Errorf("%q for %+v", row, k)
		}
		if row[5] == "yes" {
			active++
		}
	}
	if active != 2 {
		t.Errorf("%d active constraints", active)
	}
	variants := StallVariants(s).Rows
	if len(variants) != 1+len(s.Variants) || variants[0][1] != "foreplane" || variants[0][5] != fmt.Sprintf("%.1f", 100*s.Margin()) {
		t.Errorf("%q", variants)
	}
	if sum := Rotation(r).Rows[len(r.Terms)]; sum[0] != "sum" || sum[1] != "0" {
		t.Errorf("%q", sum)
	}
	if speed := Dirt(d).Rows[0]; speed[4] != fmt.Sprintf("%.1f", d.SpeedRise()/unit.Knot) {
		t.Errorf("%q", speed)
	}
}

// TestUnmetRow: a constraint that is met nowhere says so.
func TestUnmetRow(t *testing.T) {
	row := Limits(trim.Limits{Constraints: []trim.Constraint{{Unmet: true, Active: true}}, Reference: aircraft.Reference{Chord: 1}}).Rows[0]
	if row[3] != "not met" || row[5] != "yes" {
		t.Errorf("%q", row)
	}
}

func ExampleLimits() {
	l, _ := trim.FindLimits(aircraft.Bracken(), trim.LimitSettings{Quick: true, Stall: coarse})
	for _, row := range Limits(l).Rows {
		if row[5] == "yes" {
			fmt.Printf("%s: %s, %s\n", row[0], row[1], row[2])
		}
	}
	// Output:
	// forward: greatest load of the nose wheel, at rest
	// aft: static margin, slow at full power
}

func ExampleStalls() {
	m, _ := trim.NewSequenceModel(aircraft.Sedge(), coarse)
	c, _ := trim.At(0, 0)
	forward, _ := m.Sequence(c, 3.3)
	aft, _ := m.Sequence(c, 3.65)
	for _, row := range Stalls(forward, aft).Rows {
		fmt.Printf("CG %s m: %s\n", row[0], row[11])
	}
	// Output:
	// CG 3.300 m: foreplane first
	// CG 3.650 m: too close to call
}

func ExampleStallVariants() {
	c, _ := trim.At(0, 0)
	s, _ := trim.FindSequence(aircraft.Bracken(), c, coarse)
	for _, row := range StallVariants(s).Rows[:2] {
		fmt.Printf("%s: the %s\n", row[0], row[1])
	}
	// Output:
	// as set: the wing
	// wakes along x: the wing
}

func ExampleDirt() {
	c, _ := trim.At(0, 0)
	d, _ := trim.FindDirtEffect(aircraft.Sedge(), c, coarse, trim.Dirt{Surface: "foreplane", MaxLift: 0.8})
	fmt.Println(Dirt(d).Rows[3])
	// Output: [order  foreplane first foreplane first ]
}

func ExampleRotation() {
	c, _ := trim.At(0, 0)
	r, _ := trim.FindUnstick(aircraft.Bracken(), c, trim.Roll{})
	for _, row := range Rotation(r).Rows[:3] {
		fmt.Println(row[0])
	}
	// Output:
	// weight
	// inertia
	// thrust
}
