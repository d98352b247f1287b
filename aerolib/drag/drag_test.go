package drag_test

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/drag"
	"foreplane/aerolib/internal/reference"
	"foreplane/aerolib/lattice"
	"foreplane/aerolib/unit"
)

// need returns v and ends the test on an error.
func need[T any](t testing.TB) func(v T, err error) T {
	return func(v T, err error) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

func near(t testing.TB, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s is %.8g, want %.8g ± %.2g", what, got, want, tolerance)
	}
}

// after returns the number behind a mark in the name of an expected value.
func after(t testing.TB, name, mark string) float64 {
	_, text, _ := strings.Cut(name, mark)
	text, _, _ = strings.Cut(text, ",")
	return need[float64](t)(strconv.ParseFloat(text, 64))
}

// each computes every expected value of a case by its name.
func each(t *testing.T, id string, compute func(in reference.Inputs, name string) float64) {
	reference.Check(t, id, 0, func(in reference.Inputs) reference.Values {
		out := reference.Values{}
		for name := range reference.Load(t, id).Expected {
			out[name] = compute(in, name)
		}
		return out
	})
}

func cruise(t testing.TB) drag.Flight {
	return need[drag.Flight](t)(drag.At(6500*unit.Foot, 110*unit.Knot))
}

func build(t testing.TB, a aircraft.Aircraft, f drag.Flight, o drag.Options) drag.Buildup {
	t.Helper()
	return need[drag.Buildup](t)(drag.Build(a, f, o))
}

func TestFriction(t *testing.T) {
	each(t, "D1", func(_ reference.Inputs, name string) float64 {
		law, text, _ := strings.Cut(name, "@")
		re := need[float64](t)(strconv.ParseFloat(text, 64))
		switch law {
		case "laminar":
			return need[float64](t)(drag.Laminar(re))
		case "Schoenherr":
			return need[float64](t)(drag.Schoenherr(re))
		}
		return need[float64](t)(drag.Turbulent(re, 0))
	})
	cf := need[float64](t)(drag.Schoenherr(3e6))
	near(t, "line of Schoenherr", 0.242/math.Sqrt(cf), math.Log10(3e6*cf), 1e-12)
	near(t, "Mach factor", need[float64](t)(drag.Turbulent(1e7, 0.5))/need[float64](t)(drag.Turbulent(1e7, 0)), math.Pow(1+0.144*0.25, -0.65), 1e-12)
}

// TestBlasius solves f‴ + ½ f f″ = 0 with f(0) = f′(0) = 0 and f′(∞) = 1 by shooting, and holds the constant of Laminar, 4 f″(0), against it.
func TestBlasius(t *testing.T) {
	end := func(curvature float64) float64 {
		y := [3]float64{0, 0, curvature}
		slope := func(y [3]float64) [3]float64 { return [3]float64{y[1], y[2], -y[0] * y[2] / 2} }
		step := func(y, k [3]float64, h float64) [3]float64 {
			return [3]float64{y[0] + h*k[0], y[1] + h*k[1], y[2] + h*k[2]}
		}
		const h = 0.005
		for range 2400 {
			a := slope(y)
			b := slope(step(y, a, h/2))
			c := slope(step(y, b, h/2))
			d := slope(step(y, c, h))
			for i := range y {
				y[i] += h / 6 * (a[i] + 2*b[i] + 2*c[i] + d[i])
			}
		}
		return y[1]
	}
	low, high := 0.1, 0.9
	for range 60 {
		if middle := (low + high) / 2; end(middle) < 1 {
			low = middle
		} else {
			high = middle
		}
	}
	each(t, "D2", func(_ reference.Inputs, name string) float64 {
		if name == "f2(0)" {
			return low
		}
		return 4 * low
	})
	near(t, "constant of Laminar", need[float64](t)(drag.Laminar(4e4))*200, 4*low, 5e-4)
}

