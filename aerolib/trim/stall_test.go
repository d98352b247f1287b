package trim

import (
	"errors"
	"math"
	"strconv"
	"strings"
	"testing"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/internal/reference"
	"foreplane/aerolib/lattice"
	"foreplane/aerolib/section"
	"foreplane/aerolib/unit"
)

// platesOf returns the aeroplane of flat plates of a lattice case. A scale multiplies twist and section limits.
func platesOf(t *testing.T, id string, scale float64) aircraft.Aircraft {
	t.Helper()
	in := reference.Load(t, id).Read(t)
	w, f := bare(in, "wing", aircraft.Wing, false), bare(in, "foreplane", aircraft.Foreplane, true)
	f.Controls[0].Name = "pitch"
	for i := range w.Stations {
		w.Stations[i].Twist *= scale
		w.Stations[i].Section.Name, w.Stations[i].Section.MaxLift = "wing", scale*in.Get("cl_max_wing")
		f.Stations[i].Section.Name, f.Stations[i].Section.MaxLift = "foreplane", scale*in.Get("cl_max_canard")
	}
	return aircraft.Aircraft{
		Name: id, Surfaces: []aircraft.Surface{w, f}, Mass: 700, CG: 3.5,
		Reference: aircraft.Reference{Name: "wing", Area: in.Get("Sref"), Chord: in.Get("cref"), Span: in.Get("bref"), LeadingEdge: 3.954},
	}
}

// seaLevel is a condition at sea level.
func seaLevel(t *testing.T) Condition {
	t.Helper()
	return need[Condition](t)(At(0, 0))
}

// bareSeaLevel counts lifting surfaces only.
func bareSeaLevel(t *testing.T) Condition {
	c := seaLevel(t)
	c.Omit = Bare
	return c
}

// neutralOfT10 is the neutral point of T10, about which T11 puts its CGs.
func neutralOfT10(t *testing.T) unit.Length { return reference.Load(t, "T10").Want(t, "x_np").Value }

// TestStallLinear holds the greatest trimmed lift and the order of stall to another lattice, in which everything is linear in the angles: so is the method itself
// for a hundredth of twist and limits.
func TestStallLinear(t *testing.T) {
	const scale = 0.01
	m := need[*StallModel](t)(NewStallModel(platesOf(t, "T11", scale), StallSettings{Wake: AlongX, Rows: 8, Strips: 40}))
	reference.Check(t, "T11", 0, func(in reference.Inputs) reference.Values {
		out := reference.Values{}
		for name := range reference.Load(t, "T11").Expected {
			margin := need[float64](t)(strconv.ParseFloat(name[strings.Index(name, "=")+1:], 64))
			k := need[*stallCase](t)(m.newCase(bareSeaLevel(t), neutralOfT10(t)-margin*in.Get("cref"), groundRule{}))
			low, high := need[instant](t)(k.refined(0.1*scale, 0)), need[instant](t)(k.refined(0.4*scale, 0))
			s := m.tell(k, need[instant](t)(k.root(low, high, k.beyond)), Condition{Air: k.air})
			out[name] = s.CL / scale
			if name[0] == 'f' {
				out[name] = map[aircraft.Role]float64{aircraft.Wing: 0, aircraft.Foreplane: 1}[s.First.Role]
			}
		}
		return out
	})
}

