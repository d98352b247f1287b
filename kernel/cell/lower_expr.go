package cell

import (
	"fmt"
	"go/ast"
	"go/token"
	"go/types"
	"strings"
)

// value lowers an expression that is assigned to something of type target, with the conversion that this implies.
func (l *lowerer) value(e ast.Expr, target types.Type) string {
	tv := l.info.Types[e]
	switch {
	case tv.Value != nil && !types.IsInterface(target):
		return l.constant(tv.Value, target)
	case tv.IsNil():
		return "nil"
	}
	return l.convert(l.expr(e), tv.Type, target, e)
}

// convert lowers the implicit conversion of s.
func (l *lowerer) convert(s string, from, to types.Type, at ast.Node) string {
	if types.IsInterface(to) && !types.IsInterface(from) && mentionsCell(from, map[types.Type]bool{}) {
		return l.refuse(at, "a value of type %s cannot become a %s here yet", types.TypeString(from, localName), types.TypeString(to, localName))
	}
	return s
}

// localName qualifies types of compiled packages and leaves those of cells as they are.
func localName(p *types.Package) string {
	if p.Path() == "main" {
		return ""
	}
	return p.Name()
}

// mentionsCell reports whether a type has a part that a cell has named.
func mentionsCell(t types.Type, seen map[types.Type]bool) bool {
	if seen[t] {
		return false
	}
	seen[t] = true
	switch t := types.Unalias(t).(type) {
	case *types.Named:
		return fromCell(t.Obj())
	case *types.Pointer:
		return mentionsCell(t.Elem(), seen)
	case *types.Slice:
		return mentionsCell(t.Elem(), seen)
	case *types.Array:
		return mentionsCell(t.Elem(), seen)
	case *types.Map:
		return mentionsCell(t.Key(), seen) || mentionsCell(t.Elem(), seen)
	case *types.Chan:
		return mentionsCell(t.Elem(), seen)
	case *types.Struct:
		return true
	}
	return false
}

// expr lowers an expression to one of its own type.
func (l *lowerer) expr(e ast.Expr) string {
	tv := l.info.Types[e]
	if tv.Value != nil {
		return l.constant(tv.Value, tv.Type)
	}
	switch e := e.(type) {
	case *ast.ParenExpr:
		return l.expr(e.X)
	case *ast.Ident:
		return l.ident(e)
	case *ast.BinaryExpr:
		return l.binary(e)
	case *ast.UnaryExpr:
		return l.unary(e)
	case *ast.StarExpr:
		return "(*" + l.expr(e.X) + ")"
	case *ast.SelectorExpr:
		return l.selector(e)
	case *ast.IndexExpr:
		return l.index(e)
	case *ast.SliceExpr:
		return l.slice(e)
	case *ast.CallExpr:
		return l.call(e)
	case *ast.CompositeLit:
		return l.composite(e)
	case *ast.FuncLit:
		return l.literal(e)
	case *ast.TypeAssertExpr:
		return l.assertion(e)
	}
	return l.refuse(e, "this expression cannot be run here")
}

func (l *lowerer) ident(e *ast.Ident) string {
	switch o := l.info.Uses[e].(type) {
	case *types.Nil:
		return "nil"
	case *types.Var, *types.Func:
		if !fromCell(o) {
			return l.compiled(e, o)
		}
		return l.name(o)
	}
	return l.refuse(e, "%s cannot be used as a value here", e.Name)
}

// compiled returns the name of a compiled function or variable.
func (l *lowerer) compiled(at ast.Node, o types.Object) string {
	if o.Pkg() == nil || !l.front.lib.Has(o.Pkg().Path(), o.Name()) {
		return l.refuse(at, "%s cannot be run here: the interpreter does not have it", o.Name())
	}
	return l.importName(o.Pkg()) + "." + o.Name()
}

func (l *lowerer) binary(e *ast.BinaryExpr) string {
	if e.Op == token.SHL || e.Op == token.SHR {
		return fmt.Sprintf("(%s %s %s)", l.expr(e.X), e.Op, l.expr(e.Y))
	}
	x, y := l.info.Types[e.X], l.info.Types[e.Y]
	xt, yt := x.Type, y.Type
	switch {
	case x.IsNil():
		xt = yt
	case y.IsNil():
		yt = xt
	case types.IsInterface(xt):
		yt = xt
	case types.IsInterface(yt):
		xt = yt
	}
	return fmt.Sprintf("(%s %s %s)", l.value(e.X, xt), e.Op, l.value(e.Y, yt))
}

func (l *lowerer) unary(e *ast.UnaryExpr) string {
	if e.Op == token.ARROW {
		return "(<-" + l.expr(e.X) + ")"
	}
	return "(" + e.Op.String() + l.expr(e.X) + ")"
}

