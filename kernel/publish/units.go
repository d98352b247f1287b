package publish

import "strings"

// Units says which of two units a page shows where a value has been printed with both, such as 48.9 m/s (95.0 kt). Pictures stay as they are drawn.
type Units string

// The choices.
const (
	BothUnits      Units = ""
	SIUnits        Units = "si"
	CustomaryUnits Units = "us"
)

var (
	pair        = pattern(`([-−]?\d[\d.]*(?:[eE][-+]?\d+)?)( ?)([^\s\d()<>|,;&][^\s()<>|,;&]*) \(([-−]?\d[\d.]*(?:[eE][-+]?\d+)?)( ?)([^\s\d()<>|,;&][^\s()<>|,;&]*)\)`)
	formulaPair = pattern(`([-−]?\d[\d.]*(?:\\,\\mathrm\{(?:[^{}]|\{[^{}]*\})*\}|\{\}\^\\circ)?)\\quad \(([^()]*)\)`)
)

// inUnits leaves one of each two units. What is in parentheses stays where the words around it are no units.
func (w *writer) inUnits(text string) string {
	if w.options.Units == BothUnits || w.options.IsUnit == nil {
		return text
	}
	return pair().ReplaceAllStringFunc(text, func(m string) string {
		p := pair().FindStringSubmatch(m)
		if !w.options.IsUnit(p[3]) || !w.options.IsUnit(p[6]) {
			return m
		}
		if w.options.Units == SIUnits {
			return p[1] + p[2] + p[3]
		}
		return p[4] + p[5] + p[6]
	})
}

// inFormulaUnits is inUnits for formulas that cells have typeset.
func (w *writer) inFormulaUnits(text string) string {
	if w.options.Units == BothUnits || !strings.Contains(text, `\quad (`) {
		return text
	}
	keep := "$1"
	if w.options.Units == CustomaryUnits {
		keep = "$2"
	}
	return formulaPair().ReplaceAllString(text, keep)
}
