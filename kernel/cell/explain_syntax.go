package cell

import (
	"cmp"
	"regexp"
	"slices"
	"strings"
)

// explain words what the parser has found, and leaves out what only follows from it: further complaints about the same line, and about the end of the cell.
func (s *source) explain(found problems) problems {
	slices.SortStableFunc(found, func(a, b problem) int {
		return cmp.Or(cmp.Compare(a.place.Line, b.place.Line), cmp.Compare(a.place.Column, b.place.Column))
	})
	var out problems
	for _, p := range found {
		follows := len(out) > 0 && (p.place.Line == out[len(out)-1].place.Line || strings.HasSuffix(p.message, "found the end of the cell"))
		echo := strings.HasSuffix(p.message, "found 'ILLEGAL'") || p.message == "expected ';', found the end of the cell"
		if follows || echo && len(found) > 1 {
			continue
		}
		if say := s.syntax(p); say != "" {
			p.message, p.goSays = say, p.message
		}
		out = append(out, p)
	}
	return out
}

// syntax words one complaint of the parser, or returns nothing.
func (s *source) syntax(p problem) string {
	line := []rune(lineOf(s.text, p.place.Line))
	at := min(p.place.Column-1, len(line))
	before, after := string(line[:at]), string(line[at:])
	for _, w := range syntaxWordings {
		if m := w.message.FindStringSubmatch(p.message); m != nil && w.before.MatchString(before) && w.after.MatchString(after) {
			return w.message.ReplaceAllString(p.message, w.text)
		}
	}
	return ""
}

// syntaxWording replaces a message where the text around its place fits.
type syntaxWording struct {
	message, before, after *regexp.Regexp
	text                   string // with $1 for parts of the message
}

func around(before, message, after, text string) syntaxWording {
	return syntaxWording{regexp.MustCompile("^" + message + "$"), regexp.MustCompile(before + "$"), regexp.MustCompile("^" + after), text}
}

const (
	anything  = ``
	nextThing = `expected ';', found (.+)`
)

// syntaxWordings are tried in order.
var syntaxWordings = []syntaxWording{
	around(anything, `illegal character U\+2212.*`, anything, `this minus sign is typographic: write -`),
	around(anything, `illegal character U\+00(D7|B7).*`, anything, `a product is written with *`),
	around(anything, `illegal character U\+00F7.*`, anything, `a quotient is written with /`),
	around(anything, `illegal character U\+00B0.*`, anything, `degrees are written *Degree, as in 5*Degree`),
	around(anything, `illegal character U\+00(B2|B3).*`, anything, `a power is written out, as in x*x, or with math.Pow(x, 2)`),
	around(anything, `illegal character U\+003F '\?'`, anything, `Go has no ?: write if x > 0 { … } else { … }`),
	around(anything, `curly quotation mark.*`, anything, `these quotation marks are typographic: a text stands between ""`),
	around(anything, `illegal rune literal`, anything, `a text stands between "", and ' ' is for a single letter`),
	around(anything, `more than one character in rune literal`, anything, `a text stands between "", and ' ' is for a single letter`),
	around(anything, `string literal not terminated`, anything, `the text is not closed: its last " is missing`),
	around(anything, `invalid digit '(\d)' in octal literal`, anything, `a number that begins with 0 is read as octal: leave the 0 away`),
	around(anything, `exponent has no digits`, anything, `the power of ten is missing, as in 1e3`),

	around(`^\s*while `, nextThing, anything, `Go has no while: write for, as in for x < 5 { … }`),
	around(`^\s*(def|function|fn) `, nextThing, anything, `a function begins with func: func f(x float64) float64 { return … }`),
	around(`^\s*(let|const|var) [\pL\pN_]+`, `expected ';', found ':'`, anything, `the type stands behind the name without a colon: var x float64 = 3`),
	around(`^\s*let `, nextThing, anything, `a name is set with :=, as in x := 3`),
	around(`^\s*(print|println) `, nextThing, anything, `what is printed stands in brackets: fmt.Println(…)`),
	around(`^\s*for \pL+ `, `expected '\{', found in`, anything, `a loop over a list is written for i, x := range list { … }, and one that counts for i := range 3 { … }`),
	around(`\d `, nextThing, `\d`, `digits are not parted by a blank; write 1_000 or 1000`),
	around(`\d,\d+.*`, `expected 1 expression`, anything, decimalCommaText),
	around(anything, `expected 1 expression`, `\s*\d+,\d`, decimalCommaText),
	around(anything, `expected 1 expression`, anything, `a cell shows one value; for several write show(a, b)`),
	around(`\d\.\d+`, nextThing, `\.\d`, `a number has one decimal point`),
	around(`[\pL\pN_)\]]\s*`, `expected ';', found ('\+\+'|'--')`, anything, `++ and -- are statements of their own and give no value: write x++ on a line for itself`),
	around(`[\pN)]\s*`, nextThing, `[\pL_(]`, `between this and what stands before an operator is missing: a product is written with *`),
	around(`[\pL_]\s+`, nextThing, `[\pL\pN_"(]`, `between this and what stands before an operator, a comma or a new line is missing`),
	around(anything, `expected '\{', found newline`, anything, `the { stands at the end of this line`),
	around(anything, `unexpected newline, expected \{ .*`, anything, `the { stands at the end of this line`),
	around(anything, `expected statement, found 'else'`, anything, `else stands on the line of the bracket before it: } else {`),
	around(anything, `expected boolean expression, found assignment.*`, anything, `= sets a value; to compare write ==`),
	around(anything, `cannot use assignment .* as value.*`, anything, `= sets a value; to compare write ==`),
	around(anything, `missing ',' before newline in (.+)`, anything, `the list goes on, but this line does not end in a comma; or a closing bracket is missing here`),
	around(anything, `missing ',' in (.+)`, anything, `a comma is missing here`),
	around(anything, `expected operand, found the end of the cell`, anything, `the cell ends where a value is expected`),
	around(anything, `expected '([)}\]])', found the end of the cell`, anything, `a bracket is open at the end of the cell: $1 is missing`),
	around(anything, `expected operand, found '(.+)'`, anything, `a value is expected in front of $1`),
}