// TestStallOrder: at its real angles the same aeroplane lifts 2 to 3 % less with wakes along x, since lift then is less than its circulation, and 2 to 5 % more with
// wakes along the stream, which pass the wing higher. At 2 % static margin the wake decides what stalls first, and the verdict says so.
func TestStallOrder(t *testing.T) {
	file := reference.Load(t, "T11")
	chord := file.Read(t).Get("cref")
	m := need[*SequenceModel](t)(NewSequenceModel(platesOf(t, "T11", 1), StallSettings{}))
	along := need[*StallModel](t)(NewStallModel(platesOf(t, "T11", 1), StallSettings{Wake: AlongX}))
	for _, c := range []struct {
		margin  string
		x       aircraft.Role // first with wakes along x
		verdict Verdict
	}{{"0.02", aircraft.Wing, TooClose}, {"0.05", aircraft.Foreplane, ForeplaneFirst}, {"0.1", aircraft.Foreplane, ForeplaneFirst}, {"0.3", aircraft.Foreplane, ForeplaneFirst}} {
		cg := neutralOfT10(t) - need[float64](t)(strconv.ParseFloat(c.margin, 64))*chord
		linear := file.Want(t, "CLmax@SM="+c.margin).Value
		x := need[Stall](t)(along.Stall(bareSeaLevel(t), cg))
		s := need[Sequence](t)(m.Sequence(bareSeaLevel(t), cg))
		t.Logf("SM %s: CLmax linear %.3f, along x %.3f, along the stream %.3f; lead %.3f, %.3f to %.3f: %s", c.margin, linear, x.CL, s.CL, s.Margin(), s.Low, s.High, s.Verdict)
		if x.First.Role != c.x || s.Verdict != c.verdict || s.First.Role != aircraft.Foreplane {
			t.Errorf("SM %s: along x the %s, along the stream the %s is first: %s", c.margin, x.First.Role, s.First.Role, s.Verdict)
		}
		if r := x.CL / linear; r < 0.96 || r > 0.99 {
			t.Errorf("SM %s: along x %.3f of the linear CLmax", c.margin, r)
		}
		if r := s.CL / linear; r < 1.01 || r > 1.06 {
			t.Errorf("SM %s: along the stream %.3f of the linear CLmax", c.margin, r)
		}
		down, up := s.Variants[3], s.Variants[4]
		if !strings.Contains(down.Name, "-5 %") || down.Lead < s.Margin()+0.02 || !strings.Contains(up.Name, "+5 %") || up.Lead > s.Margin()-0.02 || up.CL <= down.CL {
			t.Errorf("SM %s: limits down %+v, up %+v", c.margin, down, up)
		}
		if s.Low > s.Margin() || s.High < s.Margin() || len(s.Variants) != 5 {
			t.Errorf("SM %s: band %v to %v about %v from %d variants", c.margin, s.Low, s.High, s.Margin(), len(s.Variants))
		}
	}
}

// TestStreamExact: the forms give what the lattice does, at any angles.
func TestStreamExact(t *testing.T) {
	a := aircraft.Teasel()
	p := need[*approach](t)(newApproach(a, AlongX, 2, 8, "foreplane"))
	p.points = []lattice.Point{{X: 1, Z: 0.3}, {X: 6.9, Y: 0.4, Z: 0.6}}
	m := need[*lattice.Model](t)(p.model(0))
	alpha, set := 0.21, map[string]unit.Angle{"flaps": 0.3, "pitch": -0.12, "foreplane flaps": 0.1, turnOf("foreplane"): -0.05}
	state := lattice.State{Alpha: alpha, Deflections: set}
	want := need[lattice.Result](t)(m.Solve(state))
	wash := need[[]lattice.Velocity](t)(m.Induced(state, p.points))
	turned := make([]unit.Angle, len(p.controls))
	for i, name := range p.controls {
		turned[i] = set[name]
	}
	streams := need[[]share](t)(p.at(alpha))
	now := amounts(alpha, turned)
	f := forces(streams, now)
	r := p.reference
	near := func(what string, got, want float64) {
		if !(math.Abs(got-want) < 1e-9*(1+math.Abs(want))) {
			t.Errorf("%s is %.12g, want %.12g", what, got, want)
		}
	}
	near("CL", f.lift(alpha)/r.Area, want.CL)
	near("Cm", f.about(0, 0)/(r.Area*r.Chord), want.Cm)
	near("CDi", f.induced/r.Area, want.CDi)
	state.Point = lattice.Point{X: 2.9, Z: 0.3}
	near("Cm about the CG", f.about(2.9, 0.3)/(r.Area*r.Chord), need[lattice.Coefficients](t)(m.Coefficients(state)).Cm)
	for i := range p.points {
		near("upwash", upwash(streams, now, i), wash[i].Z)
	}
	k := 0
	for _, s := range want.Strips {
		if s.Middle.Y > 0 {
			near("circulation", circulation(streams, now, k), s.Circulation)
			k++
		}
	}
	if k != len(p.columns) {
		t.Errorf("%d strips, want %d", len(p.columns), k)
	}
}

