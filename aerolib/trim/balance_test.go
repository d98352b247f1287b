package trim

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"text/tabwriter"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/drag"
	"foreplane/aerolib/internal/reference"
	"foreplane/aerolib/unit"
)

// coarse is a mesh for what does not depend on the mesh.
var coarse = Mesh{Rows: 2, Strips: 8}

func close(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s is %.9g, must be %.9g ± %.2g", what, got, want, within)
	}
}

// level returns level flight at sea level, at a speed in knots.
func level(t *testing.T, V float64) Condition {
	t.Helper()
	return need[Condition](t)(At(0, V*unit.Knot))
}

// both trims by both methods.
func both(t *testing.T, a aircraft.Aircraft, c Condition) [2]Result {
	t.Helper()
	return [2]Result{need[Result](t)(Solve(a, c)), need[Result](t)(SolveLattice(a, c, coarse))}
}

// conditions are states that have all terms between them.
func conditions(t *testing.T) map[string]Condition {
	pull, turn, ground, given, off := level(t, 90), level(t, 90), level(t, 70), level(t, 80), level(t, 75)
	pull.Manoeuvre, pull.LoadFactor = PullUp, 1.7
	turn.Manoeuvre, turn.LoadFactor = Turn, 1.5
	ground.Height = 1.5
	given.Thrust, given.Force = Given, 1400
	off.Thrust = Off
	return map[string]Condition{"level": level(t, 100), "pull-up": pull, "turn": turn, "ground": ground, "given": given, "off": off}
}

// TestBalance adds up forces and moments about a point far from the CG, in all conditions and by both methods.
func TestBalance(t *testing.T) {
	for _, a := range aircraft.Fleet() {
		for name, c := range conditions(t) {
			for _, r := range both(t, a, c) {
				lift, moment, share, cl := 0.0, 0.0, 0.0, 0.0
				const x unit.Length = -7
				for _, l := range slices.Concat(r.Loads, r.Others) {
					lift += l.Lift
					moment += l.Moment + l.Lift*(x-r.CG)
					share += l.Share
					cl += l.CLShare
				}
				want := r.LoadFactor * r.Weight
				what := a.Name + ", " + name + ", " + r.Method + ": "
				close(t, what+"lift", lift, want, 1e-9*want)
				close(t, what+"moment about a far point", moment, want*(x-r.CG), 1e-8*want)
				close(t, what+"shares", share, 1, 1e-9)
				close(t, what+"coefficients", cl, r.CL, 1e-9)
				close(t, what+"thrust residual", r.ThrustResidual, 0, 1e-8*want)
				close(t, what+"force residual", r.ForceResidual, 0, 1e-9*want)
				close(t, what+"moment residual", r.MomentResidual, 0, 1e-9*want)
				CL, Cm := r.Model.At(r.Alpha, r.Deflection)
				close(t, what+"CL of the model", CL, r.CL, 1e-9)
				close(t, what+"Cm of the model", Cm, 0, 1e-9)
				sum := Neutral{}
				for _, term := range r.Neutral.Terms {
					sum.CLAlpha += term.CLAlpha
					sum.X += term.Shift
					sum.StaticMargin += term.Margin
				}
				close(t, what+"CLα of the parts", sum.CLAlpha, r.Model.CLAlpha, 1e-7)
				close(t, what+"neutral point of the parts", r.CG+sum.X, r.Neutral.X, 1e-9)
				close(t, what+"static margin of the parts", sum.StaticMargin, r.Neutral.StaticMargin, 1e-12)
				close(t, what+"total drag", r.Drag.Total, r.Drag.Parasite+r.Drag.Profile+r.Drag.Induced, 1e-12)
			}
		}
	}
}

// TestLevelPullUp: a pull-up and a turn with n = 1 are level flight, and CL in place of speed is the same state.
func TestLevelPullUp(t *testing.T) {
	for _, a := range []aircraft.Aircraft{aircraft.Sedge(), aircraft.Teasel()} {
		straight := both(t, a, level(t, 90))
		for _, m := range []Manoeuvre{PullUp, Turn} {
			c := level(t, 90)
			c.Manoeuvre, c.LoadFactor = m, 1
			for i, r := range both(t, a, c) {
				close(t, "α", r.Alpha, straight[i].Alpha, 1e-12)
				close(t, "δ", r.Deflection, straight[i].Deflection, 1e-12)
				close(t, "pitch rate", r.PitchRate, 0, 0)
			}
		}
		c := level(t, 0)
		c.CL = straight[0].CL
		for i, r := range both(t, a, c) {
			close(t, "speed", r.Condition.Speed, 90*unit.Knot, 1e-9)
			close(t, "δ at CL", r.Deflection, straight[i].Deflection, 1e-9)
		}
	}
}

// TestPitchRate: q is g(n−1)/V in a pull-up and g(n−1/n)/V in a turn.
func TestPitchRate(t *testing.T) {
	c := level(t, 100)
	V := c.Speed
	for m, want := range map[Manoeuvre]float64{PullUp: 9.80665 / V, Turn: 9.80665 * 1.5 / V} {
		c.Manoeuvre, c.LoadFactor = m, 2
		r := need[Result](t)(Solve(aircraft.Sedge(), c))
		close(t, m.String(), r.PitchRate, want, 1e-12)
		close(t, "CL", r.CL, 2*need[Result](t)(Solve(aircraft.Sedge(), level(t, 100))).CL, 1e-12)
	}
}

