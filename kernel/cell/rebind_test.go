package cell

import (
	"context"
	"fmt"
	"math/rand/v2"
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

// model is what a session of constants, functions, methods and closures should come to: every name means what was declared last.
type model struct {
	constant [3]int
	function [6]term // each may call those before it
	method   term
	variable int
	closure  [3]int // which function it calls
}

// term is the body of a function: factor·k + variable + the function called, at x + 1.
type term struct{ factor, constant, called int }

func (m *model) value(t term, x int) int {
	v := t.factor*m.constant[t.constant]*x + m.variable
	if t.called >= 0 {
		v += m.value(m.function[t.called], x+1)
	}
	return v
}

func (t term) source() string {
	s := fmt.Sprintf("return %d*k%d*x + v", t.factor, t.constant)
	if t.called >= 0 {
		s += fmt.Sprintf(" + f%d(x+1)", t.called)
	}
	return s
}

// TestRandomRedefinitions declares things again at random and compares all functions and closures with the model.
func TestRandomRedefinitions(t *testing.T) {
	for seed := range uint64(4) {
		r := rand.New(rand.NewPCG(seed, 1))
		e, m, cell := newTestEngine(t), &model{method: term{called: -1}}, 0
		run := func(code string) string { cell++; return evaluate(t, e, cell, code) }
		run("v := 0\nconst k0, k1, k2 = 0, 0, 0\ntype T struct{}\nfunc (T) m(x int) int { return v }")
		for i := range m.function {
			m.function[i] = m.redefine(r, i, run)
		}
		for i := range m.closure {
			run(fmt.Sprintf("c%d := func(x int) int { return f%d(x) }", i, i))
			m.closure[i] = i
		}
		for range 40 {
			m.change(r, run)
			if got, want := run(m.question()), m.answer(); got != want {
				t.Fatalf("seed %d, cell %d: got %s, want %s", seed, cell, got, want)
			}
		}
	}
}

func (m *model) redefine(r *rand.Rand, i int, run func(string) string) term {
	d := term{r.IntN(5), r.IntN(3), r.IntN(i+1) - 1}
	run(fmt.Sprintf("func f%d(x int) int { %s }", i, d.source()))
	return d
}

func (m *model) change(r *rand.Rand, run func(string) string) {
	switch r.IntN(5) {
	case 0:
		i, v := r.IntN(3), r.IntN(100)
		run(fmt.Sprintf("const k%d = %d", i, v))
		m.constant[i] = v
	case 1:
		m.variable = r.IntN(100)
		run(fmt.Sprintf("v := %d", m.variable))
	case 2:
		m.method = term{r.IntN(5), r.IntN(3), r.IntN(6)}
		run("func (T) m(x int) int { " + m.method.source() + " }")
	case 3:
		i := r.IntN(3)
		m.closure[i] = r.IntN(6)
		run(fmt.Sprintf("c%d = func(x int) int { return f%d(x) }", i, m.closure[i]))
	case 4:
		i := r.IntN(6)
		m.function[i] = m.redefine(r, i, run)
	}
}

func (m *model) question() string {
	return "fmt.Sprint(f0(2), f1(2), f2(2), f3(2), f4(2), f5(2), c0(3), c1(3), c2(3), T{}.m(4), any(T{}).(interface{ m(int) int }).m(5))"
}

func (m *model) answer() string {
	var out []any
	for _, f := range m.function {
		out = append(out, m.value(f, 2))
	}
	for _, i := range m.closure {
		out = append(out, m.value(m.function[i], 3))
	}
	return fmt.Sprint(append(out, m.value(m.method, 4), m.value(m.method, 5))...)
}
