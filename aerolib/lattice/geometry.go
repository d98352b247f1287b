package lattice

import (
	"fmt"
	"math"

	"foreplane/aerolib/unit"
)

// Point is a place in the axes of the aeroplane: x aft, y to starboard, z up.
type Point struct{ X, Y, Z unit.Length }

// Station is one chord of a surface. Between stations everything varies linearly.
type Station struct {
	LeadingEdge Point
	Chord       unit.Length
	Twist       unit.Angle // of the chord to the x axis, nose up
	ZeroLift    unit.Angle // angle of attack of the chord at zero lift, besides what Camber gives; negative with camber
	// Camber is the slope dz/dx of the mean line at a fraction of the chord, z towards the upper side; nil is a flat plate.
	Camber func(x unit.Ratio) unit.Ratio
	// Section is what the section does with friction, for [Model.Viscous]; all stations of a surface have one, or none.
	Section Section
}

// Surface is a thin lifting surface: chords along x at stations that follow each other from port to starboard or, of a fin, from its root up. Of a Mirrored
// surface the stations describe the starboard half, from the plane of symmetry outwards, and the port half is its image.
//
// The upper side is on the left of the way along the stations, seen from ahead: up on a wing, to port on a fin. A positive twist or deflection gives lift
// towards the upper side: that of a rudder moves its trailing edge to starboard.
type Surface struct {
	Name     string
	Stations []Station
	Mirrored bool
	Controls []Control
	// Rows is the number of panels along the chord; 0 takes that of the [Settings].
	Rows int
}

// Control is a part of a surface that turns, or all of it. Deflections are positive with the trailing edge down.
type Control struct {
	Name string
	// From and To bound the control along the surface, as fractions of the way along its stations. Both 0 is the whole surface.
	From, To unit.Ratio
	// Chord is the fraction of the chord behind the hinge, at least 1e-5. 0 or 1 turns the whole chord. Hinges nearer than 1e-6 of the chord are one.
	Chord unit.Ratio
	// Axis is the direction about which the whole chord turns, towards the end of the stations; the zero value stands across the x axis. A hinged flap
	// turns about its hinge line.
	Axis Point
	// Opposite controls deflect the other way on the port side: positive is trailing edge down to starboard.
	Opposite bool
}

// all reports whether the control turns the whole chord.
func (c Control) all() bool { return c.Chord == 0 || c.Chord == 1 }

// span returns the ends of the control along the surface.
func (c Control) span() (from, to unit.Ratio) {
	if c.From == 0 && c.To == 0 {
		return 0, 1
	}
	return c.From, c.To
}

// Area returns the area of the surface in its own plane, both halves of a mirrored one.
func (s Surface) Area() unit.Area {
	sum := 0.0
	for i := 1; i < len(s.Stations); i++ {
		a, b := s.Stations[i-1], s.Stations[i]
		sum += (a.Chord + b.Chord) / 2 * across(a, b)
	}
	return sum * s.halves()
}

// Length returns the way along the stations, across the x axis: the span of a flat wing, both halves of a mirrored surface.
func (s Surface) Length() unit.Length { return s.along(len(s.Stations)-1) * s.halves() }

func (s Surface) halves() unit.Ratio {
	if s.Mirrored {
		return 2
	}
	return 1
}

// along returns the way from the first station to station n.
func (s Surface) along(n int) unit.Length {
	sum := 0.0
	for i := 1; i <= n; i++ {
		sum += across(s.Stations[i-1], s.Stations[i])
	}
	return sum
}

// across returns the distance between two chords.
func across(a, b Station) unit.Length {
	return math.Hypot(b.LeadingEdge.Y-a.LeadingEdge.Y, b.LeadingEdge.Z-a.LeadingEdge.Z)
}

// central reports whether the surface lies in the plane of symmetry.
func (s Surface) central() bool {
	for _, t := range s.Stations {
		if t.LeadingEdge.Y != 0 {
			return false
		}
	}
	return !s.Mirrored
}

// lerp returns the station at fraction f of the way from a to b. Camber is the mean of both, weighted.
func lerp(a, b Station, f unit.Ratio) Station {
	mix := func(p, q float64) float64 { return p + f*(q-p) }
	return Station{
		LeadingEdge: Point{
			mix(a.LeadingEdge.X, b.LeadingEdge.X), mix(a.LeadingEdge.Y, b.LeadingEdge.Y), mix(a.LeadingEdge.Z, b.LeadingEdge.Z),
		},
		Chord: mix(a.Chord, b.Chord), Twist: mix(a.Twist, b.Twist), ZeroLift: mix(a.ZeroLift, b.ZeroLift),
		Camber:  func(x unit.Ratio) unit.Ratio { return mix(a.slope(x), b.slope(x)) },
		Section: between(a.Section, b.Section, f),
	}
}

