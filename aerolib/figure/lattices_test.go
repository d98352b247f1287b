package figure

import (
	"math"
	"strings"
	"testing"

	"foreplane/aerolib/lattice"
	"foreplane/aerolib/unit"
)

// surfacesOf is an aeroplane with foreplane, swept wing, tip fins and dihedral.
func surfacesOf() []lattice.Surface {
	wing := lattice.Trapezoid("wing", lattice.Point{X: 3.2}, 8.4, 1.4, 0.7, 22*unit.Degree, 0, -1.5*unit.Degree)
	wing.Stations[1].LeadingEdge.Z = 0.3
	fore := lattice.Trapezoid("foreplane", lattice.Point{X: 0.6, Z: 0.2}, 3.8, 0.44, 0.36, 3*unit.Degree, 2*unit.Degree, 2*unit.Degree)
	tip := wing.Stations[1].LeadingEdge
	fins := lattice.Surface{Name: "tip fins", Mirrored: true, Stations: []lattice.Station{
		{LeadingEdge: tip, Chord: 0.7}, {LeadingEdge: lattice.Point{X: tip.X + 0.5, Y: tip.Y + 0.05, Z: tip.Z + 0.9}, Chord: 0.4},
	}}
	return []lattice.Surface{wing, fore, fins}
}

func solved(t testing.TB, s lattice.State) (*lattice.Model, lattice.Result) {
	t.Helper()
	m, err := lattice.New(surfacesOf(), lattice.Settings{Reference: lattice.Reference{Area: 8.82, Chord: 1.089, Span: 8.4}, Core: 0.15})
	if err != nil {
		t.Fatal(err)
	}
	r, err := m.Solve(s)
	if err != nil {
		t.Fatal(err)
	}
	return m, r
}

func washOf(t testing.TB, m *lattice.Model, s lattice.State, p lattice.Plane) lattice.Wash {
	t.Helper()
	w, err := m.Wash(s, p)
	if err != nil {
		t.Fatal(err)
	}
	return w
}

// TestLatticeGolden holds the figures whose picture is lines to their golden files.
func TestLatticeGolden(t *testing.T) {
	_, r := solved(t, lattice.State{Alpha: 6 * unit.Degree})
	for name, f := range map[string]*Figure{
		"loading": Loading(r), "local-lift": LocalLift(r),
		"three-view": ThreeView("A canard from three sides", surfacesOf(), Station{CentreOfGravity, "CG", 3.4}, Station{NeutralPoint, "neutral point", 3.66}),
	} {
		got, err := f.SVG()
		if err != nil {
			t.Fatal(err)
		}
		wellFormed(t, got)
		golden(t, name+".svg", got)
		golden(t, name+".txt", []byte(f.AltText()+"\n\n"+asText(f.Data())+"\n"))
	}
}

// TestLoading: from tip to tip the curve of each surface rises in y, is symmetric, and its integral is the lift; fins are left out and named.
func TestLoading(t *testing.T) {
	_, r := solved(t, lattice.State{Alpha: 6 * unit.Degree})
	f := Loading(r)
	if len(f.series) != 2 || f.series[0].label != "wing" || !strings.Contains(f.Caption, "Not shown: tip fins") || !strings.Contains(f.Caption, "wakes along x") {
		t.Fatalf("%d series, caption %q", len(f.series), f.Caption)
	}
	lift := 0.0
	for _, s := range f.series {
		last := len(s.x) - 1
		for i := 1; i <= last; i++ {
			if !(s.x[i] > s.x[i-1]) || math.Abs(s.y[i]-s.y[last-i]) > 1e-9 {
				t.Fatalf("%s: point %d is (%g, %g) after %g", s.label, i, s.x[i], s.y[i], s.x[i-1])
			}
			lift += (s.y[i] + s.y[i-1]) / 2 * (s.x[i] - s.x[i-1])
		}
	}
	if lift *= r.Reference.Chord / r.Reference.Area; math.Abs(lift-r.CL) > 0.02*r.CL {
		t.Errorf("the integral gives CL %.4f, want %.4f", lift, r.CL)
	}
	local := LocalLift(r).series[0]
	for i, s := range f.series[0].y {
		if local.y[i] <= s*0.7 {
			t.Errorf("local lift %g where the loading is %g", local.y[i], s)
		}
	}
}

