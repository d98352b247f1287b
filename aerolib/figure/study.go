package figure

import (
	"fmt"

	"foreplane/aerolib/trim"
	"foreplane/aerolib/unit"
)

// Front draws what a study has found: drag in cruise against stall speed of every feasible design, those of the front joined by a line, and the aeroplane as it is drawn.
func Front(r trim.StudyResult) *Figure {
	f := New("Drag in cruise against stall speed of "+r.Aircraft, Axis{Label: "Stall speed V_S (EAS), CG forward", Unit: "kt"}, Axis{Label: "Drag in cruise", Unit: "N"})
	if len(r.Front) == 0 {
		return f.fail("Front", r.Aircraft, "no design is feasible")
	}
	points := func(designs []trim.Design) (stall []unit.EquivalentAirspeed, drag []unit.Force) {
		for _, d := range designs {
			if d.Feasible() {
				stall, drag = append(stall, d.Stall), append(drag, d.Drag)
			}
		}
		return stall, drag
	}
	stall, drag := points(r.Designs)
	best, least := points(r.Front)
	f.Points("designs tried", stall, drag)
	f.Curve("front", best, least)
	f.Points(r.Aircraft+" as drawn", []unit.EquivalentAirspeed{r.Drawn.Stall}, []unit.Force{r.Drawn.Drag})
	f.Caption = fmt.Sprintf("%d designs, of which %d meet the constraints and %d are on the front. %s", len(r.Designs), len(stall), len(best), caution)
	return f
}
