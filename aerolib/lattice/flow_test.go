package lattice

import (
	"context"
	"errors"
	"math"
	"strings"
	"testing"

	"foreplane/aerolib/internal/reference"
	"foreplane/aerolib/unit"
)

// TestFarWash: the wash of an elliptic load far behind, at the middles of strips inside the span and anywhere outside.
func TestFarWash(t *testing.T) {
	m := model(t, Settings{Reference: anyReference, Rows: 1, Strips: 200}, flat("wing", 0, 0, 2))
	load := elliptic(m, 1)
	gamma := make([]float64, len(m.mesh.point))
	for _, s := range m.mesh.strips {
		gamma[s.first] = load(s)
	}
	w := m.mesh.scratch()
	wash := func(eta float64) float64 {
		if eta < 1 { // the nearest middle
			best := 10.0
			for _, s := range m.mesh.strips {
				if math.Abs(s.middle.y-eta) < math.Abs(best-eta) {
					best = s.middle.y
				}
			}
			eta = best
		}
		m.induced(probe{vec{1e6, eta, 0}, nowhere, nowhere}, 1, []int{0}, [][]float64{gamma}, w)
		return -w.sum[0].z / (1.0 / 2) // w₀ = Γ₀/b
	}
	reference.Check(t, "M10", 0, func(in reference.Inputs) reference.Values {
		out := reference.Values{}
		for name := range reference.Load(t, "M10").Expected {
			out[name] = wash(after(t, name, "2y/b="))
		}
		return out
	})
}

// TestCoefficients: the quadratic forms give what the sum over the panels gives, of half and whole models.
func TestCoefficients(t *testing.T) {
	for _, whole := range []bool{false, true} {
		m := model(t, Settings{Reference: canardReference, Strips: 6, Rows: 4, Whole: whole}, canard()...)
		for _, s := range []State{{Alpha: 0.1}, every(), {Beta: 0.1, Alpha: 0.1}} {
			c := need[Coefficients](t)(m.Coefficients(s))
			same(t, "forms", Result{Coefficients: c}, solve(t, m, s), 1e-12)
		}
	}
}

// TestSuperposition: circulations of a state are the sum of those of its parts, and nothing but the first two states costs a factorisation.
func TestSuperposition(t *testing.T) {
	m := model(t, Settings{Reference: canardReference, Strips: 6, Rows: 4}, canard()...)
	zero := solve(t, m, State{})
	flown := solve(t, m, State{Alpha: math.Asin(0.1), Deflections: map[string]unit.Angle{"elevator": 0.1 / math.Cos(math.Asin(0.1))}})
	alpha := solve(t, m, State{Alpha: math.Asin(0.1)})
	elevator := solve(t, m, State{Deflections: map[string]unit.Angle{"elevator": 0.1}})
	for i, s := range flown.Strips {
		sum := alpha.Strips[i].Circulation + elevator.Strips[i].Circulation - zero.Strips[i].Circulation
		near(t, "circulation", s.Circulation, sum, 1e-12)
	}
	for i := range 21 {
		for j := range 11 {
			s := every()
			s.Alpha, s.Point.X = float64(i)*0.01, 3+float64(j)*0.1
			need[Coefficients](t)(m.Coefficients(s))
		}
	}
	if n := m.Factorisations(); n != 2 {
		t.Errorf("%d factorisations", n)
	}
}

// TestNearAndFar: the drag of the near field tends to that of the Trefftz plane, and so does the lift of the strips to that of the wakes.
func TestNearAndFar(t *testing.T) {
	s, ref := wing(6, 0.5, 0)
	r := solve(t, model(t, Settings{Reference: ref, Rows: 8, Strips: 40}, s), State{Alpha: 0.1})
	near(t, "CD", r.CD, r.CDi, 0.01*r.CDi)
	a, b := flat("front", 0, 0.3, 2), flat("rear", 3, 0, 2)
	r = solve(t, model(t, Settings{Reference: anyReference, Rows: 8, Strips: 40}, a, b), State{Alpha: 0.1})
	near(t, "CD of two", r.CD, r.CDi, 0.01*r.CDi)
}

