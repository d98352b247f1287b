package derive

import (
	"go/ast"
	"go/constant"
	"go/token"
	"go/types"
	"math"
	"slices"
)

// formula is the work on one expression.
type formula struct {
	builder  *Builder
	operands []ast.Expr
	names    []string
	opaque   bool                    // it calls what may change variables, or end early
	careful  bool                    // it may stop half-way, as conditions do
	elements map[types.Object]Symbol // of a loop: what stands for its variables
}

// expr returns an expression as a formula. It reports false for what is none.
func (f *formula) expr(e ast.Expr) (Node, bool) {
	switch e := e.(type) {
	case *ast.ParenExpr:
		return f.expr(e.X)
	case *ast.BasicLit:
		return f.literal(e)
	case *ast.Ident:
		return f.ident(e)
	case *ast.SelectorExpr, *ast.IndexExpr:
		return f.selected(e)
	case *ast.UnaryExpr:
		return f.unary(e)
	case *ast.BinaryExpr:
		return f.binary(e)
	case *ast.CallExpr:
		return f.call(e)
	case *ast.CompositeLit:
		return f.matrix(e)
	}
	return Node{}, false
}

func (f *formula) all(list ...ast.Expr) ([]Node, bool) {
	var out []Node
	for _, e := range list {
		n, ok := f.expr(e)
		if !ok {
			return nil, false
		}
		out = append(out, n)
	}
	return out, true
}

func (f *formula) literal(e *ast.BasicLit) (Node, bool) {
	if e.Kind != token.INT && e.Kind != token.FLOAT {
		return Node{}, false
	}
	v, _ := constant.Float64Val(constant.MakeFromLiteral(e.Value, e.Kind, 0))
	return Node{Op: Number, Text: e.Value, Value: v}, true
}

func (f *formula) ident(e *ast.Ident) (Node, bool) {
	o := f.builder.Info.ObjectOf(e)
	if s, ok := f.elements[o]; ok {
		return Node{Op: Operand, Symbol: s}, true
	}
	return f.named(e, o)
}

// selected is a field, an element, or a name of a package.
func (f *formula) selected(e ast.Expr) (Node, bool) {
	if sel, ok := e.(*ast.SelectorExpr); ok && f.builder.Info.Selections[sel] == nil {
		return f.named(e, f.builder.Info.Uses[sel.Sel])
	}
	if f.inLoop(e) {
		return f.element(e)
	}
	return f.operand(e)
}

// constants are the numbers that formulas know by a symbol.
var constants = map[string]Symbol{"Pi": {`\pi`, "π"}, "E": {"e", "e"}, "Sqrt2": {`\sqrt{2}`, "√2"}, "Sqrt3": {`\sqrt{3}`, "√3"}, "Ln2": {`\ln 2`, "ln 2"}}

// named is a constant, a unit or a variable.
func (f *formula) named(e ast.Expr, o types.Object) (Node, bool) {
	b := f.builder
	if symbol, si, ok := b.Unit(o); ok {
		return Node{Op: Unit, Text: symbol, Value: si}, true
	}
	c, ok := o.(*types.Const)
	if !ok {
		return f.operand(e)
	}
	if o.Pkg() != nil && o.Pkg().Path() == "math" {
		s, known := constants[o.Name()]
		v, _ := constant.Float64Val(c.Val())
		return Node{Op: Constant, Symbol: s, Value: v}, known
	}
	return f.operand(e)
}

// operand is what has a value when the statement runs.
func (f *formula) operand(e ast.Expr) (Node, bool) {
	b := f.builder
	if !isNumber(b.Info.TypeOf(e)) || !b.readable(e) {
		return Node{}, false
	}
	n := Node{Op: Operand, Symbol: b.symbol(e)}
	if !b.safe(e) && (f.opaque || f.careful) {
		return n, true
	}
	name := b.Text(e)
	i := slices.Index(f.names, name)
	if i < 0 {
		i = len(f.names)
		f.names, f.operands = append(f.names, name), append(f.operands, e)
	}
	n.Index = i + 1
	return n, true
}

func (f *formula) unary(e *ast.UnaryExpr) (Node, bool) {
	if e.Op != token.SUB && e.Op != token.ADD && e.Op != token.NOT {
		return Node{}, false
	}
	x, ok := f.expr(e.X)
	switch e.Op {
	case token.ADD:
		return x, ok
	case token.NOT:
		return Node{Op: Not, Args: []Node{x}}, ok
	}
	return Node{Op: Neg, Args: []Node{x}}, ok
}

var operators = map[token.Token]Op{token.ADD: Add, token.SUB: Sub, token.MUL: Mul, token.QUO: Div, token.LAND: And, token.LOR: Or}

func (f *formula) binary(e *ast.BinaryExpr) (Node, bool) {
	args, ok := f.all(e.X, e.Y)
	if !ok {
		return Node{}, false
	}
	if slices.Contains([]token.Token{token.LSS, token.LEQ, token.GTR, token.GEQ, token.EQL, token.NEQ}, e.Op) {
		return Node{Op: Compare, Text: e.Op.String(), Args: args}, true
	}
	op, ok := operators[e.Op]
	if !ok || op == Div && f.wholeDivision(e) {
		return Node{}, false
	}
	return Node{Op: op, Args: args}, true
}

