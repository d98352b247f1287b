package publish

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"foreplane/kernel/notebook"
)

const bib = `@string{naca = "NACA"}
@techreport{munk1921, author = {Munk, Max M.}, title = "The Minimum Induced Drag of Aerofoils", institution = naca, number = {Report 121}, year = 1921}
@comment{nothing}
@article{kroo1982, author={Kroo, Ilan}, title={Design and Analysis of {O}ptimally-Loaded Lifting Systems}, journal={Journal of Aircraft}, volume=19, number=9, pages={792--797}, year={1982},}
`

// numberedNotebook has a figure, a table, an equation and citations, each referred to before it comes.
func numberedNotebook() *notebook.Document {
	svg := notebook.Object{
		"image/svg+xml": "<svg><title>Polar</title></svg>", "text/plain": "Polar\nx",
		"application/vnd.foreplane.table+json": notebook.Object{"header": []any{"α"}, "units": []any{"°"}, "rows": []any{[]any{"1.5"}}},
	}
	table := notebook.Object{"text/html": "<table><caption>Loads</caption><tbody><tr><td>1</td></tr></tbody></table>"}
	return &notebook.Document{Cells: []notebook.Cell{
		{ID: "t", Kind: notebook.Markdown, Source: "See [](#fig:polar), [](#fig:polar-2), [](#tab:loads), [](#eq:lift), [](#ref:kroo1982), [p. 3](#ref:munk1921), [again](#ref:kroo1982) and [the polar](#fig:polar).\n\n$$L = q S C_L \\label{eq:lift}$$"},
		{ID: "polar", Kind: notebook.Code, Source: "polar", Outputs: []notebook.Output{{Type: notebook.Display, Data: svg}, {Type: notebook.Display, Data: svg}}},
		{ID: "loads", Kind: notebook.Code, Outputs: []notebook.Output{{Type: notebook.Result, Data: table}}},
	}}
}

func TestNumbers(t *testing.T) {
	list, err := ReadBibTeX(bib)
	if err != nil {
		t.Fatal(err)
	}
	page := render(t, numberedNotebook(), Options{Bibliography: list, Strict: true})
	for _, want := range []string{
		`See <a href="#fig:polar">Figure 1</a>, <a href="#fig:polar-2">Figure 2</a>, <a href="#tab:loads">Table 1</a>, <a href="#eq:lift">Equation 1</a>, ` +
			`<a href="#ref:kroo1982">[1]</a>, <a href="#ref:munk1921">[2, p. 3]</a>, <a href="#ref:kroo1982">[1, again]</a> and <a href="#fig:polar">the polar</a>.`,
		`<span id="eq:lift"><span class="katex-display"`, `<figure id="fig:polar-2">`, `<caption><b>Table 1.</b> Loads</caption>`, `<details><summary>Data</summary>`, `α (°)`,
		`<li id="ref:kroo1982">Kroo, Ilan. Design and Analysis of Optimally-Loaded Lifting Systems. <cite>Journal of Aircraft</cite> 19 (9). 1982. pp. 792–797.</li>`,
		`<li id="ref:munk1921">Munk, Max M. <cite>The Minimum Induced Drag of Aerofoils</cite>. Report 121. NACA. 1921.</li>`,
	} {
		if !strings.Contains(page, want) {
			t.Errorf("the page lacks %s", want)
		}
	}
}

func TestUnknownLabels(t *testing.T) {
	doc := &notebook.Document{Cells: []notebook.Cell{{Kind: notebook.Markdown, Source: "[](#fig:none) [](#ref:nobody) [x](#heading) [y](https://example.org/#fig:a)"}}}
	err := Page(new(strings.Builder), doc, Options{Strict: true})
	if unknown := (*UnknownLabels)(nil); !errors.As(err, &unknown) || !slices.Equal(unknown.Labels, []string{"#fig:none", "#ref:nobody"}) {
		t.Errorf("%v", err)
	}
	if page := render(t, doc, Options{}); !strings.Contains(page, `<a href="#fig:none">(?)</a>`) {
		t.Error("the page hides that a label is not known")
	}
}

