// Package formula typesets the equations of doc comments, which stand there as indented lines of plain text: what can be written as LaTeX without guessing.
//
//	LaTeX("T = T₀ + λ (h − H₀)") // "T = T_{0} + \lambda (h - H_{0})"
//
// A slash stays a slash, and blanks between factors stay products: nothing is made a fraction whose extent the text does not show.
package formula

import (
	"regexp"
	"slices"
	"strings"
	"unicode"
)

// LaTeX returns a block of equations, one a line, as the inside of a displayed formula. It reports false if a line is not surely an equation, such as code or
// a table.
func LaTeX(block string) (string, bool) {
	var lines []string
	for line := range strings.Lines(block) {
		if strings.TrimSpace(line) == "" {
			continue
		}
		text, ok := equation(strings.TrimSpace(line))
		if !ok {
			return "", false
		}
		lines = append(lines, text)
	}
	switch len(lines) {
	case 0:
		return "", false
	case 1:
		return strings.Replace(lines[0], "&", "", 1), true
	}
	return "\\begin{aligned}\n" + strings.Join(lines, " \\\\\n") + "\n\\end{aligned}", true
}

var (
	relation  = regexp.MustCompile(`[=<>≤≥≈∝≠]`)
	code      = regexp.MustCompile("[\"`{}$#&@\\\\]|//|:=|==|\\w\\.\\w*[A-Za-z]\\(|_c/4")
	condition = regexp.MustCompile(` {2,}`)
)

// equation returns one line, with & in front of the sign at which lines are aligned.
func equation(line string) (string, bool) {
	parts := condition.Split(line, -1)
	if !relation.MatchString(line) || code.MatchString(line) || len(parts) > 4 {
		return "", false
	}
	var out []string
	for i, part := range parts {
		w := writer{rest: []rune(part)}
		if !w.all() || w.words > 4 {
			return "", false
		}
		text := strings.TrimSpace(w.out.String())
		if i == 0 {
			text = aligned(text)
		}
		out = append(out, text)
	}
	return strings.Join(out, ` \qquad `), true
}

// aligned puts & in front of the first sign of relation.
func aligned(text string) string {
	first := -1
	for _, sign := range []string{"=", "<", ">", `\le `, `\ge `, `\approx `, `\propto `, `\ne `} {
		if i := strings.Index(text, sign); i >= 0 && (first < 0 || i < first) {
			first = i
		}
	}
	if first < 0 {
		return "& " + text
	}
	return text[:first] + "&" + text[first:]
}

// writer translates a line.
type writer struct {
	rest  []rune
	out   strings.Builder
	words int // of a language
}

func (w *writer) all() bool {
	for len(w.rest) > 0 {
		if !w.next() {
			return false
		}
	}
	return true
}

// next translates one symbol, name or bracketed group.
func (w *writer) next() bool {
	r := w.rest[0]
	switch {
	case r == ' ':
		w.take(1)
		w.out.WriteByte(' ')
		return true
	case r == '√':
		w.take(1)
		return w.group(`\sqrt`)
	case r == '^':
		w.take(1)
		return w.group("^")
	case unicode.IsDigit(r) && r < unicode.MaxASCII:
		w.number()
		return true
	case isLetter(r):
		return w.name()
	case r == '_':
		return w.subscript()
	case raised[r] != "":
		w.out.WriteString("^{" + w.mapped(raised) + "}")
		return true
	case lowered[r] != "":
		return w.lower(w.mapped(lowered))
	}
	text, ok := symbols[r]
	if !ok && strings.ContainsRune("()[]+=<>/,.:;!|", r) {
		text, ok = string(r), true
	}
	w.take(1)
	w.out.WriteString(text)
	return ok
}

func (w *writer) take(n int) { w.rest = w.rest[n:] }

func (w *writer) takeWhile(wanted func(rune) bool) []rune {
	n := slices.IndexFunc(w.rest, func(r rune) bool { return !wanted(r) })
	if n < 0 {
		n = len(w.rest)
	}
	text := w.rest[:n]
	w.take(n)
	return text
}

func (w *writer) mapped(table map[rune]string) string {
	var b strings.Builder
	for _, r := range w.takeWhile(func(r rune) bool { return table[r] != "" }) {
		b.WriteString(table[r])
	}
	return b.String()
}

// number writes digits, which may be in groups of three.
func (w *writer) number() {
	digit := func(r rune) bool { return r >= '0' && r <= '9' || r == '.' }
	w.out.WriteString(string(w.takeWhile(digit)))
	for len(w.rest) > 3 && w.rest[0] == ' ' && digit(w.rest[1]) && digit(w.rest[2]) && digit(w.rest[3]) && (len(w.rest) == 4 || !digit(w.rest[4])) {
		w.out.WriteString(`\,` + string(w.rest[1:4]))
		w.take(4)
	}
}