func friction(t testing.TB, p drag.Plate) float64 {
	t.Helper()
	return need[float64](t)(p.Friction())
}

// TestMixed: between the laminar and the turbulent plate, and the limits; Prandtl's constants of Schlichting's table (recalled) within 8 %, since they were made with
// another law of friction.
func TestMixed(t *testing.T) {
	plate := drag.Plate{Length: 1, Reynolds: 4e6}
	at := func(tr drag.Transition) float64 { p := plate; p.Transition = tr; return friction(t, p) }
	all, none := at(drag.Transition{Turbulent: true}), need[float64](t)(drag.Laminar(4e6))
	near(t, "turbulent", all, need[float64](t)(drag.Turbulent(4e6, 0)), 0)
	near(t, "transition near the nose", at(drag.Transition{Reynolds: 1.2e4}), all, 1e-5)
	near(t, "laminar", at(drag.Transition{Reynolds: 4e6}), none, 0)
	near(t, "nearly laminar", at(drag.Transition{Reynolds: 3.9999e6}), none, 1e-7)
	near(t, "fraction", at(drag.Transition{Fraction: 0.25}), at(drag.Transition{Reynolds: 1e6}), 1e-15)
	near(t, "zero value", at(drag.Transition{}), at(drag.Transition{Reynolds: 5e5}), 0)
	for last, re := all, 2e4; re < 4e6; re *= 1.2 {
		cf := at(drag.Transition{Reynolds: re})
		if !(cf <= last && cf >= none) {
			t.Errorf("with transition at %g friction is %g, after %g ahead of it", re, cf, last)
		}
		last = cf
	}
	for re, a := range map[float64]float64{3e5: 1050, 5e5: 1700, 1e6: 3300, 3e6: 8700} {
		near(t, fmt.Sprintf("constant for transition at %g", re), (all-at(drag.Transition{Reynolds: re}))*4e6, a, 0.08*a)
	}
}

// TestRoughness: smooth up to the Reynolds number of the cut-off, constant beyond.
func TestRoughness(t *testing.T) {
	rough := func(re float64) float64 {
		return friction(t, drag.Plate{Length: 2, Reynolds: re, Roughness: drag.MattPaint, Transition: drag.Transition{Turbulent: true}})
	}
	cut := 38.21 * math.Pow(2/1.015e-5, 1.053)
	near(t, "below the cut-off", rough(cut/2), need[float64](t)(drag.Turbulent(cut/2, 0)), 0)
	near(t, "at the cut-off", rough(cut), need[float64](t)(drag.Turbulent(cut, 0)), 1e-12)
	near(t, "beyond the cut-off", rough(10*cut), rough(cut), 0)
	fast := friction(t, drag.Plate{Length: 1, Reynolds: 1e7, Mach: 0.5, Transition: drag.Transition{Turbulent: true}})
	near(t, "at a Mach number", fast, need[float64](t)(drag.Turbulent(1e7, 0.5)), 1e-15)
	line := friction(t, drag.Plate{Length: 1, Reynolds: 1e7, Law: drag.SchoenherrLine, Mach: 0.3, Transition: drag.Transition{Turbulent: true}})
	near(t, "the other law", line, need[float64](t)(drag.Schoenherr(1e7))*math.Pow(1+0.144*0.09, -0.65), 1e-15)
}

func value(t testing.TB, factors []drag.Factor, form drag.Form) float64 {
	t.Helper()
	for _, f := range factors {
		if f.Form == form {
			return f.Value
		}
	}
	t.Fatalf("no factor of %s among %v", form, factors)
	return 0
}

