package trim

import (
	"fmt"
	"math"
	"strings"
	"sync"
	"testing"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/unit"
)

// compared compares the same aeroplanes on a basis for all tests.
var compared = func() func(*testing.T, Size) Comparison {
	var mu sync.Mutex
	known := map[Size]Comparison{}
	return func(t *testing.T, s Size) Comparison {
		t.Helper()
		mu.Lock()
		defer mu.Unlock()
		if _, ok := known[s]; !ok {
			known[s] = need[Comparison](t)(Compare(Basis{Size: s, Span: 9.2, Area: 12}, aircraft.Bracken(), aircraft.Sedge()))
		}
		return known[s]
	}
}()

// TestReasonsSum: on every basis the reasons of every outcome sum to the whole of its difference.
func TestReasonsSum(t *testing.T) {
	for _, size := range []Size{EqualStall, EqualSpan, EqualArea, AsDrawn} {
		c, told := compared(t, size), 0
		for _, q := range c.Quantities {
			for i, reasons := range q.Reasons {
				if len(reasons) == 0 {
					continue
				}
				sum := 0.0
				for _, r := range reasons {
					sum += r.Part
				}
				if told++; math.Abs(sum-q.Change(i)) > 1e-9 {
					t.Errorf("%s: the reasons of %s sum to %.9f, it differs by %.9f", size, q.Name, sum, q.Change(i))
				}
			}
		}
		if told < 9 {
			t.Errorf("%s: reasons of %d quantities only", size, told)
		}
	}
}

// TestBasisMet: what is given is equal, whichever way, and the rest of each layout is on the basis.
func TestBasisMet(t *testing.T) {
	for _, size := range []Size{EqualStall, EqualSpan, EqualArea, AsDrawn} {
		c := compared(t, size)
		for _, q := range c.Quantities {
			if q.Standing == GivenEqual && !(math.Abs(q.Change(1)) < 2e-3) {
				t.Errorf("%s: %s is given, but is %v", size, q.Name, q.Values)
			}
		}
		for _, l := range c.Layouts {
			for what, got := range map[string]float64{
				"payload": l.Aircraft.Payload() - 260, "margin": l.Margin - 0.05, "range": l.Aft - l.Forward - 0.15*c.Layouts[0].Aircraft.Reference.Chord/c.Layouts[0].Scale,
				"Cnβ": l.Yaw.Sum - 0.06, "CG": l.Aircraft.CG - (l.Aft+l.Forward)/2, "weight": (l.Cruise.CL*l.Cruise.DynamicPressure*l.Aircraft.Reference.Area - l.Aircraft.Weight()) / 1e4,
				"size": map[Size]float64{EqualSpan: largest(l.Aircraft).Span() - 9.2, EqualArea: l.Aircraft.Area() - 12, AsDrawn: l.Scale - 1, EqualStall: l.Stall.Equivalent/c.Basis.Stall - 1}[size],
			} {
				if !(math.Abs(got) < 2e-4) {
					t.Errorf("%s, %s: %s misses by %v", size, l.Aircraft.Name, what, got)
				}
			}
			if err := l.Aircraft.Validate(); err != nil {
				t.Error(err)
			}
		}
	}
}

// TestComparedWithItself: nothing differs.
func TestComparedWithItself(t *testing.T) {
	c := need[Comparison](t)(Compare(Basis{}, aircraft.Sedge(), aircraft.Sedge()))
	for _, q := range c.Quantities {
		if q.Values[0] != q.Values[1] {
			t.Errorf("%s is %v", q.Name, q.Values)
		}
		for _, r := range q.Reasons[1] {
			if math.Abs(r.Part) > 1e-12 {
				t.Errorf("%s: reason %+v", q.Name, r)
			}
		}
	}
}

