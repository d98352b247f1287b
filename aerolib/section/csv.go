package section

import (
	"encoding/csv"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"foreplane/aerolib/unit"
)

// columns of a polar file: name in the header, kind of quantity.
var polarColumns = []struct{ name, kind string }{
	{"alpha", "Angle"}, {"cl", "Coefficient"}, {"cd", "Coefficient"}, {"cm", "Coefficient"}, {"Reynolds", "ReynoldsNumber"},
}

// ReadPolars reads polars from comma-separated values. The header names the columns, in any order, and their units in brackets where they are not plain numbers:
//
//	alpha [°],cl,cd,cm,Reynolds
//	-4,-0.21,0.0081,-0.047,3.1e6
//
// Lines with equal Reynolds numbers make one polar; lines that begin with # are skipped. It returns a [*FileError] for a missing, double or unknown column, a missing or
// unknown unit and a value that cannot be read, and what [NewPolar] and [NewFamily] return.
func ReadPolars(name string, r io.Reader) (Family, error) {
	rows := csv.NewReader(r)
	rows.Comment, rows.TrimLeadingSpace = '#', true
	header, err := rows.Read()
	if err != nil {
		return Family{}, &FileError{1, "no header: " + err.Error()}
	}
	order, units, err := readHeader(header)
	if err != nil {
		return Family{}, err
	}
	byReynolds := map[unit.ReynoldsNumber][]Sample{}
	for {
		row, err := rows.Read()
		if err == io.EOF {
			break
		}
		line, _ := rows.FieldPos(0)
		if err != nil {
			return Family{}, &FileError{line, err.Error()}
		}
		var v [5]float64
		for i, column := range order {
			if v[i], err = unit.Parse(row[column]+" "+units[i], polarColumns[i].kind); err != nil {
				return Family{}, &FileError{line, fmt.Sprintf("%s: %v", polarColumns[i].name, err)}
			}
		}
		byReynolds[v[4]] = append(byReynolds[v[4]], Sample{Alpha: v[0], CL: v[1], CD: v[2], CM: v[3]})
	}
	var polars []Polar
	for reynolds, samples := range byReynolds {
		p, err := NewPolar(name, reynolds, samples)
		if err != nil {
			return Family{}, err
		}
		polars = append(polars, p)
	}
	return NewFamily(polars...)
}

// readHeader returns where each of polarColumns stands and its unit.
func readHeader(header []string) (order [5]int, units [5]string, err error) {
	seen := [5]bool{}
	for column, text := range header {
		name, rest, _ := strings.Cut(text, "[")
		name = strings.TrimSpace(strings.TrimPrefix(name, "\ufeff"))
		i := slices.IndexFunc(polarColumns, func(c struct{ name, kind string }) bool { return strings.EqualFold(c.name, name) })
		if i < 0 || seen[i] {
			return order, units, &FileError{1, fmt.Sprintf("column %q: must be alpha, cl, cd, cm, Reynolds, each once", name)}
		}
		seen[i], order[i] = true, column
		units[i] = strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(rest), "]"))
	}
	if i := slices.Index(seen[:], false); i >= 0 {
		return order, units, &FileError{1, fmt.Sprintf("there is no column %q", polarColumns[i].name)}
	}
	if units[0] == "" {
		return order, units, &FileError{1, "column alpha needs its unit: alpha [°] or alpha [rad]"}
	}
	return order, units, nil
}

// WriteCSV writes the polars as [ReadPolars] reads them, angles in radians so that nothing is lost. It returns a [*PolarError] for samples beyond the data, which would
// lose their mark.
func (f Family) WriteCSV(w io.Writer) error {
	rows := csv.NewWriter(w)
	table := [][]string{{"alpha [rad]", "cl", "cd", "cm", "Reynolds"}}
	for _, p := range f.polars {
		for _, s := range p.samples {
			if s.PostStall {
				return &PolarError{p.Name, "samples beyond the stall are not data and are not written"}
			}
			row := make([]string, 5)
			for i, v := range []float64{s.Alpha, s.CL, s.CD, s.CM, p.Reynolds} {
				row[i] = strconv.FormatFloat(v, 'g', -1, 64)
			}
			table = append(table, row)
		}
	}
	return rows.WriteAll(table)
}
