package unit

import (
	"math"
	"math/big"
	"strconv"
	"strings"
)

// Format writes an SI value in the unit with the given symbol or name, rounded for reading:
//
//	Format(48.87, "kt")     // "95.0 kt"
//	Format(1.225, "kg/m³")  // "1.225 kg/m³"
//
// It keeps three figures, a fourth where the first is 1 (as on a slide rule), and all figures before the decimal point. Text for an unknown unit ends in
// "!(no unit …)" and holds the SI value.
func Format(value float64, symbol string) string {
	u, ok := find(symbol)
	if !ok {
		return strconv.FormatFloat(value, 'g', -1, 64) + " !(no unit " + symbol + ")"
	}
	return u.Format(value)
}

// Format writes an SI value in unit u, rounded for reading.
func (u Unit) Format(value float64) string { return u.label(round((value - u.Offset) / u.Factor)) }

// FormatFigures writes an SI value in unit u with n significant figures, at least one.
func (u Unit) FormatFigures(value float64, n int) string {
	return u.label(figures((value-u.Offset)/u.Factor, max(n, 1)))
}

// FormatExact writes an SI value in the unit with the given symbol or name with as few figures as [Parse] needs to read the same value back, bit for bit.
//
// Near absolute zero °C and °F would take hundreds of figures; there it writes K. [Parse] refuses the text of NaN and of infinities.
func FormatExact(value float64, symbol string) string {
	u, ok := find(symbol)
	if !ok {
		return strconv.FormatFloat(value, 'g', -1, 64) + " !(no unit " + symbol + ")"
	}
	return u.FormatExact(value)
}

// FormatExact is [FormatExact] for unit u.
func (u Unit) FormatExact(value float64) string {
	if math.IsNaN(value) || math.IsInf(value, 0) {
		return u.label(strconv.FormatFloat(value, 'g', -1, 64))
	}
	if value == 0 && u.Offset == 0 {
		return u.label(strconv.FormatFloat(value, 'g', -1, 64)) // keeps the sign of zero
	}
	in := new(big.Rat).Sub(rat(value), rat(u.Offset))
	in.Quo(in, rat(u.Factor))
	exact := new(big.Float).SetPrec(256).SetRat(in)
	for figures := 1; figures <= 40; figures++ {
		text := decimal(exact, figures)
		back, _ := new(big.Rat).SetString(text)
		back.Mul(back, rat(u.Factor)).Add(back, rat(u.Offset))
		if read, _ := back.Float64(); read == value && math.Signbit(read) == math.Signbit(value) {
			return u.label(text)
		}
	}
	return unitByText["K"].FormatExact(value)
}

// decimal writes x with at least the given number of figures, without an exponent where the number is of handy size.
func decimal(x *big.Float, figures int) string {
	text := x.Text('e', figures-1)
	_, power, _ := strings.Cut(text, "e")
	if exponent, _ := strconv.Atoi(power); -5 < exponent && exponent < 15 {
		return x.Text('f', max(0, figures-1-exponent))
	}
	return text
}

// FormatPair writes an SI value of the kind named by its alias in SI and in the unit the trade uses beside it: "48.9 m/s (95.0 kt)".
func FormatPair(value float64, kind string) string {
	k, ok := LookupKind(kind)
	if !ok || k.SI == "" {
		return round(value)
	}
	text := Format(value, k.SI)
	if k.Customary != "" {
		text += " (" + Format(value, k.Customary) + ")"
	}
	return text
}

// find looks a unit up in the table and then as an expression.
func find(symbol string) (Unit, bool) {
	u, reason := parseUnit(tidy(symbol))
	return u, reason == ""
}

// label puts the symbol behind a number: a raised sign directly, "1/rad" as "/rad", nothing for pure numbers.
func (u Unit) label(number string) string {
	switch {
	case u.Symbol == "1":
		return number
	case u.Symbol == "°" || u.Symbol == "′" || u.Symbol == "″":
		return number + u.Symbol
	}
	return number + " " + strings.TrimPrefix(u.Symbol, "1")
}

// round writes x with three figures, or four where the first is 1.
func round(x float64) string {
	if strconv.FormatFloat(math.Abs(x), 'e', 2, 64)[0] == '1' {
		return figures(x, 4)
	}
	return figures(x, 3)
}

// figures writes x with n significant figures, and with all figures before the decimal point.
func figures(x float64, n int) string {
	size := math.Abs(x)
	switch {
	case math.IsNaN(x) || math.IsInf(x, 0):
		return strconv.FormatFloat(x, 'g', -1, 64)
	case x == 0:
		return "0"
	case size < 1e-4 || size >= 1e7:
		return strconv.FormatFloat(x, 'e', n-1, 64)
	}
	_, power, _ := strings.Cut(strconv.FormatFloat(size, 'e', n-1, 64), "e")
	exponent, _ := strconv.Atoi(power)
	return strconv.FormatFloat(x, 'f', max(0, n-1-exponent), 64)
}
