package perf

import (
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"foreplane/aerolib/atmos"
	"foreplane/aerolib/unit"
)

// Measured is a point of a flight test. What was not measured is NaN.
type Measured struct {
	Line     int // of the file
	Altitude unit.PressureAltitude
	Offset   unit.TemperatureDifference // from the standard temperature
	Mass     unit.Mass                  // 0 for that of the aeroplane
	Speed    unit.EquivalentAirspeed
	Climb    unit.VerticalSpeed // with full throttle
	Sink     unit.VerticalSpeed // without thrust, positive
	Power    unit.Power         // of the shaft in level flight
	Fuel     unit.MassFlow      // in level flight
}

// FileError says which line of a file of measurements cannot be used.
type FileError struct {
	Line   int // 1 is the first
	Reason string
}

func (e *FileError) Error() string {
	return fmt.Sprintf("perf.ReadMeasured: line %d: %s", e.Line, e.Reason)
}

// column is one of a file of measurements.
type column struct {
	name, kind string
	of         func(*Measured) *float64
}

var columns = []column{
	{"altitude", "PressureAltitude", func(m *Measured) *float64 { return &m.Altitude }},
	{"offset", "TemperatureDifference", func(m *Measured) *float64 { return &m.Offset }},
	{"mass", "Mass", func(m *Measured) *float64 { return &m.Mass }},
	{"EAS", "EquivalentAirspeed", func(m *Measured) *float64 { return &m.Speed }},
	{"climb", "VerticalSpeed", func(m *Measured) *float64 { return &m.Climb }},
	{"sink", "VerticalSpeed", func(m *Measured) *float64 { return &m.Sink }},
	{"power", "Power", func(m *Measured) *float64 { return &m.Power }},
	{"fuel", "MassFlow", func(m *Measured) *float64 { return &m.Fuel }},
}

// ReadMeasured reads points of a flight test from comma-separated values. The header names the columns, in any order, and their units in brackets:
//
//	altitude [ft],offset [K],mass [kg],EAS [kt],climb [ft/min]
//	2000,5,690,75,1080
//
// There may be sink, power and fuel too. Altitude and EAS are needed, and one of what can be compared; a field may be empty. Lines that begin with # are skipped. It
// returns a [*FileError] for a missing, double or unknown column, a missing or unknown unit and a value that cannot be read.
func ReadMeasured(r io.Reader) ([]Measured, error) {
	rows := csv.NewReader(r)
	rows.Comment, rows.TrimLeadingSpace = '#', true
	header, err := rows.Read()
	if err != nil {
		return nil, &FileError{1, "no header: " + err.Error()}
	}
	order, units, err := measuredHeader(header)
	if err != nil {
		return nil, err
	}
	var points []Measured
	for {
		row, err := rows.Read()
		if err == io.EOF {
			break
		}
		line, _ := rows.FieldPos(0)
		if err != nil {
			return nil, &FileError{line, err.Error()}
		}
		m := Measured{Line: line, Climb: math.NaN(), Sink: math.NaN(), Power: math.NaN(), Fuel: math.NaN()}
		for i, text := range row {
			c := columns[order[i]]
			if strings.TrimSpace(text) == "" {
				continue
			}
			if *c.of(&m), err = unit.Parse(text+" "+units[i], c.kind); err != nil {
				return nil, &FileError{line, c.name + ": " + err.Error()}
			}
		}
		points = append(points, m)
	}
	return points, nil
}

// measuredHeader returns for each column of the file which of columns it is, and its unit.
func measuredHeader(header []string) (order []int, units []string, err error) {
	seen := map[string]bool{}
	for _, text := range header {
		name, rest, _ := strings.Cut(strings.TrimPrefix(text, "\ufeff"), "[")
		name = strings.TrimSpace(name)
		i := slices.IndexFunc(columns, func(c column) bool { return strings.EqualFold(c.name, name) })
		if i < 0 {
			return nil, nil, &FileError{1, fmt.Sprintf("column %q is not known: there are altitude, offset, mass, EAS, climb, sink, power and fuel", name)}
		}
		symbol := strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(rest), "]"))
		if symbol == "" {
			return nil, nil, &FileError{1, fmt.Sprintf("column %s needs its unit in brackets, as in EAS [kt]", columns[i].name)}
		}
		if seen[columns[i].name] {
			return nil, nil, &FileError{1, fmt.Sprintf("column %s is there twice", columns[i].name)}
		}
		seen[columns[i].name] = true
		order, units = append(order, i), append(units, symbol)
	}
	for _, needed := range []string{"altitude", "EAS"} {
		if !seen[needed] {
			return nil, nil, &FileError{1, fmt.Sprintf("there is no column %s", needed)}
		}
	}
	if !seen["climb"] && !seen["sink"] && !seen["power"] && !seen["fuel"] {
		return nil, nil, &FileError{1, "there is nothing to compare: climb, sink, power or fuel"}
	}
	return order, units, nil
}

// Residual is a measured value beside the computed one.
type Residual struct {
	Point    Measured
	Name     string // "climb", "sink", "power" or "fuel"
	Kind     string // of the quantity, as package unit names it
	Measured float64
	Computed float64
}

// Difference returns measured less computed.
func (r Residual) Difference() float64 { return r.Measured - r.Computed }

// Residuals compares what was measured with what the aeroplane does in the same air at the same mass and speed. It returns the errors of [Aeroplane.Climb],
// [Aeroplane.Glide] and [Aeroplane.Level], with the line of the point.
func (a Aeroplane) Residuals(points []Measured) ([]Residual, error) {
	var out []Residual
	for _, m := range points {
		own, err := a.residuals(m)
		if err != nil {
			return nil, fmt.Errorf("perf.Residuals: line %d: %w", m.Line, err)
		}
		out = append(out, own...)
	}
	return out, nil
}

func (a Aeroplane) residuals(m Measured) (out []Residual, err error) {
	if m.Mass != 0 {
		a.Mass = m.Mass
	}
	air, err := atmos.OffStandard(m.Altitude, m.Offset)
	if err != nil {
		return nil, err
	}
	V := air.TrueFromEquivalent(m.Speed)
	for _, c := range []struct {
		name, kind string
		measured   float64
		fly        func(atmos.Air, unit.TrueAirspeed) (Flight, error)
		of         func(Flight) float64
	}{
		{"climb", "VerticalSpeed", m.Climb, a.Climb, func(f Flight) float64 { return f.Rate }},
		{"sink", "VerticalSpeed", m.Sink, a.Glide, func(f Flight) float64 { return -f.Rate }},
		{"power", "Power", m.Power, a.Level, func(f Flight) float64 { return f.Plant.Shaft }},
		{"fuel", "MassFlow", m.Fuel, a.Level, func(f Flight) float64 { return f.Plant.Fuel }},
	} {
		if math.IsNaN(c.measured) {
			continue
		}
		f, err := c.fly(air, V)
		if err != nil {
			return nil, err
		}
		out = append(out, Residual{m, c.name, c.kind, c.measured, c.of(f)})
	}
	return out, nil
}
