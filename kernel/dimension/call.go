package dimension

import (
	"go/ast"
	"go/token"
	"go/types"
	"math"
)

func (p *pass) call(e *ast.CallExpr) shape {
	fun := ast.Unparen(e.Fun)
	tv := p.src.Info.Types[fun]
	switch {
	case tv.IsType() && len(e.Args) == 1:
		return p.convert(e, fun)
	case tv.IsBuiltin():
		return p.builtin(builtinName(fun), e.Args)
	case p.fullName(fun) == "math.Pow" && len(e.Args) == 2:
		return p.power(e)
	}
	f, ok := settled(p.expr(e.Fun)).(*function)
	if !ok {
		for _, a := range e.Args {
			p.expr(a)
		}
		return nil
	}
	p.arguments(e, f)
	if _, listed := p.library[p.fullName(fun)]; listed && p.allBare(e.Args) {
		p.stayBare(f.results)
	}
	switch len(f.results) {
	case 0:
		return nil
	case 1:
		return f.results[0]
	}
	return tuple(f.results)
}

// allBare reports whether all arguments are bare numbers: what a function of numbers makes of them is one, too.
func (p *pass) allBare(args []ast.Expr) bool {
	for _, a := range args {
		if s, ok := settled(p.shapes[a]).(*scalar); !ok || !s.bare {
			return false
		}
	}
	return len(args) > 0
}

func (p *pass) stayBare(results []shape) {
	for i, r := range results {
		if s, ok := r.(*scalar); ok && s.kind == "" && !s.zero {
			results[i] = &scalar{bare: true, count: true}
		}
	}
}

func builtinName(fun ast.Expr) string {
	if id, ok := fun.(*ast.Ident); ok {
		return id.Name
	}
	return ""
}

// fullName returns the name of the function that is called, if it is one by name.
func (p *pass) fullName(fun ast.Expr) string {
	var id *ast.Ident
	switch fun := fun.(type) {
	case *ast.Ident:
		id = fun
	case *ast.SelectorExpr:
		id = fun.Sel
	default:
		return ""
	}
	if f, ok := p.src.Info.ObjectOf(id).(*types.Func); ok {
		return f.FullName()
	}
	return ""
}

// arguments checks the arguments of a call, function literals last: they learn their parameters from the others.
func (p *pass) arguments(e *ast.CallExpr, f *function) {
	name := types.ExprString(e.Fun)
	if len(e.Args) == 1 {
		if t, ok := p.exprWith(e.Args[0], p.param(f, 0, e)).(tuple); ok {
			for i, s := range t {
				p.argument(f, i, s, e, name, e.Args[0])
			}
			return
		}
		p.argument(f, 0, p.shapes[e.Args[0]], e, name, e.Args[0])
		return
	}
	for _, literals := range []bool{false, true} {
		for i, a := range e.Args {
			if _, ok := ast.Unparen(a).(*ast.FuncLit); ok == literals {
				p.argument(f, i, p.exprWith(a, p.param(f, i, e)), e, name, a)
			}
		}
	}
}

// param returns the shape of the parameter for the i-th argument.
func (p *pass) param(f *function, i int, e *ast.CallExpr) shape {
	last := len(f.params) - 1
	if f.variadic && i >= last && !e.Ellipsis.IsValid() {
		if l, ok := settled(f.params[last]).(*list); ok {
			return l.elem
		}
		return nil
	}
	if i > last {
		return nil
	}
	return f.params[i]
}

func (p *pass) argument(f *function, i int, s shape, e *ast.CallExpr, name string, arg ast.Expr) {
	what := name
	if j := min(i, len(f.names)-1); j >= 0 && f.names[j] != "" && f.names[j] != "_" {
		what = "argument " + f.names[j] + " of " + name
	}
	p.expect(p.param(f, i, e), s, arg, place{what: what})
}

// convert returns what a conversion makes. One to float64 forgets the dimension; a whole number is a number.
func (p *pass) convert(e *ast.CallExpr, fun ast.Expr) shape {
	arg := p.expr(e.Args[0])
	want := p.written(fun)
	w, ok := settled(want).(*scalar)
	if !ok {
		p.unify(want, arg)
		return want
	}
	if w.bare { // a type of numbers
		return w
	}
	if w.kind != "" {
		if g, ok := settled(arg).(*scalar); ok && !p.fit(w, g) && !g.bare {
			p.mismatch(w, g, e.Args[0], place{what: types.ExprString(fun)})
		}
		return w
	}
	if b, ok := underBasic(p.src.Info.TypeOf(e.Args[0])); ok && b.Info()&types.IsInteger != 0 {
		return &scalar{bare: true, count: true}
	}
	if g, ok := settled(arg).(*scalar); ok && (g.bare || !w.plain) {
		return g
	}
	return nil
}

func (p *pass) builtin(name string, args []ast.Expr) shape {
	if len(args) == 1 {
		if _, ok := p.src.Info.TypeOf(args[0]).(*types.Tuple); ok { // a call with several results
			t, _ := p.expr(args[0]).(tuple)
			return first(t)
		}
	}
	switch name {
	case "make":
		for _, a := range args[1:] {
			p.expr(a)
		}
		return p.written(args[0])
	case "new":
		if p.src.Info.Types[args[0]].IsType() {
			return p.written(args[0])
		}
		return p.expr(args[0])
	case "append":
		return p.appended(args)
	case "copy":
		p.unify(p.expr(args[0]), p.expr(args[1]))
		return nil
	case "min", "max":
		s := p.expr(args[0])
		for _, a := range args[1:] {
			s = p.same(args[0], a, s, p.expr(a), token.LSS, a)
		}
		return s
	}
	var s shape
	for _, a := range args {
		s = p.expr(a)
	}
	if name == "real" || name == "imag" || name == "complex" {
		return s
	}
	return nil
}

func (p *pass) appended(args []ast.Expr) shape {
	s := p.expr(args[0])
	l, ok := settled(s).(*list)
	for _, a := range args[1:] {
		if !ok {
			p.expr(a)
			continue
		}
		x := p.exprWith(a, l.elem)
		if other, spread := settled(x).(*list); spread && len(args) == 2 && types.Identical(p.src.Info.TypeOf(a).Underlying(), p.src.Info.TypeOf(args[0]).Underlying()) {
			x = other.elem
		}
		p.expect(l.elem, x, a, place{what: "element"})
	}
	return s
}

// power returns what math.Pow makes: a constant exponent scales the dimension, any other wants dimension 1.
func (p *pass) power(e *ast.CallExpr) shape {
	p.expr(e.Fun)
	x, y := p.expr(e.Args[0]), p.expr(e.Args[1])
	number := &scalar{}
	p.expect(number, y, e.Args[1], place{what: "the exponent of math.Pow"})
	base, ok := settled(x).(*scalar)
	if !ok {
		return nil
	}
	if v := p.value(e.Args[1]); !math.IsNaN(v) {
		if r, ok := rationalOf(v); ok {
			return &scalar{term: term{}.times(base.term, r), bare: base.bare}
		}
	}
	p.expect(number, base, e.Args[0], place{what: "math.Pow with an exponent that is not constant"})
	return number
}