// TestPull holds deflection per g against two pull-ups at the same thrust, and the manoeuvre point to be there where that vanishes, whatever the CG.
func TestPull(t *testing.T) {
	for _, a := range aircraft.Fleet() {
		c := level(t, 100)
		c.Thrust, c.Force = Given, 900
		for i := range 2 {
			solve := func(a aircraft.Aircraft, n float64) Result {
				d := c
				d.Manoeuvre, d.LoadFactor = PullUp, n
				return both(t, a, d)[i]
			}
			r := solve(a, 1)
			slope := (solve(a, 1.05).Deflection - solve(a, 0.95).Deflection) / 0.1
			close(t, a.Name+" "+r.Method+": δ per g", r.Pull.PerG, slope, 2e-3*math.Abs(slope))
			moved := a
			moved.CG += 0.2
			m := solve(moved, 1) // it trims at other angles, whose cosines differ
			close(t, a.Name+": manoeuvre point with another CG", m.Pull.Point, r.Pull.Point, 8e-3)
			close(t, a.Name+": neutral point with another CG", m.Neutral.X, r.Neutral.X, 8e-3)
			if r.Pull.Point <= r.Model.NeutralPoint() || r.Model.CmQ >= 0 || r.Model.CLQ <= 0 {
				t.Errorf("%s: manoeuvre point %.3f, neutral point %.3f, Cmq %.2f, CLq %.2f", a.Name, r.Pull.Point, r.Model.NeutralPoint(), r.Model.CmQ, r.Model.CLQ)
			}
			close(t, a.Name+": margin", r.Pull.Margin, (r.Pull.Point-r.CG)/r.Reference.Chord, 1e-12)
			close(t, a.Name+": μ", r.Pull.Mass, 2*a.Mass/(c.Air.Density*r.Reference.Area*r.Reference.Chord), 1e-9)
		}
	}
}

// TestAbout moves the CG of the linear model, and finds the same as from an aeroplane with that CG in the same state.
func TestAbout(t *testing.T) {
	for _, a := range aircraft.Fleet() {
		c := level(t, 100)
		c.Thrust, c.Omit.Propellers, c.CL = Off, true, 0
		s := state{0.05, 0.02, 0}
		d := need[Derivatives](t)(need[*balance](t)(closedBalance(a, c)).model(s, 0))
		a.CG += 0.2
		m := need[Derivatives](t)(need[*balance](t)(closedBalance(a, c)).model(s, 0))
		moved := d.About(a.CG)
		for name, pair := range map[string][2]float64{
			"CL0": {moved.CL0, m.CL0}, "CLα": {moved.CLAlpha, m.CLAlpha}, "CLδ": {moved.CLDelta, m.CLDelta}, "CLq": {moved.CLQ, m.CLQ},
			"Cm0": {moved.Cm0, m.Cm0}, "Cmα": {moved.CmAlpha, m.CmAlpha}, "Cmδ": {moved.CmDelta, m.CmDelta}, "Cmq": {moved.CmQ, m.CmQ}, "CG": {moved.CG, m.CG},
		} {
			close(t, a.Name+": "+name+" about another CG", pair[0], pair[1], 1e-8)
		}
		close(t, a.Name+": manoeuvre point", moved.Manoeuvre(a.Mass, 1.2, 0.5).Point, d.Manoeuvre(a.Mass, 1.2, 0.5).Point, 1e-9)
	}
}

// TestNeutralPointWithoutThrust: by the model, which is exactly linear in the closed form, it does not depend on the CG at all.
func TestNeutralPointWithoutThrust(t *testing.T) {
	for _, a := range aircraft.Fleet() {
		c := level(t, 100)
		c.Thrust, c.Omit.Propellers = Off, true
		moved := a
		moved.CG, moved.CGHeight = a.CG+0.3, a.CGHeight-0.2
		n, m := need[Result](t)(Solve(a, c)).Neutral, need[Result](t)(Solve(moved, c)).Neutral
		close(t, a.Name+": neutral point", m.X, n.X, 1e-9)
	}
}

// TestPartsOfTheNeutralPoint holds the signs that a practitioner expects: bodies and tractor propellers move it forward, a thrust line above the CG aft, below forward.
func TestPartsOfTheNeutralPoint(t *testing.T) {
	for _, a := range aircraft.Fleet() {
		for _, r := range both(t, a, level(t, 90)) {
			shift := map[string]float64{}
			for _, term := range r.Neutral.Terms {
				shift[term.Name] = term.Margin
			}
			if s := shift["body"]; !(-0.15 < s && s < -0.03) {
				t.Errorf("%s, %s: the body shifts by %.3f", a.Name, r.Method, s)
			}
			p := a.Plants[0]
			if s := shift["propeller"]; p.Pusher == (s < -0.003) {
				t.Errorf("%s, %s: the propeller shifts by %.3f", a.Name, r.Method, s)
			}
			if arm := p.ThrustArm(a.CG, a.CGHeight); shift["thrust line"]*arm >= 0 {
				t.Errorf("%s, %s: the thrust line passes %.2f m below and shifts by %.3f", a.Name, r.Method, arm, shift["thrust line"])
			}
			if len(r.Neutral.Missing) != 0 || r.Caution != Caution {
				t.Errorf("%s lacks %v: %s", a.Name, r.Neutral.Missing, r.Caution)
			}
		}
	}
}

