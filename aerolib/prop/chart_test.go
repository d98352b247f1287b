package prop

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"foreplane/aerolib/atmos"
	"foreplane/aerolib/internal/reference"
	"foreplane/aerolib/unit"
)

const table = `pitch [°],J,CT,CP
# an invented chart
20,0.0,0.12,0.070
20,0.5,0.09,0.060
20,1.0,0.00,0.010
30,0.0,0.14,0.120
30,0.5,0.13,0.110
30,1.0,0.09,0.100
`

func chart(t testing.TB) Chart {
	t.Helper()
	c, err := ReadChart("invented", strings.NewReader(table))
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func TestChartAt(t *testing.T) {
	for _, c := range []struct{ j, pitch, ct, cp unit.Ratio }{
		{0, 20, 0.12, 0.07}, {0.25, 20, 0.105, 0.065}, {0.5, 25, 0.11, 0.085}, {0.75, 25, 0.0775, 0.07}, {1, 30, 0.09, 0.1}, {0.75, 27.5, 0.09375, 0.0875},
	} {
		p, err := chart(t).At(c.j, c.pitch*unit.Degree)
		if err != nil || math.Abs(p.CT-c.ct) > 1e-12 || math.Abs(p.CP-c.cp) > 1e-12 || math.Abs(p.J-c.j) > 1e-12 {
			t.Errorf("J %g, pitch %g: %+v, %v; want CT %g, CP %g", c.j, c.pitch, p, err, c.ct, c.cp)
		}
	}
	for _, c := range [][2]float64{{-0.1, 20}, {1.1, 20}, {1.1, 25}, {0.5, 19}, {0.5, 31}, {math.NaN(), 25}, {0.5, math.NaN()}} {
		var outside *unit.RangeError
		if p, err := chart(t).At(c[0], c[1]*unit.Degree); !errors.As(err, &outside) {
			t.Errorf("%v gives %+v, %v", c, p, err)
		}
	}
	if _, err := (Chart{}).At(0, 0); err == nil {
		t.Error("an empty chart has a point")
	}
}

// TestPointCoefficients compares with case P5, whose coefficients are rounded.
func TestPointCoefficients(t *testing.T) {
	reference.Check(t, "P5", 0, func(in reference.Inputs) reference.Values {
		p := Point{J: in.Get("J"), CT: in.Get("CT"), CP: in.Get("CP")}
		return reference.Values{"eta": p.Efficiency(), "Cs": p.SpeedPower()}
	})
}

// TestSpeedPower compares with case P4: the constant that customary units bring at sea level, and Cs from it and from J and CP.
func TestSpeedPower(t *testing.T) {
	reference.Check(t, "P4", 0, func(in reference.Inputs) reference.Values {
		v, power, n, rho, d := in.Get("V"), in.Get("P"), in.Get("N"), seaLevel(t).Density, 2.5
		cs := Point{J: v / (n * d), CP: power / (rho * n * n * n * math.Pow(d, 5))}.SpeedPower()
		customary := v / unit.MilePerHour / math.Pow(power/unit.Horsepower, 0.2) / math.Pow(n/unit.RevolutionPerMinute, 0.4)
		return reference.Values{"constant": cs / customary, "Cs": cs}
	})
}

// TestChartRoundTrip holds that a computed chart comes back from its file bit for bit.
func TestChartRoundTrip(t *testing.T) {
	p := standard(t, 2, 100)
	c, err := p.Chart(seaLevel(t), 40, []unit.Ratio{0, 0.3, 0.7}, []unit.Angle{0.3, 0.4})
	if err != nil {
		t.Fatal(err)
	}
	var text strings.Builder
	if err := c.WriteCSV(&text); err != nil {
		t.Fatal(err)
	}
	again, err := ReadChart(c.Name, strings.NewReader(text.String()))
	if err != nil || fmt.Sprint(again.Points()) != fmt.Sprint(c.Points()) || fmt.Sprint(again.Pitches()) != fmt.Sprint([]float64{0.3, 0.4}) {
		t.Errorf("%v\n%v\n%v", err, again.Points(), c.Points())
	}
	s := solved(t, p, Flow{V: 0.7 * 40 * p.Diameter, Rotation: 40, Pitch: 0.4})
	if q, err := c.At(0.7, 0.4); err != nil || q.CT != s.CT || q.CP != s.CP {
		t.Errorf("%+v, %v, want %g and %g", q, err, s.CT, s.CP)
	}
}

// TestBrokenCharts holds that each mistake is told with its line.
func TestBrokenCharts(t *testing.T) {
	for _, c := range []struct{ old, new, want string }{
		{"pitch [°],J,CT,CP", "pitch,J,CT,CP", "line 1: column pitch needs its unit"},
		{"pitch [°],J,CT,CP", "pitch [°],J,CT,CQ", `line 1: column "CQ": must be pitch, J, CT, CP`},
		{"pitch [°],J,CT,CP", "pitch [°],J,CT,CT", `line 1: column "CT": must be`},
		{"pitch [°],J,CT,CP", "pitch [°],J,CT", `line 1: there is no column "CP"`},
		{"20,0.5,0.09,0.060", "20,half,0.09,0.060", "line 4: J: "},
		{"20,0.5,0.09,0.060", "20,0.5,NaN,0.060", "line 4: CT: "},
		{"20,0.5,0.09,0.060", "20,0.5,0.09", "line 4: "},
		{"20,0.5,0.09,0.060", "-20,0.5,0.09,0.060", "line 4: prop.NewChart: pitch is -20.0°"},
		{"20,0.5,0.09,0.060", "20,-0.5,0.09,0.060", "line 4: prop.NewChart: J is -0.5"},
		{"20,0.5,0.09,0.060", "20,0.0,0.09,0.060", `chart "x": two points at J = 0 and 20.0°`},
		{"20,0.5,0.09,0.060", "21,0.5,0.09,0.060", `chart "x": one point at 21.0°`},
		{table, "", "line 1: no header"},
		{table, "pitch [°],J,CT,CP\n", "it has no points"},
	} {
		_, err := ReadChart("x", strings.NewReader(strings.Replace(table, c.old, c.new, 1)))
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%v, want %q", err, c.want)
		}
	}
}

func ExampleReadChart() {
	c, _ := ReadChart("invented", strings.NewReader(table))
	p, _ := c.At(0.5, 25*unit.Degree)
	fmt.Printf("CT %.3f, CP %.3f, η %.3f\n", p.CT, p.CP, p.Efficiency())
	// Output: CT 0.110, CP 0.085, η 0.647
}

func ExampleNewChart() {
	c, _ := NewChart("two points", []Point{{Pitch: 0.4, J: 0, CT: 0.12, CP: 0.08}, {Pitch: 0.4, J: 1, CT: 0.02, CP: 0.04}})
	p, _ := c.At(0.5, 0.4)
	fmt.Printf("%.2f\n", p.CT)
	// Output: 0.07
}

func ExamplePropeller_Chart() {
	p, _ := Standard("example", 1.8*unit.Metre, 2, 100)
	air, _ := atmos.Standard(0)
	c, _ := p.Chart(air, 2400*unit.RevolutionPerMinute, []unit.Ratio{0.6, 0.8, 1}, []unit.Angle{20 * unit.Degree, 25 * unit.Degree})
	best := 0.0
	for _, q := range c.Points() {
		best = max(best, q.Efficiency())
	}
	fmt.Printf("%d points, best η %.3f\n", len(c.Points()), best)
	// Output: 6 points, best η 0.879
}
