package notebook

import "testing"

func TestDiff(t *testing.T) {
	before := &Document{Cells: []Cell{
		{ID: "a", Kind: Code, Source: "x := 1\ny := 2\nz := 3"}, {ID: "b", Kind: Markdown, Source: "text"}, {ID: "c", Kind: Code, Source: "gone\ntoo"}, {ID: "d", Kind: Code},
	}}
	after := &Document{Cells: []Cell{
		{ID: "d", Kind: Code, Outputs: []Output{{Type: Stream, Name: "stdout", Text: "1"}}}, {ID: "a", Kind: Code, Source: "x := 1\ny := 5\nz := 3", Metadata: Object{"tags": []any{"solution"}}},
		{ID: "n", Kind: Raw, Source: "new"}, {ID: "b", Kind: Markdown, Source: "text"},
	}}
	want := `~ code cell d: moved, outputs
~ code cell a: source, tags
- y := 2
+ y := 5
+ raw cell n: added
+ new
- code cell c: removed
- gone
- too
`
	if got := Diff(before, after); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
	if got := Diff(after, after); got != "" {
		t.Errorf("got %s", got)
	}
}
