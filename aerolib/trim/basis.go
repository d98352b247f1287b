package trim

import (
	"cmp"
	"errors"
	"fmt"
	"math"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/atmos"
	"foreplane/aerolib/solve"
	"foreplane/aerolib/unit"
)

// Size says which condition sets the size of the lifting surfaces of a layout.
type Size string

// Conditions for the size.
const (
	EqualStall Size = "equal stall speed"
	EqualSpan  Size = "equal span"
	EqualArea  Size = "equal total area"
	AsDrawn    Size = "as drawn"
)

// Basis is what layouts have in common when they are compared. Every layout is changed until it does: payload by its items of loading, the stall speed, span or total area by
// the size of all lifting surfaces in proportion, arms kept; static margin by the aft end of the range of the CG, stability in yaw by the area of the fins. Surfaces take
// their masses with them. What is zero is taken from the first layout as it is drawn, or is what its comment says.
type Basis struct {
	Size        Size                    // EqualStall if empty
	Payload     unit.Mass               // sum of the items of loading
	Stall       unit.EquivalentAirspeed // at the forward end of the range, throttle closed, at sea level
	Flaps       unit.Ratio              // deflection of all flaps at the stall, of their greatest; at rest if 0
	Span        unit.Length             // of the largest surface
	Area        unit.Area               // of all lifting surfaces
	Small       unit.Ratio              // area of all lifting surfaces but the largest, over what it is in proportion; 1 if 0
	Range       unit.Length             // of the CG; 15 % of the reference chord of the first if 0
	Margin      unit.Ratio              // least static margin, in chords of its own reference; 0.05 if 0
	Directional unit.PerRadian          // Cnβ with the CG at its aft end; 0.06 if 0
	Air         atmos.Air               // of the cruise; standard at 6500 ft if zero
	Speed       unit.TrueAirspeed       // of the cruise; 110 kt if 0
}

// Beside returns the same basis with the size of lifting surfaces by equal span and by equal total area: what is seldom said in which of the three ways layouts are equal.
func (b Basis) Beside() []Basis {
	span, area := b, b
	span.Size, area.Size = EqualSpan, EqualArea
	return []Basis{span, area}
}

// String states the basis.
func (b Basis) String() string {
	text := string(b.Size)
	switch b.Size {
	case EqualStall:
		text += " of " + unit.FormatPair(b.Stall, "EquivalentAirspeed")
	case EqualSpan:
		text += " of " + unit.Format(b.Span, "m")
	case EqualArea:
		text += " of " + unit.Format(b.Area, "m²")
	}
	if b.Small != 1 {
		text += fmt.Sprintf(", smaller surfaces with %.2f of their area in proportion", b.Small)
	}
	if b.Flaps != 0 {
		text += fmt.Sprintf(", flaps at the stall at %.0f %% of their greatest deflection", 100*b.Flaps)
	}
	return fmt.Sprintf("%s; payload %s; range of the CG %s, static margin %.1f %% of the own reference chord at its aft end; Cnβ %.3f there; cruise at %s TAS in air of %s",
		text, unit.Format(b.Payload, "kg"), unit.Format(b.Range, "m"), 100*b.Margin, b.Directional, unit.FormatPair(b.Speed, "TrueAirspeed"), unit.Format(b.Air.Density, "kg/m³"))
}

// filled returns the basis with what is not stated, and refuses what cannot be. The stall speed of the first layout is filled in later, when it is known.
func (b Basis) filled(first aircraft.Aircraft) (Basis, error) {
	b.Size, b.Small, b.Margin, b.Directional = cmp.Or(b.Size, EqualStall), cmp.Or(b.Small, 1), cmp.Or(b.Margin, 0.05), cmp.Or(b.Directional, 0.06)
	b.Payload, b.Range = cmp.Or(b.Payload, first.Payload()), cmp.Or(b.Range, 0.15*first.Reference.Chord)
	b.Span, b.Area = cmp.Or(b.Span, largest(first).Span()), cmp.Or(b.Area, first.Area())
	if b.Air == (atmos.Air{}) {
		var err error
		if b.Air, err = atmos.OffStandard(6500*unit.Foot, 0); err != nil {
			return b, err
		}
	}
	b.Speed = cmp.Or(b.Speed, 110*unit.Knot)
	const f = "trim.Compare"
	err := errors.Join(
		unit.CheckRange(f, "payload", b.Payload, 0, math.Inf(1), "kg"), unit.CheckRange(f, "stall speed", b.Stall, 0, math.Inf(1), "m/s"),
		unit.CheckPositive(f, "span", b.Span, "m"), unit.CheckPositive(f, "area", b.Area, "m²"), unit.CheckRange(f, "factor of the small surfaces", b.Small, 0.1, 10, "1"),
		unit.CheckRange(f, "deflection of the flaps, of their greatest,", b.Flaps, 0, 1, "1"), unit.CheckPositive(f, "range of the CG", b.Range, "m"), unit.CheckRange(f, "static margin", b.Margin, -0.5, 1, "1"),
		unit.CheckPositive(f, "Cnβ", b.Directional, "1/rad"), unit.CheckPositive(f, "cruise speed", b.Speed, "m/s"), checkAir(b.Air))
	switch b.Size {
	case EqualStall, EqualSpan, EqualArea, AsDrawn:
	default:
		err = errors.Join(err, fmt.Errorf("trim: the size %q is not known: it is EqualStall, EqualSpan, EqualArea or AsDrawn", b.Size))
	}
	return b, err
}

