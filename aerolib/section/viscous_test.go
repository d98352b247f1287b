package section_test

import (
	"encoding/csv"
	"errors"
	"fmt"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"foreplane/aerolib/section"
	"foreplane/aerolib/unit"
)

func flow(t testing.TB, name string) *section.Flow {
	t.Helper()
	naca, err := section.NACA(name)
	if err != nil {
		t.Fatal(err)
	}
	c, err := naca.Sharp().ContourOf(200)
	if err != nil {
		t.Fatal(err)
	}
	f, err := section.Panels(c)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// published returns the rows of a table under testdata, by column. The first column stays text.
func published(t *testing.T, file string) (names []string, columns map[string][]float64) {
	t.Helper()
	text, err := os.ReadFile("testdata/" + file)
	if err != nil {
		t.Fatal(err)
	}
	r := csv.NewReader(strings.NewReader(string(text)))
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	columns = map[string][]float64{}
	for _, row := range rows[1:] {
		names = append(names, row[0])
		for i, field := range row {
			columns[rows[0][i]] = append(columns[rows[0][i]], need[float64](t)(strconv.ParseFloat(field, 64)))
		}
	}
	return names, columns
}

// band fails unless relative errors lie within the stated band, and reach to within a hundredth of both its ends: a band that the documentation states must be the true one.
func band(t *testing.T, what string, errors []float64, low, high float64) {
	t.Helper()
	least, most := math.Inf(1), math.Inf(-1)
	for _, e := range errors {
		least, most = min(least, e), max(most, e)
	}
	if math.Abs(least-low) > 0.01 || math.Abs(most-high) > 0.01 {
		t.Errorf("%s: errors from %+.3f to %+.3f, stated %+.2f to %+.2f", what, least, most, low, high)
	}
}

// TestPolar compares with a measured polar of NACA 0012 with fixed transition that nothing was chosen by, and holds the errors that [section.Flow.Viscous] states.
func TestPolar(t *testing.T) {
	_, m := published(t, "tm4074.csv")
	p := need[section.Polar](t)(flow(t, "0012").Polar(6e6, section.Conditions{Trip: 0.05, Mach: 0.15}))
	var lift, drag, high []float64
	for i, alpha := range m["alpha"] {
		s, err := p.At(alpha * unit.Degree)
		if err != nil {
			continue // beyond the computed stall
		}
		lift = append(lift, s.CL-m["cl"][i])
		if e := s.CD/m["cd"][i] - 1; s.CL < 1.15 {
			drag = append(drag, e)
		} else {
			high = append(high, e)
		}
	}
	band(t, "cl", lift, 0, 0.06)
	band(t, "cd", drag, -0.06, 0.01)
	band(t, "cd near stall", high, 0.08, 0.15)
	near(t, "greatest lift", p.MaxLift().CL, 1.6116, 0.035*1.6116)
}

// TestDrag holds the errors of drag that [section.Flow.Viscous] states, of smooth sections and with standard roughness.
func TestDrag(t *testing.T) {
	names, m := published(t, "tr824-drag.csv")
	least := func(f *section.Flow, c section.Conditions) float64 {
		best := math.Inf(1)
		for alpha := -4.0; alpha <= 4; alpha += 0.5 {
			best = min(best, need[section.Viscous](t)(f.Viscous(alpha*unit.Degree, 6e6, c)).Drag)
		}
		return best
	}
	var smooth, rough, lift []float64
	for i, name := range names {
		f := flow(t, name)
		smooth = append(smooth, least(f, section.Conditions{})/m["drag"][i]-1)
		rough = append(rough, least(f, section.Conditions{Trip: 0.01})/m["rough"][i]-1)
		lift = append(lift, need[section.Stall](t)(f.MaxLift(6e6, section.Conditions{Trip: 0.01})).Low/m["roughlift"][i]-1)
	}
	band(t, "smooth", smooth, -0.10, -0.06)
	band(t, "rough", rough, -0.18, -0.16)
	band(t, "greatest lift, rough", lift, 0.07, 0.28)
}

// TestMaxLift holds the errors that [section.Flow.MaxLift] states. Nothing in it was chosen by these sections.
func TestMaxLift(t *testing.T) {
	names, m := published(t, "tr824.csv")
	var moderate, strong []float64
	for i, name := range names {
		v, err := flow(t, name).MaxLift(9e6, section.Conditions{})
		if name[len(name)-2:] > "15" {
			var c *section.ContourError
			if !errors.As(err, &c) {
				t.Errorf("%s: %v", name, err)
			}
			continue
		}
		if err != nil {
			t.Fatal(err)
		}
		if e := v.Lift/m["maxlift"][i] - 1; name == "2415" || name[0] == '4' {
			strong = append(strong, e)
		} else {
			moderate = append(moderate, e)
		}
		if !(v.Low <= v.Lift+1e-9 && v.Lift <= v.High+1e-9) {
			t.Errorf("%s: %.3f is not from %.3f to %.3f", name, v.Lift, v.Low, v.High)
		}
	}
	band(t, "moderate camber", moderate, -0.03, 0.09)
	band(t, "strong camber", strong, 0.23, 0.37)
}

// TestSlopes holds what is said of the theories without friction: zero-lift angle and moment of thin-aerofoil theory, and the slope 2π.
func TestSlopes(t *testing.T) {
	names, m := published(t, "tr824.csv")
	var zero, moments, slopes []float64
	for i, name := range names {
		r := thin(t, name)
		zero = append(zero, r.ZeroLift/unit.Degree-m["zerolift"][i])
		moments = append(moments, r.Moment-m["moment"][i])
		slopes = append(slopes, m["slope"][i]*180/math.Pi/r.LiftSlope)
	}
	band(t, "zero-lift angle", zero, -0.36, 0.31)
	band(t, "moment", moments, -0.025, 0.01)
	band(t, "measured slope over 2π", slopes, 0.88, 1.0)
}

// TestLayers: what must hold whatever the section.
func TestLayers(t *testing.T) {
	f := flow(t, "0012")
	at := func(alpha, reynolds float64, c section.Conditions) section.Viscous {
		return need[section.Viscous](t)(f.Viscous(alpha*unit.Degree, reynolds, c))
	}
	clean := section.Conditions{}
	up, down := at(6, 3e6, clean), at(-6, 3e6, clean)
	near(t, "drag mirrored", down.Drag, up.Drag, 1e-9)
	near(t, "lift mirrored", down.Lift, -up.Lift, 1e-9)
	near(t, "moment mirrored", down.Moment, -up.Moment, 1e-9)
	near(t, "transition mirrored", down.Suction().Transition, up.Upper.Transition, 1e-9)
	if down.Suction() != down.Lower || up.Suction() != up.Upper {
		t.Errorf("suction sides of %+v and %+v", up, down)
	}
	if !(up.Upper.Transition < at(0, 3e6, clean).Upper.Transition && up.Lower.Transition > up.Upper.Transition) {
		t.Errorf("transition with lift: %+v", up)
	}
	if a, b := at(0, 1e6, clean), at(0, 9e6, clean); !(a.Drag > b.Drag && a.Upper.Transition > b.Upper.Transition) {
		t.Errorf("Reynolds number: %+v, %+v", a, b)
	}
	if quiet, noisy := at(0, 3e6, section.Conditions{Turbulent: 12}), at(0, 3e6, section.Conditions{Turbulent: 4}); !(quiet.Upper.Transition > noisy.Upper.Transition) {
		t.Errorf("turbulence: %+v, %+v", quiet, noisy)
	}
	near(t, "transition at the trip", at(0, 1e6, section.Conditions{Trip: 0.1}).Upper.Transition, 0.1, 0.01)
	a, b := at(15, 1e6, clean), at(15, 9e6, clean)
	if !(a.Upper.Separation < b.Upper.Separation && a.Lift < b.Lift && a.Drag > b.Drag && b.Lower.Separation == 1 && a.LeadingEdge > 1) {
		t.Errorf("separation: %+v, %+v", a, b)
	}
	fast := at(3, 6e6, section.Conditions{Mach: 0.4})
	near(t, "lift at Mach 0.4", fast.Lift/at(3, 6e6, clean).Lift, 1/math.Sqrt(1-0.16), 1e-12)
	near(t, "moment at Mach 0.4", fast.Moment/at(3, 6e6, clean).Moment, 1/math.Sqrt(1-0.16), 1e-12)
	if fast.Subsonic != true || at(10, 6e6, section.Conditions{Mach: 0.4}).Subsonic {
		t.Errorf("subsonic %+v", fast)
	}
}

// TestStall: what ends lift, and how it changes.
func TestStall(t *testing.T) {
	at := func(name string, reynolds float64, c section.Conditions) section.Stall {
		return need[section.Stall](t)(flow(t, name).MaxLift(reynolds, c))
	}
	clean, slow, dirty := at("2412", 3e6, section.Conditions{}), at("2412", 1e6, section.Conditions{}), at("2412", 3e6, section.Conditions{Trip: 0.02})
	if !(slow.Lift < clean.Lift && dirty.Lift < clean.Lift) {
		t.Errorf("clean %.3f, at 1 million %.3f, tripped %.3f", clean.Lift, slow.Lift, dirty.Lift)
	}
	if clean.Cause != section.LeadingEdge || math.Abs(clean.LeadingEdge-1) > 0.01 {
		t.Errorf("clean %+v", clean)
	}
	if s := at("23012", 3e6, section.Conditions{Trip: 0.01}); s.Cause != section.TrailingEdge || s.LeadingEdge >= 1 {
		t.Errorf("tripped %+v", s)
	}
	if s := at("0012", 3e5, section.Conditions{}); s.Cause != section.LaminarBubble {
		t.Errorf("slow %+v", s)
	}
	if s := at("2412", 6e6, section.Conditions{Mach: 0.4}); s.Cause != section.SpeedOfSound || !s.Subsonic {
		t.Errorf("fast %+v", s)
	}
	p := need[section.Polar](t)(flow(t, "2412").Polar(3e6, section.Conditions{}))
	near(t, "greatest lift of the polar", p.MaxLift().CL, clean.Lift, 0.01)
	upside := need[section.Polar](t)(flow(t, "0012").Polar(3e6, section.Conditions{}))
	near(t, "least lift", upside.MinLift().CL, -upside.MaxLift().CL, 1e-6)
	if _, err := p.Extended(); err != nil {
		t.Error(err)
	}
	var none *section.PolarError
	if _, err := flow(t, "2412").Polars(section.Conditions{}); !errors.As(err, &none) {
		t.Error(err)
	}
	var slowest *unit.RangeError
	if _, err := flow(t, "2412").Polars(section.Conditions{}, 1e6, 10); !errors.As(err, &slowest) {
		t.Error(err)
	}
}

func TestViscousRefuses(t *testing.T) {
	f := flow(t, "0012")
	var r *unit.RangeError
	nan := math.NaN()
	for i, err := range []error{
		second(f.Viscous(0.5, 1e6, section.Conditions{})), second(f.Viscous(0, 1e5, section.Conditions{})), second(f.Viscous(0, -1, section.Conditions{})),
		second(f.Viscous(nan, 1e6, section.Conditions{})), second(f.Viscous(0, nan, section.Conditions{})),
		second(f.Viscous(0, 1e6, section.Conditions{Trip: 1})), second(f.Viscous(0, 1e6, section.Conditions{Trip: nan})),
		second(f.Viscous(0, 1e6, section.Conditions{Mach: 0.7})), second(f.Viscous(0, 1e6, section.Conditions{Turbulent: -1})),
		second(f.At(2)), second(f.At(nan)), second(f.MaxLift(0, section.Conditions{})), second(f.Polar(nan, section.Conditions{})),
	} {
		if !errors.As(err, &r) {
			t.Errorf("%d: %v", i, err)
		}
	}
	var c *section.ContourError
	if _, err := flow(t, "0018").Polar(6e6, section.Conditions{}); !errors.As(err, &c) || !strings.Contains(err.Error(), "18") {
		t.Error(err)
	}
}

func ExampleFlow_MaxLift() {
	naca, _ := section.NACA("23012")
	contour, _ := naca.Sharp().Contour()
	flow, _ := section.Panels(contour)
	clean, _ := flow.MaxLift(3e6, section.Conditions{})
	insects, _ := flow.MaxLift(3e6, section.Conditions{Trip: 0.01})
	fmt.Printf("greatest cl %.1f to %.1f, with insects at most %.1f; it ends at the %s\n", clean.Low, clean.High, insects.Low, clean.Cause)
	// Output: greatest cl 1.3 to 1.7, with insects at most 1.2; it ends at the leading edge
}

func ExampleFlow_Viscous() {
	naca, _ := section.NACA("0012")
	contour, _ := naca.Sharp().Contour()
	flow, _ := section.Panels(contour)
	v, _ := flow.Viscous(0, 6e6, section.Conditions{})
	fmt.Printf("cd %.4f, turbulent from %.0f %% of the chord\n", v.Drag, 100*v.Upper.Transition)
	// Output: cd 0.0053, turbulent from 38 % of the chord
}

func ExampleFlow_Polars() {
	naca, _ := section.NACA("2412")
	contour, _ := naca.Sharp().Contour()
	flow, _ := section.Panels(contour)
	family, _ := flow.Polars(section.Conditions{}, 1e6, 3e6)
	p, _ := family.At(1.8e6)
	fmt.Printf("greatest cl between Re 1 and 3 million, at angles that both reach: %.1f\n", p.MaxLift().CL)
	// Output: greatest cl between Re 1 and 3 million, at angles that both reach: 1.3
}

func ExampleFlow_Polar() {
	naca, _ := section.NACA("2412")
	contour, _ := naca.Sharp().Contour()
	flow, _ := section.Panels(contour)
	p, _ := flow.Polar(3e6, section.Conditions{})
	s, _ := p.At(4 * unit.Degree)
	fmt.Printf("%s: at 4° cl %.2f, cd %.4f, cm %.3f\n", p.Name, s.CL, s.CD, s.CM)
	// Output: NACA 2412, computed: at 4° cl 0.67, cd 0.0064, cm -0.061
}

// TestBeyondStall holds the errors that [section.Polar.Extended] states: a measured polar of NACA 0012 ([Ladson]) carried on, against measurements up to 90°.
func TestBeyondStall(t *testing.T) {
	_, m := published(t, "tm4074.csv")
	var samples []section.Sample
	for i, alpha := range m["alpha"] {
		if alpha > 1 { // and the mirror image for the section upside down
			a, cl, cd := alpha*unit.Degree, m["cl"][i], m["cd"][i]
			samples = append(samples, section.Sample{Alpha: a, CL: cl, CD: cd}, section.Sample{Alpha: -a, CL: -cl, CD: cd})
		}
	}
	p := need[section.Polar](t)(need[section.Polar](t)(section.NewPolar("NACA 0012", 6e6, samples)).Extended())
	_, far := published(t, "sand80-2114.csv")
	var lift, drag []float64
	for i, alpha := range far["alpha"] {
		s := need[section.Sample](t)(p.At(alpha * unit.Degree))
		lift, drag = append(lift, s.CL-far["cl"][i]), append(drag, s.CD-far["cd"][i])
	}
	band(t, "cl", lift, -0.09, 0.52)
	band(t, "cd", drag, -0.21, 0.21)
}
