package dimension_test

import (
	"go/ast"
	"go/parser"
	"go/types"
	"testing"

	"foreplane/kernel/dimension"
)

// last checks cells and returns the quantity of the last expression of the last one.
func last(t testing.TB, cells ...string) (dimension.Quantity, bool) {
	t.Helper()
	s := newSession(t)
	for i, cell := range cells {
		c := s.check(t, cell)
		if len(c.errs) > 0 {
			t.Fatal(c.errs)
		}
		r := s.checker.Check(c.source)
		for _, f := range r.Findings {
			t.Errorf("%s: %s", cell, f.Message)
		}
		s.commit(c)
		if i == len(cells)-1 {
			list := c.fn.Body.List
			return r.Of(list[len(list)-1].(*ast.ExprStmt).X)
		}
	}
	return dimension.Quantity{}, false
}

// TestOf holds the quantities that are inferred; a checker that knew nothing would be silent as well.
func TestOf(t *testing.T) {
	for _, c := range []struct {
		code, symbol, kind string
	}{
		{"95 * Knot", "m/s", "Speed"},
		{"V := 50*MetrePerSecond\nrho := 1.2*KilogramPerCubicMetre\n0.5*rho*V*V", "Pa", "Pressure"},
		{"V := 50*MetrePerSecond\n0.5*V*V", "m²/s²", ""}, // go/types calls it Speed
		{"V := 50*MetrePerSecond\n1/V", "s/m", ""},
		{"V := 50*MetrePerSecond\none := One\nV*one", "m/s", "Speed"},
		{"math.Sqrt(4*SquareMetre)", "m", "Length"},
		{"math.Sqrt(4*Metre)", "m^(1/2)", ""},
		{"math.Pow(3*Metre, 1.5)", "m^(3/2)", ""},
		{"math.Pow(2*Metre, 2.58)", "m^(129/50)", ""},
		{"math.Atan2(1*Metre, 2*Metre)", "rad", "Angle"},
		{"omega := 2*RadianPerSecond\nomega*(3*Metre)", "m/s", "Speed"},
		{"alpha := 5*Degree\n2*alpha + alpha", "rad", "Angle"},
		{"a := aircraft.Sedge()\na.Mass*StandardGravity", "N", "Force"},
		{"must(atmos.Standard(0)).Density", "kg/m³", "Density"},
		{"sum := 0.0\nfor i := 0; i < 3; i++ {\n\tsum += 2*Metre\n}\nsum", "m", "Length"},
		{"f := func(x float64) float64 { return x*x }\nf(3*Second)", "s²", ""},
		{"f := func(x float64) float64 { return x*x }\nf(3*Second)\nf(3*Metre)", "m²", "Area"},
		{"func f(x float64) float64 { return x*g(x) }\nfunc g(x float64) float64 { return 2*x }\nf(3*Metre)", "m²", "Area"},
		{"func sum[T ~float64](xs []T) T {\n\tvar s T\n\tfor _, x := range xs {\n\t\ts += x\n\t}\n\treturn s\n}\nsum([]Mass{1*Kilogram})", "kg", "Mass"},
		{"[]float64{1*Metre, 2*Metre}[0]", "m", "Length"},
		{"m := map[string]float64{\"a\": 3*Newton}\nm[\"a\"]", "N", "Force"},
		{"type p struct{ x, y float64 }\nq := p{1*Metre, 2*Second}\nq.y", "s", "Time"},
		{"floats.Dot([]Length{1*Metre}, []Force{1*Newton})", "N·m", "Moment"},
		{"quad.Fixed(func(x float64) float64 { return x*Newton }, 0, 2*Metre, 10, nil, 0)", "kg·m³/s²", ""},
		{"var p interp.PiecewiseLinear\np.Fit([]Length{0, 1*Metre}, []Density{1*KilogramPerCubicMetre, 1*KilogramPerCubicMetre})\np.Predict(0.5*Metre)", "kg/m³", "Density"},
		{"m := mat.NewDense(1, 1, []float64{3*Newton})\nm.At(0, 0)", "N", "Force"},
		{"slices.Max([]Length{1*Metre})", "m", "Length"},
		{"[]Length{1*Metre, 2*Metre}", "m", "Length"},
		{"5 * 3.0", "1", "Ratio"},
		{"3*Second / Second", "1", "Ratio"},
		{"x, y := 3*Metre, 2*Second\nx/y", "m/s", "Speed"},
	} {
		got, ok := last(t, c.code)
		if !ok || got.Symbol != c.symbol && got.Dimension.String() != c.symbol || got.Kind != c.kind {
			t.Errorf("%s\ngot  %v %v\nwant %s %s", c.code, ok, got, c.symbol, c.kind)
		}
	}
}