// cruise returns the condition of the cruise.
func (b Basis) cruise() Condition { return Condition{Air: b.Air, Speed: b.Speed} }

// flaps returns the deflections of the flaps of a layout at the stall.
func (b Basis) flaps(a aircraft.Aircraft) map[string]unit.Angle {
	set := map[string]unit.Angle{}
	for _, s := range a.Lifting() {
		for _, c := range s.Controls {
			if c.Purpose == aircraft.Flap {
				set[c.Name] = b.Flaps * c.Max
			}
		}
	}
	return set
}

// Layout is an aeroplane that has been brought to a basis.
type Layout struct {
	Aircraft     aircraft.Aircraft // with its CG in the middle of the range
	Scale        unit.Ratio        // of the lengths of the lifting surfaces, to those drawn
	Fins         unit.Ratio        // of the area of the fins, to that drawn
	Forward, Aft unit.Length       // range of the CG
	Cruise       Result            // by the vortex lattice, with the CG in the middle of the range
	Margin       unit.Ratio        // static margin at the aft end
	Stall        Stall             // with the CG at the forward end
	AftStall     Stall             // and at the aft end
	Slack        unit.Length       // way of the CG forward from its aft end on which the stall speed rises by 5 %; infinite if that is more than one reference chord
	Yaw          Yaw               // with the CG at the aft end
}

// comparedStrips are the panels of the stall in a comparison: differences between layouts are less sensitive to them than each layout is.
var comparedStrips = StallSettings{Rows: 3, Strips: 14}

// comparedMesh returns the panels of cruise. Sizes that no one has looked at may lead wakes close to other surfaces.
func comparedMesh(r aircraft.Reference) Mesh {
	return Mesh{Rows: 4, Strips: 16, Incompressible: true, Core: wakeCore * r.Chord}
}

// Bounds of the search for a basis.
const (
	reached               unit.Ratio = 1e-4 // of a condition that is solved for
	sizingSteps                      = 12
	yawSteps                         = 6
	smallest, biggest     unit.Ratio = 0.4, 2.5 // of the size drawn
	slackRise             unit.Ratio = 0.05     // of the stall speed
	slackStep, slackSteps            = 0.25, 4  // of the reference chord
)

// reach brings a layout to the basis. Without a stall speed that is reached as it is drawn.
func (b Basis) reach(a aircraft.Aircraft) (Layout, error) {
	drawn := a.Loaded(b.Payload)
	l := Layout{Aircraft: drawn, Scale: 1, Fins: 1}
	switch b.Size {
	case EqualSpan:
		return l, b.sized(&l, drawn, b.Span/largest(drawn).Span())
	case EqualArea:
		return l, b.sized(&l, drawn, math.Sqrt(b.Area/b.proportioned(drawn, 1).Area()))
	}
	err := b.sized(&l, drawn, 1)
	if b.Size == AsDrawn || b.Stall == 0 || err != nil {
		return l, err
	}
	return l, b.slowed(&l, drawn)
}

// slowed finds the size that has the stall speed, by secants of ln V over ln k.
func (b Basis) slowed(l *Layout, drawn aircraft.Aircraft) error {
	k, miss := l.Scale, math.Log(l.Stall.Equivalent/b.Stall)
	slope := -1.0 // V goes with 1/k at a weight that stays
	for range sizingSteps {
		if math.Abs(miss) < reached {
			return nil
		}
		next := k * math.Exp(-miss/slope)
		if !(smallest < next && next < biggest) {
			break
		}
		if err := b.sized(l, drawn, next); err != nil {
			return err
		}
		now := math.Log(l.Stall.Equivalent / b.Stall)
		if s := (now - miss) / math.Log(next/k); s < -0.1 {
			slope = s
		}
		k, miss = next, now
	}
	return fmt.Errorf("trim: %s does not come to a stall speed of %s: at %.2f times its size it has %s", drawn.Name, unit.Format(b.Stall, "m/s"), k, unit.Format(l.Stall.Equivalent, "m/s"))
}

