package aircraft

import (
	"errors"
	"fmt"
	"io/fs"
	"math"
	"strconv"

	"foreplane/aerolib/section"
	"foreplane/aerolib/unit"
)

// Section is an aerofoil section and what it does in plane flow. NACA, Coordinates and Polars say where it comes from, and at most one of them is set; the numbers
// are what closed forms and the lattice take. What a file does not state of them is computed on reading (see [Read]).
type Section struct {
	Name        string
	NACA        string              // designation, see section.NACA
	Coordinates string              // file of coordinates, see section.Read
	Polars      string              // file of polars, see section.ReadPolars
	Reynolds    unit.ReynoldsNumber // at which numbers are taken from Polars

	LiftSlope unit.PerRadian   // dcl/dα; thin-aerofoil theory has 2π
	ZeroLift  unit.Angle       // angle of attack of the chord at zero lift; negative with camber
	Moment    unit.Coefficient // about the quarter chord
	MaxLift   unit.Coefficient // largest cl at the Reynolds number of the surface; 0 if not stated

	Thickness unit.Ratio // greatest, of the chord; 0 if not known
	Thickest  unit.Ratio // where it is, of the chord

	family *section.Family
}

// numbers lists what varies linearly between stations.
func (s *Section) numbers() []*float64 {
	return []*float64{&s.LiftSlope, &s.ZeroLift, &s.Moment, &s.MaxLift, &s.Thickness, &s.Thickest}
}

// to returns the section at the fraction f of the way to u.
func (s Section) to(u Section, f unit.Ratio) Section {
	if s == u {
		return s
	}
	blend, other := s, u.numbers()
	for i, value := range blend.numbers() {
		*value = mix(*value, *other[i], f)
	}
	return blend
}

// Family returns the polars of a section that has them.
func (s Section) Family() (section.Family, bool) {
	if s.family == nil {
		return section.Family{}, false
	}
	return *s.family, true
}

// Camber returns the slope dz/dx of a mean line that has the zero-lift angle and the moment of the section in thin-aerofoil theory: with x = (1 − cos θ)/2,
//
//	dz/dx = A₂/3 + A₁ cos θ + A₂ cos 2θ
//	A₂ = 6 (2cm/π − α_L0),   A₁ = A₂ − 4cm/π
//
// It is zero at both ends. A lattice with this line and a closed form with the numbers describe the same section.
func (s Section) Camber(x unit.Ratio) unit.Ratio {
	a2 := 6 * (2*s.Moment/math.Pi - s.ZeroLift)
	a1 := a2 - 4*s.Moment/math.Pi
	c := 1 - 2*x
	return a2/3 + a1*c + a2*(2*c*c-1)
}

// derive fills in what is not stated; stated says so of a key of the file.
func (s *Section) derive(files fs.FS, stated func(key string) bool) error {
	from, err := s.source(files)
	if err != nil {
		return err
	}
	for key, pair := range map[string][2]*float64{
		"lift_slope": {&s.LiftSlope, &from.LiftSlope}, "zero_lift": {&s.ZeroLift, &from.ZeroLift}, "moment": {&s.Moment, &from.Moment},
		"max_lift": {&s.MaxLift, &from.MaxLift}, "thickness": {&s.Thickness, &from.Thickness}, "thickest": {&s.Thickest, &from.Thickest},
	} {
		if !stated(key) {
			*pair[0] = *pair[1]
		}
	}
	s.family = from.family
	return nil
}

// source returns the numbers that NACA, Coordinates or Polars give.
func (s Section) source(files fs.FS) (Section, error) {
	given := 0
	for _, text := range []string{s.NACA, s.Coordinates, s.Polars} {
		if text != "" {
			given++
		}
	}
	switch {
	case given > 1:
		return Section{}, errors.New("naca, coordinates and polars exclude each other: a section has one source")
	case s.NACA != "":
		return fromNACA(s.NACA)
	case s.Coordinates != "":
		return fromCoordinates(files, s.Coordinates)
	case s.Polars != "":
		return fromPolars(files, s.Polars, s.Reynolds)
	}
	return Section{}, nil
}

// fromNACA takes thin-aerofoil theory. The last two digits are the thickness in per cent, which the four- and five-digit sections have at 0.3 of the chord.
func fromNACA(designation string) (s Section, err error) {
	profile, err := section.NACA(designation)
	if err != nil {
		return s, err
	}
	thin, err := section.ThinTheory(profile.Line)
	if err != nil {
		return s, err
	}
	s.LiftSlope, s.ZeroLift, s.Moment = thin.LiftSlope, thin.ZeroLift+0, thin.Moment+0 // no negative zeros
	percent, err := strconv.Atoi(profile.Name[len(profile.Name)-2:])
	s.Thickness, s.Thickest = float64(percent)/100, 0.3
	return s, err
}

// fromCoordinates takes lift and moment from the frictionless flow about the contour.
func fromCoordinates(files fs.FS, name string) (s Section, err error) {
	file, err := open(files, name)
	if err != nil {
		return s, err
	}
	defer file.Close()
	contour, _, err := section.Read(file)
	if err != nil {
		return s, fmt.Errorf("%s: %w", name, err)
	}
	s.Thickness, s.Thickest = contour.Thickness()
	flow, err := section.Panels(contour)
	if err != nil {
		return s, fmt.Errorf("%s: %w", name, err)
	}
	const step = 1 * unit.Degree
	level, err := flow.At(0)
	if err != nil {
		return s, err
	}
	up, err := flow.At(step)
	if err != nil {
		return s, err
	}
	s.LiftSlope = (up.CL - level.CL) / step
	s.ZeroLift = -level.CL / s.LiftSlope
	s.Moment = level.CM - level.CL*(up.CM-level.CM)/(up.CL-level.CL)
	return s, nil
}

// fromPolars takes the straight line through the polar between −4° and 6°, and its moment at zero lift.
func fromPolars(files fs.FS, name string, reynolds unit.ReynoldsNumber) (s Section, err error) {
	file, err := open(files, name)
	if err != nil {
		return s, err
	}
	defer file.Close()
	family, err := section.ReadPolars(name, file)
	if err != nil {
		return s, fmt.Errorf("%s: %w", name, err)
	}
	polar, err := family.At(reynolds)
	if err != nil {
		return s, fmt.Errorf("%s: %w", name, err)
	}
	s.family = &family
	if s.LiftSlope, s.ZeroLift, err = polar.LiftLine(-4*unit.Degree, 6*unit.Degree); err != nil {
		return s, fmt.Errorf("%s: %w", name, err)
	}
	none, err := polar.At(s.ZeroLift)
	s.Moment, s.MaxLift = none.CM, polar.MaxLift().CL
	return s, err
}

func open(files fs.FS, name string) (fs.File, error) {
	if files == nil {
		return nil, fmt.Errorf("the file %q cannot be found from here: read the aeroplane with ReadFile or ReadFS", name)
	}
	return files.Open(name)
}
