package unit

import (
	"go/ast"
	"go/constant"
	"go/parser"
	"go/token"
	"go/types"
	"math"
	"strings"
	"testing"
)

// onlyPi imports a package math that has nothing but π: all that the constants need, without checking the real one.
type onlyPi struct{}

func (onlyPi) Import(path string) (*types.Package, error) {
	pkg := types.NewPackage(path, path)
	pi := constant.MakeFromLiteral("3.14159265358979323846264338327950288419716939937510582097494459", token.FLOAT, 0)
	pkg.Scope().Insert(types.NewConst(token.NoPos, pkg, "Pi", types.Typ[types.UntypedFloat], pi))
	pkg.MarkComplete()
	return pkg, nil
}

// source checks the package's own files, without tests.
func source(t *testing.T) (*ast.File, *types.Package) {
	t.Helper()
	fset := token.NewFileSet()
	var files []*ast.File
	for _, name := range []string{"constants.go", "quantities.go"} {
		f, err := parser.ParseFile(fset, name, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, f)
	}
	config := types.Config{Importer: onlyPi{}}
	pkg, err := config.Check("unit", fset, files, nil)
	if err != nil {
		t.Fatal(err)
	}
	return files[0], pkg
}

// TestConstantsAreTheTable holds that every unit constant has its row, with its own alias and value, and every row its constant.
func TestConstantsAreTheTable(t *testing.T) {
	file, pkg := source(t)
	seen := map[string]bool{}
	for _, decl := range file.Decls {
		for _, spec := range decl.(*ast.GenDecl).Specs {
			value, ok := spec.(*ast.ValueSpec)
			if !ok || !value.Names[0].IsExported() {
				continue
			}
			name := value.Names[0].Name
			u, ok := Lookup(name)
			if !ok {
				t.Errorf("%s has no row", name)
				continue
			}
			seen[name] = true
			if alias := value.Type.(*ast.Ident).Name; alias != u.Kind {
				t.Errorf("%s is a constant of %s and a row of %s", name, alias, u.Kind)
			}
			constant, _ := constant.Float64Val(pkg.Scope().Lookup(name).(*types.Const).Val())
			if constant != u.Factor {
				t.Errorf("%s: constant %v, factor %v", name, constant, u.Factor)
			}
		}
	}
	for _, u := range All() {
		if !seen[u.Name] && u.Offset == 0 {
			t.Errorf("%s has no constant", u.Name)
		}
	}
}

func TestAliasesAreTheKinds(t *testing.T) {
	_, pkg := source(t)
	for _, name := range pkg.Scope().Names() {
		if _, isType := pkg.Scope().Lookup(name).(*types.TypeName); !isType {
			continue
		}
		if _, ok := LookupKind(name); !ok {
			t.Errorf("alias %s has no kind", name)
		}
	}
	for _, k := range Kinds() {
		if pkg.Scope().Lookup(k.Name) == nil {
			t.Errorf("kind %s has no alias", k.Name)
		}
		if root := k.Root(); root.Dimension != k.Dimension || root.Angle != k.Angle {
			t.Errorf("%s differs in dimension from %s", k.Name, root.Name)
		}
		if k.SI == "" {
			continue
		}
		if u, ok := Lookup(k.SI); !ok || u.Factor != 1 || u.Offset != 0 || !k.Accepts(u) {
			t.Errorf("%s: %q is not its SI unit", k.Name, k.SI)
		}
		if u, ok := Lookup(k.Customary); k.Customary != "" && (!ok || !k.Accepts(u)) {
			t.Errorf("%s: %q is not its unit", k.Name, k.Customary)
		}
	}
}

func TestSpellingsAreUnique(t *testing.T) {
	owner := map[string]string{}
	for _, u := range All() {
		for _, text := range append([]string{u.Symbol, u.Name, strings.ToLower(u.Name)}, u.Aliases...) {
			if other, ok := owner[text]; ok && other != u.Name {
				t.Errorf("%q is %s and %s", text, other, u.Name)
			}
			owner[text] = u.Name
			if _, ok := puzzles[text]; ok {
				t.Errorf("%q is a unit and a puzzle", text)
			}
		}
	}
}

// TestCompoundsAgreeWithTheirParts reads each compound symbol part by part. The tolerance is a few roundings of float64.
func TestCompoundsAgreeWithTheirParts(t *testing.T) {
	count := 0
	for _, u := range All() {
		if !isCompound(u.Symbol) || u.Symbol == "rev/s" { // a revolution alone is no unit
			continue
		}
		count++
		r := reader{rest: u.Symbol}
		got := product(r.quotient())
		if got.Symbol != u.Symbol || got.Dimension != u.Dimension || got.Angle != u.Angle || math.Abs(got.Factor/u.Factor-1) > 1e-15 {
			t.Errorf("%s: parts give %+v, table %+v", u.Symbol, got, u)
		}
	}
	if count < 50 {
		t.Errorf("only %d compounds tested", count)
	}
}

func TestDimensionString(t *testing.T) {
	for kind, want := range map[string]string{
		"Ratio": "1", "Speed": "m/s", "Pressure": "kg/(m·s²)", "GasConstant": "m²/(s²·K)", "PerLength": "1/m", "Energy": "kg·m²/s²",
		"PowerLoading": "s³/m²",
	} {
		k, _ := LookupKind(kind)
		if got := k.Dimension.String(); got != want {
			t.Errorf("%s is %s, want %s", kind, got, want)
		}
		u, err := ParseUnit(k.Dimension.String())
		if err != nil && kind != "Ratio" || err == nil && u.Dimension != k.Dimension {
			t.Errorf("%s reads as %v, %v", k.Dimension, u.Dimension, err)
		}
	}
	root := dim(0, 2, -1, 0).Pow(Frac(1, 2))
	if got := root.String(); got != "m/s^(1/2)" {
		t.Errorf("root is %s", got)
	}
	if u, err := ParseUnit(root.String()); err != nil || u.Dimension != root {
		t.Errorf("root reads as %v, %v", u.Dimension, err)
	}
}

func TestRational(t *testing.T) {
	if Frac(2, -4) != Frac(-1, 2) || Frac(0, 7) != (Rational{}) {
		t.Error("not in lowest terms")
	}
	if got := Frac(1, 2).Add(Frac(1, 3)); got != Frac(5, 6) {
		t.Errorf("sum %v", got)
	}
	if got := Frac(2, 3).Mul(Frac(3, 4)).Neg(); got.String() != "-1/2" {
		t.Errorf("product %v", got)
	}
	if got := dim(1, 2, -3, 0).Div(dim(1, 2, -3, 0)); got != (Dimension{}) {
		t.Errorf("quotient %v", got)
	}
}
