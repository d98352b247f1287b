package trim

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/atmos"
	"foreplane/aerolib/prop"
	"foreplane/aerolib/unit"
)

// bounding looks for limits at one mass.
type bounding struct {
	*LimitModel
	a                  aircraft.Aircraft // at the mass
	stalls             *SequenceModel    // the same flow, at the mass
	chord              unit.Length
	foremost, hindmost unit.Length // ends of the search
	speed              unit.TrueAirspeed
	missing            []string
	left               []string // constraints that do not apply
}

// searchAhead and searchBehind are how far from the CG of the aeroplane limits are sought, in reference chords.
const (
	searchAhead  unit.Ratio = 1.2
	searchBehind unit.Ratio = 0.8
)

func (m *LimitModel) at(mass unit.Mass) *bounding {
	a := m.aircraft
	a.Mass = mass
	b := &bounding{LimitModel: m, a: a, stalls: m.stalls.weighing(mass), chord: a.Reference.Chord}
	front, back := a.Extent()
	b.foremost, b.hindmost = max(front, a.CG-searchAhead*b.chord), min(back, a.CG+searchBehind*b.chord)
	return b
}

// condition returns one at closed throttle with flaps.
func (b *bounding) condition(flaps map[string]unit.Angle) Condition {
	return Condition{Air: b.settings.Air, Control: b.settings.Control, Flaps: flaps, Thrust: Off, Omit: b.settings.Omit}
}

// powered returns the condition at full power, with the thrust at a speed.
func (b *bounding) powered(flaps map[string]unit.Angle, V unit.TrueAirspeed) (Condition, error) {
	c := b.condition(flaps)
	c.Thrust = Given
	var err error
	c.Force, err = fullThrust(b.a.Plants, c.Air, V)
	return c, err
}

// aftRules returns what bounds the CG aft.
func (b *bounding) aftRules() ([]rule, error) {
	clean := b.condition(nil)
	stall, err := b.stalls.base.Stall(clean, b.a.CG)
	if err != nil {
		return nil, err
	}
	b.speed = or(b.settings.Cruise, 1.6*stall.Speed)
	slow, err := b.powered(nil, usualApproach*stall.Speed)
	if err != nil {
		return nil, err
	}
	slow.Speed = usualApproach * stall.Speed
	cruise := b.condition(nil)
	cruise.Thrust, cruise.Speed = Balanced, b.speed
	require := b.settings.Require
	rules := []rule{
		{name: "static margin", configuration: "cruise", place: b.behind(cruise, func(r Result) unit.Length { return r.Neutral.X - require.StaticMargin*b.chord })},
		{name: "manoeuvre margin", configuration: "cruise", place: b.behind(cruise, func(r Result) unit.Length { return r.Pull.Point - require.ManoeuvreMargin*b.chord })},
		b.order("clean, closed throttle", clean),
	}
	if len(b.a.Plants) > 0 {
		atStall, err := b.powered(nil, stall.Speed)
		if err != nil {
			return nil, err
		}
		rules = append(rules, rule{name: "static margin", configuration: "slow at full power", place: b.behind(slow, func(r Result) unit.Length { return r.Neutral.X - require.StaticMargin*b.chord })},
			b.order("clean, full power", atStall))
	}
	if len(b.settings.Landing) > 0 {
		rules = append(rules, b.order("landing, closed throttle", b.condition(b.settings.Landing)))
	}
	return append(rules, b.aftGround()...), nil
}

// behind returns the CG for which a point of the trimmed aeroplane is at the CG itself; the point hardly depends on it. A control beyond its stop does not matter to margins.
func (b *bounding) behind(c Condition, of func(Result) unit.Length) func() (unit.Length, error) {
	return func() (unit.Length, error) {
		const passes = 4
		x := b.a.CG
		for range passes {
			r, err := b.lattice.Loaded(b.a.Mass, x, b.a.CGHeight).Solve(c)
			var stop *LimitError
			if err != nil && !errors.As(err, &stop) {
				return 0, err
			}
			b.missing, x = r.Neutral.Missing, of(r)
		}
		return x, nil
	}
}

