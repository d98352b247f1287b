package trim

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"sync"
	"sync/atomic"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize"
	"gonum.org/v1/gonum/stat/distmv"
	"gonum.org/v1/gonum/stat/samplemv"

	"foreplane/aerolib/aircraft"
	"foreplane/aerolib/unit"
)

// Variable is a quantity of a foreplane that a study varies.
type Variable string

// Variables. The lifting surfaces keep their area together; the largest one keeps its aspect ratio and the quarter point of its chord.
const (
	SpanRatio Variable = "span of the foreplane over that of the largest surface"
	AreaShare Variable = "area of the foreplane, of that of all lifting surfaces"
	Ahead     Variable = "quarter chord of the foreplane ahead of that of the largest surface, in m"
	Incidence Variable = "incidence of the foreplane, in rad"
	Gap       Variable = "height of the foreplane above the largest surface, in m"
)

var variables = []Variable{SpanRatio, AreaShare, Ahead, Incidence, Gap}

// Interval is where a variable may lie.
type Interval struct{ From, To float64 }

// Study looks for designs of an aeroplane with a foreplane that have little drag in cruise and a low stall speed, of which there is no best one but a front.
type Study struct {
	Aircraft aircraft.Aircraft
	Basis    Basis                 // its Size does not count: the total area stays
	Vary     map[Variable]Interval // what is not named stays as drawn
	Designs  int                   // to try; 200 if 0
	Lead     unit.Ratio            // least lead of the foreplane at the first stall, at both ends of the range of the CG; 0.05 if 0
	Workers  int                   // at a time; 2 if 0
	Seed     uint64                // of the first designs; the same study with the same seed has the same designs

	// Progress, if not nil, is told of every design that has been tried, one at a time.
	Progress func(Progress)
}

// Progress is how far a study has come.
type Progress struct {
	Done, Of, Feasible int
	Last               Design
}

// String writes it in a line.
func (p Progress) String() string {
	return fmt.Sprintf("%d of %d designs, %d of them feasible; the last: %v", p.Done, p.Of, p.Feasible, p.Last)
}

// Design is a design that was tried.
type Design struct {
	Number int // in which it was asked for, 1 the first
	Values map[Variable]float64
	Layout Layout
	Drag   unit.Force              // in cruise
	Stall  unit.EquivalentAirspeed // at the forward end of the range
	Lead   unit.Ratio              // of the foreplane at the first stall, the lesser of both ends; below zero another is first
	Why    string                  // it is not feasible; empty if it is
}

// Feasible reports whether a design meets all constraints.
func (d Design) Feasible() bool { return d.Why == "" }

// String writes drag and stall speed, or why it is not feasible.
func (d Design) String() string {
	if !d.Feasible() {
		return d.Why
	}
	return fmt.Sprintf("%s of drag in cruise, stall at %s", unit.Format(d.Drag, "N"), unit.Format(d.Stall, "m/s"))
}

// StudyResult is what a study has found.
type StudyResult struct {
	Aircraft string
	Basis    Basis
	Drawn    Design   // the aeroplane as it is drawn
	Designs  []Design // all that were tried, by number
	Front    []Design // feasible ones of which no other is better in both, by stall speed
	Caution  string
}

// Infeasible counts the designs that miss a constraint, by what they miss.
func (r StudyResult) Infeasible() map[string]int {
	counts := map[string]int{}
	for _, d := range r.Designs {
		if !d.Feasible() {
			counts[d.Why]++
		}
	}
	return counts
}

// Optimise runs a study. Each design is brought to the basis as it is drawn: least static margin at the aft end of the range of the CG, stability in yaw by its fins; its stall
// is the first with the CG at the forward end, its drag that in cruise by the vortex lattice. A design is feasible if the foreplane is first at the stall at both ends with the
// lead that is asked for, no control is at its stop, and it trims in cruise.
//
// Half of the designs fill the space of the variables evenly (Halton's sequence, scrambled); from the best of these, by several weights w between the two aims,
//
//	w D/D₀ + (1 − w) V_S/V_S₀ + penalty
//
// the method of Nelder and Mead goes on. It finds good designs, not a proven optimum. Once the context ends it returns what it has, with the error of the context. Other errors
// are for a study that cannot be, and for an aeroplane that does not come to the basis as it is drawn.
func Optimise(ctx context.Context, s Study) (StudyResult, error) {
	s, err := s.filled()
	if err != nil {
		return StudyResult{}, err
	}
	r := &run{Study: s, ctx: ctx}
	r.out = StudyResult{Aircraft: s.Aircraft.Name, Basis: s.Basis, Caution: Caution}
	r.out.Drawn = r.try(s.drawn())
	if r.out.Drawn.Layout.Cruise.Aircraft == "" {
		return r.out, fmt.Errorf("trim.Optimise: %s as it is drawn: %s", s.Aircraft.Name, r.out.Drawn.Why)
	}
	each := s.Designs / 2 / len(weights)
	samples := r.scatter(s.Designs - each*len(weights))
	r.descend(samples, s.Designs-each*len(weights), each)
	slices.SortFunc(r.out.Designs, func(a, b Design) int { return cmp.Compare(a.Number, b.Number) })
	r.out.Front = front(r.out.Designs)
	return r.out, ctx.Err()
}

