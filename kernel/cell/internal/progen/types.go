package progen

import (
	"fmt"
	"strings"
)

// Prelude declares what all programs share: a struct to embed, an error, generic functions and a function to range over. Those that share a package have it
// once.
const Prelude = `type Base struct {
	id   int
	note string
}

func (b Base) ID() int { return b.id * 2 }

func (b *Base) Tick(by int) *Base {
	b.id += by & 15
	b.note += "."
	b.note = b.note[:min(len(b.note), 5)]
	return b
}

type Fault struct{ Code int }

func (f *Fault) Error() string { return fmt.Sprint("fault ", f.Code) }

func check(n int) (int, error) {
	if n&3 == 1 {
		return n, fmt.Errorf("check %d: %w", n, &Fault{n})
	}
	return -n, nil
}

type Stack[T any] struct{ items []T }

func (s *Stack[T]) Push(xs ...T) { s.items = append(s.items, xs...) }

func (s *Stack[T]) Pop() (x T, ok bool) {
	if len(s.items) == 0 {
		return x, false
	}
	x = s.items[len(s.items)-1]
	s.items = s.items[:len(s.items)-1]
	return x, true
}

func Map[T, U any](xs []T, f func(T) U) []U {
	var out []U
	for _, x := range xs {
		out = append(out, f(x))
	}
	return out
}

func Sum[T ~int | ~uint8 | ~int32 | ~float64](first T, rest ...T) T {
	for _, x := range rest {
		first += x
	}
	return first
}

func count(n int) func(func(int, string) bool) {
	return func(yield func(int, string) bool) {
		for i := range n {
			if !yield(i*i, fmt.Sprint("#", i)) {
				return
			}
		}
	}
}
`

// declareTypes writes the types of the program: a record that embeds the base, a level, a unit and an interface.
func (g *generator) declareTypes() {
	g.record = record{g.global("Record"), []variable{{"A", g.pick(numeric...)}, {"b", g.pick(numeric...)}, {"s", "string"}, {"xs", "[3]int"}}}
	g.types = append(g.types, g.declareRecord(), g.declareLevel(), g.declareUnit(),
		fmt.Sprintf("type Sizer%s interface{ Size() float64 }\n\nvar %s = 3\n\nvar calls%s = 0\n", g.tag, g.seed(), g.tag))
}

func (g *generator) declareRecord() string {
	var text strings.Builder
	name, fields := g.record.name, g.record.fields
	fmt.Fprintf(&text, "type %s struct {\n", name)
	for _, f := range fields {
		fmt.Fprintf(&text, "\t%s %s\n", f.name, f.typ)
	}
	text.WriteString("\tBase\n}\n")
	fmt.Fprintf(&text, "\nfunc (r %s) Size() float64 { return float64(r.A) + float64(r.b)/2 + float64(r.xs[1]) }\n", name)
	fmt.Fprintf(&text, "\nfunc (r *%s) Grow(k int) int { r.A += %s(k & 7); r.xs[k&1]++; return r.xs[0] }\n", name, fields[0].typ)
	return text.String()
}

// declareLevel declares constants that count, some of which have a name.
func (g *generator) declareLevel() string {
	return g.tagged(`type Level@ KIND

const (
	Low@ Level@ = STEP
	_
	Mid@
	High@
)

func (l Level@) String() string {
	switch l {
	case Low@:
		return "low"
	case Mid@, High@:
		return fmt.Sprint("level ", int(l))
	}
	return fmt.Sprintf("Level(%d)", uint8(l))
}
`, "KIND", g.pick("int", "uint8", "int16", "uint32"), "STEP", g.pick("iota", "iota*3 + 1", "1 << iota", "7 - iota"))
}

func (g *generator) declareUnit() string {
	kind := g.pick("float64", "int", "string")
	return g.tagged(`type Unit@ KIND

func (u Unit@) String() string { return fmt.Sprintf("<%v>", KIND(u)) }
`, "KIND", kind)
}

// tagged puts the program's tag in the place of @ and other texts in that of names.
func (g *generator) tagged(text string, replace ...string) string {
	return strings.NewReplacer(append(replace, "@", g.tag)...).Replace(text)
}
