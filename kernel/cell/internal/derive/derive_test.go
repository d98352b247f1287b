package derive

import (
	"fmt"
	"go/ast"
	"go/importer"
	"go/parser"
	"go/token"
	"go/types"
	"strings"
	"sync"
	"testing"
)

// cell is a checked function whose statements are typeset.
const prelude = `package p

import "math"

var (
	_ = math.Pi
	Knot, Foot = 0.5, 0.3
	rho, V, S, CL, alpha, rho0, qbar, x, y, a, b, CD0, k, AR = 1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 9.0, 10.0, 11.0, 12.0, 13.0, 14.0
	air struct{ Density, Temperature float64 }
	p *struct{ X float64 }
	xs, ys []float64
	n, m int
)

func f(x float64) float64 { return x }
func uncertain(x, by float64) float64 { return x }
func must[T any](x T, err error) T { return x }
func pair() (float64, error) { return 0, nil }
`

var imported = sync.OnceValue(func() types.Importer { return importer.ForCompiler(token.NewFileSet(), "source", nil) })

// typeset returns the formulas of statements, as LaTeX and as text.
func typeset(t *testing.T, code string) Derivation {
	t.Helper()
	src := prelude + "func _() {\n" + code + "\n}\n"
	fset := token.NewFileSet()
	file, err := parser.ParseFile(fset, "cell.go", src, 0)
	if err != nil {
		t.Fatal(err)
	}
	info := &types.Info{Types: map[ast.Expr]types.TypeAndValue{}, Defs: map[*ast.Ident]types.Object{}, Uses: map[*ast.Ident]types.Object{}, Selections: map[*ast.SelectorExpr]*types.Selection{}}
	config := types.Config{Importer: imported(), Error: func(error) {}}
	config.Check("p", fset, []*ast.File{file}, info)
	b := &Builder{
		Info:    info,
		Symbols: SymbolsIn(code),
		Text:    func(n ast.Node) string { return src[fset.Position(n.Pos()).Offset:fset.Position(n.End()).Offset] },
		Unit: func(o types.Object) (string, float64, bool) {
			if o != nil && o.Name() == "Knot" {
				return "kt", 0.5, true
			}
			return "", 0, false
		},
		Own: func(fun ast.Expr) string {
			if id, ok := fun.(*ast.Ident); ok && (id.Name == "must" || id.Name == "uncertain") {
				return id.Name
			}
			return ""
		},
	}
	var out Derivation
	body := file.Decls[len(file.Decls)-1].(*ast.FuncDecl).Body.List
	for _, s := range body {
		step := b.Statement(s)
		if e, ok := s.(*ast.ExprStmt); ok {
			step = b.Last(e.X)
		}
		for i, q := range step.Equations {
			e := Event{Equation: q, Result: Value{1, "r"}, Moved: q.Formula == nil || !q.Formula.has(func(n *Node) bool { return n.Index > 0 })}
			if len(step.Operands[i]) != len(q.Names) {
				t.Errorf("%s: %d operands, %d names", code, len(step.Operands[i]), len(q.Names))
			}
			out = append(out, e)
		}
	}
	return out
}