// TestStreamsBetween: what lies between the angles at which the lattice was factorised differs little from the lattice there.
func TestStreamsBetween(t *testing.T) {
	for _, a := range aircraft.Fleet() {
		p := need[*approach](t)(newApproach(a, AlongStream, usualRows, usualStrips))
		alpha := 3.5 * wakeStep
		m := need[*lattice.Model](t)(p.model(alpha))
		want := need[lattice.Result](t)(m.Solve(lattice.State{Alpha: alpha}))
		now := amounts(alpha, make([]unit.Angle, len(p.controls)))
		streams := need[[]share](t)(p.at(alpha))
		if got := forces(streams, now).lift(alpha) / p.reference.Area; math.Abs(got-want.CL) > 2e-3 {
			t.Errorf("%s: CL %.4f, want %.4f", a.Name, got, want.CL)
		}
		worst, k := 0.0, 0
		for _, s := range want.Strips {
			if s.Middle.Y > 0 {
				worst = max(worst, math.Abs(2*(circulation(streams, now, k)-s.Circulation)/s.Chord))
				k++
			}
		}
		t.Logf("%s: cl of strips within %.4f", a.Name, worst)
		if worst > 0.015 {
			t.Errorf("%s: cl of a strip differs by %.4f", a.Name, worst)
		}
	}
}

// TestStallBalanced: the state that is found carries the weight without moment in a lattice with wakes along its own stream, and its first strip is at its limit.
func TestStallBalanced(t *testing.T) {
	for _, a := range aircraft.Fleet() {
		c := bareSeaLevel(t)
		s := need[Stall](t)(FindStall(a, c, StallSettings{}))
		p := need[*approach](t)(newApproach(a, AlongStream, usualRows, usualStrips))
		m := need[*lattice.Model](t)(p.model(s.Alpha))
		control, _ := a.Lifting()[need[int](t)(controlOf(a.Name, a.Lifting(), ""))].PitchControl()
		r := need[lattice.Result](t)(m.Solve(lattice.State{
			Alpha: s.Alpha, Deflections: map[string]unit.Angle{control.Name: s.Deflection}, Point: lattice.Point{X: a.CG, Z: a.CGHeight},
		}))
		if lift := c.Air.DynamicPressure(s.Speed) * a.Reference.Area * r.CL; math.Abs(lift/a.Weight()-1) > 2e-3 || math.Abs(r.Cm) > 3e-3 {
			t.Errorf("%s: lift %.4f of the weight, Cm %.4f", a.Name, lift/a.Weight(), r.Cm)
		}
		most := 0.0
		for _, strip := range s.Strips {
			most = max(most, strip.Used)
		}
		if math.Abs(s.First.Used-1) > 1e-9 || most != s.First.Used || s.Margin() <= 0 || len(s.Others) != len(a.Lifting())-1 {
			t.Errorf("%s: first %+v of %v, margin %v, %d others", a.Name, s.First, most, s.Margin(), len(s.Others))
		}
		if !strings.Contains(s.Caution, "NOT FOR CG LIMITS") || !strings.Contains(strings.Join(s.Notes, " "), "nothing is predicted") {
			t.Errorf("%s: %q %q", a.Name, s.Caution, s.Notes)
		}
	}
}

// TestStallScales: speeds grow with the root of mass over density and area, whatever the units; angles and coefficients stay.
func TestStallScales(t *testing.T) {
	a := platesOf(t, "T11", 1)
	c := bareSeaLevel(t)
	one := need[Stall](t)(FindStall(a, c, StallSettings{}))
	heavy := a.Clone()
	heavy.Mass *= 2
	large := a.Clone()
	const k = 3.28
	for i, s := range large.Surfaces {
		for j := range s.Stations {
			p := &large.Surfaces[i].Stations[j]
			p.X, p.Y, p.Z, p.Chord = k*p.X, k*p.Y, k*p.Z, k*p.Chord
		}
	}
	large.CG *= k
	large.Reference = aircraft.Reference{Name: "wing", Area: k * k * a.Reference.Area, Chord: k * a.Reference.Chord, Span: k * a.Reference.Span, LeadingEdge: k * a.Reference.LeadingEdge}
	thin := c
	thin.Air.Density /= 4
	for what, got := range map[string]struct {
		Stall
		speed float64
	}{
		"heavy": {need[Stall](t)(FindStall(heavy, c, StallSettings{})), math.Sqrt2},
		"large": {need[Stall](t)(FindStall(large, c, StallSettings{})), 1 / k},
		"high":  {need[Stall](t)(FindStall(a, thin, StallSettings{})), 2},
	} {
		if math.Abs(got.Speed/one.Speed-got.speed) > 1e-6 || math.Abs(got.CL-one.CL) > 1e-6 || math.Abs(got.Alpha-one.Alpha) > 1e-7 || math.Abs(got.Deflection-one.Deflection) > 1e-7 {
			t.Errorf("%s: speed %.6f of what it was, CL %.6f, was %.6f", what, got.Speed/one.Speed, got.CL, one.CL)
		}
	}
}

