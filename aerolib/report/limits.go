package report

import (
	"fmt"
	"strings"

	"foreplane/aerolib/trim"
	"foreplane/aerolib/unit"
)

// Limits shows every constraint on the CG, forward ones first, with the slack that it has behind the limit of its side.
func Limits(l trim.Limits) Table {
	t := Table{
		Caption: fmt.Sprintf("CG limits of %s at %.0f kg: %.3f m to %.3f m, a range of %.3f m or %.1f %% of the chord of the %s. %s", l.Aircraft, l.Mass, l.Forward, l.Aft, l.Range(),
			100*l.RangeFraction(), l.Reference.Name, strings.Join(append(append([]string{}, l.Notes...), l.Caution), " ")),
		Header: []string{"limit", "constraint", "configuration", "x", "of the chord", "active", "slack"},
		Units:  []string{"", "", "", "m", "%", "", "m"},
	}
	for _, c := range l.Constraints {
		row := []string{string(c.Side), c.Name, c.Configuration, "none", "", "", ""}
		switch {
		case c.Unmet:
			row[3], row[5] = "not met", yes(c.Active)
		case c.Bound:
			row[3], row[4], row[5], row[6] = fixed(c.X, 3), fixed(100*c.Fraction, 1), yes(c.Active), fixed(c.Slack, 3)
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// Stalls shows the first stall at each CG, with how sure its order is.
func Stalls(over ...trim.Sequence) Table {
	t := Table{
		Header: []string{"CG", "of the chord", "first", "η", "Re", "CL", "V_S", "δ", "next", "lead", "band", "verdict"},
		Units:  []string{"m", "%", "", "", "10⁶", "", "kt", "°", "", "%", "%", ""},
	}
	for i, s := range over {
		if i == 0 {
			t.Caption = fmt.Sprintf("First stall of %s, %s; wakes %s, %s section limits. %s", s.Aircraft, power(s.Condition), or(string(s.Settings.Wake), string(trim.AlongStream)),
				or(string(s.Settings.Limits), string(trim.Stated)), strings.Join(append(append([]string{}, s.Notes...), s.Caution), " "))
		}
		next, lead := "", ""
		if len(s.Others) > 0 {
			next, lead = s.Others[0].Surface, fixed(100*s.Margin(), 0)
		}
		t.Rows = append(t.Rows, []string{fixed(s.CG, 3), fixed(100*s.Reference.Fraction(s.CG), 1), s.First.Surface, fixed(s.First.Eta, 2), fixed(s.First.Reynolds/1e6, 2), fixed(s.CL, 3),
			fixed(s.Speed/unit.Knot, 1), degree(s.Deflection, 1), next, lead, fixed(100*s.Low, 0) + " to " + fixed(100*s.High, 0), string(s.Verdict)})
	}
	return t
}

// power says what thrust a condition has.
func power(c trim.Condition) string {
	if c.Thrust == trim.Given {
		return unit.Format(c.Force, "N") + " of thrust"
	}
	return "closed throttle"
}

func or(text, otherwise string) string {
	if text == "" {
		return otherwise
	}
	return text
}

// StallVariants shows what each variant of the method says of the first stall.
func StallVariants(s trim.Sequence) Table {
	t := Table{
		Caption: fmt.Sprintf("%s, CG at %.3f m: %s. The lead is that of the %s; below zero another surface is first. %s", s.Aircraft, s.CG, s.Verdict, s.First.Surface, s.Caution),
		Header:  []string{"variant", "first", "η", "CL", "V_S", "lead"},
		Units:   []string{"", "", "", "", "kt", "%"},
	}
	add := func(name string, first trim.StallStrip, CL unit.Coefficient, V unit.TrueAirspeed, lead unit.Ratio) {
		t.Rows = append(t.Rows, []string{name, first.Surface, fixed(first.Eta, 2), fixed(CL, 3), fixed(V/unit.Knot, 1), fixed(100*lead, 1)})
	}
	add("as set", s.First, s.CL, s.Speed, s.Margin())
	for _, v := range s.Variants {
		add(v.Name, v.First, v.CL, v.Speed, v.Lead)
	}
	return t
}

// Dirt shows what dirt on a surface does to the stall and to trim.
func Dirt(d trim.DirtEffect) Table {
	t := Table{
		Caption: fmt.Sprintf("%s with dirt on the %s: %.0f %% of its greatest lift and %.0f %% of its lift slope are left; trim at %s. %s", d.Clean.Aircraft, d.Dirt.Surface, 100*d.Dirt.MaxLift,
			100*slopeLeft(d.Dirt), unit.FormatPair(d.Speed, "TrueAirspeed"), d.Clean.Caution),
		Header: []string{"quantity", "unit", "clean", "dirty", "change"},
		Units:  []string{"", "", "", "", ""},
	}
	add := func(name, symbol string, clean, dirty float64, decimals int) {
		t.Rows = append(t.Rows, []string{name, symbol, fixed(clean, decimals), fixed(dirty, decimals), fixed(dirty-clean, decimals)})
	}
	add("stall speed", "kt", d.Clean.Speed/unit.Knot, d.Dirty.Speed/unit.Knot, 1)
	add("greatest lift coefficient in trim", "", d.Clean.CL, d.Dirty.CL, 3)
	add("lead of the first surface", "%", 100*d.Clean.Margin(), 100*d.Dirty.Margin(), 0)
	t.Rows = append(t.Rows, []string{"order", "", string(d.Clean.Verdict), string(d.Dirty.Verdict), ""})
	add("angle of attack", "°", d.CleanTrim.Alpha/unit.Degree, d.DirtyTrim.Alpha/unit.Degree, 2)
	add("deflection", "°", d.CleanTrim.Deflection/unit.Degree, d.DirtyTrim.Deflection/unit.Degree, 2)
	add("limit used by the fullest strip", "%", 100*d.CleanTrim.Used, 100*d.DirtyTrim.Used, 0)
	return t
}

func slopeLeft(d trim.Dirt) unit.Ratio {
	if d.LiftSlope == 0 {
		return 1
	}
	return d.LiftSlope
}

// Rotation shows the moments about the main wheels at which the nose rises. The last row is their sum.
func Rotation(r trim.Rotation) Table {
	held := "the stop of its control"
	if r.Held {
		held = "the limit of its section"
	}
	t := Table{
		Caption: fmt.Sprintf("The nose rises at %s with the control at %s, held by %s; thrust %.0f N, lift %.0f N, acceleration %.2f m/s². %s", unit.FormatPair(r.Speed, "TrueAirspeed"),
			degree(r.Deflection, 1)+"°", held, r.Thrust, r.Lift, r.Acceleration, r.Caution),
		Header: []string{"moment about the main wheels, nose up", ""},
		Units:  []string{"", "N m"},
	}
	for _, m := range r.Terms {
		t.Rows = append(t.Rows, []string{m.Name, fixed(m.Moment, 0)})
	}
	t.Rows = append(t.Rows, []string{"sum", fixed(r.Moment(), 0)})
	return t
}
