package progen

import (
	"fmt"
	"slices"
	"strings"
)

// expr writes an expression of a type. Variables are preferred to literals, so that the compiler cannot fold everything away.
func (g *generator) expr(typ string, depth int) string {
	if depth <= 0 || g.IntN(5) == 0 {
		return g.leaf(typ)
	}
	if g.IntN(6) == 0 {
		if call := g.call(typ, depth-1); call != "" {
			return call
		}
	}
	if g.IntN(5) == 0 {
		if e := g.special(typ, depth-1); e != "" {
			return e
		}
	}
	if g.IntN(8) == 0 {
		return fmt.Sprintf("func() %s { return %s }()", typ, g.expr(typ, depth-1))
	}
	switch {
	case strings.HasPrefix(typ, "Unit"), typ == "error":
		return g.leaf(typ)
	case slices.Contains(numeric, typ):
		return g.arithmetic(typ, depth-1)
	case typ == "bool":
		return g.condition(depth - 1)
	case typ == "string":
		return g.text(depth - 1)
	case strings.HasPrefix(typ, "[]"):
		return g.slice(typ, depth-1)
	case typ == g.record.name:
		return g.recordLiteral(depth - 1)
	case typ == "*"+g.record.name:
		return "&" + g.recordLiteral(depth-1)
	case typ == "[3]int":
		return fmt.Sprintf("[3]int{%s, 1: %s}", g.expr("int", depth-1), g.expr("int", depth-1))
	case typ == "complex128":
		return g.complexNumber(depth - 1)
	case typ == "rune":
		return fmt.Sprintf("[]rune(%s + \"é\")[0]", g.expr("string", depth-1))
	case strings.HasPrefix(typ, "Level"):
		return fmt.Sprintf("%s(%s & 7)", typ, g.expr("int", depth-1))
	case typ == "any":
		return fmt.Sprintf("any(%s)", g.expr(g.comparableType(), depth-1))
	case typ == "map["+g.record.name+"]int":
		return fmt.Sprintf("%s{%s: %s, {s: \"only\"}: 2}", typ, g.recordLiteral(1), g.expr("int", depth-1))
	case typ == "map[string]int":
		return fmt.Sprintf("map[string]int{%q: %s, %q: %s}", "a", g.expr("int", depth-1), "b", g.expr("int", depth-1))
	}
	panic("progen: no expression of type " + typ)
}

// leaf is a variable of the type, or a literal.
func (g *generator) leaf(typ string) string {
	if names := g.visible(typ); len(names) > 0 && g.IntN(4) > 0 {
		return names[g.IntN(len(names))]
	}
	switch typ {
	case "string":
		return fmt.Sprintf("%q", g.pick("", "a", "wing", "é世", "x\ty"))
	case "bool":
		return g.pick("true", "false")
	case "float64", "float32":
		return fmt.Sprintf("(%s(%s) %s)", typ, g.seed(), g.pick("* 1.5", "* (7 / 2)", "/ 10", "- 8", "* 1e9", "/ (1.0 / 3)"))
	case "[3]int":
		return "[3]int{1, 2, 3}"
	case "map[string]int":
		return `map[string]int{"k": 4}`
	case "[]int":
		return "[]int{3, 1, 2}"
	case "[]float64":
		return "[]float64{0.5, 5 / 2, 1 / 3.0}"
	case "[]string":
		return `[]string{"b", "a"}`
	case "[]uint8":
		return g.pick(`[]byte("hé")`, "[]byte{1, 'x', 255}", "[]byte(nil)")
	case "[][]int":
		return "[][]int{{1}, nil, {2, 3}}"
	case "[]" + g.record.name, "map[" + g.record.name + "]int":
		return typ + "{}"
	case "complex128":
		return fmt.Sprintf("complex(float64(%s), %d)", g.seed(), g.IntN(9))
	case "rune":
		return g.pick("'a'", "'é'", "'世'", "rune(0x1F600)")
	case "Level" + g.tag:
		return g.pick("Low", "Mid", "High") + g.tag
	case "Unit" + g.tag:
		return fmt.Sprintf("*new(Unit%s)", g.tag)
	case "any":
		return g.pick("any(nil)", "any(1)", `any("a")`, "any(2.5)", "any("+g.record.name+"{})", "any(Low"+g.tag+")", "any([2]bool{true})")
	case "error":
		return g.pick("error(nil)", `errors.New("plain")`, fmt.Sprintf("error(&Fault{%d})", g.IntN(9)), `fmt.Errorf("more: %w", &Fault{2})`)
	case g.record.name:
		return "(" + g.record.name + "{})"
	case "*" + g.record.name:
		return "&" + g.record.name + "{}"
	}
	return fmt.Sprintf("%s(%s + %d)", typ, g.seed(), g.IntN(100))
}

// seed is a variable at package level that no statement changes: with it in every literal, no expression is constant, and the compiler has nothing
// to refuse as overflowing or dividing by zero.
func (g *generator) seed() string { return "seed" + g.tag }

