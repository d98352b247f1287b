package course

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"foreplane/kernel/answer"
	"foreplane/kernel/notebook"
)

// Tags of cells.
const (
	TagSolution = "solution" // of the instructor's notebook: students do not get it
	TagAnswer   = "answer"   // of the student's notebook: an answer stands here
)

// answerType is the kind of output in which a run leaves what the cell of a question expects.
const answerType = "application/vnd.foreplane.answer+json"

// notice says in the student's notebook what it is.
const notice = "*This notebook is for practice. Write each answer as the last line of its cell and run the cell: it tells at once whether number and unit are right. " +
	"The expected values are in the cells, coded so that nobody reads them by chance; whoever wants to can recover them.*"

// Problem is what keeps a notebook from being handed out.
type Problem struct {
	Cell   int // counted from 1
	ID     string
	Reason string
}

func (p *Problem) Error() string { return fmt.Sprintf("cell %d (%s): %s", p.Cell, p.ID, p.Reason) }

// Handout returns the student's notebook of an instructor's that has just been run, and how many questions it asks. The original stays as it is.
func Handout(original *notebook.Document) (*notebook.Document, int, error) {
	out := &notebook.Document{Metadata: maps.Clone(original.Metadata), Minor: original.Minor, Extra: maps.Clone(original.Extra)}
	questions := map[string]bool{}
	for i := range original.Cells {
		c := original.Cells[i]
		fail := func(format string, args ...any) error { return &Problem{i + 1, c.ID, fmt.Sprintf(format, args...)} }
		q, err := question(&c)
		switch {
		case err != nil:
			return nil, 0, fail("%v", err)
		case q == nil && c.HasTag(TagSolution):
			continue
		case q == nil:
			out.Cells = append(out.Cells, blank(c))
			continue
		case questions[q.Name]:
			return nil, 0, fail("the question %q was asked before: each has a name of its own", q.Name)
		}
		questions[q.Name] = true
		asked, err := ask(c, q)
		if err != nil {
			return nil, 0, fail("%v", err)
		}
		out.Cells = append(out.Cells, asked)
	}
	if len(questions) == 0 {
		return nil, 0, fmt.Errorf("the notebook asks nothing: the cell of a question begins with //foreplane:question NAME")
	}
	out.Cells = slices.Insert(out.Cells, afterTitle(out.Cells), notebook.Cell{ID: "about-answers", Kind: notebook.Markdown, Source: notice, Metadata: notebook.Object{}})
	return out, len(questions), nil
}

// question returns the question of a code cell.
func question(c *notebook.Cell) (*answer.Question, error) {
	if c.Kind != notebook.Code {
		return nil, nil
	}
	q, err := answer.Find(c.Source)
	if q != nil && q.Sealed != "" {
		return nil, fmt.Errorf("it waits for an answer already: this is a student's notebook")
	}
	return q, err
}

// blank is a cell without what a run has left in it.
func blank(c notebook.Cell) notebook.Cell {
	if c.Outputs, c.Count, c.Metadata = nil, 0, maps.Clone(c.Metadata); c.Metadata == nil {
		c.Metadata = notebook.Object{}
	}
	delete(c.Metadata, "execution")
	c.ForgetText()
	return c
}

// ask turns the cell of a question into one that waits for its answer.
func ask(c notebook.Cell, q *answer.Question) (notebook.Cell, error) {
	record, err := expected(&c)
	if err != nil {
		return c, err
	}
	word, err := record.Seal()
	if err != nil {
		return c, err
	}
	kind, tolerance := "a number with its unit, such as 12.3 * Metre, or a quantity that you have computed", fmt.Sprintf("%.3g %% ", 100*q.Tolerance)
	switch {
	case record.Text != "":
		kind, tolerance = "a text between quotes", ""
	case record.Symbol == "":
		kind = "a number, or one that you have computed"
	}
	c = blank(c)
	c.Metadata["tags"] = []any{TagAnswer}
	c.Source = "//foreplane:answer " + q.Name + " " + tolerance + word + "\n// The answer is the last line: " + kind + ".\n\n"
	return c, nil
}

// expected is what the run has left of the cell of a question.
func expected(c *notebook.Cell) (answer.Record, error) {
	for _, o := range slices.Backward(c.Outputs) {
		if data, ok := o.Data[answerType]; ok {
			return answer.FromObject(data)
		}
	}
	return answer.Record{}, fmt.Errorf("it was not run to its end, so its answer is not known")
}

// afterTitle is where a notice belongs: behind the first text, if the notebook begins with one.
func afterTitle(cells []notebook.Cell) int {
	if len(cells) > 0 && cells[0].Kind == notebook.Markdown && strings.TrimSpace(cells[0].Source) != "" {
		return 1
	}
	return 0
}
