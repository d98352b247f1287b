package prose

import (
	"fmt"
	"strings"
	"testing"
)

func TestParse(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"nothing", `nothing`},
		{"V is {{.V}}.", `V is |<V>|.`},
		{"{{ .r.Alpha | in \"°\" | digits 3 }}", `<r.Alpha in ° digits 3>`},
		{"{{in \"kt\" .V}} {{bare .n}}", `<V in kt>| |<n bare>`},
		{"$V = {{.V}}$ and {{.V}}", `$V = |<V math>|$ and |<V>`},
		{"$$\na = {{.a}}\n$$\n{{.a}}", "$$\na = |<a math>|\n$$\n|<a>"},
		{"`{{.V}}` and\n```\n{{.V}}\n```\n{{.V}}", "`{{.V}}` and\n```\n{{.V}}\n```\n|<V>"},
		{`$x_{{V}}$ and \frac{{a+b}}{c}`, `$x_{{V}}$ and \frac{{a+b}}{c}`},
		{"costs \\$5, {{.V}}", "costs \\$5, |<V>"},
		{"{{V}}", `{{V}}: the name of a value stands behind a dot: {{.V}}`},
		{"{{.V | im \"kt\"}}", `{{.V | im "kt"}}: function "im" not defined`},
		{"{{.V | in kt}}", `{{.V | in kt}}: function "kt" not defined`},
		{"{{.V | in}}", `{{.V | in}}: in is followed by a unit in quotes, such as in "kt"`},
		{"{{.V | digits 0}}", `{{.V | digits 0}}: digits is followed by a whole number from 1 to 15`},
		{"{{if .V}}a{{end}}", `{{if .V}}: unexpected EOF`},
		{"{{$x := .V}}", "{{$x := .V}}"},
		{"{{.V | digits 2 | .W}}", `{{.V | digits 2 | .W}}: .W is none of in, digits and bare`},
		{"{{bare}}", `{{bare}}: it names no value: the first is a name behind a dot, such as .V`},
	} {
		if got := describe(Parse(c.text)); got != c.want {
			t.Errorf("%s\ngot  %s\nwant %s", c.text, got, c.want)
		}
	}
}

func describe(parts []Part, err error) string {
	if err != nil {
		return err.Error()
	}
	var out []string
	for _, p := range parts {
		text := p.Text
		if len(p.Path) > 0 {
			text = "<" + strings.Join(p.Path, ".")
			if p.Unit != "" {
				text += " in " + p.Unit
			}
			if p.Digits > 0 {
				text += fmt.Sprint(" digits ", p.Digits)
			}
			if p.Bare {
				text += " bare"
			}
			if p.Math {
				text += " math"
			}
			text += ">"
		}
		out = append(out, text)
	}
	return strings.Join(out, "|")
}
