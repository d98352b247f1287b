package report

import (
	"fmt"
	"slices"
	"strings"

	"foreplane/aerolib/prop"
	"foreplane/aerolib/unit"
)

// bookCaution goes with tables of installed propellers, which lead to climb and field lengths.
const bookCaution = "For study and preliminary work; the approved flight manual, local regulations and licensed engineers decide."

// Bookkeeping shows where the shaft power of a tractor and of a pusher goes, from the shaft to the net thrust power, with what the pusher has more (Δ). The last rows are the
// efficiencies and the check that the rows add up.
func Bookkeeping(tractor, pusher prop.Books) Table {
	t := Table{
		Caption: bookCaption(tractor, pusher),
		Header:  []string{"", bookName(tractor), "", bookName(pusher), "", "Δ", ""},
		Units:   []string{"", "kW", "% of shaft", "kW", "% of shaft", "kW", "% of shaft"},
	}
	shaftA, shaftB := tractor.Installed.Power, pusher.Installed.Power
	for i, a := range tractor.Rows {
		b := pusher.Rows[i]
		row := append(powers(a.Name, a.Power, shaftA), powers("", b.Power, shaftB)[1:]...)
		t.Rows = append(t.Rows, append(row, fixed((b.Power-a.Power)/unit.Kilowatt, 2), fixed(100*(b.Power/shaftB-a.Power/shaftA), 2)))
	}
	for _, e := range []struct {
		name string
		a, b unit.Ratio
	}{{"η apparent", tractor.Apparent, pusher.Apparent}, {"η net", tractor.Net, pusher.Net}} {
		t.Rows = append(t.Rows, []string{e.name, "", fixed(100*e.a, 2), "", fixed(100*e.b, 2), "", fixed(100*(e.b-e.a), 2)})
	}
	return appendCheck(t, tractor, pusher)
}

// appendCheck adds what the rows leave over.
func appendCheck(t Table, a, b prop.Books) Table {
	row := append(powers("sum less net", a.Unbalanced, a.Installed.Power), powers("", b.Unbalanced, b.Installed.Power)[1:]...)
	t.Rows = append(t.Rows, append(row, fixed((b.Unbalanced-a.Unbalanced)/unit.Kilowatt, 2), fixed(100*(b.Unbalanced/b.Installed.Power-a.Unbalanced/a.Installed.Power), 2)))
	return t
}

// powers writes a row of one power.
func powers(name string, power, shaft unit.Power) []string {
	return []string{name, fixed(power/unit.Kilowatt, 2), fixed(100*power/shaft, 2)}
}

// bookName says which aeroplane and which way round.
func bookName(b prop.Books) string {
	if b.Pusher {
		return b.Aircraft + ", pusher"
	}
	return b.Aircraft + ", tractor"
}

func bookCaption(books ...prop.Books) string {
	var parts, notes []string
	for _, b := range books {
		s := b.Installed
		parts = append(parts, fmt.Sprintf("%s at %s TAS, %s, pitch %s°: blockage %s %%, wake fraction %s %%, thrust %s N, net %s N.", bookName(b),
			unit.FormatPair(s.V, "TrueAirspeed"), unit.Format(s.Rotation, "rpm"), degree(s.Pitch, 1), fixed(100*b.Blockage, 1), fixed(100*b.Wake, 1),
			fixed(s.Thrust, 0), fixed(s.Net, 0)))
		for _, n := range slices.Concat(s.Notes, b.Free.Notes) {
			if !slices.Contains(notes, n) {
				notes = append(notes, n)
			}
		}
	}
	return strings.Join(slices.Concat(parts, notes, []string{bookCaution}), " ")
}

// Propeller shows engine and propeller over speed.
func Propeller(states ...prop.Operating) Table {
	t := Table{
		Caption: "Engine and propeller. " + bookCaution,
		Header:  []string{"TAS", "thrust", "shaft power", "rotation", "pitch", "J", "CT", "CP", "η", "fuel", "electric"},
		Units:   []string{"kt", "N", "kW", "rpm", "°", "", "", "", "", "kg/h", "kW"},
	}
	for _, o := range states {
		t.Rows = append(t.Rows, []string{fixed(o.V/unit.Knot, 0), fixed(o.Thrust, 0), fixed(o.Power/unit.Kilowatt, 1), fixed(o.Rotation/unit.RevolutionPerMinute, 0),
			degree(o.Pitch, 1), fixed(o.Point.J, 3), fixed(o.Point.CT, 4), fixed(o.Point.CP, 4), fixed(o.Efficiency, 3), fixed(o.FuelFlow/unit.KilogramPerHour, 1), fixed(o.Electric/unit.Kilowatt, 1)})
	}
	return t
}

// Slipstream shows what the slipstream of an installed propeller does to the parts behind it, for their trim.
func Slipstream(s prop.Installed) Table {
	t := Table{
		Caption: fmt.Sprintf("Slipstream at %s TAS with %s N of thrust: the mean of each part that is in it. Swirl is clockwise seen from behind for a propeller that turns so.",
			unit.FormatPair(s.V, "TrueAirspeed"), fixed(s.Thrust, 0)),
		Header: []string{"part", "in the slipstream", "q", "swirl"},
		Units:  []string{"", "% of its skin", "of the stream", "°"},
	}
	for _, w := range s.Surfaces {
		t.Rows = append(t.Rows, []string{w.Name, fixed(100*w.Fraction, 1), fixed(w.Pressure, 3), degree(w.Swirl, 2)})
	}
	return t
}
