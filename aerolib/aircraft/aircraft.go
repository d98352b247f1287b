package aircraft

import (
	"fmt"
	"math"
	"slices"

	"foreplane/aerolib/unit"
)

// Aircraft is an aeroplane. Its coefficients refer to Reference.
type Aircraft struct {
	Name      string
	Surfaces  []Surface
	Mass      unit.Mass
	CG        unit.Length // station of the centre of gravity
	Power     unit.Power  // of the engine at sea level
	Reference Reference
}

// Reference states the quantities that make coefficients of forces and moments.
type Reference struct {
	Name        string // what they are taken from, such as "wing"
	Area        unit.Area
	Chord       unit.Length
	Span        unit.Length
	LeadingEdge unit.Length // station of the leading edge of Chord, from which % of chord count
}

// ReferenceOf returns the area, mean aerodynamic chord and span of a surface.
func ReferenceOf(s Surface) Reference {
	return Reference{Name: s.Name, Area: s.Area(), Chord: s.MeanChord(), Span: s.Span, LeadingEdge: s.LeadingEdge()}
}

// Fraction returns station x as a fraction of the reference chord behind its leading edge.
func (r Reference) Fraction(x unit.Length) unit.Ratio { return (x - r.LeadingEdge) / r.Chord }

// Surface returns the surface with the given name.
func (a Aircraft) Surface(name string) (Surface, error) {
	for _, s := range a.Surfaces {
		if s.Name == name {
			return s, nil
		}
	}
	return Surface{}, fmt.Errorf("aircraft: %s has no surface called %q", a.Name, name)
}

// With returns the aeroplane with s in place of its surface of the same name, or added if there is none. The original stays as it is, and so does the
// reference, which is stated and not derived.
func (a Aircraft) With(s Surface) Aircraft {
	a.Surfaces = slices.Clone(a.Surfaces)
	i := slices.IndexFunc(a.Surfaces, func(t Surface) bool { return t.Name == s.Name })
	if i < 0 {
		a.Surfaces = append(a.Surfaces, s)
	} else {
		a.Surfaces[i] = s
	}
	return a
}

// Lifting returns the surfaces that carry lift: all but the fins.
func (a Aircraft) Lifting() []Surface {
	return slices.DeleteFunc(slices.Clone(a.Surfaces), func(s Surface) bool { return s.Role == Fin })
}

// Area returns the sum of the areas of the lifting surfaces.
func (a Aircraft) Area() unit.Area {
	sum := 0.0
	for _, s := range a.Lifting() {
		sum += s.Area()
	}
	return sum
}

// Weight returns the weight at standard gravity.
func (a Aircraft) Weight() unit.Weight { return a.Mass * unit.StandardGravity }

// Validate returns nil if the description is complete and sensible, or an error that names what is not.
func (a Aircraft) Validate() error {
	check := checker{of: "aircraft: " + a.Name}
	check.positive("mass", a.Mass, "kg")
	check.within("CG", a.CG, math.Inf(-1), math.Inf(1), "m")
	check.within("power", a.Power, 0, math.Inf(1), "kW")
	check.positive("reference area", a.Reference.Area, "m²")
	check.positive("reference chord", a.Reference.Chord, "m")
	check.positive("reference span", a.Reference.Span, "m")
	check.within("reference leading edge", a.Reference.LeadingEdge, math.Inf(-1), math.Inf(1), "m")
	if len(a.Lifting()) == 0 {
		check.fail(fmt.Errorf("%s: it has no lifting surface", check.of))
	}
	names := map[string]bool{}
	for _, s := range a.Surfaces {
		if s.Name == "" || names[s.Name] {
			check.fail(fmt.Errorf("%s: each surface needs a name of its own, %q is none", check.of, s.Name))
		}
		names[s.Name] = true
		if check.err == nil {
			check.err = s.Validate()
		}
	}
	return check.err
}

// Validate returns nil if the surface is complete and sensible, or an error that names what is not.
func (s Surface) Validate() error {
	check := checker{of: "surface " + s.Name}
	if !slices.Contains([]Role{Wing, Foreplane, Tailplane, Fin}, s.Role) {
		check.fail(fmt.Errorf("%s: there is no role %q", check.of, s.Role))
	}
	check.positive("span", s.Span, "m")
	check.positive("root chord", s.RootChord, "m")
	check.within("tip chord", s.TipChord, 0, math.Inf(1), "m")
	check.within("x", s.X, math.Inf(-1), math.Inf(1), "m")
	check.within("z", s.Z, math.Inf(-1), math.Inf(1), "m")
	check.within("y", s.Y, 0, math.Inf(1), "m")
	if s.Role != Fin && s.Y != 0 {
		check.fail(fmt.Errorf("%s: only a fin may stand beside the plane of symmetry, y is %s", check.of, unit.Format(s.Y, "m")))
	}
	check.angle("sweep", s.Sweep, 75)
	check.angle("dihedral", s.Dihedral, 60)
	check.angle("incidence", s.Incidence, 30)
	check.angle("twist", s.Twist, 30)
	check.positive("section lift slope", s.Section.LiftSlope, "1/rad")
	check.angle("section zero-lift angle", s.Section.ZeroLift, 20)
	check.within("section moment", s.Section.Moment, -1, 1, "1")
	check.within("section maximum lift", s.Section.MaxLift, 0, 5, "1")
	if s.Control.AllMoving {
		check.angle("least deflection", s.Control.Min, 60)
		check.within("greatest deflection", s.Control.Max, s.Control.Min, 60*unit.Degree, "°")
	}
	return check.err
}

// checker keeps the first error.
type checker struct {
	of  string
	err error
}

func (c *checker) fail(err error) {
	if c.err == nil {
		c.err = err
	}
}

func (c *checker) positive(arg string, value float64, symbol string) {
	if err := unit.CheckPositive(c.of, arg, value, symbol); err != nil {
		c.fail(err)
	}
}

func (c *checker) within(arg string, value, min, max float64, symbol string) {
	if err := unit.CheckRange(c.of, arg, value, min, max, symbol); err != nil {
		c.fail(err)
	}
}

// angle checks an angle to be within ±limit degrees.
func (c *checker) angle(arg string, value unit.Angle, limit float64) {
	c.within(arg, value, -limit*unit.Degree, limit*unit.Degree, "°")
}
