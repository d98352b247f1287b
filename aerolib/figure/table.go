package figure

import (
	"fmt"
	"slices"
)

// Data is what a figure shows, as a table.
type Data struct {
	Caption       string
	Header, Units []string
	Rows          [][]string
}

// Table returns the parts of the table; whoever renders tables asks for them by this method.
func (d Data) Table() (caption string, header, units []string, rows [][]string) {
	return d.Caption, d.Header, d.Units, d.Rows
}

// Table returns the data of the figure as a table, in the units of its axes.
func (f *Figure) Table() (caption string, header, units []string, rows [][]string) {
	return f.Data().Table()
}

// Data returns the data of the figure as a table, in the units of its axes: a row for each bar or corner, or a row for each x with a column for
// each series if the series share their x, or else a row for each point. Named points and lines follow at the end.
func (f *Figure) Data() Data {
	if f.raw != nil {
		return Data{Caption: f.name()}
	}
	s, err := f.inShownUnits()
	if err != nil {
		return Data{Caption: err.Error()}
	}
	d := Data{Caption: s.name()}
	switch {
	case len(s.fields) > 0:
		s.fields[0].grid(s, &d)
	case s.Y.names != nil:
		s.barTable(&d)
	case s.sharedX():
		s.wide(&d)
		s.marks(&d)
	default:
		s.long(&d)
	}
	return d
}

// sharedX reports whether the figure consists of series over the same values of x.
func (f *Figure) sharedX() bool {
	for _, s := range f.series {
		if !slices.Equal(s.x, f.series[0].x) {
			return false
		}
	}
	return len(f.series) > 0 && !slices.ContainsFunc(f.shapes, func(s shape) bool { return !s.aside })
}

const tableDigits = 5 // significant

func cell(v float64) string {
	if v != v {
		return "" // a gap
	}
	return significant(v, tableDigits)
}

func (f *Figure) wide(d *Data) {
	d.Header, d.Units = []string{orDefault(plain(f.X.Label), "x")}, []string{f.X.Unit}
	for _, s := range f.series {
		name := orDefault(plain(s.label), plain(f.Y.Label))
		if s.kind == band {
			d.Header, d.Units = append(d.Header, name+", low", name+", high"), append(d.Units, f.Y.Unit, f.Y.Unit)
			continue
		}
		d.Header, d.Units = append(d.Header, orDefault(name, "y")), append(d.Units, f.Y.Unit)
	}
	for i, x := range f.series[0].x {
		row := []string{cell(x)}
		for _, s := range f.series {
			if s.kind == band {
				row = append(row, cell(s.low[i]))
			}
			row = append(row, cell(s.y[i]))
		}
		d.Rows = append(d.Rows, row)
	}
}

// marks adds a column for named points and lines to a wide table, and a row for each.
func (f *Figure) marks(d *Data) {
	add := func(x string, remark string) {
		row := make([]string, len(d.Header))
		row[0], row[len(row)-1] = x, remark
		d.Rows = append(d.Rows, row)
	}
	if len(f.points)+len(f.limits) > 0 {
		d.Header, d.Units = append(d.Header, "marked"), append(d.Units, "")
		for i := range d.Rows {
			d.Rows[i] = append(d.Rows[i], "")
		}
	}
	for _, p := range f.points {
		add(cell(p.x), plain(p.label)+" at "+f.Y.inWords("y", p.y))
	}
	for _, l := range f.limits {
		if l.level {
			add("", plain(l.label)+" at "+f.Y.inWords("y", l.at))
		} else {
			add(cell(l.at), plain(l.label))
		}
	}
}

func (f *Figure) long(d *Data) {
	d.Header = []string{"", orDefault(plain(f.X.Label), "x"), orDefault(plain(f.Y.Label), "y")}
	d.Units = []string{"", f.X.Unit, f.Y.Unit}
	add := func(label, x, y string) { d.Rows = append(d.Rows, []string{plain(label), x, y}) }
	for i, s := range f.series {
		name := orDefault(s.label, fmt.Sprintf("series %d", i+1))
		for j := range s.x {
			if s.kind == band {
				add(name+", low", cell(s.x[j]), cell(s.low[j]))
			}
			add(name, cell(s.x[j]), cell(s.y[j]))
		}
	}
	for _, sh := range f.shapes {
		if sh.aside {
			continue
		}
		for i := range sh.x {
			add(sh.label, cell(sh.x[i]), cell(sh.y[i]))
		}
	}
	for _, p := range f.points {
		add(p.label, cell(p.x), cell(p.y))
	}
	for _, l := range f.limits {
		if l.level {
			add(l.label, "", cell(l.at))
		} else {
			add(l.label, cell(l.at), "")
		}
	}
}
