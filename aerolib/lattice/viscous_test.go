package lattice

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"foreplane/aerolib/section"
	"foreplane/aerolib/unit"
)

var _ Section = section.Polar{}

// sectionFunc is a section by a formula.
type sectionFunc func(alpha unit.Angle) section.Sample

func (f sectionFunc) At(alpha unit.Angle) (section.Sample, error) { return f(alpha), nil }

// thinSection is a section without friction: its lift has slope a at small angles, and turn is that of its zero-lift line.
func thinSection(a unit.PerRadian, turn unit.Angle) Section {
	return sectionFunc(func(alpha unit.Angle) section.Sample { return section.Sample{CL: a * (math.Sin(alpha) + turn)} })
}

// limited is thin up to its greatest lift, from where it has the given slope, with constant drag.
func limited(most, cd unit.Coefficient, after unit.PerRadian) Section {
	return sectionFunc(func(alpha unit.Angle) section.Sample {
		thin := 2 * math.Pi * math.Sin(alpha)
		if over := math.Abs(thin) - most; over > 0 {
			thin = math.Copysign(most+after*over/(2*math.Pi), thin)
		}
		return section.Sample{CL: thin, CD: cd}
	})
}

// sectioned returns a surface with a section at all its stations.
func sectioned(s Surface, section Section) Surface {
	s.Stations = slices.Clone(s.Stations)
	for i := range s.Stations {
		s.Stations[i].Section = section
	}
	return s
}

func viscous(t testing.TB, m *Model, s State) ViscousResult {
	t.Helper()
	return need[ViscousResult](t)(m.Viscous(s))
}

// TestViscousLinear: with sections as thin as the lattice has them, swept, cambered, twisted and with flaps turned, nothing changes, whatever the flow.
func TestViscousLinear(t *testing.T) {
	surfaces := canard()
	for i := range surfaces[0].Stations {
		surfaces[0].Stations[i].Camber = nil
		surfaces[0].Stations[i].ZeroLift = 0
	}
	thin := thinSection(2*math.Pi, 0)
	surfaces[0], surfaces[3] = sectioned(surfaces[0], thin), sectioned(surfaces[3], thin)
	for _, whole := range []bool{false, true} {
		m := model(t, Settings{Reference: canardReference, Strips: 6, Rows: 4, Whole: whole}, surfaces...)
		for _, s := range []State{{Alpha: 0.1}, every()} {
			r := viscous(t, m, s)
			same(t, "thin sections", r.Result, solve(t, m, s), 1e-9)
			near(t, "profile drag", r.CDp, 0, 0)
			if r.Iterations > 1 {
				t.Errorf("%d iterations", r.Iterations)
			}
		}
	}
	s, ref := wing(8, 0.6, 0)
	const height, mach = 0.02, 0.5
	for i := range s.Stations {
		s.Stations[i].Twist = 0.05 * float64(i)
		s.Stations[i].Camber = func(x unit.Ratio) unit.Ratio { return 4 * height * (1 - 2*x) }
	}
	beta := math.Sqrt(1 - mach*mach)
	s = sectioned(s, sectionFunc(func(alpha unit.Angle) section.Sample {
		return section.Sample{CL: 2 * math.Pi / beta * (math.Sin(alpha) + 2*height*math.Cos(0.07)), CM: -math.Pi * height / beta * math.Cos(0.07)}
	}))
	m := model(t, Settings{Reference: ref, Rows: 40, Strips: 8, Mach: mach}, s)
	same(t, "parabolic camber", viscous(t, m, State{Alpha: 0.07}).Result, solve(t, m, State{Alpha: 0.07}), 2e-4)
}

// TestViscousSweptMach: across a swept wing the section meets M cos Λ, and so does its slope.
func TestViscousSweptMach(t *testing.T) {
	const sweep, mach = 0.6, 0.7
	normal := mach * math.Cos(sweep)
	s, ref := wing(8, 1, sweep)
	m := model(t, Settings{Reference: ref, Rows: 3, Strips: 8, Mach: mach}, sectioned(s, thinSection(2*math.Pi/math.Sqrt(1-normal*normal), 0)))
	r := viscous(t, m, State{Alpha: 0.08})
	same(t, "swept", r.Result, solve(t, m, State{Alpha: 0.08}), 1e-9)
	for _, strip := range r.Sections {
		near(t, "α of the section", math.Sin(strip.Alpha)*math.Cos(sweep)*2*math.Pi*math.Cos(sweep)/math.Sqrt(1-normal*normal), strip.CL, 1e-9)
	}
}