func TestForms(t *testing.T) {
	reference.Check(t, "D4", 0, func(in reference.Inputs) reference.Values {
		wing := need[[]drag.Factor](t)(drag.SurfaceForms(drag.Shape{Thickness: in.Get("t/c"), Thickest: in.Get("(x/c)m")}))
		body := need[[]drag.Factor](t)(drag.BodyForms(in.Get("fineness")))
		return reference.Values{
			"wing t/c=.12,x/c=.3": value(t, wing, drag.Raymer), "Hoerner wing t/c=.12": value(t, wing, drag.Hoerner),
			"fuselage f=8": value(t, body, drag.Raymer), "Hoerner body d/l=.125": value(t, body, drag.Hoerner),
			"nacelle f=4": need[float64](t)(drag.NacelleForm(in.Get("fineness of the nacelle"))),
		}
	})
	flat := drag.Shape{Thickness: 0.12, Thickest: 0.4}
	swept := flat
	swept.Sweep, swept.Mach = -40*unit.Degree, 0.5
	ratio := value(t, need[[]drag.Factor](t)(drag.SurfaceForms(swept)), drag.Raymer) / value(t, need[[]drag.Factor](t)(drag.SurfaceForms(flat)), drag.Raymer)
	near(t, "sweep and Mach number", ratio, 1.34*math.Pow(0.5, 0.18)*math.Pow(math.Cos(40*unit.Degree), 0.28), 1e-12)
	for fineness, inside := range map[float64][2]bool{4: {false, true}, 6: {true, true}, 2: {false, false}, 20: {true, true}, 21: {false, false}} {
		for i, f := range need[[]drag.Factor](t)(drag.BodyForms(fineness)) {
			if f.Inside() != inside[i] || strings.Contains(f.String(), "outside") == inside[i] {
				t.Errorf("fineness %g: %v", fineness, f)
			}
		}
	}
}

func TestOswald(t *testing.T) {
	each(t, "D5", func(_ reference.Inputs, name string) float64 {
		sweep := 0.0
		if strings.HasPrefix(name, "swept") {
			sweep = after(t, strings.Replace(name, "@", ",", 1), "swept") * unit.Degree
		}
		return need[float64](t)(drag.RaymerOswald(after(t, name, "@"), sweep))
	})
	at := func(degrees float64) float64 { return need[float64](t)(drag.RaymerOswald(8, degrees*unit.Degree)) }
	near(t, "between straight and swept", at(15), (at(0)+at(30))/2, 1e-12)
}

func TestParabola(t *testing.T) {
	reference.Check(t, "D6", 0, func(in reference.Inputs) reference.Values {
		p := drag.Parabola{CD0: in.Get("CD0"), K: 1 / (4 * in.Get("CD0") * in.Get("LDmax") * in.Get("LDmax"))}
		best, _ := p.LiftToDrag()
		near(t, "greatest L/D", best, in.Get("LDmax"), 1e-12)
		return reference.Values{"f=CD0*S": p.CD0 * in.Get("S"), "e_implied": p.Oswald(in.Get("AR"))}
	})
	each(t, "D9", func(in reference.Inputs, name string) float64 {
		p, V := drag.Parabola{CD0: in.Get("CD0"), K: in.Get("K")}, after(t, name, "@")*unit.Foot
		q := 0.5 * in.Get("rho") * V * V
		cl := in.Get("W") / (q * in.Get("S"))
		cd := need[float64](t)(p.CD(cl))
		return map[string]float64{"CL": cl, "CD": cd, "TR": q * in.Get("S") * cd}[name[:2]]
	})
	reference.Check(t, "D10", 0, func(in reference.Inputs) reference.Values {
		p := drag.Parabola{CD0: in.Get("CD0"), K: in.Get("K")}
		best, at := p.LiftToDrag()
		greatest := func(power float64) (most float64) {
			for cl := 0.01; cl < 2; cl += 1e-3 {
				most = max(most, math.Pow(cl, power)/need[float64](t)(p.CD(cl)))
			}
			return most
		}
		return reference.Values{"LDmax": best, "CL@LDmax": at, "(CL^1.5/CD)max": greatest(1.5), "(CL^.5/CD)max": greatest(0.5)}
	})
	p := need[drag.Parabola](t)(drag.ParabolaOf(0.02, 0.8, 9))
	near(t, "K", p.K, 1/(math.Pi*0.8*9), 1e-15)
	near(t, "Oswald factor", p.Oswald(9), 0.8, 1e-15)
}

