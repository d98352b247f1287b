package figure

import (
	"cmp"
	"math"
	"slices"
	"sort"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"foreplane/aerolib/unit"
)

// place puts every tag in its place: those of the column first, then the others where they hide nothing. It returns the tags for which
// there is no such place.
func (s *sheet) place(tags []*tag) (spilled []*tag) {
	s.stack(tags)
	var taken []vg.Rectangle
	for _, t := range tags {
		if t.margin {
			taken = append(taken, t.box())
		}
	}
	o := s.obstacles()
	for _, t := range tags {
		if t.margin {
			continue
		}
		if !s.settle(t, o, taken) {
			spilled = append(spilled, t)
			continue
		}
		taken = append(taken, t.box())
	}
	return spilled
}

// settle tries the places for a tag in the order of preference.
func (s *sheet) settle(t *tag, o obstacles, taken []vg.Rectangle) bool {
	for _, at := range s.candidates(t) {
		t.at = at
		if box := t.box(); s.onSheet(box) && !o.hit(box, t) && !overlapsAny(wider(box), taken) {
			t.leader = s.needsLeader(t)
			return true
		}
	}
	return false
}

// needsLeader reports whether a label is not plainly beside what it names: a shape whose name stands outside, not straight above or below its
// middle, and a symbol whose name stands away from it.
func (s *sheet) needsLeader(t *tag) bool {
	b := t.box()
	switch t.what {
	case ofShape:
		return !s.onShape(t) && (t.anchor.X < b.Min.X+6 || t.anchor.X > b.Max.X-6)
	case ofPoint:
		end := t.leaderEnd()
		return math.Hypot(float64(end.X-t.anchor.X), float64(end.Y-t.anchor.Y)) > symbolRadius+6 && s.points[t.index].symbol != nothing
	}
	return false
}

// onSheet reports whether a box lies in the frame or above it, where the names of limits stand.
func (s *sheet) onSheet(b vg.Rectangle) bool {
	inFrame := b.Min.X >= s.data.Min.X+1 && b.Max.X <= s.data.Max.X-1 && b.Min.Y >= s.data.Min.Y+1 && b.Max.Y <= s.data.Max.Y-1
	above := s.top == nil && b.Min.Y >= s.data.Max.Y && b.Max.Y <= s.data.Max.Y+s.topHeight()+1 && b.Min.X >= outerPad && b.Max.X <= s.w-outerPad
	return inFrame || above
}

// candidates lists places for a tag, the best first.
func (s *sheet) candidates(t *tag) []vg.Point {
	a, w, h := t.anchor, t.size.X, t.size.Y
	switch t.what {
	case ofLimit:
		places := []vg.Point{}
		if s.top == nil {
			places = append(places, vg.Point{X: clamp(a.X-w/2, outerPad, s.w-outerPad-w), Y: s.data.Max.Y + 2})
		}
		for y := s.data.Max.Y - h - 3; y > s.data.Min.Y; y -= h {
			places = append(places, vg.Point{X: a.X + 5, Y: y}, vg.Point{X: a.X - 5 - w, Y: y})
		}
		return places
	case ofLevel:
		places := []vg.Point{}
		for x := s.data.Max.X - w - 4; x > s.data.Min.X; x -= w / 2 {
			places = append(places, vg.Point{X: x, Y: a.Y + 2}, vg.Point{X: x, Y: a.Y - h - 2})
		}
		return places
	case ofSeries:
		return s.alongSeries(s.series[t.index], w, h)
	case ofShape:
		return s.besideShape(s.shapes[t.index], a, w, h)
	}
	return around(a, w, h, symbolRadius+3, 16, 26, 38)
}

