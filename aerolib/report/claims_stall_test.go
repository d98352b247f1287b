package report_test

import (
	"fmt"
	"math"
	"testing"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/atmos"
	"foreplane/aerolib/prop"
	"foreplane/aerolib/trim"
	"foreplane/aerolib/unit"
)

// stalling is the aeroplane of case T10 with section limits: its small surface at the given station, with a greatest lift of its own.
type stalling struct {
	t         *testing.T
	aeroplane aircraft.Aircraft
	np        unit.Length
	models    map[trim.WakeRule]*trim.StallModel
}

func newStalling(t *testing.T, x unit.Length, role aircraft.Role, limit unit.Coefficient) stalling {
	section := func(name string, limit unit.Coefficient) aircraft.Section {
		return aircraft.Section{Name: name, LiftSlope: 2 * math.Pi, MaxLift: limit}
	}
	wing := aircraft.Trapezoid{Name: "wing", Role: aircraft.Wing, Span: 8.4, RootChord: 1.4, TipChord: 0.7, Sweep: 22 * unit.Degree, X: 3.2, Twist: -1.5 * unit.Degree, Section: section("wing", 1.4)}.Surface()
	second := aircraft.Trapezoid{Name: "small", Role: role, Span: 3.8, RootChord: 0.44, TipChord: 0.36, Sweep: 3 * unit.Degree, X: x, Z: gap, Section: section("small", limit),
		Controls: []aircraft.Control{{Name: "δ", Purpose: aircraft.Pitch, AllMoving: true, Min: -0.7, Max: 0.7}}}.Surface()
	s := stalling{t: t, models: map[trim.WakeRule]*trim.StallModel{}, np: newPair(t, wingReference, sweptWing, small(x, gap)).np}
	s.aeroplane = aircraft.Aircraft{Name: "T10", Mass: 700, CG: 3.5, Surfaces: []aircraft.Surface{wing, second},
		Reference: aircraft.Reference{Name: "wing", Area: wingReference.Area, Chord: wingReference.Chord, Span: wingReference.Span}}
	for _, wake := range []trim.WakeRule{trim.AlongX, trim.AlongStream} {
		m, err := trim.NewStallModel(s.aeroplane, trim.StallSettings{Wake: wake, Rows: 6, Strips: 30})
		if err != nil {
			t.Fatal(err)
		}
		s.models[wake] = m
	}
	return s
}

// at returns the first stall at a static margin.
func (s stalling) at(wake trim.WakeRule, margin unit.Ratio) trim.Stall {
	s.t.Helper()
	air := must[atmos.Air](s.t)(atmos.Standard(0))
	return must[trim.Stall](s.t)(s.models[wake].Stall(trim.Condition{Air: air, Omit: trim.Bare}, s.np-margin*wingReference.Chord))
}

// linearly is by how much a theory that is linear in the angles may have more lift: it leaves out cosines and the velocities along the wakes.
const linearly unit.Ratio = 0.035

// margins are the static margins of the table, with the greatest trimmed lift that the independent lattice has for foreplane and tail aft.
var margins = []struct {
	margin    unit.Ratio
	fore, aft unit.Coefficient
}{{0.02, 1.373, 1.431}, {0.05, 1.329, 1.416}, {0.1, 1.222, 1.393}, {0.2, 1.051, 1.347}, {0.3, 0.923, 1.305}}

const byStrips = "critical section of every strip by the vortex lattice (FindStall), limits of sections 1.4 on the wing, 1.6 on the foreplane, 1.2 on the tail"

// stallsFirst: which surface stalls first.
func stallsFirst(t *testing.T) claim {
	fore := newStalling(t, ahead, aircraft.Foreplane, 1.6)
	c := claim{number: 3, text: "The foreplane always stalls first, so the aeroplane cannot be stalled.",
		verdict: "False. It must be designed, and depends on the CG, the wakes and the section limits; near neutral stability it is too close to call. Beyond the first stall nothing is predicted.",
		how:     byStrips + "; a lead below 5 % is within what limits are known to"}
	lead := map[unit.Ratio]unit.Ratio{}
	for _, at := range margins[:4] {
		for _, wake := range []trim.WakeRule{trim.AlongX, trim.AlongStream} {
			s := fore.at(wake, at.margin)
			by := 100 * s.Margin()
			if s.First.Role == aircraft.Wing {
				by = -by
			}
			if wake == trim.AlongX {
				lead[at.margin] = by
			}
			c.numbers = append(c.numbers, number{percent("SM %.0f %%", at.margin) + ", wakes " + string(wake) + ": lead of the foreplane", by, "%", 0, 0, 0})
		}
	}
	stream := fore.at(trim.AlongStream, 0.02)
	c.holds = []condition{
		{"with wakes along x the wing is first at SM 2 % and the foreplane from 5 %, as independently", lead[0.02] < 0 && lead[0.05] > 0 && lead[0.1] > lead[0.05] && lead[0.2] > lead[0.1]},
		{"with wakes along the stream the foreplane is first at SM 2 %", stream.First.Role == aircraft.Foreplane},
		{"there both leads are below 5 %", math.Abs(lead[0.02]) < 5 && stream.Margin() < 0.05},
	}
	return c
}

