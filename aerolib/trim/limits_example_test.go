package trim_test

import (
	"fmt"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/trim"
	"foreplane/aerolib/unit"
)

func ExampleFindLimits() {
	l, _ := trim.FindLimits(aircraft.Sedge(), trim.LimitSettings{Quick: true})
	fmt.Printf("forward: %s, aft: %s; %.1f m apart\n", l.ActiveOn(trim.Forward).Name, l.ActiveOn(trim.Aft).Name, l.Range())
	// Output: forward: loss of trimmed CLmax, aft: static margin; 0.2 m apart
}

func ExampleUsualRequirements() {
	r := trim.UsualRequirements()
	r.StaticMargin = 0.10
	l, _ := trim.FindLimits(aircraft.Bracken(), trim.LimitSettings{Require: r, Quick: true})
	fmt.Printf("aft limit %.1f m\n", l.Aft)
	// Output: aft limit 2.4 m
}

func ExampleLimitModel_Chart() {
	m, _ := trim.NewLimitModel(aircraft.Bracken(), trim.LimitSettings{Quick: true})
	c, _ := m.Chart(500*unit.Kilogram, 700*unit.Kilogram, 41)
	fmt.Printf("at %.0f kg from %.1f m to %.1f m\n", c.Masses[0], c.Forward[0], c.Aft[0])
	// Output: at 500 kg from 2.3 m to 2.5 m
}

func ExampleRangeAgainstSize() {
	points, _ := trim.RangeAgainstSize(aircraft.Sedge(), "foreplane", []unit.Ratio{1, 1.2}, trim.LimitSettings{Quick: true, Stall: trim.StallSettings{Rows: 2, Strips: 10}})
	for _, p := range points {
		fmt.Printf("%.1f m²: aft limit %.1f m\n", p.Area, p.Limits.Aft)
	}
	// Output:
	// 2.0 m²: aft limit 3.5 m
	// 3.0 m²: aft limit 3.3 m
}