func TestMutual(t *testing.T) {
	sigma := func(b1, b2, gap float64) float64 { return need[float64](t)(drag.MutualFactor(b1, b2, gap)) }
	for _, id := range []string{"M1", "M2"} {
		each(t, id, func(in reference.Inputs, name string) float64 {
			mu := in.Get("mu=b2/b1")
			return sigma(1, mu, after(t, name, "@G/b=")*(1+mu)/2)
		})
	}
	each(t, "M4", func(in reference.Inputs, name string) float64 { return sigma(1, in.Get("mu"), after(t, name, "@")) })
	each(t, "M5", func(in reference.Inputs, name string) float64 { return sigma(after(t, name, "="), 1, in.Get("G")) })
	each(t, "M6", func(in reference.Inputs, name string) float64 {
		return need[float64](t)(drag.CoplanarPenalty(after(t, name, "f="), after(t, name, "mu=")))
	})
	each(t, "M12", func(_ reference.Inputs, name string) float64 {
		left := need[float64](t)(drag.GroundFactor(drag.ImageModel, after(t, name, "h/b=")))
		near(t, name+" by Wieselsberger", need[float64](t)(drag.GroundFactor(drag.WieselsbergerModel, after(t, name, "h/b="))), left, 0.012)
		return 1 - left
	})
	each(t, "M13", func(_ reference.Inputs, name string) float64 {
		return need[float64](t)(drag.GroundFactor(drag.McCormickModel, after(t, name, "phi@")))
	})
	near(t, "sign of the gap", sigma(3, 8, -0.7), sigma(3, 8, 0.7), 1e-15)
	near(t, "order of the spans", sigma(8, 3, 0.7), sigma(3, 8, 0.7), 1e-15)
	near(t, "scale", sigma(30, 80, 7), sigma(3, 8, 0.7), 1e-12)
	near(t, "far apart", sigma(1, 1, 30), 0, 1e-3)
	near(t, "small gap", sigma(3, 8, 1e-4), 3.0/8, 1e-4)
	near(t, "small gap of equal spans", sigma(1, 1, 1e-4), 1, 2e-3)
	near(t, "ground far below", need[float64](t)(drag.GroundFactor(drag.ImageModel, 30)), 1, 1e-3)
}

var square = aircraft.Reference{Name: "wing", Area: 10, Chord: 1, Span: 10}

