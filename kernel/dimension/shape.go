package dimension

import (
	"go/types"
	"maps"
	"slices"
)

// shape is what is known about the dimensions inside a value: a *scalar, *list, *table, *function, *record, tuple or *hole; nil if nothing is.
type shape any

type (
	// scalar is a number that may have a dimension.
	scalar struct {
		term  term
		kind  string  // what source calls it, carried along by + and - and by literal factors
		unit  string  // the constant, if it is a unit
		loose bool    // kind comes from a unit: the 95 knots may be of any airspeed
		bare  bool    // made of literals
		count bool    // made of integers or of loop variables as well
		zero  bool    // fits all dimensions
		pi    bool    // a constant with π in it
		scale float64 // product of the literals that an angle was multiplied by; 0 is 1
		per   string  // the unit it was divided by: it is a number of these
		plain bool    // declared as float64
	}
	// list is a slice, array or channel. Pointers have the shape of what they point to.
	list struct{ elem shape }
	// table is a map, or an interpolation from key to elem.
	mapping struct{ key, elem shape }
	// function has the receiver, if any, as its first parameter.
	function struct {
		params, results []shape
		names           []string // of the parameters
		variadic        bool
		method          bool
		typeParams      []shape
	}
	// record is a struct. Its fields are made when they are asked for.
	record struct {
		typ    *types.Struct
		scope  *scope
		fields map[int]shape
		same   *record // it has been unified with
		common bool    // it stands for all values of its type
	}
	tuple []shape
	// hole is a type parameter.
	hole struct {
		level int
		bound shape
	}
)

// scope says what type parameters stand for.
type scope struct {
	params map[*types.TypeParam]shape
	depth  int
}

func newScope() *scope { return &scope{params: map[*types.TypeParam]shape{}} }

// maxDepth bounds how deep types inside types are looked at: they may contain themselves.
const maxDepth = 8

// shapeOf returns the shape of a type that is written somewhere: of a declaration, never that of a derived value.
func (c *Checker) shapeOf(t types.Type, sc *scope) shape {
	if sc.depth >= maxDepth {
		return nil
	}
	sc.depth++
	defer func() { sc.depth-- }()
	switch t := t.(type) {
	case *types.Alias:
		if k, ok := c.kindOf(t.Obj()); ok {
			return &scalar{term: term{dim: k.Dimension}, kind: k.Name}
		}
		return c.shapeOf(t.Rhs(), sc)
	case *types.Basic:
		if t.Info()&(types.IsFloat|types.IsComplex) != 0 {
			return &scalar{term: termOf(c.solver.fresh(true)), plain: true}
		}
	case *types.Named:
		return c.named(t, sc)
	case *types.TypeParam:
		return c.typeParam(t, sc)
	case *types.Pointer:
		return c.shapeOf(t.Elem(), sc)
	case *types.Slice:
		return &list{c.shapeOf(t.Elem(), sc)}
	case *types.Array:
		return &list{c.shapeOf(t.Elem(), sc)}
	case *types.Chan:
		return &list{c.shapeOf(t.Elem(), sc)}
	case *types.Map:
		return &mapping{c.shapeOf(t.Key(), sc), c.shapeOf(t.Elem(), sc)}
	case *types.Signature:
		return c.signature(t, sc)
	case *types.Struct:
		return &record{typ: t, scope: sc, fields: map[int]shape{}}
	}
	return nil
}

// kindOf returns the quantity that an alias names.
func (c *Checker) kindOf(o *types.TypeName) (Kind, bool) {
	if o.Pkg() == nil || o.Pkg().Path() != c.table.Package {
		return Kind{}, false
	}
	k, ok := c.table.byName[o.Name()]
	return k, ok
}

// named returns the shape of a defined type. One over float64 is a quantity of its own, about which nothing is known.
func (c *Checker) named(t *types.Named, sc *scope) shape {
	if s, ok := c.library.opaque(c, t.Obj()); ok {
		return s
	}
	origin := t.Origin()
	if _, ok := origin.Underlying().(*types.Basic); ok {
		return nil
	}
	if r := c.common.record(t); r != nil {
		return r
	}
	inner := &scope{params: map[*types.TypeParam]shape{}, depth: sc.depth}
	for i := range t.TypeArgs().Len() {
		inner.params[origin.TypeParams().At(i)] = c.shapeOf(t.TypeArgs().At(i), sc)
	}
	return c.shapeOf(origin.Underlying(), inner)
}

