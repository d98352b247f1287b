package figure

import (
	"strings"
	"unicode"
)

// A run is a piece of a label that is set in one style.
type run struct {
	text   string
	italic bool
	script script
}

// A script says on which line a run stands.
type script int8

const (
	onLine script = iota
	subscript
	superscript
)

// named are the symbols that may be written by name after a backslash.
var named = map[string]string{
	"alpha": "α", "beta": "β", "gamma": "γ", "delta": "δ", "epsilon": "ε", "zeta": "ζ", "eta": "η", "theta": "θ", "iota": "ι",
	"kappa": "κ", "lambda": "λ", "mu": "μ", "nu": "ν", "xi": "ξ", "pi": "π", "rho": "ρ", "sigma": "σ", "tau": "τ", "phi": "φ",
	"chi": "χ", "psi": "ψ", "omega": "ω", "Gamma": "Γ", "Delta": "Δ", "Theta": "Θ", "Lambda": "Λ", "Xi": "Ξ", "Pi": "Π",
	"Sigma": "Σ", "Phi": "Φ", "Psi": "Ψ", "Omega": "Ω", "deg": "°", "cdot": "·", "times": "×", "pm": "±", "le": "≤", "ge": "≥",
	"approx": "≈", "infty": "∞", "partial": "∂",
}

// parseMarkup splits a label into runs.
//
// An underscore or a caret sets what follows as a subscript or superscript: a group in braces, or else the letters and digits up to the
// next other character ("C_L", "x_np", "C_{Lα}", "10^-5"). A backslash and a name give a symbol ("\alpha"); a backslash before any other
// character takes that character as it is ("\_"). Symbols are italic, as the trade sets them: small Greek letters and single Latin letters
// that stand alone or carry a script. A single letter after a number and a space is a unit, and so is a bracket that ends the text; units,
// digits, words and Latin subscripts are upright.
func parseMarkup(s string) []run {
	p := &parser{in: []rune(s), italics: true}
	p.unitFrom = trailingBracket(p.in)
	p.label()
	return p.out
}

// parseUnit is parseMarkup without italics.
func parseUnit(s string) []run {
	p := &parser{in: []rune(s)}
	p.label()
	return p.out
}

// trailingBracket returns where the bracket that ends the text begins, or the length of the text if there is none after a blank.
func trailingBracket(in []rune) int {
	if s := string(in); strings.HasSuffix(s, ")") {
		if i := strings.LastIndex(s, " ("); i >= 0 {
			return len([]rune(s[:i]))
		}
	}
	return len(in)
}

type parser struct {
	in       []rune
	at       int
	italics  bool
	unitFrom int // from here on nothing is italic
	out      []run
}

func (p *parser) peek(ahead int) rune {
	if p.at+ahead < len(p.in) {
		return p.in[p.at+ahead]
	}
	return 0
}

func (p *parser) emit(text string, italic bool, s script) {
	if text == "" {
		return
	}
	if n := len(p.out); n > 0 && p.out[n-1].italic == italic && p.out[n-1].script == s {
		p.out[n-1].text += text
		return
	}
	p.out = append(p.out, run{text, italic, s})
}

func (p *parser) label() {
	for p.at < len(p.in) {
		switch r := p.peek(0); {
		case (r == '_' || r == '^') && p.scriptFollows():
			p.script()
		case r == '\\':
			p.escape(onLine)
		case isWord(r):
			p.word()
		case unicode.Is(unicode.Greek, r):
			p.symbol(r, onLine, p.at)
			p.at++
		case r == '-' && isDigit(p.peek(1)) && !p.afterWord():
			p.at++
			p.emit(minus, false, onLine)
		default:
			p.at++
			p.emit(string(r), false, onLine)
		}
	}
}

// word sets a run of letters, deciding whether it is a symbol or a word.
func (p *parser) word() {
	start := p.at
	for isWord(p.peek(0)) {
		p.at++
	}
	word := p.in[start:p.at]
	scripted := (p.peek(0) == '_' || p.peek(0) == '^') && p.scriptFollows()
	if word[0] == 'd' && (len(word) == 2 && scripted || len(word) == 1 && unicode.Is(unicode.Greek, p.peek(0))) { // a differential
		p.emit("d", false, onLine)
		word = word[1:]
	}
	symbol := p.symbolAllowed(start) && baseLength(word) == 1 && (scripted || !strings.ContainsRune("aAI", word[0]))
	p.emit(string(word), symbol, onLine)
}

// symbolAllowed reports whether a single letter at i may be a symbol: it is not the unit after a number.
func (p *parser) symbolAllowed(i int) bool {
	if !p.italics || i >= p.unitFrom {
		return false
	}
	blank := i
	for blank > 0 && unicode.IsSpace(p.in[blank-1]) {
		blank--
	}
	return blank == i || blank == 0 || !isDigit(p.in[blank-1])
}

