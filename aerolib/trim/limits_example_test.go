package trim_test

import (
	"fmt"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/trim"
	"foreplane/aerolib/unit"
)

func ExampleFindLimits() {
	l, _ := trim.FindLimits(aircraft.Sedge(), trim.LimitSettings{})
	fmt.Printf("CG from %.1f m (%s) to %.1f m (%s)\n", l.Forward, l.ActiveOn(trim.Forward).Name, l.Aft, l.ActiveOn(trim.Aft).Name)
	// Output: CG from 3.4 m (loss of trimmed CLmax) to 3.5 m (static margin)
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
	points, _ := trim.RangeAgainstSize(aircraft.Sedge(), "foreplane", []unit.Ratio{1, 1.1}, trim.LimitSettings{Quick: true})
	for _, p := range points {
		fmt.Printf("%.2f m²: aft limit %.1f m\n", p.Area, p.Limits.Aft)
	}
	// Output:
	// 2.05 m²: aft limit 3.5 m
	// 2.48 m²: aft limit 3.4 m
}
