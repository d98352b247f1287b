package publish

import (
	"io/fs"
	"strings"
	"testing"
	"time"
)

func TestTypesetRefused(t *testing.T) {
	var set typesetter
	tests := []struct{ tex, want string }{
		{`\foo<b>`, `<span class="refused"><code>\foo&lt;b&gt;</code> <span>This formula cannot be typeset: Undefined control sequence: \foo at position 1: \foo&lt;b&gt;</span></span>`},
		{`\frac{`, "Unexpected end of input in a macro argument"},
		{`\def\a{\a\a}\a`, "Too many expansions"},
	}
	for _, test := range tests {
		got, err := set.set(formula{tex: test.tex})
		if err != nil || !strings.Contains(got, test.want) {
			t.Errorf("%s becomes %s, error %v", test.tex, got, err)
		}
	}
	if css, err := set.style(); css != "" || err != nil {
		t.Errorf("nothing was typeset, but a style is needed: %.80s, error %v", css, err)
	}
}

// TestTypesetHarmless holds that TeX cannot bring addresses, markup or styles of its own into the page.
func TestTypesetHarmless(t *testing.T) {
	var set typesetter
	for _, tex := range []string{
		`\href{javascript:alert(1)}{x}`, `\url{https://example.org}`, `\includegraphics{https://example.org/x.png}`, `\htmlClass{skip}{x}`,
		`\htmlStyle{position:fixed}{x}`, `\htmlData{a=b}{x}`, `\htmlId{a}{x}`, `\text{<script>alert(1)</script>}`, `\unicode{<b onclick=1>}`,
	} {
		got, err := set.set(formula{tex: tex})
		if err != nil {
			t.Errorf("%s: %v", tex, err)
		}
		for _, bad := range []string{"<script", "href=", "src=", `"position:fixed`, "data-a", `id="a"`, `class="skip`, "<b "} {
			if strings.Contains(got, bad) {
				t.Errorf("%s brings %s into the page: %s", tex, bad, got)
			}
		}
	}
	wide, err := set.set(formula{tex: `\rule{500000em}{500000em}`})
	if err != nil || strings.Contains(wide, "500000em;") || !strings.Contains(wide, "40em") {
		t.Errorf("a formula can cover the page: %s, error %v", wide, err)
	}
}

// TestTypesetBounded holds that a formula cannot take all time and memory, and that others are typeset after it.
func TestTypesetBounded(t *testing.T) {
	var set typesetter
	for _, c := range []struct{ name, tex, want string }{
		{"long", strings.Repeat("x", longestFormula+1), "are the most"},
		{"nested groups", strings.Repeat("{", 1900) + strings.Repeat("}", 1900), "nested too deep"},
		{"nested roots", strings.Repeat(`\sqrt{`, 500) + "x" + strings.Repeat("}", 500), "nested too deep"},
		{"nested fractions", strings.Repeat(`\frac1{`, 200) + "x" + strings.Repeat("}", 200), "nested too deep"},
		{"nested by a macro", `\def\a#1{{#1}}` + strings.Repeat(`\a{`, 300) + strings.Repeat("}", 300), "cannot be typeset"},
		{"as deep as any in earnest", strings.Repeat(`\sqrt{1+`, 30) + "x" + strings.Repeat("}", 30), `class="katex"`},
		{"long in earnest", strings.Repeat("x_1 + ", 200) + "1", `class="katex"`},
	} {
		got, err := set.set(formula{tex: c.tex})
		if err != nil || !strings.Contains(got, c.want) {
			t.Errorf("%s: %.200s, error %v", c.name, got, err)
		}
	}
}

