package trim

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/atmos"
	"foreplane/aerolib/lattice"
	"foreplane/aerolib/prop"
	"foreplane/aerolib/solve"
	"foreplane/aerolib/unit"
)

// place is a strip of a lifting surface as its section sees it.
type place struct {
	surface      int // among the lifting ones
	strip        int // among those of the approach
	y, chord     unit.Length
	width        unit.Length
	eta          unit.Ratio
	inner, outer limitCurve // of the stations that it lies between
	outward      unit.Ratio // its way from the inner to the outer one
	swept        unit.Ratio // cos²Λ of the quarter chord
	flaps        []flapPart
}

// flapReach is how many chords beyond its ends a flap lets sections lift as it does: next to it they are carried along, and the lattice's load there depends on its mesh (an assumption).
const flapReach unit.Ratio = 0.25

// flapPart is a hinged control that the strip has.
type flapPart struct {
	control aircraft.Control
	amount  int
	gain    unit.Coefficient
}

// limits returns the greatest and least lift coefficient at a Reynolds number, with the flaps of the amounts a.
func (p place) limits(re unit.ReynoldsNumber, a []unit.Ratio) (most, least unit.Coefficient) {
	most, least = p.inner.at(re)
	outerMost, outerLeast := p.outer.at(re)
	most, least = most+p.outward*(outerMost-most), least+p.outward*(outerLeast-least)
	for _, f := range p.flaps {
		by := gained(f.gain, actual(f.control, a[f.amount]/a[0]))
		most, least = most+by, least+by
	}
	return most * p.swept, least * p.swept
}

// places returns the strips of the lifting surfaces with what their sections bear, but for those inside bodies.
func (p *approach) places(surfaces []aircraft.Surface, bodies []aircraft.Body, s StallSettings) ([]place, error) {
	if _, err := p.at(0); err != nil {
		return nil, err
	}
	curves := map[aircraft.Section]limitCurve{}
	var out []place
	for i, surface := range surfaces {
		for _, t := range surface.Stations {
			if _, ok := curves[t.Section]; ok {
				continue
			}
			c, err := limitOf(t.Section, surface.Name, s.Limits)
			if err != nil {
				return nil, err
			}
			curves[t.Section] = c
		}
		for k, strip := range p.columns {
			if strip.Surface != surface.Name || buried(bodies, strip) {
				continue
			}
			at, err := p.newPlace(surface, strip, curves, s.Swept)
			if err != nil {
				return nil, err
			}
			at.surface, at.strip = i, k
			out = append(out, at)
		}
	}
	return out, nil
}

// buried reports whether the middle of a strip's chord is inside a body, or its fillet: in the box around the cross-section.
func buried(bodies []aircraft.Body, s lattice.Strip) bool {
	return slices.ContainsFunc(bodies, func(b aircraft.Body) bool {
		t := b.At(s.Middle.X + s.Chord/2)
		return math.Abs(s.Middle.Y-b.Y) < t.Width/2 && math.Abs(s.Middle.Z-t.Z) < t.Height/2
	})
}

func (p *approach) newPlace(s aircraft.Surface, strip lattice.Strip, curves map[aircraft.Section]limitCurve, swept bool) (place, error) {
	along := strip.Middle.Y - s.Root().Y
	out := place{y: strip.Middle.Y, chord: strip.Chord, width: strip.Width, eta: along / s.Semispan(), swept: 1}
	n := 1
	for n < len(s.Stations)-1 && s.Along(s.Stations[n]) < along {
		n++
	}
	a, b := s.Stations[n-1], s.Stations[n]
	out.inner, out.outer = curves[a.Section], curves[b.Section]
	out.outward = (along - s.Along(a)) / (s.Along(b) - s.Along(a))
	if swept {
		tan := (b.X + b.Chord/4 - a.X - a.Chord/4) / (s.Along(b) - s.Along(a))
		out.swept = 1 / (1 + tan*tan)
	}
	for _, c := range s.Controls {
		i := slices.Index(p.controls, c.Name)
		reach := flapReach * out.chord / s.Semispan()
		if i < 0 || c.AllMoving || out.eta < c.From-reach || out.eta > c.To+reach {
			continue
		}
		gain, err := flapGain(c.Chord)
		if err != nil {
			return out, err
		}
		out.flaps = append(out.flaps, flapPart{c, 2 + i, gain})
	}
	return out, nil
}

