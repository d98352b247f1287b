package lattice

import (
	"math"
	"testing"

	"foreplane/aerolib/unit"
)

// biotSavart integrates the law of Biot and Savart along a straight vortex of unit circulation from a to b, by the rule of Simpson.
func biotSavart(p, a, b vec) vec {
	const n = 4000
	var sum vec
	step := b.sub(a).times(1.0 / n)
	for i := range n + 1 {
		weight := 4.0 - 2*float64((i+1)%2)
		if i == 0 || i == n {
			weight = 1
		}
		r := p.sub(a.mix(b, float64(i)/n))
		sum = sum.add(step.cross(r).times(weight / 3 / (4 * math.Pi * math.Pow(r.norm(), 3))))
	}
	return sum
}

// horseshoe integrates the velocity of a panel's vortex, with wakes cut off where they no longer matter.
func horseshoe(m *Model, p vec, s strip, row int) vec {
	mesh := m.mesh
	at := func(line, vertex int) vec { return vec{mesh.x[vertex], mesh.lineY[line], mesh.lineZ[line]} }
	a, b := at(s.lineL, s.left+row), at(s.lineR, s.right+row)
	leg := func(line int, from vec, sign float64) vec {
		te := m.trailing(line)
		near, far := te.add(mesh.wake.times(20)), te.add(mesh.wake.times(4000))
		return biotSavart(p, from, te).add(biotSavart(p, te, near)).add(biotSavart(p, near, far)).times(sign)
	}
	return biotSavart(p, a, b).add(leg(s.lineR, b, 1)).add(leg(s.lineL, a, -1))
}

// TestBiotSavart: the closed form for panels whose trailing vortices follow the chord to the trailing edge and then turn along the wake is the integral along
// all of them, the image below the ground included.
func TestBiotSavart(t *testing.T) {
	s := Trapezoid("wing", Point{}, 6, 1.3, 0.7, 0.5, 0, 0)
	s.Stations[1].LeadingEdge.Z = 0.6
	for _, height := range []float64{0, 1.2} {
		m := model(t, Settings{Reference: anyReference, Rows: 3, Strips: 3, Whole: true, Wake: Wake{Alpha: 0.3, Beta: -0.2}, Ground: height}, s)
		w := m.mesh.scratch()
		for _, strip := range m.mesh.strips[2:4] {
			for row := range strip.rows {
				gamma := make([]float64, len(m.mesh.point))
				gamma[strip.first+row] = 1
				for _, p := range []vec{{0.4, 1.1, 0.9}, {6, -0.7, 2.5}, {-1, 0.3, -0.4}, {2.2, 2.4, 0.1}} {
					want := horseshoe(m, p, strip, row)
					if height > 0 {
						g := m.ground()
						want = want.add(g.direction(horseshoe(m, g.point(p), strip, row)))
					}
					m.induced(probe{p, nowhere, nowhere}, 1, []int{0}, [][]float64{gamma}, w)
					if d := w.sum[0].sub(want).norm(); !(d < 2e-6) {
						t.Errorf("at %v: velocity %v, integral %v", p, w.sum[0], want)
					}
				}
			}
		}
	}
}

