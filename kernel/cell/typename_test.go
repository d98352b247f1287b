package cell

import (
	"go/ast"
	goimporter "go/importer"
	"go/parser"
	"go/token"
	"go/types"
	"testing"
)

// TestTypeName holds names against what reflection printed for the same types when compiled with Go 1.26.
func TestTypeName(t *testing.T) {
	const source = `package main

type C float64
type T struct{}
type G[K comparable, V any] struct{ k K }
type M interface{ m(); N(int) any }

func f() {
	type L int
	_ = []any{G[L, []L]{}}
}

var all = []any{
	struct{ T; x int "json:\"a\"" }{}, G[string, map[int]C]{}, (*M)(nil), []M{},
	func(...any) (error, any) { return nil, nil }, make(chan (<-chan C)), struct{ x, Y C }{},
	[](interface{ m(); A() C }){}, G[any, struct{ a C }]{}, G[*T, func(T) error]{}, [2]rune{}, []byte{},
}
`
	want := []string{"main.G[main.L·1,[]main.L·1]",
		`struct { main.T; x int "json:\"a\"" }`, "main.G[string,map[int]main.C]", "*main.M", "[]main.M",
		"func(...interface {}) (error, interface {})", "chan (<-chan main.C)", "struct { x main.C; Y main.C }",
		"[]interface { A() main.C; main.m() }", "main.G[interface {},struct { main.a main.C }]", "main.G[*main.T,func(main.T) error]", "[2]int32", "[]uint8"}
	set := token.NewFileSet()
	file, err := parser.ParseFile(set, "main.go", source, 0)
	if err != nil {
		t.Fatal(err)
	}
	info := &types.Info{Types: map[ast.Expr]types.TypeAndValue{}}
	config := types.Config{Importer: goimporter.Default()}
	if _, err := config.Check("main", set, []*ast.File{file}, info); err != nil {
		t.Fatal(err)
	}
	var got []string
	ast.Inspect(file, func(n ast.Node) bool {
		lit, ok := n.(*ast.CompositeLit)
		if !ok || types.TypeString(info.TypeOf(lit), nil) != "[]any" {
			return true
		}
		for _, e := range lit.Elts {
			got = append(got, typeName(info.TypeOf(e)))
		}
		return false
	})
	for i := range max(len(got), len(want)) {
		if i >= len(got) || i >= len(want) || got[i] != want[i] {
			t.Fatalf("name %d of\n%q\nis not that of\n%q", i, got, want)
		}
	}
}
