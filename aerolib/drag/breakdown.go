package drag

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"foreplane/aerolib/lattice"
	"foreplane/aerolib/unit"
)

// Load is what one surface bears: the lift coefficient on its own area, and better that of its strips.
type Load struct {
	Surface string
	CL      unit.Coefficient // on its own area; counts all along the span if there are no strips
	Strips  []Strip          // all of them, both sides
}

// Strip is a part of a surface along the stream.
type Strip struct {
	Chord, Width unit.Length
	CL           unit.Coefficient // 2Γ/(Vc)
}

// Share is a part of a drag coefficient.
type Share struct {
	Name string
	CD   unit.Coefficient
}

// Induced is the induced drag of all loads together, on the reference area.
type Induced struct {
	CL     unit.Coefficient
	CD     unit.Coefficient
	Method string // such as "Trefftz plane"
	Parts  []Share
}

// SpanEfficiency returns e of the loads, for aspect ratio A = b²/S of the reference,
//
//	e = CL²/(π A CDi)
//
// It is a matter of the loads alone; the Oswald factor of a [Parabola] is another quantity. It returns a [*unit.PositiveError] without lift or induced drag.
func (i Induced) SpanEfficiency(aspect unit.Ratio) (unit.Ratio, error) {
	return spanEfficiency("drag.Induced.SpanEfficiency", i.CL, i.CD, aspect)
}

func spanEfficiency(function string, CL, induced unit.Coefficient, aspect unit.Ratio) (unit.Ratio, error) {
	for _, err := range []error{
		unit.CheckPositive(function, "induced drag coefficient", induced, "1"),
		unit.CheckPositive(function, "square of the lift coefficient", CL*CL, "1"),
		unit.CheckPositive(function, "aspect ratio", aspect, "1"),
	} {
		if err != nil {
			return 0, err
		}
	}
	return CL * CL / (math.Pi * aspect * induced), nil
}

// FromLattice returns loads and induced drag of a state of the lattice: strips of all surfaces, and the drag of the Trefftz plane of all of them together. What a single
// surface has of it is its own in the wash of all wakes; only the sum is drag of the aeroplane ([Munk]).
func FromLattice(r lattice.Result) ([]Load, Induced) {
	loads := make([]Load, len(r.Loads))
	induced := Induced{CL: r.CL, CD: r.CDi, Method: "Trefftz plane"}
	for i, l := range r.Loads {
		loads[i] = Load{Surface: l.Surface, CL: l.OwnCL}
		induced.Parts = append(induced.Parts, Share{l.Surface, l.CDi})
	}
	for _, s := range r.Strips {
		i := slices.IndexFunc(loads, func(l Load) bool { return l.Surface == s.Surface })
		loads[i].Strips = append(loads[i].Strips, Strip{s.Chord, s.Width, 2 * s.Circulation / s.Chord})
	}
	return loads, induced
}

// Cause says why there is drag.
type Cause string

// Causes of drag.
const (
	Parasite Cause = "without lift"
	Profiled Cause = "profile, by lift"
	Vortices Cause = "induced"
)

// Part is what one component contributes for one cause.
type Part struct {
	Name  string
	Cause Cause
	Kind  Kind // of the item; what lift costs belongs to surfaces
	CDA   unit.Area
	CD    unit.Coefficient
	Share unit.Ratio // of the whole
}

// Breakdown is the drag of an aeroplane with lift: who contributes what.
type Breakdown struct {
	Aircraft string
	Area     unit.Area        // of reference
	CL       unit.Coefficient // of the whole
	Parasite unit.Coefficient // of the build-up
	Profile  unit.Coefficient // what lift adds to the profile drag of the surfaces
	Induced  unit.Coefficient
	CD       unit.Coefficient // the sum
	Parts    []Part
	Notes    []string
}

// LiftToDrag returns CL/CD.
func (b Breakdown) LiftToDrag() unit.Ratio { return b.CL / b.CD }

