package unit

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
)

// ParseError says why a text is not a quantity.
type ParseError struct {
	Text   string // the text as given
	Kind   string // the quantity that was wanted; may be empty
	Reason string // what is wrong, and often what to write instead
}

func (e *ParseError) Error() string {
	if e.Kind == "" {
		return fmt.Sprintf("%q: %s", e.Text, e.Reason)
	}
	return fmt.Sprintf("%q as %s: %s", e.Text, e.Kind, e.Reason)
}

// RangeError says that an argument is outside the range a function accepts.
type RangeError struct {
	Func     string // "atmos.Standard"
	Arg      string // "altitude"
	Value    float64
	Min, Max float64 // infinite where there is no limit
	Unit     string  // symbol of the unit to print in
}

func (e *RangeError) Error() string {
	value := Format(e.Value, e.Unit)
	if value == Format(e.Min, e.Unit) || value == Format(e.Max, e.Unit) { // rounded onto the limit that it misses
		value = FormatExact(e.Value, e.Unit)
	}
	return fmt.Sprintf("%s: %s is %s, must be %s", e.Func, e.Arg, value, e.limits())
}

func (e *RangeError) limits() string {
	switch below, above := math.IsInf(e.Min, -1), math.IsInf(e.Max, 1); {
	case below && above:
		return "a finite number"
	case above:
		return "at least " + formatLimit(e.Min, e.Unit)
	case below:
		return "at most " + formatLimit(e.Max, e.Unit)
	}
	return formatLimit(e.Min, e.Unit) + " to " + formatLimit(e.Max, e.Unit)
}

// formatLimit writes a limit exactly if it is a handy number, and to six figures if it is the result of a calculation.
func formatLimit(value float64, symbol string) string {
	exact := FormatExact(value, symbol)
	if u, ok := find(symbol); ok && len(exact) > len(u.Symbol)+10 {
		return u.label(strconv.FormatFloat((value-u.Offset)/u.Factor, 'g', 6, 64))
	}
	return exact
}

// CheckRange returns a [*RangeError] unless min ≤ value ≤ max and value is finite. Limits may be infinite.
func CheckRange(function, arg string, value, min, max float64, symbol string) error {
	if min <= value && value <= max && !math.IsInf(value, 0) {
		return nil
	}
	return &RangeError{Func: function, Arg: arg, Value: value, Min: min, Max: max, Unit: symbol}
}

// CheckPositive returns a [*PositiveError] unless value is finite and above zero.
func CheckPositive(function, arg string, value float64, symbol string) error {
	if value > 0 && !math.IsInf(value, 1) {
		return nil
	}
	return &PositiveError{Func: function, Arg: arg, Value: value, Unit: symbol}
}

// PositiveError says that an argument must be above zero.
type PositiveError struct {
	Func  string
	Arg   string
	Value float64
	Unit  string // symbol of the unit to print in
}

func (e *PositiveError) Error() string {
	return fmt.Sprintf("%s: %s is %s, must be above zero and finite", e.Func, e.Arg, Format(e.Value, e.Unit))
}

// puzzles are spellings that could mean several units, or another than the table's first guess.
var puzzles = map[string]string{
	"gal":     "gal is US gal (3.785 L) or imp gal (4.546 L): say which",
	"gallon":  "a gallon is US gal (3.785 L) or imp gal (4.546 L): say which",
	"gallons": "a gallon is US gal (3.785 L) or imp gal (4.546 L): say which",
	"mile":    "a mile is nmi (1852 m) or mi (1609.344 m): say which",
	"miles":   "a mile is nmi (1852 m) or mi (1609.344 m): say which",
	"ton":     "a ton is t (1000 kg) or short ton (907.185 kg): say which",
	"tons":    "a ton is t (1000 kg) or short ton (907.185 kg): say which",
	"nm":      "nm could be nmi (nautical miles) or N·m: say which",
	"G":       "for a multiple of gravity write g₀, for a load factor a plain number",
	"C":       "for degrees Celsius write °C",
	"F":       "for degrees Fahrenheit write °F",
	"rev":     "revolutions are counted in plain numbers; rates in rev/s or rpm",
}

// unknown explains a symbol that is not in the table.
func unknown(symbol string) string {
	if puzzle, ok := puzzles[symbol]; ok {
		return puzzle
	}
	var spellings []string
	for text := range unitByText {
		spellings = append(spellings, text)
	}
	return fmt.Sprintf("no unit is called %q", symbol) + suggest(symbol, spellings)
}

// suggest returns "; did you mean a, b?" with the candidates nearest to text, or nothing if none is near. Case counts little.
func suggest(text string, candidates []string) string {
	best := 30 // a longer word may differ in two letters, a short one in one
	if len([]rune(text)) <= 3 {
		best = 20
	}
	var near []string
	slices.Sort(candidates)
	for _, c := range candidates {
		d := 10*distance(strings.ToLower(text), strings.ToLower(c)) + distance(text, c)
		if d < best {
			best, near = d, nil
		}
		if d == best {
			near = append(near, c)
		}
	}
	if len(near) == 0 {
		return ""
	}
	return "; did you mean " + strings.Join(near[:min(len(near), 4)], ", ") + "?"
}

// distance is the number of letters to insert, delete or replace to make a into b (Levenshtein).
func distance(a, b string) int {
	from, to := []rune(a), []rune(b)
	row := make([]int, len(to)+1)
	for j := range row {
		row[j] = j
	}
	for i, x := range from {
		diagonal := row[0]
		row[0] = i + 1
		for j, y := range to {
			replace := diagonal
			if x != y {
				replace++
			}
			diagonal = row[j+1]
			row[j+1] = min(replace, row[j]+1, diagonal+1)
		}
	}
	return row[len(to)]
}
