package notebook

import (
	"strings"
	"testing"
)

func result(data Object) Output { return Output{Type: Result, Data: data} }

func TestCompare(t *testing.T) {
	for _, c := range []struct {
		name          string
		stored, fresh []Output
		tags          []any
		want          string
	}{
		{"equal", []Output{result(Object{"text/plain": "1.5"})}, []Output{result(Object{"text/plain": "1.5"})}, nil, ""},
		{"last place", []Output{result(Object{"text/plain": "V = 48.9 m/s"})}, []Output{result(Object{"text/plain": "V = 49.0 m/s"})}, nil, ""},
		{"drift", []Output{result(Object{"text/plain": "V = 48.9 m/s"})}, []Output{result(Object{"text/plain": "V = 49.2 m/s"})}, nil, `output 1: text/plain: "V = 48.9 m/s" was stored, "V = 49.2 m/s" is new`},
		{"a whole number", []Output{result(Object{"text/plain": "n = 12"})}, []Output{result(Object{"text/plain": "n = 13"})}, nil, `"n = 12" was stored`},
		{"unit", []Output{result(Object{"text/plain": "48.9 m/s"})}, []Output{result(Object{"text/plain": "48.9 kt"})}, nil, `"48.9 m/s" was stored`},
		{"a line more", []Output{{Type: Stream, Name: "stdout", Text: "1\n"}}, []Output{{Type: Stream, Name: "stdout", Text: "1\n2\n"}}, nil, "is new"},
		{"sign", []Output{result(Object{"text/plain": "−3.20"})}, []Output{result(Object{"text/plain": "3.20"})}, nil, "is new"},
		{"missing", nil, []Output{result(Object{"text/plain": "1"})}, nil, "its outputs are missing"},
		{"fewer", []Output{result(nil)}, []Output{result(nil), result(nil)}, nil, "1 outputs are stored, and a new run gives 2"},
		{"other form", []Output{result(Object{"text/plain": "1"})}, []Output{result(Object{"text/plain": "1", "image/svg+xml": "<svg/>"})}, nil, "as text/plain and would be as image/svg+xml, text/plain"},
		{"other stream", []Output{{Type: Stream, Name: "stdout"}}, []Output{{Type: Stream, Name: "stderr"}}, nil, "stream stdout and would be stream stderr"},
		{"drawing", []Output{result(Object{"image/svg+xml": `<path d="M100.0 20"/>`})}, []Output{result(Object{"image/svg+xml": `<path d="M100.05 20"/>`})}, nil, ""},
		{"another drawing", []Output{result(Object{"image/svg+xml": `<path d="M100.0 20"/>`})}, []Output{result(Object{"image/svg+xml": `<path d="M110.0 20"/>`})}, nil, "image/svg+xml: "},
		{"data of a drawing", []Output{result(Object{"x+json": Object{"rows": []any{[]any{"1.2500"}}}})}, []Output{result(Object{"x+json": Object{"rows": [][]string{{"1.2501"}}}})}, nil, ""},
		{"other data", []Output{result(Object{"x+json": Object{"rows": []any{[]any{"1.2500"}}}})}, []Output{result(Object{"x+json": Object{"rows": [][]string{{"1.2503"}}}})}, nil, "x+json: "},
		{"varies", []Output{result(Object{"text/plain": "3 ms"})}, []Output{result(Object{"text/plain": "9 ms"})}, []any{TagVaries}, ""},
		{"varies in kind", []Output{result(Object{"text/plain": "3 ms"})}, []Output{{Type: Stream}}, []any{TagVaries}, "it was execute_result"},
	} {
		document := func(outputs []Output) *Document {
			return &Document{Cells: []Cell{{ID: "c", Kind: Code, Outputs: outputs, Metadata: Object{"tags": c.tags}}}}
		}
		var got []string
		for _, d := range Compare(document(c.stored), document(c.fresh), 1e-6) {
			got = append(got, d.String())
		}
		if text := strings.Join(got, "\n"); c.want == "" && text != "" || !strings.Contains(text, c.want) {
			t.Errorf("%s: %q, want %q", c.name, text, c.want)
		}
	}
}

func TestOrder(t *testing.T) {
	d := &Document{Cells: []Cell{{ID: "a", Kind: Code, Count: 3}, {ID: "b", Kind: Code, Count: 1}, {ID: "c", Kind: Code}, {ID: "d", Kind: Code, Count: 4}}}
	got := d.order()
	if len(got) != 1 || got[0].String() != "cell 2 (b): it was run as [1], before a cell above it, run as [3]" {
		t.Errorf("%v", got)
	}
}
