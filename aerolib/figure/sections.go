package figure

import (
	"fmt"
	"slices"
	"strings"

	"foreplane/aerolib/section"
	"foreplane/aerolib/unit"
)

// stallCaution stands below figures that show how far a section lifts.
const stallCaution = "Stall and what lies beyond it are estimates. For study and preliminary work; the approved flight manual, local regulations and licensed " +
	"engineers decide."

// Section draws a section to scale.
func Section(c section.Contour) *Figure {
	f := New(c.Name, Axis{Label: "Station x/c"}, Axis{Label: "z/c"})
	f.EqualScale = true
	x, z := coordinates(c.Points())
	f.Outline("", x, z)
	if f.err != nil {
		return f
	}
	thickness, thickest := c.Thickness()
	camber, highest := c.Camber()
	percent := func(v unit.Ratio, decimals int) string { return unbroken(fixed(100*v, decimals) + " %") }
	f.Caption = fmt.Sprintf("Thickness %s at %s of the chord, camber %s", percent(thickness, 1), percent(thickest, 0), percent(camber, 1))
	if camber != 0 {
		f.Caption += " at " + percent(highest, 0)
	}
	f.Caption += fmt.Sprintf("; nose radius %s, trailing edge %s thick.", percent(c.NoseRadius(), 2), percent(c.TrailingGap(), 2))
	f.Alt = sentences([]string{"Outline of the section " + c.Name + " to scale", f.Caption})
	return f
}

func coordinates(points []section.Point) (x, z []unit.Ratio) {
	for _, p := range points {
		x, z = append(x, p.X), append(z, p.Z)
	}
	return x, z
}

// Pressures draws the pressure coefficient over the chord, suction upward, with the section below, about to scale. One angle of attack shows upper and lower surface
// as curves; several show one closed curve each.
func Pressures(name string, at ...section.Pressures) *Figure {
	f := New("Pressures on "+name, Axis{Label: "Station x/c", Min: 0, Max: 1}, Axis{Label: "Pressure coefficient c_p", Reversed: true})
	f.Height = 460
	if len(at) == 0 || len(at[0].X) == 0 {
		return f.fail("Pressures", name, "no pressures")
	}
	if len(at) == 1 {
		p := at[0]
		nose := slices.Index(p.X, slices.Min(p.X))
		f.Title += " at α = " + degrees(p.Alpha)
		f.Caption = fmt.Sprintf("c_l = %s, c_m = %s about the quarter chord; flow without friction.", fixed(p.CL, 3), fixed(p.CM, 3))
		f.Curve("upper surface", p.X[:nose+1], p.Cp[:nose+1]).Curve("lower surface", p.X[nose:], p.Cp[nose:])
	} else {
		f.Caption = "Flow without friction."
		for _, p := range at {
			f.Curve(unbroken(fmt.Sprintf("α = %s, c_l = %s", degrees(p.Alpha), fixed(p.CL, 2))), p.X, p.Cp)
		}
	}
	return f.underneath(at)
}

func degrees(alpha unit.Angle) string { return significant(alpha/unit.Degree, 3) + "°" }

// underneath draws the section below pressures, to the scale of the chord where names beside the frame have their usual width.
func (f *Figure) underneath(at []section.Pressures) *Figure {
	low, high := 1.0, 1.0
	for _, p := range at {
		low, high = min(low, slices.Min(p.Cp)), max(high, slices.Max(p.Cp))
	}
	const (
		aspect = 1.0 // width over height of the frame, of a figure of this size
		margin = 1.08
		gray   = 5 // the look without a colour
	)
	top, bottom := slices.Max(at[0].Z), slices.Min(at[0].Z)
	depth := (top - bottom) * aspect // part of the height that the section takes
	chord := (high - low) * margin / (1 - depth*1.2) * aspect
	x, z := at[0].X, make([]float64, len(at[0].Z))
	for i, v := range at[0].Z {
		z[i] = high + (high-low)*0.05 + (top-v)*chord
	}
	f.Outline("", x, z)
	if f.err == nil {
		last := &f.shapes[len(f.shapes)-1]
		last.aside, last.look = true, gray
	}
	return f
}