// selector lowers x.f: a name of a package, a field, or a method as a value.
func (l *lowerer) selector(e *ast.SelectorExpr) string {
	s := l.info.Selections[e]
	if s == nil {
		return l.compiled(e, l.info.Uses[e.Sel])
	}
	if s.Kind() == types.FieldVal {
		x, _ := l.fields(l.expr(e.X), s.Recv(), s.Index())
		return x
	}
	return l.methodValue(e, s)
}

// fields follows a path of field indices from x of type t, and returns the last field with its type.
func (l *lowerer) fields(x string, t types.Type, path []int) (string, types.Type) {
	for _, i := range path {
		if p, ok := t.Underlying().(*types.Pointer); ok {
			t = p.Elem()
		}
		named, isNamed := types.Unalias(t).(*types.Named)
		s := t.Underlying().(*types.Struct)
		name := fieldName(s, i)
		if isNamed && !fromCell(named.Obj()) {
			name = s.Field(i).Name()
		}
		x, t = x+"."+name, s.Field(i).Type()
	}
	return x, t
}

func (l *lowerer) index(e *ast.IndexExpr) string {
	if tv := l.info.Types[e.Index]; tv.IsType() {
		return l.refuse(e, "generic functions cannot be run here yet")
	}
	t := l.info.Types[e.X].Type
	switch u := t.Underlying().(type) {
	case *types.Map:
		return l.expr(e.X) + "[" + l.value(e.Index, u.Key()) + "]"
	case *types.Pointer:
		return "(*" + l.expr(e.X) + ")[" + l.expr(e.Index) + "]"
	}
	return l.expr(e.X) + "[" + l.expr(e.Index) + "]"
}

func (l *lowerer) slice(e *ast.SliceExpr) string {
	x := l.expr(e.X)
	if _, ok := l.info.Types[e.X].Type.Underlying().(*types.Pointer); ok {
		x = "(*" + x + ")"
	}
	var parts []string
	for _, i := range []ast.Expr{e.Low, e.High, e.Max} {
		if i != nil {
			parts = append(parts, l.expr(i))
		} else {
			parts = append(parts, "")
		}
	}
	if !e.Slice3 {
		parts = parts[:2]
	}
	return x + "[" + strings.Join(parts, ":") + "]"
}

func (l *lowerer) composite(e *ast.CompositeLit) string {
	t := l.info.Types[e].Type
	if p, ok := t.Underlying().(*types.Pointer); ok { // an elided &T in a list
		return "&" + l.compositeOf(e, p.Elem())
	}
	return l.compositeOf(e, t)
}

func (l *lowerer) compositeOf(e *ast.CompositeLit, t types.Type) string {
	var parts []string
	switch u := t.Underlying().(type) {
	case *types.Struct:
		named, isNamed := types.Unalias(t).(*types.Named)
		compiled := isNamed && !fromCell(named.Obj())
		for i, elt := range e.Elts {
			if kv, ok := elt.(*ast.KeyValueExpr); ok {
				i, elt = fieldIndex(u, kv.Key.(*ast.Ident).Name), kv.Value
			}
			name := fieldName(u, i)
			if compiled {
				name = u.Field(i).Name()
			}
			parts = append(parts, name+": "+l.value(elt, u.Field(i).Type()))
		}
	case *types.Map:
		for _, elt := range e.Elts {
			kv := elt.(*ast.KeyValueExpr)
			parts = append(parts, l.value(kv.Key, u.Key())+": "+l.value(kv.Value, u.Elem()))
		}
	case *types.Slice:
		parts = l.elements(e, u.Elem())
	case *types.Array:
		parts = l.elements(e, u.Elem())
	}
	return l.typ(t) + "{" + strings.Join(parts, ", ") + "}"
}

func (l *lowerer) elements(e *ast.CompositeLit, t types.Type) []string {
	var parts []string
	for _, elt := range e.Elts {
		key := ""
		if kv, ok := elt.(*ast.KeyValueExpr); ok {
			key, elt = l.info.Types[kv.Key].Value.ExactString()+": ", kv.Value
		}
		parts = append(parts, key+l.value(elt, t))
	}
	return parts
}

func fieldIndex(s *types.Struct, name string) int {
	for i := range s.NumFields() {
		if s.Field(i).Name() == name {
			return i
		}
	}
	return -1
}

func (l *lowerer) assertion(e *ast.TypeAssertExpr) string {
	t := l.info.Types[e.Type].Type
	if mentionsCell(t, map[types.Type]bool{}) || types.IsInterface(t) {
		return l.refuse(e, "a type assertion to %s cannot be run here yet", types.TypeString(t, localName))
	}
	return l.expr(e.X) + ".(" + l.typ(t) + ")"
}

func (l *lowerer) methodValue(e *ast.SelectorExpr, s *types.Selection) string {
	if s.Kind() == types.MethodExpr || fromCell(s.Obj()) {
		return l.refuse(e, "a method as a value cannot be run here yet")
	}
	return l.expr(e.X) + "." + e.Sel.Name
}