// TestPrandtlMunk: one surface alone, the penalty without gap with both signs, and the ground.
func TestPrandtlMunk(t *testing.T) {
	munk := func(ground float64, loads ...drag.EllipticLoad) drag.Induced {
		t.Helper()
		return need[drag.Induced](t)(drag.PrandtlMunk(loads, square, ground))
	}
	alone := munk(0, drag.EllipticLoad{Surface: "wing", Span: 10, CL: 0.5})
	near(t, "one surface", alone.CD, 0.25/(math.Pi*10), 1e-15)
	near(t, "its span efficiency", need[float64](t)(alone.SpanEfficiency(10)), 1, 1e-12)
	for _, f := range []float64{0.2, -0.2} {
		both := munk(0, drag.EllipticLoad{Surface: "wing", Span: 10, CL: (1 - f) * 0.5}, drag.EllipticLoad{Surface: "foreplane", Span: 4, CL: f * 0.5})
		near(t, "penalty", both.CD/alone.CD, need[float64](t)(drag.CoplanarPenalty(f, 0.4)), 1e-12)
		near(t, "lift", both.CL, 0.5, 1e-15)
		sum := 0.0
		for _, p := range both.Parts {
			sum += p.CD
		}
		near(t, "sum of the parts", sum, both.CD, 1e-15)
	}
	near(t, "equal spans with a gap", munk(0, drag.EllipticLoad{Surface: "a", Span: 10, CL: 0.25, Height: 2}, drag.EllipticLoad{Surface: "b", Span: 10, CL: 0.25}).CD/alone.CD,
		(1+need[float64](t)(drag.MutualFactor(1, 1, 0.2)))/2, 1e-12)
	pair := func(upper, lower float64) float64 {
		return munk(0, drag.EllipticLoad{Surface: "a", Span: 10, CL: 0.25, Height: upper}, drag.EllipticLoad{Surface: "b", Span: 10, CL: 0.25, Height: lower}).CD
	}
	near(t, "above the datum", pair(3, 1), pair(2, 0), 1e-15)
	low := munk(1, drag.EllipticLoad{Surface: "wing", Span: 10, CL: 0.5, Height: 0.5})
	near(t, "near the ground", low.CD/alone.CD, need[float64](t)(drag.GroundFactor(drag.ImageModel, 0.15)), 1e-12)
	near(t, "far from it", munk(1e4, drag.EllipticLoad{Surface: "wing", Span: 10, CL: 0.5}).CD, alone.CD, 1e-6*alone.CD)
}

// TestAgainstLattice: elliptic loads against those of the lattice, whose wing in the wash of a foreplane sheds a part of the mutual drag (13 % to 16 % of the whole), while those of
// Bracken and Yarrow differ from ellipses (1 % to 3 %). Fins are left out.
func TestAgainstLattice(t *testing.T) {
	for _, a := range aircraft.Fleet() {
		a.Surfaces = a.Lifting()
		m := need[*lattice.Model](t)(lattice.New(need[[]lattice.Surface](t)(a.Lattice()), lattice.Settings{Reference: a.LatticeReference()}))
		r := need[lattice.Result](t)(m.Solve(lattice.State{Alpha: 4 * unit.Degree}))
		var loads []drag.EllipticLoad
		for i, s := range a.Surfaces {
			loads = append(loads, drag.EllipticLoad{Surface: s.Name, Span: s.Span(), Height: s.Root().Z, CL: r.Loads[i].CL})
		}
		munk := need[drag.Induced](t)(drag.PrandtlMunk(loads, a.Reference, 0))
		t.Logf("%s: Prandtl and Munk %.5f, Trefftz %.5f, ratio %.3f", a.Name, munk.CD, r.CDi, munk.CD/r.CDi)
		near(t, a.Name+": Prandtl and Munk over Trefftz", munk.CD/r.CDi, 1.05, 0.12)
	}
}

// refused holds that an error says what it must.
func refused(t testing.TB, err error, words ...string) {
	t.Helper()
	if err == nil {
		t.Errorf("no error with %q", words)
		return
	}
	for _, w := range words {
		if !strings.Contains(err.Error(), w) {
			t.Errorf("error %q has no %q", err, w)
		}
	}
}

func TestSums(t *testing.T) {
	f := cruise(t)
	for _, a := range aircraft.Fleet() {
		b := build(t, a, f, drag.Options{})
		area, coefficient, share, wetted := 0.0, 0.0, 0.0, 0.0
		for _, i := range b.Items {
			area, coefficient, share, wetted = area+i.CDA, coefficient+i.CD, share+i.Share, wetted+i.Wetted
			if i.Wetted > 0 {
				near(t, a.Name+" "+i.Name, i.CDA, i.Friction*i.Form*i.Interference*i.Wetted, 1e-15)
				near(t, a.Name+" "+i.Name+" Reynolds number", i.Reynolds, f.Air.Reynolds(f.Speed, i.Length), 1e-6)
			}
			near(t, a.Name+" "+i.Name+" CD", i.CD, i.CDA/a.Reference.Area, 1e-15)
		}
		near(t, a.Name+" CDA", area, b.CDA, 1e-12)
		near(t, a.Name+" CD", coefficient, b.CD, 1e-12)
		near(t, a.Name+" shares", share, 1, 1e-12)
		near(t, a.Name+" wetted area", wetted, b.Wetted, 1e-9)
		near(t, a.Name+" equivalent friction, of light aeroplanes 0.0055 (Raymer)", b.Equivalent(), 0.0055, 0.0010)
	}
}

