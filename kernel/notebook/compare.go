package notebook

import (
	"encoding/json"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"foreplane/kernel/display"
)

// Difference is a cell whose stored outputs are not what a new run gives, or what else keeps a notebook from being whole.
type Difference struct {
	Cell   int // counted from 1
	ID     string
	Reason string
}

func (d Difference) String() string { return fmt.Sprintf("cell %d (%s): %s", d.Cell, d.ID, d.Reason) }

// Compare holds the outputs that a notebook has stored against those of a new run of the same cells. Numbers may differ by a relative tolerance, or in the last
// place that is printed; figures by the data they show, and by what they are drawn of. Cells tagged [TagVaries] are only asked to have outputs of the same kinds.
func Compare(stored, fresh *Document, tolerance float64) []Difference {
	var out []Difference
	for i := range stored.Cells {
		s, f := &stored.Cells[i], &fresh.Cells[i]
		report := func(format string, args ...any) {
			out = append(out, Difference{i + 1, s.ID, fmt.Sprintf(format, args...)})
		}
		switch {
		case s.Kind == Markdown && s.Text() != f.Text() && s.Text() != s.Source:
			report("the live values in the text are others now: %s", firstOther(s.Text(), f.Text(), tolerance))
		case s.Kind != Code || s.HasTag(TagSkip):
		case len(s.Outputs) == 0 && len(f.Outputs) > 0:
			report("its outputs are missing")
		case len(s.Outputs) != len(f.Outputs):
			report("%d outputs are stored, and a new run gives %d", len(s.Outputs), len(f.Outputs))
		default:
			for k := range s.Outputs {
				if reason := s.Outputs[k].otherThan(f.Outputs[k], tolerance, s.HasTag(TagVaries)); reason != "" {
					report("output %d: %s", k+1, reason)
				}
			}
		}
	}
	return append(out, stored.order()...)
}

// HasOutputs reports whether any cell has stored outputs.
func (d *Document) HasOutputs() bool {
	return slices.ContainsFunc(d.Cells, func(c Cell) bool { return len(c.Outputs) > 0 })
}

// TagVaries marks a cell whose outputs differ from run to run, such as times.
const TagVaries = "varies"

// order tells where cells were run in another order than they stand.
func (d *Document) order() []Difference {
	var out []Difference
	last := 0
	for i, c := range d.Cells {
		switch {
		case c.Kind != Code || c.Count == 0:
		case c.Count < last:
			out = append(out, Difference{i + 1, c.ID, fmt.Sprintf("it was run as [%d], before a cell above it, run as [%d]", c.Count, last)})
		default:
			last = c.Count
		}
	}
	return out
}

// otherThan says how an output differs from a new one; "" if it does not.
func (o Output) otherThan(fresh Output, tolerance float64, varies bool) string {
	if o.Type != fresh.Type || o.Name != fresh.Name {
		return fmt.Sprintf("it was %s%s and would be %s%s", o.Type, named(o.Name), fresh.Type, named(fresh.Name))
	}
	a, b := o.forms(), fresh.forms()
	if !slices.Equal(a, b) {
		return fmt.Sprintf("it is there as %s and would be as %s", strings.Join(a, ", "), strings.Join(b, ", "))
	}
	if varies {
		return ""
	}
	if reason := firstOther(o.Text+o.Message, fresh.Text+fresh.Message, tolerance); reason != "" {
		return reason
	}
	for _, mime := range a {
		was, is := asText(o.Data[mime]), asText(fresh.Data[mime])
		margin := tolerance
		if mime == display.TypeSVG {
			margin = max(tolerance, drawn)
		}
		if reason := firstOther(was, is, margin); reason != "" {
			return mime + ": " + reason
		}
	}
	return ""
}

// asText is a representation as text: JSON as it is written, such as the data of a figure.
func asText(data any) string {
	if s, ok := data.(string); ok {
		return s
	}
	text, err := json.Marshal(data)
	if err != nil {
		return fmt.Sprint(data)
	}
	return string(text)
}

// drawn is how far coordinates of a drawing may be off, relatively.
const drawn = 1e-3

func named(name string) string {
	if name == "" {
		return ""
	}
	return " " + name
}

// forms are the kinds of representations, in order.
func (o Output) forms() []string {
	var out []string
	for mime := range o.Data {
		out = append(out, mime)
	}
	slices.Sort(out)
	return out
}

var figures = regexp.MustCompile(`[-+−]?\d+(?:\.\d+)?(?:[eE][-+]?\d+)?`)

// firstOther returns the first thing in which two texts differ by more than the tolerance, with what is around it.
func firstOther(a, b string, tolerance float64) string {
	if a == b {
		return ""
	}
	x, y := figures.FindAllStringIndex(a, -1), figures.FindAllStringIndex(b, -1)
	at, bt := 0, 0
	for i := 0; ; i++ {
		endA, endB := startOf(x, i, a), startOf(y, i, b)
		if a[at:endA] != b[bt:endB] {
			return fmt.Sprintf("%q was stored, %q is new", around(a, at, endA), around(b, bt, endB))
		}
		switch {
		case i >= len(x) && i >= len(y):
			return ""
		case i >= len(x) || i >= len(y):
			return fmt.Sprintf("%q was stored, %q is new", around(a, endA, endA+20), around(b, endB, endB+20))
		}
		was, is := a[x[i][0]:x[i][1]], b[y[i][0]:y[i][1]]
		if !equalNumbers(was, is, tolerance) {
			return fmt.Sprintf("%q was stored, %q is new", around(a, x[i][0], x[i][1]), around(b, y[i][0], y[i][1]))
		}
		at, bt = x[i][1], y[i][1]
	}
}

// startOf is where number i begins, or the end of the text.
func startOf(spans [][]int, i int, text string) int {
	if i < len(spans) {
		return spans[i][0]
	}
	return len(text)
}

// around is a piece of text with a little of its line.
func around(text string, from, to int) string {
	from, to = max(from-20, 0), min(max(to, from)+20, len(text))
	piece := strings.ToValidUTF8(text[from:to], "")
	return strings.TrimSpace(strings.ReplaceAll(piece, "\n", " "))
}

// equalNumbers reports whether two printed numbers are the same within a relative tolerance, or but for the last place.
func equalNumbers(a, b string, tolerance float64) bool {
	if a == b {
		return true
	}
	x, errX := strconv.ParseFloat(strings.Replace(a, "−", "-", 1), 64)
	y, errY := strconv.ParseFloat(strings.Replace(b, "−", "-", 1), 64)
	if errX != nil || errY != nil {
		return false
	}
	return math.Abs(x-y) <= max(tolerance*math.Abs(x), 1.0001*lastPlace(a))
}

// lastPlace is the size of the last place of a printed number that has a point; whole numbers are exact.
func lastPlace(text string) float64 {
	mantissa, exponent, _ := strings.Cut(strings.ToLower(text), "e")
	_, decimals, point := strings.Cut(mantissa, ".")
	if !point {
		return 0
	}
	power, _ := strconv.Atoi(exponent)
	return math.Pow10(power - len(decimals))
}
