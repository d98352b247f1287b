package figure

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"gonum.org/v1/plot"
)

func labels(ticks []plot.Tick) string {
	var out []string
	for _, t := range ticks {
		if t.Label != "" {
			out = append(out, t.Label)
		}
	}
	return strings.Join(out, " ")
}

func TestTickLabels(t *testing.T) {
	for _, c := range []struct {
		ticker    plot.Ticker
		low, high float64
		want      string
	}{
		{linearTicker{6}, 0, 1, "0.0 0.2 0.4 0.6 0.8 1.0"},
		{linearTicker{6}, -0.25, 0.2, "−0.2 −0.1 0.0 0.1 0.2"},
		{linearTicker{5}, 0, 20000, "0 5000 10\u2009000 15\u2009000 20\u2009000"},
		{linearTicker{4}, 90, 100, "90 95 100"},
		{linearTicker{5}, 0, 4e6, "0 1×10^{6} 2×10^{6} 3×10^{6} 4×10^{6}"},
		{linearTicker{4}, 0, 2e-5, "0 0.5×10^{-5} 1.0×10^{-5} 1.5×10^{-5} 2.0×10^{-5}"},
		{linearTicker{5}, 1, 1, ""},
		{linearTicker{5}, math.Inf(-1), 1, ""},
		{logTicker{6}, 0.5, 20, "0.5 1 2 5 10 20"},
		{logTicker{4}, 1e5, 2e7, "10^{5} 10^{6} 10^{7}"},
		{logTicker{6}, 1e5, 1e6, "10^{5} 2×10^{5} 5×10^{5} 10^{6}"},
		{logTicker{3}, 1e-6, 1, "10^{-6} 10^{-4} 10^{-2} 10^{0}"},
	} {
		if got := labels(c.ticker.Ticks(c.low, c.high)); got != c.want {
			t.Errorf("%#v from %g to %g: %q, want %q", c.ticker, c.low, c.high, got, c.want)
		}
	}
}

// TestTickProperties holds over many ranges: labelled ticks are 1, 2 or 5 times a power of ten apart, no more of them than fit, at least two if
// any four fit, in order, inside the range, and labelled with what they stand at.
func TestTickProperties(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 2000 {
		low := (r.Float64() - 0.5) * math.Pow(10, float64(r.IntN(9)-4))
		high := low + math.Pow(10, 6*r.Float64()-3)*math.Max(math.Abs(low), 1e-3)
		count := 4 + 6*r.Float64()
		var major []float64
		last := math.Inf(-1)
		for _, tick := range (linearTicker{count}).Ticks(low, high) {
			if tick.Value <= last || tick.Value < low-1e-6*(high-low) || tick.Value > high+1e-6*(high-low) {
				t.Fatalf("tick %g out of order or out of %g to %g", tick.Value, low, high)
			}
			last = tick.Value
			if tick.Label != "" {
				major = append(major, tick.Value)
			}
		}
		if len(major) < 2 && count >= 4 && len(major) != 1 || float64(len(major)) > count+1.5 {
			t.Fatalf("%d labels for %g from %g to %g", len(major), count, low, high)
		}
		for i := 1; i < len(major); i++ {
			step := major[i] - major[i-1]
			mantissa := step / math.Pow(10, math.Floor(math.Log10(step)+1e-6))
			if d := math.Min(math.Abs(mantissa-1), math.Min(math.Abs(mantissa-2), math.Abs(mantissa-5))); d > 1e-4 {
				t.Fatalf("step %g from %g to %g", step, low, high)
			}
		}
	}
}

func TestNiceContainsData(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for range 2000 {
		low := (r.Float64() - 0.5) * 100
		high := low + r.Float64()*math.Pow(10, float64(r.IntN(6)-3))
		a, b := (&Axis{}).nice(low, high, 0)
		if !(a <= low+1e-9*math.Abs(low) && high-1e-9*math.Abs(high) <= b) || b-a > 1.6*(high-low)+1e-9*math.Abs(low) && high-low > 1e-6 {
			t.Fatalf("%g to %g became %g to %g", low, high, a, b)
		}
		p, q := math.Exp(low/20), math.Exp(high/20)*1.2
		if a, b := (&Axis{Log: true}).nice(p, q, 0); a > p*(1+1e-8) || b < q*(1-1e-8) {
			t.Fatalf("log: %g to %g became %g to %g", p, q, a, b)
		}
	}
}

func TestNumbers(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{fixed(-0.04, 1), "0.0"}, {fixed(-0.06, 1), "−0.1"}, {fixed(1234567.25, 2), "1\u2009234\u2009567.25"}, {fixed(1234, 0), "1234"},
		{significant(-12.345, 3), "−12.3"}, {significant(1.5e-7, 3), "1.5×10⁻⁷"}, {significant(123456, 3), "123456"}, {significant(0, 3), "0"},
		{significant(3e8, 3), "3×10⁸"}, {quantity("5", "°"), "5°"}, {quantity("5", "kt"), "5 kt"}, {quantity("5", ""), "5"},
	} {
		if c.got != c.want {
			t.Errorf("%q, want %q", c.got, c.want)
		}
	}
}
