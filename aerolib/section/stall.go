package section

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"foreplane/aerolib/unit"
)

// Stall is an estimate of the greatest lift at one Reynolds number.
type Stall struct {
	Viscous                    // at the greatest lift
	Low, High unit.Coefficient // greatest lift for a turbulent layer that separates early or late: see [Flow.MaxLift]
	Cause     Cause
}

// Cause is what ends the lift of a section.
type Cause string

// The causes.
const (
	LeadingEdge   Cause = "leading edge"
	TrailingEdge  Cause = "trailing edge"
	LaminarBubble Cause = "laminar bubble"
	SpeedOfSound  Cause = "speed of sound"
)

// maxStallThickness is the thickness up to which stall is estimated.
const maxStallThickness unit.Ratio = 0.155

// leadingEdgeLimit is the greatest difference between the suction peak and the trailing edge by Reynolds number in millions ([Valarezo], the line for Mach numbers
// of 0.15 to 0.2; read from a copy of the curve).
var leadingEdgeLimit = [][2]float64{{1, 7.0}, {1.25, 8.8}, {1.5, 9.8}, {2, 11.4}, {2.5, 12.3}, {3, 12.9}, {4, 13.6}, {5, 13.95}, {6, 14.0}}

// bearable returns the limit of the suction, linear between the points of the curve and constant beyond its ends.
func bearable(reynolds unit.ReynoldsNumber) unit.Coefficient {
	x := min(max(reynolds/1e6, leadingEdgeLimit[0][0]), leadingEdgeLimit[len(leadingEdgeLimit)-1][0])
	for i, b := range leadingEdgeLimit[1:] {
		if a := leadingEdgeLimit[i]; x <= b[0] {
			return a[1] + (x-a[0])/(b[0]-a[0])*(b[1]-a[1])
		}
	}
	return leadingEdgeLimit[0][1] // not reached
}

// MaxLift estimates the greatest lift of a section of up to 15 % thickness. Going up in angle of attack from zero lift, lift ends where one of these comes first:
//
//   - at the leading edge: the pressure at the suction peak falls below that at the trailing edge by more than Valarezo and Chin's limit, 7 at a Reynolds number of 10⁶,
//     14 at 6·10⁶ and beyond ([Valarezo]; below 10⁶ its first value is kept);
//   - at the trailing edge: the lift of [Flow.Viscous] falls, because separation moves forward faster than the angle of attack rises;
//   - behind a laminar bubble that does not close ([Crabtree]): at low Reynolds numbers, and on thin sections, which lift somewhat more beyond it;
//   - at a Mach number above about 0.2: the speed of sound is reached on the surface.
//
// Lift is for separation at H = 2.1; Low and High are for the ends of the published range, 1.8 and 2.4 ([Cebeci]). No number in it was chosen by the data that follow.
//
// It is an estimate for preliminary work. Against measured values at a Reynolds number of 9·10⁶ (recalled from [TR824]) Lift is −3 % to +9 % off for nine NACA sections of
// 6 to 15 % thickness and little camber, and 23 % to 37 % too high for 2415, 4412 and 4415, which stall from the trailing edge; against [Ladson], NACA 0012 at 6·10⁶
// with fixed transition, −3 %. Thicker sections are refused with a [*ContourError]: their layers leave the surface much sooner than the method knows, and it would give half as
// much again as was measured. At Reynolds numbers below 6·10⁶ nothing was compared.
//
// A trip moves transition; rain and insects also thicken the layer. With standard roughness (grains over the nose, [TR824], recalled, four sections of 12 %) measured
// lift was less still: Low of a section tripped at 0.01 is 7 % to 28 % above it, a limit that dirt does not let the section reach. Errors are those of [Flow.Viscous].
func (f *Flow) MaxLift(reynolds unit.ReynoldsNumber, c Conditions) (Stall, error) {
	s, err := c.surface(reynolds)
	if err != nil {
		return Stall{}, err
	}
	if err := f.thin(); err != nil {
		return Stall{}, err
	}
	var out Stall
	for _, way := range []struct {
		detached unit.Ratio
		lift     *unit.Coefficient
	}{{earlySeparation, &out.Low}, {lateSeparation, &out.High}, {s.detached, &out.Lift}} {
		s.detached = way.detached
		path, cause, err := f.climb(s, c.Mach, 0.25*unit.Degree)
		if err != nil {
			return Stall{}, err
		}
		out.Viscous, out.Cause = path[len(path)-1], cause // the last stays
		*way.lift = path[len(path)-1].Lift
	}
	return out, nil
}

