package symbols

import (
	"strings"

	"foreplane/aerolib/unit"
	"foreplane/kernel/dimension"
)

// Quantities is the table of aerolib's quantities and units.
func (Packages) Quantities() dimension.Table {
	t := dimension.Table{Package: "foreplane/aerolib/unit"}
	for _, k := range unit.Kinds() {
		d := k.Dimension
		t.Kinds = append(t.Kinds, dimension.Kind{
			Name: k.Name, Angle: k.Angle, Of: k.Of, SI: k.SI,
			Exact:     k.Name == "Pressure" || k.Name == "Temperature", // static and absolute: a dynamic pressure or a difference is not meant
			Dimension: dimension.Dimension{exponent(d.Mass), exponent(d.Length), exponent(d.Time), exponent(d.Temperature)},
		})
	}
	for _, u := range unit.All() {
		t.Units = append(t.Units, dimension.Unit{Name: u.Name, Symbol: u.Symbol, Kind: u.Kind, Aliases: u.Aliases})
	}
	return t
}

func exponent(r unit.Rational) dimension.Rational { return dimension.Frac(r.Num(), r.Den()) }

// Format writes an SI value of a kind in SI and in the unit that the trade uses beside it; with a kind of "", in the SI unit with the given symbol.
func (Packages) Format(value float64, kind, symbol string) string {
	if kind != "" {
		return unit.FormatPair(value, kind)
	}
	if u, err := unit.ParseUnit(symbol); err == nil {
		return u.Format(value)
	}
	return strings.TrimSpace(unit.Format(value, "1") + " " + symbol) // no unit has a fraction for an exponent
}
