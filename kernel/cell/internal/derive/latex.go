package derive

import (
	"regexp"
	"strings"
)

// latex is the style of LaTeX, in what front ends and KaTeX know of it.
type latex struct{}

func (latex) symbol(s Symbol) string { return s.LaTeX }

var power10 = regexp.MustCompile(`^(.*?)[eE]([+-]?)0*(\d+)$`)

func (latex) number(text string) string {
	if m := power10.FindStringSubmatch(text); m != nil {
		return mantissa(m[1], `10^{`+strings.TrimPrefix(m[2], "+")+m[3]+`}`, ` \cdot `)
	}
	return strings.ReplaceAll(text, "_", `\,`)
}

// mantissa leaves out a factor 1 in front of a power of ten.
func mantissa(m, power, times string) string {
	if m == "1" || m == "1." || m == "1.0" {
		return power
	}
	return m + times + power
}

var exponents = strings.NewReplacer("²", "^{2}", "³", "^{3}", "⁴", "^{4}", "⁻¹", "^{-1}", "⁻²", "^{-2}", "½", "^{1/2}", "·", `\cdot `, "°", `{}^\circ`, "µ", `\mu `, "μ", `\mu `,
	"%", `\%`, "Ω", `\Omega `, "⁵", "^{5}", "⁶", "^{6}", "⁻³", "^{-3}")

func (latex) unit(text string) string { return `\mathrm{` + exponents.Replace(text) + `}` }

// quantity writes a number with its unit.
func (l latex) quantity(text string) (string, int) {
	out, strength := l.valued(text)
	if strings.HasPrefix(text, "−") || strings.HasPrefix(text, "-") {
		strength = added
	}
	return out, strength
}

func (l latex) valued(text string) (string, int) {
	number, unit := SplitUnit(text)
	figures := l.number(strings.Replace(number, "-", "−", 1))
	switch {
	case unit == "":
		if strings.Contains(figures, `\cdot`) {
			return figures, multiplied
		}
		return figures, whole
	case strings.HasPrefix(unit, "°") && !strings.HasPrefix(unit, "°C"):
		return figures + exponents.Replace(unit), signed
	}
	return figures + `\,` + l.unit(unit), signed
}

// Quantity returns a number with its unit, such as "48.9 m/s", as LaTeX.
func Quantity(text string) string {
	out, _ := latex{}.valued(text)
	return signs.Replace(out)
}

// SplitUnit splits what a number was worded as.
func SplitUnit(text string) (number, unit string) {
	if i := strings.IndexByte(text, ' '); i > 0 {
		return text[:i], text[i+1:]
	}
	if i := strings.IndexRune(text, '°'); i > 0 {
		return text[:i], text[i:]
	}
	return text, ""
}

func (latex) times(left, right string, figures bool) string {
	if figures {
		return ` \cdot ` + right
	}
	return `\,` + right
}

func (latex) fraction(a, b piece) (string, int) {
	return `\frac{` + a.text + `}{` + b.text + `}`, signed
}
func (latex) power(base, exponent string) string { return base + "^{" + exponent + "}" }
func (latex) bars(x string) string               { return `\left|` + x + `\right|` }
func (latex) exponential(x piece) (string, int)  { return "e^{" + x.text + "}", raised }
func (latex) parentheses(x string) string        { return `\left(` + x + `\right)` }
func (latex) words(word string) string           { return ` \ \text{` + word + `}\ ` }
func (latex) not(x string) string                { return `\neg ` + x }

func (latex) root(degree, x string) string {
	if degree != "" {
		return `\sqrt[` + degree + `]{` + x + `}`
	}
	return `\sqrt{` + x + `}`
}

func (l latex) function(name, args string) string { return name + l.parentheses(args) }

func (latex) relation(sign string) string {
	return map[string]string{"<": " < ", "<=": ` \le `, ">": " > ", ">=": ` \ge `, "==": " = ", "!=": ` \ne `}[sign]
}

func (latex) cases(rows [][2]string) string {
	var lines []string
	for _, r := range rows {
		condition := `\text{otherwise}`
		if r[1] != "" {
			condition = `\text{if } ` + r[1]
		}
		lines = append(lines, r[0]+" & "+condition)
	}
	return `\begin{cases} ` + strings.Join(lines, ` \\ `) + ` \end{cases}`
}

func (latex) sum(index, from, to, term string) string {
	return `\sum_{` + index + "=" + from + `}^{` + to + `} ` + term
}

func (latex) matrix(rows [][]string) string {
	var lines []string
	for _, r := range rows {
		lines = append(lines, strings.Join(r, " & "))
	}
	return `\begin{bmatrix} ` + strings.Join(lines, ` \\ `) + ` \end{bmatrix}`
}

var escapes = strings.NewReplacer(`\`, `\textbackslash{}`, "{", `\{`, "}", `\}`, "$", `\$`, "&", `\&`, "#", `\#`, "%", `\%`, "_", `\_`, "^", `\textasciicircum{}`, "~",
	`\textasciitilde{}`, "\t", "    ")

// code writes a line of code.
func (latex) code(line string) string {
	return `\texttt{` + strings.ReplaceAll(escapes.Replace(line), "  ", `~~`) + `}`
}

func (latex) aside(text string) string { return `\quad (` + text + `)` }
