package lattice

import (
	"errors"
	"math"
	"testing"

	"foreplane/aerolib/internal/reference"
	"foreplane/aerolib/unit"
)

// TestClosedForms: the formulas of the textbooks, beside which the lattice stands in TestInterferenceFactor.
func TestClosedForms(t *testing.T) {
	all := func(id, mark string, f func(unit.Ratio) (unit.Ratio, error)) {
		reference.Check(t, id, 0, func(in reference.Inputs) reference.Values {
			out := reference.Values{}
			for name := range reference.Load(t, id).Expected {
				out[name] = need[unit.Ratio](t)(f(after(t, name, mark)))
			}
			return out
		})
	}
	all("M4", "@", BiplaneInterference)
	all("M12", "h/b=", GroundInterference)
	all("M13", "@", GroundFactor)
	reference.Check(t, "M8", 0, func(in reference.Inputs) reference.Values {
		return reference.Values{"e=1/k": 1 / need[unit.Ratio](t)(BoxDrag(in.Get("h/b")))}
	})
	reference.Check(t, "M14", 0, func(in reference.Inputs) reference.Values {
		low, high := 1e-3, 1.0
		for range 60 {
			if middle := (low + high) / 2; need[unit.Ratio](t)(GroundFactor(middle)) < in.Get("G") {
				low = middle
			} else {
				high = middle
			}
		}
		return reference.Values{"h/b": low}
	})
	for name, f := range map[string]func(unit.Ratio) (unit.Ratio, error){
		"biplane": BiplaneInterference, "box": BoxDrag, "ground": GroundInterference, "factor": GroundFactor,
	} {
		for _, bad := range []float64{math.NaN(), -0.1, 0} {
			if v, err := f(bad); err == nil {
				t.Errorf("%s of %v is %v", name, bad, v)
			}
		}
	}
}

// TestMcCormick: the lattice has the exact drag of an elliptic load near the ground, which the note of M13 gives and its formula misses.
func TestMcCormick(t *testing.T) {
	for height, want := range map[float64]float64{0.05: 0.344, 0.1: 0.516, 0.25: 0.768} {
		m := model(t, Settings{Reference: anyReference, Rows: 1, Strips: 60, Ground: height}, flat("1", 0, 0, 1))
		d, l := pairDrag(m, 0, 0, elliptic(m, 1))
		near(t, "drag near the ground over that in free air", d*math.Pi/(l*l), want, 1e-3)
	}
}

// TestStallOrder computes the greatest trimmed lift of a linear aeroplane, where the first strip of either surface reaches the greatest lift of its section.
func TestStallOrder(t *testing.T) {
	reference.Check(t, "T11", 0, func(in reference.Inputs) reference.Values {
		wing, fore := described(in, "wing"), described(in, "foreplane")
		fore.Controls = []Control{{Name: "δ"}}
		ref := Reference{Area: in.Get("Sref"), Chord: in.Get("cref"), Span: in.Get("bref")}
		m := model(t, Settings{Reference: ref, Rows: 8, Strips: 40}, wing, fore)
		l := linear{m, solve(t, m, State{})}
		CLa, Cma, _ := l.slope(t, State{Alpha: step})
		deflected := State{Deflections: map[string]unit.Angle{"δ": step}}
		CLd, Cmd, _ := l.slope(t, deflected)
		zero, alpha, delta := l.zero, solve(t, m, State{Alpha: step}), solve(t, m, deflected)
		limit := map[string]float64{"wing": in.Get("cl_max_wing"), "foreplane": in.Get("cl_max_canard")}
		out := reference.Values{}
		for name := range reference.Load(t, "T11").Expected {
			cg := -Cma/CLa - after(t, name, "SM=") // in chords
			det := CLa*(Cmd+cg*CLd) - CLd*(Cma+cg*CLa)
			// dα/dCL and dδ/dCL of trim, and both at no lift.
			byA, byD := (Cmd+cg*CLd)/det, -(Cma+cg*CLa)/det
			r1, r2 := -zero.CL, -(zero.Cm + cg*zero.CL)
			a0, d0 := (r1*(Cmd+cg*CLd)-CLd*r2)/det, (CLa*r2-(Cma+cg*CLa)*r1)/det
			most, first := math.Inf(1), 0.0
			for i, s := range zero.Strips {
				cla, cld := (alpha.Strips[i].CL-s.CL)/step, (delta.Strips[i].CL-s.CL)/step
				if CL := (limit[s.Surface] - s.CL - cla*a0 - cld*d0) / (cla*byA + cld*byD); CL > 0 && CL < most {
					most, first = CL, map[string]float64{"wing": 0, "foreplane": 1}[s.Surface]
				}
			}
			if name[0] == 'C' {
				out[name] = most
			} else {
				out[name] = first
			}
		}
		return out
	})
}

