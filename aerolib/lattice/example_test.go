package lattice_test

import (
	"fmt"

	"foreplane/aerolib/lattice"
	"foreplane/aerolib/unit"
)

func ExampleModel_Solve() {
	wing := lattice.Trapezoid("wing", lattice.Point{}, 8, 1, 1, 0, 0, 0)
	m, err := lattice.New([]lattice.Surface{wing}, lattice.Settings{Reference: lattice.Reference{Area: 8, Chord: 1, Span: 8}})
	if err != nil {
		panic(err)
	}
	r, err := m.Solve(lattice.State{Alpha: 5 * unit.Degree})
	if err != nil {
		panic(err)
	}
	fmt.Printf("CL %.3f, e %.3f, %s\n", r.CL, r.SpanEfficiency, r.Wake)
	// Output:
	// CL 0.399, e 0.969, wakes along x
}