// order is the rule that the right surface stalls first.
func (b *bounding) order(configuration string, c Condition) rule {
	return rule{name: "order of stall: " + string(first(b.first)), configuration: configuration, leaves: func(x unit.Length) (float64, error) {
		lead, err := b.stalls.leastLead(c, x, b.first)
		return lead - b.settings.Require.StallLead, err
	}}
}

// aftGround returns what yaw and wheels ask for going aft.
func (b *bounding) aftGround() []rule {
	require := b.settings.Require
	rules := []rule{{name: "stiffness in yaw", configuration: "cruise", leaves: b.yaw()}}
	if _, err := b.a.Stand(); err != nil {
		b.left = append(b.left, "what belongs to a nose wheel")
		return rules
	}
	return append(rules,
		rule{name: "least load of the nose wheel", configuration: "at rest", leaves: b.standing(func(s aircraft.Stance) float64 { return s.Share - require.LeastNose })},
		rule{name: "tip back", configuration: "at rest", leaves: b.standing(func(s aircraft.Stance) float64 { return s.TipBack - require.TipBack })})
}

// standing asks how the aeroplane stands with its CG at x.
func (b *bounding) standing(leaves func(aircraft.Stance) float64) func(unit.Length) (float64, error) {
	return func(x unit.Length) (float64, error) {
		a := b.a
		a.CG = x
		s, err := a.Stand()
		return leaves(s), err
	}
}

// yaw asks for stiffness in yaw by fins and bodies ([FindYaw]) and the side force of propellers, which is their normal force turned.
func (b *bounding) yaw() func(unit.Length) (float64, error) {
	return func(x unit.Length) (float64, error) {
		a := b.a
		a.CG = x
		y, err := FindYaw(a)
		if err != nil {
			return 0, err
		}
		side, err := propellerYaw(a, b.settings.Air, b.speed)
		return y.Sum + side - b.settings.Require.YawStiffness, err
	}
}

// propellerYaw returns Cnβ of the propellers at a speed, without thrust: behind the CG they stabilise.
func propellerYaw(a aircraft.Aircraft, air atmos.Air, V unit.TrueAirspeed) (unit.PerRadian, error) {
	sum := 0.0
	for _, p := range a.Plants {
		if p.Speed == 0 {
			continue
		}
		n, err := prop.NormalForceOf(p, air, V, 0)
		if err != nil {
			return 0, err
		}
		sum += n.Slope / air.DynamicPressure(V) * (p.X - a.CG) / (a.Reference.Area * a.Reference.Span)
	}
	return sum, nil
}

// forwardRules returns what bounds the CG forward of an aft limit.
func (b *bounding) forwardRules(aft unit.Length) ([]rule, error) {
	landing := b.condition(b.settings.Landing)
	best, err := b.stalls.base.Stall(landing, aft)
	if err != nil {
		return nil, err
	}
	require := b.settings.Require
	rules := []rule{
		{name: "loss of trimmed CLmax", configuration: "landing, free air", leaves: func(x unit.Length) (float64, error) {
			s, err := b.stalls.base.Stall(landing, x)
			return s.CL/best.CL - (1 - require.LiftLoss), err
		}},
		b.touchdown("stop of the control", landing, func(k *stallCase, s instant) float64 { return -k.stop(s) }),
		b.touchdown("section of the "+b.trimming(), landing, func(k *stallCase, s instant) float64 {
			used, _ := k.nearest(s)
			return 1 - used[k.trims]
		}),
	}
	if _, err := b.a.Stand(); err != nil {
		return rules, nil
	}
	if len(b.a.Plants) > 0 {
		rules = append(rules, b.rotation())
	}
	return append(rules, rule{name: "greatest load of the nose wheel", configuration: "at rest", leaves: b.standing(func(s aircraft.Stance) float64 { return require.MostNose - s.Share })}), nil
}

