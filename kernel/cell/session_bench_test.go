package cell

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"foreplane/kernel"
	"foreplane/kernel/symbols"
)

// sessionOf returns n cells as people write them, each of which uses the one before.
func sessionOf(n int) []string {
	cells := []string{"V0 := 50 * MetrePerSecond\nS := 12 * SquareMetre\nm := 600 * Kilogram"}
	for i := 1; i < n; i++ {
		cells = append(cells, fmt.Sprintf(`h%[1]d := %[1]d * 500 * Foot
air%[1]d := must(atmos.Standard(h%[1]d))
V%[1]d := V%[2]d + 0.5*Knot
q%[1]d := 0.5 * air%[1]d.Density * V%[1]d * V%[1]d
CL%[1]d := m * StandardGravity / (q%[1]d * S)
lift%[1]d := func(CL Coefficient) Force { return q%[1]d * S * CL }
for CL := 0.1; CL < 1.5; CL += 0.1 {
	fmt.Println(CL, lift%[1]d(CL)/Newton)
}
best%[1]d := math.Max(lift%[1]d(0.5), lift%[1]d(0.7))
best%[1]d`, i, i-1))
	}
	return cells
}

// BenchmarkSession reports how long the front takes to check a cell and to answer questions about it, as the fortieth cell of a session.
func BenchmarkSession(b *testing.B) {
	f := NewFront(symbols.Library)
	cells := sessionOf(40)
	for i, code := range cells[:39] {
		p, err := f.Prepare(kernel.Cell{Code: code, Number: i + 1})
		if err != nil {
			b.Fatal(err)
		}
		f.Commit(p, Outcome{Bound: len(p.Program.Binds)})
	}
	last := cells[39]
	for _, question := range []struct {
		name string
		ask  func(i int)
	}{
		{"check", func(i int) {
			if _, err := f.Prepare(kernel.Cell{Code: last, Number: 40}); err != nil {
				b.Fatal(err)
			}
		}},
		{"complete", func(i int) { at := i * 37 % len(last); f.Complete(last[:at], at) }},
		{"inspect", func(i int) { f.Inspect(last, i*37%len(last), 0) }},
		{"units", func(i int) { code := last + strings.Repeat(" ", i%3) + "\nV39 + 5*K"; f.Complete(code, len(code)) }},
	} {
		b.Run(question.name, func(b *testing.B) {
			var times []time.Duration
			for i := range b.N {
				start := time.Now()
				question.ask(i)
				times = append(times, time.Since(start))
			}
			slices.Sort(times)
			for _, share := range []int{50, 95} {
				b.ReportMetric(float64(times[len(times)*share/100].Microseconds())/1000, fmt.Sprintf("ms-p%d", share))
			}
		})
	}
}
