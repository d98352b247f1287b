package lattice

import (
	"errors"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"

	"foreplane/aerolib/internal/lu"
	"foreplane/aerolib/unit"
)

// part is what one factorisation yields, per right-hand side: circulations over the speed, in m, and velocities over the speed, with those of the free flow,
// where vortices bear force. Those of other parity have nil.
type part struct {
	lu    *lu.Factors
	free  []func(at vec) vec // velocity of the free flow; nil is none
	gamma [][]unit.Length
	bound [][]vec // at the bound vortices
	chord [][]vec // at the middles of the vortices along the chord, per vertex
}

// parallel calls work for 0 ≤ i < n from several goroutines, each with its own scratch, until one returns an error or the stop hook does. The name of the stage
// is for the progress.
func (m *Model) parallel(stage string, n int, work func(i int, w *scratch)) error {
	var next atomic.Int64
	var stop atomic.Pointer[error]
	var group sync.WaitGroup
	var hooks sync.Mutex // so that hooks need not mind several goroutines
	for range min(runtime.GOMAXPROCS(0), n) {
		group.Go(func() {
			w := m.mesh.scratch()
			for stop.Load() == nil {
				i := int(next.Add(1)) - 1
				if i >= n {
					return
				}
				if i%hookEvery == 0 {
					hooks.Lock()
					if err := m.pause(stage, float64(i)/float64(n)); err != nil {
						stop.Store(&err)
					}
					hooks.Unlock()
				}
				work(i, w)
			}
		})
	}
	group.Wait()
	if err := stop.Load(); err != nil {
		return *err
	}
	return m.pause(stage, 1)
}

// hookEvery is how many rows are computed between calls of the hooks: less than 10 ms with the largest meshes.
const hookEvery = 32

// pause tells the progress and asks the stop hook.
func (m *Model) pause(stage string, done unit.Ratio) error {
	if m.settings.Progress != nil {
		m.settings.Progress(stage, done)
	}
	if m.settings.Stop != nil {
		return m.settings.Stop()
	}
	return nil
}

// matrix returns the influence of n unknowns on as many control points, row by row.
func (m *Model) matrix(n int, parity unit.Ratio) ([]unit.PerLength, error) {
	a, all := make([]unit.PerLength, n*n), len(m.mesh.point)
	err := m.parallel(stageAssembly, n, func(i int, w *scratch) {
		row := w.row[:all]
		clear(row)
		m.field.flow(probe{m.field.at(m.mesh.point[i]), m.mesh.ownerOf[i], nowhere}, m.mesh.normal[i], parity, row, w)
		copy(a[i*n:(i+1)*n], row)
	})
	return a, err
}

// newPart assembles and factorises the system of one parity, solves all its bases and computes the velocities they give.
func (m *Model) newPart(parity unit.Ratio) (*part, error) {
	n := m.unknowns(parity)
	a, err := m.matrix(n, parity)
	if err != nil {
		return nil, err
	}
	factors, err := m.factorise(n, a)
	if err != nil {
		return nil, err
	}
	return m.partOfFactors(factors, parity)
}

// partOfFactors solves all bases of one parity.
func (m *Model) partOfFactors(factors *lu.Factors, parity unit.Ratio) (*part, error) {
	n := m.unknowns(parity)
	p := &part{lu: factors, gamma: make([][]unit.Length, len(m.bases)), free: make([]func(vec) vec, len(m.bases))}
	var which []int
	var columns [][]unit.Ratio
	for k, b := range m.bases {
		if b.parity == parity {
			which, columns, p.free[k] = append(which, k), append(columns, m.rhs(b, n)), b.free
		}
	}
	for c, g := range m.solutions(factors, n, columns) {
		p.gamma[which[c]] = g
	}
	return p, m.velocities(p, which, parity)
}

// unknowns returns their number in flow of a parity: panels in the plane of symmetry have no part in symmetric flow.
func (m *Model) unknowns(parity unit.Ratio) int {
	if m.mesh.symmetric && parity > 0 {
		return m.mesh.halves
	}
	return len(m.mesh.point)
}

// factorise overwrites the matrix.
func (m *Model) factorise(n int, a []unit.PerLength) (*lu.Factors, error) {
	f, err := lu.Factorise(n, a, func(done float64) error { return m.pause(stageFactorisation, done) })
	var singular *lu.SingularError
	if errors.As(err, &singular) {
		return nil, &SingularError{Condition: singular.Condition}
	}
	if err == nil {
		m.factors++
	}
	return f, err
}

// solutions returns the circulations of all panels for each right-hand side of n unknowns; panels that are no unknowns have none.
func (m *Model) solutions(f *lu.Factors, n int, rhs [][]unit.Ratio) [][]unit.Length {
	together := make([]float64, n*len(rhs))
	for c, column := range rhs {
		for i, v := range column {
			together[i*len(rhs)+c] = v
		}
	}
	together = f.Solve(together, len(rhs))
	out := make([][]unit.Length, len(rhs))
	for c := range rhs {
		out[c] = make([]unit.Length, len(m.mesh.point))
		for i := range n {
			out[c][i] = together[i*len(rhs)+c]
		}
	}
	return out
}

// velocities computes the velocities at all places where vortices bear force.
func (m *Model) velocities(p *part, which []int, parity unit.Ratio) error {
	mesh := m.mesh
	p.bound, p.chord = make([][]vec, len(p.gamma)), make([][]vec, len(p.gamma))
	for _, k := range which {
		p.bound[k], p.chord[k] = make([]vec, len(mesh.bound)), make([]vec, len(mesh.x))
	}
	points := len(mesh.bound)
	return m.parallel(stageVelocities, points+len(mesh.x), func(i int, w *scratch) {
		out, at := p.bound, i
		place := probe{surface: nowhere, panel: nowhere}
		if i < points {
			place = probe{mesh.bound[i], mesh.ownerOf[i], i}
		} else {
			out, at = p.chord, i-points
			place.vec, place.surface = mesh.chordMiddle(at, m.field.stretch)
		}
		m.induced(place, parity, which, p.gamma, w)
		for c, k := range which {
			v := w.sum[c]
			if p.free[k] != nil {
				v = v.add(p.free[k](place.vec))
			}
			out[k][at] = v
		}
	})
}

// induced leaves in w.sum the velocities that the given circulations of one parity induce at a place, given in true scale.
func (m *Model) induced(place probe, parity unit.Ratio, which []int, gamma [][]unit.Length, w *scratch) {
	place.vec = m.field.at(place.vec)
	w.sum = slices.Grow(w.sum[:0], len(which))[:len(which)]
	for axis, n := range []vec{{m.field.stretch, 0, 0}, {0, 1, 0}, {0, 0, 1}} {
		clear(w.row)
		m.field.flow(place, n, parity, w.row, w)
		for c, k := range which {
			s := 0.0
			for j, g := range gamma[k] {
				s += w.row[j] * g
			}
			switch axis {
			case 0:
				w.sum[c].x = s
			case 1:
				w.sum[c].y = s
			case 2:
				w.sum[c].z = s
			}
		}
	}
}
