package cell_test

import (
	"context"
	"testing"

	"foreplane/kernel"
	"foreplane/kernel/cell"
	"foreplane/kernel/kerneltest"
	"foreplane/kernel/symbols"
)

// shownBy runs a cell in a fresh session.
func shownBy(t *testing.T, code string) kernel.Result {
	t.Helper()
	m, err := cell.NewMachine(symbols.Library, cell.MachineOptions{})
	if err != nil {
		t.Fatal(err)
	}
	e := cell.NewEngine(cell.NewFront(symbols.Library), m)
	t.Cleanup(func() { e.Close() })
	return e.Run(context.Background(), kernel.Cell{Code: code, Number: 1}, new(kerneltest.Recorder))
}

// TestTypedConstants holds that a constant of a compiled type has its methods when it becomes an interface value.
func TestTypedConstants(t *testing.T) {
	for code, want := range map[string]string{
		`fmt.Sprintf("%T %v", time.Second, time.Second)`: "time.Duration 1s",
		`fmt.Sprint(time.March)`:                         "March",
		`var x any = time.Monday; x`:                     "Monday",
	} {
		if r := shownBy(t, code); r.Err != nil || r.Value.Text() != want {
			t.Errorf("%s: %v, %v, want %s", code, r.Value, r.Err, want)
		}
	}
	if r := shownBy(t, `display.HTML("<b>x</b>")`); r.Err != nil || r.Value.Data["text/html"] != "<b>x</b>" {
		t.Errorf("display.HTML: %v, %v", r.Value, r.Err)
	}
}

func TestCompletenessOfOpenText(t *testing.T) {
	m, err := cell.NewMachine(symbols.Library, cell.MachineOptions{})
	if err != nil {
		t.Fatal(err)
	}
	e := cell.NewEngine(cell.NewFront(symbols.Library), m)
	for code, want := range map[string]string{"x := `open": "incomplete", "/* open": "incomplete", "x := `a`": "complete", `x := "open`: "invalid"} {
		if got := e.Completeness(code).Status; got != want {
			t.Errorf("%q: %s, want %s", code, got, want)
		}
	}
}