// TestBreakdown: parts add up to the whole, and a load on strips of the same lift is one on the surface.
func TestBreakdown(t *testing.T) {
	b := build(t, aircraft.Sedge(), cruise(t), drag.Options{Surfaces: drag.Raymer})
	induced := drag.Induced{CL: 0.5, CD: 0.01, Parts: []drag.Share{{Name: "wing", CD: 0.008}}}
	loads := []drag.Load{{Surface: "wing", CL: 0.45}, {Surface: "foreplane", CL: -0.6}}
	whole := need[drag.Breakdown](t)(drag.Of(b, loads, induced))
	sum, share := 0.0, 0.0
	for _, p := range whole.Parts {
		sum, share = sum+p.CD, share+p.Share
		near(t, p.Name+" CDA", p.CDA, p.CD*9.45, 1e-12)
	}
	near(t, "sum", sum, whole.CD, 1e-12)
	near(t, "shares", share, 1, 1e-12)
	near(t, "causes", whole.Parasite+whole.Profile+whole.Induced, whole.CD, 1e-15)
	wing, small := need[drag.Item](t)(b.Item("wing")), need[drag.Item](t)(b.Item("foreplane"))
	near(t, "profile drag of plates", whole.Profile, 0.38*(wing.CD*0.45*0.45+small.CD*0.36), 1e-12)
	near(t, "L/D", whole.LiftToDrag(), 0.5/whole.CD, 1e-15)
	var strips []drag.Strip
	for range 20 {
		strips = append(strips, drag.Strip{Chord: 1.05, Width: 0.45, CL: 0.45})
	}
	same := need[drag.Breakdown](t)(drag.Of(b, []drag.Load{{Surface: "wing", CL: 9, Strips: strips}, loads[1]}, induced))
	near(t, "by strips", same.CD, whole.CD, 1e-15)
	total := 0.0
	for _, s := range whole.By() {
		total += s.CD
	}
	near(t, "by component", total, whole.CD, 1e-12)
	_, err := drag.Of(b, []drag.Load{{Surface: "wing", Strips: strips[:10]}}, induced)
	refused(t, err, "strips of the wing", "cover 4.73 m² of its 9.45 m²")
	_, err = drag.Of(b, []drag.Load{{Surface: "wing", CL: 2}}, induced)
	refused(t, err, "cl of the wing is 2.00, must be -1.45 to 1.45")
	_, err = drag.Of(b, []drag.Load{loads[0], loads[0]}, induced)
	refused(t, err, "load of the wing is given twice")
	_, err = drag.Of(b, []drag.Load{{Surface: "winglet"}}, induced)
	refused(t, err, `"winglet" does not exist in Sedge`)
	_, err = drag.Of(b, nil, drag.Induced{CL: math.NaN()})
	refused(t, err, "lift coefficient is NaN")
}

