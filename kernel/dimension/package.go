package dimension

import (
	"cmp"
	"go/types"
	"slices"
)

// common holds the structs of a package whose fields are the same quantities in all values. A field that is declared as plain float64 is then known from
// what any function of the package does with it. A vector of three numbers is another thing: it may hold lengths here and forces there.
type common struct {
	pkg     *types.Package
	records map[*types.TypeName]*record
	apart   map[*types.TypeName]bool // the others
}

// record returns the record of all values of a type, or nil if each has its own.
func (c *common) record(t *types.Named) *record {
	if c == nil || t.Obj().Pkg() != c.pkg || t.TypeParams().Len() > 0 || c.apart[t.Obj()] {
		return nil
	}
	s, ok := t.Underlying().(*types.Struct)
	if !ok {
		return nil
	}
	if c.records[t.Obj()] == nil {
		c.records[t.Obj()] = &record{typ: s, scope: newScope(), fields: map[int]shape{}, common: true}
	}
	return c.records[t.Obj()]
}

// contradictory lists the types with fields that do not hold one quantity everywhere, those of few fields first.
func (c *common) contradictory(s *solver) []*types.TypeName {
	var out []*types.TypeName
	for name, r := range c.records {
		if slices.ContainsFunc(fieldsOf(r), func(f shape) bool { return isDead(s, f) }) {
			out = append(out, name)
		}
	}
	slices.SortFunc(out, func(a, b *types.TypeName) int {
		return cmp.Or(cmp.Compare(c.records[a].typ.NumFields(), c.records[b].typ.NumFields()), cmp.Compare(a.Name(), b.Name()))
	})
	return out
}

func fieldsOf(r *record) []shape {
	var out []shape
	for _, f := range r.fields {
		out = append(out, f)
	}
	return out
}

func isDead(s *solver, f shape) bool {
	switch f := settled(f).(type) {
	case *scalar:
		_, _, ok := s.resolve(f.term)
		return !ok
	case *list:
		return isDead(s, f.elem)
	case *mapping:
		return isDead(s, f.key) || isDead(s, f.elem)
	}
	return false
}

// Package infers the dimensions of a whole package. The fields of its structs are taken for the same quantities in all values, except of the types where
// more is known otherwise.
func (c *Checker) Package(pkg *types.Package, src Source) *Result {
	apart := map[*types.TypeName]bool{}
	check := func() *Result {
		c.common = &common{pkg, map[*types.TypeName]*record{}, apart}
		return c.Check(src)
	}
	defer func() { c.common = nil }()
	tried := map[*types.TypeName]bool{}
	best := check()
	for {
		candidates := slices.DeleteFunc(c.common.contradictory(&c.solver), func(n *types.TypeName) bool { return tried[n] })
		if len(candidates) == 0 {
			return best
		}
		name := candidates[0]
		tried[name], apart[name] = true, true
		known := best.Share()
		best.Discard()
		if best = check(); best.Share().total() < known.total() {
			delete(apart, name)
			best.Discard()
			best = check()
		}
	}
}

func (s Share) total() int { return s.Known + s.ByCaller }