// TestViscousHalves: the half model is the whole one, also where sections limit the lift of one side and friction drags.
func TestViscousHalves(t *testing.T) {
	surfaces := canard()
	surfaces[0], surfaces[3] = sectioned(surfaces[0], limited(0.25, 0.01, 0)), sectioned(surfaces[3], limited(0.1, 0.02, 0))
	s := Settings{Reference: canardReference, Strips: 6, Rows: 4}
	half := model(t, s, surfaces...)
	s.Whole = true
	whole := model(t, s, surfaces...)
	state := every()
	a, b := viscous(t, half, state), viscous(t, whole, state)
	same(t, "half against whole", a.Result, b.Result, 1e-8)
	near(t, "CDp", a.CDp, b.CDp, 1e-12)
	if n := a.beyond(); n == 0 || n != b.beyond() || n == len(a.Sections) || half.Factorisations() != 2 {
		t.Errorf("%d and %d of %d strips are beyond their greatest lift; %d factorisations", n, b.beyond(), len(a.Sections), half.Factorisations())
	}
	straight := State{Alpha: 0.12, Point: Point{X: 3.4}}
	same(t, "symmetric", viscous(t, half, straight).Result, viscous(t, whole, straight).Result, 1e-8)
}

// TestViscousSlope: sections of less slope than 2π lower that of the wing as the lifting line says. Both have a factor to the thin wing; aspect ratio 20 leaves the
// two theories within half a per cent of each other there.
func TestViscousSlope(t *testing.T) {
	const a0, alpha = 5.0, 0.05
	s, ref := wing(20, 0.5, 0)
	m := model(t, Settings{Reference: ref}, sectioned(s, thinSection(a0, 0.03)))
	ratio := (viscous(t, m, State{Alpha: alpha}).CL - viscous(t, m, State{}).CL) / (solve(t, m, State{Alpha: alpha}).CL)
	line := trapezoidLine(20, 0.5)
	thin := need[LineResult](t)(line.Solve(alpha))
	line.Slope, line.ZeroLift = Constant(a0), Constant(-0.03)
	real := need[LineResult](t)(line.Solve(alpha))
	near(t, "factor of the slope", ratio, real.Slope/thin.Slope, 0.005)
	near(t, "lift at zero α", viscous(t, m, State{}).CL, 0.03*real.Slope, 0.02*0.03*real.Slope)
}