// TestSigns: the derivatives of an aeroplane with foreplane, swept wing, dihedral and fins have the signs of the trade.
func TestSigns(t *testing.T) {
	m := model(t, Settings{Reference: canardReference, Strips: 8, Rows: 4}, canard()...)
	d := need[Derivatives](t)(m.Derivatives(State{Alpha: 0.06, Point: Point{X: 3.3}}))
	for _, c := range []struct {
		name  string
		value float64
		sign  float64
	}{
		{"CLα", d.Alpha.CL, 1}, {"Cmα", d.Alpha.Cm, -1}, {"CLq", d.Q.CL, 1}, {"Cmq", d.Q.Cm, -1},
		{"CYβ", d.Beta.CY, -1}, {"Clβ", d.Beta.Cl, -1}, {"Cnβ", d.Beta.Cn, 1},
		{"Clp", d.P.Cl, -1}, {"Clr", d.R.Cl, 1}, {"Cnr", d.R.Cn, -1}, {"CYr", d.R.CY, 1},
		{"Cl of ailerons", d.Controls["aileron"].Cl, -1}, {"Cm of the elevator", d.Controls["elevator"].Cm, 1},
		{"CL of the elevator", d.Controls["elevator"].CL, 1},
		{"Cn of the rudder", d.Controls["rudder"].Cn, 1}, {"CY of the rudder", d.Controls["rudder"].CY, -1},
	} {
		if !(c.value*c.sign > 0.001) {
			t.Errorf("%s is %.4f", c.name, c.value)
		}
	}
	for name, v := range map[string]float64{"CLβ": d.Beta.CL, "Cmβ": d.Beta.Cm, "Clα": d.Alpha.Cl, "Cnq": d.Q.Cn, "CL of ailerons": d.Controls["aileron"].CL} {
		near(t, name, v, 0, 1e-9)
	}
	if !(d.NeutralPoint > 3.3 && d.NeutralPoint < 4.2) {
		t.Errorf("neutral point %v", d.NeutralPoint)
	}
}

// TestRotation: a plate that pitches or rolls sees the flow of one that is curved or twisted alike.
func TestRotation(t *testing.T) {
	s, ref := wing(5, 0.7, 0.3)
	m := model(t, Settings{Reference: ref}, s)
	const q = 0.02
	pitching := solve(t, m, State{Q: q, Point: Point{X: 0.4}})
	curved := s
	curved.Stations = append([]Station(nil), s.Stations...)
	for i := range curved.Stations {
		e := &curved.Stations[i]
		x, c := e.LeadingEdge.X-0.4, e.Chord
		e.Twist, e.Camber = 0, func(f unit.Ratio) unit.Ratio { return -q * (x + c*f) } // w/V = q x
	}
	straight := solve(t, model(t, Settings{Reference: ref}, curved), State{})
	for i, strip := range pitching.Strips {
		// Between stations camber is mixed, not the chord: exact at first order only.
		near(t, "circulation in pitch", strip.Circulation, straight.Strips[i].Circulation, 2e-4)
	}
	const p = 0.02
	rolling := solve(t, m, State{P: p})
	twisted := s
	twisted.Mirrored = false
	tip := s.Stations[1]
	port, root := tip, s.Stations[0]
	port.LeadingEdge.Y, port.Twist, tip.Twist = -tip.LeadingEdge.Y, -p*tip.LeadingEdge.Y, p*tip.LeadingEdge.Y
	twisted.Stations = []Station{port, root, tip}
	still := solve(t, model(t, Settings{Reference: ref, Even: true}, twisted), State{})
	rolling = solve(t, model(t, Settings{Reference: ref, Even: true}, s), State{P: p})
	for i := range rolling.Strips {
		near(t, "total", rolling.Cl, still.Cl, 1e-9)
		if rolling.Strips[i].Middle.Y > 0 {
			near(t, "circulation in roll", rolling.Strips[i].Circulation, still.Strips[i].Circulation, 1e-9)
		}
	}
	if !(rolling.Cl < 0) {
		t.Errorf("roll to starboard gives Cl %v", rolling.Cl)
	}
}

