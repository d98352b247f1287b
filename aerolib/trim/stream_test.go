package trim

import (
	"math"
	"testing"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/unit"
)

// TestProbes asks the lattice for the stream in a state of all causes at once, and holds what the causes one by one add up to.
func TestProbes(t *testing.T) {
	for _, a := range []aircraft.Aircraft{aircraft.Sedge(), aircraft.Bracken()} {
		c := level(t, 90)
		if a.Name == "Bracken" {
			c.Flaps = map[string]unit.Angle{"flaps": 10 * unit.Degree}
		}
		f := need[*balance](t)(need[*Lattice](t)(NewLattice(a, coarse)).balance(c)).flow.(*latticeFlow)
		s := state{0.08, 0.05, 0.003}
		sin, cos := math.Sincos(s.alpha)
		for _, line := range f.along {
			v, err := f.model.Induced(f.at(s), line.points)
			if err != nil {
				t.Fatal(err)
			}
			want := line.fixed*cos + line.alpha*sin + line.turn*s.rate
			for k, w := range line.weights {
				want += w * v[k].Z
			}
			close(t, a.Name+": sum along a line", line.value(s), want, 1e-9)
		}
	}
}

// TestProbesAgainstClosedForm: the weights along bodies are those of the other method, but for the rule of integration, and the wash at discs has the same sign and size.
func TestProbesAgainstClosedForm(t *testing.T) {
	for _, a := range aircraft.Fleet() {
		c := level(t, 90)
		closed := need[*balance](t)(closedBalance(a, c)).flow.(*closedForm)
		meshed := need[*balance](t)(need[*Lattice](t)(NewLattice(a, coarse)).balance(c)).flow.(*latticeFlow)
		body, line := closed.bodies[0], meshed.along[0]
		close(t, a.Name+": by α", line.alpha, body.alpha, 0.02*body.alpha)
		close(t, a.Name+": by the centre line", line.fixed, body.fixed, 0.02*math.Abs(body.fixed)+1e-3)
		close(t, a.Name+": by the pitch rate", line.turn, body.turn, 0.02*math.Abs(body.turn)+0.05)
		s := state{alpha: 0.1}
		close(t, a.Name+": wash at the disc", meshed.discWash(s)[0], closed.discWash(s)[0], 0.04)
		if got, want := meshed.discWash(s)[0], closed.discWash(s)[0]; got*want <= 0 {
			t.Errorf("%s: wash %.3f and %.3f", a.Name, got, want)
		}
	}
}
