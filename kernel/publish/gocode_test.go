package publish

import (
	"html"
	"regexp"
	"testing"
)

func TestColour(t *testing.T) {
	tests := []struct{ in, want string }{
		{"for i := range 3 {", `<span class="k">for</span> i := <span class="k">range</span> <span class="n">3</span> {`},
		{"f(x.len, len(y))", `<span class="f">f</span>(x.len, <span class="b">len</span>(y))`},
		{"a.len(1i)", `a.<span class="f">len</span>(<span class="n">1i</span>)`},
		{`s := "<&>" + 'x' // c`, `s := <span class="s">&#34;&lt;&amp;&gt;&#34;</span> + <span class="s">&#39;x&#39;</span> <span class="c">// c</span>`},
		{"a\n\nb /* c\n*/ \n", "a\n\nb <span class=\"c\">/* c\n*/</span> \n"},
		{"", ""},
		{"x ‽ \"unclosed", "x ‽ <span class=\"s\">&#34;unclosed</span>"},
		{"`raw\r\nx` y // z\r\n w", "<span class=\"s\">`raw\r\nx</span>` y <span class=\"c\">// z</span>\r\n w"},
	}
	for _, test := range tests {
		if got := colour(test.in); got != test.want {
			t.Errorf("colour(%q)\n = %s\nwant %s", test.in, got, test.want)
		}
	}
}

// FuzzColour holds that no text is lost or added.
func FuzzColour(f *testing.F) {
	for _, seed := range []string{"x := 1", "`a\r\nb`", "/* \r */ x", "\x00\xff", "'", ";;\n;", "a\ufeffb", "//\r\r\n"} {
		f.Add(seed)
	}
	tag := regexp.MustCompile(`</?span[^>]*>`)
	f.Fuzz(func(t *testing.T, source string) {
		if got := tag.ReplaceAllString(colour(source), ""); got != html.EscapeString(source) {
			t.Errorf("%q became %q", source, html.UnescapeString(got))
		}
	})
}
