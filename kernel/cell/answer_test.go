package cell

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"foreplane/kernel"
	"foreplane/kernel/answer"
	"foreplane/kernel/display"
	"foreplane/kernel/symbols"
)

// answerEngine runs cells with the library.
func answerEngine(t *testing.T) *Engine {
	t.Helper()
	runner, err := NewLocal(symbols.Library)
	if err != nil {
		t.Fatal(err)
	}
	return NewEngine(NewFront(symbols.Library), runner)
}

// sealed returns the record that the cell of a question makes, as it stands in the student's notebook.
func sealed(t *testing.T, question string) string {
	t.Helper()
	r := answerEngine(t).Run(context.Background(), kernel.Cell{Code: question, Number: 1}, noOutput{})
	if r.Err != nil || r.Value == nil {
		t.Fatalf("%s: %v", question, r.Err)
	}
	record, err := answer.FromObject(r.Value.Data[AnswerType])
	if err != nil {
		t.Fatal(err)
	}
	word, err := record.Seal()
	if err != nil {
		t.Fatal(err)
	}
	return word
}

func TestAnswers(t *testing.T) {
	speed := sealed(t, "//foreplane:question stall-speed 1 %\nW := 650 * Kilogram * StandardGravity\nV := math.Sqrt(2 * W / (1.0 * KilogramPerCubicMetre * 9.45 * Metre*Metre * 1.2))\npitfall(\"This is the equivalent airspeed.\", V / 1.1067)\nV")
	weight := sealed(t, "//foreplane:question weight\n650 * Kilogram * StandardGravity")
	angle := sealed(t, "//foreplane:question angle 2 %\n4 * Degree")
	word := sealed(t, "//foreplane:question first\n\"foreplane\"")
	for _, c := range []struct{ sealed, code, want string }{
		{speed, "33.53 * MetrePerSecond", "q: 33.5 m/s (65.2 kt)\nRight, within 1 %."},
		{speed, "\"65.2 kt\"", "Right"},
		{speed, "65.2 * MetrePerSecond", "The unit is wrong: this is the number in kt, given as m/s."},
		{speed, "65.2", "q: 65.2\nThe unit is missing: the number fits if it is in kt."},
		{speed, "33.53 / 1.1067 * MetrePerSecond", "This is the equivalent airspeed."},
		{speed, "33.53 * Metre", "The dimension is another: the answer is in m, and something in m/s is asked for."},
		{speed, "x := 34.3 * MetrePerSecond\nx", "Close"},
		{speed, "", "No answer yet"},
		{speed, "// still thinking", "No answer yet"},
		{weight, "650 * Kilogram", "This is the mass"},
		{weight, "650 * Newton", "acceleration of gravity"},
		{weight, "-650 * Kilogram * StandardGravity", "the sign is not"},
		{weight, "325 * Kilogram * StandardGravity", "half of what it should be"},
		{angle, "4 * Radian", "degrees stands where radians belong"},
		{angle, "0.0698", "Right, within"},
		{word, "\"Foreplane\"", "Right."},
		{word, "3", "in words"},
	} {
		code := fmt.Sprintf("//foreplane:answer q 1 %% %s\n%s", c.sealed, c.code)
		r := answerEngine(t).Run(context.Background(), kernel.Cell{Code: code, Number: 1}, noOutput{})
		if got := text(r); !strings.Contains(got, c.want) {
			t.Errorf("%s\ngot  %s\nwant %s", c.code, got, c.want)
		}
		if r.Value != nil && !strings.Contains(r.Value.Data[display.TypeHTML].(string), `role="status"`) {
			t.Errorf("%s has no HTML", c.code)
		}
	}
}

func TestBadQuestions(t *testing.T) {
	for _, c := range []struct{ code, want string }{
		{"//foreplane:question\n3", "Question: cell 1, line 1, column 1: //foreplane:question: after //foreplane:question stands the name"},
		{"//foreplane:question q\nx := 3", "q: the last expression of the cell of a question is the value that is expected"},
		{"//foreplane:answer q 1 % abc\n3", "the line //foreplane:answer was changed"},
	} {
		r := answerEngine(t).Run(context.Background(), kernel.Cell{Code: c.code, Number: 1}, noOutput{})
		if got := text(r); !strings.Contains(got, c.want) {
			t.Errorf("%s\ngot  %s\nwant %s", c.code, got, c.want)
		}
	}
}

// TestFeedbackIsText holds that what a student or a stranger's notebook writes does not become markup.
func TestFeedbackIsText(t *testing.T) {
	for _, bad := range []string{"<script>alert(1)</script>", "<img src=x onerror=alert(1)>", `"><b onclick="alert(1)">`, "</div></main>", "<!--"} {
		f := feedback{name: bad, given: bad, Verdict: answer.Verdict{Grade: answer.Slip, Text: bad}}
		if got, want := strings.Count(f.HTML(), "<"), strings.Count((feedback{name: "q", given: "1", Verdict: answer.Verdict{Grade: answer.Slip}}).HTML(), "<"); got != want {
			t.Errorf("%s: %s", bad, f.HTML())
		}
	}
}