// stallCase is an aeroplane at a CG in a configuration, whose angle of attack is raised in trim until something gives.
type stallCase struct {
	*approach
	surfaces  []aircraft.Surface
	reference aircraft.Reference
	strips    []place
	factors   []unit.Ratio // of the limits of each surface

	name    string
	frozen  bool // all angles of attack have the streams of one
	trims   int  // the surface whose control trims
	control int  // the amount that trims
	limit   aircraft.Control
	aft     float64      // sign of a deflection that raises the nose
	set     []unit.Angle // of all controls; that of the one which trims does not count

	air     atmos.Air
	weight  unit.Weight
	cg, z   unit.Length
	turning bool // propellers have a normal force
	further further
	dirt    dirt
}

// dirt is the loss of slope of one surface, (1/k − 1)/2π of its lift coefficient as an angle.
type dirt struct {
	amount  int // of the turn of that surface; 0 is none
	surface int
	loss    unit.Angle
}

// instant is a state of trim on the way. Its deflection is that of thin-aerofoil theory, as the amounts have it.
type instant struct {
	alpha, delta unit.Angle
	streams      []share
	amounts      []unit.Ratio
	q            unit.DynamicPressure
	speed        unit.TrueAirspeed
}

// turned returns the amounts of a state, with the dirt on a surface.
func (k *stallCase) turned(streams []share, alpha, delta unit.Angle) []unit.Ratio {
	k.set[k.control-2] = delta
	a := amounts(alpha, k.set)
	if k.dirt.amount > 0 {
		clean, slope := k.meanLift(streams, a), 0.0
		a[k.dirt.amount] = a[0]
		slope = k.meanLift(streams, a) - clean
		a[k.dirt.amount] = -a[0] * k.dirt.loss * clean / (1 + k.dirt.loss*slope)
	}
	return a
}

// meanLift returns the lift coefficient of the surface with dirt.
func (k *stallCase) meanLift(streams []share, a []unit.Ratio) unit.Coefficient {
	var lift, area unit.Area
	for _, p := range k.strips {
		if p.surface == k.dirt.surface {
			lift += 2 * circulation(streams, a, p.strip) * p.width
			area += p.chord * p.width
		}
	}
	return lift / area
}

// short returns the moment that is left over, as a coefficient, and the dynamic pressure at which lift and thrust carry the weight. Without lift there is none.
func (k *stallCase) short(streams []share, a []unit.Ratio, alpha unit.Angle) (unit.Coefficient, unit.DynamicPressure) {
	f := forces(streams, a)
	more := k.further.on(streams, a, alpha, k.cg, k.z)
	q := (k.weight - more.thrustLift) / (f.lift(alpha) + more.lift)
	moment := f.about(k.cg, k.z) + more.moment + more.thrustMoment/q
	return moment / (k.reference.Area * k.reference.Chord), q
}

// trimmed returns the state of trim at an angle of attack, near a first guess of the deflection. It reports false where nothing carries the weight.
func (k *stallCase) trimmed(alpha, guess unit.Angle) (instant, bool, error) {
	streams, err := k.streamsAt(alpha)
	if err != nil {
		return instant{}, false, err
	}
	s := instant{alpha: alpha, delta: guess, streams: streams}
	const step, enough = 1e-3, 1e-12
	previous := guess - step
	miss, q := k.short(streams, k.turned(streams, alpha, previous), alpha)
	for range 12 {
		s.amounts = k.turned(streams, alpha, s.delta)
		var now unit.Coefficient
		if now, q = k.short(streams, s.amounts, alpha); !(q > 0) {
			return s, false, nil
		}
		if math.Abs(now) < enough || now == miss {
			break
		}
		s.delta, previous, miss = s.delta-now*(s.delta-previous)/(now-miss), s.delta, now
	}
	s.q, s.speed = q, math.Sqrt(2*q/k.air.Density)
	return s, true, unit.CheckRange("trim.Stall", "deflection of the "+k.limit.Name, s.delta, -2*steepest, 2*steepest, "°")
}

