package trim

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"
	"text/tabwriter"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/unit"
)

// landing returns settings with flaps for the aeroplanes that have them.
func landing(a aircraft.Aircraft) LimitSettings {
	s := LimitSettings{Landing: map[string]unit.Angle{}}
	for _, surface := range a.Lifting() {
		for _, c := range surface.Controls {
			if c.Purpose == aircraft.Flap {
				s.Landing[c.Name] = min(30*unit.Degree, c.Max)
			}
		}
	}
	return s
}

// constraint finds one of limits.
func constraint(t *testing.T, l Limits, name, configuration string) Constraint {
	t.Helper()
	for _, c := range l.Constraints {
		if strings.HasPrefix(c.Name, name) && strings.HasPrefix(c.Configuration, configuration) {
			return c
		}
	}
	t.Fatalf("no constraint %q, %q", name, configuration)
	return Constraint{}
}

// TestFleetLimits holds the limits of the four aeroplanes, which contain the CG that each stands at.
func TestFleetLimits(t *testing.T) {
	var b strings.Builder
	w := tabwriter.NewWriter(&b, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintln(w, "aeroplane\tside\tconstraint\tconfiguration\tx m\t% MAC\tactive\tslack m\t")
	for _, a := range aircraft.Fleet() {
		s := landing(a)
		s.Quick = true
		l := need[Limits](t)(FindLimits(a, s))
		for _, c := range l.Constraints {
			x, fraction, slack, active := "none", "", "", ""
			if c.Bound {
				x, fraction, slack = fmt.Sprintf("%.2f", c.X), fmt.Sprintf("%.0f", 100*c.Fraction), fmt.Sprintf("%.2f", c.Slack)
			}
			if c.Active {
				active = "active"
			}
			fmt.Fprintf(w, "%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\t\n", l.Aircraft, c.Side, c.Name, c.Configuration, x, fraction, active, slack)
		}
		if !l.Holds(a.CG) || l.Range() <= 0.05 {
			t.Errorf("%s: %.3f to %.3f, its CG is at %.3f", a.Name, l.Forward, l.Aft, a.CG)
		}
		if strings.Contains(l.Caution, "NOT FOR") || !strings.Contains(l.Caution, "flight") {
			t.Errorf("%s: %q", a.Name, l.Caution)
		}
	}
	w.Flush()
	golden(t, "limits-fleet.txt", b.String())
}

// TestBoundsHold: on the side of each bound where the CG may be its rule is met, on the other it is not, and the bound of its side is the one that is met last.
func TestBoundsHold(t *testing.T) {
	for _, a := range []aircraft.Aircraft{aircraft.Sedge(), aircraft.Bracken()} {
		s := landing(a)
		s.Stall, s.Quick = StallSettings{Rows: 3, Strips: 12}, true
		m := need[*LimitModel](t)(NewLimitModel(a, s))
		l := need[Limits](t)(m.Limits(a.Mass))
		b := m.at(a.Mass)
		aft := need[[]rule](t)(b.aftRules())
		rules := append(need[[]rule](t)(b.forwardRules(l.Aft)), aft...)
		for i, c := range l.Constraints {
			inward := 0.01
			if c.Side == Aft {
				inward = -inward
			}
			if c.Active != (c.X == l.Forward && c.Side == Forward || c.X == l.Aft && c.Side == Aft) || c.Active && c.Slack != 0 {
				t.Errorf("%s %s: %+v", a.Name, c.Name, c)
			}
			if !c.Bound || rules[i].place != nil {
				continue
			}
			in, out := need[answered](t)(b.ask(rules[i], c.X+inward)), need[answered](t)(b.ask(rules[i], c.X-inward))
			if !in.met() || out.met() {
				t.Errorf("%s %s (%s) at %.3f: leaves %.4g inside, %.4g outside", a.Name, c.Name, c.Configuration, c.X, in.leaves, out.leaves)
			}
			if c.Side == Forward && c.X > l.Forward || c.Side == Aft && c.X < l.Aft {
				t.Errorf("%s %s at %.3f is beyond the limit", a.Name, c.Name, c.X)
			}
		}
	}
}

// TestMarginsHold: at the bounds of the margins the aeroplane has just these margins.
func TestMarginsHold(t *testing.T) {
	a := aircraft.Sedge()
	s := landing(a)
	s.Cruise, s.Require = 60, UsualRequirements()
	s.Quick, s.Stall = true, StallSettings{Rows: 3, Strips: 12}
	l := need[Limits](t)(FindLimits(a, s))
	c := need[Condition](t)(At(0, 60))
	for name, of := range map[string]func(Result) float64{
		"static":    func(r Result) float64 { return r.Neutral.StaticMargin - s.Require.StaticMargin },
		"manoeuvre": func(r Result) float64 { return r.Pull.Margin - s.Require.ManoeuvreMargin },
	} {
		r := need[Result](t)(SolveLattice(withCG(a, constraint(t, l, name, "cruise").X), c, Mesh{Rows: 3, Strips: 12, Incompressible: true}))
		if got := of(r); math.Abs(got) > 1e-4 {
			t.Errorf("%s margin differs by %v", name, got)
		}
	}
	s.Require.StaticMargin += 0.05
	more := need[Limits](t)(FindLimits(a, s))
	if by := constraint(t, l, "static", "cruise").X - constraint(t, more, "static", "cruise").X; math.Abs(by-0.05*a.Reference.Chord) > 2e-3 {
		t.Errorf("5 %% more margin move the bound by %v m", by)
	}
	moved := need[Limits](t)(FindLimits(withCG(a, a.CG+0.05), s))
	if math.Abs(moved.Aft-more.Aft) > 1e-3 || math.Abs(moved.Forward-more.Forward) > 1e-3 {
		t.Errorf("with another CG the limits are %.4f and %.4f, were %.4f and %.4f", moved.Forward, moved.Aft, more.Forward, more.Aft)
	}
}

// TestLeadHolds: at the bound of the order of stall the foreplane leads by what is required, in the variant where it leads least.
func TestLeadHolds(t *testing.T) {
	a := aircraft.Sedge()
	s := LimitSettings{Quick: true, Require: UsualRequirements(), Stall: StallSettings{Rows: 3, Strips: 12}}
	for _, lead := range []float64{0, 0.1} {
		s.Require.StallLead = lead
		x := boundOf(t, a, s, "order", "clean, closed").X
		b := need[*LimitModel](t)(NewLimitModel(a, s)).at(a.Mass)
		if got := need[float64](t)(b.stalls.leastLead(b.condition(nil), x, aircraft.Foreplane)); math.Abs(got-lead) > 1e-4 {
			t.Errorf("the lead is %.5f, want %.2f", got, lead)
		}
		sequence := need[Sequence](t)(b.stalls.Sequence(b.condition(nil), x))
		if math.Abs(sequence.Low-lead) > 1e-4 {
			t.Errorf("the band begins at %.5f, want %.2f", sequence.Low, lead)
		}
	}
}

// TestLimitsMove: each change moves the bound that it concerns to the side that mechanics says.
func TestLimitsMove(t *testing.T) {
	s := LimitSettings{Quick: true, Require: UsualRequirements(), Stall: StallSettings{Rows: 3, Strips: 12}}
	s.Require.YawStiffness = 0.04
	for _, c := range []struct {
		what, name, configuration string
		a                         aircraft.Aircraft
		change                    func(*aircraft.Aircraft)
		aft                       bool
	}{
		{"a longer tail arm", "static margin", "cruise", aircraft.Bracken(), func(a *aircraft.Aircraft) { a.Surfaces[1] = a.Surfaces[1].Moved(0.2, 0, 0) }, true},
		{"a longer foreplane arm", "static margin", "cruise", aircraft.Sedge(), func(a *aircraft.Aircraft) { a.Surfaces[1] = a.Surfaces[1].Moved(-0.2, 0, 0) }, false},
		{"a larger foreplane", "order of stall", "clean, closed", aircraft.Sedge(), func(a *aircraft.Aircraft) { a.Surfaces[1] = a.Surfaces[1].Scaled(1.15) }, false},
		{"a foreplane that lifts more", "order of stall", "clean, closed", aircraft.Sedge(), func(a *aircraft.Aircraft) { liftMore(&a.Surfaces[1], 0.1) }, false},
		{"a wing that lifts more", "order of stall", "clean, closed", aircraft.Sedge(), func(a *aircraft.Aircraft) { liftMore(&a.Surfaces[0], 0.1) }, true},
		{"a larger tailplane", "nose rises", "take-off", aircraft.Bracken(), func(a *aircraft.Aircraft) { a.Surfaces[1] = a.Surfaces[1].Scaled(1.15) }, false},
		{"a higher thrust line", "nose rises", "take-off", aircraft.Bracken(), func(a *aircraft.Aircraft) { a.Plants[0].Z += 0.2 }, true},
		{"wheels further aft", "nose rises", "take-off", aircraft.Bracken(), func(a *aircraft.Aircraft) { a.Wheels[1].X += 0.1 }, true},
		{"a smaller tailplane", "stop of the control", "touchdown", aircraft.Bracken(), func(a *aircraft.Aircraft) { a.Surfaces[1] = a.Surfaces[1].Scaled(0.85) }, true},
		{"a lower CG", "tip back", "at rest", aircraft.Bracken(), func(a *aircraft.Aircraft) { a.CGHeight -= 0.2 }, true},
		{"a larger fin", "stiffness in yaw", "cruise", aircraft.Bracken(), func(a *aircraft.Aircraft) { a.Surfaces[2] = a.Surfaces[2].Scaled(1.02) }, true},
		{"a nose wheel further ahead", "greatest load", "at rest", aircraft.Bracken(), func(a *aircraft.Aircraft) { a.Wheels[0].X -= 0.2 }, false},
	} {
		settings := s
		if c.a.Name == "Bracken" {
			settings.Landing = map[string]unit.Angle{"flaps": 30 * unit.Degree}
		}
		before := boundOf(t, c.a, settings, c.name, c.configuration)
		changed := c.a.Clone()
		c.change(&changed)
		after := boundOf(t, changed, settings, c.name, c.configuration)
		if !before.Bound || !after.Bound || math.Abs(after.X-before.X) < 1e-3 || (after.X > before.X) != c.aft {
			t.Errorf("%s: %s at %.4f, was %.4f", c.what, c.name, after.X, before.X)
		}
	}
}

// boundOf finds one constraint alone, as if the aft limit were at the CG.
func boundOf(t *testing.T, a aircraft.Aircraft, s LimitSettings, name, configuration string) Constraint {
	t.Helper()
	b := need[*LimitModel](t)(NewLimitModel(a, s)).at(a.Mass)
	for side, rules := range map[Side][]rule{Aft: need[[]rule](t)(b.aftRules()), Forward: need[[]rule](t)(b.forwardRules(a.CG))} {
		for _, r := range rules {
			if strings.HasPrefix(r.name, name) && strings.HasPrefix(r.configuration, configuration) {
				return need[[]Constraint](t)(b.bounds([]rule{r}, side, a.CG))[0]
			}
		}
	}
	t.Fatalf("no constraint %q, %q", name, configuration)
	return Constraint{}
}

func liftMore(s *aircraft.Surface, by unit.Coefficient) {
	for i := range s.Stations {
		s.Stations[i].Section.MaxLift += by
	}
}

// TestLiftLoss: at the forward bound CLmax has lost what it may, and a layout with its tailplane aft may go several times further forward than one with a foreplane.
func TestLiftLoss(t *testing.T) {
	var travel []float64
	for _, a := range []aircraft.Aircraft{aircraft.Sedge(), aircraft.Bracken()} {
		l := need[Limits](t)(FindLimits(a, LimitSettings{Quick: true, Stall: StallSettings{Rows: 3, Strips: 12}, Require: func() Requirements { r := UsualRequirements(); r.LiftLoss = 0.1; return r }()}))
		c := seaLevel(t)
		m := need[*StallModel](t)(NewStallModel(a, StallSettings{Rows: 3, Strips: 12}))
		bound := constraint(t, l, "loss", "landing")
		if bound.Bound {
			aft, fore := need[Stall](t)(m.Stall(c, l.Aft)), need[Stall](t)(m.Stall(c, bound.X))
			if math.Abs(fore.CL/aft.CL-0.9) > 1e-5 {
				t.Errorf("%s: CLmax %.5f of that at the aft limit", a.Name, fore.CL/aft.CL)
			}
		}
		travel = append(travel, (l.Aft-bound.X)/a.Reference.Chord)
	}
	if travel[1] < 3*travel[0] {
		t.Errorf("for the same loss the CG may travel %.3f chords with a foreplane, %.3f with a tailplane", travel[0], travel[1])
	}
}

// TestSettle: the innermost bound is active, and the others have their distance from it.
func TestSettle(t *testing.T) {
	for _, c := range []struct {
		side Side
		want float64
	}{{Forward, 3}, {Aft, 1}} {
		k := []Constraint{{X: 2, Bound: true}, {X: 9, Bound: false}, {X: 1, Bound: true}, {X: 3, Unmet: true}}
		for i := range k {
			k[i].Side = c.side
		}
		if got := settle(k); got != c.want || k[1].Active || k[0].Active || k[0].Slack != 1 || k[1].Slack != 0 {
			t.Errorf("%s: %v, %+v", c.side, got, k)
		}
	}
	l := Limits{Forward: 2, Aft: 1.5, Reference: aircraft.Reference{Chord: 2}}
	if l.Range() != -0.5 || l.RangeFraction() != -0.25 || l.Holds(1.7) || l.Holds(2.5) {
		t.Errorf("%v %v", l.Range(), l.RangeFraction())
	}
}

// TestNothingMeets: where constraints exclude each other the result says which.
func TestNothingMeets(t *testing.T) {
	a := aircraft.Bracken()
	s := LimitSettings{Quick: true, Require: UsualRequirements(), Stall: StallSettings{Rows: 3, Strips: 12}}
	s.Require.StaticMargin = 0.3
	l := need[Limits](t)(FindLimits(a, s))
	if notes := strings.Join(l.Notes, " "); l.Range() >= 0 || !strings.Contains(notes, "No CG meets") || !strings.Contains(notes, "static margin") {
		t.Errorf("range %v: %s", l.Range(), notes)
	}
	s.Omit = Omit{Bodies: true}
	if l := need[Limits](t)(FindLimits(a, s)); !strings.Contains(l.Caution, "NOT FOR CG LIMITS") {
		t.Errorf("without bodies: %q", l.Caution)
	}
	a.Wheels = nil
	l = need[Limits](t)(FindLimits(a, LimitSettings{Quick: true, Stall: StallSettings{Rows: 3, Strips: 12}}))
	if !strings.Contains(strings.Join(l.Notes, " "), "Left out") || len(l.Constraints) != 9 {
		t.Errorf("without wheels %d constraints: %q", len(l.Constraints), l.Notes)
	}
}

// TestChart: the chart has the limits of the masses between which it interpolates, and nearly those of others.
func TestChart(t *testing.T) {
	a := aircraft.Sedge()
	m := need[*LimitModel](t)(NewLimitModel(a, LimitSettings{Quick: true, Stall: StallSettings{Rows: 3, Strips: 12}}))
	c := need[LimitChart](t)(m.Chart(480, 700, 41))
	if len(c.Masses) != 41 || len(c.Stations) != 41 || len(c.Slack) != 41 || len(c.Slack[0]) != 41 {
		t.Fatalf("%d masses, %d stations", len(c.Masses), len(c.Stations))
	}
	for _, i := range []int{0, 10, 20, 30, 40} {
		l := need[Limits](t)(m.Limits(c.Masses[i]))
		if math.Abs(l.Forward-c.Forward[i]) > 2e-3 || math.Abs(l.Aft-c.Aft[i]) > 2e-3 || l.ActiveOn(Aft).Name != c.AftBy[i] || l.ActiveOn(Forward).Name != c.ForwardBy[i] {
			t.Errorf("%.0f kg: %.4f to %.4f by %s and %s, want %.4f to %.4f", c.Masses[i], c.Forward[i], c.Aft[i], c.ForwardBy[i], c.AftBy[i], l.Forward, l.Aft)
		}
		for j, x := range c.Stations {
			if (c.Slack[i][j] >= 0) != (c.Forward[i] <= x && x <= c.Aft[i]) {
				t.Errorf("slack %v at %v, limits %v to %v", c.Slack[i][j], x, c.Forward[i], c.Aft[i])
			}
		}
	}
	for _, bad := range [][3]float64{{0, 700, 5}, {500, 500, 5}, {500, 600, 1}} {
		if _, err := m.Chart(bad[0], bad[1], int(bad[2])); err == nil {
			t.Errorf("chart of %v", bad)
		}
	}
}

// TestRangeAgainstSize: a larger foreplane moves the neutral point and with it the aft limit forward.
func TestRangeAgainstSize(t *testing.T) {
	a := aircraft.Sedge()
	p := need[[]SizePoint](t)(RangeAgainstSize(a, "foreplane", []float64{0.9, 1, 1.1}, LimitSettings{Quick: true, Stall: StallSettings{Rows: 3, Strips: 12}}))
	own := need[aircraft.Surface](t)(a.Surface("foreplane"))
	for i, s := range p {
		mass := a.Mass + 14*(s.Scale*s.Scale-1) // the foreplane has 14 kg
		if math.Abs(s.Area-s.Scale*s.Scale*own.Area()) > 1e-9 || math.Abs(s.Limits.Mass-mass) > 0.01 {
			t.Errorf("area %v at %v", s.Area, s.Scale)
		}
		if i > 0 && constraint(t, s.Limits, "static", "cruise").X >= constraint(t, p[i-1].Limits, "static", "cruise").X {
			t.Errorf("aft bound at scale %v: %v, was %v", s.Scale, s.Limits.Aft, p[i-1].Limits.Aft)
		}
	}
	for _, bad := range []struct {
		name  string
		scale float64
	}{{"canard", 1}, {"foreplane", 9}} {
		if _, err := RangeAgainstSize(a, bad.name, []float64{bad.scale}, LimitSettings{}); err == nil {
			t.Errorf("%v", bad)
		}
	}
}

func TestLimitErrors(t *testing.T) {
	a := aircraft.Sedge()
	for want, change := range map[string]func(*Requirements){
		"static margin": func(r *Requirements) { r.StaticMargin = math.NaN() }, "manoeuvre": func(r *Requirements) { r.ManoeuvreMargin = 3 },
		"lead": func(r *Requirements) { r.StallLead = 3 }, "Cnβ": func(r *Requirements) { r.YawStiffness = 3 }, "CLmax": func(r *Requirements) { r.LiftLoss = 1 },
		"touchdown": func(r *Requirements) { r.Touchdown = 0.9 }, "rotation": func(r *Requirements) { r.Unstick = 0 }, "least load": func(r *Requirements) { r.LeastNose = -1 },
		"greatest load": func(r *Requirements) { r.MostNose = 0.01 }, "tip back": func(r *Requirements) { r.TipBack = 2 },
	} {
		r := UsualRequirements()
		change(&r)
		if _, err := FindLimits(a, LimitSettings{Require: r}); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("error %v, want %q", err, want)
		}
	}
	m := need[*LimitModel](t)(NewLimitModel(a, LimitSettings{Quick: true, Stall: StallSettings{Rows: 3, Strips: 12}}))
	if _, err := m.Limits(0); err == nil || !strings.Contains(err.Error(), "mass") {
		t.Errorf("no mass: %v", err)
	}
	var data *SectionDataError
	for i := range a.Surfaces[0].Stations {
		a.Surfaces[0].Stations[i].Section.NACA, a.Surfaces[0].Stations[i].Section.MaxLift = "", 0
	}
	if _, err := FindLimits(a, LimitSettings{}); !errors.As(err, &data) {
		t.Errorf("no greatest lift: %v", err)
	}
}

// TestPropellerYaw: a propeller behind the CG stabilises, one ahead does not, each by its arm.
func TestPropellerYaw(t *testing.T) {
	air := seaLevel(t).Air
	for _, a := range aircraft.Fleet() {
		y, moved := need[float64](t)(propellerYaw(a, air, 50)), need[float64](t)(propellerYaw(withCG(a, a.CG+0.1), air, 50))
		arm := a.Plants[0].X - a.CG
		if (y > 0) != a.Plants[0].Pusher || math.Abs(moved/y-(arm-0.1)/arm) > 1e-9 || math.Abs(y) > 0.03 {
			t.Errorf("%s: Cnβ of its propeller %v, then %v", a.Name, y, moved)
		}
	}
}
