package figure

import (
	"fmt"
	"slices"
	"strings"
)

// altText describes a figure that has been laid out.
func (f *Figure) altText(s *sheet) string {
	if f.Alt != "" {
		return f.Alt
	}
	if f.raw != nil {
		return s.rawInWords()
	}
	d := []string{s.axisInWords("Horizontal axis", s.X), s.axisInWords("Vertical axis", s.Y)}
	for _, c := range s.fields {
		d = append(d, c.inWords(s))
	}
	for _, sr := range s.series {
		d = append(d, s.seriesInWords(sr))
	}
	d = append(d, s.barsInWords()...)
	for _, sh := range s.shapes {
		d = append(d, s.outlineInWords(sh))
	}
	for _, l := range s.limits {
		d = append(d, s.limitInWords(l))
	}
	for _, p := range s.points {
		d = append(d, s.pointInWords(p))
	}
	return sentences(append(d, plain(f.Caption)))
}

func (f *Figure) limitInWords(l limit) string {
	a, name := f.X, "x"
	if l.level {
		a, name = f.Y, "y"
	}
	words := fmt.Sprintf("Line at %s: %s", a.inWords(name, l.at), plain(l.label))
	if !within(l.at, a) {
		words += ", outside the axes"
	}
	return words
}

// outlineInWords says how far a shape reaches that is no bar and to scale.
func (f *Figure) outlineInWords(sh shape) string {
	if sh.isBar || sh.aside {
		return ""
	}
	reach := func(v []float64, a Axis, name string) string {
		return fmt.Sprintf("%s to %s", a.inWords(name, slices.Min(v)), a.inWords(name, slices.Max(v)))
	}
	return fmt.Sprintf("%s: from %s across, %s up", orDefault(plain(sh.label), "outline"), reach(sh.x, f.X, "x"), reach(sh.y, f.Y, "y"))
}

func (f *Figure) pointInWords(p point) string {
	words := fmt.Sprintf("%s: %s, %s", plain(p.label), f.X.inWords("x", p.x), f.Y.inWords("y", p.y))
	if !within(p.x, f.X) || !within(p.y, f.Y) {
		words += ", outside the axes"
	}
	return words
}

// inWords writes a value with its unit, or after the name of the axis if it has none.
func (a Axis) inWords(name string, v float64) string {
	if a.Unit == "" {
		return name + " = " + significant(v, 4)
	}
	return quantity(significant(v, 4), a.Unit)
}

// name is the title, or what is shown over what.
func (f *Figure) name() string {
	if f.Title != "" {
		return plain(f.Title)
	}
	return orDefault(plain(f.Y.Label), "y") + " against " + orDefault(plain(f.X.Label), "x")
}

// sentences joins parts, each with a capital and a full stop.
func sentences(parts []string) string {
	var b strings.Builder
	for _, p := range parts {
		p = strings.TrimRight(strings.TrimSpace(p), ".")
		if p == "" {
			continue
		}
		if b.Len() > 0 {
			b.WriteString(" ")
		}
		b.WriteString(p + ".")
	}
	return b.String()
}

func (s *sheet) axisInWords(which string, a Axis) string {
	if a.names != nil {
		return which + ": " + strings.Join(a.names, ", ")
	}
	words := fmt.Sprintf("%s: %s from %s to %s", which, orDefault(plain(a.Label), "values"), significant(a.Min, 4),
		quantity(significant(a.Max, 4), a.Unit))
	if a.Log {
		words += ", logarithmic"
	}
	return words
}

// seriesInWords says where a series begins and ends and what it does between, what it leaves out and what the axes cut off.
func (s *sheet) seriesInWords(sr series) string {
	var x, y []float64
	gaps, outside := 0, 0
	for i := range sr.x {
		switch {
		case sr.gapAt(i):
			gaps++
		default:
			x, y = append(x, sr.x[i]), append(y, sr.y[i])
			if !within(sr.x[i], s.X) || !within(sr.y[i], s.Y) {
				outside++
			}
		}
	}
	words := fmt.Sprintf("%s: %s", orDefault(plain(sr.label), "curve"), s.trend(x, y))
	if sr.kind == dots {
		words = fmt.Sprintf("%s: %d points, %s", orDefault(plain(sr.label), "points"), len(x), s.trend(x, y))
	}
	if gaps > 0 {
		words += fmt.Sprintf("; %d values missing", gaps)
	}
	if outside > 0 {
		words += fmt.Sprintf("; %d points lie outside the axes", outside)
	}
	return words
}

func within(v float64, a Axis) bool {
	slack := 1e-9 * (a.Max - a.Min)
	return a.Min-slack <= v && v <= a.Max+slack
}

func orDefault(s, otherwise string) string {
	if s == "" {
		return otherwise
	}
	return s
}

// trend describes y over x in a few words.
func (f *Figure) trend(x, y []float64) string {
	number := func(i int) string { return quantity(significant(y[i], 4), f.Y.Unit) }
	at := func(i int) string { return number(i) + " at " + f.X.inWords("x", x[i]) }
	low, high, last := 0, 0, len(x)-1
	for i := range y {
		if y[i] < y[low] {
			low = i
		}
		if y[i] > y[high] {
			high = i
		}
	}
	switch {
	case last == 0:
		return at(0)
	case y[low] == y[high]:
		return fmt.Sprintf("constant at %s from %s to %s", number(0), f.X.inWords("x", x[0]), f.X.inWords("x", x[last]))
	case low == 0 && high == last:
		return "rises from " + at(0) + " to " + at(last)
	case high == 0 && low == last:
		return "falls from " + at(0) + " to " + at(last)
	}
	words := "from " + at(0) + " to " + at(last)
	if high != 0 && high != last {
		words += ", highest " + at(high)
	}
	if low != 0 && low != last {
		words += ", lowest " + at(low)
	}
	return words
}