// subscript writes what stands behind an underscore: letters and digits.
func (w *writer) subscript() bool {
	w.take(1)
	name := w.takeWhile(func(r rune) bool { return isLetter(r) || r >= '0' && r <= '9' })
	switch {
	case len(name) == 0:
		return false
	case len(name) == 1:
		return w.lower(letter(name[0]))
	}
	for _, r := range name {
		if r > unicode.MaxASCII {
			return false
		}
	}
	return w.lower(`\mathrm{` + string(name) + "}")
}

// lower writes a subscript, unless there is one already.
func (w *writer) lower(text string) bool {
	before := w.out.String()
	if i := strings.LastIndex(before, "_{"); i >= 0 && balanced(before[i+1:]) {
		return false
	}
	w.out.WriteString("_{" + text + "}")
	return true
}

// balanced reports whether text is one pair of braces and what is in it.
func balanced(text string) bool {
	depth := 0
	for i, r := range text {
		switch r {
		case '{':
			depth++
		case '}':
			if depth--; depth == 0 {
				return i == len(text)-1
			}
		}
	}
	return false
}

// group writes what a root or an exponent reaches: what stands in brackets, or else the next number or name with its sign.
func (w *writer) group(command string) bool {
	if len(w.rest) == 0 {
		return false
	}
	inner := writer{}
	if w.rest[0] == '(' {
		end := closing(w.rest)
		if end < 0 {
			return false
		}
		inner.rest = w.rest[1:end]
		w.take(end + 1)
		if !inner.all() {
			return false
		}
	} else {
		inner.rest = w.rest
		if !inner.operand() {
			return false
		}
		w.rest = inner.rest
	}
	w.words += inner.words
	w.out.WriteString(command + "{" + strings.TrimSpace(inner.out.String()) + "}")
	return true
}

// operand writes a number or name with its sign, and what is raised or lowered behind it.
func (w *writer) operand() bool {
	if w.rest[0] == '-' || w.rest[0] == '−' {
		w.out.WriteByte('-')
		w.take(1)
	}
	if len(w.rest) == 0 || !isLetter(w.rest[0]) && !unicode.IsDigit(w.rest[0]) || !w.next() {
		return false
	}
	for len(w.rest) > 0 && lowered[w.rest[0]] != "" {
		w.next()
	}
	return true
}

// closing returns the index of the bracket that closes the first one.
func closing(text []rune) int {
	depth := 0
	for i, r := range text {
		switch r {
		case '(':
			depth++
		case ')':
			if depth--; depth == 0 {
				return i
			}
		}
	}
	return -1
}

func isLetter(r rune) bool {
	return unicode.IsLetter(r) && raised[r] == "" && lowered[r] == "" && symbols[r] == ""
}

// functions are names that LaTeX knows.
var functions = strings.Fields("sin cos tan cot sinh cosh tanh arcsin arccos arctan exp ln log min max")

// short are the words of two letters that stand between equations.
var short = strings.Fields("if or at in of to by")

// coefficient is a coefficient as the trade writes it in one word, or its differential: CL, Cm, CLα, dCL, cl.
var coefficient = regexp.MustCompile(`^([dΔ]?)(C|c)([A-Zlmndh])([A-Za-zα-ω]?)$`)

