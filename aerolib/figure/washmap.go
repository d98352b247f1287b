package figure

import (
	"fmt"

	"foreplane/aerolib/lattice"
	"foreplane/aerolib/unit"
)

// WashMap draws the downwash of a lattice as a map, with the outlines of surfaces: blue where the air goes down, orange where it goes up. A horizontal plane is seen from
// above, nose up and starboard to the right; one across the flow from behind.
func WashMap(w lattice.Wash, surfaces ...lattice.Surface) *Figure {
	across := Axis{Label: "y to starboard", Unit: "m"}
	f := New("", across, Axis{Label: "x aft of the datum", Unit: "m", Reversed: true})
	rows := w.X
	if w.Across {
		f.Y, rows = Axis{Label: "z up", Unit: "m"}, w.Z
	}
	f.EqualScale = true
	if len(w.Down) == 0 {
		return f.fail("WashMap", "", "there is no downwash: the lattice was not solved")
	}
	if f.Title = fmt.Sprintf("Downwash at the height z = %s", metres(w.Z[0])); w.Across {
		f.Title = fmt.Sprintf("Downwash at the station x = %s", metres(w.X[0]))
	}
	f.Caption = fmt.Sprintf("α %s, β %s, %s. Beyond the ends of the scale the colour stays.", angle(w.State.Alpha), angle(w.State.Beta), w.Wake)
	degrees := make([][]float64, len(w.Down))
	for i, row := range w.Down {
		for _, v := range row {
			degrees[i] = append(degrees[i], v/unit.Degree)
		}
	}
	f.colour("downwash ε", "°", w.Y, rows, degrees)
	for _, s := range surfaces {
		for _, side := range sides(s) {
			x, y := side.above()
			if w.Across {
				x, y = side.behind()
			}
			f.shapes = append(f.shapes, shape{x: x, y: y, hollow: true, aside: true})
		}
	}
	return f
}

// metres writes a length.
func metres(v unit.Length) string { return unbroken(fixed(v, 2) + " m") }
