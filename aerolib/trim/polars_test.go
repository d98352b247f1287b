package trim

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"testing/fstest"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/unit"
)

// inventedLimit is the greatest cl of the invented polars of withPolars at a Reynolds number.
func inventedLimit(reynolds float64) float64 { return 1.2 + 0.2*math.Log10(reynolds/1e6) }

// withPolars returns Bracken with polars for the wing, of slope 5.5 up to a greatest lift that grows with the Reynolds number, from 2 to 4.5 million.
func withPolars(t *testing.T) aircraft.Aircraft {
	t.Helper()
	var csv strings.Builder
	csv.WriteString("alpha [°],cl,cd,cm,Reynolds\n")
	for _, reynolds := range []float64{2e6, 4.5e6} {
		for alpha := -16.0; alpha <= 20; alpha += 0.5 {
			lift := 5.5 * (alpha + 2.5) * unit.Degree
			if most := inventedLimit(reynolds); lift > most {
				lift = most - 0.3*(lift-most)
			}
			fmt.Fprintf(&csv, "%g,%.6f,%.6f,-0.05,%g\n", alpha, lift, 0.008+0.004*lift*lift, reynolds)
		}
	}
	text := strings.Replace(aircraft.Bracken().String(), `naca = "2415"`, "polars = \"wing.csv\"\nreynolds = 3e6", 1)
	return need[aircraft.Aircraft](t)(aircraft.ReadFS(fstest.MapFS{"a.toml": {Data: []byte(text)}, "wing.csv": {Data: []byte(csv.String())}}, "a.toml"))
}

// TestStripLimits: the limit of the critical strip is that of its section at its own Reynolds number, and a note says where the polars end.
func TestStripLimits(t *testing.T) {
	a := withPolars(t)
	r := need[Result](t)(SolveLattice(a, level(t, 100), coarse))
	k := r.Loads[0].Critical
	if k.Reynolds < 2e6 || k.Reynolds > 4.5e6 {
		t.Fatalf("%+v", k)
	}
	close(t, "limit", k.Limit, inventedLimit(k.Reynolds), 0.03) // samples every half degree
	slow := need[Result](t)(SolveLattice(a, level(t, 42), coarse))
	if notes := strings.Join(slow.Notes, " "); !strings.Contains(notes, "The greatest lift of the wing is that at the Reynolds number that its section states") {
		t.Errorf("notes %q", notes)
	}
}

// TestViscous: with slopes of 5.5 in place of 2π the wing stands at more α for the same lift, in balance, and the causes still sum to the difference, with friction the last.
func TestViscous(t *testing.T) {
	a := withPolars(t)
	c := level(t, 90)
	c.Thrust, c.Force = Given, 1000
	m := coarse
	smooth := need[Result](t)(SolveLattice(a, c, m))
	m.Viscous = true
	k := need[Methods](t)(SideBySide(a, c, m))
	r := k.Lattice
	if !(r.Alpha > smooth.Alpha+0.1*unit.Degree) || !strings.Contains(r.Method, "with friction") {
		t.Errorf("%s: α %.4f, without friction %.4f", r.Method, r.Alpha, smooth.Alpha)
	}
	close(t, "lift", r.ForceResidual, 0, 1e-6*r.Weight) // what the lattice leaves between strips and sections
	close(t, "moment", r.MomentResidual, 0, 1e-6*r.Weight)
	sum := k.Sum()
	close(t, "α of the causes", sum.Alpha, r.Alpha-k.Closed.Alpha, 1e-5)
	if last := k.Terms[len(k.Terms)-1]; last.Cause != "friction" || last.Alpha == 0 {
		t.Errorf("%+v", last)
	}
}