// TestCompared holds what must come out: at an equal stall speed the foreplane layout, whose wing does not use its greatest lift, needs more area, and the CG costs it more.
func TestCompared(t *testing.T) {
	c := compared(t, EqualStall)
	change := func(name string) float64 { return need[Quantity](t)(c.Quantity(name)).Change(1) }
	if change("total area") < 0.3 || change("way of the CG for 5 % of the stall speed") > -0.5 {
		t.Errorf("area %+.2f, way of the CG %+.2f", change("total area"), change("way of the CG for 5 % of the stall speed"))
	}
	lift := need[Quantity](t)(c.Quantity("total area")).Reasons[1][1]
	if !strings.HasPrefix(lift.Name, "greatest lift") || lift.Part < 0.7*change("total area") {
		t.Errorf("the area is told by %+v", lift)
	}
	if change("area of the fins") < 0.3 || change("length of the longest body") > -0.2 {
		t.Error("fins on a swept wing have a shorter arm, and the body of Sedge is shorter")
	}
	if _, err := c.Quantity("beauty"); err == nil {
		t.Error("a quantity that there is not")
	}
	c = compared(t, AsDrawn)
	if got := need[Quantity](t)(c.Quantity("total area")).Change(1); math.Abs(got) > 1e-4 {
		t.Errorf("as drawn the areas differ by %v", got)
	}
	drag := need[Quantity](t)(c.Quantity("drag in cruise"))
	for i, l := range c.Layouts {
		near := l.Cruise.Drag.Total * l.Cruise.DynamicPressure * l.Aircraft.Reference.Area
		if math.Abs(drag.Values[i]/near-1) > 1e-12 {
			t.Errorf("drag %v, in trim %v", drag.Values[i], near)
		}
	}
	for _, l := range c.Layouts { // the group names cover everything
		if a := l.areas(); !(a[inducedGroup] > 0 && a[wingGroup] > 0 && a[smallGroup] > 0 && a[finGroup] > 0 && a[bodyGroup] > 0 && a[otherGroup] > 0) || len(a) != len(dragGroups) {
			t.Errorf("%s: drag areas %v", l.Aircraft.Name, a)
		}
	}
}

// TestSmall: a larger part of the area ahead of the wing carries more, and the basis says so.
func TestSmall(t *testing.T) {
	b := Basis{Size: EqualArea, Small: 1.3, Payload: 200}
	c := need[Comparison](t)(Compare(b, aircraft.Sedge(), aircraft.Sedge()))
	l := c.Layouts[0]
	if ratio := l.Aircraft.Surfaces[1].Area() / l.Aircraft.Surfaces[0].Area() / (2.05 / 9.45); math.Abs(ratio-1.3) > 1e-3 {
		t.Errorf("foreplane over wing is %v of that drawn", ratio)
	}
	if !strings.Contains(c.Basis.String(), "smaller surfaces with 1.30 of their area") || l.Aircraft.Payload() != 200 {
		t.Errorf("%v, payload %v", c.Basis, l.Aircraft.Payload())
	}
}

// TestReasons holds the logarithmic mean against its limit and its symmetry, and parts against numbers by hand.
func TestReasons(t *testing.T) {
	if got := logMean(2, 2); got != 2 {
		t.Errorf("mean of equal numbers %v", got)
	}
	if a, b := logMean(1, 3), logMean(3, 1); math.Abs(a-b) > 1e-15 || math.Abs(a-2/math.Log(3)) > 1e-15 {
		t.Errorf("means %v and %v", a, b)
	}
	if got := logMean(-2, -2); got != -2 {
		t.Errorf("mean of equal numbers below zero %v", got)
	}
	if got, want := logMean(1e-3, 1.0005e-3), 5e-7/math.Log(1.0005); math.Abs(got/want-1) > 1e-10 {
		t.Errorf("mean of small numbers that are near %v, must be %v", got, want)
	}
	powers := byFactors(1, 2, factor{"x", 2, 1, 2}, factor{"y", -0.5, 1, 4}) // x²/√y
	if math.Abs(powers[0].Part-2) > 1e-14 || math.Abs(powers[1].Part+1) > 1e-14 {
		t.Errorf("powers %+v", powers)
	}
	there, back := byFactors(1, 6, factor{"x", 1, 1, 2}, factor{"y", 1, 1, 3}), byFactors(6, 1, factor{"x", 1, 2, 1}, factor{"y", 1, 3, 1})
	for i := range there {
		if math.Abs(there[i].Part+6*back[i].Part) > 1e-14 {
			t.Errorf("%+v the other way round is %+v", there[i], back[i])
		}
	}
	got := byParts(10, part{"a", 4, 6, []factor{{"p", 1, 2, 3}, {"q", 2, 1, 1}}}, part{"b", 6, 0, []factor{{"r", 1, 1, 2}}})
	want := []Reason{{"a: p", 0.2}, {"a: q", 0}, {"b", -0.6}}
	for i := range want {
		if got[i].Name != want[i].Name || math.Abs(got[i].Part-want[i].Part) > 1e-14 {
			t.Errorf("%+v, must be %+v", got[i], want[i])
		}
	}
}

