package report

import (
	"fmt"
	"strings"

	"foreplane/aerolib/drag"
	"foreplane/aerolib/unit"
)

// Drag shows who contributes what to the drag of an aeroplane without lift. The last row is the sum.
func Drag(b drag.Buildup) Table {
	t := Table{
		Caption: fmt.Sprintf("%s without lift at %s TAS, Mach %.3f; CD on %s of the %s. %s", b.Aircraft, unit.FormatPair(b.Flight.Speed, "TrueAirspeed"), b.Mach,
			unit.Format(b.Reference.Area, "m²"), b.Reference.Name, strings.Join(b.Notes, " ")),
		Header: []string{"component", "S_wet", "l", "Re", "Cf", "FF", "Q", "CDA", "CD", "share", "source"},
		Units:  []string{"", "m²", "m", "10⁶", "", "", "", "m²", "counts", "%", ""},
	}
	for _, i := range b.Items {
		row := []string{i.Name, "", "", "", "", "", ""}
		if i.Wetted > 0 {
			row = []string{i.Name, fixed(i.Wetted, 2), fixed(i.Length, 2), fixed(i.Reynolds/1e6, 2), fixed(i.Friction, 5), fixed(i.Form, 3), fixed(i.Interference, 2)}
		}
		t.Rows = append(t.Rows, append(row, fixed(i.CDA, 4), counts(i.CD), fixed(100*i.Share, 1), i.Source))
	}
	t.Rows = append(t.Rows, []string{"sum", fixed(b.Wetted, 2), "", "", "", "", "", fixed(b.CDA, 4), counts(b.CD), "100.0", ""})
	return t
}

// counts writes a coefficient of drag in counts of 0.0001.
func counts(c unit.Coefficient) string { return fixed(c/unit.DragCount, 1) }

// Forms shows the published form factors of surfaces and bodies side by side, each with whether it is in its range and what it makes of the drag of its component.
func Forms(b drag.Buildup) Table {
	t := Table{
		Caption: "Form factors of " + b.Aircraft + ". Outside its range a regression is a guess: whether the flow follows the aft part of a body decides more.",
		Header:  []string{"component", "argument", "value", "factor", "FF", "range", "in range", "CDA", "used"},
		Units:   []string{"", "", "", "", "", "", "", "m²", ""},
	}
	for _, i := range b.Items {
		for _, f := range i.Factors {
			t.Rows = append(t.Rows, []string{i.Name, f.Argument, fixed(f.At, 3), string(f.Form), fixed(f.Value, 3), fmt.Sprintf("%g to %g", f.Min, f.Max), yes(f.Inside()),
				fixed(i.CDA*f.Value/i.Form, 4), yes(f.Value == i.Form)})
		}
	}
	return t
}

// Closures shows how the bodies close behind their largest cross-section.
func Closures(b drag.Buildup) Table {
	t := Table{
		Caption: "Aft bodies of " + b.Aircraft + ". Limits of the angle are common practice; of two published estimates of base drag Hoerner's counts.",
		Header:  []string{"body", "behind", "mean angle", "steepest", "limit", "attached", "base", "Hoerner", "Raymer", "if separated"},
		Units:   []string{"", "m", "°", "°", "°", "", "m²", "m²", "m²", "m²"},
	}
	for _, c := range b.Closures {
		t.Rows = append(t.Rows, []string{c.Body, fixed(c.Largest, 2), degree(c.Mean, 1), degree(c.Steepest, 1), degree(c.Limit, 0), yes(c.Attached), fixed(c.Base, 3), fixed(c.Drag, 4),
			fixed(c.DragOther, 4), fixed(c.Separated, 4)})
	}
	return t
}

