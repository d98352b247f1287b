package report

import (
	"fmt"
	"strings"
	"text/tabwriter"
	"unicode/utf8"
)

// Table is a table for reading. Units belong to the columns and stand in the header.
type Table struct {
	Caption       string
	Header, Units []string
	Rows          [][]string
}

// Table returns the parts of the table; whoever renders tables asks for them by this method.
func (t Table) Table() (caption string, header, units []string, rows [][]string) {
	return t.Caption, t.Header, t.Units, t.Rows
}

// Text writes the table in columns, for terminals.
func (t Table) Text() string {
	var b strings.Builder
	w := tabwriter.NewWriter(&b, 0, 0, 2, ' ', tabwriter.AlignRight)
	for _, row := range append([][]string{t.Header, t.Units}, t.Rows...) {
		fmt.Fprintln(w, strings.Join(row, "\t")+"\t")
	}
	w.Flush() // to a builder: cannot fail
	return strings.TrimRight(b.String(), "\n") + "\n" + wrap(t.Caption, 120)
}

// wrap breaks text into lines of at most width characters.
func wrap(text string, width int) string {
	var b strings.Builder
	column := 0
	for word := range strings.FieldsSeq(text) {
		n := utf8.RuneCountInString(word)
		switch {
		case column == 0:
		case column+1+n > width:
			b.WriteByte('\n')
			column = 0
		default:
			b.WriteByte(' ')
			column++
		}
		b.WriteString(word)
		column += n
	}
	return b.String()
}
