package derive

import (
	"go/ast"
	"go/constant"
	"go/token"
	"go/types"
	"math"
	"strings"
)

// Builder makes equations of the statements of a checked cell.
type Builder struct {
	Info    *types.Info
	Text    func(ast.Node) string                                   // the source of a node
	Unit    func(types.Object) (symbol string, si float64, ok bool) // a constant that is a unit of measurement
	Symbols map[string]Symbol                                       // given by comments
	Own     func(fun ast.Expr) string                               // the name of one of the functions of every cell's own; empty for others
}

// Step is what becomes of a statement: its equations, and the expressions whose values they need.
type Step struct {
	Equations []Equation
	Operands  [][]ast.Expr // of each equation, in the order of its names
	Targets   []ast.Expr   // of each equation, what it assigns to; nil if there is no result
}

// Statement returns the equations of a statement. There are none for what assigns nothing.
func (b *Builder) Statement(s ast.Stmt) Step {
	var out Step
	switch s := s.(type) {
	case *ast.AssignStmt:
		b.assignment(s, &out)
	case *ast.DeclStmt:
		b.declaration(s.Decl.(*ast.GenDecl), &out)
	case *ast.IncDecStmt:
		one := &ast.BasicLit{Kind: token.INT, Value: "1"}
		b.Info.Types[one] = types.TypeAndValue{Type: types.Typ[types.UntypedInt], Value: constant.MakeInt64(1)}
		b.update(s.X, map[token.Token]token.Token{token.INC: token.ADD, token.DEC: token.SUB}[s.Tok], one, s, &out)
	case *ast.IfStmt, *ast.SwitchStmt:
		b.choice(s, &out)
	case *ast.RangeStmt, *ast.ForStmt:
		b.loop(s, &out)
	}
	return out
}

// Last returns the equation of the last expression of a cell, if it is a formula.
func (b *Builder) Last(e ast.Expr) Step {
	var out Step
	if isNumber(b.Info.TypeOf(e)) {
		b.add(nil, e, &out)
	}
	return out
}

func (b *Builder) assignment(s *ast.AssignStmt, out *Step) {
	op, updates := updating[s.Tok]
	switch {
	case updates:
		b.update(s.Lhs[0], op, s.Rhs[0], s, out)
	case len(s.Lhs) != len(s.Rhs):
		b.code(s, out)
	default:
		for i, target := range s.Lhs {
			b.set(target, s.Rhs[i], s, out)
		}
	}
}

var updating = map[token.Token]token.Token{
	token.ADD_ASSIGN: token.ADD, token.SUB_ASSIGN: token.SUB, token.MUL_ASSIGN: token.MUL, token.QUO_ASSIGN: token.QUO,
	token.REM_ASSIGN: token.REM, token.AND_ASSIGN: token.AND, token.OR_ASSIGN: token.OR, token.XOR_ASSIGN: token.XOR, token.SHL_ASSIGN: token.SHL,
	token.SHR_ASSIGN: token.SHR, token.AND_NOT_ASSIGN: token.AND_NOT,
}

func (b *Builder) declaration(d *ast.GenDecl, out *Step) {
	for _, spec := range d.Specs {
		v, ok := spec.(*ast.ValueSpec)
		if !ok {
			continue
		}
		if len(v.Values) != len(v.Names) {
			if len(v.Values) > 0 {
				b.code(d, out)
			}
			continue
		}
		for i, name := range v.Names {
			b.set(name, v.Values[i], v, out)
		}
	}
}

// set adds the equation of an assignment.
func (b *Builder) set(target, value ast.Expr, whole ast.Node, out *Step) {
	if id, ok := target.(*ast.Ident); ok && id.Name == "_" {
		return
	}
	t := b.typeOf(target)
	switch {
	case !(isNumber(t) || isMatrix(t)) || !b.readable(target):
		b.code(whole, out)
	default:
		b.add(target, value, out)
	}
}

// add adds an equation with a result. What is no formula is left as code.
func (b *Builder) add(target, value ast.Expr, out *Step) {
	f := &formula{builder: b, opaque: b.opaque(value)}
	n, ok := f.expr(value)
	e := f.equation(target)
	e.Code = b.Text(value)
	if ok && b.trustworthy(n, value) {
		e.Formula = &n
	} else {
		e.Names, f.operands = nil, nil
	}
	e.Updates = e.Updates && e.Formula != nil
	b.append(e, f.operands, target, value, out)
}

// append adds an equation to a step; the last expression of a cell is its own target.
func (b *Builder) append(e Equation, operands []ast.Expr, target, value ast.Expr, out *Step) {
	if target == nil {
		target = value
	}
	out.Equations = append(out.Equations, e)
	out.Operands = append(out.Operands, operands)
	out.Targets = append(out.Targets, target)
}

