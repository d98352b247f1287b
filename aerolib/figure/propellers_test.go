package figure

import (
	"math"
	"strings"
	"testing"

	"foreplane/aerolib/prop"
	"foreplane/aerolib/unit"
)

// fall is a bookkeeping of round numbers.
func fall() prop.Books {
	return prop.Books{
		Aircraft: "Straw", Pusher: true, Apparent: 0.9, Net: 0.8, Installed: prop.Installed{Operating: prop.Operating{V: 100 * unit.Knot}},
		Rows: []prop.Row{{Name: "shaft power", Power: 100e3, Total: true}, {Name: "induced", Power: -20e3}, {Name: "disc output", Power: 80e3, Total: true},
			{Name: "wake gain", Power: 6e3}, {Name: "scrubbing"}, {Name: "cooling", Power: -2e3}, {Name: "net", Power: 84e3, Total: true}},
	}
}

// TestWaterfall holds that every bar begins where the one before ended, and sums at zero.
func TestWaterfall(t *testing.T) {
	f := Waterfall(fall())
	want := [][2]float64{{0, 100e3}, {100e3, 80e3}, {0, 80e3}, {80e3, 86e3}, {86e3, 86e3}, {86e3, 84e3}, {0, 84e3}}
	if f.Err() != nil || len(f.shapes) != len(want) {
		t.Fatalf("%v, %d shapes", f.Err(), len(f.shapes))
	}
	for i, s := range f.shapes {
		if s.x[0] != want[i][0] || s.x[1] != want[i][1] || s.bar != i {
			t.Errorf("bar %d from %g to %g, want %v", s.bar, s.x[0], s.x[1], want[i])
		}
	}
	for _, text := range []string{"Straw, pusher", "induced: loss −20", "wake gain: gain 6", "0.900 apparent and 0.800 net", "licensed engineers"} {
		if !strings.Contains(f.AltText(), text) {
			t.Errorf("no %q in %q", text, f.AltText())
		}
	}
	b := fall()
	b.Rows[1].Power = math.NaN()
	if Waterfall(b).Err() == nil {
		t.Error("a power that is not a number is no error")
	}
}

func TestPropellerCharts(t *testing.T) {
	c, err := prop.NewChart("straw", []prop.Point{
		{Pitch: 20 * unit.Degree, J: 0, CT: 0.1, CP: 0.05}, {Pitch: 20 * unit.Degree, J: 0.5, CT: 0.08, CP: 0.05}, {Pitch: 20 * unit.Degree, J: 1, CT: -0.02, CP: -0.01},
		{Pitch: 30 * unit.Degree, J: 0, CT: 0.12, CP: 0.1}, {Pitch: 30 * unit.Degree, J: 1, CT: 0.06, CP: 0.08},
	})
	if err != nil {
		t.Fatal(err)
	}
	line := []prop.Operating{{Point: prop.Point{J: 0.2, CT: 0.1, CP: 0.06}}, {Point: prop.Point{J: 0.8, CT: 0.07, CP: 0.08}}}
	for _, k := range []struct {
		figure *Figure
		points [3]int // of the line and the two pitches
		last   float64
	}{{PropellerEfficiency(c, line...), [3]int{2, 2, 2}, 0.75}, {PropellerThrust(c, line...), [3]int{2, 3, 2}, 0.06}, {PropellerPower(c, line...), [3]int{2, 3, 2}, 0.08}} {
		if len(k.figure.series) != 3 || k.figure.Err() != nil {
			t.Fatalf("%d series, %v", len(k.figure.series), k.figure.Err())
		}
		for i, s := range k.figure.series {
			if len(s.x) != k.points[i] || s.label != []string{"operating line", "20°", "30°"}[i] {
				t.Errorf("%s: %q has %d points, want %d", k.figure.Title, s.label, len(s.x), k.points[i])
			}
		}
		if last := k.figure.series[2]; math.Abs(last.y[1]-k.last) > 1e-12 {
			t.Errorf("%s ends at %g, want %g", k.figure.Title, last.y[1], k.last)
		}
	}
	if PropellerThrust(prop.Chart{}).Err() == nil {
		t.Error("an empty chart is no error")
	}
}

func TestBladeLoad(t *testing.T) {
	s := prop.State{Flow: prop.Flow{V: 50 * unit.Knot}, Thrust: -1, Elements: []prop.Element{{Radius: 0.3, Thrust: 100}, {Radius: 0.8, Thrust: -20}}}
	f := BladeLoad(s)
	if f.Err() != nil || f.series[0].y[1] != -20 || f.series[0].x[1] != 0.8 || !strings.Contains(f.series[0].label, "50") || !strings.Contains(f.Caption, "brake") {
		t.Errorf("%v, %+v, %q", f.Err(), f.series, f.Caption)
	}
	if BladeLoad().Err() == nil {
		t.Error("no states are no error")
	}
}
