package figure

import (
	"fmt"
	"strings"
)

// altText describes a figure that has been laid out.
func (f *Figure) altText(s *sheet) string {
	if f.Alt != "" {
		return f.Alt
	}
	d := []string{s.axisInWords("Horizontal axis", s.X), s.axisInWords("Vertical axis", s.Y)}
	for _, sr := range s.series {
		d = append(d, s.seriesInWords(sr))
	}
	for _, l := range s.limits {
		name := "x"
		if l.level {
			name = "y"
		}
		d = append(d, fmt.Sprintf("line at %s = %s: %s", name, significant(l.at, 4), plain(l.label)))
	}
	for _, p := range s.points {
		d = append(d, fmt.Sprintf("%s at (%s, %s)", plain(p.label), significant(p.x, 4), significant(p.y, 4)))
	}
	if f.Caption != "" {
		d = append(d, plain(f.Caption))
	}
	return sentences(d)
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
	words := fmt.Sprintf("%s: %s from %s to %s", which, orDefault(plain(a.Label), "values"), significant(a.Min, 4), significant(a.Max, 4))
	if a.Unit != "" {
		words += " " + a.Unit
	}
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
	words := fmt.Sprintf("%s: %s", orDefault(plain(sr.label), "curve"), trend(x, y))
	if sr.kind == dots {
		words = fmt.Sprintf("%s: %d points, %s", orDefault(plain(sr.label), "points"), len(x), trend(x, y))
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
func trend(x, y []float64) string {
	at := func(i int) string { return fmt.Sprintf("%s at x = %s", significant(y[i], 4), significant(x[i], 4)) }
	last := len(x) - 1
	if last == 0 {
		return at(0)
	}
	low, high := 0, 0
	for i := range y {
		if y[i] < y[low] {
			low = i
		}
		if y[i] > y[high] {
			high = i
		}
	}
	switch {
	case y[low] == y[high]:
		return fmt.Sprintf("constant at %s from x = %s to %s", significant(y[0], 4), significant(x[0], 4), significant(x[last], 4))
	case low == 0 && high == last:
		return "rises from " + at(0) + " to " + at(last)
	case high == 0 && low == last:
		return "falls from " + at(0) + " to " + at(last)
	}
	words := "from " + at(0) + " to " + at(last)
	if i := high; i != 0 && i != last {
		words += ", highest " + at(i)
	}
	if i := low; i != 0 && i != last {
		words += ", lowest " + at(i)
	}
	return words
}
