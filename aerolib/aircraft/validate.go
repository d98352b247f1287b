package aircraft

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode"

	"foreplane/aerolib/unit"
)

// Error says what is wrong with a description, and where.
type Error struct {
	Aircraft string
	Line     int    // of the file, 1 the first; 0 if it was not read from one
	Key      string // such as surfaces[1].stations[2].chord, 1 the first
	Err      error  // what is wrong, and what was expected
}

func (e *Error) Error() string {
	var b strings.Builder
	b.WriteString("aircraft: ")
	if e.Aircraft != "" {
		b.WriteString(e.Aircraft + ": ")
	}
	if e.Line > 0 {
		fmt.Fprintf(&b, "line %d: ", e.Line)
	}
	if e.Key != "" {
		b.WriteString(e.Key + ": ")
	}
	b.WriteString(e.Err.Error())
	return b.String()
}

// Unwrap returns what is wrong.
func (e *Error) Unwrap() error { return e.Err }

// Validate returns nil if the description is complete and sensible, or all that is wrong as joined [Error] values, each with the key that the file would have.
func (a Aircraft) Validate() error {
	c := &checker{name: a.Name}
	c.aircraft(a)
	return errors.Join(c.errs...)
}

// Validate returns nil if the surface is complete and sensible, or all that is wrong.
func (s Surface) Validate() error {
	c := &checker{}
	c.surface("", s)
	return errors.Join(c.errs...)
}

// checker collects errors.
type checker struct {
	name    string
	line    func(key string) int     // nil if there is no file
	section func(name string) string // the key of a section in the file
	stated  func(key string) bool    // whether the file has a key; nil if there is no file
	errs    []error
}

func (c *checker) fail(key string, err error) {
	e := &Error{Aircraft: c.name, Key: key, Err: err}
	if c.line != nil {
		e.Line = c.line(key)
	}
	c.errs = append(c.errs, e)
}

func (c *checker) failf(key, format string, args ...any) { c.fail(key, fmt.Errorf(format, args...)) }

func (c *checker) positive(key, of, arg string, value float64, symbol string) bool {
	err := unit.CheckPositive(of, arg, value, symbol)
	if err != nil {
		c.fail(key, err)
	}
	return err == nil
}

func (c *checker) within(key, of, arg string, value, min, max float64, symbol string) bool {
	err := unit.CheckRange(of, arg, value, min, max, symbol)
	if err != nil {
		c.fail(key, err)
	}
	return err == nil
}

func (c *checker) finite(key, of, arg string, value float64, symbol string) bool {
	return c.within(key, of, arg, value, math.Inf(-1), math.Inf(1), symbol)
}

// angle checks an angle to be within ±limit degrees.
func (c *checker) angle(key, of, arg string, value unit.Angle, limit float64) bool {
	return c.within(key, of, arg, value, -limit*unit.Degree, limit*unit.Degree, "°")
}

// named checks a name, which other entries of the same list must not have.
func (c *checker) named(key, what, name string, others []string) {
	switch {
	case strings.TrimSpace(name) == "":
		c.failf(key, "each %s needs a name of its own, %q is none", what, name)
	case strings.ContainsFunc(name, func(r rune) bool { return !unicode.IsPrint(r) }):
		c.failf(key, "the name %q has characters that do not print", name)
	case slices.Contains(others, name):
		c.failf(key, "each %s needs a name of its own, %q is none: another has it", what, name)
	}
}

// list checks every entry of a list, and that each has a name of its own.
func list[T any](c *checker, key, what string, items []T, name func(T) string, check func(key string, item T)) {
	var names []string
	for i, item := range items {
		at := fmt.Sprintf("%s[%d]", key, i+1)
		c.named(at+".name", what, name(item), names)
		names = append(names, name(item))
		check(at, item)
	}
}

func (c *checker) aircraft(a Aircraft) {
	c.named("name", "aeroplane", a.Name, nil)
	c.reference(a.Reference)
	if len(a.Lifting()) == 0 {
		c.failf("surfaces", "it has no lifting surface: at least one of role wing, foreplane or tailplane is needed")
	}
	list(c, "surfaces", "surface", a.Surfaces, func(s Surface) string { return s.Name }, c.surface)
	list(c, "bodies", "body", a.Bodies, func(b Body) string { return b.Name }, c.body)
	list(c, "wheels", "wheel", a.Wheels, func(w Wheel) string { return w.Name }, c.wheel)
	list(c, "plants", "power plant", a.Plants, func(p Plant) string { return p.Name }, c.plant)
	list(c, "masses", "mass", a.Masses, func(m MassItem) string { return m.Name }, c.mass)
	c.sections(a)
	c.controls(a)
	c.state(a)
	if len(c.errs) == 0 { // geometry that holds together
		c.overlaps(a.Lifting(), a)
		c.overlaps(a.Fins(), a)
	}
}

