package solve

import (
	"errors"
	"fmt"
	"math"
	"testing"
)

// TestRoot has functions that are steep, flat, of high order and with the root at an end.
func TestRoot(t *testing.T) {
	for name, c := range map[string]struct {
		f          func(float64) float64
		a, b, want float64
		width      float64 // allowed: a root of order n is only as sharp as f
	}{
		"cosine":  {math.Cos, 0, 3, math.Pi / 2, 1e-12},
		"cubic":   {func(x float64) float64 { return x*x*x - 2 }, 0, 2, math.Cbrt(2), 1e-12},
		"triple":  {func(x float64) float64 { return math.Pow(x-1, 3) }, -3, 4, 1, 1e-5},
		"steep":   {func(x float64) float64 { return math.Exp(50*x) - 1e9 }, -1, 2, math.Log(1e9) / 50, 1e-12},
		"flat":    {func(x float64) float64 { return math.Tanh(200 * (x - 0.3)) }, -10, 10, 0.3, 1e-12},
		"end":     {func(x float64) float64 { return x - 2 }, 0, 2, 2, 0},
		"start":   {func(x float64) float64 { return x }, 0, 2, 0, 1e-12},
		"reverse": {func(x float64) float64 { return x*x - 2 }, 2, 0, math.Sqrt2, 1e-12},
	} {
		calls := 0
		got, err := Root(func(x float64) float64 { calls++; return c.f(x) }, c.a, c.b)
		if err != nil || !(math.Abs(got-c.want) <= c.width) || calls > 90 {
			t.Errorf("%s: %v after %d calls (%v), want %v", name, got, calls, err, c.want)
		}
	}
}

func TestRootErrors(t *testing.T) {
	var bracket *BracketError
	if _, err := Root(math.Exp, 0, 1); !errors.As(err, &bracket) || bracket.FB != math.E {
		t.Errorf("no change of sign: %v", err)
	}
	var value *ValueError
	if _, err := Root(func(x float64) float64 { return 1 / (x - 1) }, 0, 2); !errors.As(err, &value) {
		t.Errorf("a pole: %v", err)
	}
	if _, err := Root(math.Log, -1, 2); !errors.As(err, &value) || value.X != -1 {
		t.Errorf("no value at an end: %v", err)
	}
}

func TestMaximum(t *testing.T) {
	for name, c := range map[string]struct {
		f          func(float64) float64
		a, b, want float64
	}{
		"sine":   {math.Sin, 0, 3, math.Pi / 2},
		"rising": {math.Exp, 1, 3, 3},
		"fall":   {func(x float64) float64 { return -x }, 1, 3, 1},
		"skew":   {func(x float64) float64 { return x * math.Exp(-x) }, 0, 40, 1},
		"kink":   {func(x float64) float64 { return -math.Abs(x - 0.7) }, -5, 5, 0.7},
	} {
		calls := 0
		got, err := Maximum(func(x float64) float64 { calls++; return c.f(x) }, c.a, c.b)
		if err != nil || !(math.Abs(got-c.want) <= 3e-8*max(1, c.want)) || calls > 80 {
			t.Errorf("%s: %v after %d calls (%v), want %v", name, got, calls, err, c.want)
		}
	}
	var value *ValueError
	if _, err := Maximum(math.Log, -2, -1); !errors.As(err, &value) {
		t.Errorf("no value: %v", err)
	}
}

// circle turns in the plane with unit rate.
func circle(_ float64, y, rates []float64) { rates[0], rates[1] = -y[1], y[0] }

// TestPath has an event that must be met to the accuracy of the steps: half a turn after π.
func TestPath(t *testing.T) {
	seen := 0
	p := Path{Rates: circle, Relative: 1e-12, Absolute: 1e-12, Seen: func(float64, []float64) { seen++ }}
	end, err := p.Until(State{0, []float64{1, 0}}, func(x float64, y []float64) float64 {
		if x < 1 {
			return -1
		}
		return -y[1]
	})
	if err != nil || math.Abs(end.T-math.Pi) > 1e-10 || math.Abs(end.Y[0]+1) > 1e-10 {
		t.Errorf("%v (%v), want π", end, err)
	}
	if seen < 3 {
		t.Errorf("%d states were seen", seen)
	}
}

// TestOrder holds that a step of half the length has an error smaller by 2⁶, the local error of order 5.
func TestOrder(t *testing.T) {
	p := Path{Rates: circle, Relative: 1, Absolute: 1}
	miss := func(h float64) float64 {
		end, _ := p.step(State{0, []float64{1, 0}}, h)
		return math.Hypot(end.Y[0]-math.Cos(h), end.Y[1]-math.Sin(h))
	}
	if order := math.Log2(miss(0.2) / miss(0.1)); math.Abs(order-6) > 0.3 {
		t.Errorf("order %.2f, want 6", order)
	}
}

func TestPathErrors(t *testing.T) {
	never := func(float64, []float64) float64 { return -1 }
	var step *StepError
	if _, err := (Path{Rates: circle, Steps: 20}).Until(State{0, []float64{1, 0}}, never); !errors.As(err, &step) {
		t.Errorf("no event: %v", err)
	}
	blow := func(_ float64, y, rates []float64) { rates[0] = y[0] * y[0] } // infinite at 1
	var value *ValueError
	if at, err := (Path{Rates: blow}).Until(State{0, []float64{1}}, never); !errors.As(err, &value) || math.Abs(at.T-1) > 1e-6 {
		t.Errorf("blowing up: %v %v", at, err)
	}
	nothing := func(_ float64, _, rates []float64) { rates[0] = math.NaN() }
	if _, err := (Path{Rates: nothing}).Until(State{0, []float64{1}}, never); !errors.As(err, &value) {
		t.Errorf("no rate: %v", err)
	}
}

func ExampleRoot() {
	x, err := Root(func(x float64) float64 { return x*x - 2 }, 0, 2)
	fmt.Printf("%.6f %v\n", x, err)
	// Output: 1.414214 <nil>
}

func ExampleMaximum() {
	x, err := Maximum(func(x float64) float64 { return x * (4 - x) }, 0, 4)
	fmt.Printf("%.4f %v\n", x, err)
	// Output: 2.0000 <nil>
}

// A ball that falls from 20 m.
func ExamplePath_Until() {
	fall := func(_ float64, y, rates []float64) { rates[0], rates[1] = y[1], -9.80665 }
	end, err := Path{Rates: fall}.Until(State{0, []float64{20, 0}}, func(_ float64, y []float64) float64 { return -y[0] })
	fmt.Printf("%.3f s, %.2f m/s, %v\n", end.T, end.Y[1], err)
	// Output: 2.020 s, -19.81 m/s, <nil>
}