// TestRollDamping compares with strip and lifting-line theory: −πA/(4(A + 4)) for an elliptic wing, recalled; the lattice is below the line by some per cent.
func TestRollDamping(t *testing.T) {
	s := Surface{Name: "wing", Mirrored: true}
	for i := range 21 {
		eta := math.Sin(float64(i) / 20 * math.Pi / 2)
		c := max(0.02, math.Sqrt(1-eta*eta))
		s.Stations = append(s.Stations, Station{LeadingEdge: Point{X: -c / 4, Y: 5 * eta}, Chord: c})
	}
	ref := Reference{Area: s.Area(), Chord: 1, Span: 10}
	aspect := 100 / ref.Area
	d := need[Derivatives](t)(model(t, Settings{Reference: ref, Rows: 2, Strips: 20}, s).Derivatives(State{}))
	line := -math.Pi * aspect / (4 * (aspect + 4))
	near(t, "Clp", d.P.Cl, line, 0.08*math.Abs(line))
}

// TestFlap: a flap on a very long wing has the effectiveness of thin-aerofoil theory, and a hinge at the leading edge turns the whole.
func TestFlap(t *testing.T) {
	s, ref := wing(2000, 1, 0)
	const E = 0.25
	s.Controls = []Control{{Name: "flap", Chord: E}, {Name: "all"}}
	d := need[Derivatives](t)(model(t, Settings{Reference: ref, Rows: 40, Strips: 8}, s).Derivatives(State{}))
	theta := math.Acos(2*E - 1)
	tau := 1 - (theta-math.Sin(theta))/math.Pi
	near(t, "τ", d.Controls["flap"].CL/d.Alpha.CL, tau, 0.01)
	near(t, "whole", d.Controls["all"].CL, d.Alpha.CL, 1e-6)
	near(t, "dcm/dδ", d.Controls["flap"].Cm+0.25*d.Controls["flap"].CL, -2*math.Sqrt(E*math.Pow(1-E, 3)), 0.02)
}

// TestCamber: a parabolic mean line turns the zero-lift angle by twice its height over the chord, and so does ZeroLift itself.
func TestCamber(t *testing.T) {
	s, ref := wing(2000, 1, 0)
	const height = 0.02
	cambered, turned := s, s
	cambered.Stations, turned.Stations = append([]Station(nil), s.Stations...), append([]Station(nil), s.Stations...)
	for i := range s.Stations {
		cambered.Stations[i].Camber = func(x unit.Ratio) unit.Ratio { return 4 * height * (1 - 2*x) }
		turned.Stations[i].ZeroLift = -2 * height
	}
	a := solve(t, model(t, Settings{Reference: ref, Rows: 20}, cambered), State{})
	b := solve(t, model(t, Settings{Reference: ref}, turned), State{})
	c := solve(t, model(t, Settings{Reference: ref}, s), State{Alpha: math.Asin(2 * height)})
	near(t, "ZeroLift", b.CL, c.CL, 4e-4)
	near(t, "camber", a.CL, b.CL, 0.01*b.CL)
	if !(a.Cm < b.Cm-0.02) {
		t.Errorf("camber has Cm %v, incidence %v", a.Cm, b.Cm)
	}
}

// TestGround: the ground raises the lift slope and lowers the induced drag, and its image is a second aeroplane below.
func TestGround(t *testing.T) {
	s, ref := wing(8, 1, 0)
	free := solve(t, model(t, Settings{Reference: ref}, s), State{Alpha: 0.1})
	low := solve(t, model(t, Settings{Reference: ref, Ground: 0.8}, s), State{Alpha: 0.1})
	if !(low.CL > 1.05*free.CL && low.CDi/low.CL/low.CL < 0.7*free.CDi/free.CL/free.CL) {
		t.Errorf("CL %v, CDi %v; free %v, %v", low.CL, low.CDi, free.CL, free.CDi)
	}
	below := s
	below.Name = "image"
	below.Stations = append([]Station(nil), s.Stations...)
	for i := range below.Stations {
		below.Stations[i].LeadingEdge.Z = -1.6
		below.Stations[i].Twist = -2 * 0.1 // seen against α = 0.1
	}
	s.Stations = append([]Station(nil), s.Stations...)
	double := solve(t, model(t, Settings{Reference: ref}, s, below), State{Alpha: 0.1})
	near(t, "CL beside an image", double.Loads[0].CL, low.CL, 2e-3*low.CL)
	near(t, "CDi beside an image", double.Loads[0].CDi, low.CDi, 4e-3*low.CDi)
}