// name writes a name: a letter, a function, a coefficient, a differential, or a word.
func (w *writer) name() bool {
	name := string(w.takeWhile(isLetter))
	letters := []rune(name)
	var text string
	m := coefficient.FindStringSubmatch(name)
	switch {
	case len(letters) == 1:
		text = letter(letters[0])
	case slices.Contains(functions, name):
		text = `\` + name
	case m != nil:
		text = product([]rune(m[1])) + m[2] + "_{" + m[3]
		if m[4] != "" {
			text += " " + letter([]rune(m[4])[0])
		}
		text += "}"
	case len(letters) == 2 && (letters[0] == 'd' || name == strings.ToLower(name)) && !slices.Contains(short, name) || len(letters) < 4 && slices.ContainsFunc(letters, func(r rune) bool { return greek[r] != "" }):
		text = product(letters)
	case strings.IndexFunc(name, func(r rune) bool { return r > unicode.MaxASCII }) >= 0:
		return false
	case (len(letters) > 2 || slices.Contains(short, name)) && name == strings.ToLower(name):
		w.words++
		text = `\text{` + w.phrase(name) + "}"
	default:
		text = `\mathrm{` + name + "}"
	}
	w.out.WriteString(text)
	return w.accent()
}

// phrase goes on with the words that follow a word.
func (w *writer) phrase(first string) string {
	words := []string{first}
	for len(w.rest) > 2 && w.rest[0] == ' ' {
		n := 1
		for n < len(w.rest) && isLetter(w.rest[n]) && w.rest[n] <= unicode.MaxASCII {
			n++
		}
		next := string(w.rest[1:n])
		if n < 4 || slices.Contains(functions, next) {
			break
		}
		words = append(words, next)
		w.words++
		w.take(n)
	}
	return " " + strings.Join(words, " ") + " "
}

// product writes letters that stand together; d in front of others is a differential.
func product(letters []rune) string {
	var b strings.Builder
	for i, r := range letters {
		if i == 0 && r == 'd' {
			b.WriteString(`\mathrm{d}`)
			continue
		}
		b.WriteString(letter(r))
	}
	return b.String()
}

// accent reports whether no mark is left over a name; one letter with a bar or a dot is rewritten.
func (w *writer) accent() bool {
	if len(w.rest) == 0 {
		return true
	}
	command := map[rune]string{'\u0304': `\bar`, '\u0307': `\dot`, '\u0302': `\hat`}[w.rest[0]]
	if command == "" {
		return !unicode.Is(unicode.Mn, w.rest[0])
	}
	text := w.out.String()
	cut := strings.LastIndexAny(text[:len(text)-1], ` \`) + 1
	if cut > 0 && text[cut-1] == '\\' {
		cut--
	} else {
		cut = len(text) - 1
	}
	w.out.Reset()
	w.out.WriteString(text[:cut] + command + "{" + text[cut:] + "}")
	w.take(1)
	return true
}

func letter(r rune) string {
	if name := greek[r]; name != "" {
		return `\` + name + " "
	}
	return string(r)
}

var greek = map[rune]string{
	'α': "alpha", 'β': "beta", 'γ': "gamma", 'δ': "delta", 'ε': "varepsilon", 'ζ': "zeta", 'η': "eta", 'θ': "theta", 'κ': "kappa", 'λ': "lambda", 'μ': "mu", 'ν': "nu",
	'ξ': "xi", 'π': "pi", 'ρ': "rho", 'σ': "sigma", 'τ': "tau", 'φ': "varphi", 'ϕ': "phi", 'χ': "chi", 'ψ': "psi", 'ω': "omega",
	'Γ': "Gamma", 'Δ': "Delta", 'Θ': "Theta", 'Λ': "Lambda", 'Ξ': "Xi", 'Π': "Pi", 'Φ': "Phi", 'Ψ': "Psi", 'Ω': "Omega",
}

var symbols = map[rune]string{
	'−': "-", '-': "-", '·': `\cdot `, '×': `\times `, '±': `\pm `, '≤': `\le `, '≥': `\ge `, '≠': `\ne `, '≈': `\approx `, '∝': `\propto `, '∞': `\infty `, '∂': `\partial `,
	'∫': `\int `, '∮': `\oint `, '∓': `\mp `, '∇': `\nabla `, 'Σ': `\sum `, '∑': `\sum `, '½': `\tfrac{1}{2}`, '¼': `\tfrac{1}{4}`, '¾': `\tfrac{3}{4}`, '°': `^{\circ}`, '…': `\dots `, '→': `\to `, '%': `\%`, '′': "'",
}

var raised = map[rune]string{
	'⁰': "0", '¹': "1", '²': "2", '³': "3", '⁴': "4", '⁵': "5", '⁶': "6", '⁷': "7", '⁸': "8", '⁹': "9", '⁺': "+", '⁻': "-", 'ⁿ': "n", '⁽': "(", '⁾': ")", 'ᵏ': "k", 'ⁱ': "i",
}

var lowered = map[rune]string{
	'₀': "0", '₁': "1", '₂': "2", '₃': "3", '₄': "4", '₅': "5", '₆': "6", '₇': "7", '₈': "8", '₉': "9", '₊': "+", '₋': "-", 'ₐ': "a", 'ₑ': "e", 'ₕ': "h", 'ᵢ': "i", 'ⱼ': "j",
	'ₖ': "k", 'ₗ': "l", 'ₘ': "m", 'ₙ': "n", 'ₒ': "o", 'ₚ': "p", 'ᵣ': "r", 'ₛ': "s", 'ₜ': "t", 'ᵤ': "u", 'ᵥ': "v", 'ₓ': "x", 'ᵦ': `\beta `, 'ᵨ': `\rho `,
}
