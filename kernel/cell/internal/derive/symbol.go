package derive

import (
	"regexp"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Symbol is a name as it stands in a formula.
type Symbol struct {
	LaTeX string `json:"latex"`
	Plain string `json:"plain"`
}

// letters are the Greek letters that differ from Latin ones. A longer name comes before one that it begins with.
var letters = []struct{ name, letter, latex string }{
	{"epsilon", "ε", `\varepsilon`}, {"upsilon", "υ", `\upsilon`}, {"lambda", "λ", `\lambda`}, {"alpha", "α", `\alpha`}, {"gamma", "γ", `\gamma`},
	{"delta", "δ", `\delta`}, {"theta", "θ", `\theta`}, {"kappa", "κ", `\kappa`}, {"sigma", "σ", `\sigma`}, {"omega", "ω", `\omega`}, {"beta", "β", `\beta`},
	{"zeta", "ζ", `\zeta`}, {"iota", "ι", `\iota`}, {"eps", "ε", `\varepsilon`}, {"eta", "η", `\eta`}, {"rho", "ρ", `\rho`}, {"tau", "τ", `\tau`},
	{"phi", "φ", `\varphi`}, {"chi", "χ", `\chi`}, {"psi", "ψ", `\psi`}, {"mu", "μ", `\mu`}, {"nu", "ν", `\nu`}, {"xi", "ξ", `\xi`}, {"pi", "π", `\pi`},
	{"Gamma", "Γ", `\Gamma`}, {"Delta", "Δ", `\Delta`}, {"Theta", "Θ", `\Theta`}, {"Lambda", "Λ", `\Lambda`}, {"Sigma", "Σ", `\Sigma`}, {"Phi", "Φ", `\Phi`},
	{"Psi", "Ψ", `\Psi`}, {"Omega", "Ω", `\Omega`}, {"Xi", "Ξ", `\Xi`},
}

var accents = []struct{ name, latex, mark string }{{"bar", `\bar`, "̄"}, {"dot", `\dot`, "̇"}, {"hat", `\hat`, "̂"}, {"tilde", `\tilde`, "̃"}}

// indexWords may follow a letter in small letters and are still an index.
var indexWords = []string{
	"max", "min", "ref", "stall", "trim", "cg", "np", "ac", "mp", "cp", "wing", "tail", "fore", "fin", "body", "root", "tip", "inf", "eff", "req", "avail",
	"tot", "net", "mean", "mac", "lof", "cruise", "climb", "glide", "flap", "prop", "wet", "slip", "disc",
}

var (
	coefficient  = regexp.MustCompile(`^([Cc])([LDMNYTPQlmndyp])(.*)$`)
	abbreviation = regexp.MustCompile(`^(?:[A-UW-Z][A-Z]{2,}|AR|SM|CG|NP)$`) // TAS, MAC; but VMD is a speed
)

// SymbolOf turns a name of Go into the symbol of a formula:
//
//	alpha, rho0, qbar, x_cg    a Greek letter, an index, an accent, an index
//	CLmax, CmAlpha, cd0        coefficients: C or c with the quantity as index
//	xNP, V2, Vstall            a letter, and an index that starts with a capital or a digit or is one of the trade's words
//	dCL                        d before a symbol is a difference
//	Speed, TAS, cost           other names stand upright
func SymbolOf(name string) Symbol {
	base, index, _ := strings.Cut(name, "_")
	head, rest := splitName(base)
	if index != "" {
		rest += "," + index
	}
	return head.with(rest)
}

// splitName splits the symbol that a name begins with from its index.
func splitName(name string) (head Symbol, index string) {
	word := Symbol{`\mathrm{` + name + `}`, name}
	if m := coefficient.FindStringSubmatch(name); m != nil && isIndex(m[3]) {
		return Symbol{m[1], m[1]}, m[2] + "," + m[3]
	}
	head, rest := firstLetter(name)
	if head.Plain == "d" && rest != "" && !unicode.IsDigit(rune(rest[0])) {
		if inner := SymbolOf(rest); !strings.HasPrefix(inner.LaTeX, `\mathrm`) {
			return Symbol{`\mathrm{d}` + inner.LaTeX, "d" + inner.Plain}, ""
		}
	}
	for _, a := range accents {
		if after, ok := strings.CutPrefix(rest, a.name); ok && isIndex(after) {
			return Symbol{a.latex + "{" + head.LaTeX + "}", head.Plain + a.mark}, after
		}
	}
	if abbreviation.MatchString(name) || !isIndex(rest) || len(rest) == 1 && unicode.IsLower(rune(rest[0])) {
		return word, ""
	}
	return head, rest
}

// firstLetter returns the letter that a name begins with, a Greek one by its name or by itself.
func firstLetter(name string) (Symbol, string) {
	for _, g := range letters {
		for _, prefix := range []string{g.name, g.letter} {
			if rest, ok := strings.CutPrefix(name, prefix); ok {
				return Symbol{g.latex, g.letter}, rest
			}
		}
	}
	r, size := utf8.DecodeRuneInString(name)
	return Symbol{string(r), string(r)}, name[size:]
}

// isIndex reports whether what follows a letter reads as its index: nothing, one small letter, or words, Greek letters, digits and capitals.
func isIndex(text string) bool {
	r, size := utf8.DecodeRuneInString(text)
	if text == "" || size == len(text) {
		return true
	}
	parts := indexParts(text)
	return !slices.ContainsFunc(parts, func(p part) bool { return p.text == "" }) && (len(parts) > 1 || !unicode.IsLower(r) || parts[0].known)
}

// part is a piece of an index. Its text is empty if it is a run of small letters that means nothing.
type part struct {
	Symbol
	text  string
	known bool // a word or a Greek letter
}

var indexRun = regexp.MustCompile(`^(?:\d+|[A-Z]+[a-z]*|[a-z]+|.)`)

// indexParts splits an index such as Lmax, mAlpha or D0.
func indexParts(text string) []part {
	var parts []part
	for text != "" {
		p := nextPart(text)
		text = text[max(len(p.text), 1):]
		parts = append(parts, p)
	}
	return parts
}

func nextPart(text string) part {
	for _, w := range indexWords {
		if n := len(w); len(text) >= n && strings.EqualFold(text[:n], w) && (len(text) == n || !unicode.IsLower(rune(text[n]))) {
			return part{roman(text[:n]), text[:n], true}
		}
	}
	small := text
	if r, size := utf8.DecodeRuneInString(text); unicode.IsUpper(r) {
		small = string(unicode.ToLower(r)) + text[size:]
	}
	if s, rest := firstLetter(small); s.LaTeX[0] == '\\' && (rest == "" || !unicode.IsLower(rune(rest[0]))) {
		return part{s, text[:len(text)-len(rest)], true}
	}
	run := indexRun.FindString(text)
	if unicode.IsLower(rune(run[0])) && len(run) > 1 {
		return part{}
	}
	return part{Symbol: roman(run), text: run}
}

// with adds an index to a symbol.
func (s Symbol) with(index string) Symbol {
	var latex, plain []string
	for group := range strings.FieldsFuncSeq(index, func(r rune) bool { return r == ',' || r == '_' }) {
		symbols := []Symbol{roman(group)}
		if isIndex(group) {
			symbols = nil
			for _, p := range indexParts(group) {
				symbols = append(symbols, p.Symbol)
			}
		}
		for _, p := range symbols {
			latex, plain = append(latex, p.LaTeX), append(plain, p.Plain)
		}
	}
	if len(latex) == 0 {
		return s
	}
	sep := ""
	if slices.ContainsFunc(plain, func(p string) bool { return utf8.RuneCountInString(p) > 1 && strings.Trim(p, "0123456789") != "" }) {
		sep = ","
	}
	if strings.Contains(s.LaTeX, "_{") { // it has an index already
		return Symbol{strings.TrimSuffix(s.LaTeX, "}") + "," + strings.Join(latex, sep) + "}", s.Plain + "," + strings.Join(plain, sep)}
	}
	return Symbol{s.LaTeX + "_{" + strings.Join(latex, sep) + "}", s.Plain + below(strings.Join(plain, sep))}
}

var subscripts = strings.NewReplacer("0", "₀", "1", "₁", "2", "₂", "3", "₃", "4", "₄", "5", "₅", "6", "₆", "7", "₇", "8", "₈", "9", "₉")

// below writes an index as plain text: digits below the line, letters behind an underscore.
func below(index string) string {
	if strings.Trim(index, "0123456789") == "" {
		return subscripts.Replace(index)
	}
	return "_" + index
}

// roman is an index of one letter or number, or a word that stands upright.
func roman(word string) Symbol {
	if strings.Trim(word, "0123456789") == "" || utf8.RuneCountInString(word) == 1 {
		return Symbol{word, word}
	}
	return Symbol{`\mathrm{` + word + `}`, word}
}

var symbolComment = regexp.MustCompile(`(?m)^[ \t]*//foreplane:symbol[ \t]+([\pL_][\pL\d_.]*)[ \t]+(\S.*?)[ \t]*$`)

// SymbolsIn returns the symbols that comments of a cell give to names.
func SymbolsIn(code string) map[string]Symbol {
	out := map[string]Symbol{}
	for _, m := range symbolComment.FindAllStringSubmatch(code, -1) {
		if contained(m[2]) {
			out[m[1]] = Symbol{m[2], m[1]}
		}
	}
	return out
}

// contained reports whether a piece of LaTeX cannot reach into what is around it.
func contained(latex string) bool {
	depth := 0
	for i := 0; i < len(latex) && depth >= 0; i++ {
		switch latex[i] {
		case '\\':
			i++
		case '{':
			depth++
		case '}':
			depth--
		case '$', '%', '&', '#':
			return false
		}
	}
	return depth == 0
}