// TestUnknown holds what must not be given a dimension.
func TestUnknown(t *testing.T) {
	for _, code := range []string{
		"float64(3 * Metre)",
		"[]float64{1 * Metre, 2 * Second}[0]",
		"func f(a bool) float64 {\n\tif a {\n\t\treturn 1*Metre\n\t}\n\treturn 1*Second\n}\nf(true)",
		"len(\"abc\")",
		`"text"`,
		"func f(x float64) float64 {\n\tx = x*Foot\n\treturn x\n}\nf(3)",
	} {
		if q, ok := last(t, code); ok {
			t.Errorf("%s has %v", code, q)
		}
	}
}

// TestAliasesInExportData shows what the checker rests on: aliases survive in the export data of declarations, and go/types gives derived values that of an
// operand, so that they tell nothing there.
func TestAliasesInExportData(t *testing.T) {
	atmos := imported(t, "foreplane/aerolib/atmos")
	for name, want := range map[string]string{"SeaLevelDensity": "Density", "GasConstant": "GasConstant"} {
		if a, ok := atmos.Scope().Lookup(name).Type().(*types.Alias); !ok || a.Obj().Name() != want {
			t.Errorf("%s is %v", name, atmos.Scope().Lookup(name).Type())
		}
	}
	signature := atmos.Scope().Lookup("DensityAltitude").Type().(*types.Signature)
	if signature.Params().At(0).Type().String() != unitPath+".Density" || signature.Results().At(0).Type().String() != unitPath+".DensityAltitude" {
		t.Error(signature)
	}
	air := atmos.Scope().Lookup("Air").Type().Underlying().(*types.Struct)
	if air.Field(0).Type().String() != unitPath+".Temperature" {
		t.Error(air)
	}
	s := newSession(t)
	c := s.check(t, "V := 50*MetrePerSecond\nx := 1/V")
	if x := c.source.Info.Scopes[c.fn.Type].Lookup("x"); x.Type().String() != unitPath+".Speed" {
		t.Errorf("1/V is now %v: read what design says about derived types again", x.Type())
	}
}

// A cell with errors teaches nothing, one without them all it says.
func TestSession(t *testing.T) {
	s := newSession(t)
	s.run(t, "total := 0.0\nxs := []float64{}")
	if found := s.run(t, "total += 3*Metre\nxs = append(xs, 2*Newton)\n3*Metre + 2*Second"); len(found) != 1 {
		t.Fatal(found)
	}
	if found := s.run(t, "total += 2*Second"); len(found) != 0 {
		t.Errorf("what a refused cell said is still there: %v", found)
	}
	if q, ok := s.checker.Object(s.names["total"]); !ok || q.Symbol != "s" {
		t.Error(ok, q)
	}
	if found := s.run(t, "total += 2*Metre"); len(found) != 1 {
		t.Errorf("what a cell said is forgotten: %v", found)
	}
}

func TestDiscard(t *testing.T) {
	s := newSession(t)
	s.run(t, "total := 0.0")
	s.checker.Check(s.check(t, "total += 3*Metre").source).Discard()
	if found := s.run(t, "total += 2*Second"); len(found) != 0 {
		t.Errorf("what a discarded cell said is still there: %v", found)
	}
}

func TestDeclared(t *testing.T) {
	c := dimension.New(table())
	standard := imported(t, "foreplane/aerolib/atmos").Scope().Lookup("Standard").(*types.Func)
	q, ok := c.Declared(standard.Signature().Params().At(0))
	if !ok || q.Kind != "GeopotentialAltitude" || q.Symbol != "m" {
		t.Error(ok, q)
	}
	if q, ok := c.Object(imported(t, unitPath).Scope().Lookup("Knot")); !ok || q.Kind != "Speed" {
		t.Error(ok, q)
	}
	if q, ok := c.Object(imported(t, "math").Scope().Lookup("Pi")); !ok || !q.Bare {
		t.Error(ok, q)
	}
}

func TestFinding(t *testing.T) {
	s := newSession(t)
	found := s.run(t, "h := 3*Metre\n\n  3*Knot + h")
	if len(found) != 1 {
		t.Fatal(found)
	}
	f := found[0]
	if p := s.fset.Position(f.Pos); p.Line != 3 || p.Column != 3 || s.fset.Position(f.End).Column != 13 {
		t.Error(p, s.fset.Position(f.End))
	}
	if f.Got.Symbol != "m/s" || f.Want.Symbol != "m" {
		t.Error(f.Got, f.Want)
	}
}

