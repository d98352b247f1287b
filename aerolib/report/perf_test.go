package report

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"foreplane/aerolib/atmos"
	"foreplane/aerolib/drag"
	"foreplane/aerolib/perf"
	"foreplane/aerolib/unit"
)

// trainer returns an aeroplane of textbooks, and air.
func trainer() (perf.Aeroplane, atmos.Air) {
	air, _ := atmos.Standard(1000)
	return perf.Aeroplane{Name: "Sedge", Mass: 750, Area: 9.45, Span: 9, Polar: drag.Parabola{CD0: 0.028, K: 0.045}, MaxLift: 0.9, Fuel: 80,
		Propulsion: perf.Propeller{Power: 85 * unit.Kilowatt, Efficiency: 0.85, Diameter: 1.7, Consumption: 0.3 * unit.KilogramPerKilowattHour}}, air
}

func TestSpeedsTable(t *testing.T) {
	a, air := trainer()
	s, err := a.Speeds(air)
	if err != nil {
		t.Fatal(err)
	}
	table := Speeds(s)
	stall := table.Rows[0]
	V := s.Rows[0].Speed
	want := []string{"stall", "V_S", "√(2W/(ρ S CL_max))", fixed(air.EquivalentFromTrue(V)/unit.Knot, 1), fixed(V/unit.Knot, 1), "0.900", fixed(s.Rows[0].Required/1000, 1)}
	if !slices.Equal(stall, want) {
		t.Errorf("%q, want %q", stall, want)
	}
	if table.Rows[1][0] != "least power, least sink, at the stall" {
		t.Errorf("%q", table.Rows[1])
	}
	perfTable(t, table)
}

// perfTable holds the shape of a table, and its caution.
func perfTable(t *testing.T, table Table) {
	t.Helper()
	if len(table.Units) != len(table.Header) || !strings.Contains(table.Caption, "flight manual") {
		t.Errorf("%d units for %d columns; %s", len(table.Units), len(table.Header), table.Caption)
	}
	for _, row := range table.Rows {
		if len(row) != len(table.Header) {
			t.Errorf("row %q does not fit header %q", row, table.Header)
		}
	}
}

// TestFieldTable holds the last row to be the sum of those above, to the digits shown.
func TestFieldTable(t *testing.T) {
	a, air := trainer()
	f, err := a.TakeOff(perf.TakeOff{Runway: perf.Runway{Air: air, Headwind: 3, Slope: 0.01}, Ground: perf.Ground{RollLift: 0.3, Height: 1}})
	if err != nil {
		t.Fatal(err)
	}
	table := Field(f)
	perfTable(t, table)
	rows := table.Rows
	seconds, metres := 0.0, 0.0
	for _, s := range f.Segments {
		seconds += s.Time
		metres += s.Distance
	}
	if last := rows[len(rows)-1]; last[0] != "sum" || last[1] != fixed(seconds, 1) || last[2] != fixed(metres, 0) || len(rows) != len(f.Segments)+1 {
		t.Errorf("sum row %q", last)
	}
	for _, part := range []string{"dry concrete", "headwind 5.83 kt", "slope 0.6°", "obstacle of 15.24 m"} {
		if !strings.Contains(table.Caption, part) {
			t.Errorf("no %q in %s", part, table.Caption)
		}
	}
}

func TestMissionTable(t *testing.T) {
	a, _ := trainer()
	l, err := a.Fly(perf.Mission{Legs: []perf.Leg{{Kind: perf.ClimbLeg, To: 2000, At: perf.BestRate}, {Kind: perf.CruiseLeg, Time: 1800, At: perf.HoldTrue(55)}}})
	if err != nil {
		t.Fatal(err)
	}
	table := Mission(l)
	perfTable(t, table)
	if row := table.Rows[1]; row[0] != "cruise" || row[3] != "6562" || row[4] != "106.9" || row[7] != fixed(l.End().Mass, 1) {
		t.Errorf("%q", row)
	}
}

func ExampleSpeeds() {
	a, air := trainer()
	s, err := a.Speeds(air)
	fmt.Println(Speeds(s).Rows[0][:2], err)
	// Output: [stall V_S] <nil>
}

func ExampleField() {
	a, air := trainer()
	f, err := a.Land(perf.Landing{Runway: perf.Runway{Air: air}})
	for _, row := range Field(f).Rows {
		fmt.Println(row[0], row[2])
	}
	fmt.Println(err)
	// Output:
	// approach 256
	// flare 69
	// float 340
	// free roll 45
	// braking 241
	// sum 951
	// <nil>
}

func ExampleMission() {
	a, _ := trainer()
	l, err := a.Fly(perf.Mission{From: 1000, Legs: []perf.Leg{{Kind: perf.CruiseLeg, Distance: 100 * unit.NauticalMile, At: perf.HoldTrue(110 * unit.Knot)}}})
	fmt.Println(Mission(l).Rows[0][:3], err)
	// Output: [cruise 54.5 100.0] <nil>
}

func ExampleFlightTest() {
	a, _ := trainer()
	points, _ := perf.ReadMeasured(strings.NewReader("altitude [ft],EAS [kt],sink [ft/min]\n3000,85,760\n"))
	r, err := a.Residuals(points)
	fmt.Println(FlightTest(r).Rows[0][:4], err)
	// Output: [2 3000 85.0 sink] <nil>
}
