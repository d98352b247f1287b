package lu

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/lapack/lapack64"
	"gonum.org/v1/gonum/mat"
)

func random(n int) []float64 {
	r := rand.New(rand.NewPCG(1, uint64(n)))
	a := make([]float64, n)
	for i := range a {
		a[i] = r.NormFloat64()
	}
	return a
}

// TestFactorise compares factors, pivots and solutions with those of gonum, at sizes around those of tiles and blocks.
func TestFactorise(t *testing.T) {
	for _, n := range []int{1, 2, 5, 7, 8, 9, 16, 17, 47, 48, 97, 200, 300, 523} {
		a := random(n * n)
		want, pivots := append([]float64(nil), a...), make([]int, n)
		lapack64.Getrf(blas64.General{Rows: n, Cols: n, Stride: n, Data: want}, pivots)
		got := append([]float64(nil), a...)
		f, err := Factorise(n, got, nil)
		if err != nil {
			t.Fatalf("%d: %v", n, err)
		}
		for i, p := range pivots {
			if f.pivots[i] != p {
				t.Fatalf("%d: pivot %d is %d, want %d", n, i, f.pivots[i], p)
			}
		}
		for i, v := range want {
			if !(math.Abs(got[i]-v) <= 1e-9*(1+math.Abs(v))) {
				t.Fatalf("%d: factor %d is %g, want %g", n, i, got[i], v)
			}
		}
		checkSolution(t, n, a, f)
	}
}

// checkSolution multiplies solutions by the matrix.
func checkSolution(t *testing.T, n int, a []float64, f *Factors) {
	const columns = 11
	b := random(n * columns)
	x := mat.NewDense(n, columns, f.Solve(b, columns))
	var product mat.Dense
	product.Mul(mat.NewDense(n, n, a), x)
	for i := range n {
		for j := range columns {
			if d := math.Abs(product.At(i, j) - b[i*columns+j]); !(d <= 1e-11*f.Condition()) {
				t.Fatalf("%d: residual %g at condition %g", n, d, f.Condition())
			}
		}
	}
}

// TestKernels: the kernel of this processor and the portable one agree.
func TestKernels(t *testing.T) {
	for _, depth := range []int{1, 2, 7, 64} {
		const stride = 13
		a, b := random(depth*tileRows), random(depth*tileCols)
		c, d := random(tileRows*stride), random(tileRows*stride)
		kernel(depth, a, b, c, stride)
		portable(depth, a, b, d, stride)
		for i := range c {
			if math.Abs(c[i]-d[i]) > 1e-13*float64(depth) {
				t.Fatalf("depth %d: number %d is %g and %g", depth, i, c[i], d[i])
			}
		}
	}
}

// TestCondition: diag(1, 10⁻⁶) has 10⁶, and the identity 1.
func TestCondition(t *testing.T) {
	for _, small := range []float64{1, 1e-6} {
		f, err := Factorise(2, []float64{0, 1, small, 0}, nil)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(f.Condition()*small-1) > 1e-12 {
			t.Errorf("condition %g, want %g", f.Condition(), 1/small)
		}
	}
}

func TestSingular(t *testing.T) {
	nan := random(400)
	nan[45] = math.NaN()
	infinite := random(400)
	infinite[399] = math.Inf(1)
	hilbert := make([]float64, 400)
	for i := range hilbert {
		hilbert[i] = 1 / float64(i/20+i%20+1)
	}
	for name, a := range map[string][]float64{"zero": {0}, "rank": {1, 2, 2, 4}, "NaN": nan, "infinite": infinite, "Hilbert": hilbert} {
		var singular *SingularError
		if f, err := Factorise(int(math.Sqrt(float64(len(a)))), a, nil); !errors.As(err, &singular) || singular.Condition < 1e14 {
			t.Errorf("%s: %v, %v", name, f, err)
		}
	}
}

// TestHook: progress rises to nearly all, and an error ends the work.
func TestHook(t *testing.T) {
	const n = 100
	last := -1.0
	if _, err := Factorise(n, random(n*n), func(done float64) error {
		if !(done > last && done < 1) {
			t.Errorf("progress %g after %g", done, last)
		}
		last = done
		return nil
	}); err != nil || last < 0.99 {
		t.Errorf("%v, progress %g", err, last)
	}
	stop, calls := errors.New("stop"), 0
	_, err := Factorise(n, random(n*n), func(float64) error { calls++; return stop })
	if err != stop || calls != 1 {
		t.Errorf("%v after %d calls", err, calls)
	}
}

func BenchmarkFactorise(b *testing.B) {
	for _, n := range []int{200, 1000, 2000} {
		a := random(n * n)
		work := make([]float64, n*n)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for b.Loop() {
				copy(work, a)
				if _, err := Factorise(n, work, nil); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(2.0/3*float64(n)*float64(n)*float64(n)*float64(b.N)/b.Elapsed().Seconds()/1e9, "Gflop/s")
		})
	}
}