func TestPolar(t *testing.T) {
	var points []drag.Point
	for cl := -0.4; cl < 1.45; cl += 0.1 {
		points = append(points, drag.Point{CL: cl, CD: 0.02 + 0.05*cl*cl, Profile: 0.01 * cl * cl, Induced: 0.04 * cl * cl, Alpha: cl / 5})
	}
	p := need[drag.Polar](t)(drag.NewPolar("parabola", 9, points))
	for _, cl := range []float64{-0.4, -0.17, 0.033, 0.777, 1.4} {
		q := need[drag.Point](t)(p.At(cl))
		near(t, "CD", q.CD, 0.02+0.05*cl*cl, 2e-5)
		near(t, "without lift", q.Parasite(), 0.02, 1e-12)
		near(t, "α", q.Alpha, cl/5, 1e-12)
		near(t, "CD alone", need[float64](t)(p.CD(cl)), q.CD, 0)
	}
	fit := need[drag.Fit](t)(p.Fit(-1, 2))
	near(t, "CD0", fit.CD0, 0.02, 1e-12)
	near(t, "K", fit.K, 0.05, 1e-12)
	near(t, "Oswald factor", fit.Oswald, 1/(math.Pi*9*0.05), 1e-12)
	near(t, "rest", fit.RMS+math.Abs(fit.Greatest), 0, 1e-12)
	near(t, "span efficiency", need[float64](t)(p.SpanEfficiency(0.5)), 1/(math.Pi*9*0.04), 1e-9)
	if fit.Points != len(points) {
		t.Errorf("%d points count", fit.Points)
	}
	bent := make([]drag.Point, 4) // 1, 2, 3 and 4 times 0.01 over CL² of 0, 1, 2 and 3, with a rest of +1, −1, −1 and +1 times 0.001
	for i := range bent {
		bent[i] = drag.Point{CL: math.Sqrt(float64(i)), CD: 0.01*float64(i+1) + 0.001*[4]float64{1, -1, -1, 1}[i]}
	}
	bent[0].CD += 0.0002
	rest := need[drag.Fit](t)(need[drag.Polar](t)(drag.NewPolar("bent", 9, bent)).Fit(0, 2))
	near(t, "rms of the rest", rest.RMS, math.Sqrt((1.06*1.06+1.08*1.08+1.02*1.02+1.04*1.04)/4)*1e-3, 1e-6)
	near(t, "greatest rest", rest.Greatest, -0.00108, 1e-9)
	falling := need[drag.Polar](t)(drag.NewPolar("falling", 9, []drag.Point{{CL: 0, CD: 0.03}, {CL: 0.5, CD: 0.025}, {CL: 1, CD: 0.02}}))
	for _, cl := range []float64{-0.41, 1.41, math.NaN()} {
		var limit *unit.RangeError
		if _, err := p.CD(cl); !errors.As(err, &limit) {
			t.Errorf("at CL %g: %v", cl, err)
		}
	}
	_, err := p.SpanEfficiency(0)
	refused(t, err, "must be above zero")
	_, err = p.Fit(0.05, 0.25)
	refused(t, err, "has 2 points from CL 0.05 to 0.25")
	_, err = falling.Fit(0, 1)
	refused(t, err, "does not grow with CL²")
	_, err = drag.Polar{}.CD(0)
	refused(t, err, "has no points")
	points[3].CD = 0
	_, err = drag.NewPolar("none", 9, points)
	refused(t, err, "drag coefficient is 0, must be above zero")
	points[3].CD, points[3].CL = 0.02, points[4].CL
	_, err = drag.NewPolar("none", 9, points)
	refused(t, err, "two points at CL")
}