// TestStallMoves: forward CG, a thrust line above the CG, and flaps that pitch the nose down cost a foreplane layout lift; thrust that points up carries weight.
func TestStallMoves(t *testing.T) {
	a := aircraft.Sedge()
	m := need[*StallModel](t)(NewStallModel(a, StallSettings{}))
	at := func(c Condition, cg float64) Stall { return need[Stall](t)(m.Stall(c, cg)) }
	c := seaLevel(t)
	for x := a.CG - 0.2; x < a.CG+0.15; x += 0.05 {
		fore, aft := at(c, x), at(c, x+0.05)
		if fore.CL >= aft.CL || fore.Speed <= aft.Speed || fore.Deflection <= aft.Deflection || fore.Margin() <= aft.Margin() {
			t.Errorf("CG %.2f: CL %.3f, then %.3f; lead %.3f, then %.3f", x, fore.CL, aft.CL, fore.Margin(), aft.Margin())
		}
	}
	power := c
	power.Thrust, power.Force = Given, 1500
	level := power
	level.Omit.ThrustLine = true
	on, off, aside := at(power, a.CG), at(c, a.CG), at(level, a.CG)
	if on.Deflection <= aside.Deflection || on.Speed <= aside.Speed || on.Speed <= off.Speed {
		t.Errorf("with a high thrust line δ %v, without %v; speed %v, without thrust %v", on.Deflection, aside.Deflection, on.Speed, off.Speed)
	}
	low := a.Clone()
	low.Plants[0].Z = a.CGHeight
	if s := need[Stall](t)(FindStall(low, power, StallSettings{})); s.Speed >= off.Speed {
		t.Errorf("thrust through the CG carries nothing: %v, without %v", s.Speed, off.Speed)
	}
	if !strings.Contains(aside.Caution, "thrust line") || strings.Contains(on.Caution, "NOT FOR") {
		t.Errorf("%q, %q", aside.Caution, on.Caution)
	}
	high := a.Clone()
	high.Plants[0].Z += 0.5
	if up := need[Stall](t)(FindStall(high, power, StallSettings{})); up.CL >= on.CL || up.First.Role != aircraft.Foreplane {
		t.Errorf("with a higher thrust line CL %.4f, was %.4f", up.CL, on.CL)
	}
	b := need[*StallModel](t)(NewStallModel(aircraft.Bracken(), StallSettings{}))
	flapped := c
	flapped.Flaps = map[string]unit.Angle{"flaps": 30 * unit.Degree}
	clean, down := need[Stall](t)(b.Stall(c, aircraft.Bracken().CG)), need[Stall](t)(b.Stall(flapped, aircraft.Bracken().CG))
	if down.CL < clean.CL+0.2 || down.CL > clean.CL+0.8 || down.Alpha >= clean.Alpha {
		t.Errorf("with flaps CL %.3f at %.3f, without %.3f at %.3f", down.CL, down.Alpha, clean.CL, clean.Alpha)
	}
}

// TestStallGround: near the ground the same lift takes less angle of attack.
func TestStallGround(t *testing.T) {
	a, c := aircraft.Bracken(), seaLevel(t)
	free := need[Stall](t)(FindStall(a, c, StallSettings{}))
	c.Height = 1.2
	near := need[Stall](t)(FindStall(a, c, StallSettings{}))
	if near.Alpha >= free.Alpha {
		t.Errorf("α %.2f° near the ground, %.2f° in free air", near.Alpha/unit.Degree, free.Alpha/unit.Degree)
	}
	m := need[*StallModel](t)(NewStallModel(a, StallSettings{}))
	f := need[*approach](t)(m.flows.over(groundRule{wheels: true}))
	wheel := need[aircraft.Wheel](t)(mainWheel(a))
	for _, alpha := range []float64{0, 0.2} { // of the datum above the point of the wheel, across the stream
		want := math.Hypot(wheel.X, wheel.Z) * math.Sin(alpha+math.Atan2(-wheel.Z, wheel.X))
		if got := f.ground(alpha); math.Abs(got-want) > 1e-12 {
			t.Errorf("height %v, want %v", got, want)
		}
	}
}