// TestThrustLine: Cm_T is thrust times its arm, and dCm/dCL at constant power is 3/2 of it over CL; a thrust line through the CG does nothing.
func TestThrustLine(t *testing.T) {
	a := aircraft.Bracken()
	a.Plants[0].Z, a.Plants[0].Tilt = a.CGHeight-0.3, 0
	c := level(t, 100)
	c.Thrust, c.Force, c.Omit.Propellers = Given, 1000, true
	r := need[Result](t)(Solve(a, c))
	line, thrust := r.Neutral.Terms[len(r.Neutral.Terms)-1], r.Others[len(r.Others)-1]
	close(t, "moment", thrust.Moment, 300, 1e-9)
	close(t, "lift", thrust.Lift, 1000*math.Sin(r.Alpha), 1e-9)
	cmT := 300 / (r.DynamicPressure * r.Reference.Area * r.Reference.Chord)
	close(t, "Cmα of the thrust line", line.CmAlpha, 1.5*cmT/r.CL*r.Neutral.CLAlpha, 1e-9)
	c.Omit.ThrustLine = true
	through := need[Result](t)(Solve(a, c))
	if through.Deflection == r.Deflection || len(through.Others) != 1 || !strings.Contains(through.Caution, "NOT FOR CG LIMITS: the neutral point leaves out propeller and thrust line") {
		t.Errorf("without: δ %v, others %v, %s", through.Deflection, through.Others, through.Caution)
	}
}

// TestPropeller: the normal force is its slope times the angle of the shaft in the wash there, with what the pitch rate makes of it.
func TestPropeller(t *testing.T) {
	a := aircraft.Bracken()
	a.Plants[0].Tilt = 2 * unit.Degree
	c := level(t, 90)
	c.Manoeuvre, c.LoadFactor = PullUp, 2
	b := need[*balance](t)(closedBalance(a, c))
	r := need[Result](t)(b.solve(closedResult))
	p := b.plants[0]
	wash := b.flow.discWash(b.found)[0]
	n := r.DynamicPressure * p.slope * (r.Alpha + p.Tilt - wash + r.PitchRate/c.Speed*(p.X-a.CG))
	var load Load
	for _, l := range r.Others {
		if l.Name == "propeller" {
			load = l
		}
	}
	close(t, "lift of the propeller", load.Lift, n*math.Cos(r.Alpha+p.Tilt), 1e-9)
	arm := (a.CG-p.X)*math.Cos(p.Tilt) + (p.Z-a.CGHeight)*math.Sin(p.Tilt)
	close(t, "moment of the propeller", load.Moment, n*arm, 1e-9)
	close(t, "force along the path", r.Thrust*math.Cos(r.Alpha+p.Tilt)-n*math.Sin(r.Alpha+p.Tilt), r.Drag.Force, 1e-6)
	if p.slope <= 0 || wash >= 0 {
		t.Errorf("slope %v, wash %v ahead of the wing", p.slope, wash)
	}
	twin := aircraft.Bracken()
	half := twin.Plants[0]
	half.Name, half.Y, half.Diameter, half.Power = "left", -1.2, 1.2, 40e3
	other := half
	other.Name, other.Y = "right", 1.2
	twin.Plants = []aircraft.Plant{half, other}
	r = need[Result](t)(Solve(twin, level(t, 90)))
	if l, m := r.Others[1], r.Others[2]; l.Name != "propeller of the left" || math.Abs(l.Lift-m.Lift) > 1e-9 || math.Abs(l.Moment-m.Moment) > 1e-9 {
		t.Errorf("twins differ: %+v %+v", l, m)
	}
}

// TestMunk holds the apparent masses of spheroids against the table of Munk (NACA TR 184, recalled, three figures), and the moment of one against its volume.
func TestMunk(t *testing.T) {
	for fineness, want := range map[float64]float64{1.5: 0.316, 2: 0.493, 3: 0.681, 4: 0.778, 6: 0.873, 10: 0.939} {
		close(t, fmt.Sprintf("k₂ − k₁ at %g", fineness), need[float64](t)(MunkFactor(fineness)), want, 3e-3)
	}
	body := spheroid(5.5, 1.15, 0)
	close(t, "moment of a spheroid", need[float64](t)(MunkMoment(body)), 2*need[float64](t)(MunkFactor(5.5/1.15))*math.Pi/6*1.15*1.15*5.5, 0.01*6)
	for _, bad := range []float64{1, 0, math.NaN()} {
		if _, err := MunkFactor(bad); err == nil {
			t.Errorf("fineness %v passed", bad)
		}
	}
}

// spheroid returns a body of revolution with its nose at x.
func spheroid(length, width, nose unit.Length) aircraft.Body {
	b := aircraft.Body{Name: "body"}
	const n = 40
	for i := range n + 1 {
		x := length * (1 - math.Cos(math.Pi*float64(i)/n)) / 2
		d := width * math.Sqrt(max(0, 1-math.Pow(2*x/length-1, 2)))
		b.Stations = append(b.Stations, aircraft.BodyStation{X: nose + x, Z: 0.1, Width: d, Height: d})
	}
	return b
}

