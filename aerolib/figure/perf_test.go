package figure

import (
	"math"
	"strings"
	"testing"

	"foreplane/aerolib/atmos"
	"foreplane/aerolib/drag"
	"foreplane/aerolib/perf"
	"foreplane/aerolib/unit"
)

// jet returns an aeroplane with a parabolic polar and a jet, and the air at a height.
func jet(t testing.TB, h unit.Length) (perf.Aeroplane, atmos.Air) {
	t.Helper()
	air, err := atmos.Standard(h)
	if err != nil {
		t.Fatal(err)
	}
	return perf.Aeroplane{Name: "Teasel", Mass: 750, Area: 9.45, Polar: drag.Parabola{CD0: 0.028, K: 0.045}, MaxLift: 1.4, Propulsion: perf.Jet{Thrust: 1800}}, air
}

// have ends the test on an error.
func have[T any](t testing.TB) func(T, error) T {
	return func(v T, err error) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

// TestPowers holds the values of the first point, in the units shown, and the second axis.
func TestPowers(t *testing.T) {
	a, air := jet(t, 3000)
	points := have[[]perf.Point](t)(a.Curve(air, 80*unit.Knot, 120*unit.Knot, 3))
	f := Powers(a.Name, air, points)
	if f.Err() != nil || f.Title != "Power of Teasel" || f.series[0].y[0] != points[0].Required || f.series[1].y[2] != points[2].Available {
		t.Errorf("%v %q %v", f.Err(), f.Title, f.series)
	}
	if at := f.top.from(100); math.Abs(at-100*math.Sqrt(air.DensityRatio())) > 1e-9 {
		t.Errorf("100 m/s TAS is %g m/s EAS", at)
	}
	shown(t, f, "flight manual")
}

// shown holds that a figure draws, has alternative text with the caution, and data.
func shown(t *testing.T, f *Figure, caution string) {
	t.Helper()
	if _, err := f.SVG(); err != nil {
		t.Error(err)
	}
	if !strings.Contains(f.AltText(), caution) || len(f.Data().Rows) < 2 {
		t.Errorf("%d rows of data, text %q", len(f.Data().Rows), f.AltText())
	}
}

func TestClimbRates(t *testing.T) {
	a, _ := jet(t, 0)
	rows := have[[]perf.Row](t)(a.Climbs(atmos.Day{}, []float64{0, 3000, 30000}, 12))
	if len(rows) != 2 {
		t.Fatalf("%d rows, want those below the ceiling", len(rows))
	}
	f := ClimbRates(rows...)
	last := rows[1].Flights[11]
	if f.series[1].label != "9843 ft" || f.series[1].x[11] != last.Equivalent || f.series[1].y[11] != 0 || last.Equivalent >= last.Speed {
		t.Errorf("%v", f.series[1])
	}
	shown(t, f, "flight manual")
}

// TestSinkPolar holds the tangents to begin at the wind and to end on the polar.
func TestSinkPolar(t *testing.T) {
	a, air := jet(t, 0)
	row := have[perf.Row](t)(a.Sinks(air, 60, 20))
	winds := []float64{-10 * unit.Knot, 0, 10 * unit.Knot}
	var best []perf.Flight
	for _, w := range winds {
		best = append(best, have[perf.Flight](t)(a.BestGlide(air, w, 0)))
	}
	f := SinkPolar(row, winds, best)
	if s := f.series[3]; s.label != "headwind 10\u00a0kt" || s.x[0] != winds[2] || s.y[0] != 0 || s.y[1] != -best[2].Rate {
		t.Errorf("%+v", s)
	}
	if f.series[1].label != "tailwind 10\u00a0kt" || f.series[2].label != "still air" {
		t.Errorf("labels %q, %q", f.series[1].label, f.series[2].label)
	}
	shown(t, f, "flight manual")
	if SinkPolar(row, winds, nil).Err() == nil {
		t.Error("winds without glides")
	}
}

func TestExcessPower(t *testing.T) {
	a, _ := jet(t, 0)
	m := have[perf.ExcessMap](t)(a.ExcessMap(atmos.Day{}, 2, []float64{40, 50, 60, 70, 80, 90}, []float64{0, 2000, 4000}))
	if !math.IsNaN(m.Excess[0][0]) || m.Excess[1][3] != have[float64](t)(a.ExcessPower(have[atmos.Air](t)(atmos.Standard(2000)), 70, 2)) || m.Stall[2] <= m.Stall[0] {
		t.Errorf("%v %v", m.Excess, m.Stall)
	}
	f := ExcessPower(m)
	if !strings.Contains(f.Title, "load factor 2") {
		t.Errorf("title %q", f.Title)
	}
	shown(t, f, "flight manual")
}

// TestTakeOffs holds warm days to longer distances, and curves to end where there is no take-off.
func TestTakeOffs(t *testing.T) {
	a, _ := jet(t, 0)
	a.Propulsion = perf.Jet{Thrust: 1500, Lapse: func(s unit.Ratio) unit.Ratio { return s * s }}
	curves := have[[]perf.FieldCurve](t)(a.TakeOffs(perf.TakeOff{}, []float64{0, 1000, 2000, 8000}, []float64{-10, 0, 30}))
	if len(curves[2].Fields) != 3 || curves[2].Fields[1].Sum().Distance <= curves[0].Fields[1].Sum().Distance {
		t.Errorf("%d fields", len(curves[2].Fields))
	}
	f := TakeOffs(curves...)
	if f.series[0].label != "ISA −10" || f.series[1].label != "ISA" || f.series[2].label != "ISA +30" || f.series[0].y[1] != curves[0].Fields[1].Sum().Distance {
		t.Errorf("%v", f.series)
	}
	shown(t, f, "flight manual")
}

func TestFlightTest(t *testing.T) {
	r := []perf.Residual{{Name: "climb", Kind: "VerticalSpeed", Measured: 5, Computed: 4.5, Point: perf.Measured{Speed: 40}}, {Name: "sink", Kind: "VerticalSpeed"},
		{Name: "climb", Kind: "VerticalSpeed", Measured: 3, Computed: 3.25, Point: perf.Measured{Speed: 50}}}
	f := FlightTest("climb", r)
	if s := f.series[0]; len(s.x) != 2 || s.y[1] != -0.25 || f.Y.Unit != "ft/min" {
		t.Errorf("%v in %s", s, f.Y.Unit)
	}
	if _, err := f.SVG(); err != nil {
		t.Error(err)
	}
	if FlightTest("power", r).Err() == nil {
		t.Error("nothing to draw")
	}
}

func TestNoPerformance(t *testing.T) {
	_, air := jet(t, 0)
	for name, f := range map[string]*Figure{"Powers": Powers("Sedge", air, nil), "ClimbRates": ClimbRates(), "ExcessPower": ExcessPower(perf.ExcessMap{}),
		"TakeOffs": TakeOffs(perf.FieldCurve{})} {
		if f.Err() == nil || !strings.Contains(f.Err().Error(), name) {
			t.Errorf("%s: %v", name, f.Err())
		}
	}
}