func TestTypesetInTime(t *testing.T) {
	e, err := startedEngine()
	if err != nil {
		t.Fatal(err)
	}
	e.mu.Lock()
	defer e.mu.Unlock()
	options, err := e.newOptions()
	if err != nil {
		t.Fatal(err)
	}
	long := strings.Repeat("x_1 + ", 1000) + "1"
	if _, err := e.within(time.Millisecond, long, options); err == nil || !strings.Contains(refused(formula{tex: "x"}, err), "typeset: it takes too long</span>") {
		t.Errorf("error %v", err)
	}
	if _, err := e.within(time.Minute, "x", options); err != nil {
		t.Errorf("after that: %v", err)
	}
}

func TestTypesetMacrosLast(t *testing.T) {
	var set typesetter
	for _, tex := range []string{`\gdef\V{\bar V}`, `\newcommand{\W}{W} x`} {
		if _, err := set.set(formula{tex: tex}); err != nil {
			t.Fatal(err)
		}
	}
	if got, err := set.set(formula{tex: `\V + \W`}); err != nil || strings.Contains(got, "refused") {
		t.Errorf("macros are forgotten: %s, error %v", got, err)
	}
}

// TestFonts holds that formulas bring the fonts they use, and that every font of the style sheet is there.
func TestFonts(t *testing.T) {
	tests := []struct {
		tex       string
		has, lack []string
	}{
		{`x`, []string{"KaTeX_Main;font-weight:400;font-style:normal", "KaTeX_Math;font-weight:400;font-style:italic"}, []string{"KaTeX_AMS", "KaTeX_Size", "font-weight:700;src"}},
		{`\mathbb{R}`, []string{"KaTeX_AMS"}, []string{"KaTeX_Fraktur"}},
		{`\mathbf{x}`, []string{"KaTeX_Main;font-weight:700;font-style:normal"}, []string{"KaTeX_AMS"}},
		{`\left(\frac{\frac{a}{b}}{c}\right) \sum`, []string{"KaTeX_Size1", "KaTeX_Size3"}, []string{"KaTeX_Script"}},
	}
	for _, test := range tests {
		var set typesetter
		if _, err := set.set(formula{tex: test.tex}); err != nil {
			t.Fatal(err)
		}
		css, err := set.style()
		if err != nil {
			t.Fatal(err)
		}
		for _, want := range test.has {
			if !strings.Contains(css, "@font-face{font-family:"+want) {
				t.Errorf("%s: no font %s", test.tex, want)
			}
		}
		for _, not := range test.lack {
			if strings.Contains(css, "@font-face{font-family:"+not) {
				t.Errorf("%s: needless font %s", test.tex, not)
			}
		}
	}
	all := map[string]bool{}
	for _, m := range cssClass().FindAllStringSubmatch(katexSheet, -1) {
		all[m[1]] = true
	}
	css, err := katexStyle(all)
	if err != nil {
		t.Fatal(err)
	}
	files, err := fs.Glob(katexFonts, "katex/fonts/*.woff2")
	if err != nil {
		t.Fatal(err)
	}
	if got := strings.Count(css, "@font-face"); got > len(files) || got < 15 {
		t.Errorf("%d fonts of %d are used", got, len(files))
	}
}

// TestRulesKept holds that a rule with a condition it must not meet is kept: without it, accents stand beside their letters.
func TestRulesKept(t *testing.T) {
	var set typesetter
	if _, err := set.set(formula{tex: `\bar V`}); err != nil {
		t.Fatal(err)
	}
	css, err := set.style()
	if err != nil || !strings.Contains(css, ".accent-body:not(.accent-full){width:0}") || strings.Contains(css, ".reset-size1.size2") {
		t.Errorf("wrong rules for an accent, error %v:\n%s", err, css[strings.LastIndex(css, "@font-face"):])
	}
}

func BenchmarkFormula(b *testing.B) {
	var set typesetter
	for b.Loop() {
		if _, err := set.set(formula{tex: `h_n = \frac{a_w h_w S_w + a_c h_c S_c (1 - \varepsilon_\alpha)}{a_w S_w + a_c S_c}`, display: true}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkEngineStart(b *testing.B) {
	for b.Loop() {
		if _, err := startEngine(); err != nil {
			b.Fatal(err)
		}
	}
}
