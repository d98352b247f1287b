package trim

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/drag"
	"foreplane/aerolib/unit"
)

// Comparison is several layouts on one basis. Quantities are of all of them; what differs is told against the first.
type Comparison struct {
	Basis      Basis
	Layouts    []Layout
	Quantities []Quantity
	Notes      []string
	Caution    string
}

// Standing says what a quantity is in a comparison.
type Standing string

// Standings of quantities.
const (
	GivenEqual Standing = "given"   // by the basis
	Scaled     Standing = "scaled"  // until the basis is met
	Outcome    Standing = "outcome" // of the comparison
)

// Quantity is a quantity of all layouts of a comparison.
type Quantity struct {
	Name     string
	Symbol   string // of the unit
	Standing Standing
	Values   []float64  // of the layouts, in SI
	Reasons  [][]Reason // of outcomes, why that of each layout differs from the first; empty where no terms are known
}

// Change returns by how much the value of layout i differs from that of the first, as a part of that. It is not a number if the first has none.
func (q Quantity) Change(i int) unit.Ratio { return q.Values[i]/q.Values[0] - 1 }

// Quantity returns the quantity of the given name.
func (c Comparison) Quantity(name string) (Quantity, error) {
	i := slices.IndexFunc(c.Quantities, func(q Quantity) bool { return q.Name == name })
	if i < 0 {
		return Quantity{}, fmt.Errorf("trim: the comparison has no quantity called %q", name)
	}
	return c.Quantities[i], nil
}

// Compare brings layouts to a basis and compares them in cruise and at their first stall, by the vortex lattice with bodies and propellers, [FindStall] and [FindYaw]. Reasons for
// differences are the terms that a quantity is a product or a sum of: parts of sums, and logarithmic means for factors; they sum to the difference.
//
// Parameters are solved for within 10⁻⁴ of the condition that they meet. Bodies, gear and power plants stay as drawn. It returns an error for fewer than two layouts, for a
// basis that cannot be, and where a layout does not come to it; errors of trim and stall carry the name of the aeroplane.
func Compare(b Basis, layouts ...aircraft.Aircraft) (Comparison, error) {
	if len(layouts) < 2 {
		return Comparison{}, errors.New("trim.Compare: a comparison needs two layouts or more")
	}
	b, err := b.filled(layouts[0])
	if err != nil {
		return Comparison{}, err
	}
	c := Comparison{Basis: b, Caution: Caution}
	for _, a := range layouts {
		l, err := c.Basis.reach(a)
		if err != nil {
			return c, fmt.Errorf("trim.Compare: %s on the basis of %s: %w", a.Name, b.Size, err)
		}
		if c.Basis.Stall == 0 {
			c.Basis.Stall = l.Stall.Equivalent
		}
		c.Layouts = append(c.Layouts, l)
	}
	c.note()
	c.tell()
	return c, nil
}

// note collects what to mind about the layouts.
func (c *Comparison) note() {
	for _, l := range c.Layouts {
		for _, s := range []Stall{l.Stall, l.AftStall} {
			end := "aft"
			if s.CG < l.Aft {
				end = "forward"
			}
			what := fmt.Sprintf("the %s at η %.2f", s.First.Surface, s.First.Eta)
			if s.AtStop {
				what = "the stop of the control for pitch"
			}
			c.Notes = append(c.Notes, fmt.Sprintf("%s with the CG at its %s end, %s, is first limited by %s.", l.Aircraft.Name, end, unit.Format(s.CG, "m"), what))
		}
		if math.IsInf(l.Slack, 1) {
			c.Notes = append(c.Notes, fmt.Sprintf("The stall speed of %s does not rise by 5 %% within a chord of its aft end of the CG.", l.Aircraft.Name))
		}
	}
}

