package unit

import (
	"strconv"
	"strings"
)

// Rational is an exponent of a dimension, in lowest terms. Its zero value is 0, and == compares.
type Rational struct {
	num  int32
	more int32 // denominator less 1, so that the zero value is 0/1
}

// Frac returns num/den. It panics if den is 0.
func Frac(num, den int) Rational {
	if den == 0 {
		panic("unit: exponent with denominator 0")
	}
	if den < 0 {
		num, den = -num, -den
	}
	g := gcd(max(num, -num), den)
	return Rational{int32(num / g), int32(den/g - 1)}
}

func gcd(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// Num returns the numerator, which carries the sign.
func (r Rational) Num() int { return int(r.num) }

// Den returns the denominator, at least 1.
func (r Rational) Den() int { return int(r.more) + 1 }

// Add returns r + s.
func (r Rational) Add(s Rational) Rational {
	return Frac(r.Num()*s.Den()+s.Num()*r.Den(), r.Den()*s.Den())
}

// Mul returns r s.
func (r Rational) Mul(s Rational) Rational { return Frac(r.Num()*s.Num(), r.Den()*s.Den()) }

// Neg returns −r.
func (r Rational) Neg() Rational { return Rational{-r.num, r.more} }

// String returns r as "2", "-1" or "1/2".
func (r Rational) String() string {
	if r.Den() == 1 {
		return strconv.Itoa(r.Num())
	}
	return strconv.Itoa(r.Num()) + "/" + strconv.Itoa(r.Den())
}

// Dimension is a product of powers of mass, length, time and temperature. Its zero value is dimension 1, and == compares.
type Dimension struct {
	Mass, Length, Time, Temperature Rational
}

// dim returns the dimension with whole exponents of mass, length, time and temperature.
func dim(mass, length, time, temperature int) Dimension {
	return Dimension{Frac(mass, 1), Frac(length, 1), Frac(time, 1), Frac(temperature, 1)}
}

// Mul returns the dimension of a product.
func (d Dimension) Mul(e Dimension) Dimension {
	return Dimension{d.Mass.Add(e.Mass), d.Length.Add(e.Length), d.Time.Add(e.Time), d.Temperature.Add(e.Temperature)}
}

// Div returns the dimension of a quotient.
func (d Dimension) Div(e Dimension) Dimension { return d.Mul(e.Pow(Frac(-1, 1))) }

// Pow returns the dimension of a power.
func (d Dimension) Pow(p Rational) Dimension {
	return Dimension{d.Mass.Mul(p), d.Length.Mul(p), d.Time.Mul(p), d.Temperature.Mul(p)}
}

// String returns the SI base units of d, such as "m/s", "kg/(m·s²)" or "1" for dimension 1. [ParseUnit] reads it.
func (d Dimension) String() string {
	var above, below []string
	for _, base := range []struct {
		symbol   string
		exponent Rational
	}{{"kg", d.Mass}, {"m", d.Length}, {"s", d.Time}, {"K", d.Temperature}} {
		switch n := base.exponent.Num(); {
		case n > 0:
			above = append(above, base.symbol+superscript(base.exponent))
		case n < 0:
			below = append(below, base.symbol+superscript(base.exponent.Neg()))
		}
	}
	return quotient(above, below)
}

// quotient writes factors above and below a solidus, with parentheses where two or more are below.
func quotient(above, below []string) string {
	text := strings.Join(above, "·")
	if text == "" {
		text = "1"
	}
	switch len(below) {
	case 0:
		return text
	case 1:
		return text + "/" + below[0]
	}
	return text + "/(" + strings.Join(below, "·") + ")"
}

const superscripts = "⁰¹²³⁴⁵⁶⁷⁸⁹"

// superscript writes a positive exponent: nothing for 1, raised digits for a whole number, "^(1/2)" for a fraction.
func superscript(r Rational) string {
	if r.Den() != 1 {
		return "^(" + r.String() + ")"
	}
	if r.Num() == 1 {
		return ""
	}
	raised := []rune(superscripts)
	var b strings.Builder
	for _, digit := range strconv.Itoa(r.Num()) {
		b.WriteRune(raised[digit-'0'])
	}
	return b.String()
}
