package cell

import (
	"cmp"
	"fmt"
	"slices"

	"foreplane/kernel"
)

// problem is one thing that is wrong with a cell.
type problem struct {
	place   Place
	message string
}

type problems []problem

// maxProblems is how many problems of a cell are told; more than these help nobody.
const maxProblems = 10

// cellError tells all problems, in the order of the cell.
func (p problems) cellError(name string) *kernel.CellError {
	slices.SortStableFunc(p, func(a, b problem) int {
		return cmp.Or(cmp.Compare(a.place.Line, b.place.Line), cmp.Compare(a.place.Column, b.place.Column))
	})
	p = slices.CompactFunc(p, func(a, b problem) bool { return a == b })
	e := &kernel.CellError{Name: name, Message: p[0].String()}
	if len(p) > 1 {
		e.Message += fmt.Sprintf(" (and %d more)", len(p)-1)
	}
	for i, one := range p {
		if i == maxProblems {
			e.Traceback = append(e.Traceback, fmt.Sprintf("and %d more", len(p)-i))
			break
		}
		e.Traceback = append(e.Traceback, one.String())
	}
	return e
}

func (p problem) String() string {
	return p.place.String() + ": " + p.message
}