// TestStop: a control whose stop comes first ends the approach to the stall there.
func TestStop(t *testing.T) {
	a, c := aircraft.Bracken(), seaLevel(t)
	free := need[Stall](t)(FindStall(a, c, StallSettings{}))
	for i := range a.Surfaces {
		if p, ok := a.Surfaces[i].PitchControl(); ok {
			p.Min = free.Deflection + 1*unit.Degree
			a.Surfaces[i].Controls = []aircraft.Control{p}
		}
	}
	s := need[Stall](t)(FindStall(a, c, StallSettings{}))
	if !s.AtStop || free.AtStop || s.Speed <= free.Speed || s.First.Used >= 1 || math.Abs(s.Deflection-free.Deflection-1*unit.Degree) > 1e-9 {
		t.Errorf("at the stop: %v, δ %.3f°, speed %.2f, free %.2f", s.AtStop, s.Deflection/unit.Degree, s.Speed, free.Speed)
	}
	if !strings.Contains(strings.Join(s.Notes, " "), "at its stop") {
		t.Errorf("notes %q", s.Notes)
	}
	var beyond *LimitError
	if _, err := FindStall(withCG(a, a.CG-1.5), c, StallSettings{}); !errors.As(err, &beyond) {
		t.Errorf("far ahead: %v", err)
	}
}

func withCG(a aircraft.Aircraft, cg unit.Length) aircraft.Aircraft {
	a.CG = cg
	return a
}

// TestSectionLimits: limits follow the Reynolds number of the strip, the flap and the sweep.
func TestSectionLimits(t *testing.T) {
	c := limitCurve{[]float64{1e5, 1e6, 1e7}, []float64{1, 1.4, 1.5}, []float64{-0.8, -1, -1.2}}
	for re, want := range map[float64]float64{1e4: 1, 1e5: 1, math.Sqrt(1e11): 1.2, 1e6: 1.4, math.Sqrt(1e13): 1.45, 1e8: 1.5} {
		if got, _ := c.at(re); math.Abs(got-want) > 1e-12 {
			t.Errorf("at %.3g the limit is %v, want %v", re, got, want)
		}
		if c.covers(re) != (re >= 1e5 && re <= 1e7) {
			t.Errorf("covers %g: %v", re, c.covers(re))
		}
	}
	p := place{inner: c, outer: limitCurve{[]float64{1}, []float64{1.6}, []float64{-1.6}}, outward: 0.25, swept: 0.9, flaps: []flapPart{{amount: 2, gain: 0.9}}}
	most, least := p.limits(1e6, amounts(0.2, []float64{acting(aircraft.Control{}, 20*unit.Degree)}))
	if want := 0.9 * (1.45 + 0.45); math.Abs(most-want) > 1e-12 {
		t.Errorf("with a flap %v, want %v", most, want)
	}
	if want := 0.9 * (-1.15 + 0.45); math.Abs(least-want) > 1e-12 {
		t.Errorf("downwards %v, want %v", least, want)
	}
	symmetric := aircraft.Section{LiftSlope: 6, MaxLift: 1.1}
	if got := downwards(symmetric, 1.1); got != -1.1 {
		t.Errorf("without camber %v downwards", got)
	}
	cambered := aircraft.Section{LiftSlope: 6, ZeroLift: -0.07}
	if got := downwards(cambered, 1.4); math.Abs(got+0.98) > 1e-12 {
		t.Errorf("with camber %v downwards", got)
	}
}

