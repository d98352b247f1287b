package figure

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/trim"
	"foreplane/aerolib/unit"
)

// caution stands below every figure that shows how an aeroplane may be loaded or flown.
const caution = "Not for CG limits. For study and preliminary work; the approved flight manual, the certified weighing record, local regulations and " +
	"licensed engineers decide."

// TrimCurves draws the deflection that trims and the angle of attack against true airspeed, for one or several aeroplanes. Results of one aeroplane
// belong to one curve, in the order of speed. Where an aeroplane is unstable the caption says so.
func TrimCurves(results ...trim.Result) *Figure {
	names := aeroplanes(results)
	f := New("Trim of "+strings.Join(names, " and "), Axis{Label: "True airspeed V", Unit: "kt"}, Axis{Label: "Angle", Unit: "°", Zero: true})
	f.Caption = caution
	f.checkTrims("TrimCurves", results)
	if len(names) > 1 {
		f.Y.Label = "Deflection δ, angle of attack α"
	}
	for _, name := range names {
		f.trimCurve(name, len(names) > 1, results)
	}
	return f
}

// trimCurve adds the two curves of one aeroplane.
func (f *Figure) trimCurve(name string, named bool, results []trim.Result) {
	own := slices.DeleteFunc(slices.Clone(results), func(r trim.Result) bool { return r.Aircraft != name })
	slices.SortStableFunc(own, func(a, b trim.Result) int { return cmp.Compare(a.Condition.Speed, b.Condition.Speed) })
	var speed, deflection, alpha []float64
	unstable := false
	for _, r := range own {
		speed, deflection, alpha = append(speed, r.Condition.Speed), append(deflection, r.Deflection), append(alpha, r.Alpha)
		unstable = unstable || !r.Stable
	}
	delta, angle := "deflection δ", "angle of attack α"
	if named {
		delta, angle = name+" δ", name+" α"
	}
	f.Curve(delta, speed, deflection).Curve(angle, speed, alpha)
	if unstable {
		f.Caption = name + " is unstable: its CG is behind the neutral point. " + f.Caption
	}
}

// Moments draws the pitching moment of an aeroplane about its CG against the lift coefficient, one line for each deflection over the given angles of
// attack, and marks where they trim. The slope of the lines is the static margin, with its sign turned.
func Moments(r trim.Result, alphas, deflections []unit.Angle) *Figure {
	f := New("Pitching moment of "+r.Aircraft, Axis{Label: "Lift coefficient C_L"}, Axis{Label: "Moment about the CG C_m", Zero: true})
	f.Caption = fmt.Sprintf("CG %s, neutral point %s, static margin %s. %s", station(r.CG), station(r.Neutral.X),
		unbroken(fixed(100*r.Neutral.StaticMargin, 1)+" % of MAC"), caution)
	if f.checkTrims("Moments", []trim.Result{r}); len(alphas) < 2 || len(deflections) == 0 {
		f.fail("Moments", r.Aircraft, "%d angles of attack and %d deflections; a line takes two of the one, a figure one of the other",
			len(alphas), len(deflections))
	}
	var trimmed []unit.Coefficient
	for _, delta := range deflections {
		var lift, moment []unit.Coefficient
		for _, alpha := range alphas {
			CL, Cm := r.Model.At(alpha, delta)
			lift, moment = append(lift, CL), append(moment, Cm)
		}
		f.Curve("δ = "+significant(delta/unit.Degree, 3)+"°", lift, moment)
		trimmed = append(trimmed, crossings(lift, moment)...)
	}
	if len(trimmed) > 0 {
		f.Points("trimmed", trimmed, make([]float64, len(trimmed)))
	}
	return f
}

// crossings returns where the line through the points (x, y) meets y = 0.
func crossings(x, y []unit.Coefficient) []unit.Coefficient {
	var at []unit.Coefficient
	for i := 1; i < len(x); i++ {
		if (y[i-1] > 0) != (y[i] > 0) {
			at = append(at, x[i-1]-y[i-1]*(x[i]-x[i-1])/(y[i]-y[i-1]))
		}
	}
	return at
}

// LiftShares draws what part of the weight each surface carries, one bar for each result. A download shows to the left of zero.
func LiftShares(results ...trim.Result) *Figure {
	names := make([]string, len(results))
	same := len(aeroplanes(results)) < len(results) // one aeroplane with several CGs
	for i, r := range results {
		names[i] = r.Aircraft
		if same {
			names[i] += ", CG " + station(r.CG)
		}
	}
	f := Bars("Who carries what", Axis{Label: "Share of the weight; negative is a download", Unit: "%"}, names...)
	f.Caption = caution
	f.checkTrims("LiftShares", results)
	for _, surface := range surfaces(results) {
		shares := make([]float64, len(results))
		for i, r := range results {
			for _, l := range r.Loads {
				if l.Name == surface {
					shares[i] = l.Share
				}
			}
		}
		f.Part(surface, shares)
	}
	return f
}

// checkTrims refuses results that come from a failed solution.
func (f *Figure) checkTrims(function string, results []trim.Result) {
	if len(results) == 0 {
		f.fail(function, f.Title, "no results of trim")
	}
	for i, r := range results {
		if len(r.Loads) == 0 {
			f.fail(function, r.Aircraft, "result %d is empty: the aeroplane was not trimmed", i)
		}
	}
}

// aeroplanes returns the names of the aeroplanes, each once, in the order of the results.
func aeroplanes(results []trim.Result) []string {
	var names []string
	for _, r := range results {
		if !slices.Contains(names, r.Aircraft) {
			names = append(names, r.Aircraft)
		}
	}
	return names
}

// surfaces returns the names of the surfaces, each once; the wing comes first, so that its bars begin at zero.
func surfaces(results []trim.Result) []string {
	var names []string
	for _, wing := range []bool{true, false} {
		for _, r := range results {
			for _, l := range r.Loads {
				if (l.Role == aircraft.Wing) == wing && !slices.Contains(names, l.Name) {
					names = append(names, l.Name)
				}
			}
		}
	}
	return names
}

// station writes a distance from the datum.
func station(x unit.Length) string { return unbroken(fixed(x, 2) + " m") }
