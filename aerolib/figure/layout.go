package figure

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
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
}

// layout checks the figure as a whole and computes where everything goes.
func (f *Figure) layout() (*sheet, error) {
	shown, err := f.inShownUnits()
	if err != nil {
		return nil, err
	}
	s := &sheet{Figure: shown, w: vg.Length(f.Width), drawing: vg.Length(f.Height)}
	if s.w == 0 {
		s.w = defaultWidth
	}
	if s.drawing == 0 {
		s.drawing = defaultHeight
	}
	if s.w < 120 || s.drawing < 100 {
		return nil, fmt.Errorf("figure: size %g × %g is below 120 × 100 pixels", f.Width, f.Height)
	}
	s.title = wrap(f.Title, titleStyle(), s.w-2*outerPad)
	s.caption = wrap(f.Caption, style(captionSize, ink), s.w-2*outerPad)
	s.makePlot()
	s.arrange()
	return s, nil
}

// inShownUnits returns a copy of the figure whose values are in the units of its axes.
func (f *Figure) inShownUnits() (*Figure, error) {
	if f.err != nil {
		return nil, f.err
	}
	if len(f.series)+len(f.shapes)+len(f.points) == 0 {
		return nil, fmt.Errorf("figure: %q has no data", f.Title)
	}
	kx, errX := f.X.scale()
	ky, errY := f.Y.scale()
	if err := errors.Join(errX, errY); err != nil {
		return nil, err
	}
	g := *f
	g.X.rescale(kx)
	g.Y.rescale(ky)
	g.series, g.limits, g.points, g.shapes = nil, nil, nil, nil
	for _, s := range f.series {
		s.x, s.y, s.low = kx.all(s.x), ky.all(s.y), ky.all(s.low)
		g.series = append(g.series, s)
	}
	for _, l := range f.limits {
		k := kx
		if l.level {
			k = ky
		}
		l.at = k.shown(l.at)
		g.limits = append(g.limits, l)
	}
	for _, p := range f.points {
		p.x, p.y = kx.shown(p.x), ky.shown(p.y)
		g.points = append(g.points, p)
	}
	for _, s := range f.shapes {
		s.x, s.y, s.value = kx.all(s.x), ky.all(s.y), kx.shown(s.value)
		g.shapes = append(g.shapes, s)
	}
	if err := g.seconds(kx, ky); err != nil {
		return nil, err
	}
	return &g, g.checkRanges()
}

// rescale brings a range that is given into shown units.
func (a *Axis) rescale(k scale) {
	if a.Min != 0 || a.Max != 0 {
		a.Min, a.Max = k.shown(a.Min), k.shown(a.Max)
	}
}

// seconds puts the shown units into the second axes, whose functions are between SI values.
func (f *Figure) seconds(kx, ky scale) error {
	convert := func(s *second, k scale) (*second, error) {
		if s == nil {
			return nil, nil
		}
		own, err := s.scale()
		from := s.from
		return &second{s.Axis, func(v float64) float64 { return own.shown(from(k.si(v))) }}, err
	}
	var errTop, errRight error
	f.top, errTop = convert(f.top, kx)
	f.right, errRight = convert(f.right, ky)
	return errors.Join(errTop, errRight)
}

// checkRanges sets the ranges of both axes and refuses what a logarithmic axis cannot show.
func (f *Figure) checkRanges() error {
	xs, ys := f.extents()
	if err := f.X.setRange("x", xs, 0); err != nil {
		return err
	}
	margin := 0.04
	if f.equal || f.Y.names != nil {
		margin = 0
	}
	return f.Y.setRange("y", ys, margin)
}

// extents collects the values that the axes must reach.
func (f *Figure) extents() (xs, ys []float64) {
	for _, s := range f.series {
		for i := range s.x {
			if !s.gapAt(i) {
				xs, ys = append(xs, s.x[i]), append(ys, s.y[i])
				if s.kind == band {
					ys = append(ys, s.low[i])
				}
			}
		}
	}
	for _, p := range f.points {
		xs, ys = append(xs, p.x), append(ys, p.y)
	}
	for _, s := range f.shapes {
		xs, ys = append(xs, s.x...), append(ys, s.y...)
	}
	for _, l := range f.limits {
		if l.level {
			ys = append(ys, l.at)
		} else {
			xs = append(xs, l.at)
		}
	}
	return xs, ys
}

func (a *Axis) setRange(name string, values []float64, margin float64) error {
	if a.names != nil {
		a.Min, a.Max = -0.6, float64(len(a.names))-0.4
		return nil
	}
	low, high := math.Inf(1), math.Inf(-1)
	for _, v := range values {
		if a.Log && v <= 0 {
			return fmt.Errorf("figure: %s axis is logarithmic, but has the value %g", name, v)
		}
		low, high = math.Min(low, v), math.Max(high, v)
	}
	if a.Min != 0 || a.Max != 0 {
		return a.checkFixed(name)
	}
	if len(values) == 0 {
		return fmt.Errorf("figure: %s axis has no value and no range", name)
	}
	if a.Zero && !a.Log {
		low, high = math.Min(low, 0), math.Max(high, 0)
	}
	a.Min, a.Max = a.nice(low, high, margin)
	return nil
}

