package aircraft

import "foreplane/aerolib/lattice"

// Lattice returns the surfaces as the vortex lattice takes them, fins included, with the controls under their names. The mean line of each section is
// [Section.Camber]. Sections with polars go along where all stations of a surface have them, at their Reynolds number.
//
//	m, err := lattice.New(surfaces, lattice.Settings{Reference: a.LatticeReference()})
//
// It returns an error for an aeroplane that does not pass [Aircraft.Validate], and for a Reynolds number outside the polars.
func (a Aircraft) Lattice() ([]lattice.Surface, error) {
	if err := a.Validate(); err != nil {
		return nil, err
	}
	var surfaces []lattice.Surface
	for _, s := range a.Surfaces {
		stations, err := s.lattice()
		if err != nil {
			return nil, err
		}
		surfaces = append(surfaces, lattice.Surface{Name: s.Name, Stations: stations, Mirrored: s.Mirrored, Controls: latticeControls(s)})
	}
	return surfaces, nil
}

func (s Surface) lattice() ([]lattice.Station, error) {
	stations := make([]lattice.Station, len(s.Stations))
	polars := true
	for i, t := range s.Stations {
		stations[i] = lattice.Station{
			LeadingEdge: lattice.Point{X: t.X, Y: t.Y, Z: t.Z}, Chord: t.Chord, Twist: s.Incidence + t.Twist,
		}
		if t.Section.ZeroLift != 0 || t.Section.Moment != 0 {
			stations[i].Camber = t.Section.Camber
		}
		polars = polars && t.Section.family != nil
	}
	if !polars {
		return stations, nil
	}
	for i, t := range s.Stations {
		polar, err := t.Section.family.At(t.Section.Reynolds)
		if err != nil {
			return nil, err
		}
		stations[i].Section = polar
	}
	return stations, nil
}

// latticeControls turns rudders on both sides the same way: that is opposite to their images.
func latticeControls(s Surface) []lattice.Control {
	var controls []lattice.Control
	for _, c := range s.Controls {
		to := lattice.Control{Name: c.Name, From: c.From, To: c.To, Chord: c.Chord, Opposite: s.Mirrored && (c.Purpose == Roll || c.Purpose == Yaw)}
		if c.AllMoving {
			to.From, to.To, to.Chord = 0, 1, 1
		}
		controls = append(controls, to)
	}
	return controls
}

// LatticeReference returns the reference quantities as the lattice takes them, which knows no leading edge.
func (a Aircraft) LatticeReference() lattice.Reference {
	return lattice.Reference{Area: a.Reference.Area, Chord: a.Reference.Chord, Span: a.Reference.Span}
}