// Contributions shows who contributes what to the drag of an aeroplane that lifts: a row for each component, a column for each cause. The last row is the sum.
func Contributions(b drag.Breakdown) Table {
	causes := []drag.Cause{drag.Parasite, drag.Profiled, drag.Vortices}
	t := Table{
		Caption: fmt.Sprintf("%s at CL %.3f: CD %s counts, L/D %.1f. %s", b.Aircraft, b.CL, counts(b.CD), b.LiftToDrag(), strings.Join(b.Notes, " ")),
		Header:  []string{"component", string(causes[0]), string(causes[1]), string(causes[2]), "CD", "CDA", "share"},
		Units:   []string{"", "counts", "counts", "counts", "counts", "m²", "%"},
	}
	for _, s := range b.By() {
		row := []string{s.Name}
		for _, cause := range causes {
			row = append(row, part(b, s.Name, cause))
		}
		t.Rows = append(t.Rows, append(row, counts(s.CD), fixed(s.CD*b.Area, 4), fixed(100*s.CD/b.CD, 1)))
	}
	t.Rows = append(t.Rows, []string{"sum", counts(b.Parasite), counts(b.Profile), counts(b.Induced), counts(b.CD), fixed(b.CD*b.Area, 4), "100.0"})
	return t
}

// part writes what a component contributes for a cause; nothing if it does not.
func part(b drag.Breakdown, name string, cause drag.Cause) string {
	sum, some := unit.Coefficient(0), false
	for _, p := range b.Parts {
		if p.Name == name && p.Cause == cause {
			sum, some = sum+p.CD, true
		}
	}
	if !some {
		return ""
	}
	return counts(sum)
}

// Polar shows the points of a polar with what its drag is made of. The caption has the parabola through all of them with its Oswald factor, which is not the span
// efficiency of the last column: that belongs to induced drag alone.
func Polar(p drag.Polar) Table {
	least, greatest := p.Limits()
	t := Table{
		Caption: p.Name + ". " + strings.Join(p.Notes, " "),
		Header:  []string{"CL", "α", "δ", "without lift", "profile, by lift", "induced", "CD", "L/D", "span efficiency"},
		Units:   []string{"", "°", "°", "counts", "counts", "counts", "counts", "", ""},
	}
	if fit, err := p.Fit(least, greatest); err == nil {
		t.Caption = fmt.Sprintf("%s: %s. %s", p.Name, fit, strings.Join(p.Notes, " "))
	}
	for _, q := range p.Points() {
		efficiency := ""
		if e, err := p.SpanEfficiency(q.CL); err == nil {
			efficiency = fixed(e, 3)
		}
		t.Rows = append(t.Rows, []string{fixed(q.CL, 3), degree(q.Alpha, 2), degree(q.Control, 2), counts(q.Parasite()), counts(q.Profile), counts(q.Induced), counts(q.CD),
			fixed(q.CL/q.CD, 2), efficiency})
	}
	return t
}

// Stretches shows the drag of a body at several lengths: the skin by each form factor, and what its closure costs.
func Stretches(lengths []drag.Stretch) Table {
	t := Table{
		Caption: "A body drawn to other lengths, cross-sections as they are. A star marks a factor outside its range. Whether the flow follows the aft body, which no factor knows, is an estimate.",
		Header:  []string{"length", "fineness", "S_wet", "Cf", "skin, Raymer", "skin, Hoerner", "steepest", "attached", "base", "Hoerner with base"},
		Units:   []string{"m", "", "m²", "", "m²", "m²", "°", "", "m²", "m²"},
	}
	for _, s := range lengths {
		row := []string{fixed(s.Length, 2), fixed(s.Fineness, 2), fixed(s.Wetted, 2), fixed(s.Friction, 5)}
		for i, f := range s.Factors {
			area := fixed(s.Areas[i], 4)
			if !f.Inside() {
				area += "*"
			}
			row = append(row, area)
		}
		t.Rows = append(t.Rows, append(row, degree(s.Closure.Steepest, 1), yes(s.Closure.Attached), fixed(s.Closure.Drag, 4), fixed(s.Areas[1]+s.Closure.Drag, 4)))
	}
	return t
}

// yes writes whether something is so.
func yes(is bool) string {
	if is {
		return "yes"
	}
	return "no"
}
