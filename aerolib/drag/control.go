package drag

import (
	"fmt"
	"maps"
	"math"
	"slices"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/unit"
)

// freeDeflection is up to which a hinge costs nothing besides what its lift does ([Raymer]).
const freeDeflection unit.Angle = 10 * unit.Degree

// ControlDrag returns the profile drag area that the deflection of a hinged control costs besides that of its lift,
//
//	A = 0.0144 (c_f/c) S_f (|δ| − 10°)/1°
//
// with S_f the area of the surface along the hinge ([Raymer], for plain flaps); up to 10°, and for a surface that turns as a whole and has no hinge, nothing. It returns a [*unit.RangeError]
// for a deflection outside ±60°.
func ControlDrag(s aircraft.Surface, c aircraft.Control, deflection unit.Angle) (unit.Area, error) {
	const limit = 60 * unit.Degree
	if err := unit.CheckRange("drag.ControlDrag", "deflection of the "+c.Name, deflection, -limit, limit, "°"); err != nil {
		return 0, err
	}
	beyond := math.Abs(deflection) - freeDeflection
	if beyond <= 0 {
		return 0, nil
	}
	return 0.0144 * c.Chord * sides(s) * s.Part(c.From, c.To).Area() * beyond / unit.Degree, nil
}

// controls adds an item for each control whose deflection costs something.
func (b *builder) controls() error {
	for _, name := range slices.Sorted(maps.Keys(b.Flight.Deflections)) {
		s, c, err := find(b.a, name)
		if err != nil {
			return err
		}
		delta := b.Flight.Deflections[name]
		area, err := ControlDrag(s, c, delta)
		if err != nil {
			return err
		}
		if area > 0 {
			b.Items = append(b.Items, Item{Name: fmt.Sprintf("%s at %s", name, degrees(delta)), Kind: ControlKind, CDA: area, Source: "plain flap (Raymer)"})
		}
	}
	return nil
}

// find returns a control and its surface.
func find(a aircraft.Aircraft, name string) (aircraft.Surface, aircraft.Control, error) {
	for _, s := range a.Surfaces {
		for _, c := range s.Controls {
			if c.Name == name {
				return s, c, nil
			}
		}
	}
	return aircraft.Surface{}, aircraft.Control{}, &Error{"drag.Build", "deflection", fmt.Sprintf("is given for %q, which is no control of %s", name, a.Name)}
}
