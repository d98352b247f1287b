package trim

import (
	"fmt"
	"maps"
	"math"
	"slices"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/unit"
)

// Verdict says which surface reaches the limit of its sections first, by its role.
type Verdict string

// Verdicts.
const (
	ForeplaneFirst Verdict = "foreplane first"
	WingFirst      Verdict = "wing first"
	TailplaneFirst Verdict = "tailplane first"
	TooClose       Verdict = "too close to call"
)

// first returns the verdict for a role.
func first(role aircraft.Role) Verdict { return Verdict(string(role) + " first") }

// Sequence is the first stall with the variants of the method that it was held to. The verdict stands only if all of them agree.
type Sequence struct {
	Stall    // with the settings as they are
	Variants []StallVariant
	Low      unit.Ratio // least and greatest lead of the first surface over all variants
	High     unit.Ratio
	Verdict  Verdict
}

// StallVariant is the first stall by other wakes, another mesh, or other section limits.
type StallVariant struct {
	Name  string
	First StallStrip
	CL    unit.Coefficient
	Speed unit.TrueAirspeed
	// Lead is what the surface that is first as the settings are uses of its limit, less what the next one uses: below zero another is first here.
	Lead unit.Ratio
}

// limitBand is by how much section limits are taken to be uncertain (common practice; estimates and small tunnels differ by more).
const limitBand unit.Ratio = 0.05

// meshes of the variants.
const (
	coarseRows, coarseStrips = 3, 14
	fineRows, fineStrips     = 5, 28
)

// variant is a change of settings, and the model of it. Where the limits alone change the model stays.
type variant struct {
	name  string
	model *StallModel
}

// SequenceModel is an aeroplane's flow on its way to the stall in all variants. Like [StallModel] it factorises once for many centres of gravity.
type SequenceModel struct {
	base     *StallModel
	variants []variant
}

// NewSequenceModel describes an aeroplane for [SequenceModel.Sequence]. Variants are: the other rule for wakes, a coarse and a fine mesh, and section limits from the other
// source, if a section has a designation from which they can be computed; limits of the first surface 5 % up and down come with them. It returns the errors of [NewStallModel].
func NewSequenceModel(a aircraft.Aircraft, s StallSettings) (*SequenceModel, error) {
	return newSequenceModel(a, s, false)
}

// newSequenceModel leaves out the variants of mesh and source of limits if it is to be quick.
func newSequenceModel(a aircraft.Aircraft, s StallSettings, quick bool) (*SequenceModel, error) {
	base, err := NewStallModel(a, s)
	if err != nil {
		return nil, err
	}
	m := &SequenceModel{base: base}
	for _, v := range []struct {
		name   string
		change func(*StallSettings)
	}{
		{"wakes " + string(otherWake(s)), func(s *StallSettings) { s.Wake = otherWake(*s) }},
		{"coarse mesh", func(s *StallSettings) { s.Rows, s.Strips = coarseRows, coarseStrips }},
		{"fine mesh", func(s *StallSettings) { s.Rows, s.Strips = fineRows, fineStrips }},
		{string(otherLimits(s)) + " limits", func(s *StallSettings) { s.Limits = otherLimits(*s) }},
	} {
		changed := s
		if v.change(&changed); changed.Limits != s.Limits && !computable(a) || quick && changed.Wake == s.Wake {
			continue
		}
		model, err := m.variant(a, changed)
		if err != nil {
			return nil, err
		}
		m.variants = append(m.variants, variant{v.name, model})
	}
	return m, nil
}

func otherWake(s StallSettings) WakeRule {
	if s.Wake == AlongX {
		return AlongStream
	}
	return AlongX
}

func otherLimits(s StallSettings) LimitSource {
	if s.Limits == Computed {
		return Stated
	}
	return Computed
}

// computable reports whether limits of any section can be computed.
func computable(a aircraft.Aircraft) bool {
	return slices.ContainsFunc(a.Lifting(), func(s aircraft.Surface) bool {
		return slices.ContainsFunc(s.Stations, func(t aircraft.Station) bool { return t.Section.NACA != "" })
	})
}

// variant returns the model of changed settings. It has the flow of the base where only the limits differ.
func (m *SequenceModel) variant(a aircraft.Aircraft, s StallSettings) (*StallModel, error) {
	if s.Limits == m.base.settings.Limits {
		return NewStallModel(a, s)
	}
	return m.base.flows.model(s)
}

// FindSequence returns the first stall of an aeroplane with its band and verdict. For several centres of gravity or conditions make a [SequenceModel].
func FindSequence(a aircraft.Aircraft, c Condition, s StallSettings) (Sequence, error) {
	m, err := NewSequenceModel(a, s)
	if err != nil {
		return Sequence{}, err
	}
	return m.Sequence(c, a.CG)
}

// Sequence returns the first stall with the CG at a station. The verdict names the role of the surface that is first in all variants, or says that it is too close to call.
// It returns the errors of [StallModel.Stall].
func (m *SequenceModel) Sequence(c Condition, cg unit.Length) (Sequence, error) {
	return m.sequence(c, cg, groundRule{height: c.Height})
}

func (m *SequenceModel) sequence(c Condition, cg unit.Length, g groundRule) (Sequence, error) {
	base, err := m.base.stall(c, cg, g)
	if err != nil {
		return Sequence{}, err
	}
	out := Sequence{Stall: base, Low: math.Inf(1), High: math.Inf(-1)}
	own := func(t StallStrip) bool { return t.Surface == base.First.Surface }
	for _, v := range slices.Concat(m.variants, m.bandOf(base.First.Surface)) {
		s, err := v.model.stall(c, cg, g)
		if err != nil {
			return Sequence{}, fmt.Errorf("%w (%s)", err, v.name)
		}
		out.Variants = append(out.Variants, StallVariant{Name: v.name, First: s.First, CL: s.CL, Speed: s.Speed, Lead: s.lead(own)})
	}
	out.Low, out.High = base.lead(own), base.lead(own)
	for _, v := range out.Variants {
		out.Low, out.High = min(out.Low, v.Lead), max(out.High, v.Lead)
	}
	if out.Verdict = TooClose; out.Low > 0 {
		out.Verdict = first(base.First.Role)
	}
	return out, nil
}

// bandOf returns variants with the limits of one surface up and down.
func (m *SequenceModel) bandOf(surface string) []variant {
	return []variant{m.scaled(surface, -limitBand), m.scaled(surface, limitBand)}
}

// scaled returns the variant with the limits of one surface changed by a part of them; it has the flow of the base.
func (m *SequenceModel) scaled(surface string, by unit.Ratio) variant {
	b := m.base
	s := b.settings
	if s.Factor = maps.Clone(s.Factor); s.Factor == nil {
		s.Factor = map[string]unit.Ratio{}
	}
	s.Factor[surface] = or(s.Factor[surface], 1) * (1 + by)
	return variant{fmt.Sprintf("limits of the %s %+.0f %%", surface, 100*by), &StallModel{b.aircraft, s, b.strips, b.flows}}
}

// lead returns what the surfaces of which own holds use of their limit, less what the others use.
func (s Stall) lead(own func(StallStrip) bool) unit.Ratio {
	ours, others := 0.0, math.Inf(-1)
	for _, t := range append([]StallStrip{s.First}, s.Others...) {
		if own(t) {
			ours = max(ours, t.Used)
		} else {
			others = max(others, t.Used)
		}
	}
	return ours - others
}
