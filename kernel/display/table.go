package display

import (
	"html"
	"strings"

	"github.com/rivo/uniseg"
)

// Table is a table for reading. Columns that hold only numbers are aligned at the decimal point; floats are written by [Number], other values by fmt.
//
//	display.Table{
//		Caption: "Trim at 95 kt",
//		Header:  []string{"surface", "lift"},
//		Units:   []string{"", "N"},
//		Rows:    [][]any{{"canard", 2310.4}, {"wing", 7496.2}},
//	}
type Table struct {
	Caption string
	Header  []string
	Units   []string // by column; stands in the header, so that the cells are bare numbers; may be shorter than Header
	Rows    [][]any
	Headed  bool // the first column heads its row; so it does anyway if it holds text
}

// Text implements [Texter]: columns of equal width for a terminal.
func (t Table) Text() string {
	g := t.grid()
	lines := make([]string, 0, len(g.cells)+3)
	if t.Caption != "" {
		lines = append(lines, t.Caption)
	}
	if len(g.header) > 0 {
		rule := make([]string, len(g.columns))
		for i, c := range g.columns {
			rule[i] = strings.Repeat("─", c.width)
		}
		lines = append(lines, g.textRow(g.header), strings.Join(rule, "  "))
	}
	for _, row := range g.cells {
		lines = append(lines, g.textRow(row))
	}
	return strings.Join(lines, "\n")
}

// HTML implements [HTMLer]: a table with a caption and scoped header cells. Its only styling is the alignment of numbers.
func (t Table) HTML() string {
	g := t.grid()
	var b strings.Builder
	b.WriteString("<table>\n")
	if t.Caption != "" {
		b.WriteString("<caption>" + html.EscapeString(t.Caption) + "</caption>\n")
	}
	if len(g.header) > 0 {
		b.WriteString("<thead>\n<tr>")
		for i, h := range g.header {
			b.WriteString(g.columns[i].head(h))
		}
		b.WriteString("</tr>\n</thead>\n")
	}
	b.WriteString("<tbody>\n")
	for _, row := range g.cells {
		b.WriteString("<tr>")
		for i, cell := range row {
			b.WriteString(g.htmlCell(i, cell))
		}
		b.WriteString("</tr>\n")
	}
	b.WriteString("</tbody>\n</table>")
	return b.String()
}

// Markdown implements [Markdowner]: a pipe table under its caption.
func (t Table) Markdown() string {
	g := t.grid()
	var b strings.Builder
	if t.Caption != "" {
		b.WriteString(t.Caption + "\n\n")
	}
	header := g.header
	if len(header) == 0 {
		header = make([]string, len(g.columns)) // Markdown knows no table without a header
	}
	markdownRow(&b, header)
	rule := make([]string, len(g.columns))
	for i, c := range g.columns {
		rule[i] = "---"
		if c.numeric {
			rule[i] = "--:"
		}
	}
	markdownRow(&b, rule)
	for _, row := range g.cells {
		markdownRow(&b, row)
	}
	return strings.TrimRight(b.String(), "\n")
}

