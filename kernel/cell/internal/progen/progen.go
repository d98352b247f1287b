// Package progen writes random Go programs that compile, end, and print what they compute: material for holding cells against the compiler.
//
// A [Program] comes in parts, so that the same one can be put together as a cell, as several cells, or as one of many in a single file for the
// compiler. It is a function of its seed alone. Programs draw on the whole language: numbers of all
// widths, structs that embed others, methods and their values, interfaces, generic functions, closures, deferred calls, panics that are recovered, goroutines
// whose order does not show, labels, goto and loops over functions. They print no addresses, and nothing that the language leaves to the compiler, such as
// whether a variable is read before or after a call beside it. What panics is recovered, so any other panic is a difference worth looking at.
package progen

import (
	"fmt"
	"math/rand/v2"
	"strings"
)

// Imports lists the packages that programs use.
var Imports = []string{"errors", "fmt", "math", "strings", "sync"}

// Uses is a declaration that uses them all.
const Uses = "var _, _, _, _, _ = errors.New, fmt.Sprint, math.Pi, strings.ToUpper, sync.NewCond\n\n"

// Program is one random program. Names at package level carry its seed, so that many programs can share a package.
type Program struct {
	Types []string // type declarations with their methods, and a variable; beside the Prelude
	Funcs []string // function declarations
	Body  []string // statements that call them and print
}

// New returns the program that belongs to a seed.
func New(seed uint64) Program {
	g := &generator{Rand: rand.New(rand.NewPCG(seed, 0x666f7265706c616e)), tag: fmt.Sprint(seed)}
	g.declareTypes()
	for i := range 1 + g.IntN(2) {
		g.declareFunc(i)
	}
	g.open()
	body := g.block(4+g.IntN(4), nil)
	body = append(body, g.printLocals())
	g.close()
	return Program{Types: g.types, Funcs: g.funcs, Body: body}
}

// maxCalls is how many calls of its functions a program makes before they return at once.
const maxCalls = 300

// generator holds what has been declared so far.
type generator struct {
	*rand.Rand
	tag    string
	types  []string
	funcs  []string
	calls  []function
	record record
	scopes [][]variable
	names  int
	depth  int // of nested blocks
}

type variable struct{ name, typ string }

type function struct {
	name   string
	params []string
	result string
}

// record is the struct type of the program: its fields are set and read everywhere.
type record struct {
	name   string
	fields []variable
}

// numeric lists the types that arithmetic is tried on; small and unsigned ones wrap around.
var numeric = []string{"int", "int8", "int16", "int32", "int64", "uint", "uint8", "uint16", "uint32", "uint64", "float64", "float32"}

func (g *generator) pick(list ...string) string { return list[g.IntN(len(list))] }

func (g *generator) name(stem string) string {
	g.names++
	return fmt.Sprintf("%s%d", stem, g.names)
}

func (g *generator) global(stem string) string {
	return fmt.Sprintf("%s%s_%d", stem, g.tag, len(g.types)+len(g.funcs))
}

func (g *generator) open() { g.scopes = append(g.scopes, nil) }

func (g *generator) close() { g.scopes = g.scopes[:len(g.scopes)-1] }

func (g *generator) declare(name, typ string) {
	top := len(g.scopes) - 1
	g.scopes[top] = append(g.scopes[top], variable{name, typ})
}

// visible lists the variables of a type, outermost first.
func (g *generator) visible(typ string) []string {
	var names []string
	for _, scope := range g.scopes {
		for _, v := range scope {
			if v.typ == typ {
				names = append(names, v.name)
			}
		}
	}
	return names
}

// anyType is a type that a variable, parameter or result can have.
func (g *generator) anyType() string {
	switch g.IntN(13) {
	case 0:
		return "string"
	case 7:
		return g.pick("complex128", "rune", "[]uint8")
	case 8:
		return g.pick("Level", "Unit") + g.tag
	case 9:
		return g.pick("[][]int", "[]"+g.record.name, "map["+g.record.name+"]int", "any", "error")
	case 1:
		return "bool"
	case 2:
		return g.record.name
	case 3:
		return g.pick("[]int", "[]float64", "[]string")
	case 4:
		return "map[string]int"
	case 5:
		return "[3]int"
	case 6:
		return "*" + g.record.name
	}
	return g.pick(numeric...)
}

func (g *generator) declareFunc(i int) {
	f := function{name: g.global("fn"), result: g.anyType()}
	if i == 0 {
		f.result = g.pick(numeric...)
	}
	g.open()
	var params []string
	for range 1 + g.IntN(3) {
		p := variable{g.name("p"), g.anyType()}
		f.params = append(f.params, p.typ)
		params = append(params, p.name+" "+p.typ)
		g.declare(p.name, p.typ)
	}
	header := fmt.Sprintf("func %s(%s) %s {", f.name, strings.Join(params, ", "), f.result)
	// Functions call earlier ones in loops: without a limit for all calls together some programs would run for hours.
	tail := []string{fmt.Sprintf("if calls%s++; calls%s > %d {\n\treturn *new(%s)\n}", g.tag, g.tag, maxCalls, f.result)}
	if g.IntN(3) == 0 { // a named result that a deferred function still changes
		header = fmt.Sprintf("func %s(%s) (result %s) {", f.name, strings.Join(params, ", "), f.result)
		tail = append(tail, fmt.Sprintf("defer func(k int) { fmt.Println(%q, k, result) }(%s)", f.name, g.expr("int", 2)))
	}
	body := append(tail, g.block(1+g.IntN(3), nil)...)
	body = append(body, "return "+g.expr(f.result, 3))
	g.close()
	g.funcs = append(g.funcs, header+"\n"+indent(body)+"}\n")
	g.calls = append(g.calls, f)
}

func (g *generator) printLocals() string {
	var args []string
	for _, v := range g.scopes[len(g.scopes)-1] {
		if v.typ[0] == '*' {
			args = append(args, "*"+v.name)
			continue
		}
		args = append(args, v.name)
	}
	return fmt.Sprintf("fmt.Println(%s)", strings.Join(append([]string{`"end"`}, args...), ", "))
}

func indent(lines []string) string {
	var b strings.Builder
	for _, l := range lines {
		b.WriteString("\t" + strings.ReplaceAll(l, "\n", "\n\t") + "\n")
	}
	return b.String()
}
