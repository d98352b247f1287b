package prop

import (
	"math"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/atmos"
	"foreplane/aerolib/unit"
)

// Group says in which row of a bookkeeping a part counts.
type Group string

// The groups.
const (
	BodyGroup Group = "body"
	WingGroup Group = "wing" // wings and foreplanes
	TailGroup Group = "tail" // tailplanes and fins
)

// Part is a piece of the skin of an aeroplane as a propeller sees it, small against the disc. Places count from the centre of the disc: aft, to starboard, up.
type Part struct {
	Name     string
	Group    Group
	X, Y, Z  unit.Length // of its middle
	Wetted   unit.Area
	DragArea unit.Area // its drag by friction over the undisturbed dynamic pressure
}

// Source is a piece of the displacement of an aeroplane in the flow without friction. Those of a closed shape add up to zero.
type Source struct {
	X, Y, Z  unit.Length
	Strength unit.Area // volume that it gives off per time, over the speed of the stream
}

// Sheet is a piece of the wake of a wing ahead of the disc, where it meets the disc.
type Sheet struct {
	Y, Z     unit.Length // of its middle
	Width    unit.Length // along y
	Momentum unit.Length // θ, momentum thickness
	Spread   unit.Length // half its thickness: the deficit has fallen to nothing there
}

// Trail is the wake of a body that ends at the disc or ahead of it: the boundary layer of its end.
type Trail struct {
	Y, Z     unit.Length
	Radius   unit.Length // of the body at its end
	Momentum unit.Area   // momentum area
}

// Surroundings is what stands about a propeller. A zero value is a propeller alone. [Around] takes it from an aeroplane; a literal serves for study.
type Surroundings struct {
	Parts   []Part
	Sources []Source
	Sheets  []Sheet
	Trails  []Trail
}

// Pieces that an aeroplane is cut into.
const (
	bodyPieces  = 48
	strips      = 24 // of a half of a surface
	chordPieces = 12
)

// Around returns what stands about the propeller of a plant. Bodies are cut along x, surfaces along the span and, for their displacement, along the chord; what of a surface
// is inside of bodies is left out. A spinner closes the body at the propeller. Friction is that of turbulent layers at the given air and speed, with form factors of Hoerner for
// thickness,
//
//	Cf = 0.455/(log₁₀ Re)^2.58,   1 + 2t/c + 60(t/c)⁴ of surfaces,   1 + 1.5 (d/l)^1.5 + 7 (d/l)³ of bodies
//
// (Prandtl and Schlichting, Hoerner; recalled). It returns an error for an aeroplane that does not pass [aircraft.Aircraft.Validate], and for a speed not above zero.
func Around(a aircraft.Aircraft, plant aircraft.Plant, air atmos.Air, V unit.TrueAirspeed) (Surroundings, error) {
	if err := a.Validate(); err != nil {
		return Surroundings{}, err
	}
	if err := checkAir("prop.Around", air, V); err != nil {
		return Surroundings{}, err
	}
	if err := unit.CheckPositive("prop.Around", "true airspeed", V, "m/s"); err != nil {
		return Surroundings{}, err
	}
	b := builder{a: a, plant: plant, air: air, V: V}
	for _, body := range a.Bodies {
		b.body(body, body.Y)
		if body.Y != 0 {
			b.body(body, -body.Y)
		}
	}
	for _, s := range a.Surfaces {
		b.surface(s, 1)
		if s.Mirrored {
			b.surface(s, -1)
		}
	}
	return b.Surroundings, nil
}

type builder struct {
	Surroundings
	a     aircraft.Aircraft
	plant aircraft.Plant
	air   atmos.Air
	V     unit.TrueAirspeed
}

// friction returns Cf on a length.
func (b *builder) friction(length unit.Length) unit.Coefficient {
	return 0.455 / math.Pow(math.Log10(max(b.air.Reynolds(b.V, length), leastReynolds)), 2.58)
}