// trimmable is an aeroplane of two surfaces, of the given rows and strips.
func trimmable(t testing.TB, rows, strips int) *Model {
	wing := Trapezoid("wing", Point{X: 3.2}, 8.4, 1.4, 0.7, 22*unit.Degree, 0, -1.5*unit.Degree)
	fore := Trapezoid("foreplane", Point{X: 0.6, Z: 0.2}, 3.8, 0.44, 0.36, 3*unit.Degree, 0, 0)
	fore.Controls = []Control{{Name: "foreplane angle"}, {Name: "elevator", Chord: 0.3}}
	wing.Controls = []Control{{Name: "incidence"}}
	return model(t, Settings{Reference: canardReference, Rows: rows, Strips: strips}, wing, fore)
}

// TestTrimExact: the state that Trim finds has the lift and the moment that were asked for, in pitching flight too, and what was given of it stays.
func TestTrimExact(t *testing.T) {
	m := trimmable(t, 4, 12)
	for _, control := range []string{"foreplane angle", "elevator"} {
		for _, CL := range []float64{0.2, 0.9} {
			given := State{Q: 0.004, Point: Point{X: 3.4, Z: 0.1}, Deflections: map[string]unit.Angle{"incidence": 0.01}}
			s := need[State](t)(m.Trim(given, control, CL, 0.02))
			r := solve(t, m, s)
			near(t, "CL", r.CL, CL, 1e-9)
			near(t, "Cm", r.Cm, 0.02, 1e-9)
			if s.Q != given.Q || s.Point != given.Point || s.Deflections["incidence"] != 0.01 || len(given.Deflections) != 1 {
				t.Errorf("%+v", s)
			}
		}
	}
	var short *TrimError
	if _, err := m.Trim(State{Point: Point{X: 3.4}}, "elevator", 6, 0); !errors.As(err, &short) || !short.Determined || math.IsNaN(short.CL+short.Cm) {
		t.Errorf("more lift than there is: %v", err)
	}
	alone := wingWithIncidence(t)
	if s, err := alone.Trim(State{}, "incidence", 0.5, 0); !errors.As(err, &short) || short.Determined {
		t.Errorf("a wing against its own incidence: %+v, %v", s, err)
	}
	if _, err := m.Trim(State{}, "rudder", 0.5, 0); err == nil {
		t.Error("a control that does not exist")
	}
	if _, err := m.Trim(State{}, "elevator", math.NaN(), 0); err == nil {
		t.Error("CL is not a number")
	}
}

func wingWithIncidence(t *testing.T) *Model {
	s, ref := wing(6, 1, 0)
	s.Controls = []Control{{Name: "incidence"}}
	return model(t, Settings{Reference: ref, Rows: 2, Strips: 6}, s)
}

// TestInducedDrags: the parts add up to the whole, the mutual drag of surfaces is shared as Prandtl has it, and in the plane of symmetry nothing counts twice.
func TestInducedDrags(t *testing.T) {
	m := model(t, Settings{Reference: canardReference, Strips: 8, Rows: 3}, canard()...)
	for _, s := range []State{{Alpha: 0.1}, every()} {
		sum := 0.0
		for i, row := range need[[][]unit.Coefficient](t)(m.InducedDrags(s)) {
			surface := 0.0
			for _, d := range row {
				surface += d
			}
			near(t, "drag of a surface", surface, solve(t, m, s).Loads[i].CDi, 1e-12)
			sum += surface
		}
		near(t, "drag of all", sum, solve(t, m, s).CDi, 1e-12)
	}
	tandem := model(t, Settings{Reference: anyReference, Rows: 1, Strips: 60}, flat("front", 0, 0.3, 2), flat("rear", 3, 0, 2))
	d := need[[][]unit.Coefficient](t)(tandem.InducedDrags(State{Alpha: 0.1}))
	near(t, "mutual drag", d[0][1], d[1][0], 2e-3*d[1][0])
}