// TestWashMap: a map holds the values where they belong, in both planes, with a key that goes with it, downwash blue and upwash orange.
func TestWashMap(t *testing.T) {
	s := lattice.State{Alpha: 6 * unit.Degree}
	m, _ := solved(t, s)
	x, y, z := span(-0.5, 9, 20), span(-6, 6, 25), span(-2, 2, 9)
	level := washOf(t, m, s, lattice.Plane{X: x, Y: y, Z: []float64{-0.3}})
	across := washOf(t, m, s, lattice.Plane{X: []float64{2.5}, Y: y, Z: z, Across: true})
	for name, c := range map[string]struct {
		f    *Figure
		rows []float64
		w    lattice.Wash
	}{"level": {WashMap(level, surfacesOf()...), x, level}, "across": {WashMap(across, surfacesOf()...), z, across}} {
		sheet, err := c.f.layout()
		if err != nil {
			t.Fatal(name, err)
		}
		field := sheet.fields[0]
		for i, row := range c.rows {
			if got, want := field.at(y[7], row), c.w.Down[i][7]/unit.Degree; math.Abs(got-want) > 1e-9 {
				t.Errorf("%s: at %g, %g the map has %g°, want %g°", name, y[7], row, got, want)
			}
		}
		middle := (y[7] + y[8]) / 2
		if got, want := field.at(middle, c.rows[2]), (c.w.Down[2][7]+c.w.Down[2][8])/2/unit.Degree; math.Abs(got-want) > 1e-9 {
			t.Errorf("%s: between two points the map has %g°, want %g°", name, got, want)
		}
		for _, end := range []float64{c.rows[0], c.rows[len(c.rows)-1]} {
			if got, want := field.at(field.strip+0.01, end), sheet.right.from(end); math.Abs(got-want) > 1e-9 || math.Abs(math.Abs(got)-field.most) > 1e-9 {
				t.Errorf("%s: the key has %g° at %g, its axis %g°", name, got, end, want)
			}
		}
		if down, up := field.color(field.most), field.color(-field.most); !(down.B > down.R && up.R > up.B) || field.color(0) != ground || field.color(math.NaN()) != ground {
			t.Errorf("%s: downwash is %v, upwash %v", name, down, up)
		}
		svg, err := c.f.SVG()
		if err != nil {
			t.Fatal(name, err)
		}
		wellFormed(t, svg)
		if text := c.f.AltText(); !strings.Contains(text, "Map of downwash") || strings.Contains(text, "outline") || len(svg) > 60_000 {
			t.Errorf("%s: %d bytes, %q", name, len(svg), text)
		}
		if d := c.f.Data(); len(d.Rows) != len(c.rows) || len(d.Header) != 1+len(y) {
			t.Errorf("%s: a table of %d rows and %d columns", name, len(d.Rows), len(d.Header))
		}
	}
}

// TestThreeView: every view has the scale of the others, and lies where the others do not.
func TestThreeView(t *testing.T) {
	f := ThreeView("canard", surfacesOf(), Station{CentreOfGravity, "CG", 3.4})
	if err := f.Err(); err != nil {
		t.Fatal(err)
	}
	above, port, behind := f.shapes[0], f.shapes[1], f.shapes[2]
	for i := range above.x {
		if port.x[i] != above.x[i] || behind.y[i] != port.y[i] || math.Abs(behind.x[i]-behind.x[0]-(above.y[i]-above.y[0])) > 1e-12 {
			t.Errorf("corner %d is at (%g, %g), (%g, %g) and (%g, %g)", i, above.x[i], above.y[i], port.x[i], port.y[i], behind.x[i], behind.y[i])
		}
	}
	if rise := port.y[1] - port.y[0]; math.Abs(rise-0.3) > 1e-12 || port.y[1] > -4.2 || behind.x[0] < 5.8+4.2 {
		t.Errorf("the wing rises by %g; views at %g and %g", rise, port.y[1], behind.x[0])
	}
	if text := f.AltText(); !strings.Contains(text, "flight manual") || strings.Contains(text, "outline") {
		t.Errorf("%q", text)
	}
}

func TestLatticeFiguresRefuse(t *testing.T) {
	for want, f := range map[string]*Figure{
		"no strips":        Loading(lattice.Result{}),
		"was not solved":   WashMap(lattice.Wash{}),
		"no surface":       ThreeView("none", nil),
		"0 stations":       ThreeView("empty", []lattice.Surface{{Name: "wing"}}),
		"not finite":       ThreeView("NaN", []lattice.Surface{lattice.Trapezoid("wing", lattice.Point{X: math.NaN()}, 8, 1, 1, 0, 0, 0)}),
		"no value to show": WashMap(lattice.Wash{Plane: lattice.Plane{X: span(0, 1, 2), Y: span(0, 1, 2), Z: []float64{0}}, Down: [][]float64{{0, 0}, {0, 0}}}),
		"must rise":        WashMap(lattice.Wash{Plane: lattice.Plane{X: []float64{1, 0}, Y: span(0, 1, 2), Z: []float64{0}}, Down: [][]float64{{0, 1}, {0, 1}}}),
	} {
		if _, err := f.SVG(); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("error %v, want %q", err, want)
		}
	}
}
