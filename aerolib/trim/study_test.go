package trim

import (
	"context"
	"errors"
	"fmt"
	"math"
	"strings"
	"sync"
	"testing"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/unit"
)

// smallStudy is one that tests can afford, with what it told on the way.
func smallStudy() Study {
	return Study{Aircraft: aircraft.Sedge(), Designs: 20, Seed: 7, Vary: map[Variable]Interval{
		SpanRatio: {0.35, 0.55}, AreaShare: {0.14, 0.26}, Ahead: {3.2, 4.0}, Incidence: {-1 * unit.Degree, 3 * unit.Degree}, Gap: {0, 0.5},
	}}
}

var studied = sync.OnceValues(func() (StudyResult, []Progress) {
	var told []Progress
	s := smallStudy()
	s.Progress = func(p Progress) { told = append(told, p) }
	r, err := Optimise(context.Background(), s)
	if err != nil {
		panic(err)
	}
	return r, told
})

// TestFront: of the front none is better than another in both, each is feasible, and no feasible design that was tried beats one.
func TestFront(t *testing.T) {
	r, told := studied()
	if len(r.Designs) != 20 || len(told) != 20 || told[19].Done != 20 || told[19].Of != 20 || len(r.Front) < 2 {
		t.Fatalf("%d designs, told of %d, %d on the front", len(r.Designs), len(told), len(r.Front))
	}
	for i, f := range r.Front {
		if i > 0 && (f.Stall < r.Front[i-1].Stall || f.Drag >= r.Front[i-1].Drag) {
			t.Errorf("%v behind %v", f, r.Front[i-1])
		}
		for _, d := range r.Designs {
			if d.Feasible() && d.Drag < f.Drag && d.Stall < f.Stall {
				t.Errorf("%v beats %v", d, f)
			}
		}
	}
	feasible, missed := 0, 0
	for i, d := range r.Designs {
		if d.Number != i+1 {
			t.Errorf("design %d has the number %d", i+1, d.Number)
		}
		if !d.Feasible() {
			continue
		}
		feasible++
		if d.Lead < 0.05 || d.Layout.Stall.First.Role != aircraft.Foreplane || d.Layout.AftStall.First.Role != aircraft.Foreplane || math.Abs(d.Layout.Margin-0.05) > 2e-4 {
			t.Errorf("%v: lead %.3f, margin %.4f", d, d.Lead, d.Layout.Margin)
		}
	}
	for _, n := range r.Infeasible() {
		missed += n
	}
	if feasible+missed != 20 || feasible != told[19].Feasible {
		t.Errorf("%d feasible, %d not", feasible, missed)
	}
}

// TestDesign: an aeroplane has the values that it is designed to, within their limits, and the total area that was drawn.
func TestDesign(t *testing.T) {
	r, _ := studied()
	s := smallStudy()
	drawn := Study{Aircraft: s.Aircraft}.drawn()
	for _, d := range append(r.Designs, Design{Values: drawn}) {
		a := s.design(d.Values)
		if err := a.Validate(); err != nil {
			t.Error(err)
		}
		for v, got := range (Study{Aircraft: a}).drawn() {
			if math.Abs(got-d.Values[v]) > 1e-9 {
				t.Errorf("%s is %v, must be %v", v, got, d.Values[v])
			}
			if l := s.Vary[v]; d.Number > 0 && !(l.From <= got+1e-9 && got-1e-9 <= l.To) {
				t.Errorf("%s is %v, outside %v", v, got, l)
			}
		}
		if math.Abs(a.Area()-s.Aircraft.Area()) > 1e-9 {
			t.Errorf("area %v", a.Area())
		}
		w, _ := a.Surface("wing")
		before, _ := s.Aircraft.Surface("wing")
		if math.Abs(w.AspectRatio()-before.AspectRatio()) > 1e-9 || math.Abs(w.QuarterChord()-before.QuarterChord()) > 1e-9 {
			t.Error("the wing has another shape")
		}
	}
	if a := s.design(drawn); math.Abs(a.Surfaces[1].Tip().Chord-s.Aircraft.Surfaces[1].Tip().Chord) > 1e-12 {
		t.Error("as drawn the foreplane is another")
	}
}

