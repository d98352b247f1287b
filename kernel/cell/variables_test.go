package cell

import (
	"strings"
	"testing"
)

func TestVariables(t *testing.T) {
	b := &book{T: t, engine: newTestEngine(t)}
	b.run("", `type point struct{ X, y float64 }
V := 48.5
n := 7
name := "Sedge"
long := strings.Repeat("ab", 50)
list := []float64{1, 2, 3, 4, 5, 6}
table := map[string]int{"a": 1}
p := point{1, 2}
q := &p
points := []point{p, p}
var none any
var held any = p
f := func(x float64) float64 { return x }
c := make(chan int, 3)
z := complex(1, 2)
empty := []int{}
deep := [][][][]int{{{{1}}}}
var e error`)
	b.run("", "V = 50\nc <- 4")
	b.run("", "unknown := 1 / (n - n)")
	got := map[string]Variable{}
	for _, v := range b.engine.Variables() {
		got[v.Name] = v
	}
	for _, w := range []struct {
		name, typ, value, size string
		cell                   int
	}{
		{"V", "float64", "50", "8 B", 2},
		{"n", "int", "7", "8 B", 1},
		{"name", "string", `"Sedge"`, "21 B", 1},
		{"long", "string", `"` + strings.Repeat("ab", 30) + `"… (100 bytes)`, "116 B", 1},
		{"list", "[]float64", "[1 2 3 4 …] (6 elements)", "72 B", 1},
		{"table", "map[string]int", "1 entry", "more than 8 B", 1},
		{"p", "point", "{X: 1, y: 2}", "16 B", 1},
		{"q", "*point", "&{X: 1, y: 2}", "more than 8 B", 1},
		{"points", "[]point", "[{X: 1, y: 2} {X: 1, y: 2}]", "56 B", 1},
		{"none", "any", "nil", "more than 16 B", 1},
		{"held", "any", "main.point {X: 1, y: 2}", "more than 16 B", 1},
		{"f", "func(x float64) float64", "func", "more than 8 B", 1},
		{"c", "chan int", "channel, 1 waiting", "more than 8 B", 1},
		{"z", "complex128", "(1+2i)", "16 B", 1},
		{"empty", "[]int", "[]", "24 B", 1},
		{"deep", "[][][][]int", "[[[[…]]]]", "more than 48 B", 1},
		{"e", "error", "nil", "more than 16 B", 1},
	} {
		v := got[w.name]
		if v.Type != w.typ || v.Value != w.value || v.Size != w.size || v.Cell != w.cell || v.Set.IsZero() {
			t.Errorf("%s: got %+v\nwant %+v", w.name, v, w)
		}
	}
	if len(got) != 17 {
		t.Errorf("%d variables, want 17: unknown was never set", len(got))
	}
	if text, _ := b.run("", "variables()"); !strings.Contains(text, "50") || !strings.Contains(text, "48 B") {
		t.Errorf("variables() shows %s", text)
	}
}
