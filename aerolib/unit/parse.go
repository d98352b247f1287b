package unit

import (
	"math"
	"math/big"
	"strings"
)

// Parse reads a quantity of the kind that is named by its alias and returns it in SI:
//
//	Parse("95 kt", "Speed")            // 48.872222222222224
//	Parse("1 h 30 min", "Time")        // 5400
//	Parse("5°30′", "Angle")            // 0.09599310885968812
//	Parse("0.45 lb/(hp·h)", "PowerConsumption")
//
// Digits may be in groups of three, parted by blanks ("1 234.5"), and the minus sign may be typographic. A decimal comma is read where it can mean
// nothing else ("1,5"); "1,500" is refused with both readings. The result is the float64 nearest to the decimal number times the unit's factor.
//
// It returns a [*ParseError] for text that is no quantity, an unknown unit (with the nearest names), a unit of another dimension or kind, a missing unit,
// and a value that is not finite in SI.
func Parse(text, kind string) (float64, error) {
	k, ok := LookupKind(kind)
	if !ok {
		return 0, &ParseError{Text: text, Reason: unknownKind(kind)}
	}
	q, reason := readQuantity(text)
	if reason == "" {
		reason = q.misfit(k)
	}
	value := 0.0
	if reason == "" {
		value, reason = q.si(k.Name == "Temperature")
	}
	if reason != "" {
		return 0, &ParseError{Text: shorten(text), Kind: kind, Reason: reason}
	}
	return value, nil
}

// ParseAny reads a quantity of any kind and returns it in SI, with the unit it was written in. A temperature in °C or °F is read as absolute.
func ParseAny(text string) (float64, Unit, error) {
	q, reason := readQuantity(text)
	value := 0.0
	if reason == "" {
		value, reason = q.si(true)
	}
	if reason != "" {
		return 0, Unit{}, &ParseError{Text: shorten(text), Reason: reason}
	}
	return value, q.terms[0].unit, nil
}

func shorten(text string) string {
	if len(text) > maxText {
		return strings.ToValidUTF8(text[:maxText], "") + "…"
	}
	return text
}

func unknownKind(kind string) string {
	var names []string
	for _, k := range kinds {
		names = append(names, k.Name)
	}
	return "no quantity is called " + kind + suggest(kind, names)
}

// quantity is a sum of terms as written: one, or several such as 5° and 30′.
type quantity struct {
	negative bool
	terms    []measure
}

type measure struct {
	value *big.Rat
	unit  Unit
}

// nextTerm finds where another number begins behind a unit: after a blank and a letter, or after one of the signs ° ′ ″.
var nextTerm = pattern(`\pL (\d)|[°′'] ?(\d)`)

func readQuantity(text string) (q quantity, reason string) {
	if len(text) > maxText {
		return q, "too long"
	}
	for rest := tidy(text); ; {
		n, after, reason := readNumber(rest)
		if reason != "" {
			return q, reason
		}
		if len(q.terms) == 0 {
			q.negative = n.negative
		}
		unitText := after
		rest = ""
		if m := nextTerm().FindStringSubmatchIndex(after); m != nil {
			split := max(m[2], m[4])
			unitText, rest = after[:split], after[split:]
		}
		u, reason := readUnit(tidy(unitText))
		if reason != "" {
			return q, reason
		}
		q.terms = append(q.terms, measure{n.value, u})
		if rest == "" {
			return q, q.checkSum()
		}
	}
}

// readUnit reads what follows a number; nothing is a pure number.
func readUnit(text string) (Unit, string) {
	if text == "" {
		return unitByText["1"], ""
	}
	return parseUnit(text)
}

// checkSum refuses sums that are not of the form "2 h 15 min": whole numbers but for the last, ever smaller units, each less than one of the one before.
func (q quantity) checkSum() string {
	for i, t := range q.terms[1:] {
		before := q.terms[i]
		one := new(big.Rat).Quo(rat(before.unit.Factor), rat(t.unit.Factor))
		switch {
		case t.unit.Dimension != before.unit.Dimension || t.unit.Angle != before.unit.Angle || t.unit.Offset != 0 || before.unit.Offset != 0 || t.unit.Symbol == "1":
			return before.unit.Symbol + " and " + t.unit.Symbol + " cannot be summed"
		case !before.value.IsInt() || t.value.Cmp(one) >= 0:
			return "a sum is written as in 2 h 15 min: whole numbers, each unit smaller than the one before"
		}
	}
	return ""
}

// misfit explains why the quantity is not of kind k.
func (q quantity) misfit(k Kind) string {
	for _, t := range q.terms {
		if k.Accepts(t.unit) {
			continue
		}
		if t.unit.Symbol == "1" {
			return "a unit is missing: write " + k.example()
		}
		reason := t.unit.Symbol + " is a unit of " + t.unit.quantity() + ", not of " + k.Name + ": write " + k.example()
		return reason + confusions[[2]string{t.unit.Symbol, k.Root().Name}]
	}
	return ""
}

// example names the units of k for a message.
func (k Kind) example() string {
	switch {
	case k.SI == "":
		return "a plain number"
	case k.Customary == "":
		return k.SI
	}
	return k.SI + " or " + k.Customary
}

// quantity says what a unit measures.
func (u Unit) quantity() string {
	if u.Kind != "" {
		return u.Kind
	}
	for _, k := range kinds {
		if k.Accepts(u) {
			return k.Name
		}
	}
	return "dimension " + u.Dimension.String()
}

// confusions are remarks on units that are often taken for another, by symbol and wanted kind.
var confusions = map[[2]string]string{
	{"lb", "Force"}:           " (lb is a mass, its weight at standard gravity is 1 lbf)",
	{"kg", "Force"}:           " (kg is a mass, its weight at standard gravity is 9.80665 N)",
	{"lbf", "Mass"}:           " (lbf is a force, the mass is lb)",
	{"kgf", "Mass"}:           " (kgf is a force, the mass is kg)",
	{"g", "Acceleration"}:     " (g is gram here, a multiple of gravity is g₀)",
	{"rpm", "AngularRate"}:    " (1 rpm is π/30 rad/s)",
	{"rev/s", "AngularRate"}:  " (1 rev/s is 2π rad/s)",
	{"rad/s", "RotationRate"}: " (1 rev/s is 2π rad/s)",
	{"lb/ft²", "Pressure"}:    " (a pound-force over a square foot is psf)",
}

// si returns the value in SI. Offsets of °C and °F count for absolute temperatures only.
func (q quantity) si(absolute bool) (float64, string) {
	sum := new(big.Rat)
	for _, t := range q.terms {
		sum.Add(sum, new(big.Rat).Mul(t.value, rat(t.unit.Factor)))
	}
	if q.negative {
		sum.Neg(sum)
	}
	if absolute {
		sum.Add(sum, rat(q.terms[0].unit.Offset))
	}
	value, _ := sum.Float64()
	switch {
	case math.IsInf(value, 0):
		return 0, "the value is too large"
	case value == 0 && sum.Sign() != 0:
		return 0, "the value is too small to be told from zero"
	case value == 0 && q.negative:
		return math.Copysign(0, -1), ""
	}
	return value, ""
}

// rat returns f exactly.
func rat(f float64) *big.Rat { return new(big.Rat).SetFloat64(f) }
