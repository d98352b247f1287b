package report

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"foreplane/aerolib/trim"
	"foreplane/aerolib/unit"
)

// Basis says what a trim is for: the case, mass, areas, reference, air, speed, load factor, gear, flaps and power, the CG, and the method with its wake.
func Basis(r trim.Result) Table {
	t := Table{Caption: r.Caution, Header: []string{"quantity", "value", "unit"}, Units: []string{"", "", ""}}
	add := func(name, value, unit string) { t.Rows = append(t.Rows, []string{name, value, unit}) }
	add("case", r.Aircraft+", "+r.Condition.Manoeuvre.String(), "")
	add("mass", fixed(r.Weight/unit.StandardGravity, 0), "kg")
	for _, l := range r.Loads {
		add("S of the "+l.Name, fixed(l.Area, 3), "m²")
	}
	add("S_ref", fixed(r.Reference.Area, 3), "m², "+r.Reference.Name)
	add("c_ref", fixed(r.Reference.Chord, 4), "m")
	add("b", fixed(r.Reference.Span, 3), "m")
	add("x_ref", fixed(r.Reference.LeadingEdge, 4), "m, leading edge of c_ref")
	air := r.Condition.Air
	add("air temperature", fixed(air.Temperature, 1), "K")
	add("air pressure", fixed(air.Pressure, 0), "Pa")
	add("air density", fixed(air.Density, 4), "kg/m³")
	add("V EAS", speed(r.Equivalent), "kt (m/s)")
	add("V TAS", speed(r.Condition.Speed), "kt (m/s)")
	add("n", fixed(r.LoadFactor, 2), "")
	add("gear, flaps, power", configuration(r.Condition), "")
	add("height of the datum", height(r.Condition.Height), "")
	add("CG", fixed(r.CG, 3), "m")
	add("CG", fixed(100*r.Reference.Fraction(r.CG), 1), "% of the chord of the "+r.Reference.Name)
	add("model", r.Method, "")
	add("wake", r.Wake, "")
	if missing := r.Neutral.Missing; len(missing) > 0 {
		add("left out", strings.Join(missing, ", "), "")
	}
	return t
}

func speed(V unit.Speed) string {
	return fmt.Sprintf("%s (%s)", fixed(V/unit.Knot, 1), fixed(V, 1))
}

func height(h unit.Length) string {
	if h == 0 {
		return "free air"
	}
	return unit.Format(h, "m") + " above the ground"
}

func configuration(c trim.Condition) string {
	words := []string{"gear down"}
	if c.GearUp {
		words[0] = "gear up"
	}
	for _, name := range slices.Sorted(maps.Keys(c.Flaps)) {
		words = append(words, name+" "+degree(c.Flaps[name], 1)+"°")
	}
	if len(c.Flaps) == 0 {
		words = append(words, "no flaps set")
	}
	power := c.Thrust.String()
	if c.Thrust == trim.Given {
		power += ", " + unit.Format(c.Force, "N")
	}
	return strings.Join(append(words, power), ", ")
}

// compared in both methods, for each surface.
var paired = []struct {
	name, unit string
	decimals   int
	of         func(trim.Load) float64
}{
	{"δ", "°", 2, func(l trim.Load) float64 { return l.Deflection / unit.Degree }},
	{"wash ε", "°", 2, func(l trim.Load) float64 { return l.Downwash / unit.Degree }},
	{"local α", "°", 2, func(l trim.Load) float64 { return l.LocalAlpha / unit.Degree }},
	{"CL, own area", "", 3, func(l trim.Load) float64 { return l.CL }},
	{"CL, reference", "", 3, func(l trim.Load) float64 { return l.CLShare }},
	{"lift", "N", 0, func(l trim.Load) float64 { return l.Lift }},
	{"share", "%", 1, func(l trim.Load) float64 { return 100 * l.Share }},
	{"arm to CG", "m", 3, func(l trim.Load) float64 { return l.Arm }},
	{"moment", "N m", 0, func(l trim.Load) float64 { return l.Moment }},
	{"cl/cl_max", "", 2, func(l trim.Load) float64 { return l.Critical.Used }},
	{"at η", "", 2, func(l trim.Load) float64 { return l.Critical.Eta }},
}

