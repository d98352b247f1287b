package trim

import (
	"math"
	"testing"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/unit"
)

// TestFleet: the four aeroplanes trim from slow to fast within their limits, are stable with body and propeller, and their front surfaces stall first, by
// incidence and section.
func TestFleet(t *testing.T) {
	for _, a := range aircraft.Fleet() {
		for _, V := range []float64{60, 65, 80, 110, 130} {
			c := need[Condition](t)(At(0, V*unit.Knot))
			r, err := Solve(a, c)
			if err != nil {
				t.Errorf("%s at %v kt: %v", a.Name, V, err)
				continue
			}
			if math.Abs(r.ForceResidual) > 1e-9*r.Weight || math.Abs(r.MomentResidual) > 1e-9*r.Weight {
				t.Errorf("%s: residuals %v N, %v N m", a.Name, r.ForceResidual, r.MomentResidual)
			}
			if CL, Cm := r.Model.At(r.Alpha, r.Deflection); math.Abs(CL-r.CL) > 1e-12 || math.Abs(Cm) > 1e-12 {
				t.Errorf("%s: the model has CL %v, Cm %v", a.Name, CL, Cm)
			}
			t.Logf("%-8s %3.0f kt  δ %6.2f°  static margin %.3f", a.Name, V, r.Deflection/unit.Degree, r.Neutral.StaticMargin)
			if left := r.Neutral.StaticMargin; left < 0.03 || left > 0.3 {
				t.Errorf("%s at %v kt: the static margin is %.3f of the chord", a.Name, V, left)
			}
			front, wing := 0.0, 0.0
			for i, l := range r.Loads {
				used := l.CL / a.Lifting()[i].Section().MaxLift
				switch l.Role {
				case aircraft.Foreplane:
					front = used
				case aircraft.Wing:
					wing = used
				}
			}
			if front > 0 && V < 70 && front < 1.2*wing {
				t.Errorf("%s at %v kt: the front surface uses %.2f of its greatest lift, the wing %.2f", a.Name, V, front, wing)
			}
		}
	}
}

// TestHingedControl: elevators of Yarrow lift the front wing and raise the nose; with a chord of nearly all and the whole span they do nearly what turning the wing does.
func TestHingedControl(t *testing.T) {
	a := aircraft.Yarrow()
	d := need[Derivatives](t)(Derive(a, "", 0))
	if d.CLDelta <= 0 || d.CmDelta <= 0 {
		t.Errorf("CLδ %v, Cmδ %v", d.CLDelta, d.CmDelta)
	}
	turning := func(c aircraft.Control) Derivatives {
		b := a.Clone()
		c.Name, c.Purpose, c.Min, c.Max = "turn", aircraft.Pitch, -0.2, 0.2
		b.Surfaces[0].Controls = []aircraft.Control{c}
		return need[Derivatives](t)(Derive(b, "turn", 0))
	}
	flap, whole := turning(aircraft.Control{To: 1, Chord: 0.98}), turning(aircraft.Control{AllMoving: true})
	if math.Abs(flap.CLDelta/whole.CLDelta-1) > 0.01 || flap.CmDelta >= whole.CmDelta {
		t.Errorf("CLδ %v against %v, Cmδ %v against %v", flap.CLDelta, whole.CLDelta, flap.CmDelta, whole.CmDelta)
	}
	if by := need[Derivatives](t)(Derive(a, "elevators", 0)); by != d {
		t.Error("named by the control it is another")
	}
	camber := a.Surfaces[0].Area() * a.Surfaces[0].MeanChord() / (a.Reference.Area * a.Reference.Chord)
	_, moment, _ := a.Surfaces[0].Effect(a.Surfaces[0].Controls[0])
	bare := d.CmDelta - moment*camber
	if bare <= d.CmDelta {
		t.Errorf("without the moment of its flap Cmδ is %v, with it %v", bare, d.CmDelta)
	}
}
