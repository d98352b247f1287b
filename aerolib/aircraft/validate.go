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
	c.surface(spot{name: s.Name}, s)
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

// spot is a table of the description, whose key and name are written out only if something is wrong there: Validate is called in every trim.
type spot struct {
	list string // "" at the top
	i    int    // 0 the first
	sub  string // a list in the table, such as stations; may be ""
	j    int
	name string // of the table
}

// key returns the key of a field.
func (p spot) key(field string) string {
	key := p.list
	if p.list != "" && p.i >= 0 {
		key += fmt.Sprintf("[%d]", p.i+1)
	}
	if p.sub != "" {
		key = join(key, fmt.Sprintf("%s[%d]", p.sub, p.j+1))
	}
	return strings.TrimSuffix(join(key, field), ".")
}

// of says what a quantity belongs to.
func (p spot) of() string {
	switch {
	case p.sub == "stations":
		return fmt.Sprintf("station %d of the %s", p.j+1, p.name)
	case p.sub == "controls":
		return "control " + p.name
	case strings.HasPrefix(p.list, "sections"):
		return "section " + p.name
	}
	return p.name
}

func (c *checker) fail(key string, err error) {
	e := &Error{Aircraft: c.name, Key: key, Err: err}
	if c.line != nil {
		e.Line = c.line(key)
	}
	c.errs = append(c.errs, e)
}

func (c *checker) failf(key, format string, args ...any) { c.fail(key, fmt.Errorf(format, args...)) }

func (c *checker) positive(p spot, field, arg string, value float64, symbol string) bool {
	if value > 0 && !math.IsInf(value, 1) {
		return true
	}
	c.fail(p.key(field), unit.CheckPositive(p.of(), arg, value, symbol))
	return false
}

func (c *checker) within(p spot, field, arg string, value, min, max float64, symbol string) bool {
	if min <= value && value <= max && !math.IsInf(value, 0) {
		return true
	}
	c.fail(p.key(field), unit.CheckRange(p.of(), arg, value, min, max, symbol))
	return false
}

func (c *checker) finite(p spot, field, arg string, value float64, symbol string) bool {
	return c.within(p, field, arg, value, math.Inf(-1), math.Inf(1), symbol)
}

// angle checks an angle to be within ±limit degrees.
func (c *checker) angle(p spot, field, arg string, value unit.Angle, limit float64) bool {
	return c.within(p, field, arg, value, -limit*unit.Degree, limit*unit.Degree, "°")
}

// named checks a name, which other entries of the same list must not have.
func (c *checker) named(p spot, what string, others []string) {
	switch {
	case strings.TrimSpace(p.name) == "":
		c.failf(p.key("name"), "each %s needs a name of its own, %q is none", what, p.name)
	case strings.ContainsFunc(p.name, func(r rune) bool { return !unicode.IsPrint(r) }):
		c.failf(p.key("name"), "the name %q has characters that do not print", p.name)
	case slices.Contains(others, p.name):
		c.failf(p.key("name"), "each %s needs a name of its own, %q is none: another has it", what, p.name)
	}
}

// list checks every entry of a list, and that each has a name of its own. Each gives the spot of an entry.
func list[T any](c *checker, what string, items []T, at func(i int, item T) spot, check func(p spot, item T)) {
	names := make([]string, 0, len(items))
	for i, item := range items {
		p := at(i, item)
		c.named(p, what, names)
		names = append(names, p.name)
		check(p, item)
	}
}

func (c *checker) aircraft(a Aircraft) {
	c.named(spot{name: a.Name}, "aeroplane", nil)
	c.reference(a.Reference)
	if len(a.Lifting()) == 0 {
		c.failf("surfaces", "it has no lifting surface: at least one of role wing, foreplane or tailplane is needed")
	}
	list(c, "surface", a.Surfaces, func(i int, s Surface) spot { return spot{list: "surfaces", i: i, name: s.Name} }, c.surface)
	list(c, "body", a.Bodies, func(i int, b Body) spot { return spot{list: "bodies", i: i, name: b.Name} }, c.body)
	list(c, "wheel", a.Wheels, func(i int, w Wheel) spot { return spot{list: "wheels", i: i, name: w.Name} }, c.wheel)
	list(c, "power plant", a.Plants, func(i int, p Plant) spot { return spot{list: "plants", i: i, name: p.Name} }, c.plant)
	list(c, "mass", a.Masses, func(i int, m MassItem) spot { return spot{list: "masses", i: i, name: m.Name} }, c.mass)
	list(c, "item of drag", a.Drag, func(i int, d DragItem) spot { return spot{list: "drag", i: i, name: d.Name} }, c.item)
	c.sections(a)
	c.controls(a)
	c.state(a)
	if len(c.errs) == 0 { // geometry that holds together
		c.overlaps(a.Surfaces)
	}
}

