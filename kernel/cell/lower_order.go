package cell

import (
	"go/ast"
	"go/token"
	"go/types"
	"slices"
)

// The specification orders the calls and receives in a statement, and leaves open when its variables are read. A program compiled by gc calls first, in order,
// and then reads variables, elements and fields: p, q := x, f() gives p the x that f has left. The interpreter goes from left to right. Where that may show, what
// gc does first is evaluated into variables in front of the statement, by the rules of its pass "order".

// part is an expression of a statement, in the order of evaluation; as is the type that its value is converted to, or nil.
type part struct {
	expr ast.Expr
	as   types.Type
}

// ordering goes through operands as gc does, either to find out whether their order shows, or to evaluate what is early.
type ordering struct {
	l         *lowerer
	evaluates bool
	waits     bool // something has been passed that is evaluated after the calls that follow
	shows     bool // one of these calls may change it, or be missed when it fails
}

// inOrder evaluates what compiled Go evaluates first in a statement. What it returns ends the use of that.
func (l *lowerer) inOrder(list []part) func() {
	outer := l.early
	if l.orderShows(list) {
		l.early = map[ast.Expr]string{}
		o := &ordering{l: l, evaluates: true}
		o.operands(list)
	}
	return func() { l.early = outer }
}

// orderShows reports whether a statement would differ if its operands were evaluated from left to right.
func (l *lowerer) orderShows(list []part) bool {
	o := &ordering{l: l}
	o.operands(list)
	return o.shows
}

// operandsOf lists the operands of a statement that are evaluated where it starts.
func (l *lowerer) operandsOf(s ast.Stmt) []part {
	switch s := s.(type) {
	case *ast.ExprStmt:
		return []part{{expr: s.X}}
	case *ast.GoStmt:
		return []part{{expr: s.Call}}
	case *ast.DeferStmt:
		return []part{{expr: s.Call}}
	case *ast.SendStmt:
		return []part{{expr: s.Chan}, {s.Value, elem(l.typeOf(s.Chan))}}
	case *ast.IncDecStmt:
		return []part{{expr: s.X}}
	case *ast.AssignStmt:
		return l.assigned(s)
	case *ast.ReturnStmt:
		var list []part
		for i, e := range s.Results {
			list = append(list, part{e, l.resultType(i, len(s.Results))})
		}
		return list
	}
	return nil
}

// resultType is the type of result i of the current function, of which a statement returns n; nil if one call returns all.
func (l *lowerer) resultType(i, n int) types.Type {
	if n != len(l.fn.results) {
		return nil
	}
	return l.fn.results[i].t
}

// assigned lists the operands of an assignment. Where a call is assigned to one thing that has no calls in itself, the assignment is in order anyway.
func (l *lowerer) assigned(s *ast.AssignStmt) []part {
	var list []part
	plain := s.Tok == token.ASSIGN || s.Tok == token.DEFINE
	for i, e := range s.Lhs {
		if _, isName := ast.Unparen(e).(*ast.Ident); !(isName && plain) && !(i == 0 && len(s.Lhs) == 1 && l.callsFirst(e, s.Rhs[0])) {
			list = append(list, part{expr: e})
		}
	}
	for i, e := range s.Rhs {
		var t types.Type
		if plain && len(s.Lhs) == len(s.Rhs) {
			t = l.targetType(s.Lhs[i])
		}
		list = append(list, part{e, t})
	}
	return list
}

// specOperands lists the values of a declaration.
func (l *lowerer) specOperands(v *ast.ValueSpec) []part {
	var list []part
	for i, e := range v.Values {
		var t types.Type
		if len(v.Names) == len(v.Values) {
			t = l.targetType(v.Names[i])
		}
		list = append(list, part{e, t})
	}
	return list
}

// operands goes through all operands of a statement. A call that stands alone is its last step, and one of several results has no variable.
func (o *ordering) operands(list []part) {
	for _, x := range list {
		call, isCall := ast.Unparen(x.expr).(*ast.CallExpr)
		switch {
		case isTuple(o.l.typeOf(x.expr)):
			waits := o.waits
			o.insideTuple(ast.Unparen(x.expr))
			o.shows = o.shows || waits && o.l.mayChange(ast.Unparen(x.expr))
		case isCall && len(list) == 1 && !o.l.info.Types[call.Fun].IsType():
			o.insideCall(call)
		default:
			o.value(x.expr, x.as)
		}
	}
}

// insideTuple goes through what is inside of an expression of several values.
func (o *ordering) insideTuple(e ast.Expr) {
	switch e := e.(type) {
	case *ast.CallExpr:
		o.insideCall(e)
	case *ast.UnaryExpr:
		o.expr(e.X)
	case *ast.TypeAssertExpr:
		o.expr(e.X)
	case *ast.IndexExpr:
		o.exprs(e.X, e.Index)
		o.key(e.Index, o.l.typeOf(e.X).Underlying().(*types.Map))
	}
}