// TestViscousLimits: an elliptic wing without twist stalls all at once, at the greatest lift of its section. A rectangular wing follows the lattice until the
// strip of greatest cl has reached that of its section, and then less and less.
func TestViscousLimits(t *testing.T) {
	const most = 1.0
	e := Surface{Name: "wing", Mirrored: true}
	for i := range 21 {
		eta := math.Sin(float64(i) / 20 * math.Pi / 2)
		c := max(0.01, math.Sqrt(1-eta*eta))
		e.Stations = append(e.Stations, Station{LeadingEdge: Point{X: -c / 4, Y: 5 * eta}, Chord: c})
	}
	ref := Reference{Area: e.Area(), Chord: 1, Span: 10}
	m := model(t, Settings{Reference: ref, Rows: 2, Strips: 10}, sectioned(e, limited(most, 0.01, 0)))
	r := viscous(t, m, State{Alpha: 24 * unit.Degree})
	lift := 0.0
	for _, s := range r.Sections {
		lift += s.CL * s.area / ref.Area
	}
	near(t, "CLmax of an elliptic wing, 2Γ/Vc", lift, most, 1e-4)
	near(t, "CLmax of an elliptic wing", r.CL, most, 0.02*most) // cosines of downwash
	near(t, "profile drag", r.CDp, 0.01, 1e-12)
	near(t, "drag", r.Drag, r.CDi+0.01, 1e-12)
	t.Logf("%d iterations", r.Iterations)
	if r.beyond() < len(r.Sections)-16 {
		t.Errorf("%d of %d strips are at their greatest lift", r.beyond(), len(r.Sections))
	}

	s, ref := wing(6, 1, 0)
	m = model(t, Settings{Reference: ref, Rows: 4}, sectioned(s, limited(most, 0.01, 0)))
	quarter := Point{X: 0.25} // about which profile drag has no moment
	inviscid := solve(t, m, State{Alpha: 0.1})
	peak := 0.0
	for _, s := range inviscid.Strips {
		peak = max(peak, 2*s.Circulation/s.Chord)
	}
	first := math.Asin(math.Sin(0.1) * most / peak)
	before := viscous(t, m, State{Alpha: first * 0.99, Point: quarter})
	same(t, "before the first strip", before.Result, withProfileDrag(solve(t, m, State{Alpha: first * 0.99, Point: quarter}), 0.01), 1e-9)
	slope, last := inviscid.CL/math.Sin(0.1), before.CL
	for i := 1; i <= 5; i++ {
		alpha := first + float64(i)*2*unit.Degree
		r := viscous(t, m, State{Alpha: alpha, Point: quarter})
		if !(r.CL > last-0.005 && r.CL < slope*math.Sin(alpha) && r.beyond() > 0 && r.CL < most) || len(r.Notes) == 0 {
			t.Errorf("at %.1f°: CL %.4f after %.4f, %d beyond, notes %q", alpha/unit.Degree, r.CL, last, r.beyond(), r.Notes)
		}
		last = r.CL
	}
}

// withProfileDrag adds the same profile drag on all of a wing.
func withProfileDrag(r Result, cd unit.Coefficient) Result {
	r.CD += cd
	return r
}

// TestViscousMaximum: with a rounded polar the iteration converges through the greatest lift of the wing, which is about 0.9 of that of its section (D.P. Raymer,
// Aircraft Design: A Conceptual Approach, ch. 5, for unswept wings of moderate aspect ratio, recalled; the scatter of real wings gives the tolerance).
func TestViscousMaximum(t *testing.T) {
	var samples []section.Sample
	for _, p := range [][2]float64{{-16, -1.4}, {-12, -1.2}, {0, 0}, {10, 1.05}, {12, 1.24}, {13, 1.32}, {14, 1.38}, {15, 1.42}, {16, 1.43}, {17, 1.4}, {18, 1.33}, {20, 1.15}, {24, 0.95}} {
		samples = append(samples, section.Sample{Alpha: p[0] * unit.Degree, CL: p[1], CD: 0.01 + 0.02*p[1]*p[1]})
	}
	polar := need[section.Polar](t)(section.NewPolar("rounded", 2e6, samples))
	for _, taper := range []float64{1, 0.4} {
		s, ref := wing(8, taper, 0)
		m := model(t, Settings{Reference: ref, Rows: 4}, sectioned(s, polar))
		most, last := 0.0, 0.0
		for alpha := 10; last >= most; alpha++ {
			last = viscous(t, m, State{Alpha: float64(alpha) * unit.Degree}).CL
			most = max(most, last)
		}
		near(t, "CLmax over clmax", most/polar.MaxLift().CL, 0.9, 0.05)
	}
}

// TestViscousStall: a section that loses lift beyond the stall: the iteration says how far it came, and what it cannot vouch for.
func TestViscousStall(t *testing.T) {
	s, ref := wing(8, 0.7, 0)
	m := model(t, Settings{Reference: ref, Rows: 4, Strips: 16}, sectioned(s, limited(1.3, 0.01, -1.5)))
	for alpha := 2.0; alpha <= 20; alpha += 2 {
		r, err := m.Viscous(State{Alpha: alpha * unit.Degree})
		var open *ConvergenceError
		if errors.As(err, &open) {
			r = open.Best
			if !(r.Residual > converged && r.Iterations == mostSteps) || !strings.Contains(err.Error(), "iterations") {
				t.Errorf("%v", err)
			}
		} else if err != nil {
			t.Fatal(err)
		} else if r.Residual > converged || !strings.Contains(r.String(), "approved flight manual") {
			t.Errorf("%s", r)
		}
		t.Logf("α %4.1f°: CL %.4f, %2d iterations, residual %.1e, %d beyond, %v", alpha, r.CL, r.Iterations, r.Residual, r.beyond(), err != nil)
		if (len(r.Notes) > 0) != (r.beyond() > 0 || alpha > 15) {
			t.Errorf("%d strips beyond, notes %q", r.beyond(), r.Notes)
		}
	}
}