// TrimBoth shows one trim by closed form and by lattice in columns beside each other, with the difference. The rows of each part are those of [Trim]; the last are the sums:
// n times the weight, and no moment.
func TrimBoth(c trim.Methods) Table {
	t := Table{
		Caption: fmt.Sprintf("%s in trim by closed form and by %s, %s. %s", c.Closed.Aircraft, c.Lattice.Method, c.Lattice.Wake, strings.Join(bothNotes(c), " ")),
		Header:  []string{"part", "quantity", "unit", "closed form", "lattice", "Δ"}, Units: make([]string, 6),
	}
	add := func(part, name, symbol string, decimals int, a, b float64) {
		t.Rows = append(t.Rows, []string{part, name, symbol, fixed(a, decimals), fixed(b, decimals), fixed(b-a, decimals)})
	}
	add("aeroplane", "α", "°", 2, c.Closed.Alpha/unit.Degree, c.Lattice.Alpha/unit.Degree)
	for i, l := range c.Closed.Loads {
		add(l.Name, "area", "m²", 2, l.Area, l.Area)
		add(l.Name, "incidence", "°", 2, l.Incidence/unit.Degree, l.Incidence/unit.Degree)
		for _, q := range paired {
			add(l.Name, q.name, q.unit, q.decimals, q.of(l), q.of(c.Lattice.Loads[i]))
		}
	}
	for _, name := range otherNames(c) {
		a, b := other(c.Closed, name), other(c.Lattice, name)
		add(name, "lift", "N", 0, a.Lift, b.Lift)
		add(name, "moment", "N m", 0, a.Moment, b.Moment)
	}
	sum := func(r trim.Result) float64 { return r.LoadFactor*r.Weight + r.ForceResidual }
	add("sum", "lift", "N", 0, sum(c.Closed), sum(c.Lattice))
	add("sum", "moment", "N m", 0, c.Closed.MomentResidual, c.Lattice.MomentResidual)
	add("aeroplane", "L/D", "", 1, c.Closed.Drag.Ratio, c.Lattice.Drag.Ratio)
	return t
}

// bothNotes lists the notes of both, each once, and the caution.
func bothNotes(c trim.Methods) []string {
	var notes []string
	for _, n := range slices.Concat(c.Closed.Notes, c.Lattice.Notes, []string{c.Closed.Caution}) {
		if !slices.Contains(notes, n) {
			notes = append(notes, n)
		}
	}
	return notes
}

// otherNames lists what is no surface in either method.
func otherNames(c trim.Methods) []string {
	var names []string
	for _, l := range slices.Concat(c.Closed.Others, c.Lattice.Others) {
		if !slices.Contains(names, l.Name) {
			names = append(names, l.Name)
		}
	}
	return names
}

func other(r trim.Result, name string) trim.Load {
	for _, l := range r.Others {
		if l.Name == name {
			return l
		}
	}
	return trim.Load{}
}

// Differences shows why closed form and lattice differ, cause by cause. The last row is the sum, which is the difference of [TrimBoth].
func Differences(c trim.Methods) Table {
	t := Table{
		Caption: fmt.Sprintf("%s: lattice less closed form, cause by cause. %s", c.Closed.Aircraft, c.Closed.Caution),
		Header:  []string{"cause", "α", "δ", "neutral point", "share of the surface that trims"}, Units: []string{"", "°", "°", "m", "% of weight"},
	}
	for _, d := range append(slices.Clone(c.Terms), c.Sum()) {
		t.Rows = append(t.Rows, []string{d.Cause, degree(d.Alpha, 2), degree(d.Deflection, 2), fixed(d.Neutral, 3), fixed(100*d.Share, 2)})
	}
	return t
}
