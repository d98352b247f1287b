package figure

import (
	"image/color"
	"math"
	"strings"

	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
)

// A tag is a label inside or beside the plot, looking for its place.
type tag struct {
	label  string
	text   string // the label, broken into lines
	sty    text.Style
	look   *look    // of the series it names, whose marker it carries if there are several
	what   tagKind  // decides where it may stand
	index  int      // of the series, limit, point or shape
	margin bool     // stands in the column at the right
	anchor vg.Point // what it names
	ends   bool     // the anchor is on the right edge of the frame
	at     vg.Point // lower left corner
	size   vg.Point // width and height
	leader bool     // a thin line leads from the anchor to it
}

type tagKind int

const (
	ofSeries tagKind = iota
	ofLimit
	ofLevel
	ofPoint
	ofShape
)

const (
	markerRoom  = 14   // for a marker before a label
	columnGap   = 8    // between frame and the column of labels
	columnLimit = 158  // widest column
	columnShare = 0.36 // of the width of the figure, at most
	insideLimit = 240  // widest label inside the frame
	tagGap      = 2    // between labels
	manyNames   = 12   // more series than this are named in the legend at once
	endZone     = 40   // curves that end this close to the right edge are named in the column
)

func (t *tag) box() vg.Rectangle {
	if t.margin {
		return vg.Rectangle{Min: t.at, Max: t.at.Add(t.inColumn())}
	}
	return vg.Rectangle{Min: t.at, Max: t.at.Add(t.size)}
}

// makeTags makes a tag of every label, one for series and shapes of the same label.
func (s *sheet) makeTags() []*tag {
	tags := s.seriesTags()
	for i, l := range s.limits {
		if l.label != "" && s.shows(l) {
			tags = append(tags, s.limitTag(i, l))
		}
	}
	for i, p := range s.points {
		if p.label != "" && within(p.x, s.X) && within(p.y, s.Y) {
			tags = append(tags, newTag(ofPoint, i, p.label, ink))
		}
	}
	seen := map[string]bool{"": true}
	for i, sh := range s.shapes {
		switch {
		case sh.isBar:
			tags = append(tags, newTag(ofShape, i, s.barLabel(sh), ink))
		case !seen[sh.label]:
			seen[sh.label] = true
			tags = append(tags, newTag(ofShape, i, sh.label, ink))
		}
	}
	return tags
}

func (s *sheet) seriesTags() []*tag {
	var tags []*tag
	seen := map[string]bool{"": true}
	many, zone := s.manySeries(), s.endZone()
	for i, sr := range s.series {
		if seen[sr.label] || len(s.outline(sr, sr.y)) == 0 {
			continue
		}
		seen[sr.label] = true
		l := lookOf(sr.look)
		t := newTag(ofSeries, i, sr.label, textColor(l.color))
		if many {
			t.look = &l
		}
		if sr.kind != dots && s.endOf(sr).X > s.data.Max.X-zone {
			s.toColumn(t)
		}
		tags = append(tags, t)
	}
	return tags
}

func (s *sheet) limitTag(i int, l limit) *tag {
	if !l.level {
		return newTag(ofLimit, i, l.label, ink)
	}
	t := newTag(ofLevel, i, l.label, ink)
	if s.right == nil {
		s.toColumn(t)
	}
	return t
}

// endZone returns how close to the right edge a curve must end to be named beside the plot: at the edge, unless all end near it.
// With a second axis at the right, names stand inside the frame.
func (s *sheet) endZone() vg.Length {
	if s.right != nil {
		return vg.Length(math.Inf(-1))
	}
	for _, sr := range s.series {
		if sr.kind != dots && s.endOf(sr).X < s.data.Max.X-endZone {
			return 3
		}
	}
	return endZone
}

func newTag(what tagKind, index int, label string, c color.NRGBA) *tag {
	t := &tag{label: label, sty: style(tickSize, c), what: what, index: index}
	t.fit(insideLimit)
	return t
}

// inColumn returns the size of a tag beside the plot, with its marker.
func (t *tag) inColumn() vg.Point {
	if t.look == nil {
		return t.size
	}
	return vg.Point{X: t.size.X + markerRoom, Y: t.size.Y}
}

// columnWidth is the room that the labels beside the plot need.
func columnWidth(tags []*tag) vg.Length {
	w := vg.Length(0)
	for _, t := range tags {
		if t.margin {
			w = max(w, t.inColumn().X+columnGap)
		}
	}
	return w
}

func columnHeight(tags []*tag) vg.Length {
	h := vg.Length(0)
	for _, t := range tags {
		if t.margin {
			h += t.size.Y + tagGap
		}
	}
	return h
}

// toColumn moves a tag beside the plot.
func (s *sheet) toColumn(t *tag) {
	t.margin = true
	t.fit(min(columnLimit, columnShare*s.w) - columnGap - markerRoom)
}

