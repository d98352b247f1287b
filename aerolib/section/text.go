package section

import (
	"cmp"
	"fmt"
	"math"
	"strings"

	"foreplane/aerolib/unit"
)

// String says in words what the layer does.
func (l Layer) String() string {
	words := []string{"laminar throughout"}
	if l.Transition < 1 {
		words[0] = "turbulent from " + unit.Format(l.Transition, "%") + " of the chord"
	}
	switch b := l.Bubble; {
	case b == Bubble{}:
	case b.Reattachment == 1:
		words = append(words, "laminar separation at "+unit.Format(b.Separation, "%"))
	case b.Long:
		words = append(words, fmt.Sprintf("long bubble from %s to %s", unit.Format(b.Separation, "%"), unit.Format(b.Reattachment, "%")))
	default:
		words = append(words, fmt.Sprintf("short bubble from %s to %s", unit.Format(b.Separation, "%"), unit.Format(b.Reattachment, "%")))
	}
	if l.Separation < 1 && l.Bubble.Reattachment != 1 {
		words = append(words, "separated from "+unit.Format(l.Separation, "%"))
	}
	return strings.Join(words, ", ")
}

// String writes the coefficients and what the layers do.
func (v Viscous) String() string {
	text := fmt.Sprintf("α %s: cl %.3f, cd %.5f, cm %.4f; upper side %v; lower side %v", unit.Format(v.Alpha, "°"), v.Lift, v.Drag, v.Moment, v.Upper, v.Lower)
	if v.LeadingEdge > 1 {
		text += "; beyond what the leading edge bears"
	}
	if !v.Subsonic {
		text += "; beyond the speed of sound on the surface"
	}
	return text
}

// String writes the estimate with its range and what ends lift.
func (s Stall) String() string {
	return fmt.Sprintf("greatest cl about %.2f, %.2f to %.2f, at %s; it ends by the %s. An estimate for study and preliminary work: see its errors with Flow.MaxLift.",
		s.Lift, s.Low, s.High, unit.Format(s.Alpha, "°"), s.Cause)
}

// String writes the name of the polar and its ranges.
func (p Polar) String() string {
	if len(p.samples) == 0 {
		return "polar without samples"
	}
	return fmt.Sprintf("%s: Re %.3g, %d samples from %s to %s, cl %.2f to %.2f", p.Name, p.Reynolds, len(p.samples),
		unit.Format(p.samples[0].Alpha, "°"), unit.Format(p.samples[len(p.samples)-1].Alpha, "°"), p.MinLift().CL, p.MaxLift().CL)
}

// String describes the section in per cent of the chord.
func (c Contour) String() string {
	thickness, at := c.Thickness()
	camber, top := c.Camber()
	return describe(cmp.Or(c.Name, "section"), thickness, at, camber, top, c.NoseRadius(), c.TrailingGap())
}

// String describes the section in per cent of the chord.
func (p Profile) String() string {
	thickness, at := peak(func(x unit.Ratio) unit.Ratio { return 2 * p.HalfDepth(x) })
	camber, top := peak(func(x unit.Ratio) unit.Ratio { return math.Abs(p.Line.Height(x)) })
	return describe(p.Name, thickness, at, math.Copysign(camber, p.Line.Height(top)), top, p.NoseRadius, p.trailingGap)
}

func describe(name string, thickness, at, camber, top, radius, gap unit.Ratio) string {
	text := fmt.Sprintf("%s: thickness %.1f %% at %.0f %% of the chord", name, 100*thickness, 100*at)
	if math.Abs(camber) > 5e-5 {
		text += fmt.Sprintf(", camber %.1f %% at %.0f %%", 100*camber, 100*top)
	}
	return text + fmt.Sprintf(", leading-edge radius %.2f %%, trailing edge %.2f %% thick", 100*radius, 100*gap)
}