// equation returns the equation that f's formula is assigned by.
func (f *formula) equation(target ast.Expr) Equation {
	e := Equation{Result: true, Names: f.names, Opaque: f.opaque}
	if target == nil {
		return e
	}
	e.Name, e.Symbol = f.builder.Text(target), f.builder.symbol(target)
	for _, name := range f.names {
		e.Updates = e.Updates || name == e.Name
	}
	return e
}

// update adds the equation of x op= y.
func (b *Builder) update(target ast.Expr, op token.Token, value ast.Expr, whole ast.Stmt, out *Step) {
	x := &ast.BinaryExpr{X: target, Op: op, Y: value}
	t := b.typeOf(target)
	if !isNumber(t) || !b.readable(target) {
		b.code(whole, out)
		return
	}
	b.Info.Types[x] = types.TypeAndValue{Type: t}
	defer delete(b.Info.Types, x)
	f := &formula{builder: b, opaque: b.opaque(value)}
	n, ok := f.expr(x)
	if !ok {
		b.code(whole, out)
		return
	}
	e := f.equation(target)
	e.Formula = &n
	b.append(e, f.operands, target, nil, out)
}

// code adds a statement as it stands.
func (b *Builder) code(n ast.Node, out *Step) {
	b.append(Equation{Code: b.Text(n)}, nil, nil, nil, out)
}

func (b *Builder) typeOf(e ast.Expr) types.Type {
	if id, ok := e.(*ast.Ident); ok {
		if o := b.Info.ObjectOf(id); o != nil {
			return o.Type()
		}
	}
	return b.Info.TypeOf(e)
}

// trustworthy reports whether a constant has the value that its formula says: 1/2 between whole numbers has not.
func (b *Builder) trustworthy(n Node, e ast.Expr) bool {
	v := b.Info.Types[e].Value
	if v == nil || n.Op == Operand {
		return true
	}
	x, ok := n.evaluate(nil, 0)
	want, _ := constant.Float64Val(constant.ToFloat(v))
	return !ok || math.Abs(x.v-want) <= 1e-12*math.Abs(want)
}

func isNumber(t types.Type) bool {
	if t == nil {
		return false
	}
	basic, ok := t.Underlying().(*types.Basic)
	return ok && basic.Info()&(types.IsInteger|types.IsFloat) != 0
}

func isInteger(t types.Type) bool {
	basic, ok := t.Underlying().(*types.Basic)
	return ok && basic.Info()&types.IsInteger != 0
}

// isMatrix reports whether a value is shown as a column or as a matrix: []float64, [][]float64, and the matrices of gonum.
func isMatrix(t types.Type) bool {
	if t == nil {
		return false
	}
	if p, ok := t.(*types.Pointer); ok {
		t = p.Elem()
	}
	if n, ok := t.(*types.Named); ok && n.Obj().Pkg() != nil && strings.HasSuffix(n.Obj().Pkg().Path(), "gonum/mat") {
		return n.Obj().Name() == "Dense" || n.Obj().Name() == "VecDense"
	}
	e, ok := elem(t)
	if !ok {
		return false
	}
	if isFloat(e) {
		return true
	}
	e, ok = elem(e)
	return ok && isFloat(e)
}

func isFloat(t types.Type) bool {
	basic, ok := t.Underlying().(*types.Basic)
	return ok && basic.Info()&types.IsFloat != 0
}

func elem(t types.Type) (types.Type, bool) {
	switch t := t.Underlying().(type) {
	case *types.Slice:
		return t.Elem(), true
	case *types.Array:
		return t.Elem(), true
	}
	return nil, false
}

// readable reports whether reading an expression has no effect and does not depend on the moment: a variable, a field, an element at a fixed place.
func (b *Builder) readable(e ast.Expr) bool {
	switch e := ast.Unparen(e).(type) {
	case *ast.Ident:
		return true
	case *ast.SelectorExpr:
		return b.readable(e.X)
	case *ast.IndexExpr:
		if _, isMap := b.Info.TypeOf(e.X).Underlying().(*types.Map); isMap || !b.readable(e.X) {
			return false
		}
		_, named := ast.Unparen(e.Index).(*ast.Ident)
		return named || b.Info.Types[e.Index].Value != nil
	}
	return false
}

// safe reports whether reading cannot panic: there is neither an index nor a pointer on the way.
func (b *Builder) safe(e ast.Expr) bool {
	switch e := ast.Unparen(e).(type) {
	case *ast.Ident:
		return true
	case *ast.SelectorExpr:
		if s := b.Info.Selections[e]; s != nil && (s.Kind() != types.FieldVal || s.Indirect()) {
			return false
		}
		return b.safe(e.X)
	}
	return false
}

