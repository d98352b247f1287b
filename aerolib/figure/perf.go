package figure

import (
	"fmt"

	"foreplane/aerolib/atmos"
	"foreplane/aerolib/perf"
	"foreplane/aerolib/unit"
)

// Powers draws the power that level flight needs and that full throttle gives, against true airspeed, with equivalent airspeed at the top. The air is that of the points.
func Powers(aeroplane string, air atmos.Air, points []perf.Point) *Figure {
	f := New("Power of "+aeroplane, Axis{Label: "True airspeed V", Unit: "kt"}, Axis{Label: "Power", Unit: "kW", Zero: true})
	if len(points) < 2 {
		return f.fail("Powers", aeroplane, "%d points; a curve takes two", len(points))
	}
	f.Caption = fmt.Sprintf("Density ratio %.3f. %s", air.DensityRatio(), perf.Caution)
	var V []unit.TrueAirspeed
	var required, available []unit.Power
	for _, p := range points {
		V, required, available = append(V, p.Speed), append(required, p.Required), append(available, p.Available)
	}
	return f.Curve("required D V", V, required).Curve("available T V", V, available).
		Top(Axis{Label: "Equivalent airspeed", Unit: "kt"}, func(V float64) float64 { return air.EquivalentFromTrue(V) })
}

// ClimbRates draws the rate of climb with full throttle against equivalent airspeed, one curve for each altitude.
func ClimbRates(rows ...perf.Row) *Figure {
	f := New("Rate of climb", Axis{Label: "Equivalent airspeed V_e", Unit: "kt"}, Axis{Label: "Rate of climb", Unit: "ft/min", Zero: true})
	if len(rows) == 0 {
		return f.fail("ClimbRates", f.Title, "no rows: the aeroplane is above its ceiling everywhere")
	}
	f.Title, f.Caption = "Rate of climb of "+rows[0].Aeroplane, perf.Caution
	for _, r := range rows {
		var V []unit.EquivalentAirspeed
		var rate []unit.VerticalSpeed
		for _, p := range r.Flights {
			V, rate = append(V, p.Equivalent), append(rate, p.Rate)
		}
		f.Curve(unit.Format(r.Altitude, "ft"), V, rate)
	}
	return f
}

// SinkPolar draws the rate of sink without thrust against true airspeed, with tangents from headwinds, each to the glide that goes furthest in it.
func SinkPolar(row perf.Row, winds []unit.Speed, best []perf.Flight) *Figure {
	f := New("Sink polar of "+row.Aeroplane, Axis{Label: "True airspeed V", Unit: "kt", Zero: true}, Axis{Label: "Rate of sink", Unit: "ft/min", Reversed: true, Zero: true})
	f.Caption = "Each straight line touches the polar at the glide that goes furthest in its wind. " + perf.Caution
	if len(winds) != len(best) || len(row.Flights) < 2 {
		return f.fail("SinkPolar", f.Title, "%d winds, %d best glides, %d points; each wind has its glide, and a curve takes two points", len(winds), len(best), len(row.Flights))
	}
	var V []unit.TrueAirspeed
	var sink []unit.VerticalSpeed
	for _, g := range row.Flights {
		V, sink = append(V, g.Speed), append(sink, -g.Rate)
	}
	f.Curve("sink", V, sink)
	for i, w := range winds {
		f.Curve(windName(w), []unit.Speed{w, best[i].Speed}, []unit.VerticalSpeed{0, -best[i].Rate})
	}
	return f
}

func windName(headwind unit.Speed) string {
	switch {
	case headwind > 0:
		return "headwind " + unbroken(significant(headwind/unit.Knot, 3)+" kt")
	case headwind < 0:
		return "tailwind " + unbroken(significant(-headwind/unit.Knot, 3)+" kt")
	}
	return "still air"
}

// ExcessPower draws the map of specific excess power over speed and altitude: blue where the aeroplane can climb or gain speed, orange where it cannot hold both.
func ExcessPower(m perf.ExcessMap) *Figure {
	f := New(fmt.Sprintf("Specific excess power of %s at load factor %g", m.Aeroplane, m.LoadFactor), Axis{Label: "True airspeed V", Unit: "kt"}, Axis{Label: "Altitude", Unit: "ft"})
	f.Caption = "White where thrust and drag balance, and to the left of the stall. " + perf.Caution
	if len(m.Excess) == 0 {
		return f.fail("ExcessPower", m.Aeroplane, "the map is empty")
	}
	if f.colour("P_s", "m/s", m.Speeds, m.Altitudes, m.Excess); m.Stall != nil {
		f.Curve("stall", m.Stall, m.Altitudes)
	}
	return f
}

// TakeOffs draws the distance from rest to the obstacle against pressure altitude, one curve for each offset from the standard temperature. A curve ends where the aeroplane
// cannot take off any more.
func TakeOffs(curves ...perf.FieldCurve) *Figure {
	f := New("Take-off distance", Axis{Label: "Pressure altitude", Unit: "ft"}, Axis{Label: "Distance to the obstacle", Unit: "m", Zero: true})
	f.Caption = perf.Caution
	for _, c := range curves {
		if len(c.Fields) == 0 {
			return f.fail("TakeOffs", f.Title, "no take-off at an offset of %s", unit.Format(c.Offset, "K"))
		}
		first := c.Fields[0]
		f.Title = fmt.Sprintf("Take-off distance of %s at %s", first.Aeroplane, unbroken(unit.Format(first.Mass, "kg")))
		var distance []unit.Length
		for _, field := range c.Fields {
			distance = append(distance, field.Sum().Distance)
		}
		f.Curve(offsetName(c.Offset), c.Altitudes, distance)
	}
	return f
}

// offsetName names a day by its temperature.
func offsetName(d unit.TemperatureDifference) string {
	switch {
	case d < 0:
		return "ISA −" + significant(-d, 3)
	case d > 0:
		return "ISA +" + significant(d, 3)
	}
	return "ISA"
}

// FlightTest draws measured less computed values of one quantity against equivalent airspeed.
func FlightTest(quantity string, residuals []perf.Residual) *Figure {
	f := New("Flight test: "+quantity, Axis{Label: "Equivalent airspeed V_e", Unit: "kt"}, Axis{Label: "Measured less computed", Zero: true})
	var V []unit.EquivalentAirspeed
	var difference []float64
	for _, r := range residuals {
		if r.Name == quantity {
			k, _ := unit.LookupKind(r.Kind)
			f.Y.Unit = k.Customary
			V, difference = append(V, r.Point.Speed), append(difference, r.Difference())
		}
	}
	if len(V) == 0 {
		return f.fail("FlightTest", quantity, "there are no residuals of it")
	}
	return f.Points(quantity, V, difference).Level("computed", 0)
}
