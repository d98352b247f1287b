package display

import (
	"bytes"
	"encoding/base64"
	"encoding/xml"
	"errors"
	"image"
	"image/png"
	"math"
	"strings"
	"testing"
)

type figure struct{ alt string }

func (figure) SVG() ([]byte, error) {
	return []byte(`<?xml version="1.0"?><svg xmlns="http://www.w3.org/2000/svg" width="9" height="3"><path d="M0 0h9"/></svg>`), nil
}

func (figure) PNG() ([]byte, error) {
	var b bytes.Buffer
	err := png.Encode(&b, image.NewGray(image.Rect(0, 0, 18, 7)))
	return b.Bytes(), err
}

func (f figure) AltText() string { return f.alt }
func (figure) String() string    { return "figure" }

type broken struct{}

func (broken) SVG() ([]byte, error) { return nil, errors.New("no data between 3 and 4 m/s") }
func (broken) HTML() string         { panic("index out of range") }
func (broken) Text() string         { return "polar" }

type pointer struct{ name string }

func (p *pointer) HTML() string { return p.name }

func TestOfText(t *testing.T) {
	tests := []struct {
		name string
		v    any
		want string
	}{
		{"nil", nil, "<nil>"},
		{"nil pointer with a renderer", (*pointer)(nil), "<nil>"},
		{"float", 0.25, "0.25"},
		{"NaN", math.NaN(), "NaN"},
		{"infinity", math.Inf(-1), "-Inf"},
		{"error", errors.New("mass -3 kg is negative"), "mass -3 kg is negative"},
		{"stringer", figure{}, "figure"},
		{"struct", struct{ A, B int }{1, 2}, "{1 2}"},
		{"slice of floats", []float64{1, 2.5}, "[1 2.5]"},
		{"empty slice of structs", []struct{ A int }{}, "[]"},
		{"structs with hidden fields", []struct{ A, b int }{{1, 2}}, "[{1 2}]"},
		{"HTML", HTML("<b>x</b>"), "<b>x</b>"},
		{"JSON", JSON{map[string]int{"a": 1}}, "{\n  \"a\": 1\n}"},
		{"failing renderings", broken{}, "polar\n(no HTML: the rendering panicked: index out of range)\n(no SVG: no data between 3 and 4 m/s)"},
		{"JSON of NaN", JSON{math.NaN()}, "{NaN}\n(no JSON: json: unsupported value: NaN)"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			if got := Of(test.v).Text(); got != test.want {
				t.Errorf("got %q, want %q", got, test.want)
			}
		})
	}
}

func TestOfRenderings(t *testing.T) {
	tests := []struct {
		v    any
		mime string
		want string
	}{
		{HTML("<b>x</b>"), TypeHTML, "<b>x</b>"},
		{Markdown("*x*"), TypeMarkdown, "*x*"},
		{LaTeX(`C_L = 2\pi\alpha`), TypeLaTeX, `$$C_L = 2\pi\alpha$$`},
		{LaTeX(`$x$`), TypeLaTeX, `$x$`},
		{&pointer{"p"}, TypeHTML, "p"},
	}
	for _, test := range tests {
		if got := Of(test.v).Data[test.mime]; got != test.want {
			t.Errorf("%v: %s is %q, want %q", test.v, test.mime, got, test.want)
		}
	}
	b := Of(JSON{[]int{1, 2}})
	if list, ok := b.Data[TypeJSON].([]any); !ok || len(list) != 2 || list[1] != 2.0 {
		t.Errorf("JSON is held as %#v, want the decoded list", b.Data[TypeJSON])
	}
}