func (g *generator) isFloat(typ string) bool { return strings.HasPrefix(typ, "float") }

func (g *generator) arithmetic(typ string, depth int) string {
	a, b := g.expr(typ, depth), g.expr(typ, depth)
	if g.isFloat(typ) {
		switch g.IntN(6) {
		case 0:
			return fmt.Sprintf("%s(math.Sqrt(math.Abs(float64(%s))))", typ, a)
		case 1:
			return fmt.Sprintf("%s(%s)", typ, g.expr(g.pick("int", "uint8", "int32"), depth))
		case 2:
			return fmt.Sprintf("min(%s, %s)", a, b)
		}
		return fmt.Sprintf("(%s %s %s)", a, g.pick("+", "-", "*", "/"), b)
	}
	switch g.IntN(9) {
	case 0:
		return fmt.Sprintf("(%s %s (%s | 1))", a, g.pick("/", "%"), b)
	case 1:
		return fmt.Sprintf("(%s %s (%s & 7))", a, g.pick("<<", ">>"), g.expr("uint8", depth))
	case 2:
		return fmt.Sprintf("%s(%s)", typ, g.expr(g.pick(numeric[:10]...), depth))
	case 3:
		return fmt.Sprintf("%s(len(%s))", typ, g.pick("("+g.expr("string", depth)+")[:]", g.expr("[]int", depth), g.expr("map[string]int", depth)))
	case 4:
		return fmt.Sprintf("max(%s, %s)", a, b)
	case 5:
		return fmt.Sprintf("(%s%s)", g.pick("-", "^"), a)
	case 6:
		return fmt.Sprintf("%s(%s.xs[%s&1])", typ, g.leaf(g.record.name), g.expr("uint8", depth))
	}
	return fmt.Sprintf("(%s %s %s)", a, g.pick("+", "-", "*", "&", "|", "^", "&^"), b)
}

func (g *generator) condition(depth int) string {
	switch g.IntN(5) {
	case 0:
		return fmt.Sprintf("(%s %s %s)", g.condition0(depth), g.pick("&&", "||"), g.condition0(depth))
	case 1:
		return "!" + g.condition0(depth)
	case 2:
		return fmt.Sprintf("(%s == %s)", g.expr(g.record.name, 0), g.expr(g.record.name, 0))
	case 3:
		return fmt.Sprintf("(%s %s %s)", g.expr("string", depth), g.pick("==", "<", ">="), g.expr("string", depth))
	}
	return g.condition0(depth)
}

func (g *generator) condition0(depth int) string {
	typ := g.pick(numeric...)
	return fmt.Sprintf("(%s %s %s)", g.expr(typ, depth), g.pick("==", "!=", "<", "<=", ">", ">="), g.expr(typ, depth))
}

func (g *generator) text(depth int) string {
	switch g.IntN(4) {
	case 0:
		return fmt.Sprintf("fmt.Sprint(%s, %s)", g.expr(g.pick(numeric...), depth), g.expr(g.pick("bool", "[]int", "map[string]int", g.record.name), depth))
	case 1:
		return fmt.Sprintf("fmt.Sprintf(\"%%v|%%v\", %s, %s)", g.expr("string", depth), g.expr(g.pick(numeric...), depth))
	case 2:
		return fmt.Sprintf("strings.ToUpper(%s)", g.expr("string", depth))
	}
	return fmt.Sprintf("(%s + %s)", g.leaf("string"), g.leaf("string"))
}

func (g *generator) slice(typ string, depth int) string {
	elem := typ[2:]
	switch g.IntN(3) {
	case 0:
		return fmt.Sprintf("append(%s, %s)", g.expr(typ, depth), g.expr(elem, depth))
	case 1:
		return fmt.Sprintf("append(%s{}, %s...)", typ, g.expr(typ, depth))
	}
	return fmt.Sprintf("%s{%s, %s}", typ, g.expr(elem, depth), g.expr(elem, depth))
}

func (g *generator) recordLiteral(depth int) string {
	var parts []string
	for _, f := range g.record.fields {
		if g.IntN(3) > 0 {
			parts = append(parts, f.name+": "+g.expr(f.typ, depth))
		}
	}
	return g.record.name + "{" + strings.Join(parts, ", ") + "}"
}

// call writes a call of an earlier function with the wanted result, or of a method that yields it.
func (g *generator) call(typ string, depth int) string {
	var fits []function
	for _, f := range g.calls {
		if f.result == typ {
			fits = append(fits, f)
		}
	}
	if typ == "float64" && g.IntN(2) == 0 {
		return g.leaf(g.record.name) + ".Size()"
	}
	if names := g.visible("*" + g.record.name); typ == "int" && len(names) > 0 {
		return fmt.Sprintf("%s.Grow(%s)", names[0], g.expr("int", depth))
	}
	if len(fits) == 0 {
		return ""
	}
	f := fits[g.IntN(len(fits))]
	var args []string
	for _, p := range f.params {
		args = append(args, g.expr(p, depth))
	}
	return fmt.Sprintf("%s(%s)", f.name, strings.Join(args, ", "))
}
