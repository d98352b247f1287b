package cell

import (
	"html"

	"foreplane/kernel"
	"foreplane/kernel/answer"
	"foreplane/kernel/display"
)

// Question is what the machine needs to know of a cell that answers a question.
type Question struct {
	Name      string         `json:"name"`
	Tolerance float64        `json:"tolerance"`
	Expected  *answer.Record `json:"expected,omitempty"` // in the student's notebook
}

// question returns the question that a cell answers, or nil.
func (s *source) question() (*Question, problems) {
	q, err := answer.Find(s.text)
	if q == nil && err == nil {
		return nil, nil
	}
	if err != nil {
		return nil, problems{{place: s.place(0), message: err.Error()}}
	}
	out := &Question{Name: q.Name, Tolerance: q.Tolerance}
	if q.Sealed != "" {
		r, err := answer.Open(q.Sealed)
		if err != nil {
			return nil, problems{{place: s.place(0), message: err.Error()}}
		}
		out.Expected = &r
	}
	return out, nil
}

// feedback is what is shown of an answer.
type feedback struct {
	name, given string
	answer.Verdict
}

// Text implements display.Texter.
func (f feedback) Text() string {
	if f.given == "" {
		return f.name + ": " + f.Verdict.Text
	}
	return f.name + ": " + f.given + "\n" + f.Verdict.Text
}

// colours of the bar beside a verdict; the words say the same.
var colours = map[answer.Grade]string{
	answer.Right: "#1a7f4b", answer.Close: "#8a6d00", answer.Slip: "#b25000", answer.Dimension: "#b25000", answer.Wrong: "#b3261e",
}

// HTML implements display.HTMLer.
func (f feedback) HTML() string {
	given := ""
	if f.given != "" {
		given = " <code>" + html.EscapeString(f.given) + "</code>"
	}
	return `<div role="status" style="border-left:0.3em solid ` + colours[f.Grade] + `;padding:0.2em 0.8em"><b>` + html.EscapeString(f.name) + "</b>" + given +
		"<br>" + html.EscapeString(f.Verdict.Text) + "</div>"
}

// AnswerType is the MIME type of what the cell of a question in the instructor's notebook expects.
const AnswerType = "application/vnd.foreplane.answer+json"

// answered makes the outcome of a cell that answers a question: of the instructor's notebook the value with what is expected, of the student's the feedback.
func (m *Machine) answered(r *run, o *Outcome) {
	q := r.program.Question
	if q == nil || o.Err != nil {
		return
	}
	if len(r.values) != 1 {
		m.unanswered(r, q, o)
		return
	}
	g := m.given(r.values[0])
	if q.Expected != nil {
		b := display.Of(feedback{q.Name, m.wordedGiven(r.values[0]), q.Expected.Judge(g, m.lib)})
		o.Value = &b
		return
	}
	record := answer.Record{Value: g.Value, Symbol: g.Symbol, Text: g.Text, Tolerance: q.Tolerance, Pitfalls: r.pitfalls}
	if _, err := record.Seal(); err != nil {
		o.Err = failedQuestion(q, err.Error())
		return
	}
	if o.Value == nil {
		b := display.Of(r.values[0])
		o.Value = &b
	}
	o.Value.Data[AnswerType] = record.Object()
}

// unanswered is the outcome of such a cell without a last expression.
func (m *Machine) unanswered(r *run, q *Question, o *Outcome) {
	if q.Expected != nil {
		b := display.Of(feedback{q.Name, "", answer.Verdict{Grade: answer.Close, Text: "No answer yet: it is the last line of this cell."}})
		o.Value = &b
		return
	}
	o.Err = failedQuestion(q, "the last expression of the cell of a question is the value that is expected")
}

func failedQuestion(q *Question, reason string) *kernel.CellError {
	err := &kernel.CellError{Name: "Question", Message: q.Name + ": " + reason}
	err.Traceback = []string{err.Error()}
	return err
}

// given takes an answer apart.
func (m *Machine) given(x any) answer.Given {
	g := answer.Given{}
	if with, ok := x.(measured); ok {
		g.Symbol = with.units.Symbol
	}
	if v, ok := numberIn(x); ok {
		g.Value = v
	} else if text, ok := unwrapped(x).(string); ok {
		g.Text = text
	} else {
		g.Text = display.Of(x).Text()
	}
	return g
}

// wordedGiven words an answer as it was understood.
func (m *Machine) wordedGiven(x any) string {
	if v, ok := numberIn(x); ok {
		return m.wordedAs(x, v)
	}
	return display.Of(unwrapped(x)).Text()
}

// pitfall notes a value that a known mistake leads to.
func (m *Machine) pitfall(hint string, value any) {
	r := m.current()
	r.pitfalls = append(r.pitfalls, answer.Pitfall{Value: m.given(value).Value, Hint: hint})
}
