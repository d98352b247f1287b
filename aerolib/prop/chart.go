package prop

import (
	"cmp"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"foreplane/aerolib/atmos"
	"foreplane/aerolib/unit"
)

// Chart is thrust and power coefficients against advance ratio at several blade angles, measured or computed. Make it with [NewChart], [ReadChart] or
// [Propeller.Chart].
type Chart struct {
	Name   string
	curves []curve // by pitch
}

// Point is one entry of a chart.
type Point struct {
	Pitch  unit.Angle // at 75 % of the radius
	J      unit.Ratio
	CT, CP unit.Coefficient
}

// Efficiency returns J CT/CP, or 0 where the power is not above zero.
func (p Point) Efficiency() unit.Ratio {
	if p.CP <= 0 {
		return 0
	}
	return p.J * p.CT / p.CP
}

// SpeedPower returns the speed-power coefficient Cs = J/CP^(1/5) = (ρV⁵/(Pn²))^(1/5), or 0 where the power is not above zero.
func (p Point) SpeedPower() unit.Ratio {
	if p.CP <= 0 {
		return 0
	}
	return p.J / math.Pow(p.CP, 0.2)
}

// curve is the points of one pitch by advance ratio.
type curve struct {
	pitch  unit.Angle
	points []Point
}

// ChartError says why data are no chart.
type ChartError struct {
	Name   string
	Line   int // of the file, 0 if there is none
	Reason string
}

func (e *ChartError) Error() string {
	if e.Line > 0 {
		return fmt.Sprintf("prop: chart %q, line %d: %s", e.Name, e.Line, e.Reason)
	}
	return fmt.Sprintf("prop: chart %q: %s", e.Name, e.Reason)
}

// NewChart returns the chart of points in any order. It returns a [*ChartError] for a value that is not finite, a pitch outside 0 to 75°, an advance ratio below zero,
// fewer than two points at a pitch, or two at the same advance ratio and pitch.
func NewChart(name string, points []Point) (Chart, error) {
	points = slices.Clone(points)
	slices.SortFunc(points, func(a, b Point) int { return cmp.Or(cmp.Compare(a.Pitch, b.Pitch), cmp.Compare(a.J, b.J)) })
	c := Chart{Name: name}
	for i, p := range points {
		if err := p.check(); err != nil {
			return Chart{}, &ChartError{name, 0, err.Error()}
		}
		if i == 0 || p.Pitch != points[i-1].Pitch {
			c.curves = append(c.curves, curve{pitch: p.Pitch})
		} else if p.J == points[i-1].J {
			return Chart{}, &ChartError{name, 0, fmt.Sprintf("two points at J = %g and %s", p.J, unit.Format(p.Pitch, "°"))}
		}
		last := &c.curves[len(c.curves)-1]
		last.points = append(last.points, p)
	}
	if len(c.curves) == 0 {
		return Chart{}, &ChartError{name, 0, "it has no points"}
	}
	for _, k := range c.curves {
		if len(k.points) < 2 {
			return Chart{}, &ChartError{name, 0, fmt.Sprintf("one point at %s, must be at least two", unit.Format(k.pitch, "°"))}
		}
	}
	return c, nil
}

func (p Point) check() error {
	return errors.Join(
		unit.CheckRange("prop.NewChart", "pitch", p.Pitch, minPitch, maxPitch, "°"),
		unit.CheckRange("prop.NewChart", "J", p.J, 0, math.Inf(1), "1"),
		unit.CheckRange("prop.NewChart", "CT", p.CT, math.Inf(-1), math.Inf(1), "1"),
		unit.CheckRange("prop.NewChart", "CP", p.CP, math.Inf(-1), math.Inf(1), "1"),
	)
}

// Points returns all points by pitch and advance ratio.
func (c Chart) Points() []Point {
	var all []Point
	for _, k := range c.curves {
		all = append(all, k.points...)
	}
	return all
}

// Pitches returns the blade angles of the curves.
func (c Chart) Pitches() []unit.Angle {
	var all []unit.Angle
	for _, k := range c.curves {
		all = append(all, k.pitch)
	}
	return all
}

// At returns the point at an advance ratio and a pitch, linear between the two nearest pitches and between the two nearest points of each. It returns a
// [*unit.RangeError] outside the pitches or outside the advance ratios that both curves have.
func (c Chart) At(J unit.Ratio, pitch unit.Angle) (Point, error) {
	if len(c.curves) == 0 {
		return Point{}, &ChartError{c.Name, 0, "it has no points"}
	}
	first, last := c.curves[0].pitch, c.curves[len(c.curves)-1].pitch
	if err := unit.CheckRange("prop.Chart.At", "pitch", pitch, first, last, "°"); err != nil {
		return Point{}, err
	}
	i, exact := slices.BinarySearchFunc(c.curves, pitch, func(k curve, a unit.Angle) int { return cmp.Compare(k.pitch, a) })
	b, err := c.curves[i].at(J)
	if err != nil || exact {
		return b, err
	}
	a, err := c.curves[i-1].at(J)
	return a.to(b, (pitch-a.Pitch)/(b.Pitch-a.Pitch)), err
}