// value goes through an expression that is converted to the type as, if that is not nil.
func (o *ordering) value(e ast.Expr, as types.Type) {
	o.expr(e)
	if as == nil || !types.IsInterface(as) || o.l.info.Types[e].IsNil() {
		return
	}
	if t := o.l.typeOf(e); !types.IsInterface(t) && !isUntyped(t) && convertedByAddress(t) && !o.addressable(e) {
		o.early(e, func() {})
	}
}

func (o *ordering) expr(e ast.Expr) {
	if e == nil {
		return
	}
	if tv := o.l.info.Types[e]; tv.Value != nil || tv.IsType() || tv.IsNil() {
		return
	}
	switch e := e.(type) {
	case *ast.ParenExpr:
		o.expr(e.X)
	case *ast.Ident:
		o.waits = o.waits || o.l.changeable(o.l.info.ObjectOf(e))
	case *ast.StarExpr:
		o.expr(e.X)
		o.waits = true
	case *ast.SelectorExpr:
		o.selector(e)
	case *ast.IndexExpr:
		o.index(e)
	case *ast.BinaryExpr:
		o.binary(e)
	case *ast.UnaryExpr:
		o.unary(e)
	case *ast.SliceExpr:
		o.early(e, func() { o.exprs(e.X, e.Low, e.High, e.Max) })
	case *ast.TypeAssertExpr:
		o.assertion(e)
	case *ast.CompositeLit:
		o.composite(e)
	case *ast.CallExpr:
		o.call(e)
	}
}

func (o *ordering) exprs(list ...ast.Expr) {
	for _, e := range list {
		o.expr(e)
	}
}

// early goes through what is inside of an expression, and evaluates the expression. What is no call the interpreter may leave for later.
func (o *ordering) early(e ast.Expr, inside func()) {
	waits := o.waits
	inside()
	if o.evaluates {
		o.l.early[e] = o.l.hold(o.l.expr(e), o.l.typ(types.Default(o.l.typeOf(e))))
	}
	if o.l.mayChange(e) {
		o.shows = o.shows || waits
		o.waits = waits
	}
}

func (o *ordering) selector(e *ast.SelectorExpr) {
	s := o.l.info.Selections[e]
	if s == nil {
		_, isVar := o.l.info.Uses[e.Sel].(*types.Var)
		o.waits = o.waits || isVar
		return
	}
	o.expr(e.X)
	o.waits = o.waits || s.Indirect() || isPointer(o.l.typeOf(e.X))
}

func (o *ordering) index(e *ast.IndexExpr) {
	if o.l.info.Types[e.Index].IsType() {
		return
	}
	o.exprs(e.X, e.Index)
	if m, ok := o.l.typeOf(e.X).Underlying().(*types.Map); ok {
		o.key(e.Index, m)
	}
	o.waits = o.waits || !o.l.proven(e)
}

// key evaluates the key of a map now, if compiled Go passes it on by its address and it has none yet.
func (o *ordering) key(e ast.Expr, m *types.Map) {
	if o.l.info.Types[e].Value != nil || o.l.info.Types[e].IsNil() || quickKey(m) {
		return
	}
	if !o.addressable(e) || types.IsInterface(m.Key()) && !types.IsInterface(o.l.typeOf(e)) {
		o.early(e, func() {})
	}
}

func (o *ordering) unary(e *ast.UnaryExpr) {
	switch _, isName := ast.Unparen(e.X).(*ast.Ident); {
	case e.Op == token.ARROW:
		o.early(e, func() { o.expr(e.X) })
	case e.Op != token.AND || !isName:
		o.expr(e.X)
	}
}

func (o *ordering) binary(e *ast.BinaryExpr) {
	if e.Op == token.LAND || e.Op == token.LOR {
		o.logical(e)
		return
	}
	o.exprs(e.X, e.Y)
	o.waits = o.waits || o.l.riskyExpr(e)
}

// logical evaluates x && y or x || y now.
func (o *ordering) logical(e *ast.BinaryExpr) {
	o.expr(e.X)
	if !o.evaluates {
		o.expr(e.Y)
		return
	}
	r, not := o.l.fresh("held"), ""
	if e.Op == token.LOR {
		not = "!"
	}
	o.l.emit("var %s bool = %s", r, o.l.expr(e.X))
	o.l.emit("if %s%s {", not, r)
	o.expr(e.Y)
	o.l.emit("%s = %s", r, o.l.expr(e.Y))
	o.l.emit("}")
	o.l.early[e] = r
}

