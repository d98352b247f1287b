package derive

import (
	"math"
	"strings"
	"unicode/utf8"
)

// Event is a statement that has run.
type Event struct {
	Equation  Equation
	Operands  []Value // as they were before
	Moved     bool    // operands changed while it ran: they are not what the result was computed from
	Result    Value
	Matrix    [][]string // of a result that is one
	PlusMinus Value      // the standard uncertainty of the result
	Remark    string     // such as that an uncertainty was not propagated
}

// main is the text without what stands in parentheses behind it.
func (v Value) main() string {
	text, _, _ := strings.Cut(v.Text, " (")
	return text
}

// Derivation is what a cell has computed, in order. It shows as LaTeX and as text.
type Derivation []Event

// lines are the parts of an equation: left side and one or more right sides, each behind its sign.
type lines struct {
	left  string
	signs []string
	right []string
	tail  string // a remark
}

// width is how many characters of plain text a line of the page takes.
const width = 72

// LaTeX returns the derivation as one displayed formula.
func (d Derivation) LaTeX() string {
	var out []string
	for _, group := range d.collapse() {
		l, p := group.lines(latex{}, latex{}.code), group.lines(plain{}, plain{}.code)
		out = append(out, l.aligned(p)...)
	}
	return "$$\n\\begin{aligned}\n" + signs.Replace(strings.Join(out, " \\\\\n")) + "\n\\end{aligned}\n$$"
}

var signs = strings.NewReplacer("−", "-", "±", `\pm`)

// Text returns the derivation as lines of text.
func (d Derivation) Text() string {
	var out []string
	for _, e := range d.collapse() {
		l := e.lines(plain{}, plain{}.code)
		line := l.left
		indent := strings.Repeat(" ", min(utf8.RuneCountInString(l.left), 12))
		for i, r := range l.right {
			part := l.signs[i] + r
			if i > 0 && utf8.RuneCountInString(line[strings.LastIndexByte(line, '\n')+1:]+part) > width {
				line += "\n" + indent
			}
			line += part
		}
		out = append(out, strings.TrimSpace(line+l.tail))
	}
	return strings.Join(out, "\n")
}

// collapse puts x = 0 and the sum that follows it together.
func (d Derivation) collapse() Derivation {
	var out Derivation
	for _, e := range d {
		if n := len(out); n > 0 && isSum(e.Equation) && isZero(out[n-1]) && out[n-1].Equation.Name == e.Equation.Name {
			sum := e.Equation.Formula.Args[1]
			e.Equation.Formula, e.Equation.Updates = &sum, false
			out = out[:n-1]
		}
		if n := len(out); n > 0 && e.repeats(out[n-1]) {
			continue
		}
		out = append(out, e)
	}
	return out
}

// repeats reports whether an event only shows the variable that the one before it has set.
func (e Event) repeats(before Event) bool {
	f := e.Equation.Formula
	return e.Equation.Name == "" && f != nil && f.Op == Operand && len(e.Equation.Names) == 1 && e.Equation.Names[0] == before.Equation.Name
}

func isSum(e Equation) bool {
	return e.Formula != nil && e.Formula.Op == Add && len(e.Formula.Args) == 2 && e.Formula.Args[1].Op == Sum
}

func isZero(e Event) bool {
	f := e.Equation.Formula
	return f != nil && f.Op == Number && f.Value == 0
}

// right reports whether the formula gives the result; where it cannot be evaluated it is taken as it is.
func (e Event) right() bool {
	if e.Equation.Formula == nil || e.Matrix != nil || e.Moved {
		return true
	}
	var values []float64
	for _, o := range e.Operands {
		values = append(values, o.Number)
	}
	got, ok := e.Equation.Formula.evaluate(values, 0)
	if !ok || got.v == e.Result.Number || math.IsNaN(got.v) && math.IsNaN(e.Result.Number) {
		return true
	}
	return math.Abs(got.v-e.Result.Number) <= 1e-6*math.Max(math.Abs(got.v), math.Abs(e.Result.Number))
}

// lines writes an event in a style.
func (e Event) lines(s style, code func(string) string) (l lines) {
	q := e.Equation
	l = lines{left: s.symbol(q.Symbol), tail: e.Remark}
	add := func(sign, text string) { l.signs, l.right = append(l.signs, sign), append(l.right, text) }
	if e.Remark != "" {
		l.tail = "  (" + e.Remark + ")"
	}
	if !q.Result {
		l.left = eachLine(q.Code, code)
		return l
	}
	if q.Name == "" {
		defer l.shift()
	}
	sign := " = "
	if q.Updates {
		sign = " ← "
	}
	seen := ""
	if q.Formula != nil && e.right() {
		seen = writer{style: s}.write(q.Formula).text
		add(sign, seen)
		if sub, ok := e.substituted(s); ok && sub != seen {
			seen = sub
			add(" = ", sub)
		}
	} else if q.Code != "" {
		add(sign, code(strings.Join(strings.Fields(q.Code), " ")))
	}
	result := e.result(s)
	if result != seen && !e.stated() {
		add(" = ", result)
	}
	if beside, ok := e.beside(s); ok && beside != seen {
		l.right[len(l.right)-1] += s.aside(beside)
	}
	return l
}