func TestBadBibTeX(t *testing.T) {
	for text, want := range map[string]string{
		"@article{a, title={x}":                    "line 1: a field of @article{a is not written name = {value}",
		"\n@article{a, title={x":                   "line 2: a value that begins here does not end",
		"@article{, title={x}}":                    "line 1: @article has no key with a comma behind it",
		"@book(a, title={x})":                      "line 1: behind @book a { is missing",
		"@book{a, title=}":                         "line 1: a value is missing",
		"@book{a, year=1}\n@book{a, year=2}":       "line 2: the key a is there twice",
		"@book{a, author = \"M{\\\"u}ller\", x=1}": "",
	} {
		list, err := ReadBibTeX(text)
		if want == "" {
			if err != nil || list["a"].Fields["author"] != "Müller" {
				t.Errorf("%s: %v, %v", text, list, err)
			}
			continue
		}
		if err == nil || err.Error() != want {
			t.Errorf("%s: %v, want %s", text, err, want)
		}
	}
}

func TestUnits(t *testing.T) {
	isUnit := func(s string) bool {
		return slices.Contains([]string{"m/s", "kt", "rad", "°", "lbf", "N", "m²", "ft²"}, s)
	}
	for _, c := range []struct{ text, si, us string }{
		{"V = 48.9 m/s (95.0 kt)", "V = 48.9 m/s", "V = 95.0 kt"},
		{"α 0.0363 rad (2.08°), 3 parts (2 fins)", "α 0.0363 rad, 3 parts (2 fins)", "α 2.08°, 3 parts (2 fins)"},
		{"−170.5 N (−38.3 lbf) and S 9.45 m² (101.7 ft²)", "−170.5 N and S 9.45 m²", "−38.3 lbf and S 101.7 ft²"},
		{"1.2 (see 3.4)", "1.2 (see 3.4)", "1.2 (see 3.4)"},
	} {
		for units, want := range map[Units]string{SIUnits: c.si, CustomaryUnits: c.us, BothUnits: c.text} {
			w := &writer{options: Options{Units: units, IsUnit: isUnit}}
			if got := w.inUnits(c.text); got != want {
				t.Errorf("%s in %q: %s, want %s", c.text, units, got, want)
			}
		}
	}
	const formula = `V &= 48.9\,\mathrm{m/s}\quad (95.0\,\mathrm{kt}) \\ S &= 10.00\,\mathrm{m^{2}}\quad (107.6\,\mathrm{ft^{2}})`
	for units, want := range map[Units]string{
		SIUnits: `V &= 48.9\,\mathrm{m/s} \\ S &= 10.00\,\mathrm{m^{2}}`, CustomaryUnits: `V &= 95.0\,\mathrm{kt} \\ S &= 107.6\,\mathrm{ft^{2}}`, BothUnits: formula,
	} {
		if got := (&writer{options: Options{Units: units, IsUnit: isUnit}}).inFormulaUnits(formula); got != want {
			t.Errorf("in %q: %s, want %s", units, got, want)
		}
	}
}

func TestSolutions(t *testing.T) {
	doc := &notebook.Document{Cells: []notebook.Cell{
		{ID: "a", Kind: notebook.Code, Source: "open := 1"},
		{ID: "b", Kind: notebook.Code, Source: "//foreplane:question q\nsecret1 := 2"},
		{ID: "c", Kind: notebook.Markdown, Source: "secret2", Metadata: notebook.Object{"tags": []any{"solution"}}},
		{ID: "d", Kind: notebook.Code, Source: "open = 3"},
		{ID: "e", Kind: notebook.Markdown, Source: "secret3", Metadata: notebook.Object{"tags": []any{"solution"}}},
	}}
	shown, folded, left := render(t, doc, Options{}), render(t, doc, Options{Solutions: FoldSolutions}), render(t, doc, Options{Solutions: OmitSolutions})
	if !strings.Contains(shown, "secret1") || strings.Contains(shown, `class="solution"`) {
		t.Error("solutions are not shown")
	}
	if strings.Count(folded, "<summary>Solution</summary>") != 2 || strings.Count(folded, "</details>") != 2 || !strings.Contains(folded, "secret2") {
		t.Error("solutions are not folded, those that follow each other together")
	}
	if strings.Contains(left, "secret") || !strings.Contains(left, "open") {
		t.Error("solutions are not left out")
	}
	if page := render(t, doc, Options{FoldCode: true}); strings.Count(page, "<summary>Code</summary>") != 3 {
		t.Error("code is not folded")
	}
}