// TestBodyOfT10: a body of 5.5 m by 1.15 m on the aeroplane of case T10 moves the neutral point forward by about 0.13 of the chord in a stream that nothing bends (own
// estimate); the straightened flow along the root chord takes more than half of that off again, the upwash ahead of the wing adds to it.
func TestBodyOfT10(t *testing.T) {
	a := caseAircraft(t, "T10", "foreplane")
	body := spheroid(5.5, 1.15, 0.1)
	free := need[float64](t)(MunkMoment(body)) / (a.Reference.Area * a.Reference.Chord * 5.081)
	close(t, "shift in a free stream", free, 0.13, 0.005)
	a.Bodies = []aircraft.Body{body}
	n := need[Neutral](t)(NeutralPoint(a, 0))
	if s := -n.Terms[3].Margin; n.Terms[3].Name != "body" || !(0.04 < s && s < free) {
		t.Errorf("%s shifts by %.3f", n.Terms[3].Name, s)
	}
	t.Logf("free stream %.4f, with wash and root chord %.4f", free, -n.Terms[3].Margin)
}

// TestBodyMoment integrates the moment of a body anew by brute force, from the wash of each surface.
func TestBodyMoment(t *testing.T) {
	a := aircraft.Sedge()
	c := need[*balance](t)(closedBalance(a, level(t, 90))).flow.(*closedForm)
	s := state{0.06, 0.03, 0.002}
	lift, body := c.at(s).lift, a.Bodies[0]
	k := need[float64](t)(MunkFactor(body.Fineness()))
	const steps = 20000
	h, sum := body.Length()/steps, 0.0
	for i := range steps {
		x := body.Stations[0].X + (float64(i)+0.5)*h
		if x > 3.20 && x < 4.60 || x > 0.40 && x < 0.95 { // root chords of wing and foreplane
			continue
		}
		beta := s.alpha - (body.At(x+h/2).Z-body.At(x-h/2).Z)/h + s.rate*(x-a.CG)
		if i == 0 || i == steps-1 {
			beta = s.alpha
		}
		for j := range lift {
			beta -= need[float64](t)(c.washAt(j, x, 0, body.At(x).Z)) * lift[j]
		}
		w := body.At(x).Width
		sum += k * math.Pi / 2 * w * w * beta * h
	}
	close(t, "moment of the body", c.bodyMoments(s)[0], sum, 2e-4)
	if c.fixed.lift[0] == 0 || c.bodies[0].alpha <= 0 {
		t.Error("no lift or no moment")
	}
}

// TestStick: slower takes the stick aft on all four, and aft is what raises the nose.
func TestStick(t *testing.T) {
	for _, a := range aircraft.Fleet() {
		c := need[Curve](t)(CurveOf(a, level(t, 0), []float64{70 * unit.Knot, 120 * unit.Knot, 90 * unit.Knot}))
		if !c.Aft || !strings.Contains(c.Meaning(), "stick aft") || len(c.Results) != 3 {
			t.Errorf("%s: %s", a.Name, c.Meaning())
		}
		close(t, "EAS", c.Results[2].Equivalent, 90*unit.Knot, 1e-9)
		a.CG = c.Results[0].Neutral.X + 0.3
		back := need[Curve](t)(CurveOf(a, level(t, 0), []float64{100 * unit.Knot, 120 * unit.Knot}))
		if back.Aft || !strings.Contains(back.Meaning(), "against what a pilot expects") || back.Results[0].Stable {
			t.Errorf("%s behind its neutral point: %s", a.Name, back.Meaning())
		}
		if notes := strings.Join(back.Results[0].Notes, " "); !strings.Contains(notes, "Unstable") {
			t.Errorf("%s: notes %q", a.Name, notes)
		}
	}
	for _, c := range []struct {
		deflection, moment float64
		want               Stick
	}{{0.1, 2, StickAft}, {-0.1, -2, StickAft}, {0.1, -2, StickForward}, {0, 2, StickCentral}} {
		if got := stickOf(c.deflection, c.moment); got != c.want {
			t.Errorf("δ %v with Cmδ %v: stick %s", c.deflection, c.moment, got)
		}
	}
}

// TestGround: near the ground the wing lifts more, induced drag falls, and the elevator of Bracken must push down more, whose downwash has gone; the closed form has
// Wieselsberger's drag of a single wing.
func TestGround(t *testing.T) {
	a := aircraft.Bracken()
	free, near := level(t, 65), level(t, 65)
	near.Height = 1
	high := level(t, 65)
	high.Height = 500
	f, n, h := both(t, a, free), both(t, a, near), both(t, a, high)
	for i := range 2 {
		if !(n[i].Alpha < f[i].Alpha && n[i].Drag.Induced < 0.8*f[i].Drag.Induced && n[i].Deflection < f[i].Deflection && n[i].Loads[1].Downwash < f[i].Loads[1].Downwash) {
			t.Errorf("%s: near α %.4f δ %.4f CDi %.4f ε %.4f, free α %.4f δ %.4f CDi %.4f ε %.4f", n[i].Method, n[i].Alpha, n[i].Deflection, n[i].Drag.Induced, n[i].Loads[1].Downwash,
				f[i].Alpha, f[i].Deflection, f[i].Drag.Induced, f[i].Loads[1].Downwash)
		}
		close(t, "δ high above the ground", h[i].Deflection, f[i].Deflection, 2e-5)
	}
	alone := surfacesOnly(caseAircraft(t, "T13", ""))
	fl := flight{Condition: Condition{Height: 1}}
	c := need[*closedForm](t)(newClosedForm(alone, fl, -1))
	d := need[*closedForm](t)(newClosedForm(alone, flight{}, -1))
	ratio := c.induced([]float64{0.5, 0}).CD / d.induced([]float64{0.5, 0}).CD
	close(t, "induced drag at h/b 0.1", ratio, 0.516, 0.002) // 1 − σ of the exact image (case M13, note)
	far := aircraft.Trapezoid{Name: "far", Role: aircraft.Wing, Span: 10, RootChord: 1, TipChord: 1, Section: aircraft.Section{LiftSlope: 2 * math.Pi}}.Surface()
	if w := need[wash](t)(washOn(far, far, 0, 1)); w.mean >= 0 || need[wash](t)(washOn(far, far, 0, 0)).mean != 0 {
		t.Errorf("a wing near the ground sees %+v of its own image", w)
	}
}