// nearest returns how much of its limit the strip of each surface uses that is nearest to it, and which it is among the places.
func (k *stallCase) nearest(s instant) (used []unit.Ratio, which []int) {
	used, which = make([]unit.Ratio, len(k.surfaces)), make([]int, len(k.surfaces))
	for i, p := range k.strips {
		if u, _, _, _ := k.use(s, p); u > used[p.surface] {
			used[p.surface], which[p.surface] = u, i
		}
	}
	return used, which
}

// use returns the part of its limit that a strip uses, with lift coefficient, limit and Reynolds number.
func (k *stallCase) use(s instant, p place) (used unit.Ratio, lift, limit unit.Coefficient, re unit.ReynoldsNumber) {
	lift = 2 * circulation(s.streams, s.amounts, p.strip) / p.chord
	re = k.air.Reynolds(s.speed, p.chord)
	limit, least := p.limits(re, s.amounts)
	if lift < 0 {
		limit = least
	}
	limit *= k.factors[p.surface]
	return lift / limit, lift, limit, re
}

// beyond is zero where the first strip is at its limit or the control at its stop with the nose up, and grows further on.
func (k *stallCase) beyond(s instant) float64 {
	used, _ := k.nearest(s)
	return max(slices.Max(used)-1, k.stop(s))
}

// stop is how far the control is past its stop.
func (k *stallCase) stop(s instant) unit.Ratio {
	if k.aft < 0 {
		return (acting(k.limit, k.limit.Min) - s.delta) / full
	}
	return (s.delta - acting(k.limit, k.limit.Max)) / full
}

// full is the scale of deflections beyond a stop.
const full unit.Angle = 30 * unit.Degree

// climb raises the angle of attack until a strip reaches its limit or the control its stop: first roughly, with the wakes of one stream, then with those that belong to it.
func (k *stallCase) climb() (instant, error) {
	rough := *k
	rough.frozen = true
	near, err := rough.scan(k.beyond)
	if err != nil {
		return near, err
	}
	return k.around(near, k.beyond)
}

// around returns the state near another in which a function of it vanishes that grows with the angle of attack.
func (k *stallCase) around(near instant, f func(instant) float64) (instant, error) {
	const step = 0.25 * unit.Degree
	near, err := k.refined(near.alpha, near.delta)
	if err != nil {
		return near, err
	}
	beyond := f(near) >= 0
	by := step
	if beyond {
		by = -step
	}
	for {
		next, err := k.refined(near.alpha+by, near.delta)
		if err != nil {
			return next, err
		}
		switch now := f(next) >= 0; {
		case now == beyond:
			near, by = next, 2*by
		case beyond:
			return k.root(next, near, f)
		default:
			return k.root(near, next, f)
		}
	}
}

// refined is trimmed where the weight must be carried.
func (k *stallCase) refined(alpha, guess unit.Angle) (instant, error) {
	s, ok, err := k.trimmed(alpha, guess)
	if err == nil && !ok {
		err = fmt.Errorf("trim: at α %s nothing carries the weight of the %s", unit.Format(alpha, "°"), k.name)
	}
	return s, err
}