// LiftCurves draws lift over angle of attack, one curve for each polar. What lies beyond the stall is a curve of its own.
func LiftCurves(polars ...section.Polar) *Figure {
	f := New("Lift curves", Axis{Label: "Angle of attack α", Unit: "°"}, Axis{Label: "Lift coefficient c_l", Zero: true})
	return f.polars("LiftCurves", polars, func(s section.Sample) (x, y float64) { return s.Alpha, s.CL })
}

// DragPolars draws lift over drag, one curve for each polar. What lies beyond the stall is left out.
func DragPolars(polars ...section.Polar) *Figure {
	f := New("Polars", Axis{Label: "Drag coefficient c_d", Zero: true}, Axis{Label: "Lift coefficient c_l", Zero: true})
	return f.polars("DragPolars", polars, func(s section.Sample) (x, y float64) { return s.CD, s.CL })
}

// MomentCurves draws the moment about the quarter chord over lift, one curve for each polar. What lies beyond the stall is left out.
func MomentCurves(polars ...section.Polar) *Figure {
	f := New("Moments about the quarter chord", Axis{Label: "Lift coefficient c_l"}, Axis{Label: "Moment coefficient c_m", Zero: true})
	return f.polars("MomentCurves", polars, func(s section.Sample) (x, y float64) { return s.CL, s.CM })
}

// polars adds a curve for each polar, and for lift over the angle of attack one for what is beyond its stall.
func (f *Figure) polars(method string, polars []section.Polar, of func(section.Sample) (x, y float64)) *Figure {
	f.Caption = stallCaution
	if len(polars) == 0 {
		return f.fail(method, "", "no polars")
	}
	for _, p := range polars {
		label := p.Name + ", " + reynolds(p.Reynolds)
		data, beyond := halves(p)
		x, y := each(data, of)
		f.Curve(label, x, y)
		if method != "LiftCurves" {
			continue
		}
		for _, side := range beyond {
			if x, y := each(side, of); len(side) > 1 {
				f.Curve(label+", beyond stall", x, y)
			}
		}
	}
	return f
}

// halves parts the samples of a polar into its data and what is beyond the stall below and above, each of which begins at the last of the data.
func halves(p section.Polar) (data []section.Sample, beyond [2][]section.Sample) {
	samples := p.Samples()
	isData := func(s section.Sample) bool { return !s.PostStall }
	first := max(slices.IndexFunc(samples, isData), 0)
	last := len(samples) - 1
	for last > first && samples[last].PostStall {
		last--
	}
	return samples[first : last+1], [2][]section.Sample{samples[:first+1], samples[last:]}
}

func each(samples []section.Sample, of func(section.Sample) (x, y float64)) (xs, ys []float64) {
	for _, s := range samples {
		x, y := of(s)
		xs, ys = append(xs, x), append(ys, y)
	}
	return xs, ys
}

// reynolds writes a Reynolds number in millions.
func reynolds(re unit.ReynoldsNumber) string {
	return unbroken("Re " + significant(re/1e6, 3) + "·10^6")
}

// Residuals draws measured minus computed lift, drag and moment over the angle of attack, drag a hundredfold.
func Residuals(measured, computed section.Polar) *Figure {
	f := New(fmt.Sprintf("%s minus %s", measured.Name, computed.Name), Axis{Label: "Angle of attack α", Unit: "°"}, Axis{Label: "Difference", Zero: true})
	residuals, outside := measured.Residuals(computed)
	var alpha, cl, cd, cm []float64
	for _, r := range residuals {
		alpha, cl, cd, cm = append(alpha, r.Alpha), append(cl, r.CL), append(cd, 100*r.CD), append(cm, r.CM)
	}
	f.Points("c_l", alpha, cl).Points("100 c_d", alpha, cd).Points("c_m", alpha, cm).Level("", 0)
	words := []string{reynolds(measured.Reynolds) + " and " + reynolds(computed.Reynolds)}
	if outside > 0 {
		words = append(words, fmt.Sprintf("Measured samples at angles that were not computed: %d", outside))
	}
	f.Caption = strings.Join(append(words, stallCaution), ". ")
	return f
}
