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