// TestInduced: behind a wing the air goes down, beside and ahead of it up; and the wash on a surface is what Interference says.
func TestInduced(t *testing.T) {
	m := model(t, Settings{Reference: canardReference, Strips: 10}, canard()[0], canard()[1])
	s := State{Alpha: 0.1}
	v := need[[]Velocity](t)(m.Induced(s, []Point{{X: 30, Y: 0.5, Z: 0.1}, {X: 30, Y: 6}, {X: -1}, {X: 30, Y: -0.5, Z: 0.1}}))
	if !(v[0].Z < 0 && v[1].Z > 0 && v[2].Z > 0) {
		t.Errorf("%v", v)
	}
	near(t, "port", v[3].Z, v[0].Z, 1e-12)
	near(t, "port sidewash", v[3].Y, -v[0].Y, 1e-12)
	w := need[[][]unit.Angle](t)(m.Interference(s))
	if !(w[1][0] < 0 && w[0][0] > 0 && w[1][1] > 0) {
		t.Errorf("wash %v", w)
	}
	// Without flow through the panels, the wash of all on each is the mean angle of the stream: α with twist and camber.
	for i, surface := range m.mesh.surfaces {
		angle, area := 0.0, 0.0
		for _, strip := range m.mesh.strips {
			for j := strip.first; strip.surface == i && j < strip.first+strip.rows; j++ {
				size := strip.chord * strip.width * (strip.edges[j-strip.first+1] - strip.edges[j-strip.first])
				angle += size * (math.Sin(s.Alpha)*m.mesh.normal[j].z + math.Cos(s.Alpha)*m.mesh.fixed[j])
				area += size
			}
		}
		near(t, "wash of all on the "+surface.Name, w[i][0]+w[i][1], angle/area, 1e-9)
	}
	r := solve(t, m, State{Beta: 0.1, Alpha: 0.1})
	if r.Wake.String() != "wakes along x" || !strings.Contains(r.String(), "wakes along x") {
		t.Errorf("%s", r)
	}
	if _, err := m.Induced(s, []Point{{X: math.NaN()}}); err == nil {
		t.Error("a point that is not a number")
	}
}

// TestWake: along the stream the wake of a foreplane leaves the wing below it less or more alone, and the result says which wake it has.
func TestWake(t *testing.T) {
	s := Settings{Reference: canardReference, Strips: 10}
	surfaces := []Surface{canard()[0], canard()[1]}
	x := solve(t, model(t, s, surfaces...), State{Alpha: 0.15})
	s.Wake = Wake{Alpha: 0.15}
	stream := solve(t, model(t, s, surfaces...), State{Alpha: 0.15})
	if !(math.Abs(stream.CL-x.CL) > 1e-3) || !strings.Contains(stream.String(), "free stream at α 8.59°") {
		t.Errorf("CL %v, %v; %s", x.CL, stream.CL, stream)
	}
	if other := solve(t, model(t, s, surfaces...), State{Alpha: 0.05}); len(other.Notes) != 1 {
		t.Errorf("notes %q", other.Notes)
	}
	s.Wake = Wake{Beta: 0.1}
	solve(t, model(t, s, surfaces...), State{Alpha: 0.05, Beta: 0.1})
}

