package report

import (
	"fmt"
	"strings"

	"foreplane/aerolib/perf"
	"foreplane/aerolib/unit"
)

// Speeds shows the speeds of an aeroplane that have names. The power is what level flight needs in the air.
func Speeds(s perf.Speeds) Table {
	t := Table{
		Caption: sentence(fmt.Sprintf("Speeds of %s at %s in air of %s.", s.Aeroplane, unit.Format(s.Mass, "kg"), unit.Format(s.Air.Density, "kg/m³")), append(s.Notes, s.Caution)...),
		Header:  []string{"name", "", "formula", "EAS", "TAS", "CL", "power"},
		Units:   []string{"", "", "", "kt", "kt", "", "kW"},
	}
	for _, n := range s.Rows {
		name, power := n.Name, ""
		if n.Limited {
			name += ", at the stall"
		}
		if n.Required > 0 {
			power = fixed(n.Required/unit.Kilowatt, 1)
		}
		t.Rows = append(t.Rows, []string{name, n.Symbol, n.Formula, fixed(n.Equivalent/unit.Knot, 1), fixed(n.Speed/unit.Knot, 1), fixed(n.CL, 3), power})
	}
	return t
}

// Field shows a take-off or landing part by part. The last row is the sum.
func Field(f perf.Field) Table {
	r := f.Runway
	t := Table{
		Caption: sentence(fmt.Sprintf("%s at %s on %s in air of %s, headwind %s, slope %s°, obstacle of %s; greatest lift in trim %.2f, stall at %s.", f.Aeroplane, unit.Format(f.Mass, "kg"),
			r.Surface.Name, unit.Format(r.Air.Density, "kg/m³"), unit.Format(r.Headwind, "kt"), degree(r.Slope, 1), unit.Format(r.Obstacle, "m"), f.MaxLift,
			unit.FormatPair(f.Stall, "TrueAirspeed")), append(f.Notes, f.Caution)...),
		Header: []string{"segment", "time", "distance", "end speed", "mean acceleration"},
		Units:  []string{"", "s", "m", "kt TAS", "m/s²"},
	}
	for _, s := range f.Segments {
		t.Rows = append(t.Rows, []string{s.Name, fixed(s.Time, 1), fixed(s.Distance, 0), fixed(s.End/unit.Knot, 1), fixed(s.Acceleration, 2)})
	}
	sum := f.Sum()
	t.Rows = append(t.Rows, []string{"sum", fixed(sum.Time, 1), fixed(sum.Distance, 0), "", ""})
	return t
}

// Mission shows where each leg of a mission ends.
func Mission(l perf.Log) Table {
	t := Table{
		Caption: sentence("Mission of "+l.Aeroplane+"; times, distances, fuel and energy from the start.", l.Caution),
		Header:  []string{"leg", "time", "distance", "altitude", "TAS", "fuel", "energy", "mass"},
		Units:   []string{"", "min", "nmi", "ft", "kt", "kg", "kWh", "kg"},
	}
	for i, f := range l.Ends {
		t.Rows = append(t.Rows, []string{string(l.Kinds[i]), fixed(f.Time/unit.Minute, 1), fixed(f.Distance/unit.NauticalMile, 1), fixed(f.Altitude/unit.Foot, 0),
			fixed(f.Speed/unit.Knot, 1), fixed(f.Fuel, 2), fixed(f.Energy/unit.KilowattHour, 2), fixed(f.Mass, 1)})
	}
	return t
}

// FlightTest shows what was measured beside what is computed.
func FlightTest(residuals []perf.Residual) Table {
	t := Table{
		Caption: "Measured less computed, in the air and at the mass of each point.",
		Header:  []string{"line", "altitude", "EAS", "quantity", "measured", "computed", "difference"},
		Units:   []string{"", "ft", "kt", "", "", "", ""},
	}
	for _, r := range residuals {
		symbol := customary(r.Kind)
		t.Rows = append(t.Rows, []string{fmt.Sprint(r.Point.Line), fixed(r.Point.Altitude/unit.Foot, 0), fixed(r.Point.Speed/unit.Knot, 1), r.Name,
			unit.Format(r.Measured, symbol), unit.Format(r.Computed, symbol), unit.Format(r.Difference(), symbol)})
	}
	return t
}

// customary returns the unit in which a kind of quantity is shown.
func customary(kind string) string {
	k, _ := unit.LookupKind(kind)
	if k.Customary != "" {
		return k.Customary
	}
	return k.SI
}

// sentence joins a sentence with those that follow.
func sentence(first string, more ...string) string {
	return strings.Join(append([]string{first}, more...), " ")
}