func TestCompareErrors(t *testing.T) {
	a := aircraft.Sedge()
	broken, finless := a.Clone(), a.Clone()
	broken.Mass = math.NaN()
	finless.Surfaces[2] = finless.Surfaces[2].Moved(-4.5, 0, 1.5)
	for want, try := range map[string]func() (Comparison, error){
		"two layouts or more":                     func() (Comparison, error) { return Compare(Basis{}, a) },
		"static margin is NaN":                    func() (Comparison, error) { return Compare(Basis{Margin: math.NaN()}, a, a) },
		"span is -1.000 m":                        func() (Comparison, error) { return Compare(Basis{Span: -1}, a, a) },
		"range of the CG is -1.000 m":             func() (Comparison, error) { return Compare(Basis{Range: -1}, a, a) },
		`"by eye" is not known`:                   func() (Comparison, error) { return Compare(Basis{Size: "by eye"}, a, a) },
		"Sedge on the basis of equal stall speed": func() (Comparison, error) { return Compare(Basis{Stall: 10}, a, a) },
		"does not come to a stall speed of":       func() (Comparison, error) { return Compare(Basis{Stall: 12}, a, a) },
		"mass is NaN":                             func() (Comparison, error) { return Compare(Basis{}, a, broken) },
		"do not stabilise":                        func() (Comparison, error) { return Compare(Basis{}, a, finless) },
		"deflection of the flaps":                 func() (Comparison, error) { return Compare(Basis{Flaps: 2}, a, a) },
	} {
		if _, err := try(); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("error %v, want %q", err, want)
		}
	}
}

// TestFlaps: flaps lower the stall speed of the layout that has them.
func TestFlaps(t *testing.T) {
	c := need[Comparison](t)(Compare(Basis{Size: AsDrawn, Flaps: 1}, aircraft.Bracken(), aircraft.Sedge()))
	clean := compared(t, AsDrawn)
	if a, b := c.Layouts[0].Stall.Equivalent, clean.Layouts[0].Stall.Equivalent; a > 0.95*b {
		t.Errorf("Bracken stalls at %v with flaps and at %v without", a, b)
	}
	if a, b := c.Layouts[1].Stall.Equivalent, clean.Layouts[1].Stall.Equivalent; a != b {
		t.Errorf("Sedge has no flaps, but stalls at %v and %v", a, b)
	}
}

func ExampleCompare() {
	c, err := Compare(Basis{Size: EqualSpan}, aircraft.Bracken(), aircraft.Sedge())
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, name := range []string{"stall speed", "length of the longest body"} {
		q, _ := c.Quantity(name)
		fmt.Printf("%s: %.1f and %.1f %s, %+.0f %%\n", name, q.Values[0], q.Values[1], q.Symbol, 100*q.Change(1))
		for _, r := range q.Reasons[1] {
			fmt.Printf("  %s %+.1f %%\n", r.Name, math.Round(1000*r.Part)/10+0)
		}
	}
	// Output:
	// stall speed: 29.2 and 34.7 m/s, +18 %
	//   weight +0.0 %
	//   total area +0.0 %
	//   greatest lift coefficient in trim, CG forward +18.5 %
	// length of the longest body: 6.0 and 4.5 m, -25 %
}

func ExampleBasis_Beside() {
	for _, b := range (Basis{Payload: 200 * unit.Kilogram}).Beside() {
		fmt.Println(b.Size)
	}
	// Output:
	// equal span
	// equal total area
}
