package cell

import (
	"cmp"
	"fmt"
	"go/token"
	"slices"
	"strings"

	"github.com/rivo/uniseg"

	"foreplane/kernel"
)

// problem is one thing that is wrong with a cell.
type problem struct {
	place   Place
	pos     token.Pos // of what go/types has found
	message string
	goSays  string // what the message is a rewording of
}

type problems []problem

// maxProblems is how many problems of a cell are told; more than these help nobody.
const maxProblems = 10

// cellError tells all problems in the order of the cell, each with its line.
func (p problems) cellError(name string, cell kernel.Cell) *kernel.CellError {
	slices.SortStableFunc(p, func(a, b problem) int {
		return cmp.Or(cmp.Compare(a.place.Line, b.place.Line), cmp.Compare(a.place.Column, b.place.Column))
	})
	p = slices.CompactFunc(p, func(a, b problem) bool { return a.place == b.place && a.message == b.message })
	e := &kernel.CellError{Name: name, Message: p[0].String()}
	if len(p) > 1 {
		e.Message += fmt.Sprintf(" (and %d more)", len(p)-1)
	}
	for i, one := range p {
		if i == maxProblems {
			e.Traceback = append(e.Traceback, fmt.Sprintf("and %d more", len(p)-i))
			break
		}
		e.Traceback = append(e.Traceback, one.String()+one.excerpt(cell))
	}
	return e
}

func (p problem) String() string {
	text := p.place.String() + ": " + p.message
	if p.goSays != "" {
		text += " (Go: " + p.goSays + ")"
	}
	return text
}

// excerpt is the line that the problem is in with a caret under its column, if it is in this cell.
func (p problem) excerpt(cell kernel.Cell) string {
	if p.place.Cell != cell.Number || p.place.Line == 0 {
		return ""
	}
	line := lineOf(cell.Code, p.place.Line)
	return "\n    " + strings.TrimRight(line, " \t\r") + "\n    " + blanks(line, p.place.Column-1) + "^"
}

func lineOf(text string, number int) string {
	lines := strings.Split(text, "\n")
	if number < 1 || number > len(lines) {
		return ""
	}
	return lines[number-1]
}

// blanks is as wide as the first n characters of a line.
func blanks(line string, n int) string {
	var b strings.Builder
	for _, r := range []rune(line)[:min(n, len([]rune(line)))] {
		if r == '\t' {
			b.WriteRune(r)
			continue
		}
		b.WriteString(strings.Repeat(" ", uniseg.StringWidth(string(r))))
	}
	return b.String()
}