var markdownEscape = strings.NewReplacer(`\`, `\\`, "|", `\|`, "\n", " ", "*", `\*`, "_", `\_`, "`", "\\`", "<", "&lt;", "$", `\$`)

func markdownRow(b *strings.Builder, cells []string) {
	b.WriteString("|")
	for _, c := range cells {
		b.WriteString(" " + markdownEscape.Replace(c) + " |")
	}
	b.WriteString("\n")
}

// grid is a table as texts, rectangular, with what is known of each column.
type grid struct {
	header  []string // names with units; empty if the table has no header
	cells   [][]string
	columns []column
	headed  bool
}

type column struct {
	numeric     bool
	scientific  bool // an exponent in one of the numbers
	whole, rest int  // widths in front of and from the decimal point on
	width       int
}

func (t Table) grid() grid {
	n := max(len(t.Header), len(t.Units))
	for _, row := range t.Rows {
		n = max(n, len(row))
	}
	g := grid{columns: make([]column, n), cells: make([][]string, len(t.Rows))}
	for r, row := range t.Rows {
		g.cells[r] = make([]string, n)
		for i, v := range row {
			g.cells[r][i] = cellText(v)
		}
	}
	if len(t.Header)+len(t.Units) > 0 {
		g.header = t.heads(n)
	}
	for i := range g.columns {
		g.columns[i] = g.measure(i)
	}
	g.headed = n > 0 && (t.Headed || len(t.Rows) > 0 && !g.columns[0].numeric)
	return g
}

func (t Table) heads(n int) []string {
	heads := make([]string, n)
	copy(heads, t.Header)
	for i, unit := range t.Units {
		if unit != "" {
			heads[i] = strings.TrimSpace(heads[i] + " (" + unit + ")")
		}
	}
	return heads
}

func (g grid) measure(i int) column {
	var c column
	filled := false
	c.numeric = true
	for _, row := range g.cells {
		if row[i] == "" {
			continue
		}
		filled = true
		c.numeric = c.numeric && numeric(row[i])
		c.width = max(c.width, uniseg.StringWidth(row[i]))
		if finite(row[i]) {
			whole, rest := split(row[i])
			c.scientific = c.scientific || strings.ContainsAny(rest, "eE×")
			c.whole, c.rest = max(c.whole, uniseg.StringWidth(whole)), max(c.rest, uniseg.StringWidth(rest))
		}
	}
	c.numeric = c.numeric && filled
	if c.numeric {
		c.width = max(c.width, c.whole+c.rest)
	}
	if len(g.header) > 0 {
		c.width = max(c.width, uniseg.StringWidth(g.header[i]))
	}
	return c
}

func (g grid) textRow(row []string) string {
	padded := make([]string, len(row))
	for i, cell := range row {
		padded[i] = g.columns[i].pad(cell)
	}
	return strings.TrimRight(strings.Join(padded, "  "), " ")
}

// pad brings a cell to the column's width; text stands left, numbers stand with their points below each other, heads of numbers stand right.
func (c column) pad(cell string) string {
	right := 0
	if c.numeric && finite(cell) {
		_, rest := split(cell)
		right = c.rest - uniseg.StringWidth(rest)
	}
	left := c.width - uniseg.StringWidth(cell) - right
	if !c.numeric {
		left, right = 0, left
	}
	return strings.Repeat(" ", max(0, left)) + cell + strings.Repeat(" ", max(0, right))
}

func (c column) style() string {
	if c.numeric {
		return ` style="text-align:right"`
	}
	return ` style="text-align:left"`
}

func (g grid) htmlCell(i int, cell string) string {
	c := g.columns[i]
	text := html.EscapeString(cell)
	if c.numeric && cell != "" {
		text = c.aligned(cell)
	}
	if i == 0 && g.headed {
		return `<th scope="row"` + c.style() + ">" + text + "</th>"
	}
	return "<td" + c.style() + ">" + text + "</td>"
}

// head is the head of a column; one without a name is no header, which screen readers would announce.
func (c column) head(name string) string {
	if name == "" {
		return "<td></td>"
	}
	return `<th scope="col"` + c.style() + ">" + html.EscapeString(name) + "</th>"
}

// aligned typesets a number and fills it up with blanks as wide as the missing point and digits, because HTML cannot align at a decimal point.
// Numbers with exponents differ in more than digits, NaN and infinity have none: they stay as they are.
func (c column) aligned(cell string) string {
	text := html.EscapeString(typeset(cell))
	if c.scientific || c.rest == 0 || !finite(cell) {
		return text
	}
	_, rest := split(cell)
	missing := c.rest - uniseg.StringWidth(rest)
	if rest == "" {
		return text + "\u2008" + strings.Repeat("\u2007", missing-1) // a blank point, then blank digits
	}
	return text + strings.Repeat("\u2007", missing)
}