func (c *checker) reference(r Reference) {
	c.positive("reference.area", "reference", "area", r.Area, "m²")
	c.positive("reference.chord", "reference", "chord", r.Chord, "m")
	c.positive("reference.span", "reference", "span", r.Span, "m")
	c.finite("reference.leading_edge", "reference", "leading edge", r.LeadingEdge, "m")
}

// state checks mass and centre of gravity.
func (c *checker) state(a Aircraft) {
	c.positive(c.source("mass"), "state", "mass", a.Mass, "kg")
	c.finite(c.source("cg_height"), "state", "height of the CG", a.CGHeight, "m")
	if front, back := a.Extent(); c.finite(c.source("cg"), "state", "CG", a.CG, "m") && (a.CG < front || a.CG > back) {
		c.failf(c.source("cg"), "the CG at %s is outside the aeroplane, which reaches from %s to %s", unit.Format(a.CG, "m"), unit.Format(front, "m"), unit.Format(back, "m"))
	}
}

// source returns the key that a quantity of the state comes from: its own, or in a file without it the masses.
func (c *checker) source(key string) string {
	if c.stated != nil && !c.stated(key) {
		return "masses"
	}
	return key
}

func (c *checker) surface(key string, s Surface) {
	if key != "" {
		key += "."
	}
	if !slices.Contains([]Role{Wing, Foreplane, Tailplane, Fin, TipFin}, s.Role) {
		c.failf(key+"role", "there is no role %q: wing, foreplane, tailplane, fin, tip fin are known", s.Role)
	}
	c.angle(key+"incidence", s.Name, "incidence", s.Incidence, 30)
	if len(s.Stations) < 2 {
		c.failf(key+"stations", "the %s has %d stations, must be 2 or more: root and tip", s.Name, len(s.Stations))
		return
	}
	for i, t := range s.Stations {
		c.station(fmt.Sprintf("%sstations[%d]", key, i+1), s, i, t)
	}
	c.symmetry(key, s)
	list(c, key+"controls", "control", s.Controls, func(d Control) string { return d.Name }, c.control)
}

// symmetry checks that the root stands where the halves of a surface meet.
func (c *checker) symmetry(key string, s Surface) {
	switch root := s.Root(); {
	case s.Role.Upright() && s.Mirrored && !(root.Y > 0):
		c.failf(key+"mirrored", "the %s is mirrored, so it must stand to starboard, but y of its root is %s", s.Name, unit.Format(root.Y, "m"))
	case !s.Role.Upright() && !s.Mirrored:
		c.failf(key+"mirrored", "the %s must be mirrored: only fins may have one side", s.Name)
	case !s.Role.Upright() && root.Y != 0:
		c.failf(key+"stations[1].y", "the root of the %s must lie in the plane of symmetry, y is %s: only a fin may stand beside it", s.Name, unit.Format(root.Y, "m"))
	}
}

func (c *checker) station(key string, s Surface, i int, t Station) {
	of := fmt.Sprintf("station %d of the %s", i+1, s.Name)
	ok := c.finite(key+".x", of, "x", t.X, "m")
	ok = c.finite(key+".y", of, "y", t.Y, "m") && ok
	ok = c.finite(key+".z", of, "z", t.Z, "m") && ok
	if i == len(s.Stations)-1 {
		c.within(key+".chord", of, "chord", t.Chord, 0, math.Inf(1), "m") // it may end in a point
	} else {
		c.positive(key+".chord", of, "chord", t.Chord, "m")
	}
	c.angle(key+".twist", of, "twist", t.Twist, 30)
	if ok && i > 0 {
		before, axis := s.Stations[i-1], "y"
		if s.Role.Upright() {
			axis = "z"
		}
		if step := s.Along(t) - s.Along(before); !(step > 0) {
			c.failf(key+"."+axis, "station %d of the %s is %s from the one before along %s: the span must be above zero", i+1, s.Name, unit.Format(step, "m"), axis)
		} else if sweep := math.Atan2(t.X-before.X, step); math.Abs(sweep) > 75*unit.Degree {
			c.failf(key+".x", "the leading edge of the %s ahead of station %d is swept %s, must be -75° to 75°", s.Name, i+1, unit.Format(sweep, "°"))
		}
	}
}

