package publish

import (
	"regexp"
	"strings"
	"testing"
)

// formulas replaces what KaTeX has made by its source, which the MathML carries: ⟨…⟩ in a line, ⟪…⟫ on a line of its own.
func formulas(s string) string {
	source := regexp.MustCompile(`(?s)(<span class="katex-display" tabindex="0">)?<span class="katex"><span class="katex-mathml">.*?<annotation encoding="application/x-tex">(.*?)</annotation>.*?<span class="katex-html" aria-hidden="true">`)
	for {
		m := source.FindStringSubmatchIndex(s)
		if m == nil {
			return s
		}
		open, end, depth := "⟨", "⟩", 2
		if m[2] >= 0 {
			open, end, depth = "⟪", "⟫", 3
		}
		rest := s[m[1]:]
		at := 0
		for at < len(rest) && depth > 0 { // skip the spans of the visible formula
			next := strings.IndexAny(rest[at:], "<")
			if next < 0 {
				break
			}
			at += next
			switch {
			case strings.HasPrefix(rest[at:], "<span"):
				depth++
			case strings.HasPrefix(rest[at:], "</span>"):
				depth--
			}
			at++
		}
		at += strings.Index(rest[at:], ">") + 1
		s = s[:m[0]] + open + s[m[4]:m[5]] + end + rest[at:]
	}
}

func TestMathSyntax(t *testing.T) {
	tests := []struct{ name, in, want string }{
		{"in a line", "lift $C_L = 0.5$ here", "<p>lift ⟨C_L = 0.5⟩ here</p>"},
		{"displayed in a line", "so $$x$$ holds", "<p>so ⟪x⟫ holds</p>"},
		{"displayed", "$$\nx = 1\n$$", "<p>⟪x = 1⟫</p>"},
		{"displayed on one line", "  $$x$$  ", "<p>⟪x⟫</p>"},
		{"two on one line", "$$x$$ $$y$$", "<p>⟪x⟫ ⟪y⟫</p>"},
		{"interrupts a paragraph", "text\n$$\nx\n$$\nmore", "<p>text</p>\n<p>⟪x⟫</p>\n<p>more</p>"},
		{"lines that look like Markdown", "$$\na\n- b\n\n> c\n$$", "<p>⟪a\n- b\n\n&gt; c⟫</p>"},
		{"emphasis inside", "$a_1 * b_1 * c_1$", "<p>⟨a_1 * b_1 * c_1⟩</p>"},
		{"over a line end", "$a +\nb$", "<p>⟨a +\nb⟩</p>"},
		{"environment", "\\begin{align}\na &= b \\\\\nc &= d\n\\end{align}", "<p>⟪\\begin{align}\na &amp;= b \\\\\nc &amp;= d\n\\end{align}⟫</p>"},
		{"unknown environment", "\\begin{verbatim}\nx\n\\end{verbatim}", "<p>\\begin{verbatim}\nx\n\\end{verbatim}</p>"},
		{"prices", "from $5 to $6, or $ 7 $", "<p>from $5 to $6, or $ 7 $</p>"},
		{"escaped", `\$x\$ and $a\$b$`, `<p>$x$ and ⟨a\$b⟩</p>`},
		{"code", "`$x$` and\n\n    $y$\n", "<p><code>$x$</code> and</p>\n<pre tabindex=\"0\"><code>$y$</code></pre>"},
		{"unclosed", "a $x", "<p>a $x</p>"},
		{"unclosed display", "$$\nx\n\ny", "<p>$$\nx</p>\n<p>y</p>"},
		{"empty", "a $$$$ b $$ $$", "<p>a $$$$ b $$ $$</p>"},
		{"in a list", "- item\n\n  $$\n  x\n  $$\n- next", "<ul>\n<li>\n<p>item</p>\n<p>⟪x⟫</p>\n</li>\n<li>\n<p>next</p>\n</li>\n</ul>"},
		{"in a table", "| a | b |\n|---|---|\n| $x$ | $y_1$ |", "<div class=\"wide\" tabindex=\"0\"><table>\n<thead>\n<tr>\n<th>a</th>\n<th>b</th>\n</tr>\n</thead>\n<tbody>\n<tr>\n<td>⟨x⟩</td>\n<td>⟨y_1⟩</td>\n</tr>\n</tbody>\n</table></div>"},
		{"in emphasis and links", "**$x$** [$y$](#z)", "<p><strong>⟨x⟩</strong> <a href=\"#z\">⟨y⟩</a></p>"},
		{"less than", "$a<b$", "<p>⟨a&lt;b⟩</p>"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			got := strings.TrimSuffix(strings.TrimPrefix(formulas(body(t, test.in)), `<div class="text">`), "</div>")
			if got = strings.TrimSpace(got); got != test.want {
				t.Errorf("got\n%s\nwant\n%s", got, test.want)
			}
		})
	}
}

func TestMarkdown(t *testing.T) {
	tests := []struct{ name, in, want string }{
		{"Go", "```go\nx := 1 // <a>\n```", "<pre tabindex=\"0\"><code>x := <span class=\"n\">1</span> <span class=\"c\">// &lt;a&gt;</span></code></pre>"},
		{"another language", "```sh\nls <a>\n```", "<pre tabindex=\"0\"><code>ls &lt;a&gt;</code></pre>"},
		{"strike and link", "~~a~~ https://example.org/", `<p><del>a</del> <a href="https://example.org/">https://example.org/</a></p>`},
		{"column alignment", "| a |\n|--:|\n| 1 |", "<div class=\"wide\" tabindex=\"0\"><table>\n<thead>\n<tr>\n<th style=\"text-align: right\">a</th>\n</tr>\n</thead>\n" +
			"<tbody>\n<tr>\n<td style=\"text-align: right\">1</td>\n</tr>\n</tbody>\n</table></div>"},
		{"footnote", "a[^n]\n\n[^n]: note", "<p>a<sup id=\"c1-fnref:1\"><a class=\"footnote-ref\" href=\"#c1-fn:1\" role=\"doc-noteref\">1</a></sup></p>\n" +
			"<div class=\"footnotes\" role=\"doc-endnotes\">\n<hr/>\n<ol>\n<li id=\"c1-fn:1\">\n<p>note\u00a0<a class=\"footnote-backref\" href=\"#c1-fnref:1\" role=\"doc-backlink\" title=\"back to the text\">↩︎</a></p>\n</li>\n</ol>\n</div>"},
		{"raw HTML", "a <sub>b</sub> <kbd>c</kbd>\n\n<details><summary>s</summary>\n\n*t*\n\n</details>",
			"<p>a <sub>b</sub> <kbd>c</kbd></p>\n<details><summary>s</summary>\n<p><em>t</em></p>\n</details>"},
		{"unclosed raw HTML", "</div></main><b>x", "<b>x</b>"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			got := strings.TrimSuffix(strings.TrimPrefix(body(t, test.in), `<div class="text">`), "</div>")
			if got = strings.TrimSpace(got); got != test.want {
				t.Errorf("got\n%s\nwant\n%s", got, test.want)
			}
		})
	}
}
