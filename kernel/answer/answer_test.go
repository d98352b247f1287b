package answer

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"
)

// some are a few units.
type some struct{}

func (some) Like(symbol string) []Unit {
	switch symbol {
	case "m/s":
		return []Unit{{"m/s", 1}, {"kt", 1852.0 / 3600}, {"km/h", 1 / 3.6}}
	case "m":
		return []Unit{{"m", 1}, {"ft", 0.3048}}
	case "N":
		return []Unit{{"N", 1}}
	case "rad":
		return []Unit{{"rad", 1}, {"°", math.Pi / 180}}
	}
	return nil
}

func (some) Parse(text string) (float64, string, error) {
	if text == "95 kt" {
		return 95 * 1852.0 / 3600, "m/s", nil
	}
	return 0, "", errors.New("no number")
}

func TestJudge(t *testing.T) {
	speed := Record{Value: 48.87, Symbol: "m/s", Tolerance: 0.01, Pitfalls: []Pitfall{{44.3, "This is the calibrated airspeed."}}}
	weight := Record{Value: 6374.3, Symbol: "N", Tolerance: 0.01}
	angle := Record{Value: 0.0698, Symbol: "rad", Tolerance: 0.01}
	moment := Record{Value: -250, Tolerance: 0.01}
	for _, c := range []struct {
		name  string
		r     Record
		g     Given
		grade Grade
		part  string
	}{
		{"right", speed, Given{Value: 48.9, Symbol: "m/s"}, Right, "within 1 %"},
		{"right in words", speed, Given{Text: "95 kt"}, Right, ""},
		{"at the tolerance", speed, Given{Value: 48.87 * 1.0099, Symbol: "m/s"}, Right, ""},
		{"close", speed, Given{Value: 50, Symbol: "m/s"}, Close, "rounded"},
		{"far", speed, Given{Value: 60.1, Symbol: "m/s"}, Wrong, "the unit fits, the number does not, and none of the usual"},
		{"dimension", speed, Given{Value: 48.87, Symbol: "m"}, Dimension, "in m, and something in m/s"},
		{"knots", speed, Given{Value: 95, Symbol: "m/s"}, Slip, "the number in kt, given as m/s"},
		{"metres a second", speed, Given{Value: 48.87 * 1852 / 3600, Symbol: "m/s"}, Slip, "the number in m/s, given as kt"},
		{"no unit", speed, Given{Value: 95}, Dimension, "missing: the number fits if it is in kt"},
		{"no unit at all", speed, Given{Value: 123}, Dimension, "something in m/s"},
		{"pitfall", speed, Given{Value: 44.3, Symbol: "m/s"}, Slip, "calibrated"},
		{"twice", speed, Given{Value: 97.74, Symbol: "m/s"}, Slip, "twice"},
		{"half", speed, Given{Value: 24.43, Symbol: "m/s"}, Slip, "half"},
		{"mass", weight, Given{Value: 650, Symbol: "kg"}, Slip, "mass"},
		{"mass as weight", weight, Given{Value: 650, Symbol: "N"}, Slip, "gravity"},
		{"degrees", angle, Given{Value: 4, Symbol: "rad"}, Slip, "degrees"},
		{"degrees without unit", angle, Given{Value: 4}, Slip, "degrees"},
		{"an angle that does not know it", angle, Given{Value: 0.0698}, Right, ""},
		{"an angle for a number", Record{Value: 0.0698, Tolerance: 0.01}, Given{Value: 0.0698, Symbol: "rad"}, Right, ""},
		{"per cent", Record{Value: 0.25, Tolerance: 0.01}, Given{Value: 25}, Slip, "25 * Percent"},
		{"far, without unit", moment, Given{Value: 17}, Wrong, "Not right, and none of the usual"},
		{"sign", moment, Given{Value: 250}, Slip, "sign"},
		{"unit of a pure number", moment, Given{Value: 250, Symbol: "N"}, Dimension, "without unit"},
		{"not a number", speed, Given{Value: math.NaN(), Symbol: "m/s"}, Wrong, "divided by zero"},
		{"nonsense", speed, Given{Text: "fast"}, Wrong, "cannot be read"},
		{"words", Record{Text: "Foreplane"}, Given{Text: " foreplane"}, Right, ""},
		{"wrong words", Record{Text: "foreplane"}, Given{Text: "wing"}, Wrong, ""},
		{"number for words", Record{Text: "foreplane"}, Given{Value: 3}, Wrong, "in words"},
		{"zero", Record{Value: 0, Tolerance: 0.01}, Given{Value: 0}, Right, ""},
		{"not zero", Record{Value: 0, Tolerance: 0.01}, Given{Value: 1}, Wrong, ""},
	} {
		v := c.r.Judge(c.g, some{})
		if v.Grade != c.grade || !strings.Contains(v.Text, c.part) {
			t.Errorf("%s: %s: %s", c.name, v.Grade, v.Text)
		}
		if strings.Contains(v.Text, "48.87") || strings.Contains(v.Text, "6374") {
			t.Errorf("%s gives the value away: %s", c.name, v.Text)
		}
	}
}

func TestSeal(t *testing.T) {
	r := Record{Value: 48.87, Symbol: "m/s", Tolerance: 0.02, Pitfalls: []Pitfall{{44, "hint"}}}
	word, err := r.Seal()
	if err != nil || strings.Contains(word, "48") && strings.Contains(word, "hint") {
		t.Fatalf("%q, %v", word, err)
	}
	got, err := Open(word)
	if err != nil || got.Value != r.Value || got.Pitfalls[0] != r.Pitfalls[0] {
		t.Errorf("%+v, %v", got, err)
	}
	for _, bad := range []string{"", "x", word[1:], word[:len(word)-3]} {
		if _, err := Open(bad); err == nil {
			t.Errorf("%q was opened", bad)
		}
	}
	if _, err := (Record{Value: math.NaN()}).Seal(); err == nil {
		t.Error("NaN was sealed")
	}
}

func TestFind(t *testing.T) {
	for _, c := range []struct{ code, want string }{
		{"V := 3", ""},
		{"//foreplane:question stall-speed\nV", "stall-speed 0.01 "},
		{"x := 1\n//foreplane:question q1 ±0.5 %\nV", "q1 0.005 "},
		{"//foreplane:answer q1 2 % abc_-9\n", "q1 0.02 abc_-9"},
	} {
		q, err := Find(c.code)
		got := ""
		if q != nil {
			got = q.Name + " " + fmt.Sprint(q.Tolerance) + " " + q.Sealed
		}
		if err != nil || got != c.want {
			t.Errorf("%s: %q, %v", c.code, got, err)
		}
	}
	for _, code := range []string{"//foreplane:question", "//foreplane:question a b c", "//foreplane:answer q1", "//foreplane:question q 0 %", "//foreplane:question q 80 %"} {
		if q, err := Find(code); err == nil {
			t.Errorf("%s: %+v", code, q)
		}
	}
}