// TestViscousErrors: sections at some stations only, none at all, none for an angle, and none that agree with any lift.
func TestViscousErrors(t *testing.T) {
	s, ref := wing(8, 1, 0)
	settings := Settings{Reference: ref, Rows: 2, Strips: 5}
	partly := sectioned(s, thinSection(6, 0))
	partly.Stations[1].Section = nil
	if _, err := New([]Surface{partly}, settings); err == nil || !strings.Contains(err.Error(), "section") {
		t.Errorf("%v", err)
	}
	if _, err := model(t, settings, s).Viscous(State{Alpha: 0.1}); err == nil || !strings.Contains(err.Error(), "Section") {
		t.Errorf("%v", err)
	}
	polar := need[section.Polar](t)(section.NewPolar("short", 1e6, []section.Sample{{Alpha: -0.1, CL: -0.6, CD: 0.01}, {Alpha: 0.1, CL: 0.6, CD: 0.01}}))
	m := model(t, settings, sectioned(s, polar))
	viscous(t, m, State{Alpha: 0.1})
	var outside *SectionError
	var bound *unit.RangeError
	if _, err := m.Viscous(State{Alpha: 0.2}); !errors.As(err, &outside) || !errors.As(err, &bound) || outside.Surface != "wing" {
		t.Errorf("%v", err)
	}
	jump := sectionFunc(func(alpha unit.Angle) section.Sample { return section.Sample{CL: math.Copysign(1, 0.05-alpha)} })
	var open *ConvergenceError
	if _, err := model(t, settings, sectioned(s, jump)).Viscous(State{Alpha: 0.1}); !errors.As(err, &open) || !(open.Best.Residual > 0.01) || open.Best.Iterations == 0 {
		t.Errorf("%v", err)
	}
	nan := sectionFunc(func(unit.Angle) section.Sample { return section.Sample{CD: math.NaN()} })
	if _, err := model(t, settings, sectioned(s, nan)).Viscous(State{Alpha: 0.1}); !errors.As(err, &outside) {
		t.Errorf("%v", err)
	}
	m = model(t, settings, sectioned(s, limited(0.3, 0, 0)))
	m.settings.Progress = func(stage string, _ unit.Ratio) {
		if stage == stageIteration {
			m.settings.Stop = func() error { return errStop }
		}
	}
	if _, err := m.Viscous(State{Alpha: 0.1}); err != errStop {
		t.Errorf("%v", err)
	}
}

// TestViscousPostStall: what a section says of its samples is passed on.
func TestViscousPostStall(t *testing.T) {
	s, ref := wing(8, 1, 0)
	plate := sectionFunc(func(alpha unit.Angle) section.Sample {
		return section.Sample{CL: 2 * math.Pi * alpha, PostStall: alpha > 0.05}
	})
	m := model(t, Settings{Reference: ref, Rows: 2, Strips: 5}, sectioned(s, plate))
	for alpha, want := range map[unit.Angle]int{0.02: 0, 0.12: 1} {
		if r := viscous(t, m, State{Alpha: alpha}); len(r.Notes) != want || r.Sections[0].PostStall != (want > 0) {
			t.Errorf("at %g: notes %q", alpha, r.Notes)
		}
	}
}

// TestBetween: half way between two sections everything is the mean.
func TestBetween(t *testing.T) {
	a, b := limited(1, 0.01, 0), limited(2, 0.03, 0)
	s := need[section.Sample](t)(between(a, b, 0.25).At(1))
	near(t, "cl", s.CL, 1.25, 1e-12)
	near(t, "cd", s.CD, 0.015, 1e-12)
	if between(a, nil, 0.5) != nil {
		t.Error("a section beside none")
	}
}
