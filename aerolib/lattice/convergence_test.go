package lattice

import (
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"foreplane/aerolib/unit"
)

var update = flag.Bool("update", false, "write the convergence tables anew")

// planform is a geometry whose convergence is tabled.
type planform struct {
	name, what string
	surfaces   func() []Surface
	reference  Reference
}

func planforms() []planform {
	one := func(name, what string, aspect, taper, sweep float64) planform {
		s, ref := wing(aspect, taper, sweep*unit.Degree)
		return planform{name, what, func() []Surface { return []Surface{s} }, ref}
	}
	tandem := Reference{Area: 11.2, Chord: 0.8, Span: 7}
	return []planform{
		one("rectangular", "aspect ratio 8, rectangular", 8, 1, 0),
		one("tapered", "aspect ratio 8, taper 0.4, no sweep of the leading edge", 8, 0.4, 0),
		one("swept", "aspect ratio 5, constant chord, swept by 45°", 5, 1, 45),
		one("forward", "aspect ratio 6, taper 0.5, swept forward by 25°", 6, 0.5, -25),
		one("delta", "aspect ratio 2, taper 0.05, leading edge swept by 60°", 2, 0.05, 60),
		one("low", "aspect ratio 1, rectangular", 1, 1, 0),
		{"canard", "foreplane and swept wing, coupled", func() []Surface {
			return []Surface{
				Trapezoid("wing", Point{X: 3.2}, 8.4, 1.4, 0.7, 22*unit.Degree, 0, -1.5*unit.Degree),
				Trapezoid("foreplane", Point{X: 0.6, Z: 0.2}, 3.8, 0.44, 0.36, 3*unit.Degree, 0, 0),
			}
		}, Reference{Area: 8.82, Chord: 1.08889, Span: 8.4}},
		{"tandem", "two equal wings", func() []Surface {
			return []Surface{Trapezoid("front", Point{Z: 0.5}, 7, 0.8, 0.8, 0, 0, 0), Trapezoid("rear", Point{X: 4}, 7, 0.8, 0.8, 0, 0, 0)}
		}, tandem},
	}
}

// refinements are meshes whose rows and strips grow by the same factor, 2.
var refinements = [][2]int{{2, 6}, {4, 12}, {8, 24}, {16, 48}}

// measure is a quantity of a table, at an angle of attack of 0.1.
type measure struct {
	name string
	of   func(r Result) float64
}

var measures = []measure{
	{"CL", func(r Result) float64 { return r.CL }},
	{"Cm", func(r Result) float64 { return r.Cm }},
	{"CDi", func(r Result) float64 { return r.CDi }},
	{"CD", func(r Result) float64 { return r.CD }},
}

// table computes the convergence of a planform: values on each mesh, the order observed on the last three, p = log₂((v₂ − v₁)/(v₃ − v₂)), and what Richardson's
// extrapolation leaves to the last.
func (p planform) table(t *testing.T) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: %s. α 0.1 rad, moments about the datum.\n%8s", p.name, p.what, "mesh")
	values := make([][]float64, len(measures))
	for _, m := range measures {
		fmt.Fprintf(&b, "%11s", m.name)
	}
	b.WriteString("\n")
	for _, mesh := range refinements {
		r := solve(t, model(t, Settings{Reference: p.reference, Rows: mesh[0], Strips: mesh[1]}, p.surfaces()...), State{Alpha: 0.1})
		fmt.Fprintf(&b, "%8s", fmt.Sprintf("%d×%d", mesh[0], mesh[1]))
		for i, m := range measures {
			values[i] = append(values[i], m.of(r))
			fmt.Fprintf(&b, "%11.6f", m.of(r))
		}
		b.WriteString("\n")
	}
	line := func(name string, of func(v []float64) string) {
		fmt.Fprintf(&b, "%8s", name)
		for _, v := range values {
			fmt.Fprintf(&b, "%11s", of(v))
		}
		b.WriteString("\n")
	}
	line("order", order)
	line("limit", func(v []float64) string { return fmt.Sprintf("%.6f", limit(v)) })
	line("error", func(v []float64) string { return fmt.Sprintf("%.3f %%", 100*(v[3]-limit(v))/limit(v)) })
	return b.String()
}

func ratio(v []float64) float64 { return (v[2] - v[1]) / (v[3] - v[2]) }

// order writes the order observed; steps that do not shrink with one sign have none.
func order(v []float64) string {
	if r := ratio(v); r > 1 {
		return fmt.Sprintf("%.1f", math.Log2(r))
	}
	return "none"
}

// limit extrapolates with the order observed, or takes the last value if there is none.
func limit(v []float64) float64 {
	if r := ratio(v); r > 1 {
		return v[3] + (v[3]-v[2])/(r-1)
	}
	return v[3]
}

// TestConvergence holds the convergence tables to their golden files: go test ./aerolib/lattice -run Convergence -update writes them anew.
func TestConvergence(t *testing.T) {
	for _, p := range planforms() {
		t.Run(p.name, func(t *testing.T) {
			got, path := p.table(t), filepath.Join("testdata", "convergence-"+p.name+".txt")
			if *update {
				if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			if got != string(want) {
				t.Errorf("the table is\n%swant\n%s", got, want)
			}
		})
	}
}
