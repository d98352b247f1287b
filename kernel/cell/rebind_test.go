package cell

import (
	"context"
	"fmt"
	"testing"

	"foreplane/kernel"
)

// session40 runs 40 cells, each with a function that calls the one of the cell before, a type with a method, a variable and a closure.
func session40(b testing.TB) *Engine {
	e := newTestEngine(b)
	evaluate(b, e, 1, "const g = 9.81\nfunc f0(x float64) float64 { return g * x }")
	for i := 1; i < 40; i++ {
		evaluate(b, e, i+1, fmt.Sprintf(`type T%[1]d struct{ x, y float64 }
func (t T%[1]d) Sum() float64 { return t.x + t.y }
func f%[1]d(x float64) float64 {
	sum := 0.0
	for i := range 3 {
		sum += float64(i)
	}
	return math.Sqrt(f%[2]d(x) + sum + T%[1]d{x, 1}.Sum())
}
v%[1]d := f%[1]d(2)
c%[1]d := func() float64 { return f%[2]d(v%[1]d) }
c%[1]d()`, i, i-1))
	}
	return e
}

func evaluate(b testing.TB, e *Engine, number int, code string) string {
	b.Helper()
	r := e.Run(context.Background(), kernel.Cell{Code: code, Number: number}, noOutput{})
	if r.Err != nil {
		b.Fatal(r.Err, r.Err.Traceback)
	}
	return text(r)
}

// BenchmarkRedefinition measures a cell that declares a function again in a session of 40 cells: one on which nothing depends, and one on which all others do.
func BenchmarkRedefinition(b *testing.B) {
	for name, code := range map[string]string{
		"used by none": "func f39(x float64) float64 { return x }",
		"used by all":  "func f0(x float64) float64 { return 9 * x }",
		"constant":     "const g = %d",
	} {
		b.Run(name, func(b *testing.B) {
			e := session40(b)
			n := 41
			for b.Loop() {
				text := code
				if name == "constant" {
					text = fmt.Sprintf(code, n)
				}
				evaluate(b, e, n, text)
				n++
			}
		})
	}
}