func (c *checker) reference(r Reference) {
	p := spot{list: "reference", i: -1, name: "reference"}
	c.positive(p, "area", "area", r.Area, "m²")
	c.positive(p, "chord", "chord", r.Chord, "m")
	c.positive(p, "span", "span", r.Span, "m")
	c.finite(p, "leading_edge", "leading edge", r.LeadingEdge, "m")
}

// state checks mass and centre of gravity.
func (c *checker) state(a Aircraft) {
	p := spot{name: "state"}
	c.positive(p, c.source("mass"), "mass", a.Mass, "kg")
	c.finite(p, c.source("cg_height"), "height of the CG", a.CGHeight, "m")
	if front, back := a.Extent(); c.finite(p, c.source("cg"), "CG", a.CG, "m") && (a.CG < front || a.CG > back) {
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

func (c *checker) surface(p spot, s Surface) {
	if !slices.Contains([]Role{Wing, Foreplane, Tailplane, Fin, TipFin}, s.Role) {
		c.failf(p.key("role"), "there is no role %q: wing, foreplane, tailplane, fin, tip fin are known", s.Role)
	}
	c.angle(p, "incidence", "incidence", s.Incidence, 30)
	if len(s.Stations) < 2 {
		c.failf(p.key("stations"), "the %s has %d stations, must be 2 or more: root and tip", s.Name, len(s.Stations))
		return
	}
	for i, t := range s.Stations {
		c.station(spot{p.list, p.i, "stations", i, s.Name}, s, i, t)
	}
	c.symmetry(p, s)
	list(c, "control", s.Controls, func(j int, d Control) spot { return spot{p.list, p.i, "controls", j, d.Name} }, c.control)
	c.pitch(p, s)
}

// pitch checks that a surface has one control for pitch at most: the one that trims with it.
func (c *checker) pitch(p spot, s Surface) {
	first, _ := s.PitchControl()
	for j, d := range s.Controls {
		if d.Purpose == Pitch && d.Name != first.Name {
			c.failf(spot{p.list, p.i, "controls", j, d.Name}.key("purpose"), "the %s has two controls for pitch, %s and %s: one surface may have one", s.Name, first.Name, d.Name)
		}
	}
}

// symmetry checks that the root stands where the halves of a surface meet.
func (c *checker) symmetry(p spot, s Surface) {
	switch root := s.Root(); {
	case s.Role.Upright() && s.Mirrored && !(root.Y > 0):
		c.failf(p.key("mirrored"), "the %s is mirrored, so it must stand to starboard, but y of its root is %s", s.Name, unit.Format(root.Y, "m"))
	case !s.Role.Upright() && !s.Mirrored:
		c.failf(p.key("mirrored"), "the %s must be mirrored: only fins may have one side", s.Name)
	case !s.Role.Upright() && root.Y != 0:
		c.failf(p.key("stations[1].y"), "the root of the %s must lie in the plane of symmetry, y is %s: only a fin may stand beside it", s.Name, unit.Format(root.Y, "m"))
	}
}

func (c *checker) station(p spot, s Surface, i int, t Station) {
	ok := c.finite(p, "x", "x", t.X, "m")
	ok = c.finite(p, "y", "y", t.Y, "m") && ok
	ok = c.finite(p, "z", "z", t.Z, "m") && ok
	if i == len(s.Stations)-1 {
		c.within(p, "chord", "chord", t.Chord, 0, math.Inf(1), "m") // it may end in a point
	} else {
		c.positive(p, "chord", "chord", t.Chord, "m")
	}
	c.angle(p, "twist", "twist", t.Twist, 30)
	if ok && i > 0 {
		before, axis := s.Stations[i-1], "y"
		if s.Role.Upright() {
			axis = "z"
		}
		if step := s.Along(t) - s.Along(before); !(step > 0) {
			c.failf(p.key(axis), "station %d of the %s is %s from the one before along %s: the span must be above zero", i+1, s.Name, unit.Format(step, "m"), axis)
		} else if sweep := math.Atan2(t.X-before.X, step); math.Abs(sweep) > 75*unit.Degree {
			c.failf(p.key("x"), "the leading edge of the %s ahead of station %d is swept %s, must be -75° to 75°", s.Name, i+1, unit.Format(sweep, "°"))
		}
	}
}

func (c *checker) control(p spot, d Control) {
	if !slices.Contains([]Purpose{Pitch, Roll, Yaw, Flap}, d.Purpose) {
		c.failf(p.key("purpose"), "there is no purpose %q: pitch, roll, yaw, flap are known", d.Purpose)
	}
	if c.angle(p, "min", "least deflection", d.Min, 60) && c.angle(p, "max", "greatest deflection", d.Max, 60) && !(d.Min < d.Max) {
		c.failf(p.key("max"), "the limits of the control %s are the wrong way round: least %s, greatest %s", d.Name, unit.Format(d.Min, "°"), unit.Format(d.Max, "°"))
	}
	if d.AllMoving {
		if d.From != 0 || d.To != 0 || d.Chord != 0 {
			c.failf(p.key("all_moving"), "the control %s turns as a whole: from, to and chord belong to a hinged control", d.Name)
		}
		return
	}
	c.within(p, "chord", "chord fraction behind the hinge", d.Chord, 0.02, 0.98, "1")
	if c.within(p, "from", "inner end, of the span,", d.From, 0, 1, "1") && c.within(p, "to", "outer end, of the span,", d.To, 0, 1, "1") && !(d.From < d.To) {
		c.failf(p.key("to"), "the control %s ends at %s of the span, inside where it begins, %s", d.Name, unit.Format(d.To, "1"), unit.Format(d.From, "1"))
	}
}

func (c *checker) body(p spot, b Body) {
	c.within(p, "y", "y of the centre line", b.Y, 0, math.Inf(1), "m")
	if len(b.Stations) < 2 {
		c.failf(p.key("stations"), "the %s has %d stations, must be 2 or more", b.Name, len(b.Stations))
	}
	for i, t := range b.Stations {
		at := spot{p.list, p.i, "stations", i, b.Name}
		c.finite(at, "z", "z", t.Z, "m")
		c.within(at, "width", "width", t.Width, 0, math.Inf(1), "m")
		c.within(at, "height", "height", t.Height, 0, math.Inf(1), "m")
		if c.finite(at, "x", "x", t.X, "m") && i > 0 && !(t.X > b.Stations[i-1].X) {
			c.failf(at.key("x"), "station %d of the %s is at x = %s, not behind the one before at %s", i+1, b.Name, unit.Format(t.X, "m"), unit.Format(b.Stations[i-1].X, "m"))
		}
	}
}

func (c *checker) wheel(p spot, w Wheel) {
	c.finite(p, "x", "x", w.X, "m")
	c.within(p, "y", "y", w.Y, 0, math.Inf(1), "m")
	c.finite(p, "z", "z", w.Z, "m")
}

func (c *checker) plant(p spot, e Plant) {
	c.within(p, "power", "power", e.Power, 0, math.Inf(1), "kW")
	c.finite(p, "x", "x", e.X, "m")
	c.finite(p, "y", "y", e.Y, "m")
	c.finite(p, "z", "z", e.Z, "m")
	c.positive(p, "diameter", "propeller diameter", e.Diameter, "m")
	c.angle(p, "tilt", "tilt of the thrust line", e.Tilt, 20)
	c.within(p, "blades", "number of blades", e.Blades, 0, 8, "1")
	c.within(p, "speed", "speed of the propeller", e.Speed, 0, math.Inf(1), "rpm")
	if c.within(p, "pitch", "pitch", e.Pitch, 0, 75*unit.Degree, "°") && e.PitchHigh != 0 {
		c.within(p, "pitch_high", "pitch at the high stop", e.PitchHigh, e.Pitch, 75*unit.Degree, "°")
	}
	c.within(p, "activity_factor", "activity factor", e.ActivityFactor, 0, 300, "1")
	c.within(p, "spinner", "spinner diameter", e.Spinner, 0, e.Diameter, "m")
	c.within(p, "consumption", "fuel consumption", e.Consumption, 0, math.Inf(1), "kg/(kW·h)")
	c.within(p, "critical_altitude", "critical altitude", e.Critical, 0, 15e3, "m")
	c.blade(p, e.Blade)
}

func (c *checker) item(p spot, d DragItem) {
	if !slices.Contains([]ItemKind{GearItem, CoolingItem, ProtuberanceItem}, d.Kind) {
		c.failf(p.key("kind"), "there is no kind %q: gear, cooling, protuberance are known", d.Kind)
	}
	c.within(p, "area", "area of drag", d.Area, 0, math.Inf(1), "m²")
}

func (c *checker) blade(p spot, blade []BladeStation) {
	inner := 0.0
	for i, b := range blade {
		at := spot{p.list, p.i, "blade", i, p.name}
		c.within(at, "radius", "radius of a blade station", b.Radius, inner, 1, "1")
		c.within(at, "chord", "chord of a blade station", b.Chord, 0, 0.5, "1")
		c.angle(at, "twist", "twist of a blade station", b.Twist, 90)
		c.within(at, "thickness", "thickness of a blade station", b.Thickness, 0, 1, "1")
		inner = b.Radius
	}
	if len(blade) == 1 {
		c.failf(p.key("blade"), "a blade needs at least two stations")
	}
}

func (c *checker) mass(p spot, m MassItem) {
	c.finite(p, "x", "x", m.X, "m")
	c.finite(p, "y", "y", m.Y, "m")
	c.finite(p, "z", "z", m.Z, "m")
	least, most := 0.0, math.Inf(1)
	if c.within(p, "min", "least mass", m.Min, 0, math.Inf(1), "kg") && c.within(p, "max", "greatest mass", m.Max, 0, math.Inf(1), "kg") {
		if m.Max < m.Min {
			c.failf(p.key("max"), "the limits of the %s are the wrong way round: least %s, greatest %s", m.Name, unit.Format(m.Min, "kg"), unit.Format(m.Max, "kg"))
		} else if m.Loading() {
			least, most = m.Min, m.Max
		}
	}
	c.within(p, "mass", "mass", m.Mass, least, most, "kg")
	for _, side := range []struct {
		key, what string
		value     unit.Length
	}{{"box.x", "extent along x", m.Box.X}, {"box.y", "extent along y", m.Box.Y}, {"box.z", "extent along z", m.Box.Z}} {
		c.within(p, side.key, side.what, side.value, 0, math.Inf(1), "m")
	}
	c.inertia(p, m.Own)
}

// inertia checks that a tensor can be that of a body: no moment above the sum of the other two.
func (c *checker) inertia(p spot, i Inertia) {
	for _, v := range []float64{i.XX, i.YY, i.ZZ, i.XY, i.YZ, i.XZ} {
		if !c.finite(p, "inertia", "inertia", v, "kg·m²") {
			return
		}
	}
	if sum := i.XX + i.YY + i.ZZ; i.XX < 0 || i.YY < 0 || i.ZZ < 0 || 2*max(i.XX, i.YY, i.ZZ) > sum*(1+1e-9) {
		c.failf(p.key("inertia"), "no body has the moments of inertia of the %s: each is at least zero and at most the sum of the other two", p.name)
	}
}

// sections checks each section once, and that no two have the same name.
func (c *checker) sections(a Aircraft) {
	known := map[string]Section{}
	for _, s := range a.Sections() {
		p := spot{list: "sections", i: len(known), name: s.Name}
		if c.section != nil {
			p.list, p.i = c.section(s.Name), -1
		}
		if before, ok := known[s.Name]; ok && before != s {
			c.failf(p.key("name"), "two sections have the name %q and are not the same", s.Name)
			continue
		}
		known[s.Name] = s
		c.named(p, "section", nil)
		c.positive(p, "lift_slope", "lift slope", s.LiftSlope, "1/rad")
		c.angle(p, "zero_lift", "zero-lift angle", s.ZeroLift, 20)
		c.within(p, "moment", "moment", s.Moment, -1, 1, "1")
		c.within(p, "max_lift", "maximum lift", s.MaxLift, 0, 5, "1")
		c.within(p, "thickness", "thickness", s.Thickness, 0, 0.4, "1")
		c.within(p, "thickest", "station of the thickness", s.Thickest, 0, 1, "1")
		c.within(p, "reynolds", "Reynolds number", s.Reynolds, 0, 1e9, "1")
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
