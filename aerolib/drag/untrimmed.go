package drag

import (
	"errors"
	"fmt"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/lattice"
	"foreplane/aerolib/unit"
)

// Sweep is what an untrimmed polar runs through. The zero value has angles of attack from −4° to 10° and no ground.
type Sweep struct {
	Alphas       []unit.Angle
	Ground       unit.Length // height of the datum above the ground; 0 is free air
	Rows, Strips int         // of the lattice, see [lattice.Settings]
}

// Untrimmed returns the polar of an aeroplane with its controls fixed as the flight has them and no balance of moments: the lattice gives loads and induced drag from the Trefftz plane, and each surface
// has the profile drag of its strips ([Of]). The speed, and with it the Reynolds numbers, is that of the flight at all lifts. Angles at which a strip is beyond the data of its
// section are left out, and a note says so. Deflected hinges change the loads, and cost what [ControlDrag] says.
//
// Errors are those of [Build], of package lattice and of [NewPolar].
func Untrimmed(a aircraft.Aircraft, f Flight, o Options, s Sweep) (Polar, error) {
	b, err := Build(a, f, o)
	if err != nil {
		return Polar{}, err
	}
	surfaces, err := a.Lattice()
	if err != nil {
		return Polar{}, err
	}
	m, err := lattice.New(surfaces, lattice.Settings{Reference: a.LatticeReference(), Mach: f.Mach(), Ground: s.Ground, Rows: s.Rows, Strips: s.Strips})
	if err != nil {
		return Polar{}, err
	}
	var points []Point
	var beyond error
	for _, alpha := range s.alphas() {
		p, err := untrimmed(b, m, lattice.State{Alpha: alpha, Deflections: f.Deflections})
		var limit *unit.RangeError
		if errors.As(err, &limit) && limit.Func == "drag.Of" {
			beyond = err
			continue
		}
		if err != nil {
			return Polar{}, err
		}
		points = append(points, p)
	}
	if len(points) < 3 && beyond != nil {
		return Polar{}, beyond
	}
	p, err := NewPolar(a.Name+", untrimmed", a.Reference.Span*a.Reference.Span/a.Reference.Area, points)
	p.Notes = b.Notes
	if beyond != nil {
		p.Notes = append(p.Notes, fmt.Sprintf("Some angles of attack are left out: %v.", beyond))
	}
	return p, err
}

// untrimmed returns the point of one state.
func untrimmed(b Buildup, m *lattice.Model, s lattice.State) (Point, error) {
	r, err := m.Solve(s)
	if err != nil {
		return Point{}, err
	}
	loads, induced := FromLattice(r)
	whole, err := Of(b, loads, induced)
	if err != nil {
		return Point{}, err
	}
	p := whole.Point()
	p.Alpha = s.Alpha
	return p, nil
}

func (s Sweep) alphas() []unit.Angle {
	if s.Alphas != nil {
		return s.Alphas
	}
	var alphas []unit.Angle
	for a := -4; a <= 10; a++ {
		alphas = append(alphas, float64(a)*unit.Degree)
	}
	return alphas
}