func (o *ordering) assertion(e *ast.TypeAssertExpr) {
	if isDirect(o.l.typeOf(e)) {
		o.expr(e.X)
		o.waits = true
		return
	}
	o.early(e, func() { o.expr(e.X) })
}

func (o *ordering) composite(e *ast.CompositeLit) {
	t := o.l.typeOf(e)
	if p, ok := t.Underlying().(*types.Pointer); ok {
		t = p.Elem()
	}
	switch u := t.Underlying().(type) {
	case *types.Map:
		o.mapLiteral(e, u)
	case *types.Struct:
		for i, elt := range e.Elts {
			if kv, ok := elt.(*ast.KeyValueExpr); ok {
				i, elt = fieldIndex(u, kv.Key.(*ast.Ident).Name), kv.Value
			}
			o.value(elt, o.l.subst(u.Field(i).Type()))
		}
	default:
		for _, elt := range e.Elts {
			if kv, ok := elt.(*ast.KeyValueExpr); ok {
				elt = kv.Value
			}
			o.value(elt, elem(u))
		}
	}
}

// mapLiteral makes a map now, and sets one entry after the other.
func (o *ordering) mapLiteral(e *ast.CompositeLit, m *types.Map) {
	name := ""
	if o.evaluates {
		typ := o.l.concrete(o.l.typeOf(e))
		name = o.l.hold(typ+"{}", typ)
		defer func() { o.l.early[e] = o.l.hide(name, o.l.typeOf(e)) }()
	}
	for _, elt := range staticFirst(e.Elts, o.l.info) {
		kv := elt.(*ast.KeyValueExpr)
		o.expr(kv.Key)
		o.key(kv.Key, m)
		o.value(kv.Value, m.Elem())
		if o.evaluates {
			o.l.store(name+"["+o.l.key(kv.Key, m)+"]", o.l.value(kv.Value, m.Elem()), o.l.typ(m.Elem()))
		}
	}
}

// staticFirst returns the elements of a literal of a map in the order in which compiled Go sets them: constants come first.
func staticFirst(elts []ast.Expr, info *types.Info) []ast.Expr {
	dynamic := func(e ast.Expr) int {
		kv := e.(*ast.KeyValueExpr)
		if isStatic(kv.Key, info) && isStatic(kv.Value, info) {
			return 0
		}
		return 1
	}
	return slices.SortedStableFunc(slices.Values(elts), func(a, b ast.Expr) int { return dynamic(a) - dynamic(b) })
}

// isStatic reports whether an expression is a constant, or a literal of an array or a struct of such.
func isStatic(e ast.Expr, info *types.Info) bool {
	if tv := info.Types[e]; tv.Value != nil || tv.IsNil() {
		return true
	}
	lit, ok := ast.Unparen(e).(*ast.CompositeLit)
	if !ok {
		return false
	}
	switch info.TypeOf(lit).Underlying().(type) {
	case *types.Struct, *types.Array:
		return !slices.ContainsFunc(lit.Elts, func(e ast.Expr) bool {
			if kv, ok := e.(*ast.KeyValueExpr); ok {
				e = kv.Value
			}
			return !isStatic(e, info)
		})
	}
	return false
}

func (o *ordering) call(e *ast.CallExpr) {
	fun := o.l.info.Types[e.Fun]
	switch {
	case fun.IsType() && !o.copiesText(e):
		o.value(e.Args[0], o.l.typeOf(e))
	case isTuple(o.l.typeOf(e)): // the results of the call around are its arguments
		o.insideCall(e)
	default:
		o.early(e, func() { o.insideCall(e) })
	}
}

// copiesText reports whether a conversion makes a list of the bytes or characters of a string.
func (o *ordering) copiesText(e *ast.CallExpr) bool {
	_, toSlice := o.l.typeOf(e).Underlying().(*types.Slice)
	from, ok := o.l.typeOf(e.Args[0]).Underlying().(*types.Basic)
	return toSlice && ok && from.Info()&types.IsString != 0
}

func isTuple(t types.Type) bool {
	_, ok := t.(*types.Tuple)
	return ok
}

// insideCall goes through the function and the arguments of a call.
func (o *ordering) insideCall(e *ast.CallExpr) {
	fun := o.l.info.Types[e.Fun]
	if fun.IsType() || fun.IsBuiltin() {
		o.exprs(e.Args...)
		return
	}
	o.function(ast.Unparen(e.Fun))
	sig, ok := o.l.typeOf(e.Fun).Underlying().(*types.Signature)
	for i, a := range e.Args {
		switch {
		case !ok || o.l.spread(e) != nil || sig.Params().Len() == 0:
			o.expr(a)
		default:
			o.value(a, parameter(sig, i, e.Ellipsis.IsValid()))
		}
	}
}