// TestFieldEquations: off the vortices the flow has no rotation, and (1 − M²) ∂u/∂x + ∂v/∂y + ∂w/∂z = 0, the equation of Prandtl and Glauert.
func TestFieldEquations(t *testing.T) {
	const h = 1e-5
	for _, mach := range []float64{0, 0.6} {
		m := model(t, Settings{Reference: canardReference, Rows: 3, Strips: 4, Mach: mach, Wake: Wake{Alpha: 0.1}}, canard()[:2]...)
		for _, p := range []Point{{X: 2.2, Y: 1, Z: 0.4}, {X: 4.1, Y: -2.6, Z: -0.5}, {X: 7, Y: 0.4, Z: 1.2}} {
			slope := func(move func(p *Point, by float64)) Velocity {
				a, b := p, p
				move(&a, -h)
				move(&b, h)
				v := need[[]Velocity](t)(m.Induced(State{Alpha: 0.1, Beta: 0.05}, []Point{a, b}))
				return Velocity{(v[1].X - v[0].X) / (2 * h), (v[1].Y - v[0].Y) / (2 * h), (v[1].Z - v[0].Z) / (2 * h)}
			}
			dx := slope(func(p *Point, by float64) { p.X += by })
			dy := slope(func(p *Point, by float64) { p.Y += by })
			dz := slope(func(p *Point, by float64) { p.Z += by })
			near(t, "source", (1-mach*mach)*dx.X+dy.Y+dz.Z, 0, 1e-7)
			near(t, "rotation about x", dy.Z-dz.Y, 0, 1e-7)
			near(t, "rotation about y", dz.X-dx.Z, 0, 1e-7)
			near(t, "rotation about z", dx.Y-dy.X, 0, 1e-7)
			if math.Abs(dz.X)+math.Abs(dz.Y)+math.Abs(dx.Z) < 1e-4 {
				t.Errorf("nothing happens at %s: %v, %v, %v", p, dx, dy, dz)
			}
		}
	}
}

// TestHinge: a flap of a swept, tapered wing begins at its hinge, which turns about the line at that fraction of the chord, and the panels ahead stay as they
// are.
func TestHinge(t *testing.T) {
	s := Trapezoid("wing", Point{X: 1}, 8, 1.6, 0.8, 30*unit.Degree, 0, 0)
	const E = 0.3
	s.Controls = []Control{{Name: "flap", Chord: E}}
	m := model(t, Settings{Reference: anyReference, Rows: 7, Strips: 5}, s)
	root, tip := 1+(1-E)*1.6, 1+4*math.Tan(30*unit.Degree)+(1-E)*0.8
	line := vec{tip - root, 4, 0}.unit()
	effect := m.bases[firstControl].effect
	for _, strip := range m.mesh.strips {
		axis := m.mesh.axis(strip, s.Controls[0])
		near(t, "x of the axis", axis.x, line.x, 1e-9)
		near(t, "y of the axis", axis.y, line.y, 1e-9)
		turned := 0
		for r := range strip.rows {
			j := strip.first + r
			behind := m.mesh.point[j].x > strip.middle.x+(1-E)*strip.chord
			if behind {
				turned++
			}
			near(t, "effect", effect[j], map[bool]float64{true: line.y, false: 0}[behind], 1e-9)
		}
		if turned != 2 || strip.rows != 7 {
			t.Errorf("%d of %d panels are flap", turned, strip.rows)
		}
		near(t, "edge at the hinge", strip.edges[strip.rows-turned], 1-E, 1e-12)
	}
}

// TestStopStages: an error of the hook ends each stage, and is what Solve returns.
func TestStopStages(t *testing.T) {
	for _, stage := range []string{stageAssembly, stageFactorisation, stageVelocities} {
		reached := ""
		s := Settings{Reference: canardReference, Strips: 6, Rows: 4}
		s.Progress = func(at string, _ unit.Ratio) { reached = at }
		s.Stop = func() error {
			if reached == stage {
				return errStop
			}
			return nil
		}
		m := model(t, s, canard()...)
		if _, err := m.Solve(State{Alpha: 0.1}); err != errStop || reached != stage {
			t.Errorf("%s: %v, reached %s", stage, err, reached)
		}
		m.settings.Stop = nil
		solve(t, m, State{Alpha: 0.1})
	}
}

type stopError struct{}

func (stopError) Error() string { return "stop" }

var errStop = stopError{}

