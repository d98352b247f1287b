package cell

import (
	"slices"
	"strings"
	"testing"
	"time"
)

func TestInspect(t *testing.T) {
	f := sharedFront()
	for _, c := range []struct {
		name, code string
		detail     int
		want       []string // parts of the plain text
	}{
		{"under the cursor", "math.Sq|rt(2)", 0, []string{"func math.Sqrt(x float64) float64\n", "Sqrt returns the square root of x."}},
		{"before the cursor", "math.Sqrt|", 0, []string{"func math.Sqrt"}},
		{"at its beginning", "math.|Sqrt(2)", 0, []string{"func math.Sqrt"}},
		{"inside the brackets", "math.Sqrt(|", 0, []string{"func math.Sqrt"}},
		{"inside closed brackets", "math.Pow(2, |)", 0, []string{"func math.Pow"}},
		{"behind a closed call in a call", "math.Pow(math.Abs(1), |", 0, []string{"func math.Pow"}},
		{"behind the call", "math.Sqrt(math.Abs(2))|", 0, []string{"func math.Sqrt"}},
		{"in an argument", "math.Sqrt(spe|ed)", 0, []string{"var speed float64", "cell 2, line 1, column 1"}},
		{"in a bracket in a call", "math.Sqrt((1 + |", 0, []string{"func math.Sqrt"}},
		{"package", "ma|th.Sqrt", 0, []string{`package math // import "math"`, "Package math provides basic constants"}},
		{"package in an import", `import "encoding/js|on"`, 0, []string{`package json // import "encoding/json"`, "Package json implements"}},
		{"constant", "math.P|i", 0, []string{"const math.Pi = 3.14159"}},
		{"unit", "95 * Kno|t", 0, []string{"const Knot Speed = 0.5144444444444445"}},
		{"type", "var b strings.Buil|der", 0, []string{"type strings.Builder struct {\n\t// and unexported fields\n}", "efficiently build a string"}},
		{"type with methods", "var b strings.Buil|der", 1, []string{"\nfunc (*strings.Builder) WriteString(s string) (int, error)"}},
		{"struct of a package", "time.Loc|ation", 0, []string{"type time.Location struct"}},
		{"field with remark", "import \"net/http\"\nhttp.Requ|est{}", 0, []string{"\tMethod           string                        // Method specifies the HTTP method (GET, POST, PUT, etc.).\n"}},
		{"interface", "fmt.Stri|nger(nil)", 0, []string{"type fmt.Stringer interface {\n\tString() string\n}"}},
		{"method", "time.Now().Un|ix()", 0, []string{"func (time.Time) Unix() int64", "Unix returns t as a Unix time"}},
		{"promoted method", "place.No|rm()", 0, []string{"func (Point) Norm() float64", "\tr = √(x² + y²)"}},
		{"field", "place.Na|me", 0, []string{"field Named.Name string"}},
		{"field in a literal", "Point{X|: 1}", 0, []string{"field Point.X float64"}},
		{"field of a package", "import \"net/http\"\nr := http.Request{}\nr.Meth|od", 0, []string{"field http.Request.Method string", "Method specifies the HTTP method"}},
		{"function of a cell", "Scal|e(list[0], 2)", 0, []string{"func Scale(p Point, by float64) Point\n", "cell 1, line 19, column 6", "Scale multiplies."}},
		{"its source", "Scal|e(list[0], 2)", 1, []string{"func Scale(p Point, by float64) Point { return Point{X: by * p.X, Y: by * p.Y} }"}},
		{"type of a cell", "Poin|t{}", 0, []string{"type Point struct {\n\tX      float64\n\tY      float64\n\thidden int\n}", "Point is a place."}},
		{"its source and comment", "Poin|t{}", 1, []string{"type Point struct {\n\tX, Y float64", "Point is a place."}},
		{"constant of a cell", "Answ|er", 0, []string{"const Answer = 42", "cell 1, line 21"}},
		{"declared here", "here| := 3", 0, []string{"var here int"}},
		{"declared anew", "speed| := \"fast\"", 0, []string{"var speed string"}},
		{"function declared here", "func he|re(a int) {}", 0, []string{"func here(a int)"}},
		{"parameter", "func here(a int) int { return a| }", 0, []string{"var a int"}},
		{"name of the kernel", "mus|t(1, nil)", 0, []string{"func must[T any](value T, err error) T", "must unwraps a value"}},
		{"Go's own function", "le|n(list)", 0, []string{"func len(v T) int", "number of elements"}},
		{"Go's own type", "var e err|or", 0, []string{"type error interface {\n\tError() string\n}"}},
		{"nil", "place = n|il", 0, []string{"var nil"}},
		{"derived value", "q := 0.5 * Knot * Knot\nq|", 0, []string{"var q float64"}}, // not a Speed
		{"errors elsewhere", "x := 1 +* 2\ny := \"a\" + 1\nmath.Sq|rt(2)", 0, []string{"func math.Sqrt"}},
		{"emoji", "s := \"🛩🛩\"\nmath.Sq|rt(2)", 0, []string{"func math.Sqrt"}},
		{"equation", "import \"gonum.org/v1/gonum/integrate/quad\"\nquad.Fix|ed", 0, []string{"\n\tint"}},
	} {
		code, cursor := at(t, c.code)
		b, found := f.Inspect(code, cursor, c.detail)
		if !found {
			t.Errorf("%s: %q: nothing found", c.name, c.code)
			continue
		}
		for _, want := range c.want {
			if got := b.Data["text/plain"].(string); !strings.Contains(got, want) {
				t.Errorf("%s: got\n%s\nwant in it\n%s", c.name, got, want)
			}
		}
	}
}