// weights between drag and stall speed, from each of which a search goes on.
var weights = []unit.Ratio{0.1, 0.3, 0.5, 0.7, 0.9}

func (s Study) filled() (Study, error) {
	s.Designs, s.Lead, s.Workers = cmp.Or(s.Designs, 200), cmp.Or(s.Lead, 0.05), cmp.Or(s.Workers, 2)
	if err := s.Aircraft.Validate(); err != nil {
		return s, err
	}
	var err error
	if s.Basis, err = s.Basis.filled(s.Aircraft); err != nil {
		return s, err
	}
	s.Basis.Size = AsDrawn
	if _, ok := foreplaneOf(s.Aircraft); !ok {
		return s, fmt.Errorf("trim.Optimise: %s has no foreplane besides its largest surface", s.Aircraft.Name)
	}
	if len(s.Vary) == 0 {
		return s, errors.New("trim.Optimise: no variable is named to vary")
	}
	if s.Designs < 20 {
		return s, fmt.Errorf("trim.Optimise: %d designs are too few, must be 20 or more", s.Designs)
	}
	for v, l := range s.Vary {
		if !slices.Contains(variables, v) {
			return s, fmt.Errorf("trim.Optimise: there is no variable %q", v)
		}
		if !(l.From < l.To) || math.IsInf(l.To-l.From, 0) {
			return s, fmt.Errorf("trim.Optimise: the %s is to lie between %.4g and %.4g, which is no interval", v, l.From, l.To)
		}
	}
	return s, errors.Join(unit.CheckRange("trim.Optimise", "lead of the foreplane", s.Lead, -1, 1, "1"), unit.CheckRange("trim.Optimise", "number of workers", float64(s.Workers), 1, 64, "1"))
}

// foreplaneOf returns the foreplane of an aeroplane, which is not its largest surface.
func foreplaneOf(a aircraft.Aircraft) (aircraft.Surface, bool) {
	for _, s := range a.Lifting() {
		if s.Role == aircraft.Foreplane && s.Name != largest(a).Name {
			return s, true
		}
	}
	return aircraft.Surface{}, false
}

// drawn returns the variables of the aeroplane as it is drawn.
func (s Study) drawn() map[Variable]float64 {
	f, _ := foreplaneOf(s.Aircraft)
	w := largest(s.Aircraft)
	return map[Variable]float64{
		SpanRatio: f.Span() / w.Span(), AreaShare: f.Area() / s.Aircraft.Area(), Ahead: w.QuarterChord() - f.QuarterChord(), Incidence: f.Incidence, Gap: f.Height() - w.Height(),
	}
}

// design returns the aeroplane with other values of the variables.
func (s Study) design(v map[Variable]float64) aircraft.Aircraft {
	f, _ := foreplaneOf(s.Aircraft)
	w := largest(s.Aircraft)
	total := f.Area() + w.Area()
	area := v[AreaShare] * s.Aircraft.Area()
	a := s.Aircraft.Resized(func(t aircraft.Surface) unit.Ratio {
		switch t.Name {
		case w.Name:
			return math.Sqrt((total - area) / w.Area())
		case f.Name:
			return math.Sqrt(area / f.Area())
		}
		return 1
	})
	f, _ = foreplaneOf(a)
	w = largest(a)
	wide := v[SpanRatio] * w.Span() / f.Span()
	stations := slices.Clone(f.Stations)
	root := f.Root()
	for i, t := range stations {
		stations[i].X, stations[i].Y, stations[i].Z = root.X+wide*(t.X-root.X), wide*t.Y, root.Z+wide*(t.Z-root.Z)
		stations[i].Chord = t.Chord / wide
	}
	f.Stations, f.Incidence = stations, v[Incidence]
	return a.With(f.Moved(w.QuarterChord()-v[Ahead]-f.QuarterChord(), 0, w.Height()+v[Gap]-f.Height()))
}

// run is a study that is under way.
type run struct {
	Study
	ctx context.Context

	mu       sync.Mutex
	out      StudyResult
	feasible int
}

// try works a design out.
func (r *run) try(v map[Variable]float64) Design {
	d := Design{Values: v}
	l, err := r.Basis.reach(r.design(v))
	if err != nil {
		d.Why = err.Error()
		return d
	}
	d.Layout, d.Drag, d.Stall = l, l.Cruise.Drag.Force, l.Stall.Equivalent
	d.Lead = min(lead(l.Stall), lead(l.AftStall))
	switch {
	case l.Stall.AtStop || l.AftStall.AtStop:
		d.Why = "the control for pitch is at its stop before any section at its limit"
	case d.Lead < r.Lead:
		d.Why = fmt.Sprintf("the foreplane does not lead at the stall by %.0f %%", 100*r.Lead)
	}
	return d
}

// lead returns by how much the foreplane is nearer to its limit than any other surface.
func lead(s Stall) unit.Ratio {
	first, others := s.First, s.Others
	if first.Role == aircraft.Foreplane {
		return s.Margin()
	}
	for _, o := range others {
		if o.Role == aircraft.Foreplane {
			return o.Used - first.Used
		}
	}
	return math.Inf(-1)
}

