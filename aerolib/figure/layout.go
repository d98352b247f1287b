package figure

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"foreplane/aerolib/unit"
)

// A sheet is a figure laid out: everything in shown units and in its place, ready to be drawn on any canvas.
type sheet struct {
	*Figure
	plot    *plot.Plot
	w, h    vg.Length
	drawing vg.Length    // height without caption and legend
	area    vg.Rectangle // of the plot with its axes
	data    vg.Rectangle // inside the frame
	title   string       // broken into lines
	caption string
	tags    []*tag
	legend  []*tag
	drawn   map[lineKey][][]vg.Point // lines that are known, for the frame as it is
}

// A lineKey tells the lines of series apart by where their data lie.
type lineKey struct{ x, y *float64 }

// layout checks the figure as a whole and computes where everything goes.
func (f *Figure) layout() (*sheet, error) {
	if f.raw != nil {
		return f.rawLayout()
	}
	shown, err := f.inShownUnits()
	if err != nil {
		return nil, err
	}
	s := &sheet{Figure: shown, w: vg.Length(f.Width), drawing: vg.Length(f.Height)}
	if err := s.setSize(); err != nil {
		return nil, err
	}
	s.title = wrap(f.Title, titleStyle(), s.w-2*outerPad)
	s.caption = wrap(f.Caption, style(captionSize, ink), s.w-2*outerPad)
	s.makePlot()
	return s, s.arrange()
}

// setSize checks the size asked for, or takes the usual one.
func (s *sheet) setSize() error {
	if s.w == 0 {
		s.w = defaultWidth
	}
	if s.drawing == 0 {
		s.drawing = defaultHeight
		if n := len(s.Y.names); n > 0 {
			s.drawing = vg.Length(barsHeight + barHeight*n)
		}
	}
	if !(s.w >= minWidth && s.drawing >= minHeight && s.w <= maxSize && s.drawing <= maxSize) { // the negation also refuses NaN
		return fmt.Errorf("figure: size %g × %g is outside %d × %d to %d × %d pixels", s.w, s.drawing, minWidth, minHeight, maxSize, maxSize)
	}
	return nil
}

// makePlot prepares the axes.
func (s *sheet) makePlot() {
	s.plot = themed()
	s.X.apply(&s.plot.X)
	s.Y.apply(&s.plot.Y)
	s.plot.X.Label.Text = wrap(s.X.text(), s.plot.X.Label.TextStyle, s.w*0.75)
	s.plot.Y.Label.Text = wrap(s.Y.text(), s.plot.Y.Label.TextStyle, s.drawing*0.75)
	s.setTickCounts(s.w*0.7, s.drawing*0.7)
}

// setTickCounts gives the axes as many ticks as their lengths carry.
func (s *sheet) setTickCounts(w, h vg.Length) {
	s.plot.X.Tick.Marker = s.X.ticker(float64(w) / 70)
	s.plot.Y.Tick.Marker = s.Y.ticker(float64(h) / 40)
}

// arrange places plot and labels. Series are named at the ends of their curves; if there is no room for that, in a legend below. Names that find
// no place inside the frame stand beside it, and the drawing grows if that is what they need.
func (s *sheet) arrange() error {
	s.placeArea(nil)
	s.tags = s.makeTags()
	if len(s.seriesTags()) > manyNames {
		s.toLegend()
	}
	for range 6 {
		s.placeArea(s.tags)
		s.anchorTags(s.tags)
		spilled := s.place(s.tags)
		switch need := columnHeight(s.tags) - s.data.Size().Y; {
		case (need > 0 || columnWidth(s.tags) > columnShare*s.w || leadersCross(s.tags)) && s.toLegend():
		case need > 0:
			s.drawing += need + tagGap
		case len(spilled) == 0:
			return s.checkRoom()
		}
		for _, t := range spilled {
			s.toColumn(t)
		}
	}
	return s.checkRoom()
}

// checkRoom refuses a plot that its labels have squeezed to nothing.
func (s *sheet) checkRoom() error {
	if room := s.data.Size(); room.X < leastRoom || room.Y < leastRoom {
		return fmt.Errorf("figure: labels leave %.0f × %.0f of %.0f × %.0f pixels for the plot", room.X, room.Y, s.w, s.h)
	}
	return nil
}

// placeArea places the plot, and makes its scales equal if they are to be.
func (s *sheet) placeArea(tags []*tag) {
	s.computeArea(tags)
	if !s.EqualScale {
		return
	}
	s.plot.X.Min, s.plot.X.Max, s.plot.Y.Min, s.plot.Y.Max = s.X.Min, s.X.Max, s.Y.Min, s.Y.Max
	if s.Height == 0 {
		wanted := s.data.Size().X * vg.Length((s.Y.Max-s.Y.Min)/(s.X.Max-s.X.Min))
		s.drawing = min(max(s.drawing+wanted-s.data.Size().Y, minHeight), tallest)
		s.computeArea(tags)
	}
	s.widen()
	s.data = s.frame()
	s.drawn = map[lineKey][][]vg.Point{}
}