// tell makes the quantities.
func (c *Comparison) tell() {
	given := func(name, symbol string, f func(Layout) float64) { c.add(name, symbol, GivenEqual, f, nil) }
	scaled := func(name, symbol string, f func(Layout) float64) { c.add(name, symbol, Scaled, f, nil) }
	given("payload", "kg", func(l Layout) float64 { return l.Aircraft.Payload() })
	given("static margin at the aft end", "1", func(l Layout) float64 { return l.Margin })
	given("range of the CG", "m", func(l Layout) float64 { return l.Aft - l.Forward })
	given("Cnβ with the CG aft", "1/rad", func(l Layout) float64 { return l.Yaw.Sum })
	sizes := []struct {
		size    Size
		name    string
		symbol  string
		f       func(Layout) float64
		reasons func(a, b Layout) []Reason
	}{
		{EqualStall, "stall speed", "m/s", func(l Layout) float64 { return l.Stall.Equivalent }, stallReasons},
		{EqualSpan, "span of the largest surface", "m", span, nil},
		{EqualArea, "total area", "m²", func(l Layout) float64 { return l.Aircraft.Area() }, areaReasons},
	}
	for _, s := range sizes {
		if s.size == c.Basis.Size {
			given(s.name, s.symbol, s.f)
		}
	}
	scaled("size of the lifting surfaces, as length", "1", func(l Layout) float64 { return l.Scale })
	scaled("area of the fins, of that drawn", "1", func(l Layout) float64 { return l.Fins })
	scaled("forward end of the CG", "m", func(l Layout) float64 { return l.Forward })
	scaled("aft end of the CG", "m", func(l Layout) float64 { return l.Aft })
	for _, s := range sizes {
		if s.size != c.Basis.Size {
			c.add(s.name, s.symbol, Outcome, s.f, s.reasons)
		}
	}
	c.add("mass", "kg", Outcome, func(l Layout) float64 { return l.Aircraft.Mass }, massReasons)
	c.add("induced drag", "N", Outcome, func(l Layout) float64 { return l.areas()[inducedGroup] * l.pressure() }, inducedReasons)
	c.add("profile drag of the lifting surfaces", "N", Outcome, profile, profileReasons)
	c.add("drag of the bodies", "N", Outcome, func(l Layout) float64 { return l.areas()[bodyGroup] * l.pressure() }, bodyReasons)
	c.add("drag in cruise", "N", Outcome, func(l Layout) float64 { return l.Cruise.Drag.Force }, dragReasons)
	c.add("L/D in cruise", "1", Outcome, func(l Layout) float64 { return l.Cruise.Drag.Ratio }, ratioReasons)
	c.add("way of the CG for 5 % of the stall speed", "m", Outcome, func(l Layout) float64 { return l.Slack }, slackReasons)
	c.add("length of the longest body", "m", Outcome, bodyLength, nil)
	c.add("area of the fins", "m²", Outcome, func(l Layout) float64 { return l.Yaw.FinArea }, finReasons)
}

func (c *Comparison) add(name, symbol string, standing Standing, f func(Layout) float64, reasons func(a, b Layout) []Reason) {
	q := Quantity{Name: name, Symbol: symbol, Standing: standing, Reasons: make([][]Reason, len(c.Layouts))}
	for _, l := range c.Layouts {
		q.Values = append(q.Values, f(l))
	}
	for i := 1; i < len(q.Values) && reasons != nil; i++ {
		if known := q.Values[0] * q.Values[i]; known > 0 && !math.IsInf(known, 1) {
			q.Reasons[i] = reasons(c.Layouts[0], c.Layouts[i])
		}
	}
	c.Quantities = append(c.Quantities, q)
}

// Groups of the drag of a layout.
const (
	inducedGroup = "induced"
	wingGroup    = "largest surface"
	smallGroup   = "other lifting surfaces"
	finGroup     = "fins"
	bodyGroup    = "bodies"
	otherGroup   = "gear, cooling and the rest"
)

var dragGroups = []string{inducedGroup, wingGroup, smallGroup, finGroup, bodyGroup, otherGroup}

// areas returns the drag area of each group.
func (l Layout) areas() map[string]unit.Area {
	areas := map[string]unit.Area{}
	for _, p := range l.Cruise.Drag.Parts {
		group := inducedGroup
		if p.Cause != drag.Vortices {
			group = l.groupOf(p.Name)
		}
		areas[group] += p.CDA
	}
	return areas
}

func (l Layout) groupOf(name string) string {
	for _, s := range l.Aircraft.Surfaces {
		switch {
		case s.Name != name:
		case s.Role.Upright():
			return finGroup
		case s.Name == largest(l.Aircraft).Name:
			return wingGroup
		default:
			return smallGroup
		}
	}
	for _, b := range l.Aircraft.Bodies {
		if name == b.Name || name == "aft end of the "+b.Name {
			return bodyGroup
		}
	}
	return otherGroup
}

