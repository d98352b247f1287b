package progen

import (
	"fmt"
	"slices"
	"strings"
)

// block writes n statements in the innermost scope, after those given.
func (g *generator) block(n int, lines []string) []string {
	g.depth++
	defer func() { g.depth-- }()
	for range n {
		lines = append(lines, g.stmt()...)
	}
	return lines
}

// nested writes a block in a scope of its own.
func (g *generator) nested(declare ...variable) string {
	g.open()
	defer g.close()
	for _, v := range declare {
		g.declare(v.name, v.typ)
	}
	return indent(g.block(1+g.IntN(2), nil))
}

func (g *generator) stmt() []string {
	if g.depth > 2 {
		return g.one(g.assign())
	}
	if g.IntN(3*g.depth) == 0 {
		return g.one(g.wider())
	}
	switch g.IntN(15) {
	case 0, 1, 2:
		return g.define()
	case 3, 4:
		return g.one(g.assign())
	case 5:
		return g.one(fmt.Sprintf("if %s {\n%s} else {\n%s}", g.expr("bool", 2), g.nested(), g.nested()))
	case 6, 7:
		return g.one(g.loop())
	case 8:
		return g.one(g.switches())
	case 9:
		return g.one(g.typeSwitch())
	case 10:
		return g.closure()
	case 11:
		return g.one(g.recovered())
	case 12:
		return g.one(g.perIteration())
	case 13:
		return g.one(g.maps())
	}
	if g.IntN(3) == 0 { // not for texts that are looked into: those of the compiler have another name for package main
		typ := g.comparableType() // no error: with %#v those show addresses
		return g.one(fmt.Sprintf("fmt.Printf(\"%%T %%#v\\n\", %s, %s)", g.printable(), g.expr(typ, 3)))
	}
	return g.one(fmt.Sprintf("fmt.Println(%q, %s)", g.name("print"), g.printable()))
}

// wider writes statements that stand for themselves.
func (g *generator) wider() string {
	kinds := []func() string{g.jumps, g.state, g.goroutines, g.panics, g.panics, g.iterators, g.lateDefault, g.slicing, g.records, g.records, g.functions, g.functions,
		g.failures, g.texts, g.pointers, g.shadowing, g.constants}
	return kinds[g.IntN(len(kinds))]()
}

func (g *generator) one(s string) []string { return []string{s} }

// printable is an expression whose printed form holds no address.
func (g *generator) printable() string {
	typ := g.anyType()
	for typ[0] == '*' {
		typ = g.anyType()
	}
	return g.expr(typ, 3)
}

func (g *generator) define() []string {
	typ := g.anyType()
	value := g.stored(typ)
	name := g.name("v")
	g.declare(name, typ)
	form := fmt.Sprintf("var %s %s = %s", name, typ, value)
	if g.IntN(2) == 0 {
		form = fmt.Sprintf("%s := %s", name, value)
	}
	return []string{form, "_ = " + name}
}

func (g *generator) assign() string {
	typ := g.anyType()
	names := g.visible(typ)
	for range 5 {
		if len(names) > 0 {
			break
		}
		typ = g.anyType()
		names = g.visible(typ)
	}
	if len(names) == 0 {
		return fmt.Sprintf("fmt.Println(%s)", g.printable())
	}
	name := names[g.IntN(len(names))]
	switch {
	case slices.Contains(numeric, typ) && g.IntN(2) == 0:
		return fmt.Sprintf("%s %s %s", name, g.pick("+=", "-=", "*="), g.expr(typ, 2))
	case slices.Contains(numeric, typ) && g.IntN(3) == 0:
		return name + g.pick("++", "--")
	case typ == g.record.name || typ == "*"+g.record.name:
		f := g.record.fields[g.IntN(len(g.record.fields))]
		return fmt.Sprintf("%s.%s = %s", name, f.name, g.stored(f.typ))
	case typ == "[3]int":
		return fmt.Sprintf("%s[%s&1] += %s", name, g.expr("uint8", 1), g.expr("int", 2))
	case len(names) > 1 && g.IntN(3) == 0:
		return fmt.Sprintf("%s, %s = %s, %s", names[0], names[1], names[1], names[0])
	}
	return fmt.Sprintf("%s = %s", name, g.stored(typ))
}

// stored is an expression for a variable. A text is cut: one that doubles in a loop would end the program, and the machine with it.
func (g *generator) stored(typ string) string {
	if typ == "string" {
		return fmt.Sprintf("func(s string) string { return s[:min(len(s), 40)] }(%s)", g.expr(typ, 3))
	}
	return g.expr(typ, 3)
}

