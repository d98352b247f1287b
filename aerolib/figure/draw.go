package figure

import (
	"math"
	"slices"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// draw draws the sheet on a canvas of its size.
func (s *sheet) draw(canvas vg.Canvas) {
	c := draw.NewCanvas(canvas, s.w, s.h)
	c.FillPolygon(ground, []vg.Point{{}, {X: s.w}, {X: s.w, Y: s.h}, {Y: s.h}})
	if s.raw != nil {
		s.plot.Draw(draw.Canvas{Canvas: canvas, Rectangle: s.area})
		return
	}
	s.drawTexts(c)
	s.plot.BackgroundColor = nil
	s.plot.Add(layer(s.drawGround), layer(s.drawSeries), layer(s.drawFrame))
	s.plot.Draw(draw.Canvas{Canvas: canvas, Rectangle: s.area})
	for _, t := range s.tags {
		s.drawTag(c, t)
	}
}

// A layer is a drawing inside the frame.
type layer func(draw.Canvas)

// Plot draws the layer.
func (l layer) Plot(c draw.Canvas, _ *plot.Plot) { l(c) }

func (s *sheet) drawTexts(c draw.Canvas) {
	y := s.h - outerPad
	if s.title != "" {
		drawBlock(c, titleStyle(), vg.Point{X: outerPad, Y: y - titleStyle().Height(s.title)}, s.title)
	}
	y = outerPad
	if s.caption != "" {
		sty := style(captionSize, ink)
		drawBlock(c, sty, vg.Point{X: outerPad, Y: y}, s.caption)
		y += sty.Height(s.caption) + gap
	}
	if len(s.legend) > 0 {
		s.drawLegend(c, y+s.legendHeight()-gap)
	}
}

// drawBlock draws text with the lower left corner of its box at a point.
func drawBlock(c draw.Canvas, sty text.Style, at vg.Point, s string) {
	c.FillText(sty, vg.Point{X: at.X, Y: at.Y + sty.FontExtents().Descent}, s)
}

// drawLegend draws the legend below the height top.
func (s *sheet) drawLegend(c draw.Canvas, top vg.Length) {
	for _, t := range s.legend {
		at := vg.Point{X: t.at.X, Y: top + t.at.Y}
		y := at.Y + t.size.Y/2
		sample := vg.Rectangle{Min: vg.Point{X: at.X, Y: y - 5}, Max: vg.Point{X: at.X + legendSample, Y: y + 5}}
		s.drawSample(c, s.series[t.index], sample)
		drawBlock(c, t.sty, vg.Point{X: at.X + legendSample + gap, Y: at.Y}, t.text)
	}
}

func (s *sheet) drawSample(c draw.Canvas, sr series, r vg.Rectangle) {
	l := lookOf(sr.look)
	middle := r.Min.Add(r.Max).Scale(0.5)
	switch sr.kind {
	case band:
		c.FillPolygon(tint(l.color, 0.25), []vg.Point{r.Min, {X: r.Max.X, Y: r.Min.Y}, r.Max, {X: r.Min.X, Y: r.Max.Y}})
	case curve:
		c.StrokeLine2(lineStyle(l, true), r.Min.X, middle.Y, r.Max.X, middle.Y)
	}
	drawMarker(c, l, middle)
}

// drawGround draws what lies below the curves: bands, shapes, grid lines, the lines through zero.
func (s *sheet) drawGround(c draw.Canvas) {
	for _, sr := range s.series {
		if sr.kind == band {
			s.drawBand(c, sr)
		}
	}
	for _, t := range s.plot.X.Tick.Marker.Ticks(s.plot.X.Min, s.plot.X.Max) {
		if s.X.names == nil && !t.IsMinor() {
			x := s.pixel(t.Value, s.plot.Y.Min).X
			c.StrokeLine2(gridStyle(t.Value, s.X), x, c.Min.Y, x, c.Max.Y)
		}
	}
	for _, t := range s.plot.Y.Tick.Marker.Ticks(s.plot.Y.Min, s.plot.Y.Max) {
		if s.Y.names == nil && !t.IsMinor() {
			y := s.pixel(s.plot.X.Min, t.Value).Y
			c.StrokeLine2(gridStyle(t.Value, s.Y), c.Min.X, y, c.Max.X, y)
		}
	}
	for _, field := range s.fields {
		s.drawColours(c, field)
	}
	for _, sh := range s.shapes {
		s.drawShape(c, sh)
	}
	if s.Y.names != nil && within(0, s.X) { // what bars grow from
		x := s.pixel(0, 0).X
		c.StrokeLine2(draw.LineStyle{Color: ink, Width: 1.25}, x, c.Min.Y, x, c.Max.Y)
	}
}

func gridStyle(at float64, a Axis) draw.LineStyle {
	if at == 0 && !a.Log {
		return draw.LineStyle{Color: zero, Width: 1}
	}
	return draw.LineStyle{Color: grid, Width: 1}
}

func (s *sheet) drawShape(c draw.Canvas, sh shape) {
	corners, l := s.corners(sh), lookOf(sh.look)
	if sh.hollow {
		c.StrokeLines(draw.LineStyle{Color: ink, Width: 1.5}, c.ClipLinesXY(corners)...)
		return
	}
	c.FillPolygon(tint(l.color, 0.22), c.ClipPolygonXY(corners[:len(corners)-1]))
	c.StrokeLines(draw.LineStyle{Color: l.color, Width: 1.5}, c.ClipLinesXY(corners)...)
}

func (s *sheet) drawBand(c draw.Canvas, sr series) {
	low, high := s.lines(sr, sr.low), s.lines(sr, sr.y)
	l := lookOf(sr.look)
	for _, area := range s.bandAreas(sr) {
		c.FillPolygon(tint(l.color, 0.22), c.ClipPolygonXY(area))
	}
	c.StrokeLines(draw.LineStyle{Color: l.color, Width: 1}, append(low, high...)...)
}

// bandAreas returns the outlines of the pieces of a band between its gaps.
func (s *sheet) bandAreas(sr series) [][]vg.Point {
	var areas [][]vg.Point
	var over, under []vg.Point
	for i := range sr.x {
		if !sr.gapAt(i) {
			over = append(over, s.pixel(sr.x[i], sr.y[i]))
			under = append([]vg.Point{s.pixel(sr.x[i], sr.low[i])}, under...)
		}
		if sr.gapAt(i) || i == len(sr.x)-1 {
			areas, over, under = append(areas, append(over, under...)), nil, nil
		}
	}
	return areas
}

// drawSeries draws limits, curves and points.
func (s *sheet) drawSeries(c draw.Canvas) {
	for _, l := range s.limits {
		c.StrokeLines(draw.LineStyle{Color: ink, Width: 1.25, Dashes: []vg.Length{7, 4}}, s.limitLine(l))
	}
	many := s.manySeries()
	for i, sr := range s.series {
		l := lookOf(sr.look)
		if sr.kind == curve {
			c.StrokeLines(lineStyle(l, many), s.lines(sr, sr.y)...)
			if many {
				for _, p := range s.curveMarkers(i) {
					drawMarker(c, l, p)
				}
			}
		}
		for _, p := range s.singles(sr) {
			drawMarker(c, l, p)
		}
	}
	for _, p := range s.points {
		if at := s.pixel(p.x, p.y); inside(s.data, at) {
			drawSymbol(c, p.symbol, at)
		}
	}
}

func lineStyle(l look, many bool) draw.LineStyle {
	sty := draw.LineStyle{Color: l.color, Width: curveWidth}
	if many {
		sty.Dashes = l.dashes
	}
	return sty
}

const markerSpacing = 90 // along a curve

// curveMarkers returns points at even distances along the i-th series, beginning at a part of one that differs from curve to curve.
func (s *sheet) curveMarkers(i int) []vg.Point {
	next := markerSpacing * float64(i+1) / float64(len(s.series)+1)
	var points []vg.Point
	for _, line := range s.lines(s.series[i], s.series[i].y) {
		for i := 1; i < len(line); i++ {
			a, b := line[i-1], line[i]
			d := math.Hypot(float64(b.X-a.X), float64(b.Y-a.Y))
			for ; next <= d; next += markerSpacing {
				points = append(points, a.Add(b.Sub(a).Scale(vg.Length(next/d))))
			}
			next -= d
		}
	}
	return points
}

// drawFrame draws the frame and the second axes.
func (s *sheet) drawFrame(c draw.Canvas) {
	sty := draw.LineStyle{Color: frame, Width: frameWidth}
	c.StrokeLines(sty, []vg.Point{c.Min, {X: c.Max.X, Y: c.Min.Y}, c.Max, {X: c.Min.X, Y: c.Max.Y}, c.Min})
	if s.top != nil {
		s.drawTop(c)
	}
	if s.right != nil {
		s.drawRight(c)
	}
}

func (s *sheet) drawTop(c draw.Canvas) {
	x, sty := s.plot.X, style(tickSize, ink)
	sty.XAlign = draw.XCenter
	y := c.Max.Y + x.Tick.Length
	for _, t := range s.top.ticks(x, float64(c.Size().X)/70) {
		at := s.pixel(t.Value, s.plot.Y.Min).X
		c.StrokeLine2(x.Tick.LineStyle, at, c.Max.Y, at, y-tickInset(t))
		c.FillText(sty, vg.Point{X: at, Y: y + sty.FontExtents().Descent}, t.Label)
	}
	title := style(labelSize, ink)
	title.XAlign = draw.XCenter
	c.FillText(title, vg.Point{X: c.Center().X, Y: y + sty.Height("0") + title.FontExtents().Descent}, s.top.text())
}

func tickInset(t plot.Tick) vg.Length {
	if t.IsMinor() {
		return 2.5
	}
	return 0
}

func (s *sheet) drawRight(c draw.Canvas) {
	y, sty := s.plot.Y, style(tickSize, ink)
	x := c.Max.X + y.Tick.Length
	for _, t := range s.right.ticks(y, float64(c.Size().Y)/40) {
		at := s.pixel(s.plot.X.Min, t.Value).Y
		c.StrokeLine2(y.Tick.LineStyle, c.Max.X, at, x-tickInset(t), at)
		c.FillText(sty, vg.Point{X: x + 4, Y: at - 0.35*tickSize}, t.Label)
	}
	title := style(labelSize, ink)
	title.XAlign, title.Rotation = draw.XCenter, math.Pi/2
	c.FillText(title, vg.Point{X: c.Max.X + s.rightWidth() - title.FontExtents().Descent, Y: c.Center().Y}, s.right.text())
}

// drawTag draws a label, with its leader line, its marker, and white behind it where it stands on the grid.
func (s *sheet) drawTag(c draw.Canvas, t *tag) {
	if t.leader {
		end := t.leaderEnd()
		c.StrokeLine2(draw.LineStyle{Color: frame, Width: 0.75}, t.anchor.X+1, t.anchor.Y, end.X, end.Y)
	}
	if t.what == ofShape && !s.onShape(t) {
		t.sty.Color = textColor(lookOf(s.shapes[t.index].look).color)
	}
	if b := t.box(); !t.margin && inside(s.data, t.at) && !s.onShapes(b) {
		c.FillPolygon(ground, []vg.Point{b.Min, {X: b.Max.X, Y: b.Min.Y}, b.Max, {X: b.Min.X, Y: b.Max.Y}})
	}
	at := t.at
	if t.look != nil && t.margin {
		drawMarker(c, *t.look, vg.Point{X: at.X + markerRadius + 1, Y: at.Y + t.size.Y/2})
		at.X += markerRoom
	}
	drawBlock(c, t.sty, at, t.text)
}

// onShape reports whether the label of a shape stands on it.
func (s *sheet) onShape(t *tag) bool {
	return t.what == ofShape && overlap(t.box(), s.rectangle(s.shapes[t.index]))
}

// onShapes reports whether a box stands on any shape, where white behind it would be a hole.
func (s *sheet) onShapes(b vg.Rectangle) bool {
	return slices.ContainsFunc(s.shapes, func(sh shape) bool { return overlap(b, s.rectangle(sh)) })
}
