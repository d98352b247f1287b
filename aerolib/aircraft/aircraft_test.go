package aircraft_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/internal/reference"
	"foreplane/aerolib/unit"
)

func TestMeanChord(t *testing.T) {
	reference.Check(t, "T4", 0, func(in reference.Inputs) reference.Values {
		s := aircraft.Surface{Span: in.Get("b"), RootChord: in.Get("croot"), TipChord: in.Get("croot") * in.Get("taper")}
		return reference.Values{"mac": s.MeanChord(), "ymac": s.MeanChordStation()}
	})
}

// TestPlanformIntegrals holds the closed forms of areas and means against sums over strips. The tolerance is that of the midpoint rule.
func TestPlanformIntegrals(t *testing.T) {
	for _, a := range []aircraft.Aircraft{aircraft.Sedge(), aircraft.Bracken()} {
		for _, s := range a.Surfaces {
			const strips = 20000
			var area, chord, station, quarter, height, twist float64
			semi := s.Span / 2
			if s.Role == aircraft.Fin {
				semi = s.Span
			}
			for i := range strips {
				eta := (i2f(i) + 0.5) / strips
				c := s.RootChord + (s.TipChord-s.RootChord)*eta
				y := eta * semi
				area += c
				chord += c * c
				station += c * y
				quarter += c * (s.X + y*math.Tan(s.Sweep) + c/4)
				height += c * (s.Z + y*math.Tan(s.Dihedral))
				twist += c * s.Twist * eta
			}
			for name, pair := range map[string][2]float64{
				"area":          {s.Area(), area / strips * s.Span},
				"mean chord":    {s.MeanChord(), chord / area},
				"station":       {s.MeanChordStation(), station / area},
				"quarter chord": {s.QuarterChord(), quarter / area},
				"height":        {s.Height(), height / area},
				"mean twist":    {s.MeanTwist(), twist / area},
				"aspect ratio":  {s.AspectRatio(), s.Span * strips / area},
			} {
				if math.Abs(pair[0]-pair[1]) > 1e-7*(1+math.Abs(pair[1])) {
					t.Errorf("%s %s: %s is %.9g, summed %.9g", a.Name, s.Name, name, pair[0], pair[1])
				}
			}
		}
	}
}

func i2f(i int) float64 { return float64(i) }

func TestFraction(t *testing.T) {
	r := aircraft.Reference{Chord: 2, LeadingEdge: 3}
	if got := r.Fraction(3.5); got != 0.25 {
		t.Errorf("station 3.5 m is at %v of the chord", got)
	}
}

func TestSweepAt(t *testing.T) {
	s := aircraft.Surface{Span: 2, RootChord: 1, TipChord: 0.5}
	if got := s.SweepAt(1); math.Abs(got-math.Atan(-0.5)) > 1e-15 {
		t.Errorf("trailing edge %v", got)
	}
	s.Role = aircraft.Fin // twice the height of a panel, half the slope of its edge
	if got := s.SweepAt(1); math.Abs(got-math.Atan(-0.25)) > 1e-15 {
		t.Errorf("trailing edge of the fin %v", got)
	}
}

// TestFleet holds what the layouts are compared on.
func TestFleet(t *testing.T) {
	a, b := aircraft.Sedge(), aircraft.Bracken()
	for _, x := range []aircraft.Aircraft{a, b} {
		if err := x.Validate(); err != nil {
			t.Error(err)
		}
	}
	if a.Mass != b.Mass || a.Power != b.Power || math.Abs(a.Area()-b.Area()) > 1e-12 || a.Reference.Span != b.Reference.Span {
		t.Errorf("masses %v %v, powers %v %v, areas %v %v", a.Mass, b.Mass, a.Power, b.Power, a.Area(), b.Area())
	}
	if math.Abs(a.Reference.Area-b.Reference.Area) > 1e-12 {
		t.Errorf("wing areas %v %v", a.Reference.Area, b.Reference.Area)
	}
}