// alongSeries lists places beside a series: at its end, at its highest point, and then back along it.
func (s *sheet) alongSeries(sr series, w, h vg.Length) []vg.Point {
	var points []vg.Point
	for _, line := range s.outline(sr, sr.y) {
		points = append(points, line...)
	}
	if len(points) == 0 {
		return nil
	}
	last, top := len(points)-1, 0
	for i, p := range points {
		if p.Y > points[top].Y {
			top = i
		}
	}
	places := around(points[last], w, h, markerRadius+4, 14)
	for _, i := range []int{top, last * 7 / 8, last * 3 / 4, last * 5 / 8, last / 2, last * 3 / 8, last / 4, last / 8, 0} {
		places = append(places, around(points[i], w, h, markerRadius+4, 14)...)
	}
	return places
}

// besideShape lists places inside a shape, then just below and above its middle, then around it.
func (s *sheet) besideShape(sh shape, a vg.Point, w, h vg.Length) []vg.Point {
	var places []vg.Point
	for _, p := range s.insides(sh, a) {
		places = append(places, vg.Point{X: p.X - w/2, Y: p.Y - h/2})
	}
	r := s.rectangle(sh)
	for _, x := range []vg.Length{0, -w / 4, w / 4, -w / 2, w / 2} {
		places = append(places, vg.Point{X: a.X - w/2 + x, Y: r.Min.Y - h - 2}, vg.Point{X: a.X - w/2 + x, Y: r.Max.Y + 2})
	}
	return append(places, around(a, w, h, 10, 20, 30, 45, 60)...)
}

// insides returns points inside a shape: its middle, and points halfway between corners, the nearest to the middle first.
func (s *sheet) insides(sh shape, middle vg.Point) []vg.Point {
	corners := s.corners(sh)
	points := []vg.Point{middle}
	for i, a := range corners[1:] {
		for _, b := range corners[:i] {
			points = append(points, a.Add(b).Scale(0.5))
		}
	}
	points = slices.DeleteFunc(points, func(p vg.Point) bool { return !encloses(corners, p) })
	away := func(p vg.Point) float64 { return math.Hypot(float64(p.X-middle.X), float64(p.Y-middle.Y)) }
	slices.SortStableFunc(points, func(a, b vg.Point) int { return cmp.Compare(math.Round(away(a)), math.Round(away(b))) })
	return points
}

// encloses reports whether a point lies inside a closed line, by counting how often a ray to the right meets it.
func encloses(corners []vg.Point, p vg.Point) bool {
	in := false
	for i, b := range corners[1:] {
		a := corners[i]
		if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(b.X-a.X)*(p.Y-a.Y)/(b.Y-a.Y) {
			in = !in
		}
	}
	return in
}

// around lists places for a box of the given size at growing distances from a point.
func around(a vg.Point, w, h vg.Length, distances ...vg.Length) []vg.Point {
	var places []vg.Point
	for _, d := range distances {
		e := d * 0.7
		places = append(places,
			vg.Point{X: a.X + d, Y: a.Y - h/2}, vg.Point{X: a.X + e, Y: a.Y + e}, vg.Point{X: a.X + e, Y: a.Y - e - h},
			vg.Point{X: a.X - d - w, Y: a.Y - h/2}, vg.Point{X: a.X - e - w, Y: a.Y + e}, vg.Point{X: a.X - e - w, Y: a.Y - e - h},
			vg.Point{X: a.X - w/2, Y: a.Y + d}, vg.Point{X: a.X - w/2, Y: a.Y - d - h})
	}
	return places
}

// stack puts the tags of the column at the heights of what they name, moved apart as little as possible.
func (s *sheet) stack(tags []*tag) {
	var column []*tag
	for _, t := range tags {
		if t.margin {
			column = append(column, t)
		}
	}
	sort.SliceStable(column, func(i, j int) bool { return column[i].anchor.Y < column[j].anchor.Y })
	wanted, heights := make([]float64, len(column)), make([]float64, len(column))
	for i, t := range column {
		wanted[i], heights[i] = float64(t.anchor.Y-t.size.Y/2), float64(t.size.Y+tagGap)
	}
	x := s.data.Max.X + s.rightWidth() + columnGap
	for i, y := range spread(wanted, heights, float64(s.data.Min.Y)-4, float64(s.data.Max.Y)+8) {
		t := column[i]
		t.at = vg.Point{X: x, Y: vg.Length(y)}
		off := math.Abs(float64(t.at.Y + t.size.Y/2 - t.anchor.Y))
		t.leader = off > 4 || !t.ends
	}
}

