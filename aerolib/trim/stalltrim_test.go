package trim

import (
	"math"
	"testing"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/unit"
)

// TestSlowTrim holds trim on the way to the stall to [SolveLattice], with bodies, propellers and a thrust of 1000 N: the two take bodies in slices of their own, and here wakes lie between
// those of neighbouring angles, which leaves some hundredths of a degree of δ, a tenth on the tail of Teasel.
func TestSlowTrim(t *testing.T) {
	for _, a := range []aircraft.Aircraft{aircraft.Sedge(), aircraft.Bracken(), aircraft.Teasel()} {
		a.Plants[0].Tilt = 3 * unit.Degree
		for _, omit := range []Omit{{}, {Bodies: true}, Bare} {
			c := seaLevel(t)
			c.Thrust, c.Force, c.Omit = Given, 1000, omit
			m := need[*StallModel](t)(NewStallModel(a, StallSettings{}))
			got := need[SlowTrim](t)(m.SlowTrim(c, a.CG, 75*unit.Knot))
			c.Speed = 75 * unit.Knot
			want := need[Result](t)(SolveLattice(a, c, Mesh{Rows: usualRows, Strips: usualStrips, FreeStream: true, Incompressible: true, Core: wakeCore * a.Reference.Chord}))
			t.Logf("%-8s %+v: α %.3f° and %.3f°, δ %.3f° and %.3f°", a.Name, omit, got.Alpha/unit.Degree, want.Alpha/unit.Degree, got.Deflection/unit.Degree, want.Deflection/unit.Degree)
			if math.Abs(got.Alpha-want.Alpha) > 0.05*unit.Degree || math.Abs(got.Deflection-want.Deflection) > 0.15*unit.Degree || math.Abs(got.CL/want.CL-1) > 1e-9 {
				t.Errorf("%s: α %.3f°, want %.3f°; δ %.3f°, want %.3f°; CL %.5f, want %.5f", a.Name, got.Alpha/unit.Degree, want.Alpha/unit.Degree, got.Deflection/unit.Degree,
					want.Deflection/unit.Degree, got.CL, want.CL)
			}
		}
	}
}