// TestReynolds: polars make a slow small surface stall earlier.
func TestReynolds(t *testing.T) {
	polar := func(re, most float64) section.Polar {
		return need[section.Polar](t)(section.NewPolar("p", re, []section.Sample{{Alpha: -0.2, CL: -most}, {Alpha: 0.25, CL: most}}))
	}
	family := need[section.Family](t)(section.NewFamily(polar(2e5, 1), polar(4e6, 1.6)))
	s := aircraft.Section{Name: "s", LiftSlope: 6, MaxLift: 1.5, Reynolds: 4e6}
	c := need[limitCurve](t)(polarLimit(s, family))
	most, least := c.at(2e5)
	if math.Abs(most-0.9) > 1e-12 || math.Abs(least+1) > 1e-12 {
		t.Errorf("at 2e5 %v and %v: the stated limit moves the curve by −0.1", most, least)
	}
	if _, err := polarLimit(aircraft.Section{Reynolds: 1e4}, family); err == nil {
		t.Error("a Reynolds number outside the polars")
	}
}

// TestComputedLimits: sections with a designation are computed, with more lift at higher Reynolds numbers.
func TestComputedLimits(t *testing.T) {
	c := need[limitCurve](t)(limitOf(aircraft.Section{NACA: "2412", MaxLift: 1.3, LiftSlope: 6}, "wing", Computed))
	low, _ := c.at(3e5)
	high, _ := c.at(4e6)
	if low < 1.1 || high > 2 || high <= low {
		t.Errorf("cl_max %.2f at 3e5, %.2f at 4e6", low, high)
	}
	stated := need[limitCurve](t)(limitOf(aircraft.Section{NACA: "2412", MaxLift: 1.3}, "wing", Stated))
	if v, _ := stated.at(1e6); v != 1.3 {
		t.Errorf("stated %v", v)
	}
	if _, err := limitOf(aircraft.Section{NACA: "2421"}, "wing", Stated); err == nil {
		t.Error("a section too thick to compute")
	}
}

// TestFlapGain: 0.9 at 60° for a quarter of the chord, half of it at 20°, less for less chord, nothing more beyond.
func TestFlapGain(t *testing.T) {
	gain := need[float64](t)(flapGain(0.25))
	for angle, want := range map[float64]float64{0: 0, 20: 0.45, 60: 0.9, 75: 0.9, -20: -0.45, -90: -0.9} {
		if got := gained(gain, angle*unit.Degree); math.Abs(got-want) > 1e-9 {
			t.Errorf("at %v° %v, want %v", angle, got, want)
		}
	}
	if small := need[float64](t)(flapGain(0.1)); small >= gain || small < 0.4*gain {
		t.Errorf("a tenth of the chord gives %v", small)
	}
}

// TestSwept: limits across the sweep are lower, those of an unswept surface stay.
func TestSwept(t *testing.T) {
	a, c := platesOf(t, "T11", 1), bareSeaLevel(t)
	plain, swept := need[Stall](t)(FindStall(a, c, StallSettings{})), need[Stall](t)(FindStall(a, c, StallSettings{Swept: true}))
	if notes := strings.Join(plain.Notes, " "); !strings.Contains(notes, "limits of the wing") || strings.Contains(notes, "limits of the foreplane") || strings.Contains(strings.Join(swept.Notes, " "), "sweep") {
		t.Errorf("notes %q, %q", plain.Notes, swept.Notes)
	}
	wing, fore := a.Surfaces[0], a.Surfaces[1]
	for i, s := range swept.Strips {
		surface := wing
		if s.Surface == fore.Name {
			surface = fore
		}
		cos := math.Cos(surface.SweepAt(0.25))
		if got := s.Limit / plain.Strips[i].Limit; math.Abs(got-cos*cos) > 1e-6 {
			t.Errorf("%s: limit %.4f of the plain one, want %.4f", s.Surface, got, cos*cos)
		}
	}
}