// leadersCross reports whether leader lines cross, so that they would confuse rather than lead.
func leadersCross(tags []*tag) bool {
	for i, t := range tags {
		for _, u := range tags[:i] {
			if t.leader && u.leader && cross(t.anchor, t.leaderEnd(), u.anchor, u.leaderEnd()) {
				return true
			}
		}
	}
	return false
}

// leaderEnd is where a leader line meets its label: at the left in the column, or else at the point of the box nearest to the anchor.
func (t *tag) leaderEnd() vg.Point {
	b := t.box()
	if t.margin {
		return vg.Point{X: b.Min.X - 2, Y: (b.Min.Y + b.Max.Y) / 2}
	}
	return vg.Point{X: clamp(t.anchor.X, b.Min.X, b.Max.X), Y: clamp(t.anchor.Y, b.Min.Y, b.Max.Y)}
}

// cross reports whether the lines ab and cd cross.
func cross(a, b, c, d vg.Point) bool {
	side := func(p, q, r vg.Point) bool { return (q.X-p.X)*(r.Y-p.Y) > (q.Y-p.Y)*(r.X-p.X) }
	return side(a, b, c) != side(a, b, d) && side(c, d, a) != side(c, d, b)
}

// spread moves boxes of the given heights, whose lower edges are wanted at rising positions, apart so that they do not overlap and stay
// between low and high. It minimises
//
//	Σ (yᵢ − wantedᵢ)²   subject to   yᵢ₊₁ ≥ yᵢ + heightᵢ
//
// by pooling neighbours that get into each other's way. If there is not enough room, they grow beyond high.
func spread(wanted, heights []float64, low, high float64) []float64 {
	type pool struct {
		sum float64
		n   int
	}
	var pools []pool
	offset := make([]float64, len(wanted))
	total := 0.0
	for i := range wanted {
		offset[i] = total
		total += heights[i]
		pools = append(pools, pool{wanted[i] - offset[i], 1})
		for k := len(pools) - 1; k > 0 && pools[k].sum/float64(pools[k].n) < pools[k-1].sum/float64(pools[k-1].n); k-- {
			pools[k-1] = pool{pools[k-1].sum + pools[k].sum, pools[k-1].n + pools[k].n}
			pools = pools[:k]
		}
	}
	out := make([]float64, 0, len(wanted))
	for _, p := range pools {
		y := math.Max(math.Min(p.sum/float64(p.n), high-total), low)
		for range p.n {
			out = append(out, y+offset[len(out)])
		}
	}
	return out
}

// obstacles are what labels must not hide.
type obstacles struct {
	segments []segment
	boxes    []vg.Rectangle
}

var clearance = vg.Point{X: 8, Y: 8}

type segment struct {
	a, b  vg.Point
	limit int // number of the limit it draws, or -1
}

// hit reports whether a box touches an obstacle other than the one that the tag names.
func (o obstacles) hit(box vg.Rectangle, t *tag) bool {
	for _, sg := range o.segments {
		if t.what == ofLimit && sg.limit == t.index && box.Min.Y >= sg.b.Y {
			continue
		}
		if crosses(sg.a, sg.b, box) {
			return true
		}
	}
	if t.what == ofShape { // well clear of points, whose names stand beside them
		box.Min, box.Max = box.Min.Sub(clearance), box.Max.Add(clearance)
	}
	return overlapsAny(box, o.boxes)
}

// line adds a line that belongs to the limit of this number, or to none if it is negative.
func (o *obstacles) line(points []vg.Point, limit int) {
	for i := 1; i < len(points); i++ {
		o.segments = append(o.segments, segment{points[i-1], points[i], limit})
	}
}

