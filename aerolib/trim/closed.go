package trim

import (
	"math"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/drag"
	"foreplane/aerolib/unit"
)

// closedForm is the flow about surfaces and bodies by closed forms: a system of elements with bodies and propeller discs in their wash.
type closedForm struct {
	system
	surfaces []aircraft.Surface
	r        aircraft.Reference
	cg       unit.Length
	mach     unit.MachNumber
	height   unit.Length // of the datum above the ground; 0 is free air

	fixed, alpha, delta, rate answer
	bodies                    []bodyFlow
	discs                     [][]unit.Angle // downwash at each propeller for unit lift coefficient of each surface
	mutual                    []drag.Share   // induced drag of surfaces and pairs of them at unit lift coefficients, on the reference area
}

// answer is what one cause does: lift coefficients, and moments over dynamic pressure of each element about its own x.
type answer struct {
	angles  []unit.Angle
	lift    []unit.Coefficient
	couples []unit.Volume
	own     []unit.Volume // of the couples, what is there without wash
}

// unitRate is the pitch rate over speed whose answer a [closedForm] holds.
const unitRate unit.PerLength = 1

// newClosedForm describes the flow of an aeroplane with the control of surface trims free, or none if that is −1.
func newClosedForm(a aircraft.Aircraft, f flight, trims int) (*closedForm, error) {
	c := &closedForm{surfaces: a.Lifting(), r: a.Reference, cg: a.CG, mach: f.mach, height: f.Height}
	var err error
	if c.system, err = newSystem(c.surfaces, f.mach, f.Height); err != nil {
		return nil, err
	}
	if err := c.solveCauses(f, trims); err != nil {
		return nil, err
	}
	if err := c.pairs(); err != nil {
		return nil, err
	}
	if !f.Omit.Bodies {
		for _, b := range a.Bodies {
			flow, err := newBodyFlow(b, c.surfaces, a.CG, c.washAt)
			if err != nil {
				return nil, err
			}
			c.bodies = append(c.bodies, flow)
		}
	}
	for _, p := range a.Plants {
		wash := make([]unit.Angle, len(c.surfaces))
		for j := range c.surfaces {
			if wash[j], err = c.washAt(j, p.X, p.Y, p.Z); err != nil {
				return nil, err
			}
		}
		c.discs = append(c.discs, wash)
	}
	return c, nil
}

// solveCauses solves for what is fixed, for α, for the control that trims, and for the pitch rate.
func (c *closedForm) solveCauses(f flight, trims int) error {
	n := len(c.elements)
	angles := [4][]unit.Angle{}
	couples := [4][]unit.Volume{}
	for k := range angles {
		angles[k], couples[k] = make([]float64, n), make([]float64, n)
	}
	for i, e := range c.elements {
		turned, couple, err := flapped(c.surfaces[i], f.Flaps)
		if err != nil {
			return err
		}
		angles[0][i], couples[0][i] = e.fixed+turned, e.couple+couple
		angles[1][i] = 1
		if i == trims {
			angles[2][i], couples[2][i] = e.turn, e.turnCouple
		}
		angles[3][i], couples[3][i] = float64(e.aft-c.cg), float64(e.damping) // by unit rate
	}
	for k, to := range []*answer{&c.fixed, &c.alpha, &c.delta, &c.rate} {
		lift, err := c.lift(angles[k])
		if err != nil {
			return err
		}
		all := c.couples(lift, false)
		for i, m := range couples[k] {
			all[i] += m
		}
		*to = answer{angles[k], lift, all, couples[k]}
	}
	return nil
}

// flapped returns what the deflections that are set do to a surface: the angle that they are worth, and the couple over dynamic pressure.
func flapped(s aircraft.Surface, set map[string]unit.Angle) (unit.Angle, unit.Volume, error) {
	var angle unit.Angle
	var couple unit.Volume
	for _, d := range s.Controls {
		by, ok := set[d.Name]
		if !ok {
			continue
		}
		turn, moment, err := s.Effect(d)
		if err != nil {
			return 0, 0, err
		}
		angle += turn * by
		couple += moment * by * s.Area() * s.MeanChord()
	}
	return angle, couple, nil
}

// at superposes the answers.
func (c *closedForm) at(s state) answer {
	n := len(c.elements)
	out := answer{angles: make([]float64, n), lift: make([]float64, n), couples: make([]float64, n)}
	for _, part := range []struct {
		answer
		by float64
	}{{c.fixed, 1}, {c.alpha, s.alpha}, {c.delta, s.delta}, {c.rate, s.rate}} {
		for i := range n {
			out.angles[i] += part.by * part.angles[i]
			out.lift[i] += part.by * part.lift[i]
			out.couples[i] += part.by * part.couples[i]
		}
	}
	return out
}

func (c *closedForm) total(s state) (CL, Cm unit.Coefficient, err error) {
	now := c.at(s)
	CL, Cm = c.sum(now.lift, now.couples, c.r, c.cg)
	return CL, Cm, nil
}