func (c *checker) control(key string, d Control) {
	of := "control " + d.Name
	if !slices.Contains([]Purpose{Pitch, Roll, Yaw, Flap}, d.Purpose) {
		c.failf(key+".purpose", "there is no purpose %q: pitch, roll, yaw, flap are known", d.Purpose)
	}
	if c.angle(key+".min", of, "least deflection", d.Min, 60) && c.angle(key+".max", of, "greatest deflection", d.Max, 60) && !(d.Min < d.Max) {
		c.failf(key+".max", "the limits of the control %s are the wrong way round: least %s, greatest %s", d.Name, unit.Format(d.Min, "°"), unit.Format(d.Max, "°"))
	}
	if d.AllMoving {
		if d.From != 0 || d.To != 0 || d.Chord != 0 {
			c.failf(key+".all_moving", "the control %s turns as a whole: from, to and chord belong to a hinged control", d.Name)
		}
		return
	}
	c.within(key+".chord", of, "chord fraction behind the hinge", d.Chord, 0.02, 0.98, "1")
	if c.within(key+".from", of, "inner end, of the span,", d.From, 0, 1, "1") && c.within(key+".to", of, "outer end, of the span,", d.To, 0, 1, "1") && !(d.From < d.To) {
		c.failf(key+".to", "the control %s ends at %s of the span, inside where it begins, %s", d.Name, unit.Format(d.To, "1"), unit.Format(d.From, "1"))
	}
}

func (c *checker) body(key string, b Body) {
	if len(b.Stations) < 2 {
		c.failf(key+".stations", "the %s has %d stations, must be 2 or more", b.Name, len(b.Stations))
	}
	for i, t := range b.Stations {
		at, of := fmt.Sprintf("%s.stations[%d]", key, i+1), fmt.Sprintf("station %d of the %s", i+1, b.Name)
		c.finite(at+".z", of, "z", t.Z, "m")
		c.within(at+".width", of, "width", t.Width, 0, math.Inf(1), "m")
		c.within(at+".height", of, "height", t.Height, 0, math.Inf(1), "m")
		if c.finite(at+".x", of, "x", t.X, "m") && i > 0 && !(t.X > b.Stations[i-1].X) {
			c.failf(at+".x", "station %d of the %s is at x = %s, not behind the one before at %s", i+1, b.Name, unit.Format(t.X, "m"), unit.Format(b.Stations[i-1].X, "m"))
		}
	}
}

func (c *checker) wheel(key string, w Wheel) {
	c.finite(key+".x", w.Name, "x", w.X, "m")
	c.within(key+".y", w.Name, "y", w.Y, 0, math.Inf(1), "m")
	c.finite(key+".z", w.Name, "z", w.Z, "m")
}

func (c *checker) plant(key string, p Plant) {
	c.within(key+".power", p.Name, "power", p.Power, 0, math.Inf(1), "kW")
	c.finite(key+".x", p.Name, "x", p.X, "m")
	c.finite(key+".y", p.Name, "y", p.Y, "m")
	c.finite(key+".z", p.Name, "z", p.Z, "m")
	c.positive(key+".diameter", p.Name, "propeller diameter", p.Diameter, "m")
	c.angle(key+".tilt", p.Name, "tilt of the thrust line", p.Tilt, 20)
	c.within(key+".blades", p.Name, "number of blades", p.Blades, 0, 8, "1")
	c.within(key+".speed", p.Name, "speed of the propeller", p.Speed, 0, math.Inf(1), "rpm")
}

func (c *checker) mass(key string, m MassItem) {
	c.finite(key+".x", m.Name, "x", m.X, "m")
	c.finite(key+".y", m.Name, "y", m.Y, "m")
	c.finite(key+".z", m.Name, "z", m.Z, "m")
	least, most := 0.0, math.Inf(1)
	if c.within(key+".min", m.Name, "least mass", m.Min, 0, math.Inf(1), "kg") && c.within(key+".max", m.Name, "greatest mass", m.Max, 0, math.Inf(1), "kg") {
		if m.Max < m.Min {
			c.failf(key+".max", "the limits of the %s are the wrong way round: least %s, greatest %s", m.Name, unit.Format(m.Min, "kg"), unit.Format(m.Max, "kg"))
		} else if m.Loading() {
			least, most = m.Min, m.Max
		}
	}
	c.within(key+".mass", m.Name, "mass", m.Mass, least, most, "kg")
	for _, side := range []struct {
		key   string
		value unit.Length
	}{{"x", m.Box.X}, {"y", m.Box.Y}, {"z", m.Box.Z}} {
		c.within(key+".box."+side.key, m.Name, "extent along "+side.key, side.value, 0, math.Inf(1), "m")
	}
	c.inertia(key+".inertia", m.Name, m.Own)
}

