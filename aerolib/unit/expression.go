package unit

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// ParseUnit reads a unit: one of the table, or several put together, such as "kg/m^3", "lb/(hp h)", "m s⁻²", "ft per min".
//
// Factors follow each other with a blank, ·, * or a hyphen; the exponent is raised, follows ^ or follows the symbol (m2, s-2). What comes after a solidus is
// one factor, or stands in parentheses: "lb/hp h" is refused, since it can be read in two ways.
func ParseUnit(text string) (Unit, error) {
	if len(text) > maxText {
		return Unit{}, &ParseError{Text: text[:maxText] + "…", Reason: "too long"}
	}
	u, reason := parseUnit(tidy(text))
	if reason != "" {
		return Unit{}, &ParseError{Text: text, Reason: reason}
	}
	return u, nil
}

const maxText = 256 // bytes; no quantity is longer

func parseUnit(text string) (u Unit, reason string) {
	if u, ok := Lookup(text); ok {
		return u, ""
	}
	defer func() { // the reader gives up by panicking with a problem
		if p := recover(); p != nil {
			problem, ok := p.(problem)
			if !ok {
				panic(p)
			}
			reason = string(problem)
		}
	}()
	r := reader{rest: text}
	u = product(r.quotient())
	if r.rest != "" {
		fail("%q is not part of a unit", r.rest)
	}
	if !(u.Factor > 0) || math.IsInf(u.Factor, 0) {
		fail("the factor to SI is out of range")
	}
	if known, ok := Lookup(u.Symbol); ok { // the same unit written in another way
		return known, ""
	}
	return u, ""
}

// term is one factor of a unit, with its exponent.
type term struct {
	unit     Unit
	exponent Rational
}

// product multiplies terms. A degree Celsius in a compound is a difference: offsets do not count.
func product(terms []term) Unit {
	u := Unit{Factor: 1}
	angle := Rational{}
	var above, below []string
	for _, t := range terms {
		p := t.exponent
		u.Factor *= math.Pow(t.unit.Factor, float64(p.Num())/float64(p.Den()))
		u.Dimension = u.Dimension.Mul(t.unit.Dimension.Pow(p))
		angle = angle.Add(p.Mul(Frac(t.unit.Angle, 1)))
		if p.Num() > 0 {
			above = append(above, t.unit.Symbol+superscript(p))
		} else {
			below = append(below, t.unit.Symbol+superscript(p.Neg()))
		}
	}
	if angle.Den() != 1 {
		fail("a root of an angle is not a unit")
	}
	u.Angle = angle.Num()
	u.Symbol = quotient(above, below)
	return u
}

type problem string

// reader reads a unit by recursive descent.
type reader struct {
	rest  string
	depth int // of parentheses, all counted
}

func fail(format string, args ...any) { panic(problem(fmt.Sprintf(format, args...))) }

// quotient reads product { "/" factor } or "/" factor { "/" factor }.
func (r *reader) quotient() []term {
	var terms []term
	r.space()
	if !strings.HasPrefix(r.rest, "/") && !strings.HasPrefix(r.rest, "per ") {
		terms = r.product()
	}
	for r.solidus() {
		below := r.factor()
		if r.atFactor() {
			fail("after / one unit may follow; put several in parentheses, as in lb/(hp·h)")
		}
		terms = append(terms, raise(below, Frac(-1, 1))...)
	}
	return terms
}

// product reads factor { separator factor }.
func (r *reader) product() []term {
	terms := r.factor()
	for r.atFactor() {
		terms = append(terms, r.factor()...)
	}
	return terms
}

// factor reads one symbol, or a unit in parentheses, with its exponent. A 1 is no factor at all.
func (r *reader) factor() []term {
	r.space()
	var terms []term
	switch {
	case r.take("("):
		if r.depth++; r.depth > 9 {
			fail("too many parentheses")
		}
		terms = r.quotient()
		if !r.take(")") {
			fail("a closing parenthesis is missing")
		}
	case r.take("1"):
		return nil
	default:
		terms = []term{{r.symbol(), Frac(1, 1)}}
	}
	if p, ok := r.exponent(); ok {
		return raise(terms, p)
	}
	return terms
}