func (s Station) slope(x unit.Ratio) unit.Ratio {
	if s.Camber == nil {
		return 0
	}
	return s.Camber(x)
}

// Trapezoid returns a mirrored surface with straight edges: span b tip to tip, chords at root and tip, sweep of the leading edge, twist linear from root to
// tip, and its leading edge starting at root.
func Trapezoid(name string, root Point, b, rootChord, tipChord unit.Length, sweep, rootTwist, tipTwist unit.Angle) Surface {
	tip := Point{root.X + b/2*math.Tan(sweep), root.Y + b/2, root.Z}
	return Surface{Name: name, Mirrored: true, Stations: []Station{
		{LeadingEdge: root, Chord: rootChord, Twist: rootTwist},
		{LeadingEdge: tip, Chord: tipChord, Twist: tipTwist},
	}}
}

// validate checks one surface by itself.
func (s Surface) validate() error {
	if s.Name == "" {
		return fmt.Errorf("lattice.New: a surface needs a name")
	}
	if len(s.Stations) < 2 {
		return &SpanError{Surface: s.Name, Length: 0}
	}
	for i, t := range s.Stations {
		if err := t.validate(fmt.Sprintf("of station %d of the %s", i+1, s.Name)); err != nil {
			return err
		}
		if i > 0 && !(across(s.Stations[i-1], t) > 0) {
			return &SpanError{Surface: s.Name, Length: across(s.Stations[i-1], t)}
		}
		if s.Mirrored && (t.LeadingEdge.Y < 0 || i > 0 && t.LeadingEdge.Y == 0) {
			return fmt.Errorf("lattice.New: station %d of the %s is at y = %s; a mirrored surface lies to starboard",
				i+1, s.Name, unit.Format(t.LeadingEdge.Y, "m"))
		}
		if (t.Section == nil) != (s.Stations[0].Section == nil) {
			return fmt.Errorf("lattice.New: of the stations 1 and %d of the %s only one has a section; all must, or none", i+1, s.Name)
		}
	}
	if err := unit.CheckRange("lattice.New", "number of rows of the "+s.Name, float64(s.Rows), 0, maxRows, "1"); err != nil {
		return err
	}
	return s.validateControls()
}

func (t Station) validate(where string) error {
	finite := func(what string, v float64, symbol string) error {
		return checkFinite("lattice.New", what+" "+where, v, symbol)
	}
	for _, err := range []error{
		finite("x", t.LeadingEdge.X, "m"), finite("y", t.LeadingEdge.Y, "m"), finite("z", t.LeadingEdge.Z, "m"),
		unit.CheckPositive("lattice.New", "chord "+where, t.Chord, "m"),
		unit.CheckRange("lattice.New", "twist "+where, t.Twist, -maxSmall, maxSmall, "°"),
		unit.CheckRange("lattice.New", "zero-lift angle "+where, t.ZeroLift, -maxSmall, maxSmall, "°"),
	} {
		if err != nil {
			return err
		}
	}
	return nil
}

// maxSmall bounds the angles that enter the boundary condition to first order; their cosine is then above 0.7.
const maxSmall unit.Angle = 45 * unit.Degree

func (s Surface) validateControls() error {
	for _, c := range s.Controls {
		if c.Name == "" {
			return fmt.Errorf("lattice.New: a control of the %s needs a name", s.Name)
		}
		of := " of the " + c.Name
		from, to := c.span()
		for _, err := range []error{
			unit.CheckRange("lattice.New", "inner end"+of, from, 0, 1, "1"),
			unit.CheckRange("lattice.New", "outer end"+of, to, from, 1, "1"),
			unit.CheckPositive("lattice.New", "length"+of, to-from, "1"),
			unit.CheckRange("lattice.New", "chord fraction"+of, c.Chord, 0, 1, "1"),
			unit.CheckRange("lattice.New", "axis"+of, c.Axis.X+c.Axis.Y+c.Axis.Z, math.Inf(-1), math.Inf(1), "1"),
		} {
			if err != nil {
				return err
			}
		}
		if !c.all() {
			if err := unit.CheckRange("lattice.New", "chord fraction"+of, c.Chord, 10*sameHinge, 1, "1"); err != nil {
				return err
			}
		}
		if c.Opposite && !s.Mirrored {
			return fmt.Errorf("lattice.New: the %s is opposite to port, but the %s has no port half", c.Name, s.Name)
		}
	}
	return nil
}