func (a Point) to(b Point, f unit.Ratio) Point {
	mix := func(x, y float64) float64 { return x + f*(y-x) }
	return Point{mix(a.Pitch, b.Pitch), mix(a.J, b.J), mix(a.CT, b.CT), mix(a.CP, b.CP)}
}

func (k curve) at(J unit.Ratio) (Point, error) {
	if err := unit.CheckRange("prop.Chart.At", "advance ratio", J, k.points[0].J, k.points[len(k.points)-1].J, "1"); err != nil {
		return Point{}, err
	}
	i, exact := slices.BinarySearchFunc(k.points, J, func(p Point, x unit.Ratio) int { return cmp.Compare(p.J, x) })
	if exact {
		return k.points[i], nil
	}
	a, b := k.points[i-1], k.points[i]
	return a.to(b, (J-a.J)/(b.J-a.J)), nil
}

// chartColumns are those of a file: name in the header, kind of quantity.
var chartColumns = []struct{ name, kind string }{{"pitch", "Angle"}, {"J", "Ratio"}, {"CT", "Coefficient"}, {"CP", "Coefficient"}}

// ReadChart reads a chart from comma-separated values. The header names the columns, in any order, with the unit of the pitch in brackets:
//
//	pitch [°],J,CT,CP
//	20,0.0,0.115,0.067
//
// Lines that begin with # are skipped. It returns a [*ChartError] with the line for a missing, double or unknown column and a value that cannot be read or is out of range,
// and what [NewChart] returns.
func ReadChart(name string, r io.Reader) (Chart, error) {
	rows := csv.NewReader(r)
	rows.Comment, rows.TrimLeadingSpace = '#', true
	header, err := rows.Read()
	if err != nil {
		return Chart{}, &ChartError{name, 1, "no header: " + err.Error()}
	}
	order, symbol, err := chartHeader(header)
	if err != nil {
		return Chart{}, &ChartError{name, 1, err.Error()}
	}
	var points []Point
	for {
		row, err := rows.Read()
		if err == io.EOF {
			return NewChart(name, points)
		}
		line, _ := rows.FieldPos(0)
		if err != nil {
			return Chart{}, &ChartError{name, line, err.Error()}
		}
		p, err := chartRow(row, order, symbol)
		if err != nil {
			return Chart{}, &ChartError{name, line, err.Error()}
		}
		points = append(points, p)
	}
}

// chartHeader returns where each of chartColumns stands, and the unit of the pitch.
func chartHeader(header []string) (order [4]int, symbol string, err error) {
	seen := [4]bool{}
	for column, text := range header {
		name, rest, _ := strings.Cut(text, "[")
		name = strings.TrimSpace(strings.TrimPrefix(name, "\ufeff"))
		i := slices.IndexFunc(chartColumns, func(c struct{ name, kind string }) bool { return strings.EqualFold(c.name, name) })
		if i < 0 || seen[i] {
			return order, "", fmt.Errorf("column %q: must be pitch, J, CT, CP, each once", name)
		}
		seen[i], order[i] = true, column
		if i == 0 {
			symbol = strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(rest), "]"))
		}
	}
	if i := slices.Index(seen[:], false); i >= 0 {
		return order, "", fmt.Errorf("there is no column %q", chartColumns[i].name)
	}
	if symbol == "" {
		return order, "", errors.New("column pitch needs its unit: pitch [°] or pitch [rad]")
	}
	return order, symbol, nil
}

func chartRow(row []string, order [4]int, symbol string) (Point, error) {
	var p Point
	for i, value := range []*float64{&p.Pitch, &p.J, &p.CT, &p.CP} {
		text := row[order[i]]
		if i == 0 {
			text += " " + symbol
		}
		var err error
		if *value, err = unit.Parse(text, chartColumns[i].kind); err != nil {
			return p, fmt.Errorf("%s: %w", chartColumns[i].name, err)
		}
	}
	return p, p.check()
}

// WriteCSV writes the chart as [ReadChart] reads it, angles in radians so that nothing is lost.
func (c Chart) WriteCSV(w io.Writer) error {
	table := [][]string{{"pitch [rad]", "J", "CT", "CP"}}
	for _, p := range c.Points() {
		row := make([]string, 4)
		for i, v := range []float64{p.Pitch, p.J, p.CT, p.CP} {
			row[i] = strconv.FormatFloat(v, 'g', -1, 64)
		}
		table = append(table, row)
	}
	return csv.NewWriter(w).WriteAll(table)
}

// Chart computes the chart of a propeller that turns at n in the air, at all combinations of advance ratios and pitches. Errors are those of [Propeller.Solve].
func (p Propeller) Chart(air atmos.Air, n unit.RotationRate, J []unit.Ratio, pitches []unit.Angle) (Chart, error) {
	var points []Point
	for _, pitch := range pitches {
		for _, j := range J {
			s, err := p.Solve(Flow{Air: air, V: j * n * p.Diameter, Rotation: n, Pitch: pitch})
			if err != nil {
				return Chart{}, err
			}
			points = append(points, Point{pitch, j, s.CT, s.CP})
		}
	}
	return NewChart(p.Name, points)
}
