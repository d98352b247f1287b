package lattice

import (
	"fmt"
	"runtime"
	"sync"
	"sync/atomic"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/lapack/lapack64"
)

// part is what one factorisation yields, per basis: circulations over the speed, in m, and velocities over the speed, with those of the free flow, where
// vortices bear force. Bases of other parity have nil.
type part struct {
	gamma [][]float64
	bound [][]vec // at the bound vortices
	chord [][]vec // at the middles of the vortices along the chord, per vertex
}

// parallel calls work for 0 ≤ i < n from several goroutines, each with its own scratch, until one returns an error or the stop hook does.
func (m *Model) parallel(n int, work func(i int, w *scratch)) error {
	var next atomic.Int64
	var stop atomic.Pointer[error]
	var group sync.WaitGroup
	var hooks sync.Mutex // so that hooks need not mind several goroutines
	for range min(runtime.GOMAXPROCS(0), n) {
		group.Go(func() {
			w := m.mesh.scratch(len(m.bases))
			for stop.Load() == nil {
				i := int(next.Add(1)) - 1
				if i >= n {
					return
				}
				if err := m.pause(&hooks, i, n); err != nil {
					stop.Store(&err)
				}
				work(i, w)
			}
		})
	}
	group.Wait()
	if err := stop.Load(); err != nil {
		return *err
	}
	return nil
}

// pause asks the stop hook and tells the progress, every so many panels.
func (m *Model) pause(hooks *sync.Mutex, i, n int) error {
	if i%32 != 0 {
		return nil
	}
	hooks.Lock()
	defer hooks.Unlock()
	if m.settings.Progress != nil {
		m.settings.Progress(float64(i) / float64(n))
	}
	if m.settings.Stop != nil {
		return m.settings.Stop()
	}
	return nil
}

// matrix returns the influence of n unknowns on as many control points, row by row.
func (m *Model) matrix(n int, parity float64) ([]float64, error) {
	a, all := make([]float64, n*n), len(m.mesh.point)
	err := m.parallel(n, func(i int, w *scratch) {
		row := w.row[:all]
		clear(row)
		m.field.flow(probe{m.field.at(m.mesh.point[i]), m.mesh.ownerOf[i], nowhere}, m.mesh.normal[i], parity, row, w)
		copy(a[i*n:(i+1)*n], row)
	})
	return a, err
}

// newPart assembles and factorises the system of one parity, solves all its bases and computes the velocities they give.
func (m *Model) newPart(parity float64) (*part, error) {
	n := len(m.mesh.point)
	if m.mesh.symmetric && parity > 0 {
		n = m.mesh.halves
	}
	a, err := m.matrix(n, parity)
	if err != nil {
		return nil, err
	}
	var which []int
	for k, b := range m.bases {
		if b.parity == parity {
			which = append(which, k)
		}
	}
	rhs := blas64.General{Rows: n, Cols: len(which), Stride: len(which), Data: make([]float64, n*len(which))}
	for c, k := range which {
		for i, v := range m.rhs(m.bases[k], n) {
			rhs.Data[i*rhs.Stride+c] = v
		}
	}
	lu, pivots := blas64.General{Rows: n, Cols: n, Stride: n, Data: a}, make([]int, n)
	if !lapack64.Getrf(lu, pivots) {
		return nil, fmt.Errorf("lattice: the boundary conditions have no solution: two panels see the same flow")
	}
	m.factors++
	lapack64.Getrs(blas.NoTrans, lu, rhs, pivots)
	p := &part{gamma: make([][]float64, len(m.bases))}
	for c, k := range which {
		g := make([]float64, len(m.mesh.point))
		for i := range n {
			g[i] = rhs.Data[i*rhs.Stride+c]
		}
		p.gamma[k] = g
	}
	return p, m.velocities(p, which, parity)
}

// velocities computes the velocities at all places where vortices bear force.
func (m *Model) velocities(p *part, which []int, parity float64) error {
	mesh := m.mesh
	p.bound, p.chord = make([][]vec, len(m.bases)), make([][]vec, len(m.bases))
	for _, k := range which {
		p.bound[k], p.chord[k] = make([]vec, len(mesh.bound)), make([]vec, len(mesh.x))
	}
	points := len(mesh.bound)
	return m.parallel(points+len(mesh.x), func(i int, w *scratch) {
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
			if free := m.bases[k].free; free != nil {
				v = v.add(free(place.vec))
			}
			out[k][at] = v
		}
	})
}

// induced leaves in w.sum the velocities that the given circulations of one parity induce at a place, given in true scale.
func (m *Model) induced(place probe, parity float64, which []int, gamma [][]float64, w *scratch) {
	place.vec = m.field.at(place.vec)
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