func (l Layout) pressure() unit.DynamicPressure { return l.Cruise.DynamicPressure }

func span(l Layout) float64 { return largest(l.Aircraft).Span() }

func bodyLength(l Layout) float64 {
	longest := 0.0
	for _, b := range l.Aircraft.Bodies {
		longest = max(longest, b.Length())
	}
	return longest
}

// greatest returns the greatest lift coefficient in trim, on all lifting area.
func (l Layout) greatest() unit.Coefficient {
	return l.Stall.CL * l.Aircraft.Reference.Area / l.Aircraft.Area()
}

// stallReasons: V_S² = 2 W/(ρ S CLmax).
func stallReasons(a, b Layout) []Reason {
	return byFactors(a.Stall.Equivalent, b.Stall.Equivalent, factor{"weight", 0.5, a.Aircraft.Mass, b.Aircraft.Mass},
		factor{"total area", -0.5, a.Aircraft.Area(), b.Aircraft.Area()}, factor{"greatest lift coefficient in trim, CG forward", -0.5, a.greatest(), b.greatest()})
}

// areaReasons: S = 2 W/(ρ V_S² CLmax).
func areaReasons(a, b Layout) []Reason {
	return byFactors(a.Aircraft.Area(), b.Aircraft.Area(), factor{"weight", 1, a.Aircraft.Mass, b.Aircraft.Mass},
		factor{"greatest lift coefficient in trim, CG forward", -1, a.greatest(), b.greatest()}, factor{"stall speed", -2, a.Stall.Equivalent, b.Stall.Equivalent})
}

// massReasons: the masses of surfaces, the payload, and the rest.
func massReasons(a, b Layout) []Reason {
	sums := func(l Layout) (surfaces unit.Mass) {
		for _, m := range l.Aircraft.Masses {
			if _, err := l.Aircraft.Surface(m.Name); err == nil {
				surfaces += m.Mass
			}
		}
		return surfaces
	}
	p, q := sums(a), sums(b)
	pay, paid := a.Aircraft.Payload(), b.Aircraft.Payload()
	return byParts(a.Aircraft.Mass, part{"surfaces", p, q, nil}, part{"payload", pay, paid, nil}, part{"the rest", a.Aircraft.Mass - p - pay, b.Aircraft.Mass - q - paid, nil})
}

// inducedReasons: D_i = L²/(π q b²) k r, with k of Prandtl and Munk for the division of the lift between the surfaces, and r what loads that are not elliptic and fins add.
func inducedReasons(a, b Layout) []Reason {
	liftA, kA := a.divided()
	liftB, kB := b.divided()
	dA, dB := a.areas()[inducedGroup], b.areas()[inducedGroup]
	rest := func(l Layout, lift unit.Area, k, d float64) float64 {
		return d * math.Pi * span(l) * span(l) / (lift * lift * k)
	}
	return byFactors(dA, dB, factor{"lift of the surfaces", 2, liftA, liftB}, factor{"span", -2, span(a), span(b)},
		factor{"division of the lift (Prandtl and Munk)", 1, kA, kB}, factor{"loads away from the ellipse, fins as end plates (lattice)", 1, rest(a, liftA, kA, dA), rest(b, liftB, kB, dB)})
}

// divided returns the lift of the surfaces over dynamic pressure, and what its division between elliptic loads costs, over that of one load on the largest span.
func (l Layout) divided() (lift unit.Area, k unit.Ratio) {
	var loads []drag.EllipticLoad
	for i, s := range l.Aircraft.Lifting() {
		part := l.Cruise.Loads[i].Lift / l.pressure()
		lift += part
		loads = append(loads, drag.EllipticLoad{Surface: s.Name, Span: s.Span(), Height: s.Height(), CL: part / l.Aircraft.Reference.Area})
	}
	induced, err := drag.PrandtlMunk(loads, l.Aircraft.Reference, 0)
	if err != nil {
		panic("trim: " + err.Error()) // its surfaces have been validated and trimmed
	}
	return lift, induced.CD * l.Aircraft.Reference.Area * math.Pi * span(l) * span(l) / (lift * lift)
}

func profile(l Layout) float64 {
	areas := l.areas()
	return (areas[wingGroup] + areas[smallGroup]) * l.pressure()
}