// TestImages: the image of a wing has the opposite lift and stands twice the height below it, for surfaces and for points.
func TestImages(t *testing.T) {
	s := aircraft.Trapezoid{Name: "wing", Role: aircraft.Wing, Span: 10, RootChord: 1.2, TipChord: 0.8, X: 3, Z: 0.4, Section: aircraft.Section{LiftSlope: 2 * math.Pi}}.Surface()
	close(t, "wash of the own image", need[wash](t)(washOn(s, s, 0, 1.1)).mean, -farWashOn(s, s, 3, 0.5).mean, 1e-12)
	far := 2 / (math.Pi * s.AspectRatio())
	at := func(behind, above, height float64) float64 {
		c := &closedForm{surfaces: []aircraft.Surface{s}, height: height}
		return need[float64](t)(c.washAt(0, 3.3+behind, 0, 0.4+above))
	}
	part := func(behind, gap float64) float64 {
		f := need[float64](t)(DistanceFactor(behind / 5))
		return far * (1 - gap/math.Hypot(5, gap)) * (0.5 + (f-0.5)*behind*behind/(behind*behind+gap*gap))
	}
	close(t, "wash behind", at(2, 0.3, 0), part(2, 0.3), 1e-12)
	close(t, "upwash ahead", at(-1, 0.3, 0), part(-1, 0.3), 1e-12)
	close(t, "with the ground", at(2, 0.3, 1.1), part(2, 0.3)-part(2, 3.3), 1e-12)
	if at(-1, 0.3, 0) >= 0 || at(0, 0.3, 0) <= 0 {
		t.Error("no upwash ahead, or no downwash above the vortex")
	}
}

// TestDamping: a rectangular wing has −π/8 of its area and squared chord, and sweep adds the twist that a pitch rate gives it; the lattice of such a wing has about the same
// moment about three quarters of its chord.
func TestDamping(t *testing.T) {
	flat := aircraft.Trapezoid{Name: "wing", Role: aircraft.Wing, Span: 20, RootChord: 1, TipChord: 1, Section: aircraft.Section{LiftSlope: 2 * math.Pi}}
	e := need[element](t)(newElement(flat.Surface(), 0))
	close(t, "damping", e.damping, -20*math.Pi/8, 1e-12)
	close(t, "three quarters", e.aft, 0.75, 1e-12)
	flat.Sweep = 30 * unit.Degree
	swept := flat.Surface()
	x := 10 * math.Tan(flat.Sweep)
	close(t, "damping with sweep", need[element](t)(newElement(swept, 0)).damping, -20*(math.Pi/8+unevenSlope(swept, 0)*x*x/12), 1e-9)
}

// TestFlapsSet: flaps of Bracken let it fly at less α and ask for more nose-up tailplane; the elevators set by hand are those of the trim.
func TestFlapsSet(t *testing.T) {
	clean, set := level(t, 70), level(t, 70)
	set.Flaps = map[string]unit.Angle{"flaps": 20 * unit.Degree}
	a, b := both(t, aircraft.Bracken(), clean), both(t, aircraft.Bracken(), set)
	for i := range 2 {
		if !(b[i].Alpha < a[i].Alpha-0.04) {
			t.Errorf("%s: α %.3f with flaps, %.3f without", a[i].Method, b[i].Alpha, a[i].Alpha)
		}
	}
	s := aircraft.Bracken().Surfaces[0]
	turn, moment, _ := s.Effect(s.Controls[0])
	angle, couple, err := flapped(s, set.Flaps)
	close(t, "angle", angle, turn*20*unit.Degree, 1e-12)
	close(t, "couple", couple, moment*20*unit.Degree*s.Area()*s.MeanChord(), 1e-12)
	flow := func(c Condition) *closedForm {
		return need[*balance](t)(closedBalance(aircraft.Bracken(), c)).flow.(*closedForm)
	}
	plain, down := flow(clean), flow(set)
	close(t, "couple in the balance", down.fixed.own[0]-plain.fixed.own[0], couple, 1e-12)
	close(t, "angle in the balance", down.fixed.angles[0]-plain.fixed.angles[0], angle, 1e-12)
	if err != nil || couple >= 0 || angle <= 0 {
		t.Errorf("angle %v, couple %v, %v", angle, couple, err)
	}
}