// TestSingular: a matrix without inverse gives the error that says so.
func TestSingular(t *testing.T) {
	m := model(t, Settings{Reference: anyReference}, flat("wing", 0, 0, 2))
	_, err := m.factorise(2, []float64{1, 2, 2, 4})
	if _, ok := err.(*SingularError); !ok || m.Factorisations() != 0 {
		t.Errorf("%v", err)
	}
}

// TestTurnedAxis: a foreplane that turns as a whole about a swept axis does so on both sides alike, in the half model and the whole.
func TestTurnedAxis(t *testing.T) {
	surfaces := canard()
	surfaces[1].Controls = []Control{{Name: "all", Axis: Point{X: 0.4, Y: 1, Z: 0.1}}}
	s := Settings{Reference: canardReference, Strips: 6, Rows: 3}
	half := model(t, s, surfaces...)
	s.Whole = true
	whole := model(t, s, surfaces...)
	turned := State{Alpha: 0.05, Beta: 0.03, Deflections: map[string]unit.Angle{"all": 0.1}}
	same(t, "swept axis", solve(t, half, turned), solve(t, whole, turned), 1e-9)
	straight := math.Sqrt(1 + 0.4*0.4 + 0.1*0.1) // the part of the axis across the flow turns the plane
	d := need[Derivatives](t)(half.Derivatives(State{}))
	surfaces[1].Controls[0].Axis = Point{}
	plain := need[Derivatives](t)(model(t, half.settings, surfaces...).Derivatives(State{}))
	near(t, "effect of a swept axis", d.Controls["all"].CL*straight, plain.Controls["all"].CL, 1e-6)
}

// TestWakeDirection: wakes of the angles of a state run along its stream, and the plane far behind is across them, whatever the Mach number.
func TestWakeDirection(t *testing.T) {
	s := State{Alpha: 0.2, Beta: 0.1}
	settings := Settings{Reference: canardReference, Strips: 5, Rows: 2, Wake: Wake{Alpha: s.Alpha, Beta: s.Beta}}
	slow := model(t, settings, canard()...)
	if d := slow.mesh.wake.sub(s.stream()).norm(); d > 1e-12 {
		t.Errorf("wakes run along %v, the stream along %v", slow.mesh.wake, s.stream())
	}
	settings.Mach = 0.6
	fast := model(t, settings, canard()...)
	a, b := slow.newTrefftz(), fast.newTrefftz()
	for i := range a.width {
		near(t, "width far behind", b.width[i], a.width[i], 1e-12)
		near(t, "wash far behind", b.wash[i][0], a.wash[i][0], 1e-9)
	}
}

// TestChordVortices: vortices along the chords bear force on their true length, whatever the Mach number.
func TestChordVortices(t *testing.T) {
	s := Trapezoid("wing", Point{}, 6, 1.5, 0.6, 0.3, 0, 0)
	for _, mach := range []float64{0, 0.6} {
		m := model(t, Settings{Reference: anyReference, Strips: 3, Rows: 4, Mach: mach}, s)
		n := len(m.mesh.point)
		flow := side{make([]float64, n), make([]vec, n), make([]vec, len(m.mesh.x))}
		for i := range flow.chord {
			flow.chord[i] = vec{0, 1, 0} // sidewash, to which they are normal
		}
		strip := m.mesh.strips[1]
		flow.gamma[strip.first] = 1
		shorter := (m.mesh.lineChord[strip.lineL] - m.mesh.lineChord[strip.lineR]) * (1 - strip.edges[1]/4)
		near(t, "force", m.onStrip(flow, strip).f.z, 2*shorter, 1e-12)
	}
}

