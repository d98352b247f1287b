package dimension

import (
	"math"
	"strconv"
	"strings"
)

// Rational is an exponent in lowest terms. Its zero value is 0, and == compares.
type Rational struct {
	num  int32
	more int32 // denominator less 1
}

// Frac returns num/den; den must not be 0.
func Frac(num, den int) Rational {
	if den < 0 {
		num, den = -num, -den
	}
	a, b := max(num, -num), den
	for b != 0 {
		a, b = b, a%b
	}
	return Rational{int32(num / a), int32(den/a - 1)}
}

func (r Rational) den() int { return int(r.more) + 1 }
func (r Rational) plus(s Rational) Rational {
	return Frac(int(r.num)*s.den()+int(s.num)*r.den(), r.den()*s.den())
}
func (r Rational) times(s Rational) Rational {
	return Frac(int(r.num)*int(s.num), r.den()*s.den())
}
func (r Rational) inverse() Rational { return Frac(r.den(), int(r.num)) }

// String returns r as "2", "-1" or "1/2".
func (r Rational) String() string {
	if r.more == 0 {
		return strconv.Itoa(int(r.num))
	}
	return strconv.Itoa(int(r.num)) + "/" + strconv.Itoa(r.den())
}

// maxDenominator bounds the denominators that a decimal exponent is read with: regressions have exponents such as 2.58.
const maxDenominator = 1000

// rationalOf returns the fraction that x stands for, if there is a simple one.
func rationalOf(x float64) (Rational, bool) {
	for den := 1; den <= maxDenominator && math.Abs(x) < 1000; den++ {
		if n := math.Round(x * float64(den)); math.Abs(x*float64(den)-n) < 1e-9 {
			return Frac(int(n), den), true
		}
	}
	return Rational{}, false
}

// Dimension holds the exponents of mass, length, time and temperature. Its zero value is dimension 1, and == compares.
type Dimension [4]Rational

var one = Frac(1, 1)

// times returns d eⁿ.
func (d Dimension) times(e Dimension, n Rational) Dimension {
	for i := range d {
		d[i] = d[i].plus(e[i].times(n))
	}
	return d
}

// String returns the SI base units of d, such as "m/s", "kg/(m·s²)", or "1" for dimension 1.
func (d Dimension) String() string {
	var above, below []string
	for i, symbol := range []string{"kg", "m", "s", "K"} {
		switch n := d[i].num; {
		case n > 0:
			above = append(above, symbol+raised(d[i]))
		case n < 0:
			below = append(below, symbol+raised(d[i].times(Frac(-1, 1))))
		}
	}
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

// raised writes a positive exponent: nothing for 1, raised digits for a whole number, "^(1/2)" for a fraction.
func raised(r Rational) string {
	if r.more != 0 {
		return "^(" + r.String() + ")"
	}
	if r.num == 1 {
		return ""
	}
	digits := []rune("⁰¹²³⁴⁵⁶⁷⁸⁹")
	var b strings.Builder
	for _, c := range r.String() {
		b.WriteRune(digits[c-'0'])
	}
	return b.String()
}
