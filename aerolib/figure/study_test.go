package figure_test

import (
	"fmt"
	"strings"
	"testing"

	"foreplane/aerolib/figure"
	"foreplane/aerolib/trim"
)

// tried is the result of a study that was never run.
func tried() trim.StudyResult {
	r := trim.StudyResult{Aircraft: "Sedge", Drawn: trim.Design{Drag: 483, Stall: 34.8}}
	for i, d := range []trim.Design{{Drag: 519, Stall: 31.3}, {Drag: 486, Stall: 32.2}, {Drag: 476, Stall: 34}, {Drag: 469, Stall: 36.8}, {Drag: 500, Stall: 35}, {Drag: 460, Stall: 31, Why: "it fails"}} {
		d.Number = i + 1
		r.Designs = append(r.Designs, d)
	}
	r.Front = r.Designs[:4]
	return r
}

// TestFront: infeasible designs are not drawn, the front is a line, and the aeroplane as drawn has a point of its own.
func TestFront(t *testing.T) {
	f := figure.Front(tried())
	if _, err := f.SVG(); err != nil {
		t.Fatal(err)
	}
	if text := f.AltText(); !strings.Contains(text, "Sedge as drawn") || !strings.Contains(text, "front") || !strings.Contains(f.Caption, "6 designs, of which 5 meet the constraints and 4 are on the front") {
		t.Errorf("%q, caption %q", text, f.Caption)
	}
	if strings.Contains(fmt.Sprint(f.Data()), "460") {
		t.Error("an infeasible design is drawn")
	}
	if _, err := figure.Front(trim.StudyResult{Aircraft: "Sedge"}).SVG(); err == nil || !strings.Contains(err.Error(), "no design is feasible") {
		t.Errorf("error %v", err)
	}
}

func ExampleFront() {
	f := figure.Front(tried()) // as Optimise has it
	fmt.Println(f.Title)
	// Output: Drag in cruise against stall speed of Sedge
}
