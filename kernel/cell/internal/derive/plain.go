package derive

import "strings"

// plain is the style of plain text.
type plain struct{}

func (plain) symbol(s Symbol) string { return strings.TrimPrefix(s.Plain, `\`) }

func (plain) number(text string) string {
	if m := power10.FindStringSubmatch(text); m != nil {
		return mantissa(m[1], "10"+superscript(strings.TrimPrefix(m[2], "+")+m[3]), "·")
	}
	return text
}

var superscripts = strings.NewReplacer("0", "⁰", "1", "¹", "2", "²", "3", "³", "4", "⁴", "5", "⁵", "6", "⁶", "7", "⁷", "8", "⁸", "9", "⁹", "-", "⁻", "−", "⁻")

func superscript(digits string) string { return superscripts.Replace(digits) }

func (plain) unit(text string) string { return text }

func (p plain) quantity(text string) (string, int) {
	number, unit := SplitUnit(text)
	strength := signed
	switch {
	case strings.HasPrefix(number, "−") || strings.HasPrefix(number, "-"):
		strength = added
	case unit == "":
		strength = whole
	}
	number = p.number(strings.Replace(number, "-", "−", 1))
	switch {
	case unit == "":
		return number, strength
	case strings.HasPrefix(unit, "°") && !strings.HasPrefix(unit, "°C"):
		return number + unit, strength
	}
	return number + " " + unit, strength
}

func (plain) times(left, right string, figures bool) string {
	if figures {
		return " · " + right
	}
	return " " + right
}

func (p plain) fraction(a, b piece) (string, int) {
	w := writer{style: p}
	return w.at(a, multiplied) + "/" + w.at(b, raised), multiplied
}

func (plain) power(base, exponent string) string {
	if strings.Trim(exponent, "0123456789−-") == "" {
		return base + superscript(exponent)
	}
	if strings.Trim(exponent, "0123456789.") == "" {
		return base + "^" + exponent
	}
	return base + "^(" + exponent + ")"
}

func (plain) root(degree, x string) string {
	if degree == "3" {
		return "∛(" + x + ")"
	}
	return "√(" + x + ")"
}

func (plain) bars(x string) string              { return "|" + x + "|" }
func (plain) exponential(x piece) (string, int) { return "exp(" + x.text + ")", whole }
func (plain) function(name, args string) string { return name + "(" + args + ")" }
func (plain) parentheses(x string) string       { return "(" + x + ")" }
func (plain) words(word string) string          { return " " + word + " " }
func (plain) not(x string) string               { return "not " + x }

func (plain) relation(sign string) string {
	return map[string]string{"<": " < ", "<=": " ≤ ", ">": " > ", ">=": " ≥ ", "==": " = ", "!=": " ≠ "}[sign]
}

func (plain) cases(rows [][2]string) string {
	var parts []string
	for _, r := range rows {
		if r[1] == "" {
			parts = append(parts, r[0]+" otherwise")
			continue
		}
		parts = append(parts, r[0]+" if "+r[1])
	}
	return "{ " + strings.Join(parts, "; ") + " }"
}

func (plain) sum(index, from, to, term string) string {
	return "Σ(" + index + "=" + from + "…" + to + ") " + term
}

func (plain) matrix(rows [][]string) string {
	var lines []string
	for _, r := range rows {
		lines = append(lines, strings.Join(r, " "))
	}
	return "[" + strings.Join(lines, "; ") + "]"
}

func (plain) code(line string) string { return line }

func (plain) aside(text string) string { return " (" + text + ")" }
