package figure

import (
	"math"
	"strconv"
	"strings"
)

const (
	minus        = "−" // U+2212
	thinSpace    = "\u2009"
	noBreakSpace = "\u00a0"
)

// fixed formats v with the given decimals, a true minus sign, and thin spaces between thousands from five digits on. Minus zero is zero.
func fixed(v float64, decimals int) string {
	s := strconv.FormatFloat(math.Abs(v), 'f', max(decimals, 0), 64)
	whole, frac, found := strings.Cut(s, ".")
	if len(whole) > 4 {
		whole = group(whole)
	}
	if found {
		whole += "." + frac
	}
	if v < 0 && strings.Trim(s, "0.") != "" {
		return minus + whole
	}
	return whole
}

// unbroken keeps text on one line.
func unbroken(s string) string { return strings.ReplaceAll(s, " ", noBreakSpace) }

func group(digits string) string {
	head := len(digits) % 3
	parts := []string{}
	if head > 0 {
		parts = append(parts, digits[:head])
	}
	for ; head < len(digits); head += 3 {
		parts = append(parts, digits[head:head+3])
	}
	return strings.Join(parts, thinSpace)
}

// significant formats v with up to n significant digits in plain text; very large and small values get a power of ten.
func significant(v float64, n int) string {
	s := strconv.FormatFloat(v, 'g', n, 64)
	if mantissa, exponent, ok := strings.Cut(s, "e"); ok {
		e, _ := strconv.Atoi(exponent) // strconv wrote it
		if e > 0 && e < 7 {
			return significantTrue(strconv.FormatFloat(v, 'f', 0, 64))
		}
		return significantTrue(mantissa) + "×10" + raise(strings.Replace(strconv.Itoa(e), "-", minus, 1))
	}
	return significantTrue(s)
}

func significantTrue(s string) string {
	if s == "-0" {
		return "0"
	}
	return strings.Replace(s, "-", minus, 1)
}