// TestRates: the slopes by the rates have the scales that they are said to have. A thin section that pitches about its quarter chord has the lift of the angle at
// three quarters, cl_q = 2π.
func TestRates(t *testing.T) {
	s, ref := wing(2000, 1, 0)
	d := need[Derivatives](t)(model(t, Settings{Reference: ref, Rows: 4, Strips: 20}, s).Derivatives(State{Point: Point{X: 0.25}}))
	near(t, "CLq", d.Q.CL, 2*math.Pi, 0.03)
	m := model(t, Settings{Reference: canardReference, Strips: 5, Rows: 3}, canard()...)
	at := State{Alpha: 0.05, Point: Point{X: 3.4}}
	d = need[Derivatives](t)(m.Derivatives(at))
	const hat = 1e-3 // pb/2V and the like
	by := func(change func(s *State, sign float64), of func(c Coefficients) float64) float64 {
		a, b := at, at
		change(&a, -1)
		change(&b, 1)
		return (of(solve(t, m, b).Coefficients) - of(solve(t, m, a).Coefficients)) / (2 * hat)
	}
	near(t, "Clp", d.P.Cl, by(func(s *State, sign float64) { s.P = sign * hat * 2 / 8.4 }, func(c Coefficients) float64 { return c.Cl }), 1e-6)
	near(t, "Cmq", d.Q.Cm, by(func(s *State, sign float64) { s.Q = sign * hat * 2 / 1.09 }, func(c Coefficients) float64 { return c.Cm }), 1e-6)
	near(t, "Cnr", d.R.Cn, by(func(s *State, sign float64) { s.R = sign * hat * 2 / 8.4 }, func(c Coefficients) float64 { return c.Cn }), 1e-6)
}

// TestInducedHalves: the flow at any point and the interference of surfaces are those of the whole model.
func TestInducedHalves(t *testing.T) {
	s := Settings{Reference: canardReference, Strips: 5, Rows: 3}
	half := model(t, s, canard()...)
	s.Whole = true
	whole := model(t, s, canard()...)
	points := []Point{{X: 2.2, Y: 1, Z: 0.4}, {X: 6, Y: -2, Z: 0.9}}
	a, b := need[[]Velocity](t)(half.Induced(every(), points)), need[[]Velocity](t)(whole.Induced(every(), points))
	for i := range a {
		near(t, "u", a[i].X, b[i].X, 1e-9)
		near(t, "v", a[i].Y, b[i].Y, 1e-9)
		near(t, "w", a[i].Z, b[i].Z, 1e-9)
	}
	for _, state := range []State{{Alpha: 0.1}, every()} {
		x, y := need[[][]unit.Angle](t)(half.Interference(state)), need[[][]unit.Angle](t)(whole.Interference(state))
		p, q := need[[][]unit.Coefficient](t)(half.InducedDrags(state)), need[[][]unit.Coefficient](t)(whole.InducedDrags(state))
		for i := range x {
			for j := range x {
				near(t, "drag by pairs", p[i][j], q[i][j], 1e-9)
				near(t, "interference", x[i][j], y[i][j], 1e-9)
			}
		}
	}
}

// TestCore: far behind, a trailing vortex at the distance h gives Γ h/(2π (h² + core²)), along x and along the stream.
func TestCore(t *testing.T) {
	const core = 0.2
	for _, wake := range []Wake{{}, {Alpha: 0.2}} {
		m := model(t, Settings{Reference: anyReference, Rows: 1, Strips: 3, Whole: true, Core: core, Wake: wake}, flat("wing", 0, 0, 2))
		gamma := make([]float64, len(m.mesh.point))
		gamma[2] = 1
		s, w := m.mesh.strips[2], m.mesh.scratch()
		for _, offset := range []float64{0.01, 0.1, 0.7} {
			p := m.trailing(s.lineL).add(m.mesh.wake.times(1e6))
			p.y += offset
			m.induced(probe{p, nowhere, nowhere}, 1, []int{0}, [][]float64{gamma}, w)
			of := func(h float64) float64 { return h / (2 * math.Pi * (h*h + core*core)) }
			down := vec{0, 1, 0}.cross(m.mesh.wake) // normal to the wake, downwards
			near(t, "downwash", w.sum[0].dot(down), of(offset)+of(s.width-offset), 1e-5)
		}
	}
}