// scan goes up in steps from the first angle of attack at which flight is possible to where a function of the state is no longer below zero, and returns what lies between
// nearest to that, by its chord.
func (k *stallCase) scan(f func(instant) float64) (instant, error) {
	const step = 2 * unit.Degree
	var before instant
	last := 0.0
	for alpha := shallowest; alpha < steepest; alpha += step {
		s, ok, err := k.trimmed(alpha, before.delta)
		if err != nil {
			return s, err
		}
		if !ok || k.lift(s) < fastest {
			before.delta = s.delta
			continue
		}
		switch now := f(s); {
		case now < 0:
			before, last = s, now
		case before.q > 0:
			s.alpha -= step * min(now/(now-last), 1)
			return s, nil
		default:
			return s, k.startError(s)
		}
	}
	return before, fmt.Errorf("trim: no section of %s reaches its limit up to α %s", k.name, unit.Format(steepest, "°"))
}

// root returns the state between two at which a function of it vanishes.
func (k *stallCase) root(low, high instant, f func(instant) float64) (instant, error) {
	var failed error
	alpha, err := solve.Root(func(alpha float64) float64 {
		s, err := k.refined(alpha, low.delta)
		if err != nil {
			failed = err
			return math.NaN()
		}
		return f(s)
	}, low.alpha, high.alpha)
	if err := cmp.Or(failed, err); err != nil {
		return low, err
	}
	return k.refined(alpha, low.delta)
}

// StalledError says that sections are beyond their limit wherever the weight is carried.
type StalledError struct {
	Aircraft, Surface string
	Eta               unit.Ratio
	CL                unit.Coefficient // the least that was tried
}

func (e *StalledError) Error() string {
	return fmt.Sprintf("trim: already at CL %.2f the %s of %s is beyond the limit of its section at η %.2f", e.CL, e.Surface, e.Aircraft, e.Eta)
}

// startError says why flight is not possible from the start.
func (k *stallCase) startError(s instant) error {
	if k.stop(s) >= 0 {
		return &LimitError{k.name, k.limit.Name, actual(k.limit, s.delta), k.limit.Min, k.limit.Max}
	}
	used, which := k.nearest(s)
	i := slices.Index(used, slices.Max(used))
	return &StalledError{k.name, k.surfaces[i].Name, k.strips[which[i]].eta, k.lift(s)}
}

// lift returns that of everything, W/(qS).
func (k *stallCase) lift(s instant) unit.Coefficient { return k.weight / (s.q * k.reference.Area) }

// fastest is the lift coefficient below which the search does not begin.
const fastest unit.Coefficient = 0.25

// streamsAt returns the streams at an angle of attack; of a frozen case always the same.
func (k *stallCase) streamsAt(alpha unit.Angle) ([]share, error) {
	if k.frozen {
		alpha = usualStall
	}
	return k.at(alpha)
}

// usualStall is an angle of attack near that of most stalls, a whole number of steps.
const usualStall = 3 * wakeStep

// settled is climb with the normal force of the propellers at the speed that it ends at.
func (k *stallCase) settled() (instant, error) {
	const passes, still = 4, 3e-4                                         // each changes the speed by some hundredths of what the one before did: what is left does not show
	speed := math.Sqrt(2 * k.weight / (k.air.Density * k.reference.Area)) // at CL 1
	if err := k.turnPropellers(speed); err != nil {
		return instant{}, err
	}
	s, err := k.climb()
	for range passes {
		if err != nil || !k.turning || math.Abs(s.speed/speed-1) < still {
			break
		}
		speed = s.speed
		if err = k.turnPropellers(speed); err == nil {
			s, err = k.around(s, k.beyond)
		}
	}
	return s, err
}

// turnPropellers finds the normal force of the propellers at a speed.
func (k *stallCase) turnPropellers(V unit.TrueAirspeed) error {
	for i := range k.further.discs {
		d := &k.further.discs[i]
		if !k.turning || d.plant.Speed == 0 {
			continue
		}
		n, err := prop.NormalForceOf(d.plant, k.air, V, d.part*k.further.thrust)
		if err != nil {
			return err
		}
		d.slope = n.Slope / k.air.DynamicPressure(V)
	}
	return nil
}