// TestDirt: dirt on the foreplane raises stall speed; with a lower slope it also takes more deflection, and the wing never comes nearer to its limit.
func TestDirt(t *testing.T) {
	a, c := aircraft.Sedge(), seaLevel(t)
	lost := need[DirtEffect](t)(FindDirtEffect(a, c, StallSettings{}, Dirt{Surface: "foreplane", MaxLift: 0.8}))
	both := need[DirtEffect](t)(FindDirtEffect(a, c, StallSettings{}, Dirt{Surface: "foreplane", MaxLift: 0.8, LiftSlope: 0.85}))
	if lost.SpeedRise() < 3*unit.Knot || lost.DirtyTrim.Deflection != lost.CleanTrim.Deflection || lost.DirtyTrim.Used <= lost.CleanTrim.Used {
		t.Errorf("less lift: stall speed +%.2f m/s, δ %.4f, was %.4f", lost.SpeedRise(), lost.DirtyTrim.Deflection, lost.CleanTrim.Deflection)
	}
	if math.Abs(lost.Speed-1.3*lost.Clean.Speed) > 1e-9 || math.Abs(lost.Dirty.First.Limit-0.8*lost.Clean.First.Limit) > 1e-9 {
		t.Errorf("compared at %v, limit %v, was %v", lost.Speed, lost.Dirty.First.Limit, lost.Clean.First.Limit)
	}
	// The lift is that of trim, so the whole surface is turned by what its slope has lost.
	fore := 0.0
	for _, s := range both.Dirty.Strips {
		if s.Surface == "foreplane" {
			fore = max(fore, s.CL)
		}
	}
	turn := both.DirtyTrim.Deflection - both.CleanTrim.Deflection
	mean := fore * math.Pow(both.Dirty.Speed/both.Speed, 2) // of the fullest strip, at the speed of comparison
	if want := (1/0.85 - 1) * mean / (2 * math.Pi); turn < 0.85*want || turn > 1.05*want {
		t.Errorf("less slope turns by %.3f°, want nearly %.3f°", turn/unit.Degree, want/unit.Degree)
	}
	if math.Abs(both.Dirty.CL/lost.Dirty.CL-1) > 0.01 {
		t.Errorf("CLmax %.4f with less slope, %.4f without", both.Dirty.CL, lost.Dirty.CL)
	}
	c.Speed = 20
	if _, err := FindDirtEffect(a, c, StallSettings{}, Dirt{Surface: "foreplane", MaxLift: 0.8}); err == nil || !strings.Contains(err.Error(), "has stalled") {
		t.Errorf("below the stall: %v", err)
	}
}

func TestStallErrors(t *testing.T) {
	a, c := aircraft.Sedge(), seaLevel(t)
	nameless := a.Clone()
	for i := range nameless.Surfaces[0].Stations {
		s := &nameless.Surfaces[0].Stations[i].Section
		s.NACA, s.MaxLift = "", 0
	}
	var missing *SectionDataError
	if _, err := FindStall(nameless, c, StallSettings{}); !errors.As(err, &missing) || missing.Surface != "wing" {
		t.Errorf("no greatest lift: %v", err)
	}
	for want, s := range map[string]StallSettings{
		`no lifting surface called "canard"`: {Factor: map[string]float64{"canard": 1}},
		`no lifting surface called "tail"`:   {Dirt: Dirt{Surface: "tail", MaxLift: 0.5}},
		"factor of the limits of the wing":   {Factor: map[string]float64{"wing": math.NaN()}},
		"greatest lift that dirt leaves":     {Dirt: Dirt{Surface: "wing", MaxLift: 1.5}},
		"lift slope that dirt leaves":        {Dirt: Dirt{Surface: "wing", MaxLift: 0.5, LiftSlope: 0.1}},
		`the wake is "up"`:                   {Wake: "up"},
	} {
		if _, err := FindStall(a, c, s); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("error %v, want %q", err, want)
		}
	}
	m := need[*StallModel](t)(NewStallModel(a, StallSettings{Rows: 2, Strips: 8}))
	for want, change := range map[string]func(*Condition){
		"air density":        func(c *Condition) { c.Air.Density = 0 },
		"viscosity":          func(c *Condition) { c.Air.Viscosity = math.NaN() },
		"height":             func(c *Condition) { c.Height = -1 },
		"flaps":              func(c *Condition) { c.Flaps = map[string]float64{"flaps": 0.1} },
		"the kind of thrust": func(c *Condition) { c.Force = 100 },
		"no control":         func(c *Condition) { c.Control = "elevons" },
	} {
		changed := c
		change(&changed)
		if _, err := m.Stall(changed, a.CG); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("error %v, want %q", err, want)
		}
	}
	if _, err := m.Stall(c, math.NaN()); err == nil {
		t.Error("a CG that is not a number")
	}
	if _, err := m.SlowTrim(c, a.CG, 10); err == nil || !strings.Contains(err.Error(), "is not carried") {
		t.Errorf("too slow: %v", err)
	}
}
