package trim

import (
	"math"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/unit"
)

// Yaw is stability in yaw by closed forms, about the CG of the aeroplane, on its reference area and span. Positive is stable.
type Yaw struct {
	Sum       unit.PerRadian // Cnβ
	Fins      []FinYaw
	Bodies    unit.PerRadian
	FinArea   unit.Area // of all fins together
	Reference aircraft.Reference
	CG        unit.Length
	Caution   string
}

// FinYaw is what a fin, or a pair of them, does in yaw.
type FinYaw struct {
	Name   string
	Area   unit.Area      // of both of a pair
	Slope  unit.PerRadian // with its end plates
	Factor unit.Ratio     // of the flow about wing and body
	Arm    unit.Length    // from the CG to its quarter chord, positive aft
	Cn     unit.PerRadian
}

// FindYaw returns the stability in yaw of fins and bodies:
//
//	Cnβ = Σ k a S_v l_v/(S b) − Σ 1.3 (volume/(S b)) (height/width)
//	k = 0.724 + 3.06 (S_v/S)/(1 + cos Λ) + 0.4 z_w/d + 0.009 A        of a fin on the body, else 1
//
// with a from [LiftSlope] at 1.5 times the geometric aspect ratio, since bodies, tailplanes and wing tips are end plates that make it between once and twice (common practice);
// k for sidewash and loss of speed with sweep Λ and aspect ratio A of the wing, z_w by which its root lies below the centre of the body of depth d (DATCOM, recalled; made
// for one wing ahead of the fin; of several the mean by area counts), and the part of bodies by Raymer (recalled). Propellers are left out: behind the CG they stabilise, ahead they do not. It returns an error for
// an aeroplane that does not pass [aircraft.Aircraft.Validate].
func FindYaw(a aircraft.Aircraft) (Yaw, error) {
	if err := a.Validate(); err != nil {
		return Yaw{}, err
	}
	y := Yaw{Reference: a.Reference, CG: a.CG, Caution: Caution}
	refer := a.Reference.Area * a.Reference.Span
	for _, s := range a.Fins() {
		f, err := finYaw(a, s)
		if err != nil {
			return Yaw{}, err
		}
		y.Fins, y.FinArea, y.Sum = append(y.Fins, f), y.FinArea+f.Area, y.Sum+f.Cn
	}
	for _, b := range a.Bodies {
		widest, deepest := b.Width(), 0.0
		for _, t := range b.Stations {
			deepest = max(deepest, t.Height)
		}
		y.Bodies -= 1.3 * b.Count() * b.Volume() / refer * deepest / widest
	}
	y.Sum += y.Bodies
	return y, nil
}

func finYaw(a aircraft.Aircraft, s aircraft.Surface) (FinYaw, error) {
	f := FinYaw{Name: s.Name, Area: s.Area(), Factor: 1, Arm: s.QuarterChord() - a.CG}
	if s.Mirrored {
		f.Area *= 2
	}
	var err error
	if f.Slope, err = LiftSlope(s.Section().LiftSlope, 1.5*s.AspectRatio(), s.SweepAt(0.5), 0); err != nil {
		return f, err
	}
	if s.Root().Y == 0 {
		f.Factor = sidewash(a, f.Area)
	}
	f.Cn = f.Factor * f.Slope * f.Area * f.Arm / (a.Reference.Area * a.Reference.Span)
	return f, nil
}

// sidewash returns k of a fin on the body.
func sidewash(a aircraft.Aircraft, fin unit.Area) unit.Ratio {
	wing := largest(a)
	var area, times unit.Area // Σ S, Σ S z_w/d
	for _, s := range a.Lifting() {
		if s.Role == aircraft.Tailplane {
			continue
		}
		area += s.Area()
		for _, b := range a.Bodies {
			if t := b.At(s.Root().X + s.Root().Chord/2); b.Y == 0 && t.Height > 0 {
				times += s.Area() * (t.Z - s.Root().Z) / t.Height
			}
		}
	}
	var low unit.Ratio
	if area > 0 {
		low = times / area
	}
	return 0.724 + 3.06*(fin/a.Reference.Area)/(1+math.Cos(wing.SweepAt(0.25))) + 0.4*low + 0.009*wing.AspectRatio()
}

// largest returns the lifting surface with the largest area, of equal ones the last: in a tandem that behind.
func largest(a aircraft.Aircraft) aircraft.Surface {
	surfaces := a.Lifting()
	wing := surfaces[0]
	for _, s := range surfaces[1:] {
		if s.Area() >= (1-1e-9)*wing.Area() {
			wing = s
		}
	}
	return wing
}