// TestStopped: once the context ends there are the designs until then, and the first of them are those of any run with this seed.
func TestStopped(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	s := smallStudy()
	s.Workers = 1
	s.Progress = func(p Progress) {
		if p.Done == 3 {
			cancel()
		}
	}
	r, err := Optimise(ctx, s)
	if !errors.Is(err, context.Canceled) || len(r.Designs) < 3 || len(r.Designs) > 4 {
		t.Fatalf("%d designs, error %v", len(r.Designs), err)
	}
	whole, _ := studied()
	for i, d := range r.Designs {
		if d.Drag != whole.Designs[i].Drag || d.Stall != whole.Designs[i].Stall {
			t.Errorf("design %d is %v, and %v in the whole study", i+1, d, whole.Designs[i])
		}
	}
}

func TestStudyErrors(t *testing.T) {
	for want, spoil := range map[string]func(*Study){
		"Bracken has no foreplane":      func(s *Study) { s.Aircraft = aircraft.Bracken() },
		"no variable is named":          func(s *Study) { s.Vary = nil },
		"19 designs are too few":        func(s *Study) { s.Designs = 19 },
		`there is no variable "beauty"`: func(s *Study) { s.Vary["beauty"] = Interval{0, 1} },
		"which is no interval":          func(s *Study) { s.Vary[Gap] = Interval{1, math.NaN()} },
		"lead of the foreplane is 2":    func(s *Study) { s.Lead = 2 },
		"number of workers":             func(s *Study) { s.Workers = -1 },
		"range of the CG":               func(s *Study) { s.Basis.Range = -1 },
		"mass is -1.000 kg":             func(s *Study) { s.Aircraft.Mass = -1 },
		"Sedge as it is drawn: lattice.": func(s *Study) {
			s.Basis.Speed = 20
			s.Aircraft = s.Aircraft.With(s.Aircraft.Surfaces[1].Moved(0, 0, 3))
		},
	} {
		s := smallStudy()
		spoil(&s)
		if _, err := Optimise(context.Background(), s); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("error %v, want %q", err, want)
		}
	}
}

// TestLead: the lead is that over whatever else is nearest, and below zero where another surface is first.
func TestLead(t *testing.T) {
	strip := func(role aircraft.Role, used float64) StallStrip {
		return StallStrip{Surface: string(role), Role: role, Critical: Critical{Used: used}}
	}
	for want, s := range map[float64]Stall{
		0.25:         {First: strip(aircraft.Foreplane, 1), Others: []StallStrip{strip(aircraft.Wing, 0.75), strip(aircraft.Tailplane, 0.5)}},
		-0.5:         {First: strip(aircraft.Wing, 1), Others: []StallStrip{strip(aircraft.Tailplane, 0.75), strip(aircraft.Foreplane, 0.5)}},
		math.Inf(-1): {First: strip(aircraft.Wing, 1)},
	} {
		if got := lead(s); got != want {
			t.Errorf("lead %v, must be %v", got, want)
		}
	}
	if got := outside([]float64{0.5, -0.25, 1.5}); got != 0.75 {
		t.Errorf("outside by %v", got)
	}
}

func ExampleOptimise() {
	r, err := Optimise(context.Background(), Study{
		Aircraft: aircraft.Sedge(), Designs: 20,
		Vary: map[Variable]Interval{AreaShare: {0.15, 0.25}, SpanRatio: {0.4, 0.55}},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	slow, quick := r.Front[0], r.Front[len(r.Front)-1]
	fmt.Println("as drawn:          ", r.Drawn)
	fmt.Printf("least stall speed:   %v, foreplane %.0f %% of the area\n", slow, 100*slow.Values[AreaShare])
	fmt.Printf("least drag:          %v, foreplane %.0f %% of the area\n", quick, 100*quick.Values[AreaShare])
	// Output:
	// as drawn:           483 N of drag in cruise, stall at 34.8 m/s
	// least stall speed:   496 N of drag in cruise, stall at 32.5 m/s, foreplane 25 % of the area
	// least drag:          479 N of drag in cruise, stall at 35.3 m/s, foreplane 18 % of the area
}
