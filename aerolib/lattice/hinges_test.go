package lattice_test

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"foreplane/aerolib/lattice"
	"foreplane/aerolib/unit"
)

// hinged returns a plane wing with two flaps side by side, of the given fractions of the chord.
func hinged(rows int, inner, outer unit.Ratio) (lattice.Coefficients, error) {
	wing := lattice.Trapezoid("wing", lattice.Point{}, 10, 1.2, 0.8, 0.1, 0, 0)
	wing.Rows = rows
	wing.Controls = []lattice.Control{{Name: "inner", Chord: inner, From: 0.1, To: 0.5}, {Name: "outer", Chord: outer, From: 0.5, To: 0.9}}
	m, err := lattice.New([]lattice.Surface{wing}, lattice.Settings{
		Strips: 12, Reference: lattice.Reference{Area: 10, Chord: 1, Span: 10},
	})
	if err != nil {
		return lattice.Coefficients{}, err
	}
	return m.Coefficients(lattice.State{Alpha: 0.1, Deflections: map[string]unit.Angle{"inner": 0.1, "outer": 0.05}})
}

// TestHingesBeside holds the drag of the near field against that of the Trefftz plane where neighbours have different hinges. With 2 rows and a fraction of
// 0.25, equal panels beside the flap would have a vortex end in the middle of another.
func TestHingesBeside(t *testing.T) {
	for _, rows := range []int{1, 2, 3, 6} {
		for _, f := range [][2]unit.Ratio{{0.25, 0.22}, {0.25, 0.25}, {0.3, 0.1}, {0.25, 0.25 - 1e-4}, {0.25, 0.25 - 1e-8}} {
			t.Run(fmt.Sprintf("%d rows, %g and %g", rows, f[0], f[1]), func(t *testing.T) {
				c, err := hinged(rows, f[0], f[1])
				if err != nil || !(math.Abs(c.CD/c.CDi-1) < 0.01) { // few panels: 0.6 % at most
					t.Errorf("induced drag %g, in the Trefftz plane %g (%v)", c.CD, c.CDi, err)
				}
			})
		}
	}
}

func TestHingesAsOne(t *testing.T) {
	one, err := hinged(8, 0.25, 0.25)
	if err != nil {
		t.Fatal(err)
	}
	if near, err := hinged(8, 0.25-1e-9, 0.25+1e-9); err != nil || math.Abs(near.CL-one.CL) > 1e-8 {
		t.Errorf("lift coefficient %g, of one hinge %g (%v)", near.CL, one.CL, err)
	}
	if _, err := hinged(8, 1e-7, 0.25); !errors.As(err, new(*unit.RangeError)) {
		t.Errorf("a flap without length: %v", err)
	}
}