// Of returns the drag of an aeroplane whose surfaces bear loads: the build-up, by how much lift raises the profile drag of each surface, and the induced drag of all,
//
//	CD = CD_buildup + Σᵢ Σ (cd(cl) − cd_least) c Δy / S_ref · Q S_exposed/S_gross + CDi
//
// with cl of each strip, or that of the surface where there are no strips. The part of a wing that a body covers counts as all the rest. Surfaces that no load names bear
// none. It returns an [*Error] for a surface that does not exist or is named twice, or whose strips do not cover it, and a [*unit.RangeError] for lift beyond the data of its
// section: near the stall drag is not known here.
func Of(b Buildup, loads []Load, induced Induced) (Breakdown, error) {
	const f = "drag.Of"
	out := Breakdown{Aircraft: b.Aircraft, Area: b.Reference.Area, CL: induced.CL, Parasite: b.CD, Induced: induced.CD}
	for _, err := range []error{
		unit.CheckRange(f, "lift coefficient", induced.CL, math.Inf(-1), math.Inf(1), "1"),
		unit.CheckRange(f, "coefficient of induced drag", induced.CD, math.Inf(-1), math.Inf(1), "1"),
		unit.CheckPositive(f, "drag coefficient of the build-up", b.CD, "1"),
	} {
		if err != nil {
			return Breakdown{}, err
		}
	}
	for _, i := range b.Items {
		out.Parts = append(out.Parts, Part{Name: i.Name, Cause: Parasite, Kind: i.Kind, CD: i.CD})
	}
	seen := map[string]bool{}
	for _, l := range loads {
		if seen[l.Surface] {
			return Breakdown{}, &Error{f, "load of the " + l.Surface, "is given twice"}
		}
		seen[l.Surface] = true
		rise, err := b.rise(l)
		if err != nil {
			return Breakdown{}, err
		}
		out.Profile += rise
		out.Parts = append(out.Parts, Part{Name: l.Surface, Cause: Profiled, Kind: SurfaceKind, CD: rise})
	}
	out.vortices(induced)
	out.total()
	return out, nil
}

// rise returns by how much lift raises the drag coefficient of a surface, on the reference area.
func (b Buildup) rise(l Load) (unit.Coefficient, error) {
	p, err := b.Profile(l.Surface)
	if err != nil {
		return 0, err
	}
	item, err := b.Item(l.Surface)
	if err != nil {
		return 0, err
	}
	area := b.areas[l.Surface]
	mean, err := l.rise(p, area.gross)
	return mean * area.exposed * item.Interference / b.Reference.Area, err
}

// rise returns the mean over the strips of by how much lift raises cd.
func (l Load) rise(p Profile, gross unit.Area) (unit.Coefficient, error) {
	if len(l.Strips) == 0 {
		return p.rise("drag.Of", l.CL)
	}
	covered, drag := 0.0, 0.0
	for _, s := range l.Strips {
		rise, err := p.rise("drag.Of", s.CL)
		if err != nil {
			return 0, err
		}
		covered += s.Chord * s.Width
		drag += rise * s.Chord * s.Width
	}
	if math.Abs(covered/gross-1) > coverage {
		return 0, &Error{"drag.Of", "strips of the " + l.Surface, fmt.Sprintf("cover %s of its %s: all of both sides are wanted", unit.Format(covered, "m²"), unit.Format(gross, "m²"))}
	}
	return drag / covered, nil
}

// coverage is by how much the area of strips may differ from that of their surface, which is projected.
const coverage unit.Ratio = 0.1

// vortices adds the induced drag; what parts of it do not have is a part of its own.
func (b *Breakdown) vortices(i Induced) {
	rest := i.CD
	for _, p := range i.Parts {
		b.Parts = append(b.Parts, Part{Name: p.Name, Cause: Vortices, Kind: SurfaceKind, CD: p.CD})
		rest -= p.CD
	}
	if math.Abs(rest) > 1e-9 {
		b.Parts = append(b.Parts, Part{Name: "all surfaces", Cause: Vortices, Kind: SurfaceKind, CD: rest})
	}
}

func (b *Breakdown) total() {
	b.CD = b.Parasite + b.Profile + b.Induced
	for i := range b.Parts {
		p := &b.Parts[i]
		p.CDA, p.Share = p.CD*b.Area, p.CD/b.CD
	}
}

// By returns the sum of the parts of each component, in the order in which they come.
func (b Breakdown) By() []Share {
	var out []Share
	for _, p := range b.Parts {
		i := slices.IndexFunc(out, func(s Share) bool { return s.Name == p.Name })
		if i < 0 {
			i, out = len(out), append(out, Share{Name: p.Name})
		}
		out[i].CD += p.CD
	}
	return out
}

// Point returns the breakdown as a point of a polar.
func (b Breakdown) Point() Point {
	return Point{CL: b.CL, CD: b.CD, Profile: b.Profile, Induced: b.Induced}
}

// String writes the sums and the parts.
func (b Breakdown) String() string {
	var text strings.Builder
	fmt.Fprintf(&text, "%s: CL %.4f, CD %s = %s without lift + %s profile by lift + %s induced, L/D %.2f\n", b.Aircraft, b.CL, five(b.CD), five(b.Parasite), five(b.Profile),
		five(b.Induced), b.LiftToDrag())
	for _, p := range b.Parts {
		fmt.Fprintf(&text, "%28s, %s: CD %s, %4.1f %%\n", p.Name, p.Cause, five(p.CD), 100*p.Share)
	}
	return text.String()
}
