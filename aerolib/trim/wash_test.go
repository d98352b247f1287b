package trim

import (
	"math"
	"math/cmplx"
	"testing"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/internal/reference"
	"foreplane/aerolib/unit"
)

// need returns v and ends the test on an error.
func need[T any](t *testing.T) func(v T, err error) T {
	return func(v T, err error) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

func TestLiftSlope(t *testing.T) {
	formula := func(in reference.Inputs, aspect, sweep, mach float64) float64 {
		return need[float64](t)(LiftSlope(in.Get("a0"), aspect, sweep, mach))
	}
	reference.Check(t, "W6", 0, func(in reference.Inputs) reference.Values {
		return reference.Values{
			"CLa@AR=1": formula(in, 1, 0, 0), "CLa@AR=2": formula(in, 2, 0, 0), "CLa@AR=4": formula(in, 4, 0, 0),
			"CLa@AR=6": formula(in, 6, 0, 0), "CLa@AR=10": formula(in, 10, 0, 0),
		}
	})
	reference.Check(t, "W7", 0, func(in reference.Inputs) reference.Values {
		aspect, sweep := in.Get("AR"), in.Get("sweep_c/2")
		return reference.Values{
			"Kuchemann_Helmbold": formula(in, aspect, sweep, in.Get("M")),
			"DATCOM_Polhamus":    2 * math.Pi * aspect / (2 + math.Sqrt(4+aspect*aspect*(1+math.Pow(math.Tan(sweep), 2)))),
		}
	})
	reference.Check(t, "W10", 0, func(in reference.Inputs) reference.Values {
		aspect := in.Get("AR")
		return reference.Values{"CL_alpha/AR": need[float64](t)(LiftSlope(2*math.Pi, aspect, 0, 0)) / aspect}
	})
	flat, bent := aircraft.Sedge().Surfaces[0], aircraft.Sedge().Surfaces[0]
	bent.Stations[1].Z = bent.Semispan() * math.Tan(60*unit.Degree)
	if got, want := need[float64](t)(slope(bent, 0)), need[float64](t)(slope(flat, 0))/2; math.Abs(got-want) > 1e-12 {
		t.Errorf("slope with dihedral %v, want %v", got, want)
	}
	if got := need[float64](t)(LiftSlope(2*math.Pi, 1e12, 0, 0.6)); math.Abs(got-2*math.Pi/0.8) > 1e-9 {
		t.Errorf("section at Mach 0.6 has slope %v", got)
	}
}

// TestUnevenSlope: without sweep it is the third harmonic of the elliptic lifting line, whose answer is well below that of the mean.
func TestUnevenSlope(t *testing.T) {
	s := aircraft.Trapezoid{Span: 8, RootChord: 1, TipChord: 1, Section: aircraft.Section{LiftSlope: 2 * math.Pi}}.Surface()
	if got, want := unevenSlope(s, 0), 2*math.Pi/(1+3*2/8.0); math.Abs(got-want) > 1e-12 {
		t.Errorf("slope %v, want %v", got, want)
	}
}

func TestFarWash(t *testing.T) {
	wash := func(eta float64) float64 { return need[float64](t)(FarWash(eta, 0)) }
	reference.Check(t, "M10", 0, func(reference.Inputs) reference.Values {
		return reference.Values{
			"w/w0@2y/b=0.0": wash(0), "w/w0@2y/b=0.5": wash(0.5), "w/w0@2y/b=0.95": wash(0.95), "w/w0@2y/b=1.05": wash(1.05),
			"w/w0@2y/b=1.25": wash(1.25), "w/w0@2y/b=1.5": wash(1.5), "w/w0@2y/b=2.0": wash(2),
		}
	})
	reference.Check(t, "T5", 0, func(in reference.Inputs) reference.Values {
		return reference.Values{"deps/dalpha": need[float64](t)(FarDownwash(in.Get("a"), in.Get("AR")))}
	})
	if wash(-1.25) != wash(1.25) {
		t.Error("port differs from starboard")
	}
}

// vortices calls visit with position y and strength dΓ of the trailing vortices of the elliptic circulation √(1 − y²), fine enough for six figures away from
// them. A vortex at y with strength γ = −dΓ/dy gives the downwash γ/(2π (y − η)) far behind, and w₀ is ½.
func vortices(visit func(y, strength float64)) {
	const n = 20000
	for i := range n {
		theta := math.Pi * (float64(i) + 0.5) / n
		y := math.Cos(theta)
		visit(y, y*math.Pi/n) // γ dy = y/√(1−y²) dy = y dθ
	}
}

// TestFarWashOfVortices sums the vortices of the sheet for points off its plane.
func TestFarWashOfVortices(t *testing.T) {
	for _, p := range [][2]float64{{0, 0.1}, {0.5, 0.2}, {0.9, 0.1}, {1, 0.1}, {1.3, 0}, {2, 0.5}, {1.1, -0.3}} {
		sum := 0.0
		vortices(func(y, strength float64) {
			dy := y - p[0]
			sum += strength / (2 * math.Pi) * dy / (dy*dy + p[1]*p[1])
		})
		got := need[float64](t)(FarWash(p[0], p[1]))
		if math.Abs(got-sum/0.5) > 1e-5 {
			t.Errorf("at %v: %v, vortices give %v", p, got, sum/0.5)
		}
	}
}

// TestDistanceFactor integrates the law of Biot and Savart over bound and trailing vortices of the elliptic lifting line, in the plane of symmetry. There
// each pair of legs at ±y with the piece of bound vortex between them gives dΓ/(2π y) (1 + √(x² + y²)/x), and w₀ is ½. The tolerance is that of the sum.
func TestDistanceFactor(t *testing.T) {
	for _, x := range []float64{-5, -1, -0.5, 0.3, 1, 3, 20} {
		sum := 0.0
		vortices(func(y, strength float64) {
			if y > 0 {
				sum += strength / (2 * math.Pi * y) * (1 + math.Hypot(x, y)/x)
			}
		})
		if got := need[float64](t)(DistanceFactor(x)); math.Abs(got-sum/0.5) > 1e-6 {
			t.Errorf("at %v: %v, vortices give %v", x, got, sum/0.5)
		}
	}
	for x, want := range map[float64]float64{math.Inf(1): 1, math.Inf(-1): 0} {
		if got := need[float64](t)(DistanceFactor(x)); got != want {
			t.Errorf("at %v: %v", x, got)
		}
	}
	if f := need[float64](t)(DistanceFactor(0.7)) + need[float64](t)(DistanceFactor(-0.7)); math.Abs(f-1) > 1e-14 {
		t.Errorf("ahead and behind sum to %v, want 1", f)
	}
}

// TestFarAverages holds the closed-form averages against sums of FarWash over strips. Next to a tip in its plane the peak is integrable, and the sum slow.
func TestFarAverages(t *testing.T) {
	s := aircraft.Trapezoid{Span: 8.4, RootChord: 1.4, TipChord: 0.7}.Surface()
	for _, c := range []struct{ semi, gap, tolerance float64 }{
		{1.9, 0, 2e-3}, {1.9, 0.2, 1e-7}, {1.9, -0.2, 1e-7}, {4.2, 0.5, 1e-7}, {6, 0, 1e-7}, {6, 1, 1e-7}, {0.3, 0.3, 1e-7},
	} {
		const strips = 200001
		var area, mean, first float64
		for i := range strips {
			y := (float64(i) + 0.5) / strips * s.Semispan()
			chord := s.Root().Chord + (s.Tip().Chord-s.Root().Chord)*y/s.Semispan()
			w := need[float64](t)(FarWash(y/c.semi, c.gap/c.semi))
			area += chord
			mean += chord * w
			first += chord * w * y
		}
		gotMean, gotFirst := farAverages(s, c.semi, c.gap)
		if math.Abs(gotMean-mean/area) > c.tolerance || math.Abs(gotFirst-first/area) > c.tolerance*4 {
			t.Errorf("semi %v gap %v: %v %v, sums %v %v", c.semi, c.gap, gotMean, gotFirst, mean/area, first/area)
		}
	}
}

// TestAntiderivatives differentiates them again.
func TestAntiderivatives(t *testing.T) {
	for _, at := range []complex128{0.3 + 0.2i, 1.4, 2 + 1i, 0.99 + 0.05i} {
		const h = 1e-5
		above, below := antiderivatives(at+h), antiderivatives(at-h)
		for n := range above {
			want := cmplx.Pow(at, complex(float64(n), 0)) * (1 - at/root(at))
			if got := (above[n] - below[n]) / (2 * h); cmplx.Abs(got-want) > 1e-5 {
				t.Errorf("n %d at %v: %v, want %v", n, at, got, want)
			}
		}
	}
}

// TestWashOn: a foreplane holds the wing down inside its span and lifts it outside; the wing lifts the foreplane; and what is far ahead or small does nothing.
func TestWashOn(t *testing.T) {
	a := aircraft.Sedge()
	wing, foreplane := a.Surfaces[0], a.Surfaces[1]
	onWing := need[wash](t)(washOn(foreplane, wing, 0, 0))
	onForeplane := need[wash](t)(washOn(wing, foreplane, 0, 0))
	if onWing.mean <= 0 || onWing.moment >= 0 {
		t.Errorf("on the wing %+v: want downwash on the mean, and less of it aft", onWing)
	}
	if onForeplane.mean >= 0 {
		t.Errorf("on the foreplane %+v, want upwash", onForeplane)
	}
	far := foreplane.Moved(-1e6, 0, 0)
	if w := need[wash](t)(washOn(wing, far, 0, 0)); math.Abs(w.mean) > 1e-12 {
		t.Errorf("far ahead of the wing %+v", w)
	}
	narrow := wing.Part(0, 1.0/3)
	far = far.Moved(0, 0, wing.Root().Z-far.Root().Z)
	inside := need[wash](t)(washOn(far, narrow, 0, 0))
	if want := need[float64](t)(FarDownwash(1, far.AspectRatio())); math.Abs(inside.mean-want) > 2e-3*want {
		t.Errorf("far behind and inside the span %v, want %v", inside.mean, want)
	}
	small := foreplane.Scaled(1e-3)
	if w := need[wash](t)(washOn(small, wing, 0, 0)); math.Abs(w.mean) > 1e-5 {
		t.Errorf("a tiny foreplane gives %+v", w)
	}
	if quick := need[wash](t)(washOn(wing, foreplane, 0.6, 0)); quick.mean <= onForeplane.mean {
		t.Error("the upwash ahead has not faded with Mach number, which lengthens distances by 1/β")
	}
}

func TestWashRefuses(t *testing.T) {
	nan := math.NaN()
	second := func(_ float64, err error) error { return err }
	for name, err := range map[string]error{
		"section slope": second(LiftSlope(0, 8, 0, 0)),
		"aspect ratio":  second(LiftSlope(6, nan, 0, 0)),
		"sweep":         second(LiftSlope(6, 8, 80*unit.Degree, 0)),
		"Mach number":   second(LiftSlope(6, 8, 0, 1)),
		"far aspect":    second(FarDownwash(1, 0)),
		"far lift":      second(FarDownwash(nan, 8)),
		"tip":           second(FarWash(1, 0)),
		"NaN wash":      second(FarWash(nan, 0)),
		"bound":         second(DistanceFactor(0)),
		"NaN distance":  second(DistanceFactor(nan)),
	} {
		if err == nil {
			t.Errorf("%s passed", name)
		}
	}
}
