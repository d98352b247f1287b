package figure

import (
	"fmt"
	"math"
	"strings"
)

// barHalf is half the thickness of a bar; bars are 1 apart.
const barHalf = 0.27

// Bars returns a figure of horizontal bars, one for each name from the top down, which [Figure.Part] builds up from parts.
func Bars(title string, value Axis, names ...string) *Figure {
	value.Zero = true
	f := New(title, value, Axis{Reversed: true, names: names})
	if len(names) == 0 {
		f.fail("Bars", title, "no names of bars")
	}
	return f
}

// Part adds a part to every bar: values holds one length for each bar. Positive parts line up to the right of zero, negative ones to the
// left. Parts of length zero are left out.
func (f *Figure) Part(label string, values []float64) *Figure {
	if len(values) != len(f.Y.names) {
		return f.fail("Part", label, "%d values for %d bars", len(values), len(f.Y.names))
	}
	l := f.lookFor(label)
	for i, v := range values {
		if !finite(v) {
			return f.fail("Part", label, "value %d, %g, is not finite", i, v)
		}
		if v == 0 {
			continue
		}
		from := f.barEnd(i, v < 0)
		f.shapes = append(f.shapes, barShape(label, i, from, from+v, l))
	}
	return f
}

func barShape(label string, bar int, from, to float64, look int) shape {
	low, high := float64(bar)-barHalf, float64(bar)+barHalf
	return shape{
		label: label, look: look, bar: bar, isBar: true, value: to - from,
		x: []float64{from, to, to, from}, y: []float64{low, low, high, high},
	}
}

// barEnd returns where the next part of a bar begins.
func (f *Figure) barEnd(bar int, negative bool) float64 {
	end := 0.0
	for _, s := range f.shapes {
		if s.isBar && s.bar == bar && (s.value < 0) == negative {
			end += s.value
		}
	}
	return end
}

// barLabel returns the text in a bar: its name and its value.
func (f *Figure) barLabel(s shape) string {
	return s.label + " " + unbroken(quantity(fixed(s.value, f.barDecimals()), f.X.Unit))
}

// barDecimals returns how many decimals all bars are written with, so that their parts add up to the eye: as many as give the longest one four
// digits, without those that are zero everywhere.
func (f *Figure) barDecimals() int {
	longest := 0.0
	for _, s := range f.shapes {
		longest = math.Max(longest, math.Abs(s.value))
	}
	decimals := min(max(3-int(math.Floor(math.Log10(longest))), 0), 9)
	for ; decimals > 0; decimals-- {
		for _, s := range f.shapes {
			if !strings.HasSuffix(fixed(s.value, decimals), "0") {
				return decimals
			}
		}
	}
	return 0
}

// quantity puts a unit behind a number.
func quantity(number, unit string) string {
	switch unit {
	case "":
		return number
	case "°":
		return number + unit
	}
	return number + " " + unit
}

// barsInWords describes each bar.
func (f *Figure) barsInWords() []string {
	if f.Y.names == nil {
		return nil
	}
	words := make([]string, len(f.Y.names))
	for i, name := range f.Y.names {
		words[i] = name + ":"
	}
	for _, s := range f.shapes {
		sep := ","
		if words[s.bar] == f.Y.names[s.bar]+":" {
			sep = ""
		}
		words[s.bar] += fmt.Sprintf("%s %s", sep, plain(f.barLabel(s)))
	}
	return words
}

// barTable has a row for each bar and a column for each part.
func (f *Figure) barTable(d *Data) {
	d.Header, d.Units = []string{""}, []string{""}
	if label := plain(f.X.Label); label != "" {
		d.Caption += " (" + label + ")"
	}
	column := map[string]int{}
	for _, s := range f.shapes {
		if column[s.label] == 0 {
			column[s.label] = len(d.Header)
			d.Header, d.Units = append(d.Header, plain(s.label)), append(d.Units, f.X.Unit)
		}
	}
	for _, name := range f.Y.names {
		row := make([]string, len(d.Header))
		row[0] = name
		d.Rows = append(d.Rows, row)
	}
	for _, s := range f.shapes {
		d.Rows[s.bar][column[s.label]] = cell(s.value)
	}
}
