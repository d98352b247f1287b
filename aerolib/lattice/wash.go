package lattice

import (
	"errors"
	"fmt"
	"math"

	"foreplane/aerolib/unit"
)

// Plane is a grid in a plane: horizontal at the height Z over all X and Y, or, if Across, across the flow at the station X[0] over all Y and Z.
type Plane struct {
	X, Y, Z []unit.Length
	Across  bool
}

// Wash is the downwash that the lattice gives on a grid.
type Wash struct {
	State State
	Wake  Wake
	Plane
	// Down is the downwash angle −w/V: over X and Y in a horizontal plane, over Z and Y in one across. On a vortex it is not a number.
	Down [][]unit.Angle
}

// Wash returns the downwash on a grid, for maps. Close to the wakes, within a strip's width, it shows the vortices of the mesh one by one; a core radius in the
// [Settings] smooths them. It returns a [*PlaneError] for a grid that is not one, and the errors of [Model.Induced] except at points on a vortex.
func (m *Model) Wash(s State, p Plane) (Wash, error) {
	rows, fixed := p.X, p.Z
	if p.Across {
		rows, fixed = p.Z, p.X
	}
	if len(rows) < 2 || len(p.Y) < 2 || len(fixed) != 1 {
		return Wash{}, &PlaneError{p}
	}
	w := Wash{State: s, Wake: m.settings.Wake, Plane: p}
	var points []Point
	for _, r := range rows {
		for _, y := range p.Y {
			at := Point{X: r, Y: y, Z: fixed[0]}
			if p.Across {
				at = Point{X: fixed[0], Y: y, Z: r}
			}
			points = append(points, at)
		}
	}
	v, err := m.Induced(s, points)
	var on *VortexError
	if err != nil && !errors.As(err, &on) {
		return Wash{}, err
	}
	for i := range rows {
		w.Down = append(w.Down, make([]unit.Angle, len(p.Y)))
		for j := range p.Y {
			w.Down[i][j] = -v[i*len(p.Y)+j].Z
			if math.IsInf(w.Down[i][j], 0) {
				w.Down[i][j] = math.NaN()
			}
		}
	}
	return w, nil
}

// PlaneError says that a grid has too few points, or no single height or station.
type PlaneError struct{ Plane Plane }

func (e *PlaneError) Error() string {
	want := "two X and Y or more, and one Z"
	if e.Plane.Across {
		want = "one X, and two Y and Z or more"
	}
	return fmt.Sprintf("lattice.Wash: a plane with %d X, %d Y and %d Z; it takes %s", len(e.Plane.X), len(e.Plane.Y), len(e.Plane.Z), want)
}