// fit breaks the label into lines not wider than width, and of about the same length.
func (t *tag) fit(width vg.Length) {
	t.text = wrap(t.label, t.sty, width)
	for lines := strings.Count(t.text, "\n"); lines > 0; {
		width *= 0.95
		narrower := wrap(t.label, t.sty, width)
		if strings.Count(narrower, "\n") > lines || t.sty.Width(narrower) > width {
			break
		}
		t.text = narrower
	}
	t.size = vg.Point{X: t.sty.Width(t.text), Y: t.sty.Height(t.text)}
}

// toLegend moves the names of series to the legend; it reports whether there were any to move.
func (s *sheet) toLegend() bool {
	var rest []*tag
	for _, t := range s.tags {
		if t.what != ofSeries {
			rest = append(rest, t)
			continue
		}
		t.margin = false
		t.fit(s.w - 2*outerPad - legendSample - gap)
		t.size.X += legendSample + gap
		s.legend = append(s.legend, t)
	}
	moved := len(rest) < len(s.tags)
	s.tags = rest
	return moved
}

const (
	legendSample = 34 // length of the sample of a line
	legendGap    = 16 // between entries
)

// legendHeight flows the entries of the legend into rows, below the axes, and returns the height they need.
func (s *sheet) legendHeight() vg.Length {
	if len(s.legend) == 0 {
		return 0
	}
	x, row := vg.Length(outerPad), vg.Length(0)
	y := vg.Length(0)
	for _, t := range s.legend {
		if x > outerPad && x+t.size.X > s.w-outerPad {
			x, y, row = outerPad, y+row, 0
		}
		t.at = vg.Point{X: x, Y: -y - t.size.Y} // from the top of the legend
		x += t.size.X + legendGap
		row = max(row, t.size.Y+tagGap)
	}
	return y + row + gap
}

// anchorTags finds what each tag points at.
func (s *sheet) anchorTags(tags []*tag) {
	for _, t := range tags {
		t.leader, t.ends = false, false
		switch t.what {
		case ofSeries:
			t.anchor = s.endOf(s.series[t.index])
			t.ends = t.anchor.X > s.data.Max.X-2
		case ofLevel:
			t.anchor, t.ends = s.pixel(s.plot.X.Min, s.limits[t.index].at), true
			t.anchor.X = s.data.Max.X
		case ofLimit:
			t.anchor = s.pixel(s.limits[t.index].at, s.plot.Y.Min)
			t.anchor.Y = s.data.Max.Y
		case ofPoint:
			t.anchor = s.pixel(s.points[t.index].x, s.points[t.index].y)
		case ofShape:
			t.anchor = s.middleOf(s.shapes[t.index])
		}
	}
}

// endOf returns the last visible point of a series.
func (s *sheet) endOf(sr series) vg.Point {
	y := sr.y
	if sr.kind == band {
		y = make([]float64, len(sr.y))
		for i := range y {
			y[i] = (sr.y[i] + sr.low[i]) / 2
		}
	}
	end := vg.Point{X: s.data.Min.X, Y: s.data.Min.Y}
	for _, line := range s.outline(sr, y) {
		for _, p := range line {
			if p.X >= end.X {
				end = p
			}
		}
	}
	return end
}

// outline returns the visible lines of a series and its single points, as lines of one point.
func (s *sheet) outline(sr series, y []float64) [][]vg.Point {
	var lines [][]vg.Point
	if sr.kind != dots {
		lines = s.lines(sr, y)
	}
	for i := range sr.x {
		if sr.single(i) {
			if p := s.pixel(sr.x[i], y[i]); inside(s.data, p) {
				lines = append(lines, []vg.Point{p})
			}
		}
	}
	return lines
}

// singles returns the visible points of a series that stand alone and get a marker each.
func (s *sheet) singles(sr series) []vg.Point {
	var points []vg.Point
	for _, line := range s.outline(sr, sr.y) {
		if len(line) == 1 {
			points = append(points, line[0])
		}
	}
	return points
}

// single reports whether the i-th point stands alone: a point between gaps, or any that no line joins.
func (s series) single(i int) bool {
	if s.gapAt(i) || s.kind == band {
		return false
	}
	alone := (i == 0 || s.gapAt(i-1)) && (i == len(s.x)-1 || s.gapAt(i+1))
	return s.kind == dots || alone
}

func (s *sheet) middleOf(sh shape) vg.Point {
	r := s.rectangle(sh)
	return r.Min.Add(r.Max).Scale(0.5)
}

// rectangle returns the rectangle around a shape.
func (s *sheet) rectangle(sh shape) vg.Rectangle {
	low := s.pixel(sh.x[0], sh.y[0])
	high := low
	for i := range sh.x {
		p := s.pixel(sh.x[i], sh.y[i])
		low = vg.Point{X: min(low.X, p.X), Y: min(low.Y, p.Y)}
		high = vg.Point{X: max(high.X, p.X), Y: max(high.Y, p.Y)}
	}
	return vg.Rectangle{Min: low, Max: high}
}

func clamp(v, low, high vg.Length) vg.Length { return max(low, min(v, high)) }