func TestWithLeavesTheOriginal(t *testing.T) {
	a := aircraft.Sedge()
	wing, err := a.Surface("wing")
	if err != nil {
		t.Fatal(err)
	}
	wing.Span = 10
	b := a.With(wing)
	if got, _ := a.Surface("wing"); got.Span == 10 {
		t.Error("the original changed")
	}
	if got, _ := b.Surface("wing"); got.Span != 10 {
		t.Error("the copy did not change")
	}
	c := b.With(aircraft.Surface{Name: "strake"})
	if len(c.Surfaces) != len(b.Surfaces)+1 {
		t.Error("nothing was added")
	}
	if _, err := a.Surface("strake"); err == nil {
		t.Error("a strake was found")
	}
	if got := len(a.Lifting()); got != 2 {
		t.Errorf("%d lifting surfaces", got)
	}
}

func TestValidateNamesWhatIsWrong(t *testing.T) {
	wing := func(change func(*aircraft.Surface)) func(*aircraft.Aircraft) {
		return func(a *aircraft.Aircraft) { change(&a.Surfaces[0]) }
	}
	for want, spoil := range map[string]func(*aircraft.Aircraft){
		"Sedge: mass is -1.000 kg":            func(a *aircraft.Aircraft) { a.Mass = -1 },
		"CG is NaN m":                         func(a *aircraft.Aircraft) { a.CG = math.NaN() },
		"power is -1.000 kW":                  func(a *aircraft.Aircraft) { a.Power = -1000 },
		"reference area is 0 m²":              func(a *aircraft.Aircraft) { a.Reference.Area = 0 },
		"reference chord is 0 m":              func(a *aircraft.Aircraft) { a.Reference.Chord = 0 },
		"reference span is 0 m":               func(a *aircraft.Aircraft) { a.Reference.Span = 0 },
		"reference leading edge is NaN m":     func(a *aircraft.Aircraft) { a.Reference.LeadingEdge = math.NaN() },
		"no lifting surface":                  func(a *aircraft.Aircraft) { a.Surfaces = a.Surfaces[2:] },
		`"wing" is none`:                      func(a *aircraft.Aircraft) { a.Surfaces[1].Name = "wing" },
		`no role "sail"`:                      wing(func(s *aircraft.Surface) { s.Role = "sail" }),
		"wing: span is 0 m":                   wing(func(s *aircraft.Surface) { s.Span = 0 }),
		"root chord is NaN m":                 wing(func(s *aircraft.Surface) { s.RootChord = math.NaN() }),
		"tip chord is -0.1000 m":              wing(func(s *aircraft.Surface) { s.TipChord = -0.1 }),
		"x is +Inf m":                         wing(func(s *aircraft.Surface) { s.X = math.Inf(1) }),
		"z is NaN m":                          wing(func(s *aircraft.Surface) { s.Z = math.NaN() }),
		"only a fin may stand":                wing(func(s *aircraft.Surface) { s.Y = 1 }),
		"y is -1.000 m":                       wing(func(s *aircraft.Surface) { s.Y = -1 }),
		"sweep is 90.0°, must be -75° to 75°": wing(func(s *aircraft.Surface) { s.Sweep = 90 * unit.Degree }),
		"dihedral is 90.0°":                   wing(func(s *aircraft.Surface) { s.Dihedral = 90 * unit.Degree }),
		"incidence is 90.0°":                  wing(func(s *aircraft.Surface) { s.Incidence = 90 * unit.Degree }),
		"twist is 90.0°":                      wing(func(s *aircraft.Surface) { s.Twist = 90 * unit.Degree }),
		"section lift slope is 0 /rad":        wing(func(s *aircraft.Surface) { s.Section.LiftSlope = 0 }),
		"section zero-lift angle is 90.0°":    wing(func(s *aircraft.Surface) { s.Section.ZeroLift = 90 * unit.Degree }),
		"section moment is 2.00":              wing(func(s *aircraft.Surface) { s.Section.Moment = 2 }),
		"section maximum lift is -1.000":      wing(func(s *aircraft.Surface) { s.Section.MaxLift = -1 }),
		"greatest deflection is -20.0°":       func(a *aircraft.Aircraft) { a.Surfaces[1].Control.Max = -20 * unit.Degree },
		"least deflection is -80.0°":          func(a *aircraft.Aircraft) { a.Surfaces[1].Control.Min = -80 * unit.Degree },
	} {
		a := aircraft.Sedge()
		a.Surfaces = slices.Clone(a.Surfaces)
		spoil(&a)
		if err := a.Validate(); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("error %v, want %q", err, want)
		}
	}
}
