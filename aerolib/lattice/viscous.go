package lattice

import (
	"fmt"
	"slices"
	"strings"

	"foreplane/aerolib/unit"
)

// ViscousStrip is what the section of a strip does.
type ViscousStrip struct {
	Surface   string
	Middle    Point            // of its leading edge
	Alpha     unit.Angle       // of the section, normal to the quarter chord, in the flow that all wakes leave it
	CL        unit.Coefficient // along the stream, 2Γ/(Vc)
	CD        unit.Coefficient // profile drag
	Turn      unit.Angle       // by which the strip is turned to have this lift, Δ
	Beyond    bool             // the lift of the section falls with α, or stays
	PostStall bool             // the section says so

	area unit.Area
}

// ViscousResult is the answer of [Model.Viscous]. The coefficients contain friction: CD is that of the near field with profile drag, Cm has the moments of the
// sections.
type ViscousResult struct {
	Result
	CDp        unit.Coefficient // profile drag
	Drag       unit.Coefficient // CDi + CDp
	Sections   []ViscousStrip
	Iterations int
	Residual   unit.Coefficient // greatest difference between the lift of a strip and that of its section
}

// ConvergenceError says that an iteration came to no end, with the best that it found.
type ConvergenceError struct {
	Best ViscousResult
	Err  error // what ended the iteration, such as a [*SectionError]; nil if it was the number of steps
}

func (e *ConvergenceError) Error() string {
	text := fmt.Sprintf("lattice.Viscous: at α %s the lift of strips and sections still differs by %.2g in cl after %d iterations; %d of %d strips are beyond their greatest lift",
		unit.Format(e.Best.State.Alpha, "°"), e.Best.Residual, e.Best.Iterations, e.Best.beyond(), len(e.Best.Sections))
	if e.Err != nil {
		text += "; " + e.Err.Error()
	}
	return text
}

// Unwrap returns what ended the iteration.
func (e *ConvergenceError) Unwrap() error { return e.Err }

// SectionError says that a section has no data where a strip needs them.
type SectionError struct {
	Surface string
	At      Point
	Alpha   unit.Angle // not a number if no angle gives the lift
	Err     error
}

func (e *SectionError) Error() string {
	return fmt.Sprintf("lattice.Viscous: the section of the %s at %s has no data at %s: %v", e.Surface, e.At, unit.Format(e.Alpha, "°"), e.Err)
}

// Unwrap returns what the section said.
func (e *SectionError) Unwrap() error { return e.Err }

// Viscous returns loads and drag of a state with the [Section] of each strip: profile drag, and lift as the section has it, up to its greatest and somewhat beyond.
//
// Each strip is turned by an angle Δ, a right-hand side of its own, until its lift is that of its section at the angle of attack that the lattice gives it
// ([Mukherjee]). With cl = 2Γ/(Vc), slope a₀ and zero-lift angle α₀ of a thin section, camber included, and sweep Λ of the quarter chord,
//
//	sin α_e = cl/a₀ + α₀ − Δ,   a₀ = 2π cos Λ/√(1 − M² cos²Λ)
//	cl = cl_s(α_s) cos²Λ,       sin α_s = sin α_e/cos Λ
//
// for all strips at once, by the method of Newton with steps that are halved until the residual falls, and by an under-relaxed step if it does not. Where the
// sections are thin ones without friction, Δ is zero and the result is that of [Model.Solve]. A deflected flap acts on its section as the angle by which it turns
// the zero-lift line; the greatest lift remains that of the data. Profile drag is taken along the stream, as it stands; the moment of the section replaces that of
// its camber. Surfaces without sections stay without friction. Section data belong to the Mach number and the Reynolds number of their strip.
//
// Near the stall let the wakes follow the stream ([Settings].Wake): on aeroplanes with two surfaces they decide which of them stalls first. Valid until the first
// strips pass their greatest lift. Beyond, several solutions exist, of which this finds one, and separated flow is not straight wakes and
// strips on their own: a note says so. Large sweep lets boundary layers flow outwards, which strips do not know.
//
// Errors are those of Solve, a [*SectionError] where a section has no data, a [*ConvergenceError], and one if no surface has sections.
func (m *Model) Viscous(s State) (ViscousResult, error) {
	c, err := m.newCoupling(s)
	if err != nil {
		return ViscousResult{}, err
	}
	best, err := c.try(make([]float64, len(c.unknowns)))
	if err != nil {
		return ViscousResult{}, err
	}
	best, err = c.iterate(best)
	if stop, ok := err.(*stopped); ok {
		return ViscousResult{}, stop.error
	}
	r := c.result(best)
	if r.Residual > converged {
		return ViscousResult{}, &ConvergenceError{Best: r, Err: err}
	}
	return r, nil
}

func (r ViscousResult) beyond() int {
	n := 0
	for _, s := range r.Sections {
		if s.Beyond {
			n++
		}
	}
	return n
}

// stallNotes says where sections are at their greatest lift or beyond.
func (r ViscousResult) stallNotes() []string {
	var notes []string
	surfaces := map[string]bool{}
	for _, s := range r.Sections {
		if s.Beyond && !surfaces[s.Surface] {
			surfaces[s.Surface] = true
			notes = append(notes, fmt.Sprintf("Strips of the %s have reached the greatest lift of their section, among them that at %s: from here on the lattice is a guess.", s.Surface, s.Middle))
		}
	}
	if slices.ContainsFunc(r.Sections, func(s ViscousStrip) bool { return s.PostStall }) {
		notes = append(notes, "Some sections are beyond their data, on the curve of a stalled flat plate.")
	}
	return notes
}

// stallCaution is said wherever the approach to the stall is shown.
const stallCaution = "For study and preliminary work; the approved flight manual, local regulations and licensed engineers decide."

// String writes what that of [Result] does, with profile drag, the state of the iteration, and a caution.
func (r ViscousResult) String() string {
	var b strings.Builder
	b.WriteString(r.Result.String())
	fmt.Fprintf(&b, "profile drag %.5f, with induced drag %.5f; %d iterations, cl of strips and sections within %.1e\n", r.CDp, r.Drag, r.Iterations, r.Residual)
	fmt.Fprintf(&b, "%d of %d strips at their greatest lift or beyond. %s\n", r.beyond(), len(r.Sections), stallCaution)
	return b.String()
}