// TestUntrimmed: every point is the build-up and what lift costs; the lattice with a ground costs less.
func TestUntrimmed(t *testing.T) {
	f := cruise(t)
	a := aircraft.Bracken()
	alphas := []unit.Angle{-2 * unit.Degree, 0, 2 * unit.Degree, 4 * unit.Degree}
	p := need[drag.Polar](t)(drag.Untrimmed(a, f, drag.Options{}, drag.Sweep{Alphas: alphas}))
	b := build(t, a, f, drag.Options{})
	for _, q := range p.Points() {
		near(t, "without lift", q.Parasite(), b.CD, 1e-12)
		near(t, "without lift, between points", need[drag.Point](t)(p.At(0.9*q.CL+0.03)).Parasite(), b.CD, 1e-12)
		if !(q.Induced > 0 && q.Profile > 0) {
			t.Errorf("%+v", q)
		}
	}
	near(t, "span efficiency", need[float64](t)(p.SpanEfficiency(0.4)), 0.98, 0.03)
	m := need[*lattice.Model](t)(lattice.New(need[[]lattice.Surface](t)(a.Lattice()), lattice.Settings{Reference: a.LatticeReference(), Mach: f.Mach()}))
	for i, q := range p.Points() {
		near(t, "α", q.Alpha, alphas[i], 0)
		near(t, "CL", q.CL, need[lattice.Result](t)(m.Solve(lattice.State{Alpha: alphas[i]})).CL, 1e-12)
	}
	r := need[lattice.Result](t)(m.Solve(lattice.State{Alpha: alphas[3]}))
	loads, induced := drag.FromLattice(r)
	near(t, "induced drag", induced.CD, r.CDi, 0)
	near(t, "load of the tailplane on its own area", loads[1].CL, r.Loads[1].OwnCL, 0)
	lift, area := 0.0, 0.0
	for _, s := range loads[0].Strips {
		lift, area = lift+s.CL*s.Chord*s.Width, area+s.Chord*s.Width
	}
	near(t, "mean lift of the strips of the wing", lift/area, loads[0].CL, 0.02*loads[0].CL)
	sum := 0.0
	for _, part := range induced.Parts {
		sum += part.CD
	}
	near(t, "parts of the induced drag", sum, r.CDi, 1e-12)
	flapped := f
	flapped.Deflections = map[string]float64{"flaps": 20 * unit.Degree}
	flaps := need[drag.Polar](t)(drag.Untrimmed(a, flapped, drag.Options{}, drag.Sweep{Alphas: alphas}))
	if q := flaps.Points()[1]; !(q.CL > p.Points()[1].CL+0.3 && q.Parasite() > b.CD+0.01) {
		t.Errorf("with flaps %+v", q)
	}
	low := need[drag.Polar](t)(drag.Untrimmed(a, f, drag.Options{}, drag.Sweep{Alphas: alphas, Ground: 1}))
	far, near := need[drag.Point](t)(p.At(0.5)), need[drag.Point](t)(low.At(0.5))
	if !(near.Induced < 0.75*far.Induced) {
		t.Errorf("induced drag %g near the ground, %g far from it", near.Induced, far.Induced)
	}
}

// TestMeasured holds what the comment of the package says about Sedge and Bracken.
func TestMeasured(t *testing.T) {
	f := cruise(t)
	for _, c := range []struct {
		a                                        aircraft.Aircraft
		parasite, profile, induced, span, oswald float64
	}{
		{aircraft.Sedge(), 237, 2, 88, 1.05, 1.07},
		{aircraft.Bracken(), 237, 4, 93, 1.00, 0.94},
	} {
		p := need[drag.Polar](t)(drag.Untrimmed(c.a, f, drag.Options{}, drag.Sweep{}))
		q := need[drag.Point](t)(p.At(0.5))
		near(t, c.a.Name+" without lift", q.Parasite()/unit.DragCount, c.parasite, 0.03*c.parasite)
		near(t, c.a.Name+" profile drag by lift", q.Profile/unit.DragCount, c.profile, 0.6)
		near(t, c.a.Name+" induced", q.Induced/unit.DragCount, c.induced, 0.03*c.induced)
		near(t, c.a.Name+" span efficiency", need[float64](t)(p.SpanEfficiency(0.5)), c.span, 0.02)
		near(t, c.a.Name+" Oswald factor", need[drag.Fit](t)(p.Fit(0.2, 1)).Oswald, c.oswald, 0.02)
		for _, i := range build(t, c.a, f, drag.Options{}).Items {
			if len(i.Factors) == 3 {
				near(t, i.Name+": form factor of the section over that of Raymer", i.Form/value(t, i.Factors, drag.Raymer), 1.015, 0.036)
			}
		}
	}
}
