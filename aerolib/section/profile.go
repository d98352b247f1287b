package section

import (
	"math"
	"regexp"
	"strconv"
	"strings"

	"foreplane/aerolib/unit"
)

// Profile is a section given by formulas: a thickness laid on a mean line, at right angles to it.
type Profile struct {
	Name        string
	Line        MeanLine
	HalfDepth   func(x unit.Ratio) unit.Ratio // y_t, half the thickness
	NoseRadius  unit.Ratio                    // of the leading edge
	trailingGap unit.Ratio                    // 2 y_t(1)
}

// Coefficients of the thickness of the four- and five-digit sections, y_t = 5t (a₀√x + a₁x + a₂x² + a₃x³ + a₄x⁴) ([TR460]). They leave a trailing edge of 2.1 %
// of the thickness.
var depth = [5]unit.Ratio{0.2969, -0.1260, -0.3516, 0.2843, -0.1015}

// NACA returns a four- or five-digit section, such as "2412", "NACA 0012", "23012" or, with reflexed mean line, "23112".
//
// Four digits give camber in per cent, its station in tenths, and thickness in per cent ([TR460]); five give the ideal lift coefficient times 20/3, the station of
// the camber in twentieths, 0 for simple or 1 for reflexed, and thickness in per cent ([TR537]). The trailing edge is as published, slightly open;
// [Profile.Sharp] closes it. It returns a [*DesignationError] for anything else.
func NACA(designation string) (Profile, error) {
	digits := strings.TrimPrefix(strings.ToUpper(strings.Join(strings.Fields(designation), "")), "NACA")
	fail := func(reason string) (Profile, error) { return Profile{}, &DesignationError{designation, reason} }
	if !allDigits.MatchString(digits) {
		return fail(whyNot(digits))
	}
	t := percent(digits[len(digits)-2:])
	if t < 0.01 || t > 0.4 {
		return fail("the last two digits are the thickness in per cent, 01 to 40")
	}
	line, reason := lineOf(digits[:len(digits)-2])
	if reason != "" {
		return fail(reason)
	}
	line.Name = "NACA " + digits
	return thicken(line.Name, line, t), nil
}

var (
	allDigits = regexp.MustCompile(`^\d{4,5}$`)
	sixSeries = regexp.MustCompile(`^6\d`)
)

func whyNot(digits string) string {
	if sixSeries.MatchString(digits) {
		return "the thickness of the 6-series is published in tables: read its coordinates with section.Read; SixSeriesLine has the mean line"
	}
	return `four or five digits are known, such as "2412" or "23012"`
}

// percent returns a text of digits as a fraction.
func percent(digits string) unit.Ratio {
	n, _ := strconv.Atoi(digits) // the caller has seen that they are digits
	return float64(n) / 100
}

// lineOf returns the mean line of the digits ahead of the thickness, or why there is none.
func lineOf(digits string) (MeanLine, string) {
	if len(digits) == 3 {
		base, known := fiveDigitLines["2"+digits[1:]]
		if !known || digits[0] == '0' {
			return MeanLine{}, "known five-digit mean lines are 210, 220, 230, 240, 250 and the reflexed 221, 231, 241, 251, the first digit from 1 to 9"
		}
		return base.line(percent(digits[:1]) * 100 / 2), ""
	}
	m, p := percent(digits[:1]), percent(digits[1:])*10
	switch {
	case m == 0 && p == 0:
		return flat(), ""
	case m == 0 || p == 0:
		return MeanLine{}, "camber needs a station and a station needs camber: the first two digits are both 0 or both not"
	}
	line, err := FourDigitLine(m, p)
	if err != nil {
		return MeanLine{}, err.Error()
	}
	return line, ""
}

// Thicken returns the section of NACA thickness t on a mean line of one's own; see [NACA] for the trailing edge. It returns a [*unit.RangeError] for t outside
// 0.01 to 0.4 and a [*MeanLineError] for a line without Height or Slope.
func Thicken(line MeanLine, t unit.Ratio) (Profile, error) {
	if err := unit.CheckRange("section.Thicken", "thickness", t, 0.01, 0.4, "1"); err != nil {
		return Profile{}, err
	}
	if line.Height == nil || line.Slope == nil {
		return Profile{}, &MeanLineError{line.Name, "it has no Height or no Slope"}
	}
	return thicken(line.Name, line, t), nil
}

// thicken lays the NACA thickness on a line. Near the leading edge y_t = 5t a₀√x, a parabola of radius (5t a₀)²/2 = 1.1019 t².
func thicken(name string, line MeanLine, t unit.Ratio) Profile {
	nose := 5 * t * depth[0]
	p := Profile{Name: name, Line: line, NoseRadius: nose * nose / 2}
	p.HalfDepth = func(x unit.Ratio) unit.Ratio { return 5 * t * series(depth, x) }
	p.trailingGap = 2 * p.HalfDepth(1)
	return p
}

func series(a [5]unit.Ratio, x unit.Ratio) unit.Ratio {
	return a[0]*math.Sqrt(x) + x*(a[1]+x*(a[2]+x*(a[3]+x*a[4])))
}

// Sharp returns the section with its trailing edge closed: the open edge is taken out as y_gap x⁴, which for the NACA thickness changes the last coefficient
// from −0.1015 to −0.1036 (common practice).
func (p Profile) Sharp() Profile {
	open, half := p.HalfDepth, p.trailingGap/2
	p.HalfDepth = func(x unit.Ratio) unit.Ratio { return open(x) - half*x*x*x*x }
	p.trailingGap = 0
	return p
}

// Surface returns the points of the upper and of the lower surface at station x of the mean line,
//
//	x ∓ y_t sin θ,  z ± y_t cos θ      tan θ = dz/dx
//
// ([TR824]).
func (p Profile) Surface(x unit.Ratio) (upper, lower Point) {
	y, z := p.HalfDepth(x), p.Line.Height(x)
	if y == 0 {
		return Point{x, z}, Point{x, z} // the slope may be infinite here
	}
	sin, cos := math.Sincos(math.Atan(p.Line.Slope(x)))
	return Point{x - y*sin, z + y*cos}, Point{x + y*sin, z - y*cos}
}

// Contour returns the coordinates with 160 panels, enough for three figures of cl; see [Profile.ContourOf].
func (p Profile) Contour() (Contour, error) { return p.ContourOf(160) }

// ContourOf returns the coordinates with the given even number of panels, close together at both edges: x = (1 − cos θ)/2 in equal steps of θ. It returns a
// [*unit.RangeError] for fewer than 20 or more than 2000 panels and a [*ContourError] if the surfaces cross.
func (p Profile) ContourOf(panels int) (Contour, error) {
	if err := unit.CheckRange("section.ContourOf", "number of panels", float64(panels), minPanels, maxPanels, "1"); err != nil {
		return Contour{}, err
	}
	half := (panels + 1) / 2
	points := make([]Point, 2*half+1)
	for i := range half + 1 {
		x := (1 - math.Cos(math.Pi*float64(i)/float64(half))) / 2
		points[half-i], points[half+i] = p.Surface(x)
	}
	return newContour(p.Name, points)
}
