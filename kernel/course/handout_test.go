package course

import (
	"strings"
	"testing"

	"foreplane/kernel/answer"
	"foreplane/kernel/notebook"
)

// asked is the cell of a question that has been run.
func asked(id, source string, expected answer.Record) notebook.Cell {
	return notebook.Cell{ID: id, Kind: notebook.Code, Source: source, Count: 3, Outputs: []notebook.Output{{Type: notebook.Result, Data: notebook.Object{answerType: expected.Object()}}}}
}

func TestHandout(t *testing.T) {
	original := &notebook.Document{Cells: []notebook.Cell{
		{ID: "title", Kind: notebook.Markdown, Source: "# Trim", Metadata: notebook.Object{"foreplane": notebook.Object{"text": "as run"}}},
		{ID: "given", Kind: notebook.Code, Source: "m := 1.0", Count: 1, Outputs: []notebook.Output{{Type: notebook.Stream}}},
		{ID: "hint", Kind: notebook.Markdown, Source: "how it is done", Metadata: notebook.Object{"tags": []any{TagSolution}}},
		asked("speed", "//foreplane:question speed 0.5 %\nsecret", answer.Record{Value: 30, Symbol: "m/s", Tolerance: 0.005}),
		asked("share", "//foreplane:question share\nsecret", answer.Record{Value: 0.25, Tolerance: 0.01}),
		asked("first", "//foreplane:question first\nsecret", answer.Record{Text: "foreplane", Tolerance: 0.01}),
	}}
	student, questions, err := Handout(original)
	if err != nil || questions != 3 {
		t.Fatalf("%d questions, %v", questions, err)
	}
	var ids []string
	for _, c := range student.Cells {
		ids = append(ids, c.ID)
		if len(c.Outputs) > 0 || c.Count > 0 || strings.Contains(c.Source, "secret") || c.Text() != c.Source {
			t.Errorf("%s keeps something of the run: %+v", c.ID, c)
		}
	}
	if got := strings.Join(ids, " "); got != "title about-answers given speed share first" {
		t.Errorf("cells %s", got)
	}
	for i, want := range map[int]string{3: "a number with its unit", 4: "a number, or one", 5: "a text between quotes"} {
		c := student.Cells[i]
		q, err := answer.Find(c.Source)
		if err != nil || q.Name != c.ID || q.Sealed == "" || !c.HasTag(TagAnswer) || !strings.Contains(c.Source, want) {
			t.Errorf("%s: %v", c.Source, err)
			continue
		}
		if r, err := answer.Open(q.Sealed); err != nil || r.Value != []float64{30, 0.25, 0}[i-3] {
			t.Errorf("%s expects %+v, %v", c.ID, r, err)
		}
	}
	if original.Cells[3].Source != "//foreplane:question speed 0.5 %\nsecret" || len(original.Cells[1].Outputs) != 1 || original.Cells[0].Text() != "as run" {
		t.Error("the original was changed")
	}
}

func TestNoHandout(t *testing.T) {
	one := asked("a", "//foreplane:question q\n1", answer.Record{Value: 1, Tolerance: 0.01})
	twice, lost, students := one, one, one
	twice.ID, lost.Outputs, students.Source = "b", nil, "//foreplane:answer q 1 % abc"
	for want, cells := range map[string][]notebook.Cell{
		"the notebook asks nothing":                                 {{ID: "t", Kind: notebook.Markdown, Source: "//foreplane:question q"}},
		`cell 2 (b): the question "q" was asked before`:             {one, twice},
		"cell 1 (a): it was not run to its end":                     {lost},
		"cell 1 (a): it waits for an answer already":                {students},
		"cell 1 (a): //foreplane:question: after //foreplane:quest": {asked("a", "//foreplane:question", answer.Record{})},
	} {
		if _, _, err := Handout(&notebook.Document{Cells: cells}); err == nil || !strings.HasPrefix(err.Error(), want) {
			t.Errorf("%v, want %s", err, want)
		}
	}
}
