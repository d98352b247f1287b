package trim

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"text/tabwriter"

	"foreplane/aerolib/unit"
)

// String writes the result as a table with its notes and its caution.
func (r Result) String() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s in trim at %s TAS, q %s, %s\n", r.Aircraft, unit.FormatPair(r.Condition.Speed, "TrueAirspeed"),
		unit.Format(r.DynamicPressure, "Pa"), unit.FormatPair(r.Condition.Air.Density, "Density"))
	fmt.Fprintf(&b, "CL %.3f on %s (%s), α %s, δ %s\n", r.CL, unit.Format(r.Reference.Area, "m²"), r.Reference.Name, degrees(r.Alpha), degrees(r.Deflection))
	fmt.Fprintf(&b, "CG %.3f m (%.1f %% of %s chord), neutral point %.3f m, static margin %.1f %%\n",
		r.CG, 100*r.Reference.Fraction(r.CG), r.Reference.Name, r.Neutral.X, 100*r.Neutral.StaticMargin)
	w := tabwriter.NewWriter(&b, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintln(w, "surface\tδ\twash ε\tlocal α\tCL own\tCL ref\tlift N\tshare %\tarm m\tmoment N m\t")
	for _, l := range slices.Concat(r.Loads, r.Others) {
		if l.Area == 0 {
			fmt.Fprintf(w, "%s\t\t\t\t\t%.3f\t%.0f\t%.1f\t%.3f\t%.0f\t\n", l.Name, l.CLShare, l.Lift, 100*l.Share, l.Arm, l.Moment)
			continue
		}
		fmt.Fprintf(w, "%s\t%s\t%s\t%s\t%.3f\t%.3f\t%.0f\t%.1f\t%.3f\t%.0f\t\n", l.Name, degrees(l.Deflection), degrees(l.Downwash), degrees(l.LocalAlpha),
			l.CL, l.CLShare, l.Lift, 100*l.Share, l.Arm, l.Moment)
	}
	weight := r.LoadFactor * r.Weight
	sum := weight + r.ForceResidual
	fmt.Fprintf(w, "sum\t\t\t\t\t%.3f\t%.0f\t%.1f\t\t%.0f\t\n", r.CL, sum, 100*sum/weight, math.Round(r.MomentResidual)+0) // + 0 turns −0 into 0
	w.Flush()                                                                                                              // to a builder: cannot fail
	for _, note := range r.Notes {
		fmt.Fprintln(&b, note)
	}
	b.WriteString(r.Caution)
	return b.String()
}

// String writes the contributions as a table.
func (n Neutral) String() string {
	var b strings.Builder
	w := tabwriter.NewWriter(&b, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintln(w, "part\tCLα 1/rad\tCmα 1/rad\tshift m\t")
	var cm, shift float64
	for _, t := range n.Terms {
		fmt.Fprintf(w, "%s\t%.3f\t%.3f\t%.3f\t\n", t.Name, t.CLAlpha, t.CmAlpha, t.Shift)
		cm += t.CmAlpha
		shift += t.Shift
	}
	fmt.Fprintf(w, "sum\t%.3f\t%.3f\t%.3f\t\n", n.CLAlpha, cm, shift)
	w.Flush() // to a builder: cannot fail
	fmt.Fprintf(&b, "CG %.3f m, neutral point %.3f m (%.1f %% of %s chord), static margin %.1f %%\n%s",
		n.CG, n.X, 100*n.Fraction, n.Reference.Name, 100*n.StaticMargin, n.Caution)
	return b.String()
}

// degrees writes an angle for a column.
func degrees(a unit.Angle) string { return fmt.Sprintf("%.2f°", a/unit.Degree) }