// profileReasons: Σ S cd, of the largest surface and the others.
func profileReasons(a, b Layout) []Reason {
	own := func(l Layout) (wing, small unit.Area) {
		s := largest(l.Aircraft).Area()
		return s, l.Aircraft.Area() - s
	}
	wingA, smallA := own(a)
	wingB, smallB := own(b)
	of := func(group string, areaA, areaB unit.Area) part {
		dA, dB := a.areas()[group], b.areas()[group]
		return part{group, dA, dB, []factor{{"area", 1, areaA, areaB}, {"drag by area", 1, dA / areaA, dB / areaB}}}
	}
	return byParts(profile(a)/a.pressure(), of(wingGroup, wingA, wingB), of(smallGroup, smallA, smallB))
}

// bodyReasons: skin, and what the skin's friction and form make of it.
func bodyReasons(a, b Layout) []Reason {
	skin := func(l Layout) (wet unit.Area) {
		for _, body := range l.Aircraft.Bodies {
			wet += body.Count() * body.WettedArea()
		}
		return wet
	}
	wetA, wetB, dA, dB := skin(a), skin(b), a.areas()[bodyGroup], b.areas()[bodyGroup]
	return byFactors(dA, dB, factor{"skin", 1, wetA, wetB}, factor{"drag by skin: friction, form, aft end", 1, dA / wetA, dB / wetB})
}

// dragReasons are the groups of drag.
func dragReasons(a, b Layout) []Reason {
	areasA, areasB := a.areas(), b.areas()
	var parts []part
	for _, g := range dragGroups {
		parts = append(parts, part{g, areasA[g], areasB[g], nil})
	}
	return byParts(a.Cruise.Drag.Force/a.pressure(), parts...)
}

// ratioReasons: L/D = W/D, with the change of the drag shared out to its groups.
func ratioReasons(a, b Layout) []Reason {
	dA, dB := a.Cruise.Drag.Force, b.Cruise.Drag.Force
	reasons := byFactors(a.Cruise.Drag.Ratio, b.Cruise.Drag.Ratio, factor{"weight", 1, a.Cruise.Weight, b.Cruise.Weight})
	weight := -logMean(a.Cruise.Drag.Ratio, b.Cruise.Drag.Ratio) / a.Cruise.Drag.Ratio / logMean(dA, dB) * dA
	for _, r := range dragReasons(a, b) {
		reasons = append(reasons, Reason{"drag, " + r.Name, weight * r.Part})
	}
	return reasons
}

// slackReasons: the chord, and the part of it on which 5 % of the stall speed are lost.
func slackReasons(a, b Layout) []Reason {
	cA, cB := a.Aircraft.Reference.Chord, b.Aircraft.Reference.Chord
	return byFactors(a.Slack, b.Slack, factor{"reference chord", 1, cA, cB},
		factor{"part of it, limited by the " + a.Stall.First.Surface + " and the " + b.Stall.First.Surface, 1, a.Slack / cA, b.Slack / cB})
}

// finReasons: S_v = (Cnβ S b − bodies)/(k a l).
func finReasons(a, b Layout) []Reason {
	areaA, areaB := a.Yaw.FinArea, b.Yaw.FinArea
	needA, bodyA, slopeA, armA := a.Yaw.means()
	needB, bodyB, slopeB, armB := b.Yaw.means()
	reasons := byFactors(areaA, areaB, factor{"slope of the fins", -1, slopeA, slopeB}, factor{"arm of the fins", -1, armA, armB})
	weight := logMean(areaA, areaB) / areaA / logMean(needA+bodyA, needB+bodyB) // of what there is to hold
	return append(reasons, Reason{"reference area times span", weight * (needB - needA)}, Reason{"bodies", weight * (bodyB - bodyA)})
}

// means returns what fins hold, for the aeroplane and for its bodies, and their mean slope and arm.
func (y Yaw) means() (need, bodies unit.Volume, slope unit.PerRadian, arm unit.Length) {
	refer := y.Reference.Area * y.Reference.Span
	for _, f := range y.Fins {
		arm += f.Area * f.Arm / y.FinArea
	}
	return y.Sum * refer, -y.Bodies * refer, (y.Sum - y.Bodies) * refer / (y.FinArea * arm), arm
}