// typeParam returns what a type parameter stands for: a number, if it can be nothing else, a type of the form that its constraint asks for, or anything.
func (c *Checker) typeParam(t *types.TypeParam, sc *scope) shape {
	if s, ok := sc.params[t]; ok {
		return s
	}
	sc.params[t] = &hole{level: c.solver.level} // the constraint may mention it
	switch core := coreType(t).(type) {
	case *types.Basic:
		sc.params[t] = &scalar{term: termOf(c.solver.fresh(false))}
	case nil:
	default:
		sc.params[t] = c.shapeOf(core, sc)
	}
	return sc.params[t]
}

// coreType returns the one form that the type arguments of a type parameter have; a basic type if all are numbers.
func coreType(t *types.TypeParam) types.Type {
	i, ok := t.Constraint().Underlying().(*types.Interface)
	if !ok || i.NumEmbeddeds() != 1 {
		return nil
	}
	u, ok := i.EmbeddedType(0).(*types.Union)
	if !ok {
		if e, ok := i.EmbeddedType(0).Underlying().(*types.Interface); ok && e.NumEmbeddeds() == 1 {
			u, _ = e.EmbeddedType(0).(*types.Union)
		}
	}
	if u == nil {
		return nil
	}
	var core types.Type
	for i := range u.Len() {
		core = u.Term(i).Type().Underlying()
		b, basic := core.(*types.Basic)
		if basic && b.Info()&types.IsNumeric == 0 || !basic && u.Len() > 1 {
			return nil
		}
	}
	return core
}

func (c *Checker) signature(t *types.Signature, sc *scope) *function {
	f := &function{variadic: t.Variadic(), method: t.Recv() != nil}
	if t.Recv() != nil {
		f.params, f.names = append(f.params, c.shapeOf(t.Recv().Type(), sc)), append(f.names, t.Recv().Name())
	}
	for v := range t.Params().Variables() {
		f.params, f.names = append(f.params, c.shapeOf(v.Type(), sc)), append(f.names, v.Name())
	}
	for v := range t.Results().Variables() {
		f.results = append(f.results, c.shapeOf(v.Type(), sc))
	}
	for p := range t.TypeParams().TypeParams() {
		f.typeParams = append(f.typeParams, c.typeParam(p, sc))
	}
	return f
}

// find returns the record that r has become.
func (r *record) find() *record {
	for r.same != nil {
		r = r.same
	}
	return r
}

// known lists the fields that have been asked for, in order: what is solved first matters where something has to give.
func (r *record) known() []int { return slices.Sorted(maps.Keys(r.fields)) }

// field returns the shape of a field.
func (c *Checker) field(r *record, i int) shape {
	r = r.find()
	s, ok := r.fields[i]
	if !ok && i < r.typ.NumFields() {
		if r.common {
			defer func(level int) { c.solver.level = level }(c.solver.level)
			c.solver.level = 0
		}
		s = c.shapeOf(r.typ.Field(i).Type(), r.scope)
		r.fields[i] = s
	}
	return s
}

// settled follows holes that have been filled.
func settled(s shape) shape {
	for {
		h, ok := s.(*hole)
		if !ok || h.bound == nil {
			return s
		}
		s = h.bound
	}
}

// unify makes two shapes one. It returns a pair of numbers whose dimensions differ, if there is one.
func (c *Checker) unify(a, b shape) (x, y *scalar) {
	a, b = settled(a), settled(b)
	if a == nil || b == nil {
		return nil, nil
	}
	if h, ok := a.(*hole); ok {
		c.fill(h, b)
		return nil, nil
	}
	switch b := b.(type) {
	case *hole:
		c.fill(b, a)
	case *scalar:
		if a, ok := a.(*scalar); ok && !c.fit(a, b) {
			return a, b
		}
	case *list:
		if a, ok := a.(*list); ok {
			return c.unify(a.elem, b.elem)
		}
	case *mapping:
		if a, ok := a.(*mapping); ok {
			return c.unifyAll([]shape{a.key, a.elem}, []shape{b.key, b.elem})
		}
	case *function:
		if a, ok := a.(*function); ok {
			return c.unifyAll(append(a.params[:len(a.params):len(a.params)], a.results...), append(b.params[:len(b.params):len(b.params)], b.results...))
		}
	case *record:
		if a, ok := a.(*record); ok {
			return c.unifyRecords(a.find(), b.find())
		}
	}
	return nil, nil
}

// fill makes a type parameter mean a shape, unless that is made of the parameter itself.
func (c *Checker) fill(h *hole, s shape) {
	if contains(s, h, map[*record]bool{}) {
		return
	}
	if n, ok := s.(*scalar); ok { // a value of the type, not the type
		s = &scalar{term: n.term, kind: n.kind, loose: n.loose, bare: n.bare, count: n.count}
	}
	h.bound = s
}