func TestFigureDescribed(t *testing.T) {
	b := Of(figure{"Lift against \"α\" <degrees>\nTwo lines that cross at 4°."})
	svg := b.Data[TypeSVG].(string)
	for _, want := range []string{
		`role="img"`, `aria-label="Lift against &#34;α&#34; &lt;degrees&gt; Two lines that cross at 4°."`,
		`height="3" role`, `<title>Lift against &#34;α&#34; &lt;degrees&gt;</title><desc>Two lines that cross at 4°.</desc><path`,
	} {
		if !strings.Contains(svg, want) {
			t.Errorf("no %s in %s", want, svg)
		}
	}
	if err := xml.Unmarshal([]byte(svg), new(struct{ XMLName xml.Name })); err != nil {
		t.Errorf("not XML any more: %v", err)
	}
}

func TestDescribeKeepsWhatIsThere(t *testing.T) {
	tests := []struct{ in, want string }{
		{`<svg role="graphics-document"><title>own</title></svg>`, `<svg role="graphics-document" aria-label="other"><title>own</title></svg>`},
		{`<svg aria-labelledby="t"><title id="t">own</title></svg>`, `<svg aria-labelledby="t" role="img"><title id="t">own</title></svg>`},
		{`<svg/>`, `<svg role="img" aria-label="other"><title>other</title></svg>`},
		{`<svg a="/" >x</svg>`, `<svg a="/" role="img" aria-label="other"><title>other</title>x</svg>`},
	}
	for _, test := range tests {
		got, err := describe([]byte(test.in), "other")
		if err != nil || string(got) != test.want {
			t.Errorf("describe(%s) = %s, %v; want %s", test.in, got, err, test.want)
		}
	}
	for _, bad := range []string{"", "<html/>", "no markup"} {
		if _, err := describe([]byte(bad), "x"); err == nil {
			t.Errorf("describe(%q) found an SVG", bad)
		}
	}
}

func TestPNGSize(t *testing.T) {
	b := Of(figure{"a line"})
	hints := b.Metadata[TypePNG].(map[string]any)
	if hints["width"] != 9 || hints["height"] != 4 || hints["alt"] != "a line" {
		t.Errorf("an 18 × 7 pixel image has hints %v, want half its size and its alt text", hints)
	}
	data, err := base64.StdEncoding.DecodeString(b.Data[TypePNG].(string))
	if err != nil || !bytes.HasPrefix(data, []byte("\x89PNG")) {
		t.Errorf("the image is not base64 of a PNG: %v", err)
	}
}

func TestRow(t *testing.T) {
	if got := Row(3, nil, "a").Text(); got != "3 <nil> a" {
		t.Errorf("got %q", got)
	}
	b := Row(1, HTML("<b>x</b>"))
	if got := b.Data[TypeHTML]; got != "<div><pre>1</pre></div>\n<div><b>x</b></div>" {
		t.Errorf("got %q", got)
	}
	if got := Row(1, 2).Data[TypeHTML]; got != nil {
		t.Errorf("two numbers need no HTML, got %q", got)
	}
}

// charted is a picture that can also give its data as a table, as figures do.
type charted struct{ figure }

func (charted) Table() (caption string, header, units []string, rows [][]string) {
	return "data", []string{"x"}, nil, [][]string{{"1"}}
}

// TestPictureBeforeTable holds that the data of a picture do not take its place: front ends prefer HTML to pictures.
func TestPictureBeforeTable(t *testing.T) {
	b := Of(charted{figure{"a line"}})
	for _, kind := range []string{TypeHTML, TypeMarkdown} {
		if b.Data[kind] != nil {
			t.Errorf("the picture comes with %s: %v", kind, b.Data[kind])
		}
	}
	if b.Data[TypeSVG] == nil {
		t.Error("no picture")
	}
}

type unfinished struct{ figure }

func (unfinished) Err() error { return errors.New("no data") }

type scanner struct{}

func (scanner) Err() error { return errors.New("not a picture") }

func TestBroken(t *testing.T) {
	for _, c := range []struct {
		value  any
		broken bool
	}{{unfinished{}, true}, {(*unfinished)(nil), false}, {figure{}, false}, {scanner{}, false}, {nil, false}} {
		if got := Broken(c.value) != nil; got != c.broken {
			t.Errorf("Broken(%T) = %v", c.value, got)
		}
	}
}
