package cell

import (
	"slices"
	"strings"
	"sync"
	"testing"
	"unicode/utf8"

	"foreplane/kernel"
	"foreplane/kernel/symbols"
)

// newTestFront returns a front on the real library in whose session the cells have run.
func newTestFront(t testing.TB, cells ...string) *Front {
	t.Helper()
	f := NewFront(symbols.Library)
	for i, code := range cells {
		p, err := f.Prepare(kernel.Cell{Code: code, Number: i + 1})
		if err != nil {
			t.Fatalf("%s\n%v", code, err)
		}
		f.Commit(p, Outcome{Bound: len(p.Program.Binds)})
	}
	return f
}

// sessionCells are what the tests of completion and inspection find in the session.
var sessionCells = []string{
	`import "strings"
// Point is a place.
type Point struct {
	X, Y float64
	hidden int
}

// Norm is the distance from the origin,
//
//	r = √(x² + y²)
func (p Point) Norm() float64 { return math.Hypot(p.X, p.Y) }

type Named struct {
	Point
	Name string
}

// Scale multiplies.
func Scale(p Point, by float64) Point { return Point{X: by * p.X, Y: by * p.Y} }

const Answer = 42`,
	"speed := 95.0\nspan := 10.5\nplace := Named{}\nlist := []Point{{X: 1}}",
}

var sharedFront = sync.OnceValue(func() *Front { return newTestFront(new(testing.T), sessionCells...) })

// at splits code at the cursor, which is written as a bar.
func at(t *testing.T, code string) (string, int) {
	t.Helper()
	before, after, ok := strings.Cut(code, "|")
	if !ok {
		t.Fatalf("no cursor in %q", code)
	}
	return before + after, len(before)
}

func texts(c kernel.Completion) []string {
	var out []string
	for _, i := range c.Items {
		out = append(out, i.Text)
	}
	return out
}