func (c *closedForm) bodyMoments(s state) []unit.Volume {
	lift := c.at(s).lift
	moments := make([]unit.Volume, len(c.bodies))
	for i, b := range c.bodies {
		moments[i] = b.moment(s, lift)
	}
	return moments
}

func (c *closedForm) discWash(s state) []unit.Angle {
	lift := c.at(s).lift
	out := make([]unit.Angle, len(c.discs))
	for i, wash := range c.discs {
		for j, w := range wash {
			out[i] += w * lift[j]
		}
	}
	return out
}

// pairs finds the induced drag of elliptic loads, which is quadratic in them.
func (c *closedForm) pairs() error {
	loads := make([]drag.EllipticLoad, len(c.surfaces))
	for i, s := range c.surfaces {
		loads[i] = drag.EllipticLoad{Surface: s.Name, Span: s.Span(), Height: s.Height(), CL: 1}
	}
	all, err := drag.PrandtlMunk(loads, c.r, c.height)
	c.mutual = all.Parts
	return err
}

// induced scales it; pairs come in the order of [drag.PrandtlMunk].
func (c *closedForm) induced(lift []unit.Coefficient) drag.Induced {
	out := drag.Induced{Method: "Prandtl and Munk, elliptic loads"}
	on := func(i int) unit.Coefficient { return lift[i] * c.elements[i].area / c.r.Area }
	k := 0
	for i := range lift {
		out.CL += on(i)
		for j := range i + 1 {
			part := c.mutual[k]
			part.CD *= on(i) * on(j)
			out.CD += part.CD
			out.Parts = append(out.Parts, part)
			k++
		}
	}
	return out
}

// load fills in what the surfaces do.
func (c *closedForm) load(s state, r *Result) ([]drag.Load, drag.Induced, error) {
	now := c.at(s)
	loads := make([]drag.Load, len(c.elements))
	for i, e := range c.elements {
		l, surface := &r.Loads[i], c.surfaces[i]
		l.CL = now.lift[i]
		l.Lift = r.DynamicPressure * e.area * l.CL
		l.Arm = e.x - c.cg
		l.Moment = r.DynamicPressure*now.couples[i] - l.Lift*l.Arm
		loads[i] = drag.Load{Surface: surface.Name, CL: l.CL}
	}
	return loads, c.induced(now.lift), nil
}

// detail fills in the rest of it.
func (c *closedForm) detail(s state, r *Result) error {
	now := c.at(s)
	downwash := c.downwash(now.lift)
	for i := range c.elements {
		l, surface := &r.Loads[i], c.surfaces[i]
		l.Downwash = downwash[i]
		l.LocalAlpha = now.angles[i] + surface.Section().ZeroLift - l.Downwash
	}
	return nil
}

func (c *closedForm) criticals(_ state, lift []unit.Coefficient) ([]Critical, []string, error) {
	out := make([]Critical, len(lift))
	for i, s := range c.surfaces {
		out[i] = meanCritical(s, lift[i])
	}
	return out, nil, nil
}

// meanCritical compares the mean lift coefficient of a surface with the limit of its section.
func meanCritical(s aircraft.Surface, lift unit.Coefficient) Critical {
	k := Critical{Eta: s.MeanChordStation() / s.Semispan(), CL: lift, Limit: math.Copysign(s.Section().MaxLift, lift)}
	if k.Limit != 0 {
		k.Used = lift / k.Limit
	}
	return k
}

// alone returns each surface by itself.
func (c *closedForm) alone(s state) ([]Derivatives, error) {
	out := make([]Derivatives, len(c.elements))
	for i, e := range c.elements {
		k := e.slope * e.area / c.r.Area
		arm := (e.x - c.cg) / c.r.Chord
		of := func(a answer) (CL, Cm unit.Coefficient) {
			CL = k * a.angles[i]
			return CL, a.own[i]/(c.r.Area*c.r.Chord) - CL*arm
		}
		d := Derivatives{Reference: c.r, CG: c.cg}
		d.CL0, d.Cm0 = of(c.fixed)
		by := func(a answer, unitAngle unit.Angle) (CL, Cm unit.PerRadian) {
			k, m := of(a)
			return k / unitAngle, m / unitAngle
		}
		d.CLAlpha, d.CmAlpha = by(c.alpha, 1)
		d.CLDelta, d.CmDelta = by(c.delta, 1)
		d.CLQ, d.CmQ = by(c.rate, unit.Angle(unitRate*c.r.Chord/2))
		turn := unit.Angle(s.rate * c.r.Chord / 2) // q c/2V
		d.CL0, d.Cm0 = d.CL0+d.CLQ*turn, d.Cm0+d.CmQ*turn
		out[i] = d
	}
	return out, nil
}

func (c *closedForm) wakes() string { return "wakes along x" }

// refine does nothing: closed forms do not depend on the state.
func (c *closedForm) refine(state) (bool, error) { return false, nil }
