package answer

import (
	"fmt"
	"math"
	"strings"
)

// Given is an answer.
type Given struct {
	Value  float64 // SI
	Symbol string  // of its SI unit; empty for a number without one
	Text   string  // where it is no number
}

// Units is what the caller knows of units.
type Units interface {
	// Like lists the units of the dimension of the SI unit with the given symbol.
	Like(symbol string) []Unit
	// Parse reads a number with its unit.
	Parse(text string) (value float64, symbol string, err error)
}

// Unit is a unit of measurement.
type Unit struct {
	Symbol string
	Factor float64 // SI value of 1
}

// Grade says how an answer compares.
type Grade string

// The grades.
const (
	Right     Grade = "right"
	Close     Grade = "close"
	Dimension Grade = "dimension" // another kind of quantity
	Slip      Grade = "slip"      // a known mistake leads to it
	Wrong     Grade = "wrong"
)

// Verdict is what is told of an answer.
type Verdict struct {
	Grade Grade
	Text  string
}

// closeness is how many tolerances off an answer still is close.
const closeness = 5

// Judge compares an answer with what is expected.
func (r Record) Judge(g Given, units Units) Verdict {
	if r.Text != "" {
		return r.judgeText(g)
	}
	if g.Text != "" {
		var err error
		if g.Value, g.Symbol, err = units.Parse(g.Text); err != nil {
			return Verdict{Wrong, fmt.Sprintf("An answer is a number with its unit, such as 12.3 m; this cannot be read: %v.", err)}
		}
	}
	switch {
	case math.IsNaN(g.Value) || math.IsInf(g.Value, 0):
		return Verdict{Wrong, fmt.Sprintf("The answer is %v: somewhere on the way a number is divided by zero, or a root taken of a negative one.", g.Value)}
	case !same(r.Symbol, g.Symbol, units):
		return r.otherDimension(g, units)
	case r.meets(g.Value, 1):
		return Verdict{Right, "Right, within " + percent(r.Tolerance) + "."}
	}
	if v, ok := r.slip(g, units); ok {
		return v
	}
	if r.meets(g.Value, closeness) {
		return Verdict{Close, "Close, but not within " + percent(r.Tolerance) + ": look for numbers that were rounded on the way."}
	}
	return Verdict{Wrong, r.unit("Not right") + ", and none of the usual slips leads to this number."}
}

// unit adds to the start of a sentence that the unit fits, if there is one.
func (r Record) unit(start string) string {
	if r.Symbol == "" {
		return start
	}
	return start + ": the unit fits, the number does not"
}

func (r Record) judgeText(g Given) Verdict {
	if strings.EqualFold(strings.TrimSpace(g.Text), strings.TrimSpace(r.Text)) {
		return Verdict{Right, "Right."}
	}
	if g.Text == "" {
		return Verdict{Wrong, `This question is answered in words, between quotes: "…".`}
	}
	return Verdict{Wrong, "Not right."}
}

// meets reports whether x is the expected value within some tolerances.
func (r Record) meets(x, tolerances float64) bool { return near(x, r.Value, tolerances*r.Tolerance) }

func near(x, want, relative float64) bool { return math.Abs(x-want) <= relative*math.Abs(want) }

// same reports whether two SI units are of one dimension. A radian is a plain number: what computes an angle need not know that it is one.
func same(a, b string, units Units) bool {
	if a == b || plain(a) && plain(b) {
		return true
	}
	for _, u := range units.Like(a) {
		if u.Symbol == b {
			return true
		}
	}
	return false
}

func plain(symbol string) bool { return symbol == "" || symbol == "rad" }