// thin refuses sections that stall in a way the method does not know.
func (f *Flow) thin() error {
	t, _ := f.Contour.Thickness()
	if t <= maxStallThickness {
		return nil
	}
	reason := "stall is estimated for a thickness of up to %s of the chord, it has %s: use Viscous at moderate lift, or measured data"
	return &ContourError{f.Contour.Name, fmt.Sprintf(reason, unit.Format(maxStallThickness, "%"), unit.Format(t, "%"))}
}

// climb goes from zero lift in steps of the angle of attack, up or down, as far as lift grows, and says what ends it. It returns a [*ContourError] if nothing
// does up to 25°.
func (f *Flow) climb(s surface, mach unit.MachNumber, step unit.Angle) (path []Viscous, cause Cause, err error) {
	best := 0
	for alpha := f.zeroLift(); math.Abs(alpha) < maxAlpha; alpha += step {
		v, err := f.viscous(alpha, s, mach)
		if err == nil && v.LeadingEdge > 1 && len(path) > 0 { // the last sample stands on the limit, nearly
			alpha -= step * (v.LeadingEdge - 1) / (v.LeadingEdge - path[len(path)-1].LeadingEdge)
			cause = LeadingEdge
			v, err = f.viscous(alpha, s, mach)
		}
		if err != nil {
			return nil, "", err
		}
		if !v.Subsonic && len(path) > 0 {
			return path[:best+1], SpeedOfSound, nil
		}
		path = append(path, v)
		if math.Abs(v.Lift) >= math.Abs(path[best].Lift) {
			best = len(path) - 1
		} else if math.Abs(v.Lift) < 0.98*math.Abs(path[best].Lift) { // more than a ripple
			cause = TrailingEdge
			if b := v.Suction().Bubble; b.Reattachment == 1 {
				cause = LaminarBubble
			}
			return path[:best+1], cause, nil
		}
		if cause != "" {
			return path[:best+1], cause, nil
		}
	}
	return nil, "", &ContourError{f.Contour.Name, "it does not stall up to " + unit.Format(maxAlpha, "°")}
}

// Polar returns lift, drag and moment of [Flow.Viscous] from the greatest downward lift to the greatest lift, in steps of half a degree from zero lift: what [Flow.MaxLift]
// says of stall holds for both ends. The moment is that of the flow without friction. It returns errors as MaxLift does.
func (f *Flow) Polar(reynolds unit.ReynoldsNumber, c Conditions) (Polar, error) {
	s, err := c.surface(reynolds)
	if err != nil {
		return Polar{}, err
	}
	if err := f.thin(); err != nil {
		return Polar{}, err
	}
	const step = 0.5 * unit.Degree
	up, _, errUp := f.climb(s, c.Mach, step)
	down, _, errDown := f.climb(s, c.Mach, -step)
	if err := cmp.Or(errUp, errDown); err != nil {
		return Polar{}, err
	}
	var samples []Sample
	for _, v := range slices.Concat(up, down[1:]) {
		samples = append(samples, Sample{Alpha: v.Alpha, CL: v.Lift, CD: v.Drag, CM: v.Moment})
	}
	return NewPolar(f.Contour.Name+", computed", reynolds, samples)
}

// Polars returns the polars of [Flow.Polar] at several Reynolds numbers, for strips of a wing that lie between. It returns errors as Polar and [NewFamily] do.
func (f *Flow) Polars(c Conditions, reynolds ...unit.ReynoldsNumber) (Family, error) {
	var polars []Polar
	for _, re := range reynolds {
		p, err := f.Polar(re, c)
		if err != nil {
			return Family{}, err
		}
		polars = append(polars, p)
	}
	return NewFamily(polars...)
}
