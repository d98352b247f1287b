package figure

import (
	"errors"
	"fmt"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
)

// Of returns a figure that shows a plot made with gonum/plot, in the fonts and the size of our figures. What else was set in the plot stays as it
// is, and so does the plot itself. Its data are not known to the figure, so its table is empty.
func Of(p *plot.Plot) *Figure {
	f := &Figure{raw: p}
	if p == nil {
		f.err = errors.New("figure: no plot")
		return f
	}
	f.Title = p.Title.Text
	f.X, f.Y = Axis{Label: p.X.Label.Text}, Axis{Label: p.Y.Label.Text}
	return f
}

func (f *Figure) rawLayout() (*sheet, error) {
	if f.err != nil {
		return nil, f.err
	}
	p := *f.raw
	s := &sheet{Figure: f, plot: &p, w: vg.Length(f.Width), drawing: vg.Length(f.Height)}
	if err := s.setSize(); err != nil {
		return nil, err
	}
	s.h = s.drawing
	s.area = vg.Rectangle{Min: vg.Point{X: outerPad, Y: outerPad}, Max: vg.Point{X: s.w - outerPad, Y: s.h - outerPad}}
	p.TextHandler = markup{}
	for _, sty := range []*text.Style{
		&p.Title.TextStyle, &p.X.Label.TextStyle, &p.X.Tick.Label, &p.Y.Label.TextStyle, &p.Y.Tick.Label, &p.Legend.TextStyle,
	} {
		takeOver(sty)
	}
	for _, a := range []*plot.Axis{&p.X, &p.Y} {
		if a.Tick.Marker == (plot.DefaultTicks{}) {
			a.Tick.Marker = linearTicker{count: 6}
		}
	}
	return s, nil
}

// takeOver gives text our font and markup, if its maker left both as gonum/plot sets them.
func takeOver(sty *text.Style) {
	if _, ok := sty.Handler.(text.Plain); !ok || sty.Font.Typeface != plot.DefaultFont.Typeface || sty.Font.Variant != plot.DefaultFont.Variant {
		return
	}
	sty.Handler = markup{}
	sty.Font = font.From(sans, sty.Font.Size*1.15) // gonum's sizes are for print
}

// rawInWords is the alternative text of a plot made elsewhere.
func (s *sheet) rawInWords() string {
	p := s.plot
	axis := func(which string, a plot.Axis) string {
		return fmt.Sprintf("%s: %s from %s to %s", which, orDefault(plain(a.Label.Text), "values"), significant(a.Min, 4), significant(a.Max, 4))
	}
	return sentences([]string{axis("Horizontal axis", p.X), axis("Vertical axis", p.Y)})
}