// caseAircraft returns the bare aeroplane of a lattice case, with a mass of a light one.
func caseAircraft(t *testing.T, id, moves string) aircraft.Aircraft {
	t.Helper()
	file := reference.Load(t, id)
	in := file.Read(t)
	a := aircraft.Aircraft{Name: id, Mass: 700}
	names := map[string][2]string{"T10": {"wing", "foreplane"}, "T12": {"rear", "front"}, "T13": {"wing", "tailplane"}}[id]
	roles := map[string]aircraft.Role{"foreplane": aircraft.Foreplane, "front": aircraft.Foreplane, "tailplane": aircraft.Tailplane}
	for _, name := range names {
		role, ok := roles[name]
		if !ok {
			role = aircraft.Wing
		}
		s := bare(in, name, role, name == moves)
		for i := range s.Stations {
			s.Stations[i].Section.Name = "plate"
		}
		for i := range s.Controls {
			s.Controls[i].Name = "pitch"
		}
		a.Surfaces = append(a.Surfaces, s)
	}
	a.Reference = aircraft.Reference{Name: "case", Area: in.Get("Sref"), Chord: in.Get("cref"), Span: a.Surfaces[0].Span(), LeadingEdge: a.Surfaces[0].LeadingEdge()}
	var given bool
	if a.CG, given = in.All()["xcg"]; !given {
		a.CG = file.Want(t, "x_np").Value - in.Get("SM")*a.Reference.Chord
	}
	return a
}

// TestLatticeCases trims the aeroplanes of the lattice cases. The cases are linear throughout, so their slopes are held near no lift; in trim the stream has its direction
// here, which at 7° changes α and δ by 0.1°. The mesh is coarser than theirs.
func TestLatticeCases(t *testing.T) {
	for _, c := range []struct{ id, moves, delta, share string }{
		{"T10", "foreplane", "delta_c", "CL_canard_on_Sref"}, {"T12", "front", "delta_f", ""}, {"T13", "tailplane", "delta_t", "CL_tail_on_Sref"},
	} {
		file := reference.Load(t, c.id)
		a := caseAircraft(t, c.id, c.moves)
		flight := level(t, 0)
		flight.CL, flight.Omit, flight.Thrust = file.Read(t).Get("CL"), Bare, Off
		r := need[Result](t)(SolveLattice(a, flight, Mesh{Incompressible: true}))
		check := func(name string, got, within float64) {
			want := file.Want(t, name).Value
			t.Logf("%s %-18s %9.5f, case %9.5f", c.id, name, got, want)
			close(t, c.id+" "+name, got, want, within)
		}
		flight.CL, a.Mass = 0.01, 10
		flat := need[Result](t)(SolveLattice(a, flight, Mesh{Incompressible: true}))
		check("x_np", flat.Model.NeutralPoint(), 0.008)
		check("CL_alpha", flat.Model.CLAlpha, 0.006*flat.Model.CLAlpha)
		check("alpha", r.Alpha, 0.1*unit.Degree)
		check(c.delta, r.Deflection, 0.15*unit.Degree)
		check("CDi", r.Drag.Induced, 0.02*r.Drag.Induced)
		if c.share != "" {
			check(c.share, r.Loads[1].CLShare, 0.0025)
		}
	}
}