// afterWord reports whether the character before this one belongs to a word or number, where a hyphen is a hyphen.
func (p *parser) afterWord() bool {
	return p.at > 0 && (unicode.IsLetter(p.in[p.at-1]) || isDigit(p.in[p.at-1]))
}

// escape sets a named symbol, or the character after the backslash.
func (p *parser) escape(s script) {
	p.at++
	start := p.at
	for p.at < len(p.in) && isASCIILetter(p.in[p.at]) {
		p.at++
	}
	name := string(p.in[start:p.at])
	switch symbol, known := named[name]; {
	case known:
		p.symbol([]rune(symbol)[0], s, start)
	case name != "": // not a name of ours: nothing is lost
		p.emit(`\`+name, false, s)
	case p.at < len(p.in):
		p.emit(string(p.in[p.at]), false, s)
		p.at++
	default:
		p.emit(`\`, false, s)
	}
}

func (p *parser) symbol(r rune, s script, at int) {
	p.emit(string(r), p.italics && at < p.unitFrom && isSmallGreek(r), s)
}

// scriptFollows reports whether the underscore or caret here is followed by something to set as a script.
func (p *parser) scriptFollows() bool {
	next, after := p.peek(1), p.peek(2)
	switch {
	case next == '{':
		return strings.ContainsRune(string(p.in[p.at+2:]), '}')
	case next == '-' || next == '−' || next == '+':
		return isDigit(after)
	case next == '\\':
		return isASCIILetter(after)
	}
	return unicode.IsLetter(next) || isDigit(next)
}

// script sets the subscript or superscript that begins here.
func (p *parser) script() {
	s := subscript
	if p.peek(0) == '^' {
		s = superscript
	}
	p.at++
	if p.peek(0) == '{' {
		p.group(s)
		return
	}
	if r := p.peek(0); r == '-' || r == '−' || r == '+' {
		p.scriptRune(s)
	}
	for p.at < len(p.in) && (unicode.IsLetter(p.in[p.at]) || isDigit(p.in[p.at]) || p.in[p.at] == '\\') {
		p.scriptRune(s)
	}
}

// group sets the script in braces; scriptFollows has seen its end.
func (p *parser) group(s script) {
	for p.at++; p.at < len(p.in) && p.in[p.at] != '}'; {
		p.scriptRune(s)
	}
	p.at++
}

func (p *parser) scriptRune(s script) {
	switch r := p.in[p.at]; r {
	case '\\':
		p.escape(s)
	case '-':
		p.at++
		p.emit(minus, false, s)
	default:
		p.symbol(r, s, p.at)
		p.at++
	}
}

// plain returns the text of a label without markup, for titles, tables and readers who listen: CL for C_L, x_np, m².
func plain(s string) string { return plainRuns(parseMarkup(s)) }

func plainRuns(runs []run) string {
	var b strings.Builder
	for i, r := range runs {
		switch {
		case r.script == superscript:
			b.WriteString(raise(r.text))
		case r.script == subscript && (i == 0 || runs[i-1].script != subscript) && !endsUpper(b.String()):
			b.WriteString("_" + r.text)
		default:
			b.WriteString(r.text)
		}
	}
	return b.String()
}

var raised = map[rune]rune{
	'0': '⁰', '1': '¹', '2': '²', '3': '³', '4': '⁴', '5': '⁵', '6': '⁶', '7': '⁷', '8': '⁸', '9': '⁹', '−': '⁻', '+': '⁺',
}

// raise returns the text in superscript characters, or after a caret if one is missing.
func raise(s string) string {
	var b strings.Builder
	for _, r := range s {
		up, ok := raised[r]
		if !ok {
			return "^" + s
		}
		b.WriteRune(up)
	}
	return b.String()
}

func endsUpper(s string) bool {
	r := []rune(s)
	return len(r) > 0 && unicode.IsUpper(r[len(r)-1])
}

// baseLength counts the letters of a word without the accents that combine with them.
func baseLength(word []rune) int {
	n := 0
	for _, r := range word {
		if !unicode.Is(unicode.Mn, r) {
			n++
		}
	}
	return n
}

// isWord reports whether r continues a word. Greek letters stand for themselves.
func isWord(r rune) bool {
	return unicode.IsLetter(r) && !unicode.Is(unicode.Greek, r) || unicode.Is(unicode.Mn, r)
}

func isSmallGreek(r rune) bool { return unicode.Is(unicode.Greek, r) && unicode.IsLower(r) }
func isDigit(r rune) bool      { return '0' <= r && r <= '9' }

func isASCIILetter(r rune) bool { return 'a' <= r && r <= 'z' || 'A' <= r && r <= 'Z' }