func TestComplete(t *testing.T) {
	f := sharedFront()
	for _, c := range []struct{ name, code, want string }{
		{"package member", "math.Sq|", "Sqrt Sqrt2 SqrtE SqrtPhi SqrtPi"},
		{"after the dot", "place.|", "Name Point hidden Norm X Y"},
		{"blank after the dot", "place. |", "Name Point hidden Norm X Y"},
		{"next line", "place.\n\tNo|", "Norm"},
		{"pointer", "pp := &place\npp.No|", "Norm"},
		{"element", "list[0].|", "hidden Norm X Y"},
		{"call", "Scale(list[0], 2).No|", "Norm"},
		{"chain", "time.Now().Uni|", "Unix UnixMicro UnixMilli UnixNano"},
		{"must", `must(os.Open("x")).Rea|`, "Read ReadAt ReadDir Readdir Readdirnames ReadFrom"},
		{"interface", "var e error\ne.|", "Error"},
		{"method expression has no fields", "Point.|", "Norm"},
		{"unexported fields of packages are hidden", "b := strings.Builder{}\nb.a|", ""},
		{"type parameter", "func g[T fmt.Stringer](v T) string {\n\treturn v.|\n}", "String"},

		{"unclosed call", "fmt.Println(place.No|", "Norm"},
		{"unclosed call before other lines", "fmt.Println(place.No|\ny := 3\nfmt.Println(y)", "Norm"},
		{"unclosed call above", "fmt.Println(1, 2\ny := list[0]\ny.No|", "Norm"},
		{"unclosed block", "for i := range 10 {\n\tq := list[i]\n\tq.No|", "Norm"},
		{"condition", "if place.No|", "Norm"},
		{"loop header", "for i := 0.0; i < place.No|", "Norm"},
		{"switch", "switch place.Na|", "Name"},
		{"case", "switch {\ncase place.No|", "Norm"},
		{"literal", "xs := []float64{1, place.No|", "Norm"},
		{"index", "m := map[string]int{}\nm[place.Na|", "Name"},
		{"return", "func h(p Point) float64 {\n\treturn p.No|", "Norm"},
		{"function literal", "sort.Slice(list, func(i, j int) bool { return list[i].No|", "Norm"},
		{"stray bracket above", "x := 3)\nplace.No|", "Norm"},
		{"syntax error above", "x := 3 +* 2\nw := place\nw.No|", "Norm"},
		{"syntax error below", "place.No|\nx := 3 +* 2", "Norm"},
		{"type error above", "x := 1 + \"a\"\nw := place\nw.No|", "Norm"},
		{"unknown name above", "x := nowhere(3)\nw := place\nw.No|", "Norm"},
		{"argument of an unknown function", "nowhere(place.No|)", "Norm"},
		{"in the middle", "place.No|rm() + 1", "Norm"},
		{"emoji", "s := \"🛩🛩\" // 🛩\nplace.No|", "Norm"},
		{"method of this cell", "type T struct{ a int }\nfunc (t T) Up() {}\nv := T{}\nv.|", "a Up"},
		{"type declared below", "v := T{}\nv.|\ntype T struct{ a int }\nfunc (t T) Up() {}", "a Up"},
		{"unknown before the dot", "nowhere.|", ""},
		{"package not imported", "bufio.New|", ""},
		{"imported above", "import \"bufio\"\nbufio.NewReadW|", "NewReadWriter"},
		{"renamed import", "import m \"math\"\nm.Hyp|", "Hypot"},

		{"session name", "Sca|", "Scale"},
		{"cell before session", "spacing := 1\nspa|", "spacing span"},
		{"exact case first", "func Spare() {}\nspa|", "span Spare"},
		{"parameter", "func h(span2 float64) float64 { return spa|", "span2 span"},
		{"shadowed", "if spanInner := 3; true { spanI|", "spanInner"},
		{"not yet declared", "zz|\nzzz := 1", ""},
		{"function below", "zz|\nfunc zzz() {}", "zzz"},
		{"builtin of the kernel", "mus|", "must"},
		{"keyword", "fallt|", "fallthrough"},
		{"keyword as prefix", "func|", "func"},
		{"Go's own", "appe|", "append"},
		{"preloaded package", "optimi|", "optimize"},
		{"unit", "95 * Knot|", "Knot KnotPerSecond"},
		{"fields in a literal", "Point{|", "hidden X Y"},
		{"field after a field", "Point{X: 1, |", "hidden Y"},
		{"fields of an element", "[]Point{{X: 1}, {|", "hidden X Y"},

		{"import path", `import "gonum.org/v1/gonum/integrate/q|"`, "gonum.org/v1/gonum/integrate/quad"},
		{"unclosed import", `import "gonum.org/v1/gonum/integrate/q|`, "gonum.org/v1/gonum/integrate/quad"},
		{"element of an import path", "import (\n\t\"fmt\"\n\t\"slo|\"\n)", "log/slog"},

		{"comment", "// math.Sq|", ""},
		{"block comment", "/* math.Sq| */", ""},
		{"string", `s := "math.Sq|"`, ""},
		{"unclosed string", `s := "math.Sq|`, ""},
		{"raw string", "s := `\nmath.Sq|", ""},
		{"number", "x := 3.|", ""},
		{"new name", "func sp|", ""},
		{"behind an operand", "speed |", ""},
		{"behind a bracket", "Scale(list[0], 2)|", ""},
		{"string is no import", "import \"fmt\"\nfmt.Println(\"fm|", ""},
	} {
		code, cursor := at(t, c.code)
		got := f.Complete(code, cursor)
		names := texts(got)
		if c.name == "fields in a literal" || strings.HasPrefix(c.name, "field") {
			names = slices.DeleteFunc(names, func(n string) bool { return !slices.Contains([]string{"hidden", "X", "Y"}, n) })
		}
		if strings.Join(names, " ") != c.want {
			t.Errorf("%s: %q\ngot  %v\nwant %v", c.name, c.code, names, c.want)
		}
		if got.End != cursor || got.Start > cursor || !utf8.ValidString(code[got.Start:got.End]) {
			t.Errorf("%s: completes %d to %d, cursor at %d", c.name, got.Start, got.End, cursor)
		}
	}
}