// widen lengthens the axis that has more room than its range needs.
func (s *sheet) widen() {
	room := s.data.Size()
	x, y := &s.plot.X, &s.plot.Y
	perX, perY := (x.Max-x.Min)/float64(room.X), (y.Max-y.Min)/float64(room.Y)
	grow := func(a *plot.Axis, by unit.Ratio) {
		more := (a.Max - a.Min) * (by - 1) / 2
		a.Min, a.Max = a.Min-more, a.Max+more
	}
	if perX < perY {
		grow(x, perY/perX)
	} else {
		grow(y, perX/perY)
	}
}

// computeArea computes the area of the plot between title, caption, legend, second axes and the column of labels at the right.
func (s *sheet) computeArea(tags []*tag) {
	below := s.legendHeight() + outerPad
	if s.caption != "" {
		below += style(captionSize, ink).Height(s.caption) + gap
	}
	s.h = vg.Length(math.Ceil(float64(s.drawing + below)))
	above := vg.Length(outerPad)
	if s.title != "" {
		above += titleStyle().Height(s.title) + titleGap
	}
	above += s.topHeight()
	right := vg.Length(outerPad) + s.rightWidth() + columnWidth(tags)
	s.area = vg.Rectangle{
		Min: vg.Point{X: outerPad, Y: below},
		Max: vg.Point{X: s.w - right, Y: s.h - above},
	}
	s.data = s.frame()
	s.setTickCounts(s.data.Size().X, s.data.Size().Y)
	s.data = s.frame()
	s.drawn = map[lineKey][][]vg.Point{}
}

// frame returns the rectangle inside the axes.
func (s *sheet) frame() vg.Rectangle {
	return s.plot.DataCanvas(draw.Canvas{Rectangle: s.area}).Rectangle
}

// topHeight is what stands between the frame and the title: a second axis, or the names of limits.
func (s *sheet) topHeight() vg.Length {
	if s.top != nil {
		sty := style(labelSize, ink)
		return s.plot.X.Tick.Length + style(tickSize, ink).Height("0") + gap + sty.Height(s.top.text())
	}
	for _, l := range s.limits {
		if !l.level && l.label != "" {
			return style(tickSize, ink).Height("x") + 2
		}
	}
	return 0
}

func (s *sheet) rightWidth() vg.Length {
	if s.right == nil {
		return 0
	}
	sty, widest := style(tickSize, ink), vg.Length(0)
	for _, t := range s.right.ticks(s.plot.Y, float64(s.drawing)*0.7/40) {
		widest = max(widest, sty.Width(t.Label))
	}
	return s.plot.Y.Tick.Length + 4 + widest + gap + style(labelSize, ink).Height("x")
}

// pixel returns where a point in shown units lies.
func (s *sheet) pixel(x, y float64) vg.Point {
	c := draw.Canvas{Rectangle: s.data}
	return vg.Point{X: c.X(s.plot.X.Norm(x)), Y: c.Y(s.plot.Y.Norm(y))}
}

// lines returns the pieces of a series between its gaps, clipped to the frame, without points that make no difference to the eye.
func (s *sheet) lines(sr series, y []float64) [][]vg.Point {
	key := lineKey{&sr.x[0], &y[0]}
	if known, ok := s.drawn[key]; ok {
		return known
	}
	var pieces [][]vg.Point
	var piece []vg.Point
	for i := range sr.x {
		if sr.gapAt(i) {
			pieces, piece = append(pieces, piece), nil
			continue
		}
		piece = append(piece, s.pixel(sr.x[i], y[i]))
	}
	c := draw.Canvas{Rectangle: s.data}
	lines := c.ClipLinesXY(append(pieces, piece)...)
	for i, line := range lines {
		lines[i] = simplify(line)
	}
	s.drawn[key] = slices.Clip(lines) // so that appending copies
	return s.drawn[key]
}

// simplify leaves out points of a line that lie within a twentieth of a pixel of it without them, by the method of Douglas and Peucker.
func simplify(line []vg.Point) []vg.Point {
	if len(line) < 3 {
		return line
	}
	first, last := line[0], line[len(line)-1]
	far, at := 0.05, 0
	for i, p := range line[1 : len(line)-1] {
		if d := distanceTo(p, first, last); d > far {
			far, at = d, i+1
		}
	}
	if at == 0 {
		return []vg.Point{first, last}
	}
	return append(simplify(line[:at+1]), simplify(line[at:])[1:]...)
}

// distanceTo returns the distance of p from the line between a and b.
func distanceTo(p, a, b vg.Point) float64 {
	ab, ap := b.Sub(a), p.Sub(a)
	along := clamp((ab.X*ap.X+ab.Y*ap.Y)/max(ab.X*ab.X+ab.Y*ab.Y, 1e-12), 0, 1)
	off := ap.Sub(ab.Scale(along))
	return math.Hypot(float64(off.X), float64(off.Y))
}

// manySeries reports whether series need dash and marker to be told apart.
func (s *sheet) manySeries() bool {
	looks := map[int]bool{}
	for _, sr := range s.series {
		looks[sr.look] = true
	}
	return len(looks) > 1
}
