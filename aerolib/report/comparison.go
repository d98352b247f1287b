package report

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"foreplane/aerolib/trim"
)

// Comparison shows layouts on a basis: what is given by it, what was scaled until it was met, and the outcome, apart from each other. Differences are from the first layout,
// in per cent of it; the reasons are those terms of them that are 0.1 % or more, and the rest, and sum to them.
func Comparison(c trim.Comparison) Table {
	t := Table{
		Caption: fmt.Sprintf("Basis: %s. %s %s", c.Basis, strings.Join(c.Notes, " "), c.Caution),
		Header:  []string{"", "quantity", "unit", c.Layouts[0].Aircraft.Name},
	}
	for _, l := range c.Layouts[1:] {
		t.Header = append(t.Header, l.Aircraft.Name, "Δ %", "because of")
	}
	t.Units = make([]string, len(t.Header))
	for _, standing := range []trim.Standing{trim.GivenEqual, trim.Scaled, trim.Outcome} {
		for _, q := range c.Quantities {
			if q.Standing == standing {
				t.Rows = append(t.Rows, comparedRow(q))
			}
		}
	}
	return t
}

func comparedRow(q trim.Quantity) []string {
	row := []string{string(q.Standing), q.Name, strings.TrimPrefix(q.Symbol, "1"), figures(q.Values[0])}
	for i, v := range q.Values[1:] {
		change := "–"
		if d := q.Change(i + 1); q.Standing != trim.Scaled && !math.IsNaN(d) && !math.IsInf(d, 0) {
			change = signed(d)
		}
		row = append(row, figures(v), change, because(q.Reasons[i+1]))
	}
	return row
}

// because writes reasons with the greatest first.
func because(reasons []trim.Reason) string {
	const least = 0.001
	var parts []string
	rest := 0.0
	for _, r := range slices.SortedStableFunc(slices.Values(reasons), func(a, b trim.Reason) int { return cmp.Compare(math.Abs(b.Part), math.Abs(a.Part)) }) {
		if math.Abs(r.Part) < least {
			rest += r.Part
			continue
		}
		parts = append(parts, r.Name+" "+signed(r.Part))
	}
	if text := signed(rest); text != "0.0" {
		parts = append(parts, "rest "+text)
	}
	return strings.Join(parts, "; ")
}

// signed writes a part in per cent with its sign.
func signed(x float64) string {
	text := fixed(100*x, 1)
	if text != "0.0" && x > 0 {
		return "+" + text
	}
	return strings.Replace(text, "-", "−", 1)
}

// figures writes a number with four figures or more, and what has no end in words.
func figures(x float64) string {
	if math.IsInf(x, 1) {
		return "more than 1 chord"
	}
	return fixed(x, max(0, 3-int(math.Floor(math.Log10(max(math.Abs(x), 1))))))
}

// Front shows the designs of the front of a study, that with the lowest stall speed first, and last the aeroplane as it is drawn.
func Front(r trim.StudyResult) Table {
	t := Table{
		Caption: fmt.Sprintf("Front of %s: %d designs, %d on the front. Basis: %s. %s", r.Aircraft, len(r.Designs), len(r.Front), r.Basis, r.Caution),
		Header:  []string{"design", "V_S", "drag", "L/D", "lead", "span ratio", "area share", "ahead", "incidence", "gap"},
		Units:   []string{"", "m/s", "N", "", "%", "", "%", "m", "°", "m"},
	}
	row := func(name string, d trim.Design) {
		v := d.Values
		t.Rows = append(t.Rows, []string{name, fixed(d.Stall, 2), fixed(d.Drag, 1), fixed(d.Layout.Cruise.Drag.Ratio, 2), fixed(100*d.Lead, 0), fixed(v[trim.SpanRatio], 3),
			fixed(100*v[trim.AreaShare], 1), fixed(v[trim.Ahead], 3), degree(v[trim.Incidence], 2), fixed(v[trim.Gap], 3)})
	}
	for _, d := range r.Front {
		row(fmt.Sprint(d.Number), d)
	}
	row("as drawn", r.Drawn)
	return t
}