// function goes through what is called. The receiver of a method with a pointer receiver is an address, which nothing changes.
func (o *ordering) function(fun ast.Expr) {
	sel, ok := fun.(*ast.SelectorExpr)
	if !ok {
		o.expr(fun)
		return
	}
	s := o.l.info.Selections[sel]
	if s == nil {
		o.selector(sel)
		return
	}
	if _, isName := ast.Unparen(sel.X).(*ast.Ident); isName && s.Kind() == types.MethodVal && !s.Indirect() && !isPointer(o.l.typeOf(sel.X)) {
		if m, ok := s.Obj().(*types.Func); ok && isPointer(recvType(m)) {
			return
		}
	}
	o.expr(sel.X)
	o.waits = o.waits || s.Indirect()
}

// changeable reports whether the functions that a statement calls may change a variable.
func (l *lowerer) changeable(o types.Object) bool {
	v, ok := o.(*types.Var)
	return ok && (l.shared[v] || l.isGlobal(v) || v.Pkg() != nil && v.Parent() == v.Pkg().Scope())
}

// mayChange reports whether evaluating an expression itself may change variables, print, wait or not come back.
func (l *lowerer) mayChange(e ast.Expr) bool {
	switch e := e.(type) {
	case *ast.UnaryExpr:
		return e.Op == token.ARROW
	case *ast.CallExpr:
		tv := l.info.Types[e.Fun]
		if tv.IsType() || tv.IsBuiltin() {
			return tv.IsBuiltin() && builtinName(e.Fun) == "copy"
		}
		f := calledFunc(ast.Unparen(e.Fun), l.info)
		return f == nil || f.Pkg() == nil || !slices.Contains([]string{"math", "math/bits", "math/cmplx", "strconv", "unicode"}, f.Pkg().Path())
	}
	return false
}

// addressable reports whether an expression stands for a variable, or will be held in one.
func (o *ordering) addressable(e ast.Expr) bool {
	tv := o.l.info.Types[e]
	return tv.Addressable() || o.l.early[ast.Unparen(e)] != "" || tv.Value != nil
}

// The following repeats what gc knows of values on amd64.

var sizes = types.SizesFor("gc", "amd64")

// isDirect reports whether an interface holds values of a type themselves, not their address.
func isDirect(t types.Type) bool {
	switch u := t.Underlying().(type) {
	case *types.Pointer, *types.Chan, *types.Map, *types.Signature:
		return true
	case *types.Basic:
		return u.Kind() == types.UnsafePointer
	case *types.Array:
		return u.Len() == 1 && isDirect(u.Elem())
	case *types.Struct:
		return u.NumFields() == 1 && isDirect(u.Field(0).Type())
	}
	return false
}

// convertedByAddress reports whether a value becomes an interface value by way of its address.
func convertedByAddress(t types.Type) bool {
	switch sole := soleComponent(t).(type) {
	case *types.Slice:
		return false
	case *types.Basic:
		if sole.Info()&types.IsString != 0 {
			return false
		}
	}
	size, align := sizes.Sizeof(t), sizes.Alignof(t)
	return !(size == align && (size == 2 || size >= 4 && !hasPointers(t)))
}

// soleComponent is what a type is made of if it has one part only.
func soleComponent(t types.Type) types.Type {
	switch u := t.Underlying().(type) {
	case *types.Struct:
		if u.NumFields() == 1 {
			return soleComponent(u.Field(0).Type())
		}
	case *types.Array:
		if u.Len() == 1 {
			return soleComponent(u.Elem())
		}
	}
	return t.Underlying()
}

func hasPointers(t types.Type) bool {
	switch u := t.Underlying().(type) {
	case *types.Basic:
		return u.Info()&types.IsString != 0 || u.Kind() == types.UnsafePointer
	case *types.Array:
		return u.Len() > 0 && hasPointers(u.Elem())
	case *types.Struct:
		return slices.ContainsFunc(slices.Collect(u.Fields()), func(f *types.Var) bool { return hasPointers(f.Type()) })
	}
	return true
}

// quickKey reports whether compiled Go passes the keys of a map by value.
func quickKey(m *types.Map) bool {
	if sizes.Sizeof(m.Elem()) > 128 {
		return false
	}
	switch u := m.Key().Underlying().(type) {
	case *types.Basic:
		return u.Info()&types.IsString != 0 || u.Info()&types.IsInteger != 0 && sizes.Sizeof(u) >= 4
	case *types.Pointer, *types.Chan:
		return true
	}
	return false
}
