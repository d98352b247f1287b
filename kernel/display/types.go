package display

import "encoding/json"

// HTML is a fragment of HTML that a cell has written itself. Like the other types here it is shown as what it is when it is a cell's last value:
//
//	display.HTML("<b>trimmed</b>")
type HTML string

// HTML implements [HTMLer].
func (h HTML) HTML() string { return string(h) }

// Markdown is Markdown text.
type Markdown string

// Markdown implements [Markdowner].
func (m Markdown) Markdown() string { return string(m) }

// LaTeX is a formula.
type LaTeX string

// LaTeX implements [LaTeXer].
func (l LaTeX) LaTeX() string { return string(l) }

// SVG is a drawing.
type SVG string

// SVG implements [SVGer].
func (s SVG) SVG() ([]byte, error) { return []byte(s), nil }

// JSON shows Value as a tree that can be unfolded. Value must be what encoding/json can write: NaN and infinities are not.
type JSON struct{ Value any }

// Text implements [Texter].
func (j JSON) Text() string {
	data, err := json.MarshalIndent(j.Value, "", "  ")
	if err != nil {
		return "" // the text falls back to %v, and the rendering of the JSON says why it failed
	}
	return string(data)
}
