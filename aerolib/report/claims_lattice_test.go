package report_test

import (
	"fmt"
	"math"
	"testing"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/drag"
	"foreplane/aerolib/lattice"
	"foreplane/aerolib/unit"
)

// pair is a wing and a small surface, whose angle δ trims.
type pair struct {
	t         testing.TB
	model     *lattice.Model
	reference lattice.Reference
	np        unit.Length // neutral point at no lift
}

// The aeroplane of case T10, and its small surface behind the wing at the same distance between quarter chords.
var (
	wingReference = lattice.Reference{Area: 8.82, Chord: 1.08889, Span: 8.4}
	sweptWing     = lattice.Trapezoid("wing", lattice.Point{X: 3.2}, 8.4, 1.4, 0.7, 22*unit.Degree, 0, -1.5*unit.Degree)
)

const (
	ahead  unit.Length = 0.6
	behind unit.Length = 7.556
	gap    unit.Length = 0.2
)

func small(x, z unit.Length) lattice.Surface {
	s := lattice.Trapezoid("small", lattice.Point{X: x, Z: z}, 3.8, 0.44, 0.36, 3*unit.Degree, 0, 0)
	s.Controls = []lattice.Control{{Name: "δ"}}
	return s
}

func newPair(t testing.TB, r lattice.Reference, surfaces ...lattice.Surface) pair {
	t.Helper()
	m, err := lattice.New(surfaces, lattice.Settings{Reference: r, Rows: 8, Strips: 40})
	if err != nil {
		t.Fatal(err)
	}
	d := must[lattice.Derivatives](t)(m.Derivatives(lattice.State{}))
	return pair{t, m, r, d.NeutralPoint}
}

