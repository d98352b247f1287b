package trim

import (
	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/unit"
)

// anatomy is a trim taken apart into what a practitioner has names for. All is linear about the trim; values by cause are for what is fixed, for α and for δ.
type anatomy struct {
	CL     unit.Coefficient // n W/(q S)
	r      aircraft.Reference
	cg     unit.Length
	trims  int
	limbs  []limb
	others [4]Derivatives // force on fins, bodies, propellers, thrust
}

// limb is a surface: by itself, and what the others add.
type limb struct {
	name   string
	slope  unit.PerRadian // on the reference area
	arm    unit.Ratio     // of its aerodynamic centre behind the CG, in reference chords
	angle  byCause        // of its zero-lift line; by δ the effectiveness of the control
	couple byCause        // about its aerodynamic centre
	wash   byCause        // angle that it loses
	uneven byCause        // couple that comes with the wash
}

// byCause is what is fixed, by α, and by δ.
type byCause [3]float64

func liftBy(d Derivatives) byCause   { return byCause{d.CL0, d.CLAlpha, d.CLDelta} }
func momentBy(d Derivatives) byCause { return byCause{d.Cm0, d.CmAlpha, d.CmDelta} }

// newLimb takes a surface apart by what it does alone and together with all.
func newLimb(name string, alone, together Derivatives) limb {
	l := limb{name: name, slope: alone.CLAlpha, arm: -alone.CmAlpha / alone.CLAlpha}
	for k := range 3 {
		l.angle[k] = liftBy(alone)[k] / l.slope
		l.couple[k] = momentBy(alone)[k] + liftBy(alone)[k]*l.arm
		l.wash[k] = l.angle[k] - liftBy(together)[k]/l.slope
		l.uneven[k] = momentBy(together)[k] + liftBy(together)[k]*l.arm - l.couple[k]
	}
	return l
}

// lift returns the lift coefficient by cause.
func (l limb) lift() (out byCause) {
	for k := range out {
		out[k] = l.slope * (l.angle[k] - l.wash[k])
	}
	return out
}

// anatomy takes the balance apart where it was found.
func (b *balance) anatomy() (anatomy, error) {
	a := anatomy{CL: b.flight.CL, r: b.aeroplane.Reference, cg: b.aeroplane.CG, trims: b.trims}
	alone, err := b.flow.alone(b.found)
	if err != nil {
		return a, err
	}
	together, err := slopes(b.loads, b.found, a.r, a.cg)
	if err != nil {
		return a, err
	}
	for i, d := range alone {
		a.limbs = append(a.limbs, newLimb(b.aeroplane.Lifting()[i].Name, d, together[i]))
	}
	copy(a.others[:], together[len(alone):])
	return a, nil
}

// loads returns lift and moment coefficients of each surface, and then of fins, bodies, propellers and thrust.
func (b *balance) loads(s state) ([]pair, error) {
	var r Result
	b.start(&r)
	if _, _, err := b.flow.load(s, &r); err != nil {
		return nil, err
	}
	q := b.flight.q * r.Reference.Area
	var out []pair
	for _, l := range r.Loads {
		out = append(out, pair{l.Lift / q, l.Moment / (q * r.Reference.Chord)})
	}
	var fins, bodies pair
	for _, l := range r.Others {
		fins.CL += l.Lift / q
		fins.Cm += l.Moment / (q * r.Reference.Chord)
	}
	for _, m := range b.flow.bodyMoments(s) {
		bodies.Cm += m / (r.Reference.Area * r.Reference.Chord)
	}
	normal, thrust := b.pushes(s, b.pull)
	of := func(p push) pair {
		return pair{p.lift / r.Reference.Area, p.moment / (r.Reference.Area * r.Reference.Chord)}
	}
	return append(out, fins, bodies, of(normal), of(thrust)), nil
}

// outcome balances the anatomy.
func (a anatomy) outcome() (Difference, error) {
	d := Derivatives{Reference: a.r, CG: a.cg}
	add := func(lift, moment byCause) {
		d.CL0, d.CLAlpha, d.CLDelta = d.CL0+lift[0], d.CLAlpha+lift[1], d.CLDelta+lift[2]
		d.Cm0, d.CmAlpha, d.CmDelta = d.Cm0+moment[0], d.CmAlpha+moment[1], d.CmDelta+moment[2]
	}
	for _, l := range a.limbs {
		lift := l.lift()
		var moment byCause
		for k := range moment {
			moment[k] = l.couple[k] + l.uneven[k] - lift[k]*l.arm
		}
		add(lift, moment)
	}
	for _, o := range a.others {
		add(liftBy(o), momentBy(o))
	}
	alpha, delta, err := d.Trim(a.CL)
	if err != nil {
		return Difference{}, err
	}
	by := a.limbs[a.trims].lift()
	return Difference{Alpha: alpha, Deflection: delta, Neutral: d.NeutralPoint(), Share: (by[0] + by[1]*alpha + by[2]*delta) / a.CL}, nil
}

// cause is one step from one anatomy to another.
type cause struct {
	name   string
	change func(to *anatomy, from anatomy)
}

// causes lists the steps.
func causes(a anatomy) []cause {
	var list []cause
	for i, l := range a.limbs {
		list = append(list,
			cause{"lift slope of the " + l.name, func(to *anatomy, from anatomy) { to.limbs[i].slope = from.limbs[i].slope }},
			cause{"aerodynamic centre of the " + l.name, func(to *anatomy, from anatomy) { to.limbs[i].arm = from.limbs[i].arm }},
			cause{"zero lift of the " + l.name, func(to *anatomy, from anatomy) {
				to.limbs[i].angle[0], to.limbs[i].couple[0] = from.limbs[i].angle[0], from.limbs[i].couple[0]
			}},
			cause{"wash on the " + l.name, func(to *anatomy, from anatomy) {
				to.limbs[i].wash, to.limbs[i].uneven = from.limbs[i].wash, from.limbs[i].uneven
			}})
	}
	list = append(list, cause{"control", func(to *anatomy, from anatomy) {
		for i := range to.limbs {
			to.limbs[i].angle, to.limbs[i].couple = from.limbs[i].angle, from.limbs[i].couple
		}
	}})
	for k, name := range []string{"fins", "bodies", "propellers", "thrust and drag"} {
		list = append(list, cause{name, func(to *anatomy, from anatomy) { to.others[k] = from.others[k] }})
	}
	return list
}
