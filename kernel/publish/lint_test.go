package publish

import (
	"strings"
	"testing"
	"testing/fstest"

	"foreplane/kernel/notebook"
)

func TestLint(t *testing.T) {
	files := fstest.MapFS{"data.csv": {Data: []byte("1")}, "plan.png": {Data: []byte("\x89PNG")}}
	for _, c := range []struct {
		text   string
		output notebook.Object
		want   string
	}{
		{text: "# The title\n[a](#The-title) [b](data.csv) [c](https://example.org/x) ![plan](plan.png)"},
		{text: "[a](#Nowhere)", want: "the link to #Nowhere leads nowhere: no heading, figure, table or equation is called so"},
		{text: "[a](missing.csv)", want: "the link to missing.csv leads nowhere: there is no such file"},
		{text: "[a](../secret)", want: "the link to ../secret leads nowhere"},
		{text: "![](plan.png)", want: "the picture plan.png has no text in its place: ![what it shows](plan.png)"},
		{text: "![plan](other.png)", want: "the picture other.png is not there"},
		{output: notebook.Object{"image/svg+xml": "<svg><title>Polar</title></svg>", "text/plain": "x"}},
		{output: notebook.Object{"image/svg+xml": "<svg><title> </title></svg>", "text/plain": "x"}, want: "output 1: the picture (image/svg+xml) has no text in its place"},
		{output: notebook.Object{"image/png": "AA==", "text/plain": "a polar"}},
		{output: notebook.Object{"image/png": "AA==", "text/plain": "<Figure size 640x480>"}, want: "the picture (image/png) has no text"},
		{output: notebook.Object{"text/html": "<img src='x'>", "text/plain": "x"}, want: "a picture in HTML has no alt text"},
		{output: notebook.Object{"text/html": "<img src='x' alt='a plan'>", "text/plain": "x"}},
	} {
		doc := &notebook.Document{Cells: []notebook.Cell{
			{ID: "t", Kind: notebook.Markdown, Source: c.text}, {ID: "c", Kind: notebook.Code, Outputs: []notebook.Output{{Type: notebook.Display, Data: c.output}}},
		}}
		var got []string
		for _, d := range Lint(doc, files) {
			got = append(got, d.String())
		}
		if text := strings.Join(got, "\n"); c.want == "" && text != "" || !strings.Contains(text, c.want) {
			t.Errorf("%s%v: %q, want %q", c.text, c.output, text, c.want)
		}
	}
}