func must[T any](t testing.TB) func(T, error) T {
	return func(v T, err error) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

// slope returns the change of the own lift coefficient of a surface with a small state, by radian.
func (p pair) slope(i int, s lattice.State) unit.PerRadian {
	return (p.solve(s).Loads[i].OwnCL - p.solve(lattice.State{}).Loads[i].OwnCL) / tiny
}

const tiny unit.Angle = 1e-3

var (
	byAlpha = lattice.State{Alpha: tiny}
	byDelta = lattice.State{Deflections: map[string]unit.Angle{"δ": tiny}}
)

func (p pair) solve(s lattice.State) lattice.Result {
	return must[lattice.Result](p.t)(p.model.Solve(s))
}

// trimmed returns the aeroplane at CL 0.55 with the given static margin, where the sections of its wing have the moment Cm0.
func (p pair) trimmed(margin unit.Ratio, Cm0 unit.Coefficient) lattice.Result {
	return p.trimmedAt(0.55, margin, Cm0)
}

func (p pair) trimmedAt(CL unit.Coefficient, margin unit.Ratio, Cm0 unit.Coefficient) lattice.Result {
	p.t.Helper()
	at := lattice.State{Point: lattice.Point{X: p.np - margin*p.reference.Chord}}
	return p.solve(must[lattice.State](p.t)(p.model.Trim(at, "δ", CL, -Cm0)))
}

func percent(format string, x unit.Ratio) string { return fmt.Sprintf(format, 100*x) }

// efficiency returns the span efficiency with the lift that the circulation has along the stream, 2∫Γ dy: as in a theory that is linear in the angles.
func (p pair) efficiency(r lattice.Result) unit.Ratio {
	lift := 0.0
	for _, s := range r.Strips {
		lift += 2 * s.Circulation * s.Width
	}
	return lift * lift / (math.Pi * p.reference.Span * p.reference.Span * r.CDi * p.reference.Area)
}

// share is the part of the lift that the second surface has.
func share(r lattice.Result) unit.Ratio { return r.Loads[1].CL / r.CL }

const byLattice = "vortex lattice, Trefftz plane, 8 × 40 panels on a half wing"

// lessInducedDrag: with a foreplane both surfaces lift.
func lessInducedDrag(t *testing.T) claim {
	fore, aft := newPair(t, wingReference, sweptWing, small(ahead, gap)), newPair(t, wingReference, sweptWing, small(behind, gap))
	penalty := func(f unit.Ratio) unit.Ratio {
		return 100 * (must[unit.Ratio](t)(drag.CoplanarPenalty(f, 0.45)) - 1)
	}
	c := claim{number: 1, text: "Both surfaces lift, so induced drag is lower than with a tail that pushes down.",
		verdict: "False in general. True with a gap of about a quarter of the span, or against a tail with a large download if the aeroplane with the foreplane is spared its cause.",
		how:     "k = 1 + f²(1/μ² − 1) of Prandtl and Munk; " + byLattice,
		numbers: []number{
			{"penalty of 20 % of the lift on a span of 0.45", penalty(0.2), "%", 0, 16, 0.5},
			{"of −3 % on the same", penalty(-0.03), "%", 1, 0.4, 0.06},
		}}
	worse := true
	for _, at := range []struct{ margin, fore, aft, ratio float64 }{{0.05, 0.947, 0.972, 1.03}, {0.1, 0.937, 0.981, 1.05}, {0.2, 0.913, 0.993, 1.09}} {
		f, a := fore.efficiency(fore.trimmed(at.margin, 0)), aft.efficiency(aft.trimmed(at.margin, 0))
		worse = worse && f < a
		name := percent("SM %.0f %%", at.margin)
		c.numbers = append(c.numbers, number{name + ": e with foreplane", f, "", 3, at.fore, 0.0015}, number{name + ": e with tail aft", a, "", 3, at.aft, 0.0015},
			number{name + ": induced drag, foreplane over tail", a / f, "", 2, at.ratio, 0.007})
	}
	near, middle, far := fore.trimmed(0.1, 0), aft.trimmed(0.1, -0.1), aft.trimmed(0.2, -0.1)
	c.numbers = append(c.numbers,
		number{"share of the foreplane, SM 10 %", 100 * share(near), "%", 0, 20, 0.5},
		number{"share of the tail, SM 10 %", 100 * share(aft.trimmed(0.1, 0)), "%", 0, 7, 1.2},
		number{"with Cm0 −0.1: foreplane, SM 10 %", 100 * share(fore.trimmed(0.1, -0.1)), "%", 0, 26, 0.6},
		number{"tail, SM 10 %", 100 * share(middle), "%", 0, 2, 0.5},
		number{"tail, SM 20 %", 100 * share(far), "%", 0, -1, 0.5})
	alone := newPair(t, wingReference, sweptWing)
	single := alone.efficiency(alone.solve(lattice.State{Alpha: 0.12}))
	c.numbers = append(c.numbers, number{"1/e of both over that of the wing alone, SM 10 %", single / fore.efficiency(near), "", 2, 1.06, 0.008},
		number{"gap at which the foreplane equals the tail aft, SM 10 %, over the wing's span", equalGap(t, aft.efficiency(aft.trimmed(0.1, 0))) / wingReference.Span, "", 2, 0, 0})
	pushing, pushed := aft.trimmed(0.3, -0.3), fore.trimmed(0.3, -0.3)
	c.numbers = append(c.numbers,
		number{"SM 30 % and Cm0 −0.3 (flaps): share of the tail", 100 * share(pushing), "%", 0, 0, 0}, number{"e with tail aft", aft.efficiency(pushing), "", 3, 0, 0},
		number{"share of the foreplane", 100 * share(pushed), "%", 0, 0, 0}, number{"e with foreplane", fore.efficiency(pushed), "", 3, 0, 0})
	c.holds = []condition{
		{"at equal static margin the foreplane has more induced drag, and the more the stabler", worse},
		{"the stable tail aft carries an upload of its own", share(aft.trimmed(0.1, 0)) > 0.05},
		{"with a large download the tail aft is worse than a foreplane without its cause", aft.efficiency(pushing) < fore.efficiency(near)},
		{"and better than one with it", aft.efficiency(pushing) > fore.efficiency(pushed)},
	}
	return c
}

// equalGap returns the gap at which the foreplane has the span efficiency e at a static margin of 10 %, by the line through two gaps near it.
func equalGap(t *testing.T, e unit.Ratio) unit.Length {
	const low, high unit.Length = 1.8, 2.0
	at := func(z unit.Length) unit.Ratio {
		p := newPair(t, wingReference, sweptWing, small(ahead, z))
		return p.efficiency(p.trimmed(0.1, 0))
	}
	a, b := at(low), at(high)
	return low + (e-a)/(b-a)*(high-low)
}

// cleanAir: the foreplane is ahead of the wing.
func cleanAir(t *testing.T) claim {
	both, fore, alone := newPair(t, wingReference, sweptWing, small(ahead, gap)), newPair(t, wingReference, small(ahead, gap)), newPair(t, wingReference, sweptWing)
	wash := func(y unit.Length) unit.Ratio { // downwash of the foreplane at the wing's quarter chord, by its angle
		chord := 1.4 - 0.7*y/4.2
		v := must[[]lattice.Velocity](t)(fore.model.Induced(byAlpha, []lattice.Point{{X: 3.2 + y*math.Tan(22*unit.Degree) + chord/4, Y: y}}))
		return -v[0].Z / tiny
	}
	lost := -both.slope(0, byDelta) * sweptWing.Area() / (both.slope(1, byDelta) * small(0, 0).Area())
	tandem := newTandem(t)
	c := claim{number: 2, text: "The foreplane is in clean air, so nothing is disturbed by downwash.",
		verdict: "Half true: the foreplane is in upwash and keeps its effect; false of the aeroplane, whose wing is in the foreplane's wash.",
		how:     byLattice,
		numbers: []number{
			{"slope of the foreplane alone", fore.slope(0, byAlpha), "/rad", 2, 4.84, 0.02},
			{"ahead of the wing", both.slope(1, byAlpha), "/rad", 2, 5.11, 0.02},
			{"slope of the wing alone", alone.slope(0, byAlpha), "/rad", 3, 4.575, 0.01},
			{"behind the foreplane", both.slope(0, byAlpha), "/rad", 3, 4.200, 0.01},
			{"ε/α of the foreplane on the plane of symmetry", wash(0), "", 2, 0.26, 0.01},
			{"just outside its tip", wash(2.05), "", 2, -0.30, 0.01},
			{"at the wing's tip", wash(4.2), "", 2, -0.03, 0.01},
			{"what the wing loses of the lift that a deflection adds to the foreplane", 100 * lost, "%", 0, 43, 1},
			{"rear over front slope of an equal tandem (case T12)", tandem.slope(1, byAlpha) / tandem.slope(0, byAlpha), "", 2, 0.72, 0.006},
		}}
	c.holds = []condition{
		{"the foreplane gains from the wing's upwash", both.slope(1, byAlpha) > fore.slope(0, byAlpha)},
		{"the wing loses more than 5 % of its slope", both.slope(0, byAlpha) < 0.95*alone.slope(0, byAlpha)},
		{"a deflection keeps less than two thirds of its lift", lost > 1.0/3},
	}
	return c
}

// newTandem is that of case T12: the front wing first.
func newTandem(t testing.TB) pair {
	front := lattice.Trapezoid("front", lattice.Point{Z: 0.5}, 7, 0.8, 0.8, 0, 0, 0)
	front.Controls = []lattice.Control{{Name: "δ"}}
	return newPair(t, lattice.Reference{Area: 11.2, Chord: 0.8, Span: 7}, front, lattice.Trapezoid("rear", lattice.Point{X: 4}, 7, 0.8, 0.8, 0, 0, 0))
}

// cgAhead: where the CG must be.
func cgAhead(t *testing.T) claim {
	both, alone := newPair(t, wingReference, sweptWing, small(ahead, gap)), newPair(t, wingReference, sweptWing)
	wing := aircraft.Trapezoid{Name: "wing", Span: 8.4, RootChord: 1.4, TipChord: 0.7, Sweep: 22 * unit.Degree, X: 3.2}.Surface()
	cg := both.np - 0.1*wingReference.Chord
	ordinary := newPair(t, lattice.Reference{Area: 12.5, Chord: 1.26667, Span: 10}, // case T13
		lattice.Trapezoid("wing", lattice.Point{X: 2}, 10, 1.5, 1, 3*unit.Degree, 0, -2*unit.Degree), lattice.Trapezoid("tail", lattice.Point{X: 6.8, Z: 0.3}, 3.2, 0.8, 0.6, 5*unit.Degree, 0, 0))
	aft := ordinary.np - 0.1*ordinary.reference.Chord
	centre := newPair(t, ordinary.reference, lattice.Trapezoid("wing", lattice.Point{X: 2}, 10, 1.5, 1, 3*unit.Degree, 0, -2*unit.Degree)).np
	return claim{number: 8, text: "The CG lies ahead of the main wing.",
		verdict: "True of the wing's aerodynamic centre whenever the aeroplane is stable; of the wing itself only with little sweep.",
		how:     byLattice + "; MAC in closed form",
		numbers: []number{
			{"neutral point", both.np, "m", 3, 3.657, 0.002},
			{"CG at SM 10 %", cg, "m", 3, 3.548, 0.002},
			{"aerodynamic centre of the wing", alone.np, "m", 3, 4.219, 0.002},
			{"leading edge of its MAC", wing.LeadingEdge(), "m", 3, 3.954, 0.001},
			{"leading edge of its root", wing.Root().X, "m", 2, 3.20, 0.001},
			{"CG ahead of the aerodynamic centre", (alone.np - cg) / wingReference.Chord, "MAC", 2, 0.62, 0.005},
			{"conventional aeroplane (case T13): CG behind the aerodynamic centre", aft - centre, "m", 2, 0.26, 0.01},
		},
		holds: []condition{
			{"the CG is ahead of the leading edge of the MAC", cg < wing.LeadingEdge()},
			{"and behind the leading edge of the root", cg > wing.Root().X},
			{"of the conventional aeroplane it is behind the wing's aerodynamic centre", aft > centre},
		}}
}

// tipFins: what fins behind the CG are worth.
func tipFins(t *testing.T) claim {
	const cg unit.Length = 3.548
	tip := func(root, sweep float64) unit.Length { return root + 4.2*math.Tan(sweep) + 0.7/4 }
	both := newPair(t, wingReference, sweptWing, small(ahead, gap))
	straight := func(sweep unit.Angle) unit.Length { // arm of the tips of a wing that has the same neutral point
		root := 3.95
		for range 2 { // the neutral point follows the wing nearly one to one
			p := newPair(t, wingReference, lattice.Trapezoid("wing", lattice.Point{X: root}, 8.4, 1.4, 0.7, sweep, 0, -1.5*unit.Degree), small(ahead, gap))
			root += 1.1 * (both.np - p.np)
		}
		return tip(root, sweep) - cg
	}
	volume := func(area, arm, S, b float64) unit.Ratio { return 2 * area * arm / (S * b) }
	const slope unit.PerRadian = 2.9
	swept := tip(3.2, 22*unit.Degree) - cg
	return claim{number: 9, text: "The fin must be behind the CG; fins at the tips give enough directional stability.",
		verdict: "True: fins ahead of the CG take stability. Tip fins suffice only where sweep gives them an arm, and the body takes its part : see the note of each aeroplane in package aircraft.",
		how:     "closed form Cnβ = a V (case Y11); arms from geometry; the unswept wing by vortex lattice",
		numbers: []number{
			{"quarter chord of the tip", tip(3.2, 22*unit.Degree), "m", 2, 5.07, 0.006},
			{"arm with 22° of sweep", swept, "m", 2, 1.52, 0.006},
			{"arm with a straight leading edge and the same neutral point", straight(0), "m", 2, 0.60, 0.03},
			{"arm with a straight quarter chord", straight(math.Atan(0.175 / 4.2)), "m", 2, 0.70, 0.03},
			{"volume of two fins of 0.55 m² at 2.1 m (Y11)", volume(0.55, 2.1, 9, 8.4), "", 4, 0.0306, 0.00005},
			{"its Cnβ", slope * volume(0.55, 2.1, 9, 8.4), "/rad", 3, 0.089, 0.0005},
			{"the same fins at the tips of the swept wing", slope * volume(0.55, swept, 8.82, 8.4), "/rad", 3, 0.066, 0.0006},
			{"at those of the straight one", slope * volume(0.55, 0.6, 8.82, 8.4), "/rad", 3, 0, 0},
		},
		holds: []condition{
			{"without sweep less than half of it is left", straight(0) < swept/2},
			{"a light aeroplane wants 0.05 to 0.1 after the body (common practice), which the straight wing's tips do not give before it", slope*volume(0.55, 0.6, 8.82, 8.4) < 0.05},
		}}
}

// loadedForeplane: what the load of the foreplane costs.
func loadedForeplane(t *testing.T) claim {
	fore, aft := newPair(t, wingReference, sweptWing, small(ahead, gap)), newPair(t, wingReference, sweptWing, small(behind, gap))
	c := claim{number: 10, text: "A highly loaded foreplane costs nothing.",
		verdict: "False: load and induced drag grow with the static margin. Least drag is near neutral or negative stability with a foreplane, at 20 to 30 % with a tail aft.",
		how:     byLattice + ", CL 0.55"}
	e := map[float64]float64{}
	for _, at := range []struct{ margin, own, fore float64 }{{-0.2, 0, 0.986}, {0, 0.54, 0.957}, {0.1, 0.65, 0.937}, {0.3, 0.86, 0.887}} {
		r := fore.trimmed(at.margin, 0)
		e[at.margin] = fore.efficiency(r)
		name := percent("SM %.0f %%", at.margin)
		if at.own > 0 {
			c.numbers = append(c.numbers, number{name + ": CL of the foreplane on its own area", r.Loads[1].OwnCL, "", 2, at.own, 0.012})
		}
		c.numbers = append(c.numbers, number{name + ": e", e[at.margin], "", 3, at.fore, 0.0015})
	}
	neutral, stable := aft.efficiency(aft.trimmed(0, 0)), aft.efficiency(aft.trimmed(0.3, 0))
	c.numbers = append(c.numbers, number{"tail aft, SM 0 %: e", neutral, "", 3, 0, 0}, number{"SM 30 %: e", stable, "", 3, 0, 0})
	c.holds = []condition{
		{"the stabler with a foreplane, the more induced drag", e[-0.2] > e[0] && e[0] > e[0.1] && e[0.1] > e[0.3]},
		{"the stabler with a tail aft, the less, up to 30 %", stable > neutral},
	}
	return c
}

// tandemHalves: two wings of equal span.
func tandemHalves(t *testing.T) claim {
	k := func(gap unit.Ratio) unit.Ratio {
		return (1 + must[unit.Ratio](t)(lattice.BiplaneInterference(gap))) / 2
	}
	p := newTandem(t)
	e := p.efficiency(p.trimmedAt(0.5, 0.1, 0))
	return claim{number: 11, text: "Tandem wings halve the induced drag.",
		verdict: "False. At fixed span they save what the gap gives, at fixed total area and chord one wing of twice the span has a third of their drag.",
		how:     "Prandtl's σ in closed form, k = (1 + σ)/2; vortex lattice for case T12",
		numbers: []number{
			{"induced drag over that of one wing of this span with the same lift, gap 0.07 of it", k(0.07), "", 2, 0.86, 0.012},
			{"gap 0.2", k(0.2), "", 2, 0.74, 0.006},
			{"gap 0.2, over one wing of the same total area and chord", 4 * k(0.2), "", 1, 3.0, 0.05},
			{"e of the tandem of case T12 on its span", e, "", 3, 1.146, 0.012},
		},
		holds: []condition{
			{"at no gap that formulas cover is it half", k(0.25) > 0.6},
			{"at fixed area it is more than twice as much", 4*k(0.25) > 2},
		}}
}
