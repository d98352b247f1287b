package unit

import (
	"math/big"
	"regexp"
	"strings"
	"sync"
)

// The ways to write the digits of a number. Blanks of any width may part groups of three.
var (
	digitsPattern    = pattern(`^(?:\d{1,3}(?: \d{3})+(?:[.,]\d*)?|[.,]?\d[\d.,]*)`)
	exponentPattern  = pattern(`^(?:[eE]([-+−]?\d{1,4})| ?[×x·⋅*] ?10(?:\^([-+−]?\d{1,4})|([⁺⁻]?[⁰¹²³⁴⁵⁶⁷⁸⁹]{1,4})))`)
	pointPattern     = pattern(`^\d*\.?\d*$`)
	blanksPattern    = pattern(`^\d+( \d+)+[.,]?\d*$`)
	commaGroups      = pattern(`^[1-9]\d{0,2}(?:(?:,\d{3})+\.\d*|(?:,\d{3}){2,})$`)
	pointGroups      = pattern(`^[1-9]\d{0,2}(?:(?:\.\d{3})+,\d*|(?:\.\d{3}){2,})$`)
	ambiguousPattern = pattern(`^[1-9]\d{0,2},\d{3}$`)
	commaPattern     = pattern(`^\d*,\d*$`)
)

// pattern is a regular expression compiled when it is first used: every program that imports units would pay for it when it starts.
func pattern(expression string) func() *regexp.Regexp {
	return sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(expression) })
}

// number is a decimal as written.
type number struct {
	value    *big.Rat // magnitude
	negative bool     // also of −0
}

// readNumber reads the number that text begins with and returns what follows it.
func readNumber(text string) (n number, rest string, reason string) {
	rest = text
	for _, sign := range []string{"-", "−", "+"} {
		if after, found := strings.CutPrefix(rest, sign); found {
			n.negative = sign != "+"
			rest = strings.TrimLeft(after, " ")
			break
		}
	}
	digits := digitsPattern().FindString(rest)
	if digits == "" {
		return n, rest, noNumber(rest)
	}
	rest = rest[len(digits):]
	plain, reason := plainDigits(digits)
	if reason != "" {
		return n, rest, reason
	}
	if m := exponentPattern().FindStringSubmatch(rest); m != nil {
		rest = rest[len(m[0]):]
		plain += "e" + lower(m[1]+m[2]+m[3])
	}
	if strings.HasPrefix(rest, "/") && len(rest) > 1 && '0' <= rest[1] && rest[1] <= '9' {
		return n, rest, "fractions are not read: write a decimal"
	}
	value, ok := new(big.Rat).SetString(plain)
	if !ok {
		return n, rest, "the number is not complete"
	}
	n.value = value
	return n, rest, ""
}

func noNumber(text string) string {
	switch word := strings.ToLower(text); {
	case word == "":
		return "there is no number"
	case strings.HasPrefix(word, "nan"), strings.HasPrefix(word, "inf"), strings.HasPrefix(word, "∞"):
		return "only finite numbers are read"
	case strings.IndexAny(word, "½¼¾") == 0:
		return "fractions are not read: write a decimal"
	}
	return "it does not begin with a number"
}

// plainDigits turns digits with groups and either decimal mark into Go's form. A single point is always a decimal point; a single comma is read as the
// decimal mark only where it cannot part thousands.
func plainDigits(digits string) (plain, reason string) {
	switch {
	case pointPattern().MatchString(digits):
		return digits, ""
	case ambiguousPattern().MatchString(digits):
		joined := strings.Replace(digits, ",", "", 1)
		pointed := strings.Replace(digits, ",", ".", 1)
		return "", digits + " can be read as " + joined + " or as " + pointed + ": write one of these"
	case commaGroups().MatchString(digits):
		return strings.ReplaceAll(digits, ",", ""), ""
	case pointGroups().MatchString(digits):
		return strings.ReplaceAll(strings.ReplaceAll(digits, ".", ""), ",", "."), ""
	case blanksPattern().MatchString(digits):
		return strings.ReplaceAll(strings.ReplaceAll(digits, " ", ""), ",", "."), ""
	case commaPattern().MatchString(digits):
		return strings.Replace(digits, ",", ".", 1), ""
	}
	return "", digits + " is not a number: digits are grouped in threes, with one decimal mark"
}

// lower writes an exponent with plain digits and signs.
func lower(exponent string) string {
	var b strings.Builder
	for _, c := range exponent {
		switch d, ok := exponentDigit(c); {
		case ok:
			b.WriteRune(d)
		case c == '+' || c == '⁺':
		}
	}
	return b.String()
}