func TestErrors(t *testing.T) {
	base := func() Surface { return Trapezoid("wing", Point{}, 8, 1, 1, 0, 0, 0) }
	settings := Settings{Reference: anyReference, Rows: 2, Strips: 4}
	change := func(f func(s *Surface)) []Surface {
		s := base()
		f(&s)
		return []Surface{s}
	}
	var (
		span       *SpanError
		crossing   *CrossingError
		coincident *CoincidentError
		wake       *WakeError
		bound      *unit.RangeError
		positive   *unit.PositiveError
	)
	upright := Surface{Name: "fin", Stations: []Station{{LeadingEdge: Point{X: 0.2, Y: 1, Z: -1}, Chord: 0.5}, {LeadingEdge: Point{X: 0.2, Y: 1, Z: 1}, Chord: 0.5}}}
	behind := Surface{Name: "fin", Mirrored: true, Stations: []Station{{LeadingEdge: Point{X: 5, Y: 0.9, Z: -1}, Chord: 0.5}, {LeadingEdge: Point{X: 5, Y: 0.9, Z: 2}, Chord: 0.5}}}
	second := base()
	second.Name = "other"
	for name, c := range map[string]struct {
		surfaces []Surface
		settings func(s *Settings)
		target   any
	}{
		"span":       {change(func(s *Surface) { s.Stations[1].LeadingEdge = s.Stations[0].LeadingEdge }), nil, &span},
		"stations":   {change(func(s *Surface) { s.Stations = nil }), nil, &span},
		"chord":      {change(func(s *Surface) { s.Stations[1].Chord = 0 }), nil, &positive},
		"NaN":        {change(func(s *Surface) { s.Stations[1].LeadingEdge.Z = math.NaN() }), nil, &bound},
		"twist":      {change(func(s *Surface) { s.Stations[0].Twist = math.NaN() }), nil, &bound},
		"camber":     {change(func(s *Surface) { s.Stations[0].Camber = func(float64) float64 { return math.NaN() } }), nil, &bound},
		"flap":       {change(func(s *Surface) { s.Controls = []Control{{Name: "flap", Chord: 2}} }), nil, &bound},
		"ends":       {change(func(s *Surface) { s.Controls = []Control{{Name: "flap", From: 0.5, To: 0.5}} }), nil, &positive},
		"Mach":       {[]Surface{base()}, func(s *Settings) { s.Mach = 1 }, &bound},
		"Mach NaN":   {[]Surface{base()}, func(s *Settings) { s.Mach = math.NaN() }, &bound},
		"area":       {[]Surface{base()}, func(s *Settings) { s.Reference.Area = 0 }, &positive},
		"crossing":   {[]Surface{base(), upright}, nil, &crossing},
		"coincident": {[]Surface{base(), second}, nil, &coincident},
	} {
		s := settings
		if c.settings != nil {
			c.settings(&s)
		}
		if _, err := New(c.surfaces, s); err == nil || !errors.As(err, c.target) {
			t.Errorf("%s: %v", name, err)
		}
	}
	onLeg := onWake(t, behind, settings)
	if _, err := New(onLeg, settings); !errors.As(err, &wake) {
		t.Errorf("wake: %v", err)
	}
	withCore := settings
	withCore.Core = 0.05
	solve(t, model(t, withCore, onLeg...), State{Alpha: 0.1})
	m := model(t, settings, base())
	for _, s := range []State{{Alpha: math.NaN()}, {Alpha: 2}, {P: math.Inf(1)}, {Point: Point{X: math.NaN()}}, {Deflections: map[string]unit.Angle{"flap": 0.1}}} {
		if r, err := m.Solve(s); err == nil {
			t.Errorf("%+v: %v", s, r.CL)
		}
	}
}

// onWake puts an upright fin so that one of its control points is on a trailing vortex of the wing.
func onWake(t *testing.T, fin Surface, s Settings) []Surface {
	surfaces := []Surface{fin, Trapezoid("wing", Point{}, 8, 1, 1, 0, 0, 0)}
	s.Core = 1
	p := model(t, s, surfaces...).mesh.point[0]
	for i := range fin.Stations {
		fin.Stations[i].LeadingEdge.Z -= p.z
	}
	return surfaces
}