// contains reports whether a shape has a hole in it.
func contains(s shape, h *hole, seen map[*record]bool) bool {
	inside := func(all ...shape) bool {
		return slices.ContainsFunc(all, func(s shape) bool { return contains(s, h, seen) })
	}
	switch s := settled(s).(type) {
	case *hole:
		return s == h
	case *list:
		return inside(s.elem)
	case *mapping:
		return inside(s.key, s.elem)
	case *function:
		return inside(s.params...) || inside(s.results...)
	case *record:
		if s = s.find(); seen[s] {
			return false
		}
		seen[s] = true
		return inside(slices.Collect(maps.Values(s.fields))...) || inside(slices.Collect(maps.Values(s.scope.params))...)
	}
	return false
}

func (c *Checker) unifyAll(a, b []shape) (x, y *scalar) {
	if len(a) != len(b) {
		return nil, nil
	}
	for i := range a {
		if p, q := c.unify(a[i], b[i]); p != nil && x == nil {
			x, y = p, q
		}
	}
	return x, y
}

func (c *Checker) unifyRecords(a, b *record) (x, y *scalar) {
	pair := [2]*record{a, b}
	if a == b || a.typ.NumFields() != b.typ.NumFields() || c.unifying[pair] {
		return nil, nil
	}
	c.unifying[pair] = true // a struct may have itself in a field
	defer delete(c.unifying, pair)
	for _, i := range a.known() {
		s := a.fields[i]
		if p, q := c.unify(s, c.field(b, i)); p != nil {
			x, y = p, q
		}
	}
	for _, i := range b.known() {
		if _, ok := a.fields[i]; !ok {
			a.fields[i] = b.fields[i]
		}
	}
	if a.typ == b.typ && a.find() != b.find() {
		b.find().same = a.find()
	}
	return x, y
}

// fit makes two dimensions one. Zero fits all, and a bare number leaves open what began as zero.
func (c *Checker) fit(a, b *scalar) bool {
	if a.zero || b.zero || a.bare && c.begun(b) || b.bare && c.begun(a) {
		return true
	}
	return c.solver.equal(a.term, b.term)
}

func (c *Checker) begun(s *scalar) bool {
	t, _, ok := c.solver.resolve(s.term)
	return ok && slices.ContainsFunc(t.vars, func(f factor) bool { return f.v.begun })
}

// copier makes instances of what is general.
type copier struct {
	c       *Checker
	vars    map[*variable]*variable
	records map[*record]*record
	holes   map[*hole]shape
}

// instance returns a shape in which the variables of functions that are done are new.
func (c *Checker) instance(s shape) shape {
	return (&copier{c, map[*variable]*variable{}, map[*record]*record{}, map[*hole]shape{}}).copy(s)
}

func (k *copier) copy(s shape) shape {
	switch s := settled(s).(type) {
	case *scalar:
		return k.scalar(s)
	case *list:
		return &list{k.copy(s.elem)}
	case *mapping:
		return &mapping{k.copy(s.key), k.copy(s.elem)}
	case *function:
		f := *s
		f.params, f.results, f.typeParams = k.copyAll(s.params), k.copyAll(s.results), k.copyAll(s.typeParams)
		return &f
	case *hole:
		if s.level <= k.c.solver.level {
			return s
		}
		if k.holes[s] == nil {
			k.holes[s] = &hole{level: k.c.solver.level}
		}
		return k.holes[s]
	case *record:
		return k.record(s.find())
	default:
		return s
	}
}

func (k *copier) copyAll(all []shape) []shape {
	out := make([]shape, len(all))
	for i, s := range all {
		out[i] = k.copy(s)
	}
	return out
}

func (k *copier) record(r *record) shape {
	if r.common {
		return r
	}
	if k.records[r] == nil {
		out := &record{typ: r.typ, scope: &scope{params: map[*types.TypeParam]shape{}, depth: r.scope.depth}, fields: map[int]shape{}}
		k.records[r] = out
		for _, i := range r.known() {
			out.fields[i] = k.copy(r.fields[i])
		}
		for p, s := range r.scope.params {
			out.scope.params[p] = k.copy(s)
		}
	}
	return k.records[r]
}

func (k *copier) scalar(s *scalar) shape {
	t, soft, ok := k.c.solver.resolve(s.term)
	if !ok {
		return nil
	}
	out := *s
	out.term = term{dim: t.dim}
	general := false
	for _, f := range t.vars {
		v := f.v
		if v.level > k.c.solver.level {
			general = true
			if k.vars[v] == nil {
				k.vars[v] = k.c.solver.fresh(false)
			}
			v = k.vars[v]
		}
		out.term = out.term.times(termOf(v), f.exp)
	}
	if len(soft) > 0 && !general && len(t.vars) == 0 { // known by inference only: what this use does must not matter to others
		v := k.c.solver.fresh(true)
		bound := out.term
		v.bound = &bound
		out.term = termOf(v)
	}
	return &out
}
