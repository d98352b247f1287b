package lattice

import (
	"fmt"
	"math"

	"foreplane/aerolib/unit"
)

// checkFinite returns a [*unit.RangeError] unless a value is finite.
func checkFinite(function, arg string, value float64, symbol string) error {
	return unit.CheckRange(function, arg, value, math.Inf(-1), math.Inf(1), symbol)
}

// SpanError says that a surface, or a part of it between two stations, has no span.
type SpanError struct {
	Surface string
	Length  unit.Length
}

func (e *SpanError) Error() string {
	return fmt.Sprintf("lattice.New: the %s has two stations %s apart across the x axis; they must stand apart", e.Surface, unit.Format(e.Length, "m"))
}

// CrossingError says that two surfaces pass through each other. They may touch along an edge.
type CrossingError struct {
	Surface, Other string
	At             Point
}

func (e *CrossingError) Error() string {
	return fmt.Sprintf("lattice.New: the %s and the %s pass through each other at %s; let them touch along an edge", e.Surface, e.Other, e.At)
}

// CoincidentError says that two surfaces lie in the same place.
type CoincidentError struct {
	Surface, Other string
	At             Point
}

func (e *CoincidentError) Error() string {
	return fmt.Sprintf("lattice.New: the %s and the %s coincide at %s", e.Surface, e.Other, e.At)
}

// WakeError says that a trailing vortex of one surface passes over a control point of another, or so close to it that the answer would be an accident of
// the mesh.
type WakeError struct {
	Surface, Wake string      // whose point, and whose wake
	At            Point       // the point
	Distance      unit.Length // from the trailing vortex
	Least         unit.Length // that is accepted
}

func (e *WakeError) Error() string {
	return fmt.Sprintf("lattice.New: the wake of the %s passes %s from the control point of the %s at %s, nearer than %s; move one of them, or set a core radius",
		e.Wake, unit.Format(e.Distance, "mm"), e.Surface, e.At, unit.Format(e.Least, "mm"))
}

// String writes the coordinates.
func (p Point) String() string {
	return fmt.Sprintf("x %s, y %s, z %s", unit.Format(p.X, "m"), unit.Format(p.Y, "m"), unit.Format(p.Z, "m"))
}

// VortexError says that a velocity is wanted on a vortex, where there is none.
type VortexError struct{ At Point }

func (e *VortexError) Error() string {
	return fmt.Sprintf("lattice.Induced: the point at %s lies on a vortex", e.At)
}

// SingularError says that the boundary conditions have no solution, or none that rounding leaves anything of: two panels see almost the same flow.
type SingularError struct {
	Condition unit.Ratio // condition number of the matrix, about
}

func (e *SingularError) Error() string {
	return fmt.Sprintf("lattice: the boundary conditions have no solution (condition number %.1e): two panels see the same flow; move the surfaces apart, or set a core radius",
		e.Condition)
}