// keep adds a design with its number.
func (r *run) keep(d Design) {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.out.Designs = append(r.out.Designs, d)
	if d.Feasible() {
		r.feasible++
	}
	if r.Progress != nil {
		r.Progress(Progress{len(r.out.Designs), r.Designs, r.feasible, d})
	}
}

// varied lists the variables that are varied, in a fixed order.
func (r *run) varied() []Variable {
	return slices.DeleteFunc(slices.Clone(variables), func(v Variable) bool { _, ok := r.Vary[v]; return !ok })
}

// at returns the values at a point of the unit cube.
func (r *run) at(x []float64) map[Variable]float64 {
	v := maps.Clone(r.out.Drawn.Values)
	for i, name := range r.varied() {
		l := r.Vary[name]
		v[name] = l.From + x[i]*(l.To-l.From)
	}
	return v
}

// sample is a point of the unit cube with its design.
type sample struct {
	x []float64
	d Design
}

// scatter fills the cube evenly.
func (r *run) scatter(n int) []sample {
	k := len(r.Vary)
	points := mat.NewDense(n, k, nil)
	src := rand.NewPCG(r.Seed, 1)
	samplemv.Halton{Kind: samplemv.Owen, Q: distmv.NewUnitUniform(k, src), Src: src}.Sample(points)
	samples := make([]sample, n)
	r.each(n, func(i int) {
		x := slices.Clone(points.RawRowView(i))
		d := r.try(r.at(x))
		d.Number = i + 1
		r.keep(d)
		samples[i] = sample{x, d}
	})
	return slices.DeleteFunc(samples, func(s sample) bool { return s.x == nil })
}

// each calls f for 0 to n−1 by all workers, until the context ends.
func (r *run) each(n int, f func(i int)) {
	var next atomic.Int64
	var wait sync.WaitGroup
	for range r.Workers {
		wait.Go(func() {
			for i := int(next.Add(1)) - 1; i < n && r.ctx.Err() == nil; i = int(next.Add(1)) - 1 {
				f(i)
			}
		})
	}
	wait.Wait()
}

// penalty is what a whole unit of a missing lead, or of a way out of the cube, adds to the aim.
const penalty = 10.0

// cost is what a search makes small.
func (r *run) cost(w unit.Ratio, d Design) float64 {
	if d.Layout.Cruise.Aircraft == "" {
		return penalty // it does not come to the basis
	}
	drawn := r.out.Drawn
	cost := w*d.Drag/drawn.Drag + (1-w)*d.Stall/drawn.Stall
	if !d.Feasible() {
		cost += penalty * (0.01 + max(0, r.Lead-d.Lead))
	}
	return cost
}

// descend goes on from the best sample by each weight, with so many designs each, behind those that have a number.
func (r *run) descend(samples []sample, numbered, each int) {
	if len(samples) == 0 {
		return
	}
	r.each(len(weights), func(i int) { r.search(weights[i], samples, numbered+i*each, each) })
}

// search is the method of Nelder and Mead with n designs, numbered from the given one.
func (r *run) search(w unit.Ratio, samples []sample, number, n int) {
	best := slices.MinFunc(samples, func(a, b sample) int { return cmp.Compare(r.cost(w, a.d), r.cost(w, b.d)) })
	tried := 0
	problem := optimize.Problem{
		Func: func(x []float64) float64 {
			if out := outside(x); out > 0 {
				return penalty * (1 + out)
			}
			if tried++; tried > n || r.ctx.Err() != nil {
				return penalty
			}
			d := r.try(r.at(x))
			d.Number = number + tried
			r.keep(d)
			return r.cost(w, d)
		},
		Status: func() (optimize.Status, error) {
			if tried >= n || r.ctx.Err() != nil {
				return optimize.FunctionEvaluationLimit, nil
			}
			return optimize.NotTerminated, nil
		},
	}
	settings := &optimize.Settings{InitValues: &optimize.Location{X: nil, F: r.cost(w, best.d)}, FuncEvaluations: 20 * n}
	// How it ends does not matter: every design that was tried has been kept.
	_, _ = optimize.Minimize(problem, best.x, settings, &optimize.NelderMead{SimplexSize: 0.15})
}

// outside returns how far a point is from the unit cube.
func outside(x []float64) float64 {
	far := 0.0
	for _, v := range x {
		far += max(0, -v) + max(0, v-1)
	}
	return far
}

// front returns the feasible designs of which no other is better in drag and stall speed, by stall speed.
func front(designs []Design) []Design {
	feasible := slices.DeleteFunc(slices.Clone(designs), func(d Design) bool { return !d.Feasible() })
	slices.SortFunc(feasible, func(a, b Design) int { return cmp.Or(cmp.Compare(a.Stall, b.Stall), cmp.Compare(a.Drag, b.Drag)) })
	var out []Design
	for _, d := range feasible {
		if len(out) == 0 || d.Drag < out[len(out)-1].Drag {
			out = append(out, d)
		}
	}
	return out
}