// TestStop: a context ends the computation, and the model can be used afterwards.
func TestStop(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	told := 0
	s := Settings{Reference: canardReference, Stop: ctx.Err}
	m := model(t, s, canard()...)
	if _, err := m.Solve(State{Alpha: 0.1}); !errors.Is(err, context.Canceled) {
		t.Errorf("%v", err)
	}
	m.settings.Stop = nil
	stages := map[string]unit.Ratio{}
	m.settings.Progress = func(stage string, done unit.Ratio) {
		if done >= 0 && done <= 1 {
			told++
			stages[stage] = max(stages[stage], done)
		}
	}
	solve(t, m, State{Alpha: 0.1})
	if told < 20 || stages[stageAssembly] != 1 || stages[stageVelocities] != 1 || stages[stageFactorisation] < 0.99 {
		t.Errorf("progress was told %d times, %v", told, stages)
	}
}

// TestWash: maps in both planes hold what Induced says, in their order, and leave gaps on vortices.
func TestWash(t *testing.T) {
	m := model(t, Settings{Reference: canardReference, Strips: 8, Rows: 3}, canard()[:2]...)
	s := State{Alpha: 0.1, Beta: 0.05}
	x, y, z := []float64{1, 2.5, 7}, []float64{-3, 0.4}, []float64{0.5, 0.7}
	level := need[Wash](t)(m.Wash(s, Plane{X: x, Y: y, Z: z[:1]}))
	across := need[Wash](t)(m.Wash(s, Plane{X: x[2:], Y: y, Z: z, Across: true}))
	for j := range y {
		v := need[[]Velocity](t)(m.Induced(s, []Point{{X: 2.5, Y: y[j], Z: 0.5}, {X: 7, Y: y[j], Z: 0.7}}))
		near(t, "downwash at a height", level.Down[1][j], -v[0].Z, 1e-15)
		near(t, "downwash at a station", across.Down[1][j], -v[1].Z, 1e-15)
	}
	corner := vec{m.mesh.x[0], m.mesh.lineY[0], m.mesh.lineZ[0]}
	gap := need[Wash](t)(m.Wash(s, Plane{X: []float64{corner.x, corner.x + 20}, Y: []float64{corner.y, corner.y + 1}, Z: []float64{corner.z}}))
	if !math.IsNaN(gap.Down[0][0]) || math.IsNaN(gap.Down[1][1]) {
		t.Errorf("at the end of a vortex the downwash is %v", gap.Down)
	}
	var wrong *PlaneError
	for _, p := range []Plane{{}, {X: x, Y: y, Z: z}, {X: x, Y: y, Z: z, Across: true}} {
		if _, err := m.Wash(s, p); !errors.As(err, &wrong) {
			t.Errorf("%+v: %v", p, err)
		}
	}
	if _, err := m.Wash(s, Plane{X: x, Y: y, Z: []float64{math.NaN()}}); err == nil {
		t.Error("a height that is not a number")
	}
}

// TestShares: what strips add, on both sides and in the plane of symmetry, is the whole; each surface likewise.
func TestShares(t *testing.T) {
	for _, whole := range []bool{false, true} {
		m := model(t, Settings{Reference: canardReference, Strips: 8, Rows: 4, Whole: whole}, canard()...)
		r := solve(t, m, every())
		var strips, surfaces Result
		sum := func(to *Coefficients, c Coefficients) {
			*to = Coefficients{to.CL + c.CL, to.CD + c.CD, to.CY + c.CY, to.Cl + c.Cl, to.Cm + c.Cm, to.Cn + c.Cn, to.CDi + c.CDi}
		}
		for _, s := range r.Strips {
			sum(&strips.Coefficients, s.Share)
		}
		for _, l := range r.Loads {
			sum(&surfaces.Coefficients, l.Coefficients)
		}
		same(t, "strips", strips, r, 1e-12)
		same(t, "surfaces", surfaces, r, 1e-12)
	}
}

// TestTooMany: a mesh that no memory holds is refused, not tried.
func TestTooMany(t *testing.T) {
	var bound *unit.RangeError
	if _, err := New([]Surface{flat("wing", 0, 0, 8)}, Settings{Reference: anyReference, Rows: 200, Strips: 100}); !errors.As(err, &bound) {
		t.Errorf("%v", err)
	}
}

