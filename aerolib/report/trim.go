package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"foreplane/aerolib/trim"
	"foreplane/aerolib/unit"
)

// Trim shows what each surface of an aeroplane does in trim, and what bodies, propellers and thrust add. The last row is the sum: n times the weight, and no moment.
func Trim(r trim.Result) Table {
	t := Table{
		Caption: fmt.Sprintf("%s in trim, %s: %s TAS, CL %.3f on %s of %s, α %s, CG at %.3f m (%.1f %% of the chord of the %s). %s", r.Aircraft, r.Method,
			unit.FormatPair(r.Condition.Speed, "TrueAirspeed"), r.CL, unit.Format(r.Reference.Area, "m²"), r.Reference.Name, degree(r.Alpha, 2)+"°",
			r.CG, 100*r.Reference.Fraction(r.CG), r.Reference.Name, strings.Join(append(slices.Clone(r.Notes), r.Caution), " ")),
		Header: []string{"surface", "area", "incidence", "δ", "wash ε", "local α", "CL, own area", "CL, reference", "lift", "share", "arm to CG", "moment", "cl/cl_max", "at η"},
		Units:  []string{"", "m²", "°", "°", "°", "°", "", "", "N", "%", "m", "N m", "", ""},
	}
	for _, l := range r.Loads {
		t.Rows = append(t.Rows, []string{l.Name, fixed(l.Area, 2), degree(l.Incidence, 2), degree(l.Deflection, 2), degree(l.Downwash, 2), degree(l.LocalAlpha, 2),
			fixed(l.CL, 3), fixed(l.CLShare, 3), fixed(l.Lift, 0), fixed(100*l.Share, 1), fixed(l.Arm, 3), fixed(l.Moment, 0), used(l.Critical), fixed(l.Critical.Eta, 2)})
	}
	for _, l := range r.Others {
		t.Rows = append(t.Rows, []string{l.Name, "", "", "", "", "", "", fixed(l.CLShare, 3), fixed(l.Lift, 0), fixed(100*l.Share, 1), fixed(l.Arm, 3), fixed(l.Moment, 0), "", ""})
	}
	weight := r.LoadFactor * r.Weight
	lift := weight + r.ForceResidual
	t.Rows = append(t.Rows, []string{"sum", "", "", "", "", "", "", fixed(r.CL, 3), fixed(lift, 0), fixed(100*lift/weight, 1), "", fixed(r.MomentResidual, 0), "", ""})
	return t
}

// used writes the part of the greatest lift that is used, if that is known.
func used(c trim.Critical) string {
	if c.Limit == 0 {
		return ""
	}
	return fixed(c.Used, 2)
}

// Neutral shows where the neutral point comes from, part by part. The last row is the sum.
func Neutral(n trim.Neutral) Table {
	t := Table{
		Caption: fmt.Sprintf("Neutral point at %.3f m (%.1f %% of the chord of the %s), CG at %.3f m: static margin %.1f %%. %s",
			n.X, 100*n.Fraction, n.Reference.Name, n.CG, 100*n.StaticMargin, n.Caution),
		Header: []string{"part", "ΔCLα", "ΔCmα", "Δx", "Δ"},
		Units:  []string{"", "1/rad", "1/rad", "m", "% MAC"},
	}
	var cm, shift float64
	for _, p := range n.Terms {
		t.Rows = append(t.Rows, neutralRow(p.Name, p.CLAlpha, p.CmAlpha, p.Shift, n.Reference.Chord))
		cm += p.CmAlpha
		shift += p.Shift
	}
	t.Rows = append(t.Rows, neutralRow("sum", n.CLAlpha, cm, shift, n.Reference.Chord))
	return t
}

func neutralRow(name string, cl, cm unit.PerRadian, shift, chord unit.Length) []string {
	return []string{name, fixed(cl, 3), fixed(cm, 3), fixed(shift, 3), fixed(100*shift/chord, 1)}
}

// quantity is a row of [Compare].
type quantity struct {
	name, unit string
	of         func(trim.Result) string
}

var compared = []quantity{
	{"mass", "kg", func(r trim.Result) string { return fixed(r.Weight/unit.StandardGravity, 0) }},
	{"true airspeed", "kt", func(r trim.Result) string { return fixed(r.Condition.Speed/unit.Knot, 1) }},
	{"CL", "", func(r trim.Result) string { return fixed(r.CL, 3) }},
	{"CG", "m", func(r trim.Result) string { return fixed(r.CG, 3) }},
	{"CG", "% chord", func(r trim.Result) string { return fixed(100*r.Reference.Fraction(r.CG), 1) }},
	{"neutral point", "m", func(r trim.Result) string { return fixed(r.Neutral.X, 3) }},
	{"static margin", "% chord", func(r trim.Result) string { return fixed(100*r.Neutral.StaticMargin, 1) }},
	{"CG behind the ¼ chord of the wing", "m", func(r trim.Result) string { return fixed(r.CG-r.Reference.LeadingEdge-r.Reference.Chord/4, 3) }},
	{"angle of attack", "°", func(r trim.Result) string { return degree(r.Alpha, 2) }},
	{"deflection to trim", "°", func(r trim.Result) string { return degree(r.Deflection, 2) }},
}

// Compare shows aeroplanes in trim side by side: where their centres of gravity lie, and what every surface carries. A surface that one of them does
// not have leaves a blank.
func Compare(results ...trim.Result) Table {
	t := Table{Header: []string{"quantity", "unit"}, Units: []string{"", ""}, Caption: trim.Caution}
	for _, r := range results {
		t.Header, t.Units = append(t.Header, r.Aircraft), append(t.Units, "")
	}
	for _, q := range compared {
		row := []string{q.name, q.unit}
		for _, r := range results {
			row = append(row, q.of(r))
		}
		t.Rows = append(t.Rows, row)
	}
	for _, name := range surfaceNames(results) {
		t.Rows = append(t.Rows,
			loadRow("lift of the "+name, "N", results, name, func(l trim.Load) string { return fixed(l.Lift, 0) }),
			loadRow("share of the "+name, "% of weight", results, name, func(l trim.Load) string { return fixed(100*l.Share, 1) }),
			loadRow("CL of the "+name+", own area", "", results, name, func(l trim.Load) string { return fixed(l.CL, 3) }))
	}
	return t
}

// surfaceNames lists the lifting surfaces of all results, each once, in the order they are met.
func surfaceNames(results []trim.Result) []string {
	var names []string
	for _, r := range results {
		for _, l := range r.Loads {
			if !slices.Contains(names, l.Name) {
				names = append(names, l.Name)
			}
		}
	}
	return names
}

func loadRow(label, unit string, results []trim.Result, surface string, show func(trim.Load) string) []string {
	row := []string{label, unit}
	for _, r := range results {
		text := ""
		for _, l := range r.Loads {
			if l.Name == surface {
				text = show(l)
			}
		}
		row = append(row, text)
	}
	return row
}

// fixed writes x with the given number of decimals, and never a negative zero.
func fixed(x float64, decimals int) string {
	scale := math.Pow10(decimals)
	return fmt.Sprintf("%.*f", decimals, math.Round(x*scale)/scale+0)
}

func degree(a unit.Angle, decimals int) string { return fixed(a/unit.Degree, decimals) }
