package section

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"foreplane/aerolib/unit"
)

// Read reads a contour from text: a line with the name, then two columns, x and z, parted by blanks, tabs or a comma, in either of the orders in use:
//
//   - one list from the trailing edge around the section back to the trailing edge;
//   - two lists, each from the leading to the trailing edge, often behind a line with their two lengths.
//
// The name may be missing. Empty lines and lines that begin with # are skipped. Coordinates whose chord, the extent in x, is not within 1 % of 1 (in per cent, or
// in millimetres) are divided by it and shifted to begin at x = 0; scale returns the divisor, otherwise 1.
//
// It returns a [*FileError] for a line that cannot be read and a [*ContourError] for coordinates that are no aerofoil.
func Read(r io.Reader) (c Contour, scale unit.Ratio, err error) {
	name, points, err := columns(r)
	if err != nil {
		return Contour{}, 1, err
	}
	points = oneList(points)
	scale = normalise(points)
	c, err = NewContour(name, points)
	return c, scale, err
}

// columns reads the name and the pairs of numbers.
func columns(r io.Reader) (name string, points []Point, err error) {
	lines := bufio.NewScanner(r)
	for n := 1; lines.Scan(); n++ {
		text := strings.TrimSpace(strings.TrimPrefix(lines.Text(), "\ufeff"))
		if text == "" || strings.HasPrefix(text, "#") {
			continue
		}
		p, ok := pair(text)
		switch {
		case ok:
			points = append(points, p)
		case name == "" && len(points) == 0:
			name = text
		default:
			return "", nil, &FileError{n, fmt.Sprintf("%q is not a pair of finite numbers", text)}
		}
	}
	return name, points, lines.Err()
}

func pair(text string) (Point, bool) {
	fields := strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune(" \t,;", r) })
	if len(fields) != 2 {
		return Point{}, false
	}
	x, errX := strconv.ParseFloat(fields[0], 64)
	z, errZ := strconv.ParseFloat(fields[1], 64)
	return Point{x, z}, errX == nil && errZ == nil && !math.IsInf(x, 0) && !math.IsInf(z, 0)
}

// oneList makes two lists from the leading edge into one around the section. Such a file says how long its lists are, or shows it by beginning ahead of its middle:
// there x falls once, from the trailing edge of the first list to the leading edge of the second.
func oneList(points []Point) []Point {
	if len(points) < 4 {
		return points
	}
	upper, lower := int(points[0].X), int(points[0].Z)
	if points[0].X >= 2 && upper+lower == len(points)-1 && 0 < lower {
		points = points[1:]
	} else if upper = secondList(points); upper == 0 {
		return points
	}
	front := slices.Clone(points[:upper])
	slices.Reverse(front)
	back := points[upper:]
	if front[len(front)-1] == back[0] {
		back = back[1:] // both lists have the leading edge
	}
	return append(front, back...)
}

// secondList returns where the second of two lists begins, or 0 if there is one list only.
func secondList(points []Point) int {
	chord := points[0].X
	for _, p := range points {
		chord = max(chord, p.X)
	}
	if points[0].X > chord/2 {
		return 0
	}
	for i := 1; i < len(points); i++ {
		if points[i].X < points[i-1].X-chord/2 {
			return i
		}
	}
	return 0
}

// normalise scales the points to a chord of 1 unless they have one, and returns the divisor.
func normalise(points []Point) unit.Ratio {
	if len(points) == 0 {
		return 1
	}
	low, high := points[0].X, points[0].X
	for _, p := range points {
		low, high = min(low, p.X), max(high, p.X)
	}
	chord := high - low
	if chord == 0 || math.Abs(chord-1) <= 0.01 {
		return 1
	}
	for i, p := range points {
		points[i] = Point{(p.X - low) / chord, p.Z / chord}
	}
	return chord
}

// Write writes the name and the coordinates as one list that [Read] reads back without loss.
func (c Contour) Write(w io.Writer) error {
	var b strings.Builder
	fmt.Fprintln(&b, c.Name)
	for _, p := range c.points {
		fmt.Fprintln(&b, strconv.FormatFloat(p.X, 'g', -1, 64), strconv.FormatFloat(p.Z, 'g', -1, 64))
	}
	_, err := io.WriteString(w, b.String())
	return err
}