func (o *obstacles) marker(p vg.Point, radius vg.Length) {
	r := vg.Point{X: radius, Y: radius}
	o.boxes = append(o.boxes, vg.Rectangle{Min: p.Sub(r), Max: p.Add(r)})
}

func (s *sheet) obstacles() obstacles {
	var o obstacles
	for i := range s.series {
		s.addSeries(&o, i)
	}
	for i, l := range s.limits {
		o.line(s.limitLine(l), i)
	}
	for _, p := range s.points {
		if p.symbol != nothing {
			o.marker(s.pixel(p.x, p.y), symbolRadius)
		}
	}
	for _, sh := range s.shapes {
		o.line(s.corners(sh), -1)
	}
	return o
}

// addSeries adds the lines and markers of a series.
func (s *sheet) addSeries(o *obstacles, i int) {
	sr := s.series[i]
	lines, markers := s.outline(sr, sr.y), s.singles(sr)
	switch {
	case sr.kind == band:
		lines = append(lines, s.lines(sr, sr.low)...)
	case sr.kind == curve && s.manySeries():
		markers = append(markers, s.curveMarkers(i)...)
	}
	for _, line := range lines {
		o.line(line, -1)
	}
	for _, p := range markers {
		o.marker(p, markerRadius+1)
	}
}

// corners returns the closed outline of a shape.
func (s *sheet) corners(sh shape) []vg.Point {
	var line []vg.Point
	for i := range sh.x {
		line = append(line, s.pixel(sh.x[i], sh.y[i]))
	}
	return append(line, line[0])
}

func (s *sheet) limitLine(l limit) []vg.Point {
	c := draw.Canvas{Rectangle: s.data}
	if !s.shows(l) {
		return nil
	}
	if l.level {
		y := s.pixel(s.plot.X.Min, l.at).Y
		return []vg.Point{{X: c.Min.X, Y: y}, {X: c.Max.X, Y: y}}
	}
	x := s.pixel(l.at, s.plot.Y.Min).X
	return []vg.Point{{X: x, Y: c.Min.Y}, {X: x, Y: c.Max.Y}}
}

// shows reports whether a limit lies inside the axes.
func (s *sheet) shows(l limit) bool {
	return l.level && within(l.at, s.Y) || !l.level && within(l.at, s.X)
}

func inside(r vg.Rectangle, p vg.Point) bool {
	return p.X >= r.Min.X-.01 && p.X <= r.Max.X+.01 && p.Y >= r.Min.Y-.01 && p.Y <= r.Max.Y+.01
}

func overlap(a, b vg.Rectangle) bool {
	return a.Min.X < b.Max.X && b.Min.X < a.Max.X && a.Min.Y < b.Max.Y && b.Min.Y < a.Max.Y
}

// wider adds the gap that labels in a line keep from each other.
func wider(b vg.Rectangle) vg.Rectangle {
	b.Min.X, b.Max.X = b.Min.X-2*tagGap, b.Max.X+2*tagGap
	return b
}

func overlapsAny(a vg.Rectangle, others []vg.Rectangle) bool {
	for _, b := range others {
		if overlap(a, b) {
			return true
		}
	}
	return false
}

// crosses reports whether the line from a to b touches the box, by clipping the line against each pair of sides.
func crosses(a, b vg.Point, box vg.Rectangle) bool {
	var from, to unit.Ratio = 0, 1 // of the way from a to b
	clip := func(start, delta, low, high vg.Length) {
		if delta == 0 {
			if start <= low || start >= high {
				to = -1
			}
			return
		}
		t, u := float64((low-start)/delta), float64((high-start)/delta)
		from, to = math.Max(from, math.Min(t, u)), math.Min(to, math.Max(t, u))
	}
	clip(a.X, b.X-a.X, box.Min.X, box.Max.X)
	clip(a.Y, b.Y-a.Y, box.Min.Y, box.Max.Y)
	return from < to || from == to && a == b && from <= 1 && to >= 0
}
