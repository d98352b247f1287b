package progen

import (
	"fmt"
	"slices"
)

// comparableType is a type whose values can be compared and printed.
func (g *generator) comparableType() string {
	return g.pick("int", "uint8", "float64", "string", "bool", "rune", "[3]int", g.record.name, "Level"+g.tag, "Unit"+g.tag)
}

func (g *generator) complexNumber(depth int) string {
	switch g.IntN(4) {
	case 0:
		return fmt.Sprintf("complex(%s, %s)", g.expr("float64", depth), g.expr("float64", depth))
	case 1:
		return fmt.Sprintf("-(%s)", g.expr("complex128", depth))
	}
	return fmt.Sprintf("(%s %s %s)", g.expr("complex128", depth), g.pick("+", "-", "*"), g.expr("complex128", depth))
}

// special writes an expression of a numeric or text type that goes through methods, interfaces, generic functions and values of functions.
func (g *generator) special(typ string, depth int) string {
	r := g.leaf(g.record.name)
	switch typ {
	case "int":
		return g.pick(
			fmt.Sprintf("%s.ID()", r),
			r+".Base.id",
			fmt.Sprintf("%s.ID(%s)", g.record.name, r),
			fmt.Sprintf("Sum(%s, %s, 3)", g.expr("int", depth), g.expr("int", depth)),
			fmt.Sprintf("len(Map(%s, func(x float64) string { return fmt.Sprint(x) }))", g.expr("[]float64", depth)),
			fmt.Sprintf("int(real(%s) * 0)", g.leaf("complex128")),
			fmt.Sprintf("strings.Count(%s, \"a\")", g.expr("string", depth)),
			fmt.Sprintf("%s[\"a\"]", g.expr("map[string]int", depth)),
		)
	case "float64":
		return g.pick(
			fmt.Sprintf("Sizer%s(%s).Size()", g.tag, r),
			fmt.Sprintf("Sizer%s(&%s).Size()", g.tag, g.recordLiteral(1)),
			fmt.Sprintf("%s.Size(%s)", g.record.name, r),
			fmt.Sprintf("func(f func() float64) float64 { return f() / 2 }(%s.Size)", r),
			fmt.Sprintf("Sum(%s, %s)", g.expr("float64", depth), g.expr("float64", depth)),
			fmt.Sprintf("real(%s)", g.expr("complex128", depth)),
			fmt.Sprintf("imag(%s)", g.expr("complex128", depth)),
			fmt.Sprintf("math.Floor(%s)", g.expr("float64", depth)),
		)
	case "string":
		return g.pick(
			fmt.Sprintf("string(%s)", g.expr("rune", depth)),
			fmt.Sprintf("string(%s)", g.expr("[]uint8", depth)),
			fmt.Sprintf("fmt.Sprintf(%q, %s)", g.pick("%v", "%+v", "%5v|", "%6.2v"), g.printable()),
			fmt.Sprintf("fmt.Sprintf(%q, %s)", g.pick("%8.3f|", "%e", "%g", "%+.2f", "%06.1f"), g.expr("float64", depth)),
			fmt.Sprintf("fmt.Sprintf(%q, %s)", g.pick("%x", "%#o", "%+d", "%08b", "%c", "%q", "%U"), g.expr("int32", depth)),
			fmt.Sprintf("fmt.Sprintf(%q, %s)", g.pick("%q", "%x", "%-6s|", "%.2s", "% x", "%+q"), g.expr("string", depth)),
			fmt.Sprintf("strings.Join(Map(%s, func(x int) string { return fmt.Sprint(x, \"-\") }), \",\")", g.expr("[]int", depth)),
			fmt.Sprintf("%s.String()", g.expr("Level"+g.tag, depth)),
			fmt.Sprintf("strings.Repeat(%q, %s&3)", g.pick("ab", "é"), g.expr("int", depth)),
		)
	case "bool":
		return g.pick(
			fmt.Sprintf("(%s == %s)", g.expr("any", depth), g.expr("any", depth)),
			fmt.Sprintf("(%s == nil)", g.expr("error", depth)),
			fmt.Sprintf("(%s != %s)", g.expr("[3]int", depth), g.expr("[3]int", depth)),
			fmt.Sprintf("(%s == %s)", g.expr("complex128", depth), g.expr("complex128", depth)),
			fmt.Sprintf("func() bool { _, ok := %s.(%s); return ok }()", g.expr("any", depth), g.comparableType()),
			fmt.Sprintf("(%s < %s)", g.expr("Level"+g.tag, depth), g.expr("Level"+g.tag, depth)),
		)
	}
	if slices.Contains(numeric, typ) {
		return fmt.Sprintf("%s(%s)", typ, g.leaf("int"))
	}
	return ""
}