func (g *generator) loop() string {
	i := g.name("i")
	leave := ""
	if g.IntN(3) == 0 {
		leave = fmt.Sprintf("\tif %s {\n\t\t%s\n\t}\n", g.expr("bool", 2), g.pick("break", "continue"))
	}
	switch g.IntN(5) {
	case 0:
		return fmt.Sprintf("for %s := 0; %s < %d; %s++ {\n%s%s}", i, i, 1+g.IntN(4), i, leave, g.frozen(i, "int"))
	case 1:
		return fmt.Sprintf("for %s := range %d {\n%s%s}", i, 1+g.IntN(4), leave, g.frozen(i, "int"))
	case 2:
		x := g.name("x")
		list := g.expr("[]float64", 2)
		return fmt.Sprintf("for %s, %s := range %s {\n\t_, _ = %s, %s\n%s%s}", i, x, list, i, x, leave, g.frozen(i, "int", variable{x, "float64"}))
	case 3:
		r := g.name("r")
		list := g.expr("string", 2)
		return fmt.Sprintf("for %s, %s := range %s {\n\t_, _ = %s, %s\n%s%s}", i, r, list, i, r, leave, g.nested(variable{r, "int32"}))
	}
	label := g.name("Outer")
	j := g.name("j")
	inner := fmt.Sprintf("for %s := range 3 {\n\tif %s {\n\t\t%s %s\n\t}\n%s}", j, g.expr("bool", 1), g.pick("break", "continue"), label, g.frozen(j, "int"))
	return fmt.Sprintf("%s:\nfor %s := 0; %s < 3; %s++ {\n\t%s\n}", label, i, i, i, strings.ReplaceAll(inner, "\n", "\n\t"))
}

// frozen is a nested block that reads the loop variable through a copy: a body that wrote to it might never end.
func (g *generator) frozen(i, typ string, more ...variable) string {
	k := g.name("k")
	return fmt.Sprintf("\t%s := %s\n\t_ = %s\n", k, i, k) + g.nested(append(more, variable{k, typ})...)
}

func (g *generator) switches() string {
	typ := g.pick("int", "string", "uint8")
	literal := func(n int) string {
		if typ == "string" {
			return fmt.Sprintf("%q", []string{"", "a", "wing"}[n])
		}
		return fmt.Sprint(n)
	}
	through := ""
	if g.IntN(2) == 0 {
		through = "\tfallthrough\n"
	}
	return fmt.Sprintf("switch %s {\ncase %s:\n%s%scase %s, %s:\n%sdefault:\n%s}",
		g.expr(typ, 2), literal(0), g.nested(), through, literal(1), literal(2), g.nested(), g.nested())
}

func (g *generator) typeSwitch() string {
	x, t := g.name("x"), g.name("t")
	typ := g.pick("int", "string", "float64", g.record.name)
	value := g.expr(typ, 2)
	return fmt.Sprintf("var %s any = %s\nswitch %s := %s.(type) {\ncase int:\n%scase string, bool:\n\tfmt.Println(\"text\", %s)\ncase Sizer%s:\n\tfmt.Println(\"size\", %s.Size())\ndefault:\n\tfmt.Println(\"other\", %s)\n}",
		x, value, t, x, "\tfmt.Println(\"int\", "+t+"+1)\n", t, g.tag, t, t)
}

// closure makes a function that keeps state, and calls it.
func (g *generator) closure() []string {
	typ := g.pick("int", "float64", "uint8")
	f, state := g.name("f"), g.name("state")
	g.open()
	p := g.name("p")
	g.declare(p, typ)
	body := fmt.Sprintf("%s := %s\n%s := func(%s %s) %s {\n\t%s += %s\n\treturn %s\n}", state, g.conv(typ, "1"), f, p, typ, typ, state, g.expr(typ, 2), state)
	g.close()
	out := g.name("v")
	call := fmt.Sprintf("%s := %s(%s) + %s(%s)", out, f, g.expr(typ, 1), f, g.expr(typ, 1))
	g.declare(out, typ)
	return []string{body, call, "_ = " + out}
}

func (g *generator) conv(typ, value string) string { return typ + "(" + value + ")" }

// recovered panics on purpose inside a function that recovers.
func (g *generator) recovered() string {
	return fmt.Sprintf("func() {\n\tdefer func() { fmt.Println(\"recovered\", recover()) }()\n\tif %s {\n\t\tpanic(fmt.Sprint(%s))\n\t}\n\tfmt.Println(\"no panic\")\n}()", g.expr("bool", 2), g.expr("int", 2))
}

// perIteration collects closures and deferred calls made in a loop: each sees its own iteration.
func (g *generator) perIteration() string {
	fs, i := g.name("fs"), g.name("i")
	return fmt.Sprintf("func() {\n\tvar %s []func() int\n\tfor %s := 0; %s < 3; %s++ {\n\t\tdefer func(k int) { fmt.Println(\"deferred\", k, %s) }(%s * 2)\n\t\t%s = append(%s, func() int { return %s * 10 })\n\t}\n\tfor _, f := range %s {\n\t\tfmt.Print(f(), \" \")\n\t}\n\tfmt.Println()\n}()",
		fs, i, i, i, i, i, fs, fs, i, fs)
}

func (g *generator) maps() string {
	m, v, ok := g.name("m"), g.name("v"), g.name("ok")
	return fmt.Sprintf("%s := %s\n%s[%q] += %s\n%s, %s := %s[%s]\ndelete(%s, \"a\")\nfmt.Println(len(%s), %s, %s, %s)",
		m, g.expr("map[string]int", 2), m, g.pick("a", "b", "z"), g.expr("int", 2), v, ok, m, g.expr("string", 1), m, m, v, ok, m)
}
