package figure

import (
	"strings"
	"testing"
	"unicode/utf8"
)

// show writes runs as text: italics in slashes, scripts in brackets after their sign.
func show(runs []run) string {
	var b strings.Builder
	for _, r := range runs {
		s := r.text
		if r.italic {
			s = "/" + s + "/"
		}
		switch r.script {
		case subscript:
			s = "_[" + s + "]"
		case superscript:
			s = "^[" + s + "]"
		}
		b.WriteString(s)
	}
	return b.String()
}

func TestMarkup(t *testing.T) {
	for _, c := range []struct{ in, want, plain string }{
		{"C_L", "/C/_[L]", "CL"},
		{"C_{Lα}", "/C/_[L]_[/α/]", "CLα"},
		{"CG position x_cg", "CG position /x/_[cg]", "CG position x_cg"},
		{"Speed V", "Speed /V/", "Speed V"},
		{"Deflection δ", "Deflection /δ/", "Deflection δ"},
		{`\alpha and \Delta`, "/α/ and Δ", "α and Δ"},
		{"10^-5", "10^[−5]", "10⁻⁵"},
		{"V^2", "/V/^[2]", "V²"},
		{"5 m aft", "5 m aft", "5 m aft"},
		{"2x", "2/x/", "2x"},
		{"Lift (N)", "Lift (N)", "Lift (N)"},
		{"a wing I saw", "a wing I saw", "a wing I saw"},
		{"δ = -5°", "/δ/ = −5°", "δ = −5°"},
		{"co-operate 1-2", "co-operate 1-2", "co-operate 1-2"},
		{`file\_name`, "file_name", "file_name"},
		{"Re_c", "Re_[c]", "Re_c"},
		{"CL_max", "CL_[max]", "CLmax"},
		{"½ρV^2", "½/ρV/^[2]", "½ρV²"},
		{"V̄", "/V̄/", "V̄"},
		{`\nothing`, `\nothing`, `\nothing`},
		{"x_", "/x/_", "x_"},
		{"x_{open", "/x/_{open", "x_{open"},
		{`\`, `\`, `\`},
		{"x^{a b}", "/x/^[a b]", "x^a b"},
		{"dC_m/dα", "d/C/_[m]/d/α/", "dCm/dα"},
	} {
		if got := show(parseMarkup(c.in)); got != c.want {
			t.Errorf("%q is set as %s, want %s", c.in, got, c.want)
		}
		if got := plain(c.in); got != c.plain {
			t.Errorf("%q reads %q, want %q", c.in, got, c.plain)
		}
	}
	if got := show(parseUnit("m/s^2")); got != "m/s^[2]" {
		t.Errorf("unit set as %s", got)
	}
}

// FuzzMarkup holds the parser to take any text, to lose no letter or digit, and the figure to make well-formed SVG of it.
func FuzzMarkup(f *testing.F) {
	for _, s := range []string{"", "C_{Lα}", `\alpha_`, "x^_^_", "_{}", "a_{b", "}{", `\\`, "\x00<&>\"", "\xff", "10^-5", "(", " ()", "é̄"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		runs := parseMarkup(s)
		if utf8.ValidString(s) && !strings.ContainsRune(s, '\\') {
			want := strings.NewReplacer("_", "", "^", "", "{", "", "}", "", "-", "", "−", "").Replace(s)
			got := ""
			for _, r := range runs {
				got += r.text
			}
			if got = strings.NewReplacer("_", "", "^", "", "{", "", "}", "", "-", "", "−", "").Replace(got); got != want {
				t.Fatalf("%q became %q", s, got)
			}
		}
		svg, err := New(s, Axis{Label: s}, Axis{}).Curve(s, []float64{0, 1}, []float64{0, 1}).Point(s, 0.5, 0.5).SVG()
		if err != nil {
			t.Fatal(err)
		}
		wellFormed(t, svg)
	})
}