func TestInspectNothing(t *testing.T) {
	f := sharedFront()
	for _, c := range []string{
		"", "|", "nowhe|re", "math.Nowhe|re", "nowhere.Na|me", "x := 3 + |", "// math.Sq|rt", `"math.Sq|rt"`, "for| {}", `import "no/such|"`, "func() { |", "3|",
		"if true {\n\t|\n}", "bufio.NewRea|der",
	} {
		if !strings.Contains(c, "|") {
			c = "|"
		}
		code, cursor := at(t, c)
		if b, found := f.Inspect(code, cursor, 0); found {
			t.Errorf("%q: found %v", c, b.Data["text/plain"])
		}
	}
}

// TestInspectMarkdown verifies that an equation is typeset and that text is not taken for markup.
func TestInspectMarkdown(t *testing.T) {
	b, found := sharedFront().Inspect("place.Norm", 8, 0)
	if !found {
		t.Fatal("nothing found")
	}
	want := "```go\nfunc (Point) Norm() float64\n```\n\ncell 1, line 11, column 16\n\nNorm is the distance from the origin,\n\n$$\nr = \\sqrt{x^{2} + y^{2}}\n$$\n"
	if got := b.Data["text/markdown"]; got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

// longCell is a cell of the length that people write, to ask about at many offsets.
const longCell = `// energy of readings ½ ✈
import (
	"encoding/json"
	"sort"
)

type reading struct {
	Time  float64 ` + "`json:\"t\"`" + `
	Speed float64
	Where Named
}

func (r reading) energy(mass float64) float64 {
	v := r.Speed
	return 0.5 * mass * math.Pow(v, 2) // ½ m v²
}

readings := []reading{{Time: 0, Speed: 95 * Knot}, {Time: 1, Speed: 97 * Knot}}
total := 0.0
for i, r := range readings {
	if e := r.energy(1100); e > 0 && i < len(readings) {
		total += e
	}
	switch {
	case r.Where.Norm() > 2:
		fmt.Printf("✈ %v\n", strings.Repeat(r.Where.Name, 2))
	default:
		sort.Slice(readings, func(a, b int) bool { return readings[a].Time < readings[b].Time })
	}
}
m := mat.NewDense(2, 2, []float64{1, 2, 3, span})
d, err := json.Marshal(readings)
fmt.Println(string(d), err, mat.Det(m), Scale(place.Point, total))
p := plot.New()
p.Title.Text = "energy"
p`

// TestEveryOffset asks all over a cell, of the whole and of what is written up to there.
func TestEveryOffset(t *testing.T) {
	f := sharedFront()
	for i := 0; i <= len(longCell); i += 5 {
		for _, code := range []string{longCell, longCell[:i]} {
			if c := f.complete(code, i); c.Start > c.End || c.End > i {
				t.Errorf("at %d: completes %d to %d", i, c.Start, c.End)
			}
			f.inspect(code, i, 0)
		}
	}
}

// BenchmarkQuestions reports the slowest twentieth of the answers, in a session with a warm library.
func BenchmarkQuestions(b *testing.B) {
	f := sharedFront()
	for name, ask := range map[string]func(at int){
		"complete": func(at int) { f.Complete(longCell[:at], at) },
		"inspect":  func(at int) { f.Inspect(longCell, at, 0) },
	} {
		b.Run(name, func(b *testing.B) {
			var times []time.Duration
			for i := range b.N {
				start := time.Now()
				ask(i * 37 % len(longCell))
				times = append(times, time.Since(start))
			}
			slices.Sort(times)
			b.ReportMetric(float64(times[len(times)*95/100].Microseconds())/1000, "ms-p95")
			b.ReportMetric(float64(times[len(times)-1].Microseconds())/1000, "ms-max")
		})
	}
}

// TestInspectReferences verifies that references to names of this and other packages lose their brackets in Markdown.
func TestInspectReferences(t *testing.T) {
	d := document{code: "x", text: "It returns a [*unit.RangeError] below [MinAltitude], see [Air.Mach] and [math]."}
	want := "It returns a \\*unit.RangeError below MinAltitude, see Air.Mach and math.\n"
	if got := d.bundle().Data["text/markdown"].(string); !strings.HasSuffix(got, want) {
		t.Errorf("got %q", got)
	}
}

// FuzzQuestions verifies that no text makes completion or inspection panic, or answer outside the text.
func FuzzQuestions(f *testing.F) {
	for _, s := range []string{
		"place.No", "func f(a int) { a.", "type T struct { x", "for i := range place.", "x := []int{1, place.", "a.b := 3\na.", "import \"fm", "🛩.x", "if x := 1; x", "`", "(((",
		"func (p *Point) ", "switch x := any(place).(type) { case ", "label:\n\tgoto label", "const (\n\ta = iota\n\tb", "func f[T any](x T) { x.", "select { case <-c", "/*", "'", "x.(", "type T[P", "type G[P any] struct{ v P }\nfunc (g *G[P]) M(a P) { g.", "func (g G[3]) M() { g.", "func (g (*m.T[P, Q])) M() { g.", "var x, y = 1",
	} {
		f.Add(s, len(s))
	}
	front := sharedFront()
	f.Fuzz(func(t *testing.T, code string, cursor int) {
		c := front.complete(code, cursor)
		if c.Start < 0 || c.Start > c.End || c.End > len(code) {
			t.Errorf("completes %d to %d of %d bytes", c.Start, c.End, len(code))
		}
		front.inspect(code, cursor, 1)
	})
}