// proportioned returns the aeroplane with lifting surfaces k times as large, the small ones in their proportion.
func (b Basis) proportioned(drawn aircraft.Aircraft, k unit.Ratio) aircraft.Aircraft {
	main := largest(drawn).Name
	return drawn.Resized(func(s aircraft.Surface) unit.Ratio {
		switch {
		case s.Role.Upright():
			return 1
		case s.Name == main:
			return k
		}
		return k * math.Sqrt(b.Small)
	})
}

// sized works a layout out at a size: fins and the range of the CG until they fit each other, then cruise and stalls.
func (b Basis) sized(l *Layout, drawn aircraft.Aircraft, k unit.Ratio) error {
	l.Scale = k
	lifting := b.proportioned(drawn, k)
	var flow *Lattice
	for range yawSteps {
		a := lifting.Resized(func(s aircraft.Surface) unit.Ratio {
			if s.Role.Upright() {
				return math.Sqrt(l.Fins)
			}
			return 1
		})
		var err error
		if flow, err = NewLattice(a, comparedMesh(a.Reference)); err != nil {
			return err
		}
		if err := b.balanced(l, flow, a); err != nil {
			return err
		}
		fins := l.Yaw.Sum - l.Yaw.Bodies
		if len(l.Yaw.Fins) == 0 || math.Abs(l.Yaw.Sum/b.Directional-1) < reached {
			break
		}
		if !(fins > 0) {
			return fmt.Errorf("trim: the fins of %s do not stabilise with the CG at %s, so no size of them gives Cnβ %.3f", a.Name, unit.Format(l.Aft, "m"), b.Directional)
		}
		l.Fins *= (b.Directional - l.Yaw.Bodies) / fins
	}
	var err error
	middle := (l.Forward + l.Aft) / 2
	if l.Cruise, err = flow.Loaded(l.Aircraft.Mass, middle, l.Aircraft.CGHeight).Solve(b.cruise()); err != nil {
		return err
	}
	l.Aircraft.CG = middle
	return b.stalls(l)
}

// balanced finds the aft end of the range, where the static margin is the least, and stability in yaw there.
func (b Basis) balanced(l *Layout, flow *Lattice, a aircraft.Aircraft) error {
	if sum, err := a.Balance(); err == nil {
		a.CGHeight = sum.Z
	}
	for range 3 { // the neutral point hardly moves with the CG
		r, err := flow.Loaded(a.Mass, a.CG, a.CGHeight).Solve(b.cruise())
		var limit *LimitError
		if err != nil && !errors.As(err, &limit) {
			return err
		}
		l.Margin = r.Neutral.StaticMargin
		if math.Abs(l.Margin-b.Margin) < reached {
			break
		}
		a.CG += (l.Margin - b.Margin) * a.Reference.Chord
	}
	l.Aft, l.Forward = a.CG, a.CG-b.Range
	l.Aircraft = a
	var err error
	l.Yaw, err = FindYaw(a)
	return err
}

// stalls finds the first stall at both ends of the range, and how far forward the CG may go until it costs 5 % of the speed.
func (b Basis) stalls(l *Layout) error {
	m, err := NewStallModel(l.Aircraft, comparedStrips)
	if err != nil {
		return err
	}
	air, err := atmos.Standard(0)
	if err != nil {
		return err
	}
	at := func(cg unit.Length) (Stall, error) {
		return m.Stall(Condition{Air: air, Flaps: b.flaps(l.Aircraft)}, cg)
	}
	if l.Stall, err = at(l.Forward); err != nil {
		return err
	}
	if l.AftStall, err = at(l.Aft); err != nil {
		return err
	}
	l.Slack, err = slack(l.AftStall, at, slackStep*l.Aircraft.Reference.Chord)
	return err
}

// slack returns the way forward on which the stall speed rises by 5 %, or infinity if it is more than four steps. Where the control is at its stop from the start, nothing
// flies: that is beyond.
func slack(aft Stall, at func(unit.Length) (Stall, error), step unit.Length) (unit.Length, error) {
	var failed error
	rise := func(way unit.Length) float64 {
		s, err := at(aft.CG - way)
		var limit *LimitError
		switch {
		case errors.As(err, &limit):
			return 1
		case err != nil:
			failed = err
			return 1
		}
		return s.Equivalent/aft.Equivalent - 1 - slackRise
	}
	for i := range slackSteps {
		if way := step * float64(i+1); rise(way) > 0 && failed == nil {
			way, err := solve.Root(rise, way-step, way)
			return way, cmp.Or(failed, err)
		}
	}
	return math.Inf(1), failed
}