// inertia checks that a tensor can be that of a body: no moment above the sum of the other two.
func (c *checker) inertia(key, of string, i Inertia) {
	for _, v := range []float64{i.XX, i.YY, i.ZZ, i.XY, i.YZ, i.XZ} {
		if !c.finite(key, of, "inertia", v, "kg·m²") {
			return
		}
	}
	if sum := i.XX + i.YY + i.ZZ; i.XX < 0 || i.YY < 0 || i.ZZ < 0 || 2*max(i.XX, i.YY, i.ZZ) > sum*(1+1e-9) {
		c.failf(key, "no body has the moments of inertia of the %s: each is at least zero and at most the sum of the other two", of)
	}
}

// sections checks each section once, and that no two have the same name.
func (c *checker) sections(a Aircraft) {
	known := map[string]Section{}
	for _, s := range a.Sections() {
		key := fmt.Sprintf("sections[%d]", len(known)+1)
		if c.section != nil {
			key = c.section(s.Name)
		}
		if before, ok := known[s.Name]; ok && before != s {
			c.failf(key+".name", "two sections have the name %q and are not the same", s.Name)
			continue
		}
		known[s.Name] = s
		of := "section " + s.Name
		c.named(key+".name", "section", s.Name, nil)
		c.positive(key+".lift_slope", of, "lift slope", s.LiftSlope, "1/rad")
		c.angle(key+".zero_lift", of, "zero-lift angle", s.ZeroLift, 20)
		c.within(key+".moment", of, "moment", s.Moment, -1, 1, "1")
		c.within(key+".max_lift", of, "maximum lift", s.MaxLift, 0, 5, "1")
		c.within(key+".thickness", of, "thickness", s.Thickness, 0, 0.4, "1")
		c.within(key+".thickest", of, "station of the thickness", s.Thickest, 0, 1, "1")
		c.within(key+".reynolds", of, "Reynolds number", s.Reynolds, 0, 1e9, "1")
	}
}

// Sections returns the sections of all stations, each once, in the order in which they come.
func (a Aircraft) Sections() []Section {
	var sections []Section
	for _, s := range a.Surfaces {
		for _, t := range s.Stations {
			if !slices.Contains(sections, t.Section) {
				sections = append(sections, t.Section)
			}
		}
	}
	return sections
}

// controls checks that each control has a name that no other and no surface has: the lattice knows them by name.
func (c *checker) controls(a Aircraft) {
	owner := map[string]string{}
	for _, s := range a.Surfaces {
		owner[s.Name] = "surface"
	}
	for i, s := range a.Surfaces {
		for j, d := range s.Controls {
			if other, ok := owner[d.Name]; ok && other != s.Name {
				c.failf(fmt.Sprintf("surfaces[%d].controls[%d].name", i+1, j+1), "the name %q is taken, by the %s: each control needs one of its own", d.Name, other)
			}
			owner[d.Name] = s.Name
		}
	}
}

// overlaps checks pairs of surfaces for places that both fill.
func (c *checker) overlaps(surfaces []Surface, a Aircraft) {
	for i, s := range surfaces {
		for _, t := range surfaces[:i] {
			if at, ok := s.meets(t); ok {
				index := slices.IndexFunc(a.Surfaces, func(u Surface) bool { return u.Name == s.Name })
				c.failf(fmt.Sprintf("surfaces[%d]", index+1), "the %s overlaps the %s at x %s, y %s, z %s", s.Name, t.Name,
					unit.Format(at.X, "m"), unit.Format(at.Y, "m"), unit.Format(at.Z, "m"))
			}
		}
	}
}

// meets looks for a station of s that lies in t: their chords overlap, and they are nearer to each other than half their thicknesses together.
func (s Surface) meets(t Surface) (Station, bool) {
	const steps = 32
	for i := range steps + 1 {
		u := s.at(float64(i) / steps)
		where := u.Y
		if s.Role.Upright() {
			where = u.Z
		}
		low := t.Root().Y
		if t.Role.Upright() {
			low = t.Root().Z
		}
		f := (where - low) / t.Semispan()
		if f < 0 || f > 1 {
			continue
		}
		v := t.at(f)
		apart := math.Abs(u.Z - v.Z)
		if s.Role.Upright() {
			apart = math.Abs(u.Y - v.Y)
		}
		if u.X < v.X+v.Chord && v.X < u.X+u.Chord && apart < thick(u)+thick(v) {
			return u, true
		}
	}
	return Station{}, false
}

// thick returns half the thickness of a station; one that is not known counts as 12 %.
func thick(t Station) unit.Length {
	if t.Section.Thickness == 0 {
		return 0.06 * t.Chord
	}
	return t.Section.Thickness / 2 * t.Chord
}
