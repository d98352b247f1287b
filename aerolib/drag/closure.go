package drag

import (
	"fmt"
	"math"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/unit"
)

// Closure is how a body closes behind its largest cross-section, and what it costs if the flow does not follow.
//
// The flow is taken to follow walls up to 15° to the stream, and up to 30° ahead of a pusher propeller under power, which draws the air in ([Raymer] gives 10° to 12° as
// the limit of good shapes and 30° with the propeller; 15° as the limit of attached flow is common practice). Where walls are steeper the flow is taken to leave the body
// at the first station behind which they are, and the cross-section there counts as a base. The last cross-section is a base too, less what the spinner of a pusher covers of it.
// Drag of a base of area A_b behind a forebody of drag area A_f is, of two published estimates, the first:
//
//	Hoerner: A = 0.029 A_b/√(A_f/A_b)
//	Raymer:  A = [0.139 + 0.419 (M − 0.161)²] A_b
//
// ([Hoerner]; [Raymer]). That a separated aft body drags as a base of the area where the flow leaves it is an estimate for preliminary work.
type Closure struct {
	Body      string
	Largest   unit.Length // station of the largest cross-section
	Mean      unit.Angle  // of the cone from there to the end, by radii of circles of equal area
	Steepest  unit.Angle  // of top, keel and sides to the x axis
	At        unit.Length // station behind which that is
	Limit     unit.Angle  // up to which the flow is taken to follow
	Propeller bool        // a pusher works behind the end
	Attached  bool
	Base      unit.Area   // that counts
	BaseAt    unit.Length // its station
	Drag      unit.Area   // of the base that counts, by Hoerner
	DragOther unit.Area   // the same by Raymer
	Separated unit.Area   // drag by Hoerner if the flow left where walls first exceed 15°; 0 if none do
}

// Limits of the angle of walls.
const (
	wallLimit      unit.Angle = 15 * unit.Degree
	propellerLimit unit.Angle = 30 * unit.Degree
)

// CloseOf returns the closure of a body with the given drag area of friction, both of one body where there are two. Propellers within half a diameter behind the end count. It returns a
// [*unit.PositiveError] for a drag area that is not above zero.
func CloseOf(b aircraft.Body, plants []aircraft.Plant, friction unit.Area, mach unit.MachNumber, powerOff bool) (Closure, error) {
	if err := unit.CheckPositive("drag.CloseOf", "drag area of the "+b.Name, friction, "m²"); err != nil {
		return Closure{}, err
	}
	if err := unit.CheckRange("drag.CloseOf", "Mach number", mach, 0, maxMach, "1"); err != nil {
		return Closure{}, err
	}
	walls := wallsOf(b)
	c := Closure{Body: b.Name, Largest: walls[0].from.X, Limit: wallLimit}
	var spinner unit.Length
	if spinner, c.Propeller = pusher(b, plants); c.Propeller && !powerOff {
		c.Limit = propellerLimit
	}
	end := b.Stations[len(b.Stations)-1]
	c.Mean = math.Atan2(radius(walls[0].from)-radius(end), end.X-walls[0].from.X)
	for _, w := range walls {
		if w.angle > c.Steepest {
			c.Steepest, c.At = w.angle, w.from.X
		}
	}
	c.Base, c.BaseAt, c.Attached = base(b, walls, c.Limit, spinner)
	c.Drag, c.DragOther = hoernerBase(c.Base, friction), (0.139+0.419*(mach-0.161)*(mach-0.161))*c.Base
	if area, _, attached := base(b, walls, wallLimit, spinner); !attached {
		c.Separated = hoernerBase(area, friction)
	}
	return c, nil
}

// hoernerBase returns the drag area of a base.
func hoernerBase(base, friction unit.Area) unit.Area {
	return 0.029 * base * math.Sqrt(base/friction)
}

// base returns the area from which the flow leaves a body.
func base(b aircraft.Body, walls []wall, limit unit.Angle, spinner unit.Length) (area unit.Area, at unit.Length, attached bool) {
	for _, w := range walls {
		if w.angle > limit {
			return section(w.from), w.from.X, false
		}
	}
	end := b.Stations[len(b.Stations)-1]
	return max(0, section(end)-math.Pi/4*spinner*spinner), end.X, true
}

// wall is what closes between two stations.
type wall struct {
	from  aircraft.BodyStation
	angle unit.Angle // steepest of top, keel and sides, inwards
}

// wallsOf returns those behind the largest cross-section; behind the last station, if that is the largest, there is one without angle.
func wallsOf(b aircraft.Body) []wall {
	last := len(b.Stations) - 1
	largest := last
	for i := last; i >= 0; i-- {
		if section(b.Stations[i]) > section(b.Stations[largest]) {
			largest = i
		}
	}
	walls := []wall{}
	for i := largest; i < last; i++ {
		t, u := b.Stations[i], b.Stations[i+1]
		sides, half, centre := (t.Width-u.Width)/2, (t.Height-u.Height)/2, u.Z-t.Z
		walls = append(walls, wall{t, math.Atan2(max(sides, half+centre, half-centre), u.X-t.X)})
	}
	if len(walls) == 0 {
		walls = append(walls, wall{from: b.Stations[last]})
	}
	return walls
}

func section(t aircraft.BodyStation) unit.Area { return math.Pi / 4 * t.Width * t.Height }

// radius returns that of the circle of equal area.
func radius(t aircraft.BodyStation) unit.Length { return math.Sqrt(t.Width*t.Height) / 2 }

// pusher returns the diameter of the spinner of a pusher propeller that works close behind the end, and whether there is one.
func pusher(b aircraft.Body, plants []aircraft.Plant) (spinner unit.Length, ok bool) {
	end := b.Stations[len(b.Stations)-1]
	for _, p := range plants {
		near := math.Hypot(math.Abs(p.Y)-b.Y, p.Z-end.Z) < p.Diameter/2
		if behind := p.X - end.X; p.Pusher && near && behind >= 0 && behind <= p.Diameter/2 {
			return p.Spinner, true
		}
	}
	return 0, false
}

// String says in a sentence how the body closes.
func (c Closure) String() string {
	text := fmt.Sprintf("The %s closes at %s on the mean and %s at the steepest, behind %s", c.Body, degrees(c.Mean), degrees(c.Steepest), unit.Format(c.At, "m"))
	switch {
	case !c.Attached:
		return text + fmt.Sprintf(": above %s the flow is taken to leave it at %s.", degrees(c.Limit), unit.Format(c.BaseAt, "m"))
	case c.Separated > 0:
		return text + fmt.Sprintf(": with the propeller drawing the flow is taken to follow, up to %s; without, it would cost %s more.", degrees(c.Limit), unit.Format(c.Separated, "m²"))
	}
	return text + fmt.Sprintf(": the flow is taken to follow, up to %s.", degrees(c.Limit))
}

func degrees(a unit.Angle) string { return unit.Format(a, "°") }