func TestIsPlain(t *testing.T) {
	for code, want := range map[string]bool{
		"//foreplane:plain\nx": true, "\n// text\n//foreplane:plain\n": true, "x := 1\n//foreplane:plain": false, "// foreplane:plain": false, "": false,
	} {
		if dimension.IsPlain(code) != want {
			t.Errorf("%q", code)
		}
	}
}

func TestUnnamed(t *testing.T) {
	s := newSession(t)
	src := s.check(t, "").source
	decls, _ := s.parse(t, "const Rate = 0.5\nconst Named Speed = 2\nconst local = 1.5\ntype A struct {\n\tV Speed\n\tX float64\n\tn float64\n}\ntype B struct {\n\tX float64\n}\n")
	pkg := types.NewPackage("p", "cell")
	pkg.Scope().Insert(s.names["Speed"])
	if err := types.NewChecker(&types.Config{}, s.fset, pkg, src.Info).Files([]*ast.File{decls}); err != nil {
		t.Fatal(err)
	}
	src.Nodes = []ast.Node{decls}
	var got []string
	for _, f := range s.checker.Unnamed(src) {
		got = append(got, f.Message)
	}
	if len(got) != 2 || got[0] != "Rate is exported and does not name its quantity" || got[1] != "X is exported and does not name its quantity" {
		t.Error(got)
	}
}

// In a package, what one function stores in a field of a struct is known to all; a vector holds what it is given.
func TestPackage(t *testing.T) {
	s := newSession(t)
	src := s.check(t, "").source
	file, err := parser.ParseFile(s.fset, "package", `package p
import . "foreplane/aerolib/unit"
type wing struct {
	chord float64
	tip   vec
}
type vec struct{ x, y float64 }
func (a vec) plus(b vec) vec { return vec{a.x + b.x, a.y + b.y} }
func make(c Length) wing { return wing{chord: c, tip: vec{c, 0 * c}.plus(vec{c, c})} }
func area(w wing, span Length) Area { return w.chord * span }
func reach(w wing) float64 { return w.tip.x }
func force() vec { return vec{3 * Newton, 4 * Newton} }
func strict(w wing, V Speed) Length { return w.chord * V / V }
`, 0)
	if err != nil {
		t.Fatal(err)
	}
	pkg, err := (&types.Config{Importer: imports()}).Check("p", s.fset, []*ast.File{file}, src.Info)
	if err != nil {
		t.Fatal(err)
	}
	src.Nodes, src.SI = []ast.Node{file}, true
	r := s.checker.Package(pkg, src)
	if len(r.Findings) > 0 {
		t.Error(r.Findings)
	}
	ast.Inspect(file, func(n ast.Node) bool {
		e, ok := n.(*ast.SelectorExpr)
		if !ok {
			return true
		}
		if want := map[string]string{"w.chord": "m", "w.tip.x": "m"}[types.ExprString(e)]; want != "" {
			if q, known := r.Of(e); !known || q.Symbol != want {
				t.Errorf("%s: %v %v", types.ExprString(e), known, q)
			}
		}
		return true
	})
	if len(r.Unknown()) > 0 {
		t.Error(r.Unknown())
	}
}

func TestShare(t *testing.T) {
	s := newSession(t)
	c := s.check(t, "func f(x float64) float64 { return x*x }\nh := 3*Metre\nu := float64(h)\nf(h) + u")
	got := s.checker.Check(c.source).Share()
	if got.All != 11 || got.ByCaller != 3 || got.Known != 5 {
		t.Errorf("%+v", got)
	}
}

func BenchmarkCell(b *testing.B) {
	s := newSession(b)
	c := s.check(b, `h := 6500 * Foot
V := 95 * Knot
air := must(atmos.Standard(h))
q := 0.5 * air.Density * V * V
S := 12 * SquareMetre
f := func(CL float64) float64 { return q * S * CL }
for CL := 0.1; CL < 1.5; CL += 0.1 {
	fmt.Println(CL, f(CL)/Newton, math.Sqrt(2*600*Kilogram*StandardGravity/(air.Density*S*CL))/Knot)
}
best := math.Max(f(0.5), f(0.7))
best`)
	for b.Loop() {
		s.checker.Check(c.source)
	}
}