// findAft finds which way the control raises the nose.
func (k *stallCase) findAft() error {
	streams, err := k.at(usualStall)
	if err != nil {
		return err
	}
	var moment [2]unit.Volume
	for i, delta := range []unit.Angle{-0.1, 0.1} {
		moment[i] = forces(streams, k.turned(streams, usualStall, delta)).about(k.cg, k.z)
	}
	if k.aft = 1; moment[1] < moment[0] {
		k.aft = -1
	}
	return nil
}

// strip says what a strip uses.
func (k *stallCase) strip(s instant, p place) StallStrip {
	used, lift, limit, re := k.use(s, p)
	surface := k.surfaces[p.surface]
	return StallStrip{Surface: surface.Name, Role: surface.Role, Y: p.y, Chord: p.chord, Critical: Critical{Eta: p.eta, CL: lift, Limit: limit, Used: used, Reynolds: re}}
}

// missing lists what is not counted.
func (k *stallCase) missing() []string {
	var out []string
	if k.further.bodies == (bodySum{}) {
		out = append(out, "bodies")
	}
	turning := len(k.further.discs) > 0
	for _, d := range k.further.discs {
		turning = turning && d.slope != 0
	}
	if !turning {
		out = append(out, "propeller")
	}
	if k.further.aside {
		out = append(out, "thrust line")
	}
	return out
}

// muchSweep is where sweep is worth a word.
const muchSweep unit.Angle = 15 * unit.Degree

// notes says what to mind.
func (k *stallCase) notes(s Stall) []string {
	notes := []string{"Beyond the first stall nothing is predicted."}
	if s.AtStop {
		notes = append(notes, fmt.Sprintf("The %s is at its stop of %s before any section is at its limit: the least speed in trim is that of the control.", k.limit.Name, unit.Format(s.Deflection, "°")))
	}
	for _, surface := range k.surfaces {
		if sweep := surface.SweepAt(0.25); math.Abs(sweep) > muchSweep && !s.Settings.Swept {
			less := math.Pow(math.Sin(sweep), 2)
			notes = append(notes, fmt.Sprintf("The limits of the %s are those of its sections along the stream; across its sweep of %s they would be %s less (Swept).", surface.Name,
				unit.Format(sweep, "°"), unit.Format(less, "%")))
		}
	}
	outside := map[string]bool{}
	for i, p := range k.strips {
		name := k.surfaces[p.surface].Name
		if re := s.Strips[i].Reynolds; !outside[name] && !(p.inner.covers(re) && p.outer.covers(re)) {
			outside[name] = true
			notes = append(notes, fmt.Sprintf("Strips of the %s are outside the Reynolds numbers of their section's data, such as that at y %s with %.2g; its nearest limit is taken.", name, unit.Format(p.y, "m"), re))
		}
	}
	return notes
}

// atSpeed returns trim at a speed: the angle of attack goes up from the shallowest until the weight is carried.
func (k *stallCase) atSpeed(V unit.TrueAirspeed) (instant, error) {
	if err := unit.CheckPositive("trim.SlowTrim", "true airspeed", V, "m/s"); err != nil {
		return instant{}, err
	}
	if err := k.turnPropellers(V); err != nil {
		return instant{}, err
	}
	near, err := k.reach(V)
	if err != nil {
		return near, err
	}
	return k.around(near, func(s instant) float64 { return V/s.speed - 1 })
}

// reach scans roughly for the angle of attack at which the speed has fallen to V.
func (k *stallCase) reach(V unit.TrueAirspeed) (instant, error) {
	rough := *k
	rough.frozen = true
	const step = 1 * unit.Degree
	var before instant
	for alpha := shallowest; alpha < steepest; alpha += step {
		s, ok, err := rough.trimmed(alpha, before.delta)
		switch {
		case err != nil:
			return s, err
		case !ok || s.speed > V:
			before = s
		default:
			return s, nil
		}
	}
	return before, fmt.Errorf("trim: %s is not carried at %s up to α %s", k.name, unit.FormatPair(V, "TrueAirspeed"), unit.Format(steepest, "°"))
}
