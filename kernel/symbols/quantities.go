package symbols

import (
	"cmp"
	"fmt"
	"strings"

	"foreplane/aerolib/unit"
	"foreplane/kernel/answer"
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

// FormatIn writes an SI value of the unit with the given symbol in another unit, with so many significant figures.
func (p Packages) FormatIn(value float64, symbol, in string, figures int) (string, error) {
	have, err := unit.ParseUnit(cmp.Or(symbol, "1"))
	if err != nil {
		return p.Format(value, "", symbol), nil // no unit has a fraction for an exponent
	}
	want := have
	if in != "" {
		if want, err = unit.ParseUnit(in); err != nil {
			return "", err
		}
	}
	if want.Dimension != have.Dimension {
		return "", fmt.Errorf("it is in %s, which cannot be written in %s", have, want)
	}
	if figures > 0 {
		return want.FormatFigures(value, figures), nil
	}
	return want.Format(value), nil
}

// Like lists the units of the dimension of the one with the given symbol that count from the same zero.
func (Packages) Like(symbol string) []answer.Unit {
	of, err := unit.ParseUnit(symbol)
	if err != nil {
		return nil
	}
	var out []answer.Unit
	for _, u := range unit.All() {
		if u.Dimension == of.Dimension && u.Angle == of.Angle && u.Offset == 0 {
			out = append(out, answer.Unit{Symbol: u.Symbol, Factor: u.Factor})
		}
	}
	return out
}

// Parse reads a number with its unit.
func (Packages) Parse(text string) (float64, string, error) {
	v, u, err := unit.ParseAny(text)
	if u.Symbol == "1" {
		u.Symbol = ""
	}
	return v, u.Symbol, err
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
