package publish

import (
	"html"
	"regexp"
	"strings"
	"testing"

	"foreplane/kernel/display"
	"foreplane/kernel/notebook"
)

// shown publishes one output and returns what stands in its place.
func shown(t *testing.T, o notebook.Output) string {
	t.Helper()
	page := mainPart(t, render(t, &notebook.Document{Cells: []notebook.Cell{{Kind: notebook.Code, Outputs: []notebook.Output{o}}}}, Options{}))
	got := strings.TrimPrefix(page, `<div class="cell"><div class="outputs">`+"\n")
	return strings.TrimSpace(strings.TrimSuffix(got, "</div>\n</div>"))
}

func TestOutput(t *testing.T) {
	bundle := func(data notebook.Object) notebook.Output { return notebook.Output{Type: notebook.Result, Data: data} }
	tests := []struct {
		name string
		o    notebook.Output
		want string
	}{
		{"stdout", notebook.Output{Type: notebook.Stream, Name: "stdout", Text: "a<b\n"}, `<div class="stdout"><pre tabindex="0">a&lt;b</pre></div>`},
		{"stderr", notebook.Output{Type: notebook.Stream, Name: "stderr", Text: "a"}, `<div class="stderr"><span class="label">stderr</span><pre tabindex="0">a</pre></div>`},
		{"text", bundle(notebook.Object{"text/plain": "3 < 4"}), `<div class="value"><pre tabindex="0">3 &lt; 4</pre></div>`},
		{"nothing known", bundle(notebook.Object{"application/x.y": "z"}), `<div class="value"><pre tabindex="0"></pre></div>`},
		{"JSON", bundle(notebook.Object{"application/json": notebook.Object{"b": 1, "a": nil}, "text/plain": "x"}),
			"<div class=\"value\"><pre tabindex=\"0\">{\n  &#34;a&#34;: null,\n  &#34;b&#34;: 1\n}</pre></div>"},
		{"HTML before all", bundle(notebook.Object{"text/html": "<b>x", "text/latex": "$x$", "image/svg+xml": "<svg/>", "text/plain": "x"}), `<div class="rich"><b>x</b></div>`},
		{"Markdown", bundle(notebook.Object{"text/markdown": "*x*", "text/plain": "x"}), "<div class=\"rich\"><p><em>x</em></p>\n</div>"},
		{"drawing", bundle(notebook.Object{"image/svg+xml": `<svg><path d="M0 0"/></svg>`, "image/png": "AAAA"}), `<figure id="fig:"><div class="drawing paper"><svg><path d="M0 0"></path></svg></div><figcaption><b>Figure 1</b></figcaption></figure>`},
		{"drawing in the page's colours", bundle(notebook.Object{"image/svg+xml": `<svg stroke="currentColor"></svg>`}), `<figure id="fig:"><div class="drawing"><svg stroke="currentColor"></svg></div><figcaption><b>Figure 1</b></figcaption></figure>`},
		{"image", notebook.Output{Type: notebook.Display, Data: notebook.Object{"image/png": "iVBO\nRw==\n", "text/plain": "plot"},
			Metadata: notebook.Object{"image/png": notebook.Object{"width": 400.0, "height": "x", "alt": `a "b"`}}},
			`<figure id="fig:"><div class="paper"><img src="data:image/png;base64,iVBORw==" alt="a &#34;b&#34;" width="400"></div><figcaption><b>Figure 1</b></figcaption></figure>`},
		{"image without alt text", bundle(notebook.Object{"image/jpeg": "AAAA", "text/plain": "plot"}), `<figure id="fig:"><div class="paper"><img src="data:image/jpeg;base64,AAAA" alt="plot"></div><figcaption><b>Figure 1</b></figcaption></figure>`},
		{"broken image", bundle(notebook.Object{"image/png": "!"}),
			`<div class="value"><pre tabindex="0">(image/png that cannot be shown: illegal base64 data at input byte 0)</pre></div>`},
		{"error", notebook.Output{Type: notebook.Failure, ErrorName: "Check", Message: "m + s", Traceback: []string{"\x1b[31mCheck\x1b[0m: m + s", "cell 1, line 2"}},
			`<div class="failure" role="group" aria-label="Error"><p><strong>Check</strong> m + s</p><pre tabindex="0">cell 1, line 2</pre></div>`},
		{"error that says all in its name", notebook.Output{Type: notebook.Failure, ErrorName: "Panic", Message: "x", Traceback: []string{"Panic: x"}},
			`<div class="failure" role="group" aria-label="Error"><p><strong>Panic</strong> x</p></div>`},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			if got := shown(t, test.o); got != test.want {
				t.Errorf("got\n%s\nwant\n%s", got, test.want)
			}
		})
	}
}