// TestCompleteAnywhere asks with nothing written yet: all there is, the nearest first.
func TestCompleteAnywhere(t *testing.T) {
	got := texts(sharedFront().Complete("near := 1\n", 10))
	order := []string{"near", "Answer", "must", "append"}
	for i := range order[1:] {
		if a, b := slices.Index(got, order[i]), slices.Index(got, order[i+1]); a < 0 || a >= b {
			t.Errorf("%s stands at %d, %s at %d", order[i], a, order[i+1], b)
		}
	}
}

func TestCompleteSignatures(t *testing.T) {
	f := sharedFront()
	for _, c := range []struct{ code, kind, signature string }{
		{"math.Hypo|", "function", "func(p float64, q float64) float64"},
		{"place.Norm|", "method", "func() float64"},
		{"place.Name|", "field", "string"},
		{"place|", "variable", "Named"},
		{"Point|", "type", "struct"},
		{"Answer|", "constant", "= 42"},
		{"math.Ph|", "constant", "= 1.618033988749895"},
		{"long := 1\nconst words = \"" + strings.Repeat("é", 70) + "\"\nwords|", "constant", "= \"" + strings.Repeat("é", 56) + "…"},
		{"quad|", "package", "gonum.org/v1/gonum/integrate/quad"},
		{"Knot|", "constant", "Speed = 0.5144444444444445"},
		{"v := 3 * Knot * Knot\nv|", "variable", "float64"}, // not a Speed
		{"len|", "function", "func(v T) int"},
		{"rang|", "keyword", ""},
		{"fmt.Stringer|", "type", "interface"},
	} {
		code, cursor := at(t, c.code)
		items := f.Complete(code, cursor).Items
		if len(items) == 0 {
			t.Errorf("%q: nothing", c.code)
			continue
		}
		if items[0].Kind != c.kind || items[0].Signature != c.signature {
			t.Errorf("%q: got %+v", c.code, items[0])
		}
	}
}

// TestCompleteLeavesNoTrace verifies that asking changes nothing: neither what is remembered of cells nor what their names mean.
func TestCompleteLeavesNoTrace(t *testing.T) {
	f := newTestFront(t, "x := 1.5")
	files, base := len(f.files.origins), f.files.set.Base()
	for range 3 {
		f.Complete("x := \"a\"\nx.", 11)
		f.Complete("type x struct{}\nfunc f() { x", 29)
	}
	if len(f.files.origins) != files || f.files.set.Base() != base {
		t.Error("the code of a question is remembered")
	}
	if got := f.Complete("x", 1); len(got.Items) == 0 || got.Items[0].Signature != "float64" {
		t.Errorf("x is %v", got.Items)
	}
}

func TestBalance(t *testing.T) {
	for _, c := range []struct{ in, want string }{
		{"f(1|)", "f(1|)"},
		{"f(1|", "f(1|)"},
		{"f(1\ng(|2)", "f(1)\ng(|2)"},
		{"x := a)\ny|", "x := a \ny|"},
		{"if x { f(1 }\n|", "if x { f(1 )}\n|"},
		{"import (\n\t\"fmt\"\n)|", "import (\n\t\"fmt\"\n)|"},
		{"f(a,\n\tb|)", "f(a,\n\tb|)"},
		{"func() { f(|", "func() { f(|)}"},
		{"a[f(|\nb", "a[f(|\nb)]"},
		{"", "|"},
	} {
		in, cursor, _ := strings.Cut(c.in, "|")
		got, moved := balance(in+cursor, len(in))
		if got = got[:moved] + "|" + got[moved:]; got != c.want {
			t.Errorf("%q\ngot  %q\nwant %q", c.in, got, c.want)
		}
	}
}