// TestSplit: a wing in two pieces that touch along an edge is the wing in one; a gap between them costs lift, the more the wider, and a narrow one not yet all that
// two wings lose.
func TestSplit(t *testing.T) {
	chord := func(x, y, c float64) Station { return Station{LeadingEdge: Point{X: x, Y: y, Z: 0.1 * y}, Chord: c} }
	inner := Surface{Name: "inner", Mirrored: true, Stations: []Station{chord(0, 0, 1.2), chord(0.3, 2, 1)}}
	outer := Surface{Name: "outer", Mirrored: true, Stations: []Station{chord(0.3, 2, 1), chord(1, 4, 0.6)}}
	one := Surface{Name: "one", Mirrored: true, Stations: []Station{inner.Stations[0], inner.Stations[1], outer.Stations[1]}}
	s := Settings{Reference: Reference{Area: 7.6, Chord: 1, Span: 8}, Rows: 4, Strips: 12}
	whole := solve(t, model(t, s, one), State{Alpha: 0.1, Beta: 0.05})
	s.Strips = 6 // on the longer piece
	same(t, "in two pieces", solve(t, model(t, s, inner, outer), State{Alpha: 0.1, Beta: 0.05}), whole, 1e-10)
	last := whole.CL
	for _, gap := range []float64{0.001, 0.02, 0.2} {
		apart := outer
		apart.Stations = []Station{chord(0.3, 2+gap, 1), chord(1, 4+gap, 0.6)}
		r := solve(t, model(t, s, inner, apart), State{Alpha: 0.1, Beta: 0.05})
		if !(r.CL < last && r.CL > 0.7*whole.CL) {
			t.Errorf("a gap of %g m gives CL %.4f after %.4f", gap, r.CL, last)
		}
		last = r.CL
	}
}

// TestSweep: states in order, one factorisation for all, and hooks that are asked.
func TestSweep(t *testing.T) {
	m := model(t, Settings{Reference: canardReference, Strips: 6, Rows: 3}, canard()...)
	var states []State
	for i := range 600 {
		states = append(states, State{Alpha: float64(i%21) * 0.01, Point: Point{X: 3 + 0.01*float64(i%11)}})
	}
	all := need[[]Coefficients](t)(m.Sweep(states))
	for _, i := range []int{0, 7, 599} {
		if want := need[Coefficients](t)(m.Coefficients(states[i])); all[i] != want {
			t.Errorf("state %d has %v, want %v", i, all[i], want)
		}
	}
	if len(all) != len(states) || m.Factorisations() != 1 {
		t.Errorf("%d of %d states, %d factorisations", len(all), len(states), m.Factorisations())
	}
	states[400].Alpha = math.NaN()
	var bound *unit.RangeError
	if _, err := m.Sweep(states); !errors.As(err, &bound) || !strings.Contains(err.Error(), "state 401 of 600") {
		t.Errorf("%v", err)
	}
	m.settings.Stop = func() error { return errStop }
	if _, err := m.Sweep(states); err != errStop {
		t.Errorf("%v", err)
	}
}

// TestLoads: coefficients of a surface on its own area, and the drag of a strip as its circulation in the downwash far behind, which a lifting wing has all along.
func TestLoads(t *testing.T) {
	m := model(t, Settings{Reference: canardReference, Strips: 10, Rows: 3}, canard()[:2]...)
	r := solve(t, m, State{Alpha: 0.1})
	for i, l := range r.Loads {
		near(t, "own area", l.OwnArea, m.mesh.surfaces[i].Area(), 1e-12)
		near(t, "lift", l.OwnCL*l.OwnArea, l.CL*r.Reference.Area, 1e-12)
	}
	alone := solve(t, model(t, Settings{Reference: anyReference, Strips: 10, Rows: 3}, flat("wing", 0, 0, 2)), State{Alpha: 0.1})
	for _, s := range alone.Strips {
		near(t, "drag", s.InducedDrag, s.Circulation*s.Downwash*s.Width, 1e-12)
		if !(s.Downwash > 0 && s.InducedDrag > 0) {
			t.Errorf("downwash %g, drag %g", s.Downwash, s.InducedDrag)
		}
	}
}