// wholeDivision reports whether a division loses its remainder.
func (f *formula) wholeDivision(e *ast.BinaryExpr) bool {
	info := f.builder.Info
	if v, x, y := info.Types[e].Value, info.Types[e.X].Value, info.Types[e.Y].Value; v != nil && x != nil && y != nil {
		got, _ := constant.Float64Val(v)
		want, _ := constant.Float64Val(constant.BinaryOp(constant.ToFloat(x), token.QUO, constant.ToFloat(y)))
		return math.Abs(got-want) > 1e-12*math.Abs(want)
	}
	t := info.TypeOf(e)
	return t != nil && isInteger(t)
}

// mathNames are the names of package math that are written otherwise.
var mathNames = map[string]string{
	"Sin": "sin", "Cos": "cos", "Tan": "tan", "Asin": "arcsin", "Acos": "arccos", "Atan": "arctan", "Sinh": "sinh", "Cosh": "cosh", "Tanh": "tanh", "Log": "ln",
	"Log10": "lg", "Atan2": "atan2", "Max": "max", "Min": "min",
}

func (f *formula) call(e *ast.CallExpr) (Node, bool) {
	b := f.builder
	own := b.Own(e.Fun)
	switch {
	case own == "must" && len(e.Args) == 1:
		return f.expr(e.Args[0])
	case own == "uncertain" && len(e.Args) == 2:
		args, ok := f.all(e.Args...)
		return Node{Op: Uncertain, Args: args}, ok
	case b.builtinName(e.Fun) == "len":
		return f.length(e)
	case b.Info.Types[e.Fun].IsType():
		if len(e.Args) != 1 || isInteger(b.Info.TypeOf(e)) && !isInteger(b.Info.TypeOf(e.Args[0])) {
			return Node{}, false
		}
		return f.expr(e.Args[0])
	}
	args, ok := f.all(e.Args...)
	if !ok || e.Ellipsis.IsValid() {
		return Node{}, false
	}
	if name := b.mathName(e.Fun); name != "" {
		return mathCall(name, args)
	}
	if name := b.builtinName(e.Fun); name != "" {
		return Node{Op: Call, Text: name, Args: args}, true
	}
	return f.applied(e, args)
}

// mathCall writes a function of package math by its sign, if it has one.
func mathCall(name string, args []Node) (Node, bool) {
	switch name {
	case "Sqrt":
		return Node{Op: Root, Value: 2, Args: args}, true
	case "Cbrt":
		return Node{Op: Root, Text: "3", Value: 3, Args: args}, true
	case "Pow":
		return Node{Op: Pow, Args: args}, true
	case "Abs":
		return Node{Op: Abs, Args: args}, true
	case "Exp":
		return Node{Op: Exp, Args: args}, true
	case "Hypot":
		two := Node{Op: Number, Text: "2", Value: 2}
		sum := Node{Op: Add, Args: []Node{{Op: Pow, Args: []Node{args[0], two}}, {Op: Pow, Args: []Node{args[1], two}}}}
		return Node{Op: Root, Value: 2, Args: []Node{sum}}, true
	}
	if written := mathNames[name]; written != "" {
		return Node{Op: Call, Text: written, Args: args}, true
	}
	return Node{Op: Apply, Symbol: upright(name), Args: args}, true
}

func upright(name string) Symbol { return Symbol{`\operatorname{` + name + `}`, name} }

// applied is a call of another function with numbers. Methods are left as code: what they compute depends on more than their arguments.
func (f *formula) applied(e *ast.CallExpr, args []Node) (Node, bool) {
	b := f.builder
	if len(args) == 0 || !isNumber(b.Info.TypeOf(e)) {
		return Node{}, false
	}
	switch fun := ast.Unparen(e.Fun).(type) {
	case *ast.Ident:
		return Node{Op: Apply, Symbol: b.symbol(fun), Args: args}, b.Own(fun) == ""
	case *ast.SelectorExpr:
		if b.Info.Selections[fun] == nil {
			return Node{Op: Apply, Symbol: upright(fun.Sel.Name), Args: args}, true
		}
	}
	return Node{}, false
}

// length is the number of elements of a list.
func (f *formula) length(e *ast.CallExpr) (Node, bool) {
	b := f.builder
	x := ast.Unparen(e.Args[0])
	if !b.readable(x) {
		return Node{}, false
	}
	s := b.symbol(x)
	n := Node{Op: Operand, Symbol: Symbol{"n_{" + s.LaTeX + "}", "n_" + s.Plain}}
	if !b.safe(x) && (f.opaque || f.careful) {
		return n, true
	}
	f.names, f.operands = append(f.names, b.Text(e)), append(f.operands, e)
	n.Index = len(f.names)
	return n, true
}

// matrix is a literal of a column or a matrix.
func (f *formula) matrix(e *ast.CompositeLit) (Node, bool) {
	t := f.builder.Info.TypeOf(e)
	if t == nil || !isMatrix(t) || len(e.Elts) == 0 {
		return Node{}, false
	}
	inner, _ := elem(t)
	if isFloat(inner) {
		args, ok := f.all(e.Elts...)
		return Node{Op: Matrix, Width: 1, Args: args}, ok
	}
	out := Node{Op: Matrix}
	for _, row := range e.Elts {
		r, ok := row.(*ast.CompositeLit)
		if !ok || len(r.Elts) == 0 || out.Width > 0 && len(r.Elts) != out.Width {
			return Node{}, false
		}
		args, ok := f.all(r.Elts...)
		if !ok {
			return Node{}, false
		}
		out.Width, out.Args = len(r.Elts), append(out.Args, args...)
	}
	return out, true
}

// number is a whole number as a formula.
func number(text string, value float64) Node {
	if math.IsNaN(value) {
		panic("derive: not a number")
	}
	return Node{Op: Number, Text: text, Value: value}
}
