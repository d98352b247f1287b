package display

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"
)

var trim = Table{
	Caption: "Trim at 95 kt",
	Header:  []string{"surface", "lift", "C_L", "share"},
	Units:   []string{"", "N", "", "%"},
	Rows: [][]any{
		{"canard", 2310.4, 0.82, 23.55},
		{"wing <main>", 7496.0, -0.5, 76},
		{"other", math.NaN(), math.Inf(1), nil},
	},
}

func ExampleTable() {
	fmt.Println(trim.Text())
	// Output:
	// Trim at 95 kt
	// surface      lift (N)    C_L  share (%)
	// ───────────  ────────  ─────  ─────────
	// canard         2310.4   0.82      23.55
	// wing <main>    7496    -0.5       76
	// other             NaN   +Inf
}

func TestTableHTML(t *testing.T) {
	want := `<table>
<caption>Trim at 95 kt</caption>
<thead>
<tr><th scope="col" style="text-align:left">surface</th><th scope="col" style="text-align:right">lift (N)</th>` +
		`<th scope="col" style="text-align:right">C_L</th><th scope="col" style="text-align:right">share (%)</th></tr>
</thead>
<tbody>
<tr><th scope="row" style="text-align:left">canard</th><td style="text-align:right">2310.4</td><td style="text-align:right">0.82</td><td style="text-align:right">23.55</td></tr>
<tr><th scope="row" style="text-align:left">wing &lt;main&gt;</th><td style="text-align:right">7496` + "\u2008\u2007" + `</td><td style="text-align:right">−0.5` + "\u2007" + `</td><td style="text-align:right">76` + "\u2008\u2007\u2007" + `</td></tr>
<tr><th scope="row" style="text-align:left">other</th><td style="text-align:right">NaN</td><td style="text-align:right">∞</td><td style="text-align:right"></td></tr>
</tbody>
</table>`
	if got := trim.HTML(); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

func TestTableMarkdown(t *testing.T) {
	table := Table{Caption: "A", Header: []string{"a|b", "x"}, Units: []string{"", "m"}, Rows: [][]any{{"*k*", 2.5}, {"<i>"}}}
	want := "A\n\n| a\\|b | x (m) |\n| --- | --: |\n| \\*k\\* | 2.5 |\n| &lt;i> |  |"
	if got := table.Markdown(); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

func TestNumber(t *testing.T) {
	tests := []struct {
		x    float64
		want string
	}{
		{0, "0"}, {math.Copysign(0, -1), "0"}, {0.1 + 0.2, "0.3"}, {101325, "101325"}, {1234567.8, "1234568"}, {-48.8722222, "-48.8722"},
		{0.00012345678, "0.000123457"}, {1.4e-5, "1.4e-05"}, {6.02214e23, "6.02214e+23"}, {999999.96, "1000000"}, {math.NaN(), "NaN"}, {math.Inf(-1), "-Inf"},
		{123456789012, "123456789012"}, {1e-4, "0.0001"},
	}
	for _, test := range tests {
		if got := Number(test.x); got != test.want {
			t.Errorf("Number(%v) = %q, want %q", test.x, got, test.want)
		}
	}
}

func TestTypeset(t *testing.T) {
	tests := []struct{ in, want string }{{"-1.4e-05", "−1.4×10⁻⁵"}, {"6e+23", "6×10²³"}, {"+Inf", "∞"}, {"-Inf", "−∞"}, {"-3", "−3"}, {"NaN", "NaN"}}
	for _, test := range tests {
		if got := typeset(test.in); got != test.want {
			t.Errorf("typeset(%q) = %q, want %q", test.in, got, test.want)
		}
	}
}

type dense struct{ r, c int }

func (d dense) Dims() (r, c int)        { return d.r, d.c }
func (d dense) At(i, j int) float64     { return float64(10*i + j) }
func (dense) Table() ([]string, string) { return nil, "" } // another signature than Tabler's must not confuse

type report struct{}

func (report) Table() (string, []string, []string, [][]string) {
	return "Loads", []string{"case", "n"}, nil, [][]string{{"gust", "3.8"}, {"pull-up", "−1.52"}}
}

// spoken is a report with a text of its own.
type spoken struct{ report }

func (spoken) Text() string { return "two loads" }

func TestTablerKeepsItsText(t *testing.T) {
	b := Of(spoken{})
	if b.Text() != "two loads" || b.Data[TypeHTML] != Of(report{}).Data[TypeHTML] || b.Data[TypeHTML] == nil || b.Data[TypeMarkdown] == nil {
		t.Errorf("got %v", b.Data)
	}
}

type point struct {
	Speed float64 `unit:"m/s"`
	Note  string
}

func TestTabular(t *testing.T) {
	tests := []struct {
		name string
		v    any
		want string
	}{
		{"rows of floats", [][]float64{{1, 2.5}, {10}}, "2 × 2\n    0  1\n─  ──  ───\n0   1  2.5\n1  10"},
		{"array", [1][2]float64{{1, 2}}, "1 × 2\n   0  1\n─  ─  ─\n0  1  2"},
		{"matrix", dense{2, 2}, "2 × 2\n    0   1\n─  ──  ──\n0   0   1\n1  10  11"},
		{"structs", []point{{48.87, "cruise"}, {30, "approach"}}, "Speed (m/s)  Note\n───────────  ────────\n      48.87  cruise\n      30     approach"},
		{"tabler", report{}, "Loads\ncase         n\n───────  ─────\ngust      3.8\npull-up  −1.52"},
		{"rows of ints stay as they are", [][]int{{1}}, "[[1]]"},
		{"values with a text of their own stay as they are", []time.Time{time.Unix(0, 0).UTC()}, "[1970-01-01 00:00:00 +0000 UTC]"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			if got := Of(test.v).Text(); got != test.want {
				t.Errorf("got\n%s\nwant\n%s", got, test.want)
			}
		})
	}
}

func TestLongTablesSayWhatIsLeftOut(t *testing.T) {
	text := Of(dense{100, 30}).Text()
	if !strings.HasPrefix(text, "100 × 30; the first 60 of 100 rows; the first 24 of 30 columns\n") {
		t.Errorf("the caption hides what is left out: %.80q", text)
	}
	if n := strings.Count(text, "\n"); n != 62 {
		t.Errorf("%d lines, want caption, head, rule and 60 rows", n+1)
	}
	long := Of(make([]point, 61)).Text()
	if !strings.HasPrefix(long, "the first 60 of 61 rows\n") {
		t.Errorf("the caption hides what is left out: %.80q", long)
	}
}