// opaque reports whether an expression calls what may change variables, or end early.
func (b *Builder) opaque(n ast.Node) bool {
	found := false
	ast.Inspect(n, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.CallExpr:
			found = found || !b.transparent(n)
		case *ast.FuncLit, *ast.StarExpr, *ast.TypeAssertExpr, *ast.SliceExpr:
			found = true
		case *ast.UnaryExpr:
			found = found || n.Op == token.ARROW || n.Op == token.AND
		}
		return !found
	})
	return found
}

// transparent reports whether a call is a conversion or one of a function of mathematics.
func (b *Builder) transparent(c *ast.CallExpr) bool {
	if b.Info.Types[c.Fun].IsType() {
		return true
	}
	return b.mathName(c.Fun) != "" || b.builtinName(c.Fun) != "" || b.Own(c.Fun) == "uncertain"
}

// mathName returns the name of a function of package math that an expression names.
func (b *Builder) mathName(fun ast.Expr) string {
	sel, ok := ast.Unparen(fun).(*ast.SelectorExpr)
	if !ok {
		return ""
	}
	if f, ok := b.Info.Uses[sel.Sel].(*types.Func); ok && f.Pkg() != nil && f.Pkg().Path() == "math" {
		return f.Name()
	}
	return ""
}

// builtinName returns max, min or len.
func (b *Builder) builtinName(fun ast.Expr) string {
	id, ok := ast.Unparen(fun).(*ast.Ident)
	if !ok {
		return ""
	}
	if _, ok := b.Info.Uses[id].(*types.Builtin); ok && (id.Name == "max" || id.Name == "min" || id.Name == "len") {
		return id.Name
	}
	return ""
}

// fieldSymbols are fields of the library that have a letter of their own.
var fieldSymbols = map[string]Symbol{
	"Density": {`\rho`, "ρ"}, "Temperature": {"T", "T"}, "Pressure": {"p", "p"}, "SpeedOfSound": {"a", "a"}, "Viscosity": {`\mu`, "μ"},
	"DynamicViscosity": {`\mu`, "μ"}, "KinematicViscosity": {`\nu`, "ν"}, "Alpha": {`\alpha`, "α"}, "Beta": {`\beta`, "β"}, "Deflection": {`\delta`, "δ"},
	"Area": {"S", "S"}, "Span": {"b", "b"}, "Chord": {"c", "c"}, "Mass": {"m", "m"}, "Weight": {"W", "W"}, "Speed": {"V", "V"}, "DynamicPressure": {"q", "q"},
}

// symbol is the symbol of a variable, a field or an element.
func (b *Builder) symbol(e ast.Expr) Symbol {
	e = ast.Unparen(e)
	if s, ok := b.Symbols[b.Text(e)]; ok {
		return s
	}
	switch e := e.(type) {
	case *ast.Ident:
		return SymbolOf(e.Name)
	case *ast.SelectorExpr:
		if o, ok := b.Info.Uses[e.Sel]; ok && b.Info.Selections[e] == nil { // a name of a package
			return SymbolOf(o.Name())
		}
		return b.fieldSymbol(e)
	case *ast.IndexExpr:
		i := b.indexSymbol(e.Index)
		return b.symbol(e.X).element(i)
	}
	return Symbol{}
}

// fieldSymbol is the letter of a field, with the name of what it belongs to for an index.
func (b *Builder) fieldSymbol(e *ast.SelectorExpr) Symbol {
	s, ok := fieldSymbols[e.Sel.Name]
	if !ok {
		s = SymbolOf(e.Sel.Name)
	}
	owner := b.symbol(e.X)
	if text := b.Text(e.X); strings.Trim(text, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789.") == "" {
		return s.with(strings.ReplaceAll(text, ".", ","))
	}
	return s.element(owner)
}

func (b *Builder) indexSymbol(e ast.Expr) Symbol {
	if v := b.Info.Types[e].Value; v != nil {
		return Symbol{v.String(), v.String()}
	}
	if id, ok := ast.Unparen(e).(*ast.Ident); ok {
		return SymbolOf(id.Name)
	}
	return Symbol{`\cdot`, "·"}
}

// element adds an index to a symbol that may have one.
func (s Symbol) element(i Symbol) Symbol {
	latex := s.LaTeX
	if strings.Contains(latex, "_") {
		latex = "{" + latex + "}"
	}
	plain := s.Plain + "[" + i.Plain + "]"
	return Symbol{latex + "_{" + i.LaTeX + "}", plain}
}
