package aircraft_test

import (
	"math"
	"testing"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/internal/reference"
	"foreplane/aerolib/unit"
)

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance*(1+math.Abs(want))) {
		t.Errorf("%s is %.12g, want %.12g", what, got, want)
	}
}

func TestMeanChord(t *testing.T) {
	reference.Check(t, "T4", 0, func(in reference.Inputs) reference.Values {
		s := aircraft.Trapezoid{Span: in.Get("b"), RootChord: in.Get("croot"), TipChord: in.Get("croot") * in.Get("taper")}.Surface()
		return reference.Values{"mac": s.MeanChord(), "ymac": s.MeanChordStation()}
	})
}

// TestTrapezoid holds the integrals against the closed forms of straight edges ([Perkins]).
func TestTrapezoid(t *testing.T) {
	for _, role := range []aircraft.Role{aircraft.Wing, aircraft.Fin} {
		for _, l := range []float64{1, 0.5, 0.1, 0} {
			s := aircraft.Trapezoid{Role: role, Span: 8, RootChord: 1.5, TipChord: 1.5 * l, Sweep: 20 * unit.Degree, X: 3, Z: 0.5, Dihedral: 4 * unit.Degree,
				Twist: -3 * unit.Degree}.Surface()
			semi := 4.0
			if role == aircraft.Fin {
				semi = 8
			}
			station := semi / 3 * (1 + 2*l) / (1 + l)
			near(t, "span", s.Span(), 8, 1e-15)
			near(t, "area", s.Area(), 8*1.5*(1+l)/2, 1e-14)
			near(t, "aspect ratio", s.AspectRatio(), 64/s.Area(), 1e-14)
			near(t, "taper", s.Taper(), l, 1e-14)
			near(t, "mean chord", s.MeanChord(), 2.0/3*1.5*(1+l+l*l)/(1+l), 1e-14)
			near(t, "station", s.MeanChordStation(), station, 1e-14)
			near(t, "leading edge", s.LeadingEdge(), 3+station*math.Tan(20*unit.Degree), 1e-14)
			near(t, "quarter chord", s.QuarterChord(), s.LeadingEdge()+s.MeanChord()/4, 1e-14)
			near(t, "mean twist", s.MeanTwist(), -3*unit.Degree*station/semi, 1e-14)
			near(t, "trailing edge", s.SweepAt(1), math.Atan(math.Tan(20*unit.Degree)-1.5*(1-l)/semi), 1e-14)
			if role == aircraft.Wing {
				near(t, "height", s.Height(), 0.5+station*math.Tan(4*unit.Degree), 1e-14)
				near(t, "dihedral", s.Dihedral(), 4*unit.Degree, 1e-14)
			}
		}
	}
}

// TestPanels: cutting a trapezoid into panels changes nothing, and a wing of two panels has the sums of both.
func TestPanels(t *testing.T) {
	wing, _ := aircraft.Sedge().Surface("wing")
	cut := wing
	cut.Stations = append(wing.Part(0, 0.3).Stations, wing.Part(0.3, 1).Stations[1:]...)
	inner, outer := wing.Part(0, 0.3), wing.Part(0.3, 1)
	for name, f := range map[string]func(aircraft.Surface) float64{
		"area": aircraft.Surface.Area, "mean chord": aircraft.Surface.MeanChord, "leading edge": aircraft.Surface.LeadingEdge, "twist": aircraft.Surface.MeanTwist,
		"station": aircraft.Surface.MeanChordStation, "span": aircraft.Surface.Span, "aspect ratio": aircraft.Surface.AspectRatio,
	} {
		near(t, name, f(cut), f(wing), 1e-13)
	}
	near(t, "sweep", cut.SweepAt(0.25), wing.SweepAt(0.25), 1e-13)
	near(t, "areas", inner.Area()+outer.Area(), wing.Area(), 1e-13)
	near(t, "mean chord from its parts", (inner.Area()*inner.MeanChord()+outer.Area()*outer.MeanChord())/wing.Area(), wing.MeanChord(), 1e-13)
	cranked := aircraft.Surface{Name: "wing", Role: aircraft.Wing, Mirrored: true, Stations: []aircraft.Station{
		{Chord: 2}, {Y: 1, X: 1, Chord: 1}, {Y: 4, X: 1.5, Chord: 1}}}
	near(t, "area of a cranked wing", cranked.Area(), 2*(1.5+3), 1e-14)
	near(t, "its mean chord", cranked.MeanChord(), 2*((4.0+2+1)/3+3)/9, 1e-14)
	near(t, "its leading edge", cranked.LeadingEdge(), 2*(2.0/3+3*1.25)/9, 1e-14) // ∫(2−y)y dy = 2/3 inside
}