func TestLaTeXOutput(t *testing.T) {
	tests := []struct{ in, want string }{
		{`$$x$$`, `⟪x⟫`},
		{`$a$ < $$b$$ and \(c\) \[d\]`, `⟨a⟩ &lt; ⟪b⟫ and ⟨c⟩ ⟪d⟫`},
		{"\\begin{aligned}a\\end{aligned}", `⟪\begin{aligned}a\end{aligned}⟫`},
		{"costs 5 $", "costs 5 $"},
		{"$ $", "$ $"},
	}
	for _, test := range tests {
		got := formulas(shown(t, notebook.Output{Type: notebook.Result, Data: notebook.Object{"text/latex": test.in}}))
		if want := `<div class="rich"><p>` + test.want + "</p></div>"; got != want {
			t.Errorf("%s becomes\n%s\nwant\n%s", test.in, got, want)
		}
	}
}

func TestTerminal(t *testing.T) {
	tests := []struct{ in, want string }{
		{"\x1b[1;31mred\x1b[0m", "red"},
		{"10 %\r20 %\rdone\nnext\r\n", "done\nnext\n"},
		{"\x1b]0;title\x07x\x1b[2Ky", "xy"},
		{"tab\tand ünïcode", "tab\tand ünïcode"},
		{"a\r", "a"},
	}
	for _, test := range tests {
		if got := terminal(test.in); got != test.want {
			t.Errorf("terminal(%q) = %q, want %q", test.in, got, test.want)
		}
	}
}

// TestTableSurvives holds that a table of package display comes through the sanitizer as it is, but for its box.
func TestTableSurvives(t *testing.T) {
	table := display.Table{Caption: "Loads < 4", Header: []string{"case", "n"}, Units: []string{"", "g"}, Rows: [][]any{{"gust", 3.8}, {"pull-up", 10.0}}}.HTML()
	got := shown(t, notebook.Output{Type: notebook.Result, Data: notebook.Object{"text/html": table}})
	got = strings.ReplaceAll(got, "text-align: ", "text-align:")
	table = strings.Replace(table, "<caption>", "<caption><b>Table 1.</b> ", 1)
	if want := `<div class="rich" id="tab:"><div class="wide" tabindex="0">` + table + "</div></div>"; got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

// TestDrawingSurvives holds that the sanitizer takes nothing but what it should from a figure: all attributes are there, ids apart.
func TestDrawingSurvives(t *testing.T) {
	doc, err := notebook.ReadFile("testdata/sample.ipynb")
	if err != nil {
		t.Fatal(err)
	}
	var figure string
	for _, c := range doc.Cells {
		for _, o := range c.Outputs {
			if s, ok := o.Data["image/svg+xml"].(string); ok {
				figure = s
			}
		}
	}
	if figure == "" {
		t.Fatal("the sample has no figure")
	}
	attribute := regexp.MustCompile(`\s([\w:-]+)="([^"]*)"`)
	kept := map[string]int{}
	for _, m := range attribute.FindAllStringSubmatch(sanitize(figure, "c1"), -1) {
		kept[m[1]+"="+normal(m[2])]++
	}
	for _, m := range attribute.FindAllStringSubmatch(figure, -1) {
		name, value := m[1], normal(m[2])
		switch name {
		case "xmlns":
			continue
		case "id":
			value = "c1-" + value
		case "aria-labelledby":
			value = "c1-" + strings.ReplaceAll(value, " ", " c1-")
		}
		if kept[name+"="+value]--; kept[name+"="+value] < 0 {
			t.Errorf("%s=%q is lost", name, value)
		}
	}
}

// normal writes an attribute's value in one way.
func normal(value string) string {
	return strings.Trim(strings.NewReplacer(": ", ":", "; ", ";").Replace(html.UnescapeString(value)), "; ")
}

func TestDrawingsKeepApart(t *testing.T) {
	drawing := `<svg viewBox="0 0 1 1"><defs><clipPath id="a"><rect/></clipPath><linearGradient id="b"/></defs>` +
		`<g clip-path="url(#a)" style="fill:url('#b')" aria-labelledby="a b"><use xlink:href="#a"/></g></svg>`
	want := `<svg viewBox="0 0 1 1"><defs><clipPath id="s-a"><rect></rect></clipPath><linearGradient id="s-b"></linearGradient></defs>` +
		`<g clip-path="url(#s-a)" aria-labelledby="s-a s-b"><use xlink:href="#s-a"></use></g></svg>`
	if got := sanitize(drawing, "s"); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}