// otherDimension tells what an answer is that is another kind of quantity.
func (r Record) otherDimension(g Given, units Units) Verdict {
	const gravity = 9.80665
	switch {
	case g.Symbol == "":
		return r.bare(g, units)
	case r.Symbol == "":
		return Verdict{Dimension, fmt.Sprintf("A number without unit is asked for; this is one in %s.", g.Symbol)}
	case g.Symbol == "kg" && r.Symbol == "N" && near(g.Value*gravity, r.Value, closeness*r.Tolerance):
		return Verdict{Slip, "This is the mass; the weight is asked for, which is a force."}
	case g.Symbol == "N" && r.Symbol == "kg" && near(g.Value/gravity, r.Value, closeness*r.Tolerance):
		return Verdict{Slip, "This is the weight; the mass is asked for."}
	}
	return Verdict{Dimension, fmt.Sprintf("The dimension is another: the answer is in %s, and something in %s is asked for.", g.Symbol, r.Symbol)}
}

// bare judges a number without unit where one is asked for.
func (r Record) bare(g Given, units Units) Verdict {
	for _, u := range units.Like(r.Symbol) {
		if near(g.Value*u.Factor, r.Value, r.Tolerance) {
			return Verdict{Dimension, fmt.Sprintf("The unit is missing: the number fits if it is in %s.", u.Symbol)}
		}
	}
	return Verdict{Dimension, fmt.Sprintf("The unit is missing: something in %s is asked for.", r.Symbol)}
}

// slip looks for a known mistake that leads to the answer.
func (r Record) slip(g Given, units Units) (Verdict, bool) {
	for _, p := range r.Pitfalls {
		if near(g.Value, p.Value, r.Tolerance) {
			return Verdict{Slip, p.Hint}, true
		}
	}
	if r.Value == 0 {
		return Verdict{}, false
	}
	ratio := g.Value / r.Value
	for _, s := range slips {
		if near(ratio, s.ratio, r.Tolerance) {
			return Verdict{Slip, s.hint}, true
		}
	}
	return r.wrongUnit(ratio, units)
}

// slips are the mistakes that change any number by a known factor.
var slips = []struct {
	ratio float64
	hint  string
}{
	{-1, "The size is right, the sign is not: look at which way is positive."},
	{2, "This is twice what it should be: look for a factor 2, such as the ½ of the dynamic pressure, or both sides counted."},
	{0.5, "This is half of what it should be: look for a factor 2, such as the ½ of the dynamic pressure, or one side left out."},
	{-2, "This is twice what it should be, and the sign is the other."},
	{-0.5, "This is half of what it should be, and the sign is the other."},
	{180 / math.Pi, "This is larger by 180/π: a number in degrees stands where radians belong. Write 3 * Degree for 3°."},
	{math.Pi / 180, "This is smaller by 180/π: an angle in radians was turned once too often, or taken for degrees."},
	{9.80665, "This is larger by the acceleration of gravity: a weight stands where a mass belongs."},
	{1 / 9.80665, "This is smaller by the acceleration of gravity: a mass stands where a weight belongs."},
	{10, "The figures are right, the point is not: it is ten times too large."},
	{0.1, "The figures are right, the point is not: it is ten times too small."},
	{100, "It is a hundred times too large: a percentage is a number over 100, so write 25 * Percent for 25 %."},
	{0.01, "It is a hundred times too small: look for a percentage that was divided by 100 twice, or for centimetres."},
	{1000, "It is a thousand times too large: look at the prefix of a unit."},
	{0.001, "It is a thousand times too small: look at the prefix of a unit."},
}

// wrongUnit finds a unit that was taken for the SI unit, or the other way round.
func (r Record) wrongUnit(ratio float64, units Units) (Verdict, bool) {
	for _, u := range units.Like(r.Symbol) {
		switch {
		case u.Factor == 1 || u.Factor == 0:
		case near(ratio, 1/u.Factor, r.Tolerance):
			return Verdict{Slip, fmt.Sprintf("The unit is wrong: this is the number in %s, given as %s.", u.Symbol, r.Symbol)}, true
		case near(ratio, u.Factor, r.Tolerance):
			return Verdict{Slip, fmt.Sprintf("The unit is wrong: this is the number in %s, given as %s.", r.Symbol, u.Symbol)}, true
		}
	}
	return Verdict{}, false
}

func percent(x float64) string { return fmt.Sprintf("%.3g %%", 100*x) }