// TestGaps keeps the gap between the methods for the four aeroplanes.
func TestGaps(t *testing.T) {
	var b strings.Builder
	w := tabwriter.NewWriter(&b, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintln(w, "aeroplane\tV\tα\tδ\tshare of what trims\tneutral point\tmanoeuvre point\tCLα\tCmq\tCDi\tcl/cl_max of the front\t")
	fmt.Fprintln(w, "\tkt\t°\t°\t%\t% MAC\t% MAC\t%\t%\t%\t\t")
	for _, a := range aircraft.Fleet() {
		for _, V := range []float64{70, 110} {
			c := need[Methods](t)(SideBySide(a, level(t, V), Mesh{}))
			p, q := c.Closed, c.Lattice
			more := func(x, y float64) float64 { return 100 * (y/x - 1) }
			front := func(r Result) float64 {
				return r.Loads[slices.IndexFunc(r.Loads, func(l Load) bool { return l.Role != aircraft.Wing })].Critical.Used
			}
			fmt.Fprintf(w, "%s\t%.0f\t%.1f\t%.1f\t%.1f\t%.1f\t%.1f\t%.0f\t%.0f\t%.0f\t%.2f\t\n", a.Name, V, (q.Alpha-p.Alpha)/unit.Degree, (q.Deflection-p.Deflection)/unit.Degree,
				100*(outcomeOf(q).Share-outcomeOf(p).Share), 100*(q.Neutral.Fraction-p.Neutral.Fraction), 100*(q.Pull.Fraction-p.Pull.Fraction),
				more(p.Model.CLAlpha, q.Model.CLAlpha), more(p.Model.CmQ, q.Model.CmQ), more(p.Drag.Induced, q.Drag.Induced), front(q)-front(p))
		}
	}
	w.Flush()
	golden(t, "gap-fleet.txt", b.String())
}

// TestExplained: the causes sum to the difference, and one that is the same in both methods explains nothing.
func TestExplained(t *testing.T) {
	for _, a := range aircraft.Fleet() {
		k := need[Methods](t)(SideBySide(a, level(t, 90), coarse))
		sum := k.Sum()
		close(t, "α", sum.Alpha, k.Lattice.Alpha-k.Closed.Alpha, 1e-9)
		close(t, "δ", sum.Deflection, k.Lattice.Deflection-k.Closed.Deflection, 1e-9)
		close(t, "neutral point", sum.Neutral, k.Lattice.Model.NeutralPoint()-k.Closed.Model.NeutralPoint(), 1e-8)
		close(t, "share", sum.Share, outcomeOf(k.Lattice).Share-outcomeOf(k.Closed).Share, 1e-9)
		if len(k.Terms) != 4*len(k.Closed.Loads)+5 || !strings.Contains(k.String(), "wash on the ") {
			t.Errorf("%d terms: %s", len(k.Terms), k)
		}
	}
	b := need[*balance](t)(closedBalance(aircraft.Sedge(), level(t, 90)))
	need[Result](t)(b.solve(closedResult))
	from := need[anatomy](t)(b.anatomy())
	for i, l := range from.limbs {
		close(t, "arm of the "+l.name, l.arm, (b.flow.(*closedForm).elements[i].x-from.cg)/from.r.Chord, 1e-9)
	}
	out := need[Difference](t)(from.outcome())
	close(t, "α of the anatomy", out.Alpha, b.found.alpha, 1e-9)
	for _, step := range causes(from) {
		step.change(&from, from)
		same := need[Difference](t)(from.outcome())
		close(t, step.name, same.Deflection, out.Deflection, 1e-12)
	}
	turned := from
	turned.limbs = slices.Clone(from.limbs)
	turned.limbs[0].slope *= 0.95
	if less := need[Difference](t)(turned.outcome()); less.Alpha <= out.Alpha {
		t.Errorf("with less slope α goes from %v to %v", out.Alpha, less.Alpha)
	}
}

// TestLatticeKept: other loadings and speeds at one Mach number share factorisations, and have the results of a lattice of their own.
func TestLatticeKept(t *testing.T) {
	a := aircraft.Sedge()
	m := coarse
	m.Incompressible = true
	l := need[*Lattice](t)(NewLattice(a, m))
	need[Result](t)(l.Solve(level(t, 90)))
	models := len(l.kept.models)
	loaded := need[Result](t)(l.Loaded(620, a.CG+0.1, a.CGHeight).Solve(level(t, 80)))
	if len(l.kept.models) != models {
		t.Errorf("%d models, %d before", len(l.kept.models), models)
	}
	a.Mass, a.CG = 620, a.CG+0.1
	own := need[Result](t)(SolveLattice(a, level(t, 80), m))
	close(t, "δ", loaded.Deflection, own.Deflection, 1e-12)
	close(t, "mass", loaded.Weight, 620*unit.StandardGravity, 1e-9)
	m.FreeStream = true
	along := need[Result](t)(SolveLattice(a, level(t, 70), m))
	if !strings.Contains(along.Wake, "free stream") || along.Deflection == own.Deflection || !strings.Contains(own.Wake, "along x") {
		t.Errorf("%s, %s", along.Wake, own.Wake)
	}
}

// TestLatticeDetail: the wash on each surface is what its local angle lacks, and the critical strip uses most.
func TestLatticeDetail(t *testing.T) {
	a := aircraft.Sedge()
	r := need[Result](t)(SolveLattice(a, level(t, 70), Mesh{}))
	for i, s := range a.Lifting() {
		l := r.Loads[i]
		geometric := r.Alpha + s.Incidence + s.MeanTwist() + l.Deflection
		close(t, "local angle of the "+l.Name, l.LocalAlpha, geometric-l.Downwash, 1e-12)
		close(t, "limit of the "+l.Name, l.Critical.Limit, s.Section().MaxLift, 1e-12)
		close(t, "used of the "+l.Name, l.Critical.Used, l.Critical.CL/l.Critical.Limit, 1e-12)
		if !(l.Critical.Used > l.CL/l.Critical.Limit && 0 < l.Critical.Eta && l.Critical.Eta < 1 && 3e5 < l.Critical.Reynolds && l.Critical.Reynolds < 4e6) {
			t.Errorf("%s: %+v, CL %.3f", l.Name, l.Critical, l.CL)
		}
	}
	if w, f := r.Loads[0], r.Loads[1]; w.Critical.Eta < 0.42 || f.Critical.Eta > 0.42 || f.Downwash >= 0 {
		t.Errorf("wing critical at %.2f, foreplane at %.2f, upwash %.3f: the wing's is outside the foreplane's span", w.Critical.Eta, f.Critical.Eta, f.Downwash)
	}
}

// TestReached trims again at the lift with which a surface reaches its limit, where it has that.
func TestReached(t *testing.T) {
	for i, r := range both(t, aircraft.Sedge(), level(t, 90)) {
		k := r.Loads[1].Critical
		c := level(t, 0)
		c.CL, c.Thrust, c.Force = k.Reached, Given, r.Thrust
		again := both(t, aircraft.Sedge(), c)[i]
		close(t, r.Method+": used", again.Loads[1].Critical.Used, 1, 0.03) // thrust and Mach number change with the speed
		if !(k.Reached > r.CL && k.Used < 1) {
			t.Errorf("%+v", k)
		}
	}
}

func TestBalanceRefuses(t *testing.T) {
	second := func(_ any, err error) error { return err }
	with := func(edit func(*Condition)) Condition {
		c := level(t, 90)
		edit(&c)
		return c
	}
	stuck := aircraft.Sedge()
	stuck.Surfaces = slices.Clone(stuck.Surfaces)
	for want, err := range map[string]error{
		"both speed 46.3 m/s and CL 0.5 are stated":       second(Solve(stuck, with(func(c *Condition) { c.CL = 0.5 }))),
		"level flight has load factor 1, not 2":           second(Solve(stuck, with(func(c *Condition) { c.LoadFactor = 2 }))),
		"load factor of the turn is 0.500":                second(Solve(stuck, with(func(c *Condition) { c.Manoeuvre, c.LoadFactor = Turn, 0.5 }))),
		"load factor of the pull-up is NaN":               second(Solve(stuck, with(func(c *Condition) { c.Manoeuvre, c.LoadFactor = PullUp, math.NaN() }))),
		"the manoeuvre is no kind known, number 7":        second(Solve(stuck, with(func(c *Condition) { c.Manoeuvre = 7 }))),
		"the thrust is no kind known, number -1":          second(Solve(stuck, with(func(c *Condition) { c.Thrust = -1 }))),
		"a thrust of 100.0 N is stated":                   second(Solve(stuck, with(func(c *Condition) { c.Force = 100 }))),
		"thrust is NaN N":                                 second(Solve(stuck, with(func(c *Condition) { c.Thrust, c.Force = Given, math.NaN() }))),
		"height above the ground is -1.000 m":             second(Solve(stuck, with(func(c *Condition) { c.Height = -1 }))),
		"the wing stands in it":                           second(Solve(aircraft.Sedge().With(aircraft.Sedge().Surfaces[0].Moved(0, 0, -1)), with(func(c *Condition) { c.Height = 0.9 }))),
		"no control called \"slats\"":                     second(Solve(stuck, with(func(c *Condition) { c.Flaps = map[string]unit.Angle{"slats": 0.1} }))),
		"the pitch of Sedge trims":                        second(Solve(stuck, with(func(c *Condition) { c.Flaps = map[string]unit.Angle{"pitch": 0.1} }))),
		"the ailerons of Sedge are for roll":              second(SolveLattice(stuck, with(func(c *Condition) { c.Flaps = map[string]unit.Angle{"ailerons": 0.1} }), coarse)),
		"deflection of the flaps is 50.0°":                second(Solve(aircraft.Bracken(), with(func(c *Condition) { c.Flaps = map[string]unit.Angle{"flaps": 50 * unit.Degree} }))),
		"a curve over 1 speeds":                           second(CurveOf(stuck, level(t, 0), []float64{50})),
		"all speeds of the curve":                         second(CurveOf(stuck, level(t, 0), []float64{50, 50})),
		"load factor over CL is 0":                        second(Solve(stuck, Condition{Air: level(t, 0).Air, CL: 0.5, Manoeuvre: PullUp})),
		"no surface has sections":                         second(SolveLattice(stuck, level(t, 90), Mesh{Rows: 2, Strips: 8, Viscous: true})),
		"stop":                                            second(SolveLattice(stuck, level(t, 90), Mesh{Rows: 2, Strips: 8, Stop: func() error { return errors.New("stop") }})),
		"must be within ±90.0°":                           second(Solve(stuck, with(func(c *Condition) { c.Speed = 6 }))),
		"aircraft: Sedge: mass: state: mass is NaN kg, m": second(NewLattice(func() aircraft.Aircraft { a := aircraft.Sedge(); a.Mass = math.NaN(); return a }(), coarse)),
	} {
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("error %v, want %q", err, want)
		}
	}
	var limit *LimitError
	pushed := aircraft.Bracken()
	pushed.CG -= 0.6
	if k, err := SideBySide(pushed, level(t, 50), coarse); !errors.As(err, &limit) || len(k.Terms) == 0 || len(k.Lattice.Loads) == 0 {
		t.Errorf("beyond the limit: %v", err)
	}
}