func TestFormulas(t *testing.T) {
	for _, c := range []struct{ code, latex, plain string }{
		{"q := 0.5 * rho * V * V", `q & = 0.5\,\rho\,V^{2}`, "q = 0.5 ρ V²"},
		{"L := qbar * S * CL", `L & = \bar{q}\,S\,C_{L}`, "L = q̄ S C_L"},
		{"v := 95 * Knot", `v & = 95\,\mathrm{kt}`, "v = 95 kt"},
		{"z := (a + b) * x / (y - k)", `z & = \frac{\left(a + b\right)\,x}{y - k}`, "z = (a + b) x/(y − k)"},
		{"z := a - (b - x)", `z & = a - \left(b - x\right)`, "z = a − (b − x)"},
		{"z := a - (b + x)", `z & = a - \left(b + x\right)`, "z = a − (b + x)"},
		{"z := a * -b", `z & = a\,\left(-b\right)`, "z = a (−b)"},
		{"z := a - -b", `z & = a - \left(-b\right)`, "z = a − (−b)"},
		{"z := -(a + b)", `z & = -\left(a + b\right)`, "z = −(a + b)"},
		{"z := a / b / x", `z & = \frac{\frac{a}{b}}{x}`, "z = a/b/x"},
		{"z := a / (b / x)", `z & = \frac{a}{\frac{b}{x}}`, "z = a/(b/x)"},
		{"z := a / (b * x)", `z & = \frac{a}{b\,x}`, "z = a/(b x)"},
		{"z := math.Sqrt(2 * a / (rho * S))", `z & = \sqrt{\frac{2\,a}{\rho\,S}}`, "z = √(2 a/(ρ S))"},
		{"z := math.Pow(a/b, 1.5)", `z & = \left(\frac{a}{b}\right)^{1.5}`, "z = (a/b)^1.5"},
		{"z := math.Pow(math.Sin(alpha), 2)", `z & = \sin\left(\alpha\right)^{2}`, "z = sin(α)²"},
		{"z := math.Exp(-a*x)", `z & = e^{-a\,x}`, "z = exp(−a x)"},
		{"CD := CD0 + CL*CL/(math.Pi*AR*k)", `C_{D} & = C_{D0} + \frac{C_{L}^{2}}{\pi\,\mathrm{AR}\,k}`, "C_D = C_D0 + C_L²/(π AR k)"},
		{"z := air.Density * a", `z & = \rho_{\mathrm{air}}\,a`, "z = ρ_air a"},
		{"z := xs[2] + xs[n]", `z & = \mathrm{xs}_{2} + \mathrm{xs}_{n}`, "z = xs[2] + xs[n]"},
		{"z := 1e-3 * a", `z & = 10^{-3}\,a`, "z = 10⁻³ a"},
		{"z := 2.5e6 / a", `z & = \frac{2.5 \cdot 10^{6}}{a}`, "z = 2.5·10⁶/a"},
		{"z := f(a) + f(b*x)", `z & = f\left(a\right) + f\left(b\,x\right)`, "z = f(a) + f(b x)"},
		{"z := math.Max(a, b)", `z & = \max\left(a, b\right)`, "z = max(a, b)"},
		{"z := math.Abs(a - b)", `z & = \left|a - b\right|`, "z = |a − b|"},
		{"z := 4.1 * Knot / (9.0 * Knot)", `z & = \frac{4.1\,\mathrm{kt}}{9.0\,\mathrm{kt}}`, "z = 4.1 kt/(9.0 kt)"},
		{"z := math.Cbrt(a)", `z & = \sqrt[3]{a}`, "z = ∛(a)"},
		{"z := float64(n) * a", `z & = n\,a`, "z = n a"},
		{"z := a / float64(len(xs))", `z & = \frac{a}{n_{\mathrm{xs}}}`, "z = a/n_xs"},
		{"x += a * b", `x & \leftarrow x + a\,b`, "x ← x + a b"},
		{"x -= a - b", `x & \leftarrow x - \left(a - b\right)`, "x ← x − (a − b)"},
		{"n %= m", `& \texttt{n \%= m}`, "n %= m"},
		{"n++", `n & \leftarrow n + 1`, "n ← n + 1"},
		{"x = 2 * x", `x & \leftarrow 2\,x`, "x ← 2 x"},
		{"z := must(pair())", `z & = \texttt{must(pair())}`, "z = must(pair())"},
		{"z := n / m", `z & = \texttt{n / m}`, "z = n / m"},
		{"z := n % m", `z & = \texttt{n \% m}`, "z = n % m"},
		{"z := 1 / 2 * a", `z & = \texttt{1 / 2 * a}`, "z = 1 / 2 * a"},
		{"s := \"text\"", `& \texttt{s := "text"}`, `s := "text"`},
		{"z, err := pair()", `& \texttt{z, err := pair()}`, "z, err := pair()"},
		{"z := p.X * a", `z & = X_{p}\,a`, "z = X_p a"},
		{"if a > b { x = a } else { x = b - a }", `x & = \begin{cases} a & \text{if } a > b \\ b - a & \text{otherwise} \end{cases}`, "x = { a if a > b; b − a otherwise }"},
		{"if a > b && n >= 2 { x = a }", `x & \leftarrow \begin{cases} a & \text{if } a > b \ \text{and}\ n \ge 2 \\ x & \text{otherwise} \end{cases}`, "x ← { a if a > b and n ≥ 2; x otherwise }"},
		{"switch { case a < 1: x = a\ncase a < 2: x = b\ndefault: x = 0 }", `x & = \begin{cases} a & \text{if } a < 1 \\ b & \text{if } a < 2 \\ 0 & \text{otherwise} \end{cases}`, "x = { a if a < 1; b if a < 2; 0 otherwise }"},
		{"for _, v := range xs { x += v * v }", `x & \leftarrow x + \sum_{i=1}^{n_{\mathrm{xs}}} \mathrm{xs}_{i}^{2}`, "x ← x + Σ(i=1…n_xs) xs[i]²"},
		{"s := 0.0\nfor i := range xs { s += xs[i] * ys[i] }", `s & = \sum_{i=0}^{n_{\mathrm{xs}} - 1} \mathrm{xs}_{i}\,\mathrm{ys}_{i}`, "s = Σ(i=0…n_xs − 1) xs[i] ys[i]"},
		{"for i := 1; i <= n; i++ { x += 1 / float64(i) }", `x & \leftarrow x + \sum_{i=1}^{n} \frac{1}{i}`, "x ← x + Σ(i=1…n) 1/i"},
		{"for i := 1; i <= n; i++ { x *= a }", `& \texttt{for i := 1; i <= n; i++ \{ x *= a \}}`, "for i := 1; i <= n; i++ { x *= a }"},
		{"for _, v := range xs { x += v * x }", `& \texttt{for \_, v := range xs \{ x += v * x \}}`, "for _, v := range xs { x += v * x }"},
		{"A := [][]float64{{1, a}, {0, b*x}}", `A & = \begin{bmatrix} 1 & a \\ 0 & b\,x \end{bmatrix}`, "A = [1 a; 0 b x]"},
		{"//foreplane:symbol V V_\\infty\nq := rho * V", `q & = \rho\,V_\infty`, "q = ρ V"},
		{"var z float64 = a + 1", `z & = a + 1`, "z = a + 1"},
		{"V = uncertain(95*Knot, 1*Knot)", `V & = 95\,\mathrm{kt} \pm 1\,\mathrm{kt}`, "V = 95 kt ± 1 kt"},
	} {
		d := typeset(t, c.code)
		if len(d) == 0 {
			t.Errorf("%s: no equation", c.code)
			continue
		}
		for i := range d {
			d[i].Operands = nil
			d[i].Moved = true
		}
		latex := strings.TrimSuffix(strings.TrimPrefix(d.LaTeX(), "$$\n\\begin{aligned}\n"), "\n\\end{aligned}\n$$")
		if latex = strings.TrimSuffix(latex, " = r"); latex != c.latex {
			t.Errorf("%s\ngot  %s\nwant %s", c.code, latex, c.latex)
		}
		if plain := strings.TrimSuffix(d.Text(), " = r"); plain != c.plain {
			t.Errorf("%s\ngot  %s\nwant %s", c.code, plain, c.plain)
		}
	}
}

