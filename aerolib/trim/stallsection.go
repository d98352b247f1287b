package trim

import (
	"fmt"
	"math"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/section"
	"foreplane/aerolib/unit"
)

// LimitSource says where the greatest lift of sections comes from.
type LimitSource string

// Sources of section limits.
const (
	// Stated takes the numbers of the aeroplane's file; between the Reynolds numbers of polars they follow these. A section that states none is computed.
	Stated LimitSource = "stated"
	// Computed takes [section.Flow.MaxLift] of sections with a designation, for a clean surface; others keep what is stated.
	Computed LimitSource = "computed"
)

// limitCurve is what a section bears over the Reynolds number, linear in its logarithm; outside its ends it stays as it is.
type limitCurve struct {
	reynolds []unit.ReynoldsNumber
	most     []unit.Coefficient
	least    []unit.Coefficient // with the lift downwards
}

// at returns the limits at a Reynolds number.
func (c limitCurve) at(re unit.ReynoldsNumber) (most, least unit.Coefficient) {
	last := len(c.reynolds) - 1
	switch {
	case re <= c.reynolds[0]:
		return c.most[0], c.least[0]
	case re >= c.reynolds[last]:
		return c.most[last], c.least[last]
	}
	i := 1
	for re > c.reynolds[i] {
		i++
	}
	f := math.Log(re/c.reynolds[i-1]) / math.Log(c.reynolds[i]/c.reynolds[i-1])
	between := func(a, b unit.Coefficient) unit.Coefficient { return a + f*(b-a) }
	return between(c.most[i-1], c.most[i]), between(c.least[i-1], c.least[i])
}

// covers reports whether the curve has data at a Reynolds number; a single stated number is taken for all.
func (c limitCurve) covers(re unit.ReynoldsNumber) bool {
	return len(c.reynolds) == 1 || c.reynolds[0] <= re && re <= c.reynolds[len(c.reynolds)-1]
}

// downwards estimates the lift at which a section stalls upside down: that of the section without camber, −cl_max + cl(α = 0). It is exact without camber.
func downwards(s aircraft.Section, most unit.Coefficient) unit.Coefficient {
	return -most - s.LiftSlope*s.ZeroLift
}

// limitOf returns the curve of a section of a surface.
func limitOf(s aircraft.Section, surface string, from LimitSource) (limitCurve, error) {
	if from == Computed && s.NACA != "" {
		return computedLimit(s)
	}
	family, ok := s.Family()
	switch {
	case ok:
		return polarLimit(s, family)
	case s.MaxLift > 0:
		return limitCurve{[]float64{1}, []float64{s.MaxLift}, []float64{downwards(s, s.MaxLift)}}, nil
	case s.NACA != "":
		return computedLimit(s)
	}
	return limitCurve{}, &SectionDataError{Surface: surface, Section: s.Name}
}

// SectionDataError says that the greatest lift of a section is not known.
type SectionDataError struct{ Surface, Section string }

func (e *SectionDataError) Error() string {
	return fmt.Sprintf("trim: the section %q of the %s has no greatest lift: state max_lift, or give it polars or a NACA designation", e.Section, e.Surface)
}

// polarLimit follows the polars, moved so that a stated number stands at the Reynolds number of the section.
func polarLimit(s aircraft.Section, family section.Family) (limitCurve, error) {
	own, err := family.At(s.Reynolds)
	if err != nil {
		return limitCurve{}, err
	}
	var c limitCurve
	for _, p := range family.Polars() {
		c.reynolds = append(c.reynolds, p.Reynolds)
		c.most = append(c.most, p.MaxLift().CL+s.MaxLift-own.MaxLift().CL)
		c.least = append(c.least, p.MinLift().CL)
	}
	return c, nil
}

// computedAt are the Reynolds numbers at which limits are computed: from that of a slow foreplane to that of a light aeroplane's root chord.
var computedAt = []unit.ReynoldsNumber{3e5, 5e5, 8e5, 1.2e6, 1.8e6, 2.7e6, 4e6}

// computedLimit runs the boundary layers of a section with a designation.
func computedLimit(s aircraft.Section) (limitCurve, error) {
	profile, err := section.NACA(s.NACA)
	if err != nil {
		return limitCurve{}, err
	}
	contour, err := profile.Sharp().Contour()
	if err != nil {
		return limitCurve{}, err
	}
	flow, err := section.Panels(contour)
	if err != nil {
		return limitCurve{}, err
	}
	var c limitCurve
	for _, re := range computedAt {
		stall, err := flow.MaxLift(re, section.Conditions{})
		if err != nil {
			return limitCurve{}, err
		}
		c.reynolds, c.most, c.least = append(c.reynolds, re), append(c.most, stall.Lift), append(c.least, downwards(s, stall.Lift))
	}
	return c, nil
}

// flapGain returns the greatest lift that a plain flap of chord fraction E adds to its section at 60°, from 0.9 for a quarter of the chord and in proportion to the
// effectiveness for others (common practice). At smaller angles it is taken as sin 1.5δ of that.
func flapGain(E unit.Ratio) (unit.Coefficient, error) {
	flap, err := section.PlainFlap(E)
	if err != nil {
		return 0, err
	}
	quarter, err := section.PlainFlap(0.25)
	return 0.9 * flap.Effectiveness / quarter.Effectiveness, err
}

// gained returns what a deflection gives of a gain. The section upside down loses as much.
func gained(gain unit.Coefficient, deflection unit.Angle) unit.Coefficient {
	const full = 60 * unit.Degree
	return gain * math.Sin(1.5*min(max(deflection, -full), full))
}

// bend is the deflection beyond which the flow over a plain flap does not follow much further.
const bend unit.Angle = 26 * unit.Degree

// acting returns the deflection of thin-aerofoil theory that a plain flap is worth with friction,
//
//	δ' = 26° tanh(δ/26°)
//
// which is 0.95 of it at 10°, 0.84 at 20°, 0.71 at 30° and 0.42 at 60°: a fit to the fall of flap effectiveness with deflection in handbooks (recalled).
func acting(c aircraft.Control, delta unit.Angle) unit.Angle {
	if c.AllMoving {
		return delta
	}
	return bend * math.Tanh(delta/bend)
}

// actual is the inverse of acting; what no deflection gives is infinite.
func actual(c aircraft.Control, delta unit.Angle) unit.Angle {
	if c.AllMoving {
		return delta
	}
	return bend * math.Atanh(min(max(delta/bend, -1), 1))
}
