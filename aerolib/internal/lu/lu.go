package lu

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/lapack"
	lapacks "gonum.org/v1/gonum/lapack/gonum"
	"gonum.org/v1/gonum/lapack/lapack64"
)

// Factors is a factorised matrix, P A = L U. It may be used by several goroutines at once.
type Factors struct {
	n        int
	a        []float64 // L below the diagonal, which is 1 there, and U on it and above, row by row
	pivots   []int     // with which row each was exchanged
	inverted float64   // condition, see Condition
}

// A SingularError says that a matrix has no inverse, or none that rounding leaves anything of.
type SingularError struct {
	Column    int     // whose pivot is zero, or −1
	Condition float64 // infinite if a pivot is zero
}

func (e *SingularError) Error() string {
	if e.Column >= 0 {
		return fmt.Sprintf("lu: the matrix is singular: no pivot in column %d", e.Column+1)
	}
	return fmt.Sprintf("lu: the matrix is singular to working precision: condition number about %.1e", e.Condition)
}

// Factorise factorises the n × n matrix a, which it overwrites. The hook, if not nil, is told from time to time which part of the work is done; the error it
// returns ends the factorisation. It returns a [*SingularError] for a matrix without inverse or with a condition number beyond 10¹⁴, where less than two digits
// of a solution remain; numbers that are not finite give one as well.
func Factorise(n int, a []float64, hook func(done float64) error) (*Factors, error) {
	if len(a) != n*n {
		panic(fmt.Sprintf("lu: %d numbers for a matrix of %d × %d", len(a), n, n))
	}
	general := blas64.General{Rows: n, Cols: n, Stride: n, Data: a}
	norm := lapack64.Lange(lapack.MaxColumnSum, general, make([]float64, n))
	f := &Factors{n: n, a: a, pivots: make([]int, n)}
	e := eliminator{matrix: block{a, n, n, n}, pivots: f.pivots, hook: hook, panel: make([]float64, n*leaf)}
	if err := e.columns(0, n); err != nil {
		return nil, err
	}
	f.inverted = 1 / (norm * f.inverseNorm())
	if !(f.inverted > least) {
		return nil, &SingularError{Column: -1, Condition: 1 / f.inverted}
	}
	return f, nil
}

// inverseNorm estimates the 1-norm of the inverse from a few solutions with it and its transpose ([Higham]). The exchange of rows does not enter.
func (f *Factors) inverseNorm() float64 {
	n := f.n
	lower := blas64.Triangular{Uplo: blas.Lower, Diag: blas.Unit, N: n, Stride: n, Data: f.a}
	upper := blas64.Triangular{Uplo: blas.Upper, Diag: blas.NonUnit, N: n, Stride: n, Data: f.a}
	v, x, signs := make([]float64, n), blas64.Vector{N: n, Inc: 1, Data: make([]float64, n)}, make([]int, n)
	var memory [3]int
	norm, ask := 0.0, 0
	for {
		norm, ask = lapacks.Implementation{}.Dlacn2(n, v, x.Data, signs, norm, ask, &memory)
		switch ask {
		case 0:
			return norm
		case 1:
			blas64.Trsv(blas.NoTrans, lower, x)
			blas64.Trsv(blas.NoTrans, upper, x)
		case 2:
			blas64.Trsv(blas.Trans, upper, x)
			blas64.Trsv(blas.Trans, lower, x)
		}
	}
}

// least is the inverse of the greatest condition number that is accepted.
const least = 1e-14

// Condition returns an estimate of the condition number of the matrix in the 1-norm, seldom below a third of the true one ([Higham]).
func (f *Factors) Condition() float64 { return 1 / f.inverted }

// Solve returns X with A X = B, both n × columns, row by row. B is left as it is.
func (f *Factors) Solve(b []float64, columns int) []float64 {
	x := append([]float64(nil), b...)
	all := block{x, f.n, columns, columns}
	for i, p := range f.pivots {
		all.swap(i, p)
	}
	m := block{f.a, f.n, f.n, f.n}
	solveLower(m, all)
	solveUpper(m, all)
	return x
}

// leaf is the number of columns that are eliminated one by one, a cache line of each row.
const leaf = 8

// eliminator is the state of a factorisation.
type eliminator struct {
	matrix block
	pivots []int
	hook   func(done float64) error
	panel  []float64 // the columns of a leaf, packed
}

// columns eliminates below the diagonal from column from to column to.
func (e *eliminator) columns(from, to int) error {
	if to-from <= leaf {
		return e.leaf(from, to)
	}
	middle := from + (to-from+2*leaf-1)/(2*leaf)*leaf
	if err := e.columns(from, middle); err != nil {
		return err
	}
	m, n := e.matrix, e.matrix.rows
	right := m.part(0, n, middle, to)
	for i := from; i < middle; i++ {
		right.swap(i, e.pivots[i])
	}
	top := m.part(from, middle, middle, to)
	solveLower(m.part(from, middle, from, middle), top)
	subtractProduct(m.part(middle, n, middle, to), m.part(middle, n, from, middle), top)
	if err := e.columns(middle, to); err != nil {
		return err
	}
	left := m.part(0, n, from, middle)
	for i := middle; i < to; i++ {
		left.swap(i, e.pivots[i])
	}
	return nil
}

// leaf eliminates a few columns one by one.
func (e *eliminator) leaf(from, to int) error {
	if e.hook != nil {
		rest := 1 - float64(from)/float64(e.matrix.rows)
		if err := e.hook(1 - rest*rest*rest); err != nil {
			return err
		}
	}
	width, below := to-from, e.matrix.part(from, e.matrix.rows, from, to)
	p := block{e.panel, below.rows, width, width}
	p.copy(below)
	for j := range width {
		pivot := p.pivot(j)
		if v := p.at(pivot, j); v == 0 || math.IsNaN(v) || math.IsInf(v, 0) {
			return &SingularError{Column: from + j, Condition: math.Inf(1)}
		}
		e.pivots[from+j] = from + pivot
		p.swap(j, pivot)
		p.eliminate(j)
	}
	below.copy(p)
	return nil
}

// pivot returns the row of the number of greatest magnitude in column j, on the diagonal or below. Not a number counts as greatest.
func (p block) pivot(j int) int {
	best, row := -1.0, j
	for i := j; i < p.rows; i++ {
		if v := math.Abs(p.data[i*p.stride+j]); v > best || math.IsNaN(v) {
			best, row = v, i
			if math.IsNaN(v) {
				break
			}
		}
	}
	return row
}

// eliminate subtracts multiples of row j from those below it.
func (p block) eliminate(j int) {
	pivot := p.row(j)
	inverse := 1 / pivot[j]
	tail := pivot[j+1:]
	for i := j + 1; i < p.rows; i++ {
		row := p.row(i)
		row[j] *= inverse
		l := row[j]
		for k, v := range tail {
			row[j+1+k] -= l * v
		}
	}
}
