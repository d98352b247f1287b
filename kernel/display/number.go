package display

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// digits is how many significant digits a table shows of a float; whole numbers are shown in full.
const digits = 6

// Number writes a float for reading: six significant digits, no trailing zeros, and an exponent only for the very large and very small.
//
//	Number(101325)     "101325"
//	Number(0.30000001) "0.3"
//	Number(1.4e-5)     "1.4e-05"
func Number(x float64) string {
	size := math.Abs(x)
	switch {
	case math.IsNaN(x) || math.IsInf(x, 0):
		return strconv.FormatFloat(x, 'g', -1, 64)
	case x == 0:
		return "0"
	case size < 1e-4 || size >= 1e12:
		return strconv.FormatFloat(x, 'g', digits, 64)
	}
	decimals := max(0, digits-1-int(math.Floor(math.Log10(size))))
	s := strconv.FormatFloat(x, 'f', decimals, 64)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}

// cellText writes one value of a table.
func cellText(v any) string {
	switch x := v.(type) {
	case nil:
		return ""
	case string:
		return x
	case float64:
		return Number(x)
	case float32:
		return strconv.FormatFloat(float64(x), 'g', -1, 32)
	}
	return fmt.Sprint(v)
}

// numeric reports whether s reads as a number, in the writing of Go or of print.
func numeric(s string) bool {
	_, err := strconv.ParseFloat(strings.ReplaceAll(s, "−", "-"), 64)
	return err == nil || strings.HasSuffix(s, "∞")
}

// finite reports whether s is a number with digits.
func finite(s string) bool { return numeric(s) && strings.ContainsAny(s, "0123456789") }

// split cuts a number in front of its decimal point or, without one, of its exponent.
func split(s string) (whole, rest string) {
	if i := strings.IndexAny(s, ".eE×"); i >= 0 && numeric(s) {
		return s[:i], s[i:]
	}
	return s, ""
}

// typeset writes a number as print does: a true minus, infinity as a sign, powers of ten spelled out.
func typeset(s string) string {
	switch s {
	case "+Inf", "Inf":
		return "∞"
	case "-Inf":
		return "−∞"
	}
	mantissa, exponent, ok := strings.Cut(s, "e")
	if !ok {
		return strings.ReplaceAll(s, "-", "−")
	}
	power, err := strconv.Atoi(exponent)
	if err != nil {
		return s
	}
	return strings.ReplaceAll(mantissa, "-", "−") + "×10" + superscript.Replace(strconv.Itoa(power))
}

var superscript = strings.NewReplacer("-", "⁻", "0", "⁰", "1", "¹", "2", "²", "3", "³", "4", "⁴", "5", "⁵", "6", "⁶", "7", "⁷", "8", "⁸", "9", "⁹")