// smallerRange: what moving the CG costs.
func smallerRange(t *testing.T) claim {
	fore, aft, careful := newStalling(t, ahead, aircraft.Foreplane, 1.6), newStalling(t, behind, aircraft.Tailplane, 1.2), newStalling(t, ahead, aircraft.Foreplane, 1.35)
	c := claim{number: 4, text: "A foreplane leaves a smaller usable range of the CG.",
		verdict: "True of a small, highly loaded foreplane: the same loss of lift is reached on a fraction of the way. Compute it; a general percentage does not exist.",
		how:     byStrips + ", wakes along x, trimmed CLmax on the wing's area"}
	var CL [2][]unit.Coefficient
	for _, at := range margins {
		f, a := fore.at(trim.AlongX, at.margin).CL, aft.at(trim.AlongX, at.margin).CL
		CL[0], CL[1] = append(CL[0], f), append(CL[1], a)
		name := percent("SM %.0f %%", at.margin)
		c.numbers = append(c.numbers, number{name + ": foreplane", f, "", 3, at.fore, linearly * at.fore}, number{name + ": tail aft", a, "", 3, at.aft, linearly * at.aft})
	}
	loss := func(of []unit.Coefficient) unit.Ratio { return 100 * (1 - of[3]/of[1]) }
	c.numbers = append(c.numbers, number{"lost from SM 5 to 20 %: foreplane", loss(CL[0]), "%", 0, 21, 1.5}, number{"tail aft", loss(CL[1]), "%", 0, 5, 1},
		number{"SM 10 % with a limit of 1.35 on the foreplane, as at its Reynolds number", careful.at(trim.AlongX, 0.1).CL, "", 2, 1.0, 0.03})
	c.holds = []condition{{"the foreplane loses more than three times as much", loss(CL[0]) > 3*loss(CL[1])}}
	return c
}

// longerFields: what the greatest lift is to take-off and landing.
func longerFields(t *testing.T) claim {
	fore, aft := newStalling(t, ahead, aircraft.Foreplane, 1.6), newStalling(t, behind, aircraft.Tailplane, 1.2)
	longer := func(margin unit.Ratio) unit.Ratio {
		return 100 * (aft.at(trim.AlongX, margin).CL/fore.at(trim.AlongX, margin).CL - 1)
	}
	return claim{number: 5, text: "Aeroplanes with a foreplane need longer take-off and landing distances.",
		verdict: "True where trimmed CLmax is limited by the foreplane and area is not bought to make up for it. Flaps on the wing widen the gap, and unstick is a number of its own (FindUnstick).",
		how:     byStrips + "; ground distances taken to go with V_S², 1/CLmax, at the same wing loading",
		numbers: []number{
			{"ground distance, foreplane over tail aft, SM 10 %", longer(0.1), "% more", 0, 14, 2},
			{"SM 20 %", longer(0.2), "% more", 0, 28, 2},
		},
		holds: []condition{{"it is the longer, and the more so the stabler", longer(0.1) > 5 && longer(0.2) > longer(0.1)}}}
}

// pusher: what a slipstream costs, and what a wake gives back.
func pusher(t *testing.T) claim {
	air := must[atmos.Air](t)(atmos.Standard(0))
	disc := prop.Disc{Diameter: 1.9}
	c := claim{number: 6, text: "A pusher propeller is more efficient.",
		verdict: "Neither way in general: a few per cent for or against, which body shape, spinner and diameter decide. Scrubbing costs most in climb; the gain of the wake is ideal, before thrust deduction.",
		how:     "actuator disc (package prop), 1.9 m, sea level; 1/(1 − w) of momentum in a wake"}
	ratios := map[float64]unit.Ratio{}
	for _, at := range []struct{ speed, thrust, want float64 }{{35, 1800, 1.85}, {50, 1500, 1.35}, {60, 1000, 1.16}, {75, 900, 1.09}} {
		s := must[prop.Slipstream](t)(disc.Slipstream(air, at.speed, at.thrust))
		ratios[at.speed] = s.Pressure(air, 100*disc.Diameter) / air.DynamicPressure(at.speed) // far behind
		c.numbers = append(c.numbers, number{fmt.Sprintf("dynamic pressure in the slipstream over that outside, %.0f m/s, %.0f N", at.speed, at.thrust), ratios[at.speed], "", 2, at.want, 0.008})
	}
	for w, want := range []unit.Ratio{3, 6} {
		wake := 0.03 * float64(w+1)
		c.numbers = append(c.numbers, number{fmt.Sprintf("ideal gain in a wake of w = %.2f", wake), 100 * (1/(1-wake) - 1), "%", 0, want, 0.5})
	}
	c.holds = []condition{{"what a tractor washes drags more, and much more in climb than in cruise", ratios[75] > 1 && ratios[35]-1 > 5*(ratios[75]-1)}}
	return c
}
