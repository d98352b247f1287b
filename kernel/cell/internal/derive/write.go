package derive

import (
	"reflect"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Value is what an operand or a result is, worded by the caller.
type Value struct {
	Number float64
	Text   string // with unit: "48.9 m/s"
}

// Strengths of binding, from loose to tight. What binds looser than its place allows gets parentheses.
const (
	loose = iota
	either
	both
	compared
	added
	multiplied
	signed
	raised
	whole
)

// writer writes a formula in a style: with symbols, or with values in place of those that it has.
type writer struct {
	style  style
	values []Value // nil: symbols
}

// style is how LaTeX and plain text write the pieces.
type style interface {
	symbol(Symbol) string
	number(text string) string
	unit(text string) string
	quantity(text string) (out string, strength int)
	times(left, right string, figures bool) string
	fraction(a, b piece) (string, int)
	power(base, exponent string) string
	root(degree, x string) string
	bars(x string) string
	exponential(x piece) (string, int)
	function(name, args string) string
	parentheses(x string) string
	relation(sign string) string
	words(and string) string
	not(x string) string
	cases(rows [][2]string) string
	sum(index, from, to, term string) string
	matrix(rows [][]string) string
	aside(text string) string
}

// piece is text that a node was written as.
type piece struct {
	text     string
	strength int
	figures  bool // it begins with a number, so that a sign is needed in front of it in a product
}

// at returns the text in a place that needs a strength.
func (w writer) at(p piece, needed int) string {
	if p.strength < needed {
		return w.style.parentheses(p.text)
	}
	return p.text
}

func (w writer) write(n *Node) piece {
	s := w.style
	switch n.Op {
	case Number:
		strength := whole
		if strings.ContainsAny(n.Text, "eE") {
			strength = multiplied
		}
		return piece{s.number(n.Text), strength, true}
	case Unit:
		return piece{s.unit(n.Text), whole, false}
	case Constant:
		return piece{s.symbol(n.Symbol), whole, false}
	case Operand:
		if w.values == nil || n.Index == 0 {
			return piece{s.symbol(n.Symbol), whole, false}
		}
		text, strength := s.quantity(w.values[n.Index-1].main())
		return piece{text, strength, true}
	case Neg:
		return piece{"−" + w.at(w.write(&n.Args[0]), multiplied), added, true}
	case Add, Sub:
		return w.sum(n)
	case Mul:
		return w.product(n)
	case Div:
		text, strength := s.fraction(w.write(&n.Args[0]), w.write(&n.Args[1]))
		return piece{text, strength, strength == multiplied && startsWithFigure(text)}
	case Cases:
		return piece{s.cases(w.cases(n)), loose, false}
	}
	return w.writeOther(n)
}

func (w writer) writeOther(n *Node) piece {
	s := w.style
	args := make([]piece, len(n.Args))
	for i := range n.Args {
		args[i] = w.write(&n.Args[i])
	}
	switch n.Op {
	case Pow:
		return piece{s.power(w.at(args[0], whole), args[1].text), raised, args[0].figures}
	case Root:
		return piece{s.root(n.Text, args[0].text), whole, false}
	case Abs:
		return piece{s.bars(args[0].text), whole, false}
	case Exp:
		text, strength := s.exponential(args[0])
		return piece{text, strength, false}
	case Call:
		name := Symbol{`\` + n.Text, n.Text}
		if _, known := functions[n.Text]; known {
			name.LaTeX = functions[n.Text].latex
		} else if n.Text == "atan2" {
			name = upright(n.Text)
		}
		return piece{s.function(s.symbol(name), join(args)), whole, false}
	case Apply:
		return piece{s.function(s.symbol(n.Symbol), join(args)), whole, false}
	case Compare:
		return piece{w.at(args[0], added) + s.relation(n.Text) + w.at(args[1], added), compared, false}
	case And:
		return piece{w.at(args[0], both) + s.words("and") + w.at(args[1], both), both, false}
	case Or:
		return piece{w.at(args[0], either) + s.words("or") + w.at(args[1], either), either, false}
	case Not:
		return piece{s.not(w.at(args[0], whole)), whole, false}
	case Sum:
		return piece{s.sum(s.symbol(SymbolOf(n.Text)), args[1].text, args[2].text, w.at(args[0], multiplied)), multiplied, false}
	case Matrix:
		return piece{s.matrix(rows(args, n.Width)), whole, false}
	case Uncertain:
		return piece{w.at(args[0], added) + " ± " + w.at(args[1], multiplied), added, args[0].figures}
	}
	return piece{}
}

// sum writes a sum or a difference. What comes behind a minus keeps its parentheses.
func (w writer) sum(n *Node) piece {
	a, b := w.write(&n.Args[0]), w.write(&n.Args[1])
	sign, needed := " + ", added
	if n.Op == Sub {
		sign, needed = " − ", multiplied
	}
	right := w.at(b, needed)
	if strings.HasPrefix(right, "−") {
		right = w.style.parentheses(right)
	}
	return piece{w.at(a, added) + sign + right, added, a.figures}
}

// product writes a product. Equal factors that follow each other become a power.
func (w writer) product(n *Node) piece {
	var factors []*Node
	var flatten func(*Node)
	flatten = func(m *Node) {
		if m.Op == Mul {
			flatten(&m.Args[0])
			flatten(&m.Args[1])
			return
		}
		if m.Op != Unit || m.Text != "1" {
			factors = append(factors, m)
		}
	}
	flatten(n)
	if len(factors) == 0 {
		return piece{"1", whole, true}
	}
	var out piece
	for i := 0; i < len(factors); {
		count := 1
		for i+count < len(factors) && (factors[i].Op == Operand || factors[i].Op == Unit) && reflect.DeepEqual(factors[i], factors[i+count]) {
			count++
		}
		f := w.write(factors[i])
		if count > 1 {
			f = piece{w.style.power(w.at(f, whole), string('0'+rune(min(count, 9)))), raised, f.figures}
		}
		text := w.at(f, multiplied)
		switch {
		case i == 0 && factors[i].Op == Neg:
			out = f
		case i == 0:
			out = piece{text, multiplied, f.figures}
		case factors[i].Op == Unit:
			out.text += w.style.times("", text, false)
		default:
			out.text += w.style.times(out.text, text, f.figures && text == f.text)
		}
		i += count
	}
	return out
}

// cases writes the branches with their conditions.
func (w writer) cases(n *Node) [][2]string {
	var out [][2]string
	for i := 0; i < len(n.Args); i += 2 {
		condition := ""
		if i+1 < len(n.Args) {
			condition = w.write(&n.Args[i+1]).text
		}
		out = append(out, [2]string{w.write(&n.Args[i]).text, condition})
	}
	return out
}

func rows(entries []piece, width int) [][]string {
	var out [][]string
	for i, p := range entries {
		if i%width == 0 {
			out = append(out, nil)
		}
		out[len(out)-1] = append(out[len(out)-1], p.text)
	}
	return out
}

func join(args []piece) string {
	var parts []string
	for _, a := range args {
		parts = append(parts, a.text)
	}
	return strings.Join(parts, ", ")
}

func startsWithFigure(text string) bool {
	r, _ := utf8.DecodeRuneInString(text)
	return unicode.IsDigit(r)
}