// body adds a body whose centre line is at y.
func (b *builder) body(body aircraft.Body, y unit.Length) {
	first, last := body.Stations[0], body.Stations[len(body.Stations)-1]
	d := body.Diameter() / body.Length()
	drag := b.friction(body.Length()) * (1 + 1.5*math.Pow(d, 1.5) + 7*d*d*d)
	h := body.Length() / bodyPieces
	before := ellipse(first)
	b.end(first, y, before)
	whole := 0.0
	for i := range bodyPieces {
		x := first.X + float64(i)*h
		middle, end := body.At(x+h/2), body.At(min(x+h, last.X))
		b.source(middle.X, y, middle.Z, ellipse(end)-before)
		before = ellipse(end)
		skin := math.Pi * (middle.Width + middle.Height) / 2 * h
		whole += skin * drag
		b.Parts = append(b.Parts, Part{body.Name, BodyGroup, middle.X - b.plant.X, y - b.plant.Y, middle.Z - b.plant.Z, skin, skin * drag})
	}
	b.end(last, y, -before)
	if last.X <= b.plant.X {
		radius := math.Sqrt(ellipse(last) / math.Pi)
		b.Trails = append(b.Trails, Trail{y - b.plant.Y, last.Z - b.plant.Z, radius, whole / 2})
	}
}

// ellipse returns the area of a cross-section.
func ellipse(s aircraft.BodyStation) unit.Area { return math.Pi / 4 * s.Width * s.Height }

// end adds the source of the flat end of a body. Where that is next to the propeller its spinner covers it, with half of its displacement on the other side of the disc.
func (b *builder) end(s aircraft.BodyStation, y unit.Length, strength unit.Area) {
	x := s.X - b.plant.X
	if near := b.plant.Spinner; math.Abs(x) < near {
		strength /= 2
		b.source(b.plant.X-math.Copysign(near/2, x), y, s.Z, strength)
	}
	b.source(s.X, y, s.Z, strength)
}

// source adds one.
func (b *builder) source(x, y, z unit.Length, strength unit.Area) {
	b.Sources = append(b.Sources, Source{x - b.plant.X, y - b.plant.Y, z - b.plant.Z, strength})
}

// surface adds one half of a surface, on the side of y.
func (b *builder) surface(s aircraft.Surface, side unit.Ratio) {
	group := WingGroup
	if s.Role.Upright() || s.Role == aircraft.Tailplane {
		group = TailGroup
	}
	for i := range strips {
		piece := s.Part(float64(i)/strips, float64(i+1)/strips)
		in, out := piece.Root(), piece.Tip()
		x, y, z, c := (in.X+out.X)/2, side*(in.Y+out.Y)/2, (in.Z+out.Z)/2, (in.Chord+out.Chord)/2
		if b.buried(x+c/2, y, z) {
			continue
		}
		width := math.Hypot(out.Y-in.Y, out.Z-in.Z)
		t := piece.Section().Thickness
		if t == 0 {
			t = 0.12
		}
		drag := 2 * b.friction(c) * (1 + 2*t + 60*t*t*t*t) // on the chord
		b.Parts = append(b.Parts, Part{s.Name, group, x + 0.4*c - b.plant.X, y - b.plant.Y, z - b.plant.Z, 2 * c * width, drag * c * width})
		b.thickness(x, y, z, c, t, width)
		if behind := b.plant.X - x - c; behind >= 0 && !s.Role.Upright() {
			spread := 0.68 * math.Sqrt(drag*(behind/c+0.15)) * c
			b.Sheets = append(b.Sheets, Sheet{y - b.plant.Y, z - b.plant.Z, width, drag * c / 2, spread})
		}
	}
}

// thickness adds the sources of a strip with the thickness of NACA sections of four digits.
func (b *builder) thickness(x, y, z, c unit.Length, t unit.Ratio, width unit.Length) {
	before := 0.0
	for k := range chordPieces {
		f := float64(k+1) / chordPieces
		thick := 10 * t * (0.2969*math.Sqrt(f) + f*(-0.1260+f*(-0.3516+f*(0.2843-f*0.1036)))) * c
		b.source(x+(f-0.5/chordPieces)*c, y, z, (thick-before)*width)
		before = thick
	}
}

// buried reports whether a point is inside of a body.
func (b *builder) buried(x, y, z unit.Length) bool {
	for _, body := range b.a.Bodies {
		s := body.At(x)
		if s.Width <= 0 || s.Height <= 0 {
			continue
		}
		across, up := 2*(math.Abs(y)-math.Abs(body.Y))/s.Width, 2*(z-s.Z)/s.Height
		if across*across+up*up < 1 {
			return true
		}
	}
	return false
}