func TestSymbols(t *testing.T) {
	for name, want := range map[string]string{
		"alpha": `\alpha`, "CL": "C_{L}", "rho0": `\rho_{0}`, "qbar": `\bar{q}`, "Vstall": `V_{\mathrm{stall}}`, "CLmax": `C_{L,\mathrm{max}}`, "CmAlpha": `C_{m\alpha}`,
		"x_cg": `x_{\mathrm{cg}}`, "xNP": `x_{\mathrm{NP}}`, "V1": "V_{1}", "dCL": `\mathrm{d}C_{L}`, "Speed": `\mathrm{Speed}`, "TAS": `\mathrm{TAS}`, "cost": `\mathrm{cost}`,
		"pitch": `\mathrm{pitch}`, "Climb": `\mathrm{Climb}`, "alphadot": `\dot{\alpha}`, "VbarH": `\bar{V}_{H}`, "α": `\alpha`, "CDi": "C_{Di}", "deltaE": `\delta_{E}`,
		"eta_p": `\eta_{p}`, "bw": `\mathrm{bw}`, "n": "n",
	} {
		if got := SymbolOf(name).LaTeX; got != want {
			t.Errorf("%s is %s, want %s", name, got, want)
		}
	}
}

// TestSlopes compares derivatives with differences.
func TestSlopes(t *testing.T) {
	for _, code := range []string{
		"z := a*b/x - a", "z := math.Sqrt(a*a + b)", "z := math.Pow(a, b)", "z := math.Sin(a)*math.Cos(b)*math.Tan(a)", "z := math.Atan2(a, b)", "z := math.Log(a)/math.Exp(-b)",
		"z := math.Hypot(a, b)", "z := math.Abs(b-a)", "z := math.Max(a, b)*math.Min(a, b)", "z := math.Asin(a/9)+math.Acos(b/9)+math.Atan(a)", "z := math.Sinh(a/5)*math.Cosh(b/5)-math.Tanh(a)",
		"z := math.Log10(a)+math.Cbrt(b)",
	} {
		q := typeset(t, code)[0].Equation
		at := make([]float64, len(q.Names))
		for i := range at {
			at[i] = 1.3 + 0.4*float64(i)
		}
		slopes, ok := q.Slopes(at)
		if !ok {
			t.Errorf("%s: not known", code)
			continue
		}
		for i := range at {
			const h = 1e-6
			up, down := append([]float64(nil), at...), append([]float64(nil), at...)
			up[i] += h
			down[i] -= h
			above, _ := q.Formula.evaluate(up, 0)
			below, _ := q.Formula.evaluate(down, 0)
			if want := (above.v - below.v) / (2 * h); fmt.Sprintf("%.5f", want) != fmt.Sprintf("%.5f", slopes[i]) {
				t.Errorf("%s by %s: %v, want %v", code, q.Names[i], slopes[i], want)
			}
		}
	}
}