func raise(terms []term, p Rational) []term {
	for i := range terms {
		terms[i].exponent = terms[i].exponent.Mul(p)
	}
	return terms
}

// symbol reads the longest spelling of the table that the text begins with as whole words.
func (r *reader) symbol() Unit {
	for end := len(r.rest); end > 0; end-- {
		if !r.wordEnds(end) {
			continue
		}
		if u, ok := Lookup(r.rest[:end]); ok && !isCompound(u.Symbol) && u.Symbol != "1" {
			r.rest = r.rest[end:]
			return u
		}
	}
	word := r.rest
	if i := strings.IndexFunc(word, func(c rune) bool { return !isSymbol(c) }); i >= 0 {
		word = word[:i]
	}
	switch {
	case r.rest == "":
		fail("a unit is missing at the end")
	case word == "":
		fail("%q is not a unit", r.rest)
	}
	fail("%s", unknown(word))
	return Unit{}
}

// wordEnds reports whether a symbol can end before byte end.
func (r *reader) wordEnds(end int) bool {
	if !utf8.RuneStart(append([]byte(r.rest), 'x')[end]) {
		return false
	}
	last, _ := utf8.DecodeLastRuneInString(r.rest[:end])
	next, _ := utf8.DecodeRuneInString(r.rest[end:])
	return isSymbol(last) && !(isSymbol(next) && end < len(r.rest))
}

// isSymbol reports whether a rune is a letter or sign that symbols are made of.
func isSymbol(c rune) bool {
	return unicode.IsLetter(c) || strings.ContainsRune(`°º′″'"%₀℃℉`, c)
}

// atFactor skips the separator of a product and reports whether another factor follows.
func (r *reader) atFactor() bool {
	if strings.HasPrefix(strings.TrimLeft(r.rest, " "), "per ") {
		return false
	}
	trimmed := strings.TrimLeft(r.rest, " ·⋅*×-")
	if trimmed == "" || trimmed == r.rest && !strings.HasPrefix(r.rest, "(") {
		return false
	}
	c, _ := utf8.DecodeRuneInString(trimmed)
	if !isSymbol(c) && c != '(' {
		return false
	}
	r.rest = trimmed
	return true
}

// solidus takes "/" or the word "per".
func (r *reader) solidus() bool {
	r.space()
	return r.take("/") || r.take("per ")
}

func (r *reader) space() { r.rest = strings.TrimLeft(r.rest, " ") }

func (r *reader) take(text string) bool {
	if !strings.HasPrefix(r.rest, text) {
		return false
	}
	r.rest = r.rest[len(text):]
	return true
}

// exponent reads "^2", "^-2", "^(1/2)", "²", "⁻²", "2" or "-2" behind a symbol.
func (r *reader) exponent() (Rational, bool) {
	if r.take("^(") {
		inside, after, found := strings.Cut(r.rest, ")")
		num, den, _ := strings.Cut(inside, "/")
		if den == "" {
			den = "1"
		}
		if !found {
			fail("a closing parenthesis is missing")
		}
		r.rest = after
		return Frac(r.whole(num), r.whole(den)), true
	}
	marked := r.take("^")
	digits, length := "", 0
	for i, c := range r.rest {
		d, ok := exponentDigit(c)
		if !ok || d == '-' && digits != "" {
			break
		}
		digits, length = digits+string(d), i+utf8.RuneLen(c)
	}
	if digits == "" || digits == "-" { // a lone hyphen separates factors
		if marked {
			fail("an exponent is missing after ^")
		}
		return Rational{}, false
	}
	r.rest = r.rest[length:]
	return Frac(r.whole(digits), 1), true
}

// exponentDigit returns c as a plain digit or minus sign.
func exponentDigit(c rune) (rune, bool) {
	switch {
	case '0' <= c && c <= '9':
		return c, true
	case c == '-' || c == '−' || c == '⁻':
		return '-', true
	}
	for digit, raised := range []rune(superscripts) {
		if c == raised {
			return '0' + rune(digit), true
		}
	}
	return 0, false
}

// whole reads an exponent or its denominator.
func (r *reader) whole(text string) int {
	n, err := strconv.Atoi(text)
	if err != nil || n == 0 || n < -9 || n > 9 {
		fail("%q is not an exponent between -9 and 9", text)
	}
	return n
}