func TestChangesOfSurfaces(t *testing.T) {
	wing, _ := aircraft.Sedge().Surface("wing")
	near(t, "moved", wing.Moved(1, 0, 2).QuarterChord(), wing.QuarterChord()+1, 1e-14)
	near(t, "raised", wing.Moved(1, 0, 2).Height(), wing.Height()+2, 1e-14)
	big := wing.Scaled(2)
	near(t, "scaled area", big.Area(), 4*wing.Area(), 1e-14)
	near(t, "scaled sweep", big.SweepAt(0.25), wing.SweepAt(0.25), 1e-14)
	near(t, "scaled root", big.Root().X, wing.Root().X, 0)
	near(t, "swept", wing.Swept(10*unit.Degree).SweepAt(0), 10*unit.Degree, 1e-14)
	near(t, "swept area", wing.Swept(10*unit.Degree).Area(), wing.Area(), 1e-14)
	if again, _ := aircraft.Sedge().Surface("wing"); again.Root() != wing.Root() {
		t.Error("the original changed")
	}
}

func TestWeight(t *testing.T) {
	a := aircraft.Aircraft{Mass: 100, Plants: []aircraft.Plant{{Power: 3}, {Power: 4}}}
	near(t, "weight", a.Weight(), 980.665, 1e-15)
	near(t, "power of both engines", a.Power(), 7, 0)
	outer := aircraft.Sedge().Surfaces[0].Part(0.5, 1)
	near(t, "way along from a root beside the plane of symmetry", outer.Along(outer.Tip()), 2.25, 1e-14)
}

func TestFraction(t *testing.T) {
	r := aircraft.Reference{Chord: 2, LeadingEdge: 3}
	if got := r.Fraction(3.5); got != 0.25 {
		t.Errorf("station 3.5 m is at %v of the chord", got)
	}
}

func TestWithLeavesTheOriginal(t *testing.T) {
	a := aircraft.Sedge()
	wing, err := a.Surface("wing")
	if err != nil {
		t.Fatal(err)
	}
	b := a.With(wing.Scaled(2))
	if got, _ := a.Surface("wing"); got.Span() != wing.Span() {
		t.Error("the original changed")
	}
	if got, _ := b.Surface("wing"); got.Span() != 2*wing.Span() {
		t.Error("the copy did not change")
	}
	c := b.With(aircraft.Surface{Name: "strake"})
	if len(c.Surfaces) != len(b.Surfaces)+1 {
		t.Error("nothing was added")
	}
	if _, err := a.Surface("strake"); err == nil {
		t.Error("a strake was found")
	}
	if len(a.Lifting()) != 2 || len(a.Fins()) != 1 {
		t.Errorf("%d lifting surfaces, %d fins", len(a.Lifting()), len(a.Fins()))
	}
	d := a.Clone()
	d.Surfaces[0].Stations[0].Chord, d.Bodies[0].Stations[1].Width, d.Masses[0].Mass, d.Wheels[0].X, d.Drag[0].Area = 9, 9, 9, 9, 9
	if a.Surfaces[0].Stations[0].Chord == 9 || a.Bodies[0].Stations[1].Width == 9 || a.Masses[0].Mass == 9 || a.Wheels[0].X == 9 || a.Drag[0].Area == 9 {
		t.Error("a clone shares with its original")
	}
}