// eachLine writes the lines of a piece of code.
func eachLine(text string, code func(string) string) string {
	var out []string
	for line := range strings.SplitSeq(text, "\n") {
		out = append(out, code(line))
	}
	return strings.Join(out, "\n")
}

// shift makes the formula the left side of an equation that assigns nothing.
func (l *lines) shift() {
	if len(l.right) > 1 {
		l.left, l.signs, l.right = l.right[0], l.signs[1:], l.right[1:]
	}
}

// substituted writes the formula with values, if all of them are known.
func (e Event) substituted(s style) (string, bool) {
	f := e.Equation.Formula
	if e.Moved || len(e.Operands) == 0 || len(e.Operands) != len(e.Equation.Names) {
		return "", false
	}
	if f.has(func(n *Node) bool { return n.Op == Operand && n.Index == 0 || n.Op == Sum || n.Op == Cases }) {
		return "", false
	}
	return writer{style: s, values: e.Operands}.write(f).text, true
}

// stated reports whether the formula is nothing but the number that is the result, perhaps with its SI unit.
func (e Event) stated() bool {
	f := e.Equation.Formula
	if f == nil || e.PlusMinus.Text != "" {
		return false
	}
	return f.Op == Number || f.Op == Mul && f.Args[0].Op == Number && f.Args[1].Op == Unit && f.Args[1].Value == 1
}

// beside is the result in the unit that the trade uses, if that is another.
func (e Event) beside(s style) (string, bool) {
	_, text, ok := strings.Cut(e.Result.Text, " (")
	out, _ := s.quantity(strings.TrimSuffix(text, ")"))
	return out, ok && e.Matrix == nil && e.PlusMinus.Text == ""
}

func (e Event) result(s style) string {
	if e.Matrix != nil {
		rows := make([][]string, len(e.Matrix))
		for i, r := range e.Matrix {
			for _, x := range r {
				text, _ := s.quantity(x)
				rows[i] = append(rows[i], text)
			}
		}
		return s.matrix(rows)
	}
	text, _ := s.quantity(e.Result.main())
	if e.PlusMinus.Text != "" {
		pm, _ := s.quantity(e.PlusMinus.main())
		text += " ± " + pm
	}
	return text
}

// aligned returns the rows of an aligned environment. How long they would be is told by the plain text.
func (l lines) aligned(p lines) []string {
	if len(l.right) == 0 {
		return strings.Split("& "+strings.ReplaceAll(l.left, "\n", "\n& "), "\n")
	}
	var out []string
	row, length := l.left+" &"+sign(l.signs[0])+breakable(l.right[0], p.right[0]), len(p.left+p.right[0])
	for i := 1; i < len(l.right); i++ {
		n := utf8.RuneCountInString(p.right[i])
		if length+n > width {
			out, row, length = append(out, row), "&"+sign(l.signs[i])+breakable(l.right[i], p.right[i]), n
			continue
		}
		row, length = row+sign(l.signs[i])+l.right[i], length+n+3
	}
	if l.tail != "" {
		row += `\quad \text{` + escapes.Replace(strings.TrimSpace(l.tail)) + `}`
	}
	return append(out, row)
}

func sign(s string) string { return strings.Replace(s, "←", `\leftarrow`, 1) }

// breakable breaks a long formula at the sums that are not inside of anything.
func breakable(text, plain string) string {
	if utf8.RuneCountInString(plain) <= width {
		return text
	}
	per := float64(utf8.RuneCountInString(plain)) / float64(len(text))
	depth, start, out := 0, 0, ""
	for i, r := range text {
		switch {
		case r == '{' || strings.HasPrefix(text[i:], `\left`) || strings.HasPrefix(text[i:], `\begin`):
			depth++
		case r == '}' || strings.HasPrefix(text[i:], `\right`) || strings.HasPrefix(text[i:], `\end`):
			depth--
		case depth == 0 && per*float64(i-start) > width/2 && (strings.HasPrefix(text[i:], " + ") || strings.HasPrefix(text[i:], " − ")):
			out, start = out+text[start:i]+" \\\\\n&\\quad", i
		}
	}
	return out + text[start:]
}

// Slopes returns the derivatives of a formula by its operands, or false if it holds a function whose derivative is not known.
func (q Equation) Slopes(values []float64) ([]float64, bool) {
	if q.Formula == nil {
		return nil, false
	}
	out := make([]float64, len(values))
	for i := range values {
		r, ok := q.Formula.evaluate(values, i+1)
		if !ok {
			return nil, false
		}
		out[i] = r.d
	}
	return out, true
}

// Own returns the standard uncertainty that an equation states itself: x = uncertain(value, ±). It reports false if it is stated inside of a formula, from
// where it is not propagated.
func (q Equation) Own(values []float64) (float64, bool) {
	if q.Formula == nil || !q.Formula.has(func(n *Node) bool { return n.Op == Uncertain }) {
		return 0, true
	}
	if q.Formula.Op != Uncertain {
		return 0, false
	}
	u, ok := q.Formula.Args[1].evaluate(values, 0)
	return math.Abs(u.v), ok
}
