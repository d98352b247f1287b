package trim

import (
	"fmt"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/unit"
)

// DirtEffect is what rain, ice or insects on one surface do to the stall and to trim.
type DirtEffect struct {
	Dirt         Dirt
	Clean, Dirty Sequence
	Speed        unit.TrueAirspeed // at which trim is compared
	CleanTrim    SlowTrim
	DirtyTrim    SlowTrim
}

// SlowTrim is trim at a speed on the way to the stall.
type SlowTrim struct {
	Alpha, Deflection unit.Angle
	CL                unit.Coefficient
	Used              unit.Ratio // of its limit by the strip of any surface that is nearest to it
}

// SpeedRise returns by how much the stall speed rises.
func (d DirtEffect) SpeedRise() unit.TrueAirspeed { return d.Dirty.Speed - d.Clean.Speed }

// usualApproach is the approach speed over the stall speed (common practice).
const usualApproach unit.Ratio = 1.3

// FindDirtEffect compares a clean aeroplane with one that has dirt on a surface: first stall with band and verdict, and trim at the speed of the condition, or at 1.3 times the clean stall
// speed if it states none. A lower lift slope k is a turn of the whole surface against its lift,
//
//	Δ = −(1/k − 1) CL/2π
//
// with CL on its own area, so that in trim it carries the same and its control is further out. It returns the errors of [FindSequence], and one if the speed is below the stall speed.
func FindDirtEffect(a aircraft.Aircraft, c Condition, s StallSettings, d Dirt) (DirtEffect, error) {
	out := DirtEffect{Dirt: d, Speed: c.Speed}
	c.Speed = 0
	var err error
	s.Dirt = Dirt{}
	if out.Clean, out.CleanTrim, err = withTrim(a, c, s, &out.Speed); err != nil {
		return out, err
	}
	s.Dirt = d
	out.Dirty, out.DirtyTrim, err = withTrim(a, c, s, &out.Speed)
	return out, err
}

// withTrim returns the first stall, and trim at a speed, which is chosen if it is 0.
func withTrim(a aircraft.Aircraft, c Condition, s StallSettings, speed *unit.TrueAirspeed) (Sequence, SlowTrim, error) {
	m, err := NewSequenceModel(a, s)
	if err != nil {
		return Sequence{}, SlowTrim{}, err
	}
	q, err := m.Sequence(c, a.CG)
	if err != nil {
		return q, SlowTrim{}, err
	}
	*speed = or(*speed, usualApproach*q.Speed)
	if *speed < q.Speed {
		return q, SlowTrim{}, fmt.Errorf("trim: at %s %s has stalled: its stall speed is %s", unit.FormatPair(*speed, "TrueAirspeed"), a.Name, unit.FormatPair(q.Speed, "TrueAirspeed"))
	}
	t, err := m.base.SlowTrim(c, a.CG, *speed)
	return q, t, err
}

// SlowTrim returns trim at a speed, with the wakes and limits of the way to the stall. Deflections are not held to the stops. It returns an error for a speed at which the angle of
// attack leaves −12° to 28°, and those of [StallModel.Stall] for a condition that cannot be.
func (m *StallModel) SlowTrim(c Condition, cg unit.Length, V unit.TrueAirspeed) (SlowTrim, error) {
	k, err := m.newCase(c, cg, groundRule{height: c.Height})
	if err != nil {
		return SlowTrim{}, err
	}
	s, err := k.atSpeed(V)
	if err != nil {
		return SlowTrim{}, err
	}
	used, _ := k.nearest(s)
	t := SlowTrim{Alpha: s.alpha, Deflection: actual(k.limit, s.delta), CL: k.lift(s)}
	for _, u := range used {
		t.Used = max(t.Used, u)
	}
	return t, nil
}