func (a *Axis) checkFixed(name string) error {
	if !(a.Min < a.Max) || !finite(a.Min) || !finite(a.Max) || a.Log && a.Min <= 0 {
		return fmt.Errorf("figure: %s axis cannot run from %g to %g", name, a.Min, a.Max)
	}
	return nil
}

// nice widens the range of the data to round numbers.
func (a *Axis) nice(low, high, margin float64) (float64, float64) {
	if a.Log {
		if high/low < 1.01 {
			low, high = low/1.5, high*1.5
		}
		return logTicker{}.nice(low, high)
	}
	if span := high - low; span <= 1e-9*math.Max(math.Abs(low), math.Abs(high)) || span == 0 {
		half := math.Max(math.Abs(high)*0.1, 1e-300)
		if high == 0 {
			half = 1
		}
		low, high = low-half, high+half
	}
	pad := margin * (high - low)
	from, to := linearTicker{count: 6}.nice(low-pad, high+pad)
	if low >= 0 && from < 0 { // padding alone does not cross zero
		from = 0
	}
	if high <= 0 && to > 0 {
		to = 0
	}
	return from, to
}

// text returns the label of the axis with its unit.
func (a Axis) text() string {
	switch {
	case a.Unit == "":
		return a.Label
	case a.Label == "":
		return "(" + a.Unit + ")"
	}
	return a.Label + " (" + a.Unit + ")"
}

// makePlot prepares the axes.
func (s *sheet) makePlot() {
	s.plot = themed()
	s.X.apply(&s.plot.X)
	s.Y.apply(&s.plot.Y)
	s.setTickCounts(s.w*0.7, s.drawing*0.7)
}

func (a Axis) apply(to *plot.Axis) {
	to.Min, to.Max, to.Label.Text = a.Min, a.Max, a.text()
	if a.Log {
		to.Scale = plot.LogScale{}
	}
	if a.Reversed {
		to.Scale = plot.InvertedScale{Normalizer: to.Scale}
	}
}

// setTickCounts gives the axes as many ticks as their lengths carry.
func (s *sheet) setTickCounts(w, h vg.Length) {
	s.plot.X.Tick.Marker = s.X.ticker(float64(w) / 70)
	s.plot.Y.Tick.Marker = s.Y.ticker(float64(h) / 40)
}

func (a Axis) ticker(count float64) plot.Ticker {
	switch {
	case a.names != nil:
		ticks := plot.ConstantTicks{}
		for i, name := range a.names {
			ticks = append(ticks, plot.Tick{Value: float64(i), Label: name})
		}
		return ticks
	case a.Log:
		return logTicker{count}
	}
	return linearTicker{count}
}

// arrange places plot and labels. Series are named at the ends of their curves; if there is no room for that, in a legend below.
func (s *sheet) arrange() {
	s.placeArea(nil)
	tags := s.makeTags()
	for range 4 {
		s.placeArea(tags)
		s.anchorTags(tags)
		spilled := s.place(tags)
		if !s.columnFits(tags) || leadersCross(tags) {
			tags = s.toLegend(tags)
			continue
		}
		if len(spilled) == 0 {
			break
		}
		for _, t := range spilled {
			t.margin = true
		}
	}
	s.tags = tags
}

// placeArea computes the area of the plot between title, caption, legend, second axes and the column of labels at the right.
func (s *sheet) placeArea(tags []*tag) {
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

// ticks returns the ticks of a second axis at the values of the first one where they belong.
func (s second) ticks(first plot.Axis, count float64) []plot.Tick {
	low, high := s.from(first.Min), s.from(first.Max)
	if !finite(low) || !finite(high) || low == high {
		return nil
	}
	var ticks []plot.Tick
	for _, t := range s.ticker(count).Ticks(math.Min(low, high), math.Max(low, high)) {
		t.Value = invert(s.from, t.Value, first.Min, first.Max)
		ticks = append(ticks, t)
	}
	return ticks
}

// invert finds where a monotone function between low and high takes the value v, by bisection.
func invert(f func(float64) float64, v, low, high float64) float64 {
	rising := f(high) > f(low)
	for range 60 {
		mid := (low + high) / 2
		if (f(mid) < v) == rising {
			low = mid
		} else {
			high = mid
		}
	}
	return (low + high) / 2
}

// pixel returns where a point in shown units lies.
func (s *sheet) pixel(x, y float64) vg.Point {
	c := draw.Canvas{Rectangle: s.data}
	return vg.Point{X: c.X(s.plot.X.Norm(x)), Y: c.Y(s.plot.Y.Norm(y))}
}

// lines returns the pieces of a series between its gaps, clipped to the frame.
func (s *sheet) lines(sr series, y []float64) [][]vg.Point {
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
	return c.ClipLinesXY(append(pieces, piece)...)
}

// manySeries reports whether series need dash and marker to be told apart.
func (s *sheet) manySeries() bool {
	looks := map[int]bool{}
	for _, sr := range s.series {
		looks[sr.look] = true
	}
	return len(looks) > 1
}
