package cell_test

import (
	"context"
	"regexp"
	"testing"

	"foreplane/kernel"
	"foreplane/kernel/cell"
	"foreplane/kernel/symbols"
)

// TestRefused has each construct of the list in refuse.go: it is refused at its place before anything of its cell has run.
func TestRefused(t *testing.T) {
	for _, c := range []struct{ cell, want string }{
		{"import \"reflect\"\ntype T struct{ a int }\nran()\nreflect.TypeOf(T{})", `line 4, column 16: reflect.TypeOf cannot be given a T in a cell: .*: give it the parts`},
		{"import \"encoding/xml\"\ntype T struct{ A int }\nran()\nxml.Marshal(T{1})", `line 4, column 13: xml.Marshal cannot be given a T`},
		{"import \"text/template\"\ntype T struct{ A int }\nran()\ntemplate.Must(template.New(\"t\").Parse(\"{{.A}}\")).Execute(os.Stdout, T{1})", `line 4, column 69: template.Execute cannot be given a T`},
		{"import \"encoding/xml\"\nran()\nf := xml.Marshal\nf(1)", `line 3, column 6: xml.Marshal cannot be used as a value in a cell, .*: call it in a function literal`},
		{"import \"encoding/gob\"\nran()\ne := gob.NewEncoder(os.Stdout)\ndefer e.Encode(1)", `line 4, column 7: gob.Encode cannot be called by go or defer in a cell, .*: call it in a function literal`},
		{"import \"reflect\"\ntype T struct{ a int }\nran()\nvar x any = T{}\nreflect.TypeOf(x)", `line 5, column 16: reflect.TypeOf looks inside its argument, .*: assert its type first, x\.\(T\), and this session has T`},
		{"import \"encoding/json\"\ntype K int\nfunc (K) MarshalText() ([]byte, error) { return nil, nil }\nran()\njson.Marshal(map[K]int{1: 2})", `line 5, column 14: encoding/json cannot write a map\[K\]int in a cell: the keys of a map have methods`},
		{"import \"encoding/json\"\ntype T struct{ strings.Builder; A int }\nran()\njson.Marshal(&T{})", `line 4, column 14: encoding/json cannot write a \*T in a cell: it embeds strings.Builder`},
		{"import \"encoding/json\"\ntype D int\ntype T struct{ A D `json:\",omitzero\"` }\nran()\njson.Marshal(T{})", `line 5, column 14: encoding/json cannot write a T in a cell: omitzero`},
		{"import \"encoding/json\"\ntype T []T\nran()\nvar v T\njson.Unmarshal([]byte(\"[]\"), &v)", `line 5, column 30: encoding/json cannot read into a \*T in a cell: a list or map in it contains itself: use pointers`},
		{"import \"reflect\"\ntype T struct{ reflect.Type }\nran()\nvar x reflect.Type = T{}\nx", `line 4, column \d+: a T cannot become a reflect.Type in a cell: only that package`},
		{"ran()\nvar b struct{ a [10]int }\nconst n = len(b.a)", `line 3, column 15: a constant cannot be made of the variable b of the same cell: declare b in a cell before`},
		{"import \"unique\"\nran()\nunique.Make(1)", `line 3, column \d+: .*unique`},
		{"import \"hash/maphash\"\nran()\nmaphash.Comparable(maphash.MakeSeed(), 1)", `line 3, column \d+: the generic function maphash.Comparable cannot be used in a cell: .*write what it does`},
	} {
		m, err := cell.NewMachine(symbols.Library, cell.MachineOptions{})
		if err != nil {
			t.Fatal(err)
		}
		e := cell.NewEngine(cell.NewFront(symbols.Library), m)
		e.Run(context.Background(), kernel.Cell{Code: "count := 0\nfunc ran() { count++ }", Number: 1}, none{})
		r := e.Run(context.Background(), kernel.Cell{Code: c.cell, Number: 2}, none{})
		switch {
		case r.Err == nil:
			t.Errorf("%s\nis not refused, want %q", c.cell, c.want)
		case r.Err.Name != "Refused" || !regexp.MustCompile(c.want).MatchString(r.Err.Message):
			t.Errorf("%s\ngives %s, want %q", c.cell, r.Err.Error(), c.want)
		}
		if r := e.Run(context.Background(), kernel.Cell{Code: "count", Number: 3}, none{}); r.Value == nil || r.Value.Text() != "0" {
			t.Errorf("%s\nsome of it has run (%v)", c.cell, r.Err)
		}
	}
}

// none is an output that drops everything.
type none struct{ kernel.Output }

func (none) Stream(string, string) {}
