package figure

import (
	"bytes"
	"crypto/sha256"
	"fmt"
)

// SVG draws the figure as a compact SVG element that may stand in a page or a file. The same figure gives the same bytes. It returns the
// first error made in building the figure, or what is wrong with the figure as a whole.
func (f *Figure) SVG() ([]byte, error) {
	s, err := f.layout()
	if err != nil {
		return nil, err
	}
	c := newSVG(s.w, s.h)
	s.draw(c)
	c.flush()
	return c.document(s.name(), f.altText(s)), nil
}

// document wraps the drawing into an element with title and description. Their names are derived from the contents, so that several
// figures can share a page.
func (c *svgCanvas) document(title, description string) []byte {
	sum := sha256.Sum256(append([]byte(title+"\x00"+description+"\x00"), c.body.Bytes()...))
	id := fmt.Sprintf("fig-%x", sum[:5])
	var b bytes.Buffer
	fmt.Fprintf(&b, "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"%[1]s\" height=\"%[2]s\" viewBox=\"0 0 %[1]s %[2]s\" role=\"img\"",
		pixel(float64(c.w)), pixel(float64(c.h)))
	fmt.Fprintf(&b, " aria-labelledby=\"%[1]s-t %[1]s-d\" style=\"max-width:100%%;height:auto\" font-family=\"%[2]s\" stroke-linejoin=\"round\">\n", id, fontFamily)
	fmt.Fprintf(&b, "<title id=\"%[1]s-t\">%[2]s</title>\n<desc id=\"%[1]s-d\">%[3]s</desc>\n", id, escape(title), escape(description))
	b.Write(c.body.Bytes())
	b.WriteString("</svg>\n")
	return b.Bytes()
}

// Size returns width and height of the figure in CSS pixels, and zeros if it cannot be drawn.
func (f *Figure) Size() (width, height int) {
	s, err := f.layout()
	if err != nil {
		return 0, 0
	}
	return int(s.w + 0.5), int(s.h + 0.5)
}

// AltText names the figure in the first line and describes it in the second: its axes, and what every curve does.
func (f *Figure) AltText() string {
	s, err := f.layout()
	if err != nil {
		return err.Error()
	}
	return s.name() + "\n" + f.altText(s)
}

// String returns [Figure.AltText], for terminals.
func (f *Figure) String() string { return f.AltText() }