// TestBuildup: a build-up that is stated is what counts.
func TestBuildup(t *testing.T) {
	c := level(t, 90)
	skin := need[drag.Buildup](t)(drag.Build(aircraft.Sedge(), drag.Flight{Air: c.Air, Speed: c.Speed}, drag.Options{Surfaces: drag.Raymer}))
	r := need[Result](t)(Solve(aircraft.Sedge(), c))
	c.Buildup = &skin
	close(t, "drag", need[Result](t)(Solve(aircraft.Sedge(), c)).Drag.Total, r.Drag.Total, 1e-15)
	skin.CD *= 2
	close(t, "drag of twice the build-up", need[Result](t)(Solve(aircraft.Sedge(), c)).Drag.Parasite, 2*r.Drag.Parasite, 1e-12)
	slow := level(t, 0)
	slow.CL = 2
	if r, _ := Solve(aircraft.Sedge(), slow); !strings.Contains(strings.Join(r.Notes, " "), "counts as at the end of that, which is too little") {
		t.Errorf("notes %q", r.Notes)
	}
}

func BenchmarkSolve(b *testing.B) {
	c, _ := At(0, 100*unit.Knot)
	for range b.N {
		if _, err := Solve(aircraft.Sedge(), c); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkSolveLattice(b *testing.B) {
	c, _ := At(0, 100*unit.Knot)
	for range b.N {
		if _, err := SolveLattice(aircraft.Sedge(), c, Mesh{}); err != nil {
			b.Fatal(err)
		}
	}
}