// trimming names the surface whose control trims.
func (b *bounding) trimming() string {
	i, err := controlOf(b.a.Name, b.a.Lifting(), b.settings.Control)
	if err != nil {
		return "surface that trims"
	}
	return b.a.Lifting()[i].Name
}

// touchdown is the rule that the aeroplane can be trimmed over its wheels at a speed somewhat above that of the stall at the same CG.
func (b *bounding) touchdown(name string, c Condition, leaves func(*stallCase, instant) float64) rule {
	return rule{name: name, configuration: "touchdown, near the ground", leaves: func(x unit.Length) (float64, error) {
		stall, err := b.stalls.base.Stall(c, x)
		if err != nil {
			return 0, err
		}
		k, err := b.stalls.base.newCase(c, x, groundRule{wheels: len(b.a.Wheels) > 0})
		if err != nil {
			return 0, err
		}
		s, err := k.atSpeed(b.settings.Require.Touchdown * stall.Speed)
		if err != nil {
			return 0, err
		}
		return leaves(k, s), nil
	}}
}

// rotation is the rule that the nose rises in time.
func (b *bounding) rotation() rule {
	c := b.condition(b.settings.TakeOff)
	roll := b.settings.Roll
	return rule{name: "nose rises", configuration: "take-off run, full power", leaves: func(x unit.Length) (float64, error) {
		stall, err := b.stalls.base.Stall(c, x)
		if err != nil {
			return 0, err
		}
		k, err := b.stalls.base.newRoller(c, x, roll)
		if err != nil {
			return 0, err
		}
		roll = k.roll // what it has filled in holds for all
		r, err := k.attempt(b.settings.Require.Unstick * stall.Speed)
		return r.Moment() / (b.a.Weight() * b.chord), err
	}}
}

// tell writes the notes.
func (b *bounding) tell(l Limits) []string {
	var notes []string
	if l.Range() < 0 {
		notes = append(notes, fmt.Sprintf("No CG meets all constraints: %s asks for at least %s, %s for at most %s.", l.ActiveOn(Forward).Name, unit.Format(l.Forward, "m"),
			l.ActiveOn(Aft).Name, unit.Format(l.Aft, "m")))
	} else if !l.Holds(l.CG) {
		notes = append(notes, fmt.Sprintf("The CG of the aeroplane, %s, is outside.", unit.Format(l.CG, "m")))
	}
	if len(b.left) > 0 {
		notes = append(notes, "Left out: "+strings.Join(b.left, ", ")+".")
	}
	return append(notes, "Beyond the first stall nothing is predicted. Stick-free stability is not in it.")
}

// leastLead returns the least lead of the surfaces of a role over all variants, with their limits up.
func (m *SequenceModel) leastLead(c Condition, cg unit.Length, role aircraft.Role) (unit.Ratio, error) {
	least := math.Inf(1)
	variants := append([]variant{{"as set", m.base}}, m.variants...)
	for _, s := range m.base.aircraft.Lifting() {
		if s.Role == role {
			variants = append(variants, m.scaled(s.Name, limitBand))
		}
	}
	for _, v := range variants {
		s, err := v.model.stall(c, cg, groundRule{height: c.Height})
		if err != nil {
			return 0, err
		}
		least = min(least, s.lead(func(t StallStrip) bool { return t.Role == role }))
	}
	return least, nil
}

// weighing returns the same model of the aeroplane at another mass.
func (m *SequenceModel) weighing(mass unit.Mass) *SequenceModel {
	out := &SequenceModel{base: m.base.weighing(mass)}
	for _, v := range m.variants {
		out.variants = append(out.variants, variant{v.name, v.model.weighing(mass)})
	}
	return out
}

func (m *StallModel) weighing(mass unit.Mass) *StallModel {
	out := *m
	out.aircraft.Mass = mass
	return &out
}
