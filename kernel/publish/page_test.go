package publish

import (
	"crypto/sha256"
	"encoding/base64"
	"flag"
	"html"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"testing/fstest"

	"foreplane/kernel/notebook"
)

var update = flag.Bool("update", false, "rewrite the golden files")

// render publishes a notebook.
func render(t *testing.T, doc *notebook.Document, o Options) string {
	t.Helper()
	var b strings.Builder
	if err := Page(&b, doc, o); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// body publishes one text cell and returns what stands between the marks of the page's main part.
func body(t *testing.T, markdown string) string {
	t.Helper()
	return mainPart(t, render(t, &notebook.Document{Cells: []notebook.Cell{{Kind: notebook.Markdown, Source: markdown}}}, Options{}))
}

func mainPart(t *testing.T, page string) string {
	t.Helper()
	_, rest, ok := strings.Cut(page, `<main id="page-text" tabindex="-1">`)
	inside, _, closed := strings.Cut(rest, "</main>\n<footer>")
	if !ok || !closed {
		t.Fatalf("the page is broken:\n%s", page)
	}
	return strings.TrimSpace(inside)
}

func TestSample(t *testing.T) {
	doc, err := notebook.ReadFile("testdata/sample.ipynb")
	if err != nil {
		t.Fatal(err)
	}
	page := render(t, doc, Options{Caution: true})
	if again := render(t, doc, Options{Caution: true}); again != page {
		t.Error("the page differs from run to run")
	}
	path := filepath.Join("testdata", "sample.html")
	if *update {
		if err := os.WriteFile(path, []byte(page), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if page != string(want) {
		t.Errorf("%s differs", path)
	}
}

// TestPolicyKnowsTheStyle holds that the hash in the policy is that of the style sheet, without which a browser shows the page bare.
func TestPolicyKnowsTheStyle(t *testing.T) {
	page := render(t, &notebook.Document{Cells: []notebook.Cell{{Kind: notebook.Markdown, Source: `$a < b$`}}}, Options{})
	style := regexp.MustCompile(`(?s)<style>(.*)</style>`).FindStringSubmatch(page)
	policy := regexp.MustCompile(`Content-Security-Policy" content="([^"]*)"`).FindStringSubmatch(page)
	if style == nil || policy == nil {
		t.Fatalf("no style or no policy in %.400s", page)
	}
	sum := sha256.Sum256([]byte(style[1]))
	got := html.UnescapeString(policy[1])
	if !strings.Contains(got, "style-src 'sha256-"+base64.StdEncoding.EncodeToString(sum[:])+"'") || !strings.HasPrefix(got, "default-src 'none';") {
		t.Errorf("policy is %s", got)
	}
	if !strings.Contains(style[1], "KaTeX_Main") || !strings.Contains(style[1], "--paper") {
		t.Error("the style sheet lacks the formulas' part or ours")
	}
}

func TestPageWithoutFormulas(t *testing.T) {
	page := render(t, &notebook.Document{Cells: []notebook.Cell{{Kind: notebook.Markdown, Source: "# A title\n\ntext"}}}, Options{})
	if strings.Contains(page, "KaTeX") || strings.Contains(page, "@font-face") {
		t.Error("a page without formulas carries their fonts")
	}
	if len(page) > 12_000 {
		t.Errorf("the page has %d bytes", len(page))
	}
}

func TestTitle(t *testing.T) {
	text := func(s string) []notebook.Cell { return []notebook.Cell{{Kind: notebook.Markdown, Source: s}} }
	tests := []struct {
		name    string
		doc     notebook.Document
		options Options
		title   string
		heading string
	}{
		{"heading", notebook.Document{Cells: text("# The *best* `x` & $C_L$")}, Options{}, "The best x & C_L", ""},
		{"metadata", notebook.Document{Metadata: notebook.Object{"title": "M"}, Cells: text("# H")}, Options{}, "M", ""},
		{"option", notebook.Document{Metadata: notebook.Object{"title": "M"}, Cells: text("# H")}, Options{Title: "<O>"}, "<O>", ""},
		{"no heading", notebook.Document{Cells: text("text")}, Options{}, "Notebook", "Notebook"},
		{"lower heading", notebook.Document{Cells: text("## Part")}, Options{}, "Part", "Part"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			page := render(t, &test.doc, test.options)
			if !strings.Contains(page, "<title>"+html.EscapeString(test.title)+"</title>") {
				t.Errorf("no title %q in %s", test.title, page[strings.Index(page, "<title>"):][:60])
			}
			if own := strings.Contains(page, "<h1>"+html.EscapeString(test.heading)+"</h1>"); own != (test.heading != "") {
				t.Errorf("heading of its own: %v", own)
			}
		})
	}
}

func TestContentsAndHeadingIDs(t *testing.T) {
	doc := &notebook.Document{Cells: []notebook.Cell{
		{Kind: notebook.Markdown, Source: "# Trim\n\n## First part\n\n### Slope $a_w$\n"},
		{Kind: notebook.Markdown, Source: "## First part\n\n## Çá va?\n\n#### deep"},
	}}
	page := render(t, doc, Options{})
	for _, want := range []string{
		`<li class="level2"><a href="#First-part">First part</a></li>`, `<a href="#First-part-2">First part</a>`, `<li class="level3">`, "Slope a_w</a>",
		`<h2 id="First-part">`, `<h2 id="First-part-2">`, `<h2 id="Çá-va?">`,
	} {
		if !strings.Contains(page, want) {
			t.Errorf("no %s", want)
		}
	}
	if strings.Contains(page, ">deep</a>") {
		t.Error("headings of level 4 are in the contents")
	}
	few := render(t, &notebook.Document{Cells: doc.Cells[:1]}, Options{})
	if strings.Contains(few, "<nav") {
		t.Error("two headings need no contents")
	}
}

func TestCautionAndLanguage(t *testing.T) {
	page := render(t, &notebook.Document{}, Options{Caution: true, Lang: "de"})
	if !strings.Contains(page, "licensed engineers decide") || !strings.Contains(page, `<html lang="de">`) {
		t.Error("caution or language is missing")
	}
	if page := render(t, &notebook.Document{}, Options{}); strings.Contains(page, "licensed engineers") || !strings.Contains(page, `<html lang="en">`) {
		t.Error("caution without a reason, or another language")
	}
}

func TestCodeCell(t *testing.T) {
	tests := []struct {
		name string
		cell notebook.Cell
		want string
	}{
		{"not run", notebook.Cell{Source: "x"}, `<div class="cell"><pre class="code" tabindex="0"><code>x</code></pre>` + "\n</div>"},
		{"run", notebook.Cell{Source: "x\n", Count: 3}, `<div class="cell"><span class="number"><span class="unseen">Cell </span>3</span><pre class="code" tabindex="0"><code>x</code></pre>` + "\n</div>"},
		{"folded", notebook.Cell{Source: "x", Metadata: notebook.Object{"jupyter": notebook.Object{"source_hidden": true}}},
			`<div class="cell"><details><summary>Code</summary><pre class="code" tabindex="0"><code>x</code></pre></details>` + "\n</div>"},
		{"outputs hidden", notebook.Cell{Source: "x", Outputs: []notebook.Output{{Type: notebook.Stream}}, Metadata: notebook.Object{"jupyter": notebook.Object{"outputs_hidden": true}}},
			`<div class="cell"><pre class="code" tabindex="0"><code>x</code></pre>` + "\n</div>"},
		{"private characters", notebook.Cell{Source: "\ue0000\ue001"}, "<div class=\"cell\"><pre class=\"code\" tabindex=\"0\"><code>\ufffd<span class=\"n\">0</span>\ufffd</code></pre>\n</div>"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			test.cell.Kind = notebook.Code
			if got := mainPart(t, render(t, &notebook.Document{Cells: []notebook.Cell{test.cell}}, Options{})); got != test.want {
				t.Errorf("got\n%s\nwant\n%s", got, test.want)
			}
		})
	}
	raw := mainPart(t, render(t, &notebook.Document{Cells: []notebook.Cell{{Kind: notebook.Raw, Source: "<b>"}, {Kind: notebook.Raw}}}, Options{}))
	if raw != `<div class="raw"><pre tabindex="0">&lt;b&gt;</pre></div>` {
		t.Errorf("raw cells become %s", raw)
	}
}

func TestImages(t *testing.T) {
	doc := &notebook.Document{Cells: []notebook.Cell{{
		Kind: notebook.Markdown,
		Source: "![a *plan*](attachment:plan.png) ![b](pictures/x.svg) ![c](gone.png) ![d](../secret.png) ![e](https://example.org/e.png) " +
			"![f](data:image/gif;base64,AAAA) ![g](data:text/html;base64,AAAA)",
		Attachments: map[string]notebook.Object{"plan.png": {"image/png": "iVBO\nRw=="}},
	}}}
	files := fstest.MapFS{"pictures/x.svg": {Data: []byte("<svg/>")}, "secret.png": {Data: []byte("x")}}
	got := mainPart(t, render(t, doc, Options{Files: files}))
	want := `<div class="text"><p><img src="data:image/png;base64,iVBORw==" alt="a plan"/> <img src="data:image/svg+xml;base64,PHN2Zy8+" alt="b"/> ` +
		`<a href="gone.png">c</a> <a href="../secret.png">d</a> <a href="https://example.org/e.png">e</a> <img src="data:image/gif;base64,AAAA" alt="f"/> <img alt="g"/></p>` + "\n</div>"
	if got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

// TestContrast computes the contrast of every colour of text to the grounds it stands on, in light and dark: 4.5:1 is level AA of WCAG 2.2 (1.4.3).
func TestContrast(t *testing.T) {
	light, dark, _ := strings.Cut(styleSheet, "@media screen and (prefers-color-scheme: dark)")
	for scheme, sheet := range map[string]string{"light": light, "dark": dark} {
		colours := map[string]string{}
		for _, m := range regexp.MustCompile(`--(\w+): (#[0-9a-f]{6});`).FindAllStringSubmatch(sheet, -1) {
			colours[m[1]] = m[2]
		}
		if len(colours) != 14 {
			t.Errorf("%s has the colours %v, want 14", scheme, colours)
		}
		for name, c := range colours {
			if name == "paper" || name == "tint" || name == "line" {
				continue
			}
			for _, ground := range []string{"paper", "tint"} {
				if ratio := contrast(t, c, colours[ground]); ratio < 4.5 {
					t.Errorf("%s: %s on %s has a contrast of %.2f", scheme, name, ground, ratio)
				}
			}
		}
	}
}

func BenchmarkPage(b *testing.B) {
	doc, err := notebook.ReadFile("testdata/sample.ipynb")
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if err := Page(io.Discard, doc, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
